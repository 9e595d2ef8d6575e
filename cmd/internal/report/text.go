package report

import (
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"rundown/cmd/internal/output"
)

// widestProse is the longest line that reads well; tables may be wider.
const widestProse = 96

// Text writes the report for a person, in as much detail as it asks for.
func (r *Report) Text(w io.Writer, show output.Terminal) error {
	var b strings.Builder
	switch {
	case r.Answer != nil && r.Detail == Brief:
		b.WriteString(r.Answer.text(show, r.Detail))
	case r.Answer != nil && r.Detail == Usual:
		r.usual(&b, show)
	default:
		r.whole(&b, show)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// head is the title, the answer and what was run.
func (r *Report) head(b *strings.Builder, show output.Terminal) {
	prose := min(show.Columns, widestProse)
	if r.Title != "" {
		b.WriteString(paintLines(wrap(r.Title, prose, "", ""), show.Bold))
	}
	if r.Answer != nil {
		b.WriteString(r.Answer.text(show, r.Detail))
	}
	if r.Subtitle != "" {
		b.WriteString(paintLines(wrap(r.Subtitle, prose, "", ""), func(s string) string {
			if r.Answer != nil {
				return show.Faint(s)
			}
			return s
		}))
	}
}

// usual is the answer, a short table and what must be known before acting, in few
// lines; the table gives way to the rest.
func (r *Report) usual(b *strings.Builder, show output.Terminal) {
	plain := output.Terminal{Columns: usualColumns}
	some := *r
	r = &some
	r.Warnings = slices.Clone(r.Warnings)
	for i := range r.Warnings {
		if w := &r.Warnings[i]; w.Usual != "" {
			w.Text = w.Usual
		}
	}
	var rest strings.Builder
	r.head(&rest, plain)
	r.foot(&rest, plain, 0)
	r.Short = r.Short.fitting(usualColumns)
	short := r.Short
	short.Rows = nil
	rest.WriteByte('\n')
	short.write(&rest, plain, nil)
	blocks := len(r.Short.blocks(r.Short.widths(r.Short.aligned(r.Short.marked(nil))), usualColumns))
	left := r.Lines - strings.Count(rest.String(), "\n")
	r.head(b, show)
	b.WriteByte('\n')
	table := r.Short.trimmed(max((left-blockHead*(blocks-1))/blocks, 0))
	_, marks := gather(r.Warnings, len(r.Short.Rows))
	table.write(b, show, marks)
	r.foot(b, show, len(r.Short.Rows))
}

// blockHead is how many lines a further block of a table takes besides its rows: an empty one and two of headings.
const blockHead = 3

// whole is everything.
func (r *Report) whole(b *strings.Builder, show output.Terminal) {
	prose := min(show.Columns, widestProse)
	r.head(b, show)
	if len(r.Sentences) > 0 {
		b.WriteByte('\n')
	}
	for _, s := range r.Sentences {
		b.WriteString(wrap(s, prose, "- ", "  "))
	}
	if len(r.Terms) > 0 {
		b.WriteByte('\n')
		writeTerms(b, r.Terms, "", prose, show)
	}
	rows := 0
	for _, t := range r.Tables {
		if !t.Apart {
			rows = max(rows, len(t.Rows))
		}
	}
	_, marks := gather(r.Warnings, rows)
	if show.Blocks && len(r.Sparks) > 0 {
		b.WriteByte('\n')
		sparkTable(r.Sparks, r.Span[0], r.Span[1]).write(b, show, nil)
	}
	for _, t := range r.Tables {
		b.WriteByte('\n')
		t.write(b, show, marks)
	}
	for _, list := range [][]Term{r.Remarks, r.Sources} {
		if len(list) > 0 {
			b.WriteByte('\n')
			writeTerms(b, list, "", prose, show)
		}
	}
	all := *r // with the method
	all.Cautions = r.told()
	all.foot(b, show, rows)
}

// told is the cautions and the method.
func (r *Report) told() []string {
	if r.Method == "" {
		return r.Cautions
	}
	return append(slices.Clone(r.Cautions), r.Method)
}

// foot is the warnings, the cautions and where the rest is.
func (r *Report) foot(b *strings.Builder, show output.Terminal, rows int) {
	prose := min(show.Columns, widestProse)
	notes, _ := gather(r.Warnings, rows)
	if len(notes) > 0 {
		b.WriteByte('\n')
	}
	for _, n := range notes {
		b.WriteString(wrap(n.text, prose, n.mark+"  ", "   "))
	}
	if len(r.Cautions) > 0 {
		b.WriteByte('\n')
		b.WriteString(paintLines(wrap(strings.Join(r.Cautions, " "), prose, "", ""), show.Faint))
	}
	if r.Written != "" {
		b.WriteString("\n" + wrap(r.Written, prose, "", ""))
	}
}

// Paragraphs is text wrapped to a width, its paragraphs still apart. One that is indented is
// lines of a file, which stand as they are.
func Paragraphs(text string, columns int) string {
	var out []string
	for _, p := range strings.Split(text, "\n\n") {
		if strings.HasPrefix(p, "  ") {
			out = append(out, strings.TrimRight(p, "\n")+"\n")
			continue
		}
		out = append(out, wrap(p, min(columns, widestProse), "", ""))
	}
	return strings.Join(out, "\n")
}

// Listing is terms as plain text, each line after an indent.
func Listing(terms []Term, indent string, columns int) string {
	var b strings.Builder
	writeTerms(&b, terms, indent, min(columns, widestProse), output.Terminal{})
	return b.String()
}

// writeTerms hangs each text beside its name; where a name takes more than two
// fifths of the line the texts hang under the names.
func writeTerms(b *strings.Builder, terms []Term, indent string, columns int, show output.Terminal) {
	width := 0
	for _, t := range terms {
		width = max(width, utf8.RuneCountInString(t.Name))
	}
	if beside := len(indent) + width + 2; 5*beside <= 2*columns {
		hang := strings.Repeat(" ", beside)
		for _, t := range terms {
			text := strings.TrimPrefix(wrap(t.Text, columns, hang, hang), hang)
			b.WriteString(indent + show.Bold(t.Name) + strings.Repeat(" ", beside-len(indent)-utf8.RuneCountInString(t.Name)) + text)
		}
		return
	}
	for _, t := range terms {
		b.WriteString(indent + show.Bold(t.Name) + "\n" + wrap(t.Text, columns, indent+"    ", indent+"    "))
	}
}

type note struct{ mark, text string }

// gather makes one note of all warnings of a code, in the order in which they
// came, and tells which marks belong to each season. A note about every season
// needs no mark.
func gather(warnings []Warning, rows int) (notes []note, marks map[int]string) {
	marks = map[int]string{}
	seen := map[string]bool{}
	for i, w := range warnings {
		if seen[w.Code] && w.Lead != "" {
			continue
		}
		seen[w.Code] = true
		mark := string(rune('a' + len(notes)%26))
		text, details, seasons := w.Text, []string{}, []int{w.Season}
		if w.Lead != "" {
			seasons = nil
			for _, other := range warnings[i:] {
				if other.Code == w.Code {
					if other.Detail != "" { // else it is told with another
						details = append(details, other.Detail)
					}
					seasons = append(seasons, other.Season)
				}
			}
		}
		if len(seasons) > 1 && len(details) > 0 {
			text = w.Lead + " " + strings.Join(details, "; ") + "."
		}
		for _, s := range seasons {
			if s > 0 && len(seasons) < rows {
				marks[s] = joinMarks(marks[s], mark)
			}
		}
		notes = append(notes, note{mark, text})
	}
	return notes, marks
}

func joinMarks(have, more string) string {
	if have == "" {
		return more
	}
	return have + "," + more
}

// wrap breaks text into lines of at most so many columns. Parts of a bracket
// such as (40–620) hold no spaces and so stay together.
func wrap(text string, columns int, first, rest string) string {
	var b strings.Builder
	line, width := first, utf8.RuneCountInString(first)
	empty := true
	for _, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		if !empty && width+1+n > columns {
			b.WriteString(line + "\n")
			line, width, empty = rest, utf8.RuneCountInString(rest), true
		}
		if !empty {
			line += " "
			width++
		}
		line += word
		width += n
		empty = false
	}
	b.WriteString(line + "\n")
	return b.String()
}

func paintLines(lines string, paint func(string) string) string {
	parts := strings.Split(strings.TrimSuffix(lines, "\n"), "\n")
	for i := range parts {
		parts[i] = paint(parts[i])
	}
	return strings.Join(parts, "\n") + "\n"
}

// pad fills a cell to a width.
func pad(s string, width int, right bool) string {
	gap := width - utf8.RuneCountInString(s)
	if gap <= 0 {
		return s
	}
	if right {
		return strings.Repeat(" ", gap) + s
	}
	return s + strings.Repeat(" ", gap)
}
