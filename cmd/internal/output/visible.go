package output

import (
	"bytes"
	"strings"
	"unicode"
)

// obeyed tells of what a terminal or an editor obeys instead of showing it: control
// characters, the separators of lines and paragraphs, and what turns the direction of
// writing.
func obeyed(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || unicode.Is(unicode.Bidi_Control, r)
}

// Visible is a text of one line with a space for everything that would be obeyed.
func Visible(s string) string {
	return strings.Map(func(r rune) rune {
		if obeyed(r) {
			return ' '
		}
		return r
	}, s)
}

// VisibleText is Visible for a whole text, at the edge to the outside: line ends and
// tabs stay, and so do the marks that Terminal sets.
func VisibleText(text []byte) []byte {
	if bytes.IndexFunc(text, func(r rune) bool { return r != '\n' && r != '\t' && obeyed(r) }) < 0 {
		return text
	}
	var b strings.Builder
	rest := string(text)
next:
	for rest != "" {
		for _, mark := range []string{"\x1b[1m", "\x1b[2m", "\x1b[31m", "\x1b[0m"} {
			if strings.HasPrefix(rest, mark) {
				b.WriteString(mark)
				rest = rest[len(mark):]
				continue next
			}
		}
		i := 1
		for i < len(rest) && rest[i] != '\x1b' {
			i++
		}
		for _, r := range rest[:i] {
			if r != '\n' && r != '\t' && obeyed(r) {
				r = ' '
			}
			b.WriteRune(r)
		}
		rest = rest[i:]
	}
	return []byte(b.String())
}
