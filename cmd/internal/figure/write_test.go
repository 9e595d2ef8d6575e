package figure

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"strings"
	"testing"
)

// drawn writes a figure and fails the test if that fails.
func drawn(t *testing.T, f Figure, format Format) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(f, format, &out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// elements reads an SVG strictly and gives the text of each kind of element.
func elements(t *testing.T, name string, svg []byte) (text map[string][]string, root xml.StartElement) {
	t.Helper()
	text = map[string][]string{}
	d := xml.NewDecoder(bytes.NewReader(svg))
	var open []string
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return text, root
		}
		if err != nil {
			t.Fatalf("%s: not well-formed: %v", name, err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			if len(open) == 0 {
				root = e.Copy()
			}
			open = append(open, e.Name.Local)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				k := open[len(open)-1]
				text[k] = append(text[k], strings.TrimSpace(string(e)))
			}
		}
	}
}

func TestSVGIsWellFormedAndAccessible(t *testing.T) {
	for _, d := range demos() {
		svg := drawn(t, d.fig, SVG)
		text, root := elements(t, d.name, svg)
		role := ""
		for _, a := range root.Attr {
			if a.Name.Local == "role" {
				role = a.Value
			}
		}
		if root.Name.Local != "svg" || role != "img" {
			t.Errorf("%s: root is <%s role=%q>, want <svg role=\"img\">", d.name, root.Name.Local, role)
		}
		about := d.fig.caption()
		if got := text["title"]; len(got) != 1 || got[0] != about.Title || about.Title == "" {
			t.Errorf("%s: <title> is %q, want %q", d.name, got, about.Title)
		}
		if got := text["desc"]; len(got) != 1 || len(got[0]) < 40 {
			t.Errorf("%s: <desc> is %q, want a description", d.name, got)
		}
		if bytes.Contains(svg, []byte(" id=")) || bytes.Contains(svg, []byte("<script")) {
			t.Errorf("%s: has an id or a script; several pictures must be able to stand in one page", d.name)
		}
		if n := bytes.Count(svg, []byte("<text")); n == 0 || n != bytes.Count(svg, []byte("'Liberation Sans',Arial,Helvetica,sans-serif")) {
			t.Errorf("%s: not every text has the fallback fonts", d.name)
		}
	}
}

func TestProvenanceIsKept(t *testing.T) {
	f := demoBands(2)
	f.Provenance = `rundown <1.0> & "plan" 3f2a`
	text, _ := elements(t, "bands", drawn(t, f, SVG))
	if got := text["metadata"]; len(got) != 1 || got[0] != f.Provenance {
		t.Errorf("<metadata> is %q, want %q", got, f.Provenance)
	}
	if got := internationalText(t, drawn(t, f, PNG))["Source"]; got != f.Provenance {
		t.Errorf("iTXt Source is %q, want %q", got, f.Provenance)
	}
}

// internationalText reads the iTXt chunks of a PNG, laid out as in the PNG
// specification (W3C, third edition, 11.3.3.4): keyword, NUL, two bytes on
// compression, language, NUL, translated keyword, NUL, text.
func internationalText(t *testing.T, file []byte) map[string]string {
	t.Helper()
	out := map[string]string{}
	for at := 8; at+8 <= len(file); {
		n := int(binary.BigEndian.Uint32(file[at:]))
		kind, data := string(file[at+4:at+8]), file[at+8:at+8+n]
		if kind == "iTXt" {
			key, rest, _ := strings.Cut(string(data), "\x00")
			parts := strings.SplitN(rest[2:], "\x00", 3)
			out[key] = parts[2]
		}
		at += n + 12
	}
	return out
}

// The decoder of the standard library checks every chunk's CRC.
func TestPNGHasTwoDotsPerPixel(t *testing.T) {
	for _, f := range []Figure{demoBands(3), demoDots()} {
		img, err := png.Decode(bytes.NewReader(drawn(t, f, PNG)))
		if err != nil {
			t.Fatal(err)
		}
		_, height := measured(f)
		if b := img.Bounds(); b.Dx() != 2*Width || b.Dy() != 2*int(height) {
			t.Errorf("%T: %d × %d dots, want %d × %d", f, b.Dx(), b.Dy(), 2*Width, 2*int(height))
		}
	}
}

func TestSameFigureSameBytes(t *testing.T) {
	for _, d := range demos() {
		if !bytes.Equal(drawn(t, d.fig, SVG), drawn(t, d.fig, SVG)) {
			t.Errorf("%s: two SVGs differ", d.name)
		}
	}
	for _, f := range []Figure{demoBands(6), demoDecision(8)} {
		first := drawn(t, f, PNG)
		if !bytes.Equal(first, drawn(t, f, PNG)) {
			t.Errorf("%T: two PNGs differ", f)
		}
	}
}

// A figure may be drawn by several goroutines at once (run with -race).
func TestDrawingTogether(t *testing.T) {
	want := drawn(t, demoBands(4), SVG)
	done := make(chan []byte)
	for range 4 {
		go func() {
			var out bytes.Buffer
			if err := Write(demoBands(4), SVG, &out); err != nil {
				t.Error(err)
			}
			done <- out.Bytes()
		}()
	}
	for range 4 {
		if !bytes.Equal(<-done, want) {
			t.Error("drawn at once with others, the picture differs")
		}
	}
}

func TestUnknownFormatIsRefused(t *testing.T) {
	var out bytes.Buffer
	err := Write(demoBands(1), "gif", &out)
	if err == nil || !strings.Contains(err.Error(), `"gif"`) || out.Len() > 0 {
		t.Errorf("error %v and %d bytes, want an error naming gif and nothing written", err, out.Len())
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriteErrorIsReturned(t *testing.T) {
	if err := Write(demoBands(1), SVG, fullDisk{}); err == nil || err.Error() != "disk full" {
		t.Errorf("error is %v, want disk full", err)
	}
}
