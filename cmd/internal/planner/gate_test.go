package planner

import (
	"bufio"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func header(name, value string) func(*http.Request) {
	return func(r *http.Request) { r.Header.Set(name, value) }
}

func without(name string) func(*http.Request) {
	return func(r *http.Request) { r.Header.Del(name) }
}

// Every line of who gets in, tried from outside beside the same request that is let in.
func TestWhoGetsIn(t *testing.T) {
	v := serve(t, map[string]string{"plan.yaml": starter})
	v.enter()
	open, edit := `{"Name":"plan.yaml"}`, `{"Name":"plan.yaml","Text":"x","Change":{}}`
	neighbour := "http://" + strings.Split(v.host, ":")[0] + ":1"
	for _, c := range []struct {
		name, method, path, body string
		change                   func(*http.Request)
		want                     int
	}{
		{"another Host", "GET", "/", "", func(r *http.Request) { r.Host = "evil.example" }, 403},
		{"the same address by another name", "GET", "/", "", func(r *http.Request) { r.Host = "localhost" + v.host[strings.Index(v.host, ":"):] }, 403},
		{"the Host without its port", "GET", "/", "", func(r *http.Request) { r.Host = "127.0.0.1" }, 403},
		{"another Origin", "POST", "/api/open", open, header("Origin", "http://evil.example"), 403},
		{"the Origin of a neighbouring port", "POST", "/api/open", open, header("Origin", neighbour), 403},
		{"no Origin", "POST", "/api/open", open, without("Origin"), 403},
		{"the Origin null", "POST", "/api/open", open, header("Origin", "null"), 403},
		{"another Origin, reading", "GET", "/api/files", "", header("Origin", neighbour), 403},
		{"a neighbouring port, by what the browser says", "GET", "/api/files", "", header("Sec-Fetch-Site", "same-site"), 403},
		{"another site, by what the browser says", "POST", "/api/open", open, header("Sec-Fetch-Site", "cross-site"), 403},
		{"no cookie", "GET", "/", "", without("Cookie"), 403},
		{"no cookie, for a file", "GET", "/main.js", "", without("Cookie"), 403},
		{"no cookie but the key", "GET", "/api/files", "", without("Cookie"), 403},
		{"a cookie that is not ours", "GET", "/", "", func(r *http.Request) { r.Header.Set("Cookie", v.cookie.Name+"=00000000000000000000000000000000") }, 403},
		{"the cookie without the key", "GET", "/api/files", "", without(keyHeader), 403},
		{"the cookie for a key", "GET", "/api/files", "", header(keyHeader, v.cookie.Value), 403},
		{"a key that is not ours", "POST", "/api/edit", edit, header(keyHeader, strings.Repeat("0", 32)), 403},
		{"a path that is not there", "GET", "/api/files", "", func(r *http.Request) { r.URL.Path = "/api/nothing" }, 404},
		{"a file that is not the page's", "GET", "/main.js", "", func(r *http.Request) { r.URL.Path = "/doc.go" }, 404},
		{"a path upwards", "GET", "/main.js", "", func(r *http.Request) { r.URL.Path = "/../server.go" }, 404},
		{"the wrong method", "GET", "/api/files", "", func(r *http.Request) { r.URL.Path = "/api/save" }, 405},
		{"DELETE", "GET", "/", "", func(r *http.Request) { r.Method = "DELETE"; r.Header.Set("Origin", "http://"+v.host) }, 405},
		{"a form", "POST", "/api/open", open, header("Content-Type", "application/x-www-form-urlencoded"), 415},
		{"plain text", "POST", "/api/open", open, header("Content-Type", "text/plain"), 415},
		{"no type", "POST", "/api/open", open, without("Content-Type"), 415},
		{"a large body", "POST", "/api/open", `{"Name":"plan.yaml"` + strings.Repeat(" ", mostBody) + "}", nil, 413},
		{"a large body of unknown length", "POST", "/api/open", `{"Name":"` + strings.Repeat("x", mostBody) + `"}`,
			func(r *http.Request) { r.ContentLength = -1 }, 413},
		{"more than was asked for", "POST", "/api/open", open + open, nil, 400},
		{"a key that is not known", "POST", "/api/open", `{"Name":"plan.yaml","More":1}`, nil, 400},
	} {
		good := c.body
		if c.want == 413 || c.want == 400 {
			good = open
		}
		if code, said := v.status(v.request(c.method, c.path, good)); code == 403 || code == 404 || code == 405 || code == 413 || code == 415 || code == 400 {
			t.Errorf("%s: the same request as it should be is refused: %d %s", c.name, code, said)
		}
		r := v.request(c.method, c.path, c.body)
		if c.change != nil {
			c.change(r)
		}
		if code, said := v.status(r); code != c.want {
			t.Errorf("%s: answered %d %s, want %d", c.name, code, said, c.want)
		}
	}
}

// The order in which a request is looked at: who has no business here learns nothing of paths.
func TestStrangersLearnNothing(t *testing.T) {
	v := serve(t, nil)
	for _, path := range []string{"/", "/main.js", "/nothing", "/api/files", "/api/nothing", "/ping", "/report/x"} {
		code, said := v.status(v.request("GET", path, ""))
		if code != 403 || strings.Contains(said, v.s.token) || strings.Contains(said, v.s.key) || strings.Contains(said, v.s.name) {
			t.Errorf("%s answers a stranger %d %s", path, code, said)
		}
	}
}

func TestTheLinkIsGoodOnce(t *testing.T) {
	v := serve(t, nil)
	wrong := strings.Replace(v.link, "token=", "token=0", 1)
	get := func(link string, changes ...func(*http.Request)) int {
		r, _ := http.NewRequest("GET", link, nil)
		for _, f := range changes {
			f(r)
		}
		code, _ := v.status(r)
		return code
	}
	if code := get(wrong); code != 403 {
		t.Errorf("a wrong token is answered %d", code)
	}
	for name, f := range map[string]func(*http.Request){"HEAD": func(r *http.Request) { r.Method = "HEAD" },
		"prefetch": header("Sec-Purpose", "prefetch;prerender"), "an older prefetch": header("Purpose", "prefetch")} {
		if code := get(v.link, f); code != 204 {
			t.Errorf("%s is answered %d, want 204 and the link still good", name, code)
		}
	}
	if code := get(v.link, func(r *http.Request) { r.Host = "evil.example" }); code != 403 {
		t.Errorf("the token under another Host is answered %d", code)
	}
	v.enter()
	if code := get(v.link); code != 403 || !strings.Contains(v.err.String(), "second time") {
		t.Errorf("the link used twice: %d, on standard error %q", code, v.err.String())
	}
	c := v.cookie
	if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.MaxAge != 0 || !c.Expires.IsZero() || !strings.HasSuffix(c.Name,
		v.host[strings.Index(v.host, ":")+1:]) || c.Value == v.key {
		t.Errorf("the cookie is %v", c)
	}
	if strings.Count(v.out.String(), "\n") != 1 || strings.Contains(v.err.String(), v.s.token) || strings.Contains(v.err.String(), v.key) {
		t.Errorf("printed %q, said %q", v.out.String(), v.err.String())
	}
}

func TestEveryAnswerIsGuarded(t *testing.T) {
	v := serve(t, nil)
	v.enter()
	for _, path := range []string{"/", "/main.js", "/page.css", "/colours.css", "/api/library", "/nothing", "/ping"} {
		a, err := v.client.Do(v.request("GET", path, ""))
		if err != nil {
			t.Fatal(err)
		}
		_ = a.Body.Close()
		for name, want := range map[string]string{"Content-Security-Policy": policy, "X-Content-Type-Options": "nosniff", "Cache-Control": "no-store",
			"Referrer-Policy": "no-referrer", "Cross-Origin-Resource-Policy": "same-origin", "Cross-Origin-Opener-Policy": "same-origin",
			"Access-Control-Allow-Origin": ""} {
			if got := a.Header.Get(name); got != want {
				t.Errorf("%s: %s is %q, want %q", path, name, got, want)
			}
		}
		if kind := a.Header.Get("Content-Type"); strings.HasSuffix(path, ".js") && !strings.HasPrefix(kind, "text/javascript") {
			t.Errorf("%s is of type %q", path, kind)
		}
	}
}

func TestOnlyThisMachineIsListenedTo(t *testing.T) {
	v := serve(t, nil)
	if !strings.HasPrefix(v.host, "127.0.0.1:") {
		t.Errorf("it listens at %s", v.host)
	}
	addrs, _ := net.InterfaceAddrs()
	for _, a := range addrs {
		ip, ok := a.(*net.IPNet)
		if !ok || ip.IP.IsLoopback() {
			continue
		}
		c, err := net.DialTimeout("tcp", net.JoinHostPort(ip.IP.String(), v.host[strings.Index(v.host, ":")+1:]), 300*time.Millisecond)
		if err == nil {
			_ = c.Close()
			t.Errorf("it answers at %s", ip.IP)
		}
	}
}

// Two hundred connections: those beyond what is taken are closed, and the page answers again
// when they are gone. A slow header and a slow body are given up.
func TestCrowdsAndSlowOnes(t *testing.T) {
	v := serve(t, nil)
	v.enter()
	var all []net.Conn
	for range 200 {
		c, err := net.DialTimeout("tcp", v.host, time.Second)
		if err != nil {
			break
		}
		all = append(all, c)
	}
	closed := 0
	for _, c := range all {
		_ = c.SetReadDeadline(time.Now().Add(20 * time.Millisecond))
		if _, err := c.Read(make([]byte, 1)); err != nil && !os.IsTimeout(err) {
			closed++
		}
	}
	if closed < 200-mostConnections-1 {
		t.Errorf("%d of %d connections were closed at once, want at least %d", closed, len(all), 200-mostConnections-1)
	}
	for _, c := range all {
		_ = c.Close()
	}
	deadline := time.Now().Add(5 * time.Second)
	for {
		a, err := v.client.Do(v.request("GET", "/ping", ""))
		if err == nil {
			_ = a.Body.Close()
			if a.StatusCode == 200 {
				break
			}
		}
		if time.Now().After(deadline) {
			t.Fatalf("the page does not answer when the crowd is gone: %v", err)
		}
		time.Sleep(10 * time.Millisecond)
	}
	c, err := net.Dial("tcp", v.host)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	_, _ = c.Write([]byte("GET / HTTP/1.1\r\nHost: " + v.host + "\r\n")) // and nothing more
	_ = c.SetReadDeadline(time.Now().Add(10 * time.Second))
	for err == nil {
		_, err = c.Read(make([]byte, 512))
	}
	if os.IsTimeout(err) {
		t.Error("a header that does not end is waited for")
	}
}

// A body that does not end is given up, and the page answers meanwhile; one that ends is taken.
func TestSlowBodies(t *testing.T) {
	v := serve(t, map[string]string{"plan.yaml": starter}, func(*Config) {})
	v.enter()
	ask := func(length int) string {
		c, err := net.Dial("tcp", v.host)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		body := `{"Name":"plan.yaml"}`
		_, _ = fmt.Fprintf(c,
			"POST /api/open HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nCookie: %s=%s\r\n%s: %s\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s",
			v.host, v.host, v.cookie.Name, v.cookie.Value, keyHeader, v.key, length, body)
		_ = c.SetReadDeadline(time.Now().Add(10 * time.Second))
		answer, _ := bufio.NewReader(c).ReadString('\n')
		return strings.TrimSpace(answer)
	}
	if got := ask(20); !strings.Contains(got, " 200 ") {
		t.Errorf("a whole body is answered %q", got)
	}
	began := time.Now()
	if got := ask(5000); strings.Contains(got, " 200 ") || time.Since(began) > 9*time.Second {
		t.Errorf("a body that does not end is answered %q after %v", got, time.Since(began))
	}
}

// Files are those of the start folder alone.
func TestFilesStayInTheFolder(t *testing.T) {
	outside := filepath.Join(t.TempDir(), "secret.yaml")
	if err := os.WriteFile(outside, []byte("secret: 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	v := serve(t, map[string]string{"plan.yaml": starter, "sub/other.yml": "a: 1\n", ".hidden.yaml": "a: 1\n", "notes.txt": "x",
		".git/x.yaml": "x: 1\n", "w.csv": "date\n"})
	v.enter()
	for name, to := range map[string]string{"link.yaml": outside, "up": filepath.Dir(outside)} {
		if err := os.Symlink(to, filepath.Join(v.folder, name)); err != nil {
			t.Skip("no links here: " + err.Error())
		}
	}
	for name, want := range map[string]int{"plan.yaml": 200, "sub/other.yml": 200, "w.csv": 200,
		"../" + filepath.Base(filepath.Dir(outside)) + "/secret.yaml": 409, outside: 409, "link.yaml": 409, "up/secret.yaml": 409,
		".hidden.yaml": 409, ".git/x.yaml": 409, "notes.txt": 409, "": 409, "sub/../../x.yaml": 409, "nothing.yaml": 409, "sub": 409} {
		if code := v.post("/api/open", map[string]string{"Name": name}, nil); code != want {
			t.Errorf("opening %q is answered %d, want %d", name, code, want)
		}
	}
	var listed struct{ Names []string }
	_, said := v.status(v.request("GET", "/api/files", ""))
	if strings.Contains(said, "secret") || strings.Contains(said, "hidden") || strings.Contains(said, "link") || !strings.Contains(said, "sub/other.yml") {
		t.Errorf("listed: %s %v", said, listed)
	}
	for name, want := range map[string]int{"new.yaml": 200, "sub/new.yml": 200, "../new.yaml": 409, outside: 409, "link.yaml": 409, "up/new.yaml": 409,
		".new.yaml": 409, "new.txt": 409, "w.csv": 409, "sub/.x/new.yaml": 409} {
		if code := v.post("/api/save", map[string]any{"Name": name, "Text": "a: 1\n", "Hash": "", "Replace": true}, nil); code != want {
			t.Errorf("saving %q is answered %d, want %d", name, code, want)
		}
	}
	if data, _ := os.ReadFile(outside); string(data) != "secret: 1\n" {
		t.Errorf("a file outside was written: %q", data)
	}
}
