package report

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/output"
)

// The page's template, style and script. The script only shows what pointing at
// a picture says, a little nicer; the page is whole without it.
//
//go:embed page
var pageFiles embed.FS

// Widths that pictures are laid out for, in CSS pixels: a phone's screen, and
// the column of text of anything wider and of A4 paper.
const (
	narrowWidth = 348.0
	wideWidth   = 680.0
)

// htmlPage is what the template sees.
type htmlPage struct {
	*Page
	Title, Context    string
	First             *plate
	Shortlist         *sheet   // of the page, between answer and picture
	Keep              *sheet   // the short table, on the sheet of paper that a client keeps
	Kept              []string // what stands under it
	Parts             []part
	Guesses           *part // what was assumed; after the warnings
	Notes             []noteView
	Cautions          []string
	Making            making
	Plans             []PlanText
	Style             template.CSS
	Script            template.JS
	Policy, Generator string
}

// part is a chapter ready for the template.
type part struct {
	Chapter
	Plates []*plate
	Before []sheet
	After  []sheet
}

// Inside says what of a part is folded away on a phone: 2 pictures, a table.
func (p part) Inside() string {
	many := func(n int, what string) string {
		if n == 1 {
			return "a " + what
		}
		return fmt.Sprintf("%d %ss", n, what)
	}
	var out []string
	if n := len(p.Plates); n > 0 {
		out = append(out, many(n, "picture"))
	}
	if n := len(p.Before) + len(p.After); n > 0 {
		out = append(out, many(n, "table"))
	}
	return "Show " + strings.Join(out, ", ")
}

// plate is a picture with its words and its numbers.
type plate struct {
	ID, Title, Desc string
	Wide, Narrow    template.HTML // from figure.Press, which escapes every text
	Data            []sheet
}

// noteView is a note with its letter.
type noteView struct{ Letter, Words string }

// Joined is the text behind the word set off at its head.
func (v Verdict) Joined() string {
	if v.Word == "" || v.Text != "" && strings.ContainsRune(": ", rune(v.Text[0])) {
		return v.Text
	}
	return " " + v.Text
}

// HTML writes the report as one page that needs nothing else: no network, no
// script, no other file.
func (r *Report) HTML(w io.Writer) error {
	t, err := template.New("page").Funcs(template.FuncMap{"minus": Minus}).ParseFS(pageFiles, "page/*.html")
	if err != nil {
		return err
	}
	v, err := r.htmlPage()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "page.html", v); err != nil {
		return fmt.Errorf("the page cannot be made (a fault of the program): %w", err)
	}
	_, err = w.Write(output.VisibleText(b.Bytes()))
	return err
}

func (r *Report) htmlPage() (*htmlPage, error) {
	style, err := pageFiles.ReadFile("page/style.css")
	if err != nil {
		return nil, err
	}
	script, err := pageFiles.ReadFile("page/point.js")
	if err != nil {
		return nil, err
	}
	rows := 0
	for _, t := range r.Tables {
		if !t.Apart {
			rows = max(rows, len(t.Rows))
		}
	}
	notes, marks := gather(r.Warnings, rows)
	b := &binder{marks: marks}
	v := &htmlPage{Page: r.page(), Title: r.Title, Context: r.Subtitle, Cautions: r.told(), Plans: r.Plans, Making: r.Made.making()}
	v.Generator = "rundown " + v.Making.Version
	for _, n := range notes {
		v.Notes = append(v.Notes, noteView{n.mark, n.text})
	}
	if v.Page.Main != nil {
		v.First = b.plate(*v.Page.Main)
	}
	if few := v.Page.Few; few != nil {
		s := newSheet(*few, "In short", marks)
		v.Shortlist = &s
	}
	v.Keep, v.Kept = r.sheetToKeep(notes, marks)
	for _, c := range v.Page.Chapters {
		v.Parts = append(v.Parts, b.part(c))
	}
	if v.Page.Assumed != nil {
		guesses := b.part(*v.Page.Assumed)
		v.Guesses = &guesses
	}
	v.Style = template.CSS(b.press.Style() + string(style))
	v.Script = template.JS(script)
	sum := sha256.Sum256(script)
	v.Policy = "default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) +
		"'; base-uri 'none'; form-action 'none'"
	return v, nil
}

// binder puts chapters together and numbers their pictures.
type binder struct {
	press  figure.Press
	marks  map[int]string // of notes, by season
	plates int
}

func (b *binder) part(c Chapter) part {
	p := part{Chapter: c}
	if p.Short == "" {
		p.Short = c.Title
	}
	for _, q := range c.Pictures {
		p.Plates = append(p.Plates, b.plate(q))
	}
	for _, t := range c.Leading {
		p.Before = append(p.Before, newSheet(t, c.Title, b.marks))
	}
	for _, t := range c.Tables {
		p.After = append(p.After, newSheet(t, c.Title, b.marks))
	}
	return p
}

func (b *binder) plate(q Picture) *plate {
	b.plates++
	about := figure.About(q.Figure)
	p := &plate{ID: fmt.Sprintf("figure-%d", b.plates), Title: about.Title, Desc: about.Desc,
		Wide: template.HTML(b.press.Draw(q.Figure, wideWidth)), Narrow: template.HTML(b.press.Draw(q.Figure, narrowWidth))}
	for _, d := range figure.Table(q.Figure) {
		p.Data = append(p.Data, newSheet(dataTable(d), about.Title, nil))
	}
	return p
}

// making is how the report came about, in words.
type making struct {
	Version, Command, Seed string
	Facts                  []Term
}

func (m Made) making() making {
	out := making{Version: m.Version, Command: CommandLine(m.Arguments)}
	add := func(name string, value string) {
		if value != "" {
			out.Facts = append(out.Facts, Term{name, value})
		}
	}
	add("Version", m.Version)
	add("Commit", m.Commit)
	if m.Executable != nil {
		add("Program", m.Executable())
	}
	if m.Runs > 0 {
		out.Seed = strconv.FormatUint(m.Seed, 10)
		add("Seed", out.Seed)
		add("Runs", strconv.Itoa(m.Runs))
	}
	add("Plan, SHA-256", m.PlanSHA256)
	add("Library, SHA-256", m.LibrarySHA256)
	for _, x := range m.Inputs {
		add(x.Name+", SHA-256", x.SHA256)
	}
	add("Built with", m.Go)
	var built []string
	for _, x := range m.Modules {
		built = append(built, x.Path+" "+x.Version)
	}
	add("Modules", strings.Join(built, ", "))
	return out
}

// CommandLine is the command that makes the report again: flags that were not
// given are left out, and words that a shell would take apart are quoted.
func CommandLine(arguments []string) string {
	words := []string{"rundown"}
	for _, a := range arguments {
		if strings.HasPrefix(a, "--") && strings.HasSuffix(a, "=") {
			continue
		}
		if a == "" || strings.Trim(a, safeInShell) != "" {
			a = "'" + strings.ReplaceAll(a, "'", `'\''`) + "'"
		}
		words = append(words, a)
	}
	return strings.Join(words, " ")
}

const safeInShell = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_=./:,+@%"
