package planner

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/study"
)

// lines is what a server printed.
type lines struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lines) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(b)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

// served is a server under test, with who has come in by its link.
type served struct {
	t         *testing.T
	s         *Server
	folder    string
	out, err  lines
	end       context.CancelFunc
	ended     chan error
	host      string
	link      string
	cookie    *http.Cookie
	key       string
	made      atomic.Int64 // runs, by chunks of 16
	client    *http.Client
	beginning func() // called when runs begin
}

// count counts the runs that are made.
func (v *served) count(done, _ int) {
	v.made.Add(16) // they are told of in chunks of 16, in no order
	if v.beginning != nil {
		v.beginning()
	}
}

func inWords(p *Plan, found *study.Forecast) *report.Report {
	return findings.Forecast(findings.ForecastRun{Found: found, Run: findings.Run{Calendar: p.Calendar, Replicates: found.Replicates, Seed: found.Seed}})
}

// serve starts a server on a folder with some files.
func serve(t *testing.T, files map[string]string, change ...func(*Config)) *served {
	t.Helper()
	v := &served{t: t, folder: t.TempDir(), ended: make(chan error, 1)}
	for name, text := range files {
		at := filepath.Join(v.folder, name)
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	root, err := os.OpenRoot(v.folder)
	if err != nil {
		t.Fatal(err)
	}
	c := Config{Root: root, Folder: v.folder, Idle: time.Hour, Forecast: inWords, Out: &v.out, Err: &v.err}
	for _, f := range change {
		f(&c)
	}
	if v.s, err = New(c); err != nil {
		t.Fatal(err)
	}
	v.s.told, v.s.patience = v.count, 2*time.Second
	ctx, end := context.WithCancel(context.Background())
	v.end = end
	go func() { v.ended <- v.s.Run(ctx) }()
	t.Cleanup(func() {
		end()
		<-v.ended
		_ = root.Close()
	})
	for !strings.HasSuffix(v.out.String(), "\n") {
		select {
		case err := <-v.ended:
			v.ended <- err
			t.Fatalf("it ended: %v", err)
		case <-time.After(time.Millisecond):
		}
	}
	v.link = strings.TrimSpace(v.out.String())
	v.host = strings.TrimPrefix(v.link[:strings.Index(v.link, "/?")], "http://")
	v.client = &http.Client{Transport: &http.Transport{DisableKeepAlives: true}, CheckRedirect: func(*http.Request,
		[]*http.Request) error {
		return http.ErrUseLastResponse
	}}
	return v
}

var keyIn = regexp.MustCompile(`name="key" content="([0-9a-f]{32})"`)

// enter goes in by the link, as a browser would.
func (v *served) enter() {
	v.t.Helper()
	r, err := v.client.Get(v.link)
	if err != nil {
		v.t.Fatal(err)
	}
	defer r.Body.Close()
	body, _ := io.ReadAll(r.Body)
	found := keyIn.FindSubmatch(body)
	if r.StatusCode != http.StatusOK || found == nil || len(r.Cookies()) != 1 {
		v.t.Fatalf("the link does not let in: %d %s", r.StatusCode, body)
	}
	v.key, v.cookie = string(found[1]), r.Cookies()[0]
}

// request is one that is let in; changes make of it what is tried.
func (v *served) request(method, path, body string, changes ...func(*http.Request)) *http.Request {
	v.t.Helper()
	r, err := http.NewRequest(method, "http://"+v.host+path, strings.NewReader(body))
	if err != nil {
		v.t.Fatal(err)
	}
	if v.cookie != nil {
		r.AddCookie(v.cookie)
	}
	if strings.HasPrefix(path, "/api/") {
		r.Header.Set(keyHeader, v.key)
		r.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	if method == http.MethodPost {
		r.Header.Set("Origin", "http://"+v.host)
		r.Header.Set("Content-Type", "application/json")
	}
	for _, f := range changes {
		f(r)
	}
	return r
}

// status sends a request and tells how it was answered.
func (v *served) status(r *http.Request) (int, string) {
	v.t.Helper()
	a, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	defer a.Body.Close()
	body, _ := io.ReadAll(a.Body)
	return a.StatusCode, string(body)
}

// post calls /api and reads the answer.
func (v *served) post(path string, body any, into any) int {
	v.t.Helper()
	data, err := json.Marshal(body)
	if err != nil {
		v.t.Fatal(err)
	}
	code, said := v.status(v.request(http.MethodPost, path, string(data)))
	if into != nil {
		if err := json.Unmarshal([]byte(said), into); err != nil {
			v.t.Fatalf("%s answers %d %s", path, code, said)
		}
	}
	return code
}

// event is one of a stream.
type event struct {
	name string
	data json.RawMessage
}

// stream reads events until the stream or the context ends.
func (v *served) stream(ctx context.Context, body any, on func(event)) error {
	data, _ := json.Marshal(body)
	a, err := v.client.Do(v.request(http.MethodPost, "/api/forecast", string(data)).WithContext(ctx))
	if err != nil {
		return err
	}
	defer a.Body.Close()
	if a.StatusCode != http.StatusOK {
		return fmt.Errorf("answered %d", a.StatusCode)
	}
	all := ""
	b := make([]byte, 1<<16)
	for {
		n, err := a.Body.Read(b)
		all += string(b[:n])
		for {
			one, rest, ok := strings.Cut(all, "\n\n")
			if !ok {
				break
			}
			name, data, _ := strings.Cut(strings.TrimPrefix(one, "event: "), "\ndata: ")
			on(event{name, json.RawMessage(data)})
			all = rest
		}
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// inFull leaves a test out of a short run: it makes thousands of runs, or as many edits.
func inFull(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("some seconds; a minute under the race detector")
	}
}

var starter = string(rotations.Starter())
