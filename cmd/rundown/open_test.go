package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// opened is a page that the command serves, and the key to it.
type opened struct {
	host, key string
	cookie    *http.Cookie
}

var keyInPage = regexp.MustCompile(`name="key" content="([0-9a-f]+)"`)

// openPage starts the command and goes in by its link; the command is ended with the test.
func openPage(t *testing.T, args ...string) *opened {
	t.Helper()
	ctx, end := context.WithCancel(context.Background())
	from, to := io.Pipe()
	var errs bytes.Buffer
	code := make(chan int, 1)
	go func() {
		code <- Main(ctx, append([]string{"open", "--no-browser"}, args...), strings.NewReader(""), to, &errs)
		_ = to.Close()
	}()
	link, err := bufio.NewReader(from).ReadString('\n')
	if err != nil {
		t.Fatalf("no link: %v, exit %d, %s", err, <-code, errs.String())
	}
	t.Cleanup(func() {
		end()
		if got := <-code; got != exitDone {
			t.Errorf("exit %d, %s", got, errs.String())
		}
	})
	link = strings.TrimSpace(link)
	r, err := http.Get(link)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, _ := io.ReadAll(r.Body)
	key := keyInPage.FindSubmatch(body)
	if key == nil {
		t.Fatalf("%s answers %s", link, body)
	}
	return &opened{host: strings.TrimPrefix(link[:strings.Index(link, "/?")], "http://"), key: string(key[1]), cookie: r.Cookies()[0]}
}

// post calls the page's API and gives the answer.
func (o *opened) post(t *testing.T, path string, body any) []byte {
	t.Helper()
	data, _ := json.Marshal(body)
	r, _ := http.NewRequest(http.MethodPost, "http://"+o.host+path, bytes.NewReader(data))
	r.AddCookie(o.cookie)
	r.Header.Set("Rundown-Key", o.key)
	r.Header.Set("Origin", "http://"+o.host)
	r.Header.Set("Content-Type", "application/json")
	a, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	out, err := io.ReadAll(a.Body)
	if err != nil || a.StatusCode != http.StatusOK {
		t.Fatalf("%s answers %d %s", path, a.StatusCode, out)
	}
	return out
}

// The plan that the page saves passes check, and forecast prints the page's sentences.
func TestOpenSaysWhatForecastSays(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	page := openPage(t, "plan.yaml")
	later := strings.Replace(smallPlan, "  - crop: winter-wheat\n", "  - {crop: winter-wheat, drill: {date: 18 Oct}}\n", 1)
	stream := page.post(t, "/api/forecast", map[string]any{"Page": "p", "Name": "plan.yaml", "Text": later, "Width": 400})
	looks := bytes.Split(stream, []byte("event: look\ndata: "))
	var last struct {
		Runs      int
		Sentences []string
	}
	one, _, _ := bytes.Cut(looks[len(looks)-1], []byte("\n"))
	if err := json.Unmarshal(one, &last); err != nil || last.Runs != 2000 {
		t.Fatalf("%v, %.200s", err, one)
	}
	page.post(t, "/api/save", map[string]any{"Name": "later.yaml", "Text": later, "Hash": ""})
	if got := run(t, "check", "later.yaml"); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	got := run(t, "forecast", "later.yaml", "--json", "--quiet")
	var document struct{ Answer struct{ Sentences []string } }
	if err := json.Unmarshal([]byte(got.stdout), &document); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(document.Answer.Sentences, last.Sentences) {
		t.Errorf("the page says\n%q\nforecast says\n%q", last.Sentences, document.Answer.Sentences)
	}
}

// What counts make of a plan is what update says.
func TestOpenSaysWhatUpdateSays(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "counts.csv": smallCounts})
	page := openPage(t, "plan.yaml")
	stream := page.post(t, "/api/update", map[string]any{"Page": "p", "Name": "plan.yaml", "Text": smallPlan, "CountsName": "counts.csv",
		"Counts": smallCounts, "Width": 400})
	_, last, ok := bytes.Cut(stream, []byte("event: updated\ndata: "))
	var found struct{ Sentences []string }
	if err := json.Unmarshal(last, &found); err != nil || !ok || !bytes.Contains(stream, []byte("event: progress")) {
		t.Fatalf("%v, %.300s", err, stream)
	}
	got := run(t, "update", "plan.yaml", "counts.csv", "--json", "--quiet")
	var document struct{ Answer struct{ Sentences []string } }
	if err := json.Unmarshal([]byte(got.stdout), &document); err != nil || !slices.Equal(document.Answer.Sentences, found.Sentences) {
		t.Errorf("the page says\n%q\nupdate says\n%q, %v", found.Sentences, document.Answer.Sentences, err)
	}
	wrong := page.post(t, "/api/update", map[string]any{"Page": "p", "Name": "plan.yaml", "Text": smallPlan, "CountsName": "",
		"Counts": "date,zone,kind,quadrat_m2,count\n2027-13-12,a,plants,1,1\n", "Width": 400})
	if !bytes.Contains(wrong, []byte("event: failed")) || !bytes.Contains(wrong, []byte("2027-13-12")) {
		t.Errorf("a wrong date is answered %s", wrong)
	}
}

func TestOpenRefusesWhatItCannotServe(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "notes.txt": "x", ".plan.yaml": smallPlan})
	for args, want := range map[string]string{
		"open nothing.yaml": "no such file", "open notes.txt": "not opened here", "open .plan.yaml": "not opened here", "open .": "no ordinary file",
		"open --port 70000": "--port", "open --idle soon": "--idle", "open plan.yaml other.yaml": "too many",
	} {
		if got := run(t, strings.Fields(args)...); got.code == exitDone || !strings.Contains(got.stderr, want) || got.stdout != "" {
			t.Errorf("%s: exit %d, %q, stdout %q; want %q", args, got.code, got.stderr, got.stdout, want)
		}
	}
}

// The start folder is the one started in, or the plan's own where it lies elsewhere.
func TestStartFolder(t *testing.T) {
	inFolder(t, nil)
	here, _ := os.Getwd()
	if err := os.Mkdir("sub", 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("sub/plan.yaml", []byte(smallPlan), 0o644); err != nil {
		t.Fatal(err)
	}
	elsewhere := filepath.Join(t.TempDir(), "far.yaml")
	if err := os.WriteFile(elsewhere, []byte(smallPlan), 0o644); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string][2]string{"": {here, ""}, "sub/plan.yaml": {here, "sub/plan.yaml"}, filepath.Join(here, "sub",
		"plan.yaml"): {here, "sub/plan.yaml"}, elsewhere: {filepath.Dir(elsewhere), "far.yaml"}} {
		folder, name, err := startFolder(path)
		if err != nil || folder != want[0] || name != want[1] {
			t.Errorf("%q: %s, %s, %v; want %v", path, folder, name, err, want)
		}
	}
}

// It ends by itself when nobody comes, and standard output holds the link alone.
func TestOpenEndsWithoutAPage(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	ctx, end := context.WithTimeout(context.Background(), 20*time.Second)
	defer end()
	got := runWith(t, ctx, "", "open", "plan.yaml", "--no-browser", "--idle", "1s")
	if got.code != exitDone || ctx.Err() != nil || strings.Count(got.stdout, "\n") != 1 || !strings.HasPrefix(got.stdout, "http://127.0.0.1:") ||
		!strings.Contains(got.stderr, "no page has been open") {
		t.Errorf("exit %d, %q, %q", got.code, got.stdout, got.stderr)
	}
}
