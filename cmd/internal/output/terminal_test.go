package output

import (
	"os"
	"strings"
	"testing"
)

// The first of LC_ALL, LC_CTYPE and LANG that is set decides on the characters
// (POSIX, Base Definitions, section 8.2).
func TestUnicodeLocale(t *testing.T) {
	for _, c := range []struct {
		set  string // NAME=value, separated by spaces
		want bool
	}{
		{"", false}, {"LANG=C", false}, {"LANG=C.UTF-8", true}, {"LANG=de_DE.utf8", true}, {"LANG=en_GB.UTF-8 LC_ALL=C", false},
		{"LANG=C LC_CTYPE=en_GB.UTF-8", true}, {"LC_CTYPE=en_GB.ISO-8859-1 LANG=en_GB.UTF-8", false}, {"LC_ALL= LANG=en_GB.UTF-8", true},
	} {
		getenv := func(name string) string {
			for _, v := range strings.Fields(c.set) {
				if value, ok := strings.CutPrefix(v, name+"="); ok {
					return value
				}
			}
			return ""
		}
		if got := unicodeLocale(getenv); got != c.want {
			t.Errorf("%q: %v, want %v", c.set, got, c.want)
		}
	}
}

// Nobody sits at a file, a pipe or a text.
func TestListens(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	defer w.Close()
	if Listens(r) || Listens(strings.NewReader("x")) {
		t.Error("a pipe or a text listens")
	}
	if look := Look(w, func(string) string { return "en_GB.UTF-8" }); look.Blocks || look.Interactive || look.Colour {
		t.Errorf("a pipe is taken for a terminal: %+v", look)
	}
}
