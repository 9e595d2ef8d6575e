package output

import "testing"

func TestVisible(t *testing.T) {
	for in, want := range map[string]string{
		"Größe, 7 m² – “ok”":         "Größe, 7 m² – “ok”",
		"a\x1b[2Jb\r\x07c\u0085d":    "a [2Jb  c d",
		"one\u2028two\u202ethree\t.": "one two three .",
	} {
		if got := Visible(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
	show := Terminal{Colour: true}
	for in, want := range map[string]string{
		show.Bold("x") + "\tä\n" + show.Red("y") + "\n": show.Bold("x") + "\tä\n" + show.Red("y") + "\n",
		show.Faint("x\x1b[2J\u2029") + "\r\n":           "\x1b[2mx [2J \x1b[0m \n",
		"\x1b":                                          " ",
		"":                                              "",
	} {
		if got := string(VisibleText([]byte(in))); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}
