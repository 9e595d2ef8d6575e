package params

import (
	"crypto/sha256"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"rundown/params/sheet"
)

//go:embed */*.yaml
var embedded embed.FS

// Library is everything that can be named in a plan. What the program carries
// is read when it is first asked for: parsing all of it would be most of what
// a short command does. It may be used by several goroutines at once.
type Library struct {
	mu      sync.Mutex
	entries map[string]map[string]*Entry  // by kind and name
	waiting map[string]map[string]*source // what the program carries and nobody has asked for yet
	sums    []string                      // path and SHA-256 of every file, in the order read
	drafts  []draft                       // entries read and not yet checked
	own     []string                      // the user's own files, as opened
}

// Own are the files of a user's own library that were laid over this one.
func (l *Library) Own() []string { return l.own }

// draft is an entry as read, with the places that its checks report.
type draft struct {
	entry *Entry // as it now stands in the library
	place sheet.Place
	words map[string]sheet.Place
}

// carried are the files that the program carries, by kind, in order. They are hashed once and
// each is parsed once, whoever asks first: what is read is never changed.
var carried = sync.OnceValues(func() (map[string][]*source, error) {
	of := map[string][]*source{}
	for _, kind := range Kinds {
		files, err := embedded.ReadDir(kind)
		if err != nil && !errors.Is(err, fs.ErrNotExist) { // a kind may have no entries
			return nil, fmt.Errorf("reading the library: %w", err)
		}
		form := Form(kind)
		for _, f := range files {
			file := path.Join(kind, f.Name())
			data, err := embedded.ReadFile(file)
			if err != nil {
				return nil, fmt.Errorf("reading the library: %w", err)
			}
			of[kind] = append(of[kind], &source{kind: kind, file: file, short: file, sum: sum(file, data), data: data, form: form})
		}
	}
	return of, nil
})

// Load opens the library that the program carries.
func Load() (*Library, error) {
	of, err := carried()
	if err != nil {
		return nil, err
	}
	l := &Library{entries: map[string]map[string]*Entry{}, waiting: map[string]map[string]*source{}}
	for _, kind := range Kinds {
		l.entries[kind], l.waiting[kind] = map[string]*Entry{}, map[string]*source{}
		for _, s := range of[kind] {
			l.waiting[kind][strings.TrimSuffix(path.Base(s.file), ".yaml")] = s
			l.sums = append(l.sums, s.sum)
		}
	}
	return l, nil
}

// Check reads and checks the whole library. An error means that the program
// was built with a broken one.
func (l *Library) Check() error {
	var m sheet.Mistakes
	l.mu.Lock()
	for _, kind := range Kinds {
		l.readKind(kind, &m)
	}
	l.mu.Unlock()
	l.check(&m)
	if m.Len() > 0 {
		return fmt.Errorf("the library that the program carries is broken:\n%w", &m)
	}
	return nil
}

// entry is an entry by its name, read now if nobody has asked for it before.
func (l *Library) entry(kind, name string, m *sheet.Mistakes) *Entry {
	if s := l.waiting[kind][name]; s != nil {
		delete(l.waiting[kind], name)
		s.read()
		l.take(s, m)
	}
	return l.entries[kind][name]
}

// readKind reads what is still waiting of a kind, side by side.
func (l *Library) readKind(kind string, m *sheet.Mistakes) {
	var all []*source
	for _, name := range slices.Sorted(maps.Keys(l.waiting[kind])) {
		all = append(all, l.waiting[kind][name])
	}
	clear(l.waiting[kind])
	readAll(all)
	for _, s := range all {
		l.take(s, m)
	}
}

// source is the file of one entry and what was read from it.
type source struct {
	kind, file string
	short      string // its name in the library's hash
	sum        string
	data       []byte
	form       *sheet.Table
	user       bool // of a user's own library

	once  sync.Once
	entry *Entry // nil when it holds nothing to go on
	words map[string]sheet.Place
	m     sheet.Mistakes
}

func (s *source) read() {
	s.once.Do(func() {
		r := &reader{kind: s.kind, form: s.form, user: s.user, m: &s.m, words: map[string]sheet.Place{}}
		s.entry, s.words = r.read(s.file, s.data), r.words
	})
}

// readAll reads files side by side.
func readAll(all []*source) {
	var next atomic.Int64
	var wait sync.WaitGroup
	var fault atomic.Value
	for range min(runtime.GOMAXPROCS(0), len(all)) {
		wait.Go(func() {
			defer func() {
				if f := recover(); f != nil {
					fault.Store(fmt.Sprintf("%v\n%s", f, stack()))
				}
			}()
			for i := next.Add(1) - 1; i < int64(len(all)); i = next.Add(1) - 1 {
				all[i].read()
			}
		})
	}
	wait.Wait()
	if f := fault.Load(); f != nil {
		panic(f) // where the caller can catch it
	}
}

// add reads a user's file into the library. It is named in the hash by short.
func (l *Library) add(kind, file, short string, data []byte, m *sheet.Mistakes) {
	s := &source{kind: kind, file: file, short: short, data: data, form: Form(kind), user: true}
	s.read()
	l.sums, l.own = append(l.sums, sum(short, data)), append(l.own, file)
	l.mu.Lock()
	defer l.mu.Unlock()
	l.take(s, m)
}

func sum(name string, data []byte) string { return fmt.Sprintf("%s %x", name, sha256.Sum256(data)) }

// take takes what was read from a file into the library: a new entry, or what
// changes in one that is already there.
func (l *Library) take(s *source, m *sheet.Mistakes) {
	for _, x := range s.m.Sorted() {
		m.Add(x.Place, "%s", x.Text)
	}
	if s.entry == nil {
		return
	}
	own := *s.entry // what was read serves other libraries too
	e := &own
	if old := l.entry(s.kind, e.Name, m); old != nil {
		for key := range e.Values { // mistakes are put in order of their places
			if at, ok := s.words[withoutSpread+key]; ok && old.Values[key] != nil && (old.Values[key].Drawn() || old.Values[key].Spread.PerEvent) {
				m.Add(at, "%s has a spread in the library and none here; write spread: fixed if it is known exactly, or how far it may be off, as spread: "+
					"{lognormal: 1.3}", key)
			}
		}
		e = old.under(e)
	}
	for _, q := range Quantities(s.kind) {
		if e.Values[q.Key] != nil {
			e.Keys = append(e.Keys, q.Key)
		}
	}
	l.entries[s.kind][e.Name] = e
	l.drafts = append(l.drafts, draft{e, sheet.Place{File: s.file, Line: 1}, s.words})
}

// under lays a user's entry over one of the library: what it gives counts,
// what it leaves out stays. Neither is changed, but the user's values come to
// know what they stand over.
func (e *Entry) under(user *Entry) *Entry {
	out := *e
	out.Keys = nil
	out.Text, out.Lists, out.Values = maps.Clone(e.Text), maps.Clone(e.Lists), maps.Clone(e.Values)
	maps.Copy(out.Text, user.Text)
	maps.Copy(out.Lists, user.Lists)
	for key, v := range user.Values {
		if v.Over = e.Values[key]; v.Over != nil && v.Over.Over != nil {
			v.Over = v.Over.Over
		}
		out.Values[key] = v
	}
	if user.About != "" {
		out.About = user.About
	}
	if user.EPPO != "" {
		out.EPPO = user.EPPO
	}
	if user.Usual != nil {
		out.Usual = user.Usual
	}
	return &out
}

// check checks every entry read since the last time.
func (l *Library) check(m *sheet.Mistakes) {
	l.mu.Lock()
	drafts := l.drafts
	l.drafts = nil
	l.mu.Unlock()
	for _, d := range drafts {
		l.checkEntry(d.entry, d.place, m)
		l.checkNames(d, m)
	}
}

// checkNames notes names of other entries that lead nowhere.
func (l *Library) checkNames(d draft, m *sheet.Mistakes) {
	e := d.entry
	if as := e.Text["bypass_as"]; as != "" {
		if x := l.Find("implements", as); x == nil || x.Values["movement"] == nil {
			m.Add(d.at("bypass_as"), "no implement that moves soil is called %q; %s", as, l.DidYouMean(as, "implements"))
		}
	}
	l.checkHerbicide(d, m)
	l.checkWeed(d, m)
	if e.EPPO == "" {
		return
	}
	for _, name := range l.Names(e.Kind) {
		if x := l.Find(e.Kind, name); name != e.Name && strings.EqualFold(x.EPPO, e.EPPO) {
			m.Add(d.at("eppo"), "the EPPO code %s already stands for %s", e.EPPO, name)
		}
	}
}

// at is the place of a word, or the entry's own.
func (d draft) at(word string) sheet.Place {
	if p, ok := d.words[word]; ok {
		return p
	}
	return d.place
}

// Find is the entry of a name, nil when there is none. Weeds and crops answer
// to their EPPO code too, in either case.
func (l *Library) Find(kind, name string) *Entry {
	l.mu.Lock()
	defer l.mu.Unlock()
	var m sheet.Mistakes // none: the tests of the library read all that the program carries
	if e := l.entry(kind, name, &m); e != nil {
		return e
	}
	if kind == "weeds" || kind == "crops" {
		l.readKind(kind, &m)
	}
	for _, e := range l.entries[kind] {
		if e.EPPO != "" && strings.EqualFold(e.EPPO, name) {
			return e
		}
	}
	return nil
}

// Names lists the names of a kind in order.
func (l *Library) Names(kind string) []string {
	l.mu.Lock()
	defer l.mu.Unlock()
	names := slices.AppendSeq(slices.Collect(maps.Keys(l.entries[kind])), maps.Keys(l.waiting[kind]))
	slices.Sort(names)
	return names
}

// SHA256 is the hash, in hexadecimal, of the hashes of all files of the
// library in order of path, a user's own after those.
func (l *Library) SHA256() string {
	return fmt.Sprintf("%x", sha256.Sum256([]byte(strings.Join(l.sums, "\n"))))
}

// Grades counts the values of each grade.
func Grades(l *Library) map[Grade]int {
	n := map[Grade]int{}
	for _, kind := range Kinds {
		for _, name := range l.Names(kind) {
			for _, v := range l.Find(kind, name).Values {
				n[v.Grade]++
			}
		}
	}
	return n
}

// stack is where a panic came from.
func stack() []byte {
	b := make([]byte, 1<<16)
	return b[:runtime.Stack(b, false)]
}
