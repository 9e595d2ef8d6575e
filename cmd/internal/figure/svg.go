package figure

import (
	"bytes"
	"encoding/xml"
	"fmt"

	"gonum.org/v1/plot/vg/vgsvg"
)

// fontStack: Liberation Sans has the widths of Arial and Helvetica, so text
// laid out with the first keeps its place in the others.
const fontStack = `font-family:'Liberation Sans',Arial,Helvetica,sans-serif;`

// dressSVG replaces the head of the canvas's file: sizes in CSS pixels, a role,
// a title and a description for screen readers, the provenance as metadata,
// and fonts that every viewer has. No id is used, so that several pictures can
// stand in one page.
func dressSVG(c *vgsvg.Canvas, height float64, about Caption) ([]byte, error) {
	var raw bytes.Buffer
	if _, err := c.WriteTo(&raw); err != nil {
		return nil, err
	}
	body := raw.Bytes()
	at := bytes.Index(body, []byte("<svg"))
	if at >= 0 {
		at += bytes.IndexByte(body[at:], '>') + 1
	}
	if at < 1 {
		return nil, fmt.Errorf("the canvas wrote no <svg> element")
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, `<?xml version="1.0" encoding="UTF-8"?>`+"\n"+
		`<svg xmlns="http://www.w3.org/2000/svg" role="img" width="%d" height="%g" viewBox="0 0 %d %g">`+"\n",
		Width, height, Width, height)
	for _, e := range []struct{ name, text string }{
		{"title", about.Title}, {"desc", about.Desc}, {"metadata", about.Provenance},
	} {
		if e.text == "" {
			continue
		}
		fmt.Fprintf(&out, "<%s>", e.name)
		if err := xml.EscapeText(&out, []byte(clean(e.text))); err != nil {
			return nil, err
		}
		fmt.Fprintf(&out, "</%s>\n", e.name)
	}
	out.Write(bytes.TrimLeft(bytes.ReplaceAll(body[at:],
		[]byte("font-family:Liberation Sans;"), []byte(fontStack)), "\n"))
	return out.Bytes(), nil
}
