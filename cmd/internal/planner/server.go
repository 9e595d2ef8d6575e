package planner

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"net"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/output"
	"rundown/params"
)

// The page: a template, styles and modules, as they are served.
//
//go:embed page
var pageFiles embed.FS

// Server serves one start of the page.
type Server struct {
	Config
	host       string // 127.0.0.1:PORT
	name       string // of this start; no secret
	cookieName string
	cookie     string
	key        string
	token      string
	pages      *template.Template
	files      map[string]file
	kept       kept
	library    *params.Library // the program's own
	turns      chan struct{}   // how many ensembles run at once

	patience time.Duration         // for a request to be sent whole
	told     func(done, total int) // of runs, for tests; may be nil

	mu      sync.Mutex
	used    bool // the link
	seen    time.Time
	running int
	live    map[string]*work // by page
	reports map[string][]byte
}

// file is an embedded file with its type; types are set by hand, since some systems give a
// module a type under which no browser takes it.
type file struct {
	kind string
	data []byte
}

var kinds = map[string]string{".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml"}

// mostAtOnce is how many ensembles run side by side; each takes all processors.
const mostAtOnce = 2

// New makes a server that listens nowhere yet.
func New(c Config) (*Server, error) {
	s := &Server{Config: c, name: secret(), cookie: secret(), key: secret(), token: secret(), turns: make(chan struct{}, mostAtOnce), patience: 20 * time.Second,
		live: map[string]*work{}, reports: map[string][]byte{}, files: map[string]file{}}
	var err error
	if s.library, err = params.Load(); err != nil {
		return nil, err
	}
	if s.pages, err = template.ParseFS(pageFiles, "page/*.html"); err != nil {
		return nil, err
	}
	entries, err := pageFiles.ReadDir("page")
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		data, err := pageFiles.ReadFile("page/" + e.Name())
		if err != nil {
			return nil, err
		}
		if kind := kinds[path.Ext(e.Name())]; kind != "" {
			s.files["/"+e.Name()] = file{kind, data}
		}
	}
	s.files["/colours.css"] = file{kinds[".css"], []byte(new(figure.Press).Style())}
	return s, nil
}

// Run serves until the context ends, or until no page has been open for a while.
func (s *Server) Run(ctx context.Context) error {
	listener, err := net.Listen("tcp4", fmt.Sprintf("127.0.0.1:%d", s.Port))
	if err != nil {
		return fmt.Errorf("port %d of this machine cannot be used: %w", s.Port, err)
	}
	ctx, end := context.WithCancel(ctx)
	defer end()
	port := listener.Addr().(*net.TCPAddr).Port
	s.host, s.cookieName = fmt.Sprintf("127.0.0.1:%d", port), fmt.Sprintf("rundown-%d", port)
	s.seen = time.Now()
	server := &http.Server{
		Handler: s, ConnContext: withPeer, BaseContext: func(net.Listener) context.Context { return ctx },
		ReadHeaderTimeout: 5 * time.Second, ReadTimeout: s.patience, IdleTimeout: time.Minute, MaxHeaderBytes: 16 << 10,
		ErrorLog: nil, DisableGeneralOptionsHandler: true,
	}
	server.ErrorLog = quiet()
	context.AfterFunc(ctx, func() { _ = server.Close() })
	go s.watch(ctx, end)
	link := "http://" + s.host + "/?token=" + s.token
	if _, err := fmt.Fprintln(s.Out, link); err != nil {
		_ = listener.Close()
		return fmt.Errorf("the link cannot be printed: %w", err)
	}
	if s.Browser != nil {
		if err := s.Browser(link); err != nil {
			s.say("no browser could be opened (" + err.Error() + "); open the link above by hand")
		}
	}
	if err := server.Serve(&crowd{Listener: listener}); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// watch ends the program when no page has been seen for a while and nothing runs.
func (s *Server) watch(ctx context.Context, end func()) {
	tick := time.NewTicker(max(min(s.Idle/4, 5*time.Second), 10*time.Millisecond))
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		s.mu.Lock()
		idle := s.running == 0 && time.Since(s.seen) > s.Idle
		s.mu.Unlock()
		if idle {
			s.say(fmt.Sprintf("no page has been open for %v; ended", s.Idle))
			end()
			return
		}
	}
}

// say tells the person who started it.
func (s *Server) say(text string) {
	_, _ = fmt.Fprintln(s.Err, "rundown: "+output.Visible(text)) // nobody else to tell
}

// page answers with one of the templates.
func (s *Server) page(w http.ResponseWriter, r *http.Request, status int, name string, of map[string]any) {
	if strings.HasPrefix(r.URL.Path, "/api/") && status != http.StatusOK {
		answer(w, status, map[string]any{"text": of["Text"]})
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	if r.Method != http.MethodHead {
		_ = s.pages.ExecuteTemplate(w, name, of) // a reader who has gone
	}
}

type handler = func(http.ResponseWriter, *http.Request)

// routed finds what answers a path.
func (s *Server) routed(r *http.Request) (handler, *refusal) {
	reads := map[string]handler{
		"/": s.index, "/ping": s.ping, "/api/library": s.names, "/api/start": s.start, "/api/files": s.list,
	}
	posts := map[string]handler{
		"/api/open": s.open, "/api/save": s.save, "/api/edit": s.edit,
		"/api/forecast": s.forecast, "/api/update": s.update, "/api/report": s.report, "/api/beat": s.beat,
	}
	at := r.URL.Path
	h, method := reads[at], http.MethodGet
	if f, ok := s.files[at]; ok {
		h = func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Type", f.kind)
			_, _ = w.Write(f.data)
		}
	}
	if strings.HasPrefix(at, "/report/") {
		h = s.shown
	}
	if p := posts[at]; p != nil {
		h, method = p, http.MethodPost
	}
	switch {
	case h == nil:
		return nil, &refusal{http.StatusNotFound, "There is nothing here."}
	case r.Method != method && !(r.Method == http.MethodHead && method == http.MethodGet):
		return nil, &refusal{http.StatusMethodNotAllowed, "Only " + method + " is answered here."}
	}
	return h, nil
}

func (s *Server) index(w http.ResponseWriter, r *http.Request) {
	s.touch()
	s.page(w, r, http.StatusOK, "index.html", map[string]any{"Start": s.name})
}

// ping tells the name of this start, so that a page knows whom it speaks to.
func (s *Server) ping(w http.ResponseWriter, _ *http.Request) {
	answer(w, http.StatusOK, map[string]any{"start": s.name})
}

func (s *Server) beat(w http.ResponseWriter, _ *http.Request) {
	s.touch()
	answer(w, http.StatusOK, map[string]any{"start": s.name})
}

func (s *Server) touch() {
	s.mu.Lock()
	s.seen = time.Now()
	s.mu.Unlock()
}
