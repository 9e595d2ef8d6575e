package figure

import (
	"encoding/xml"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Press draws figures into a page, as SVG elements that take their font from
// the page and their colours from CSS variables of it, so that the page can be
// light or dark. The layout is that of the files; only the pen differs. Spots
// that say their numbers can be pointed at, and reached by keyboard.
//
// The zero Press is ready; it collects the colours that its figures use.
type Press struct {
	used   map[color.RGBA]bool
	bedded map[color.RGBA]bool // fillings with words on them
}

func (r *Press) under(fill color.RGBA) { r.bedded[fill] = true }

// Draw gives the <svg> element of a figure laid out so many CSS pixels wide. It
// has no title, subtitle or note: the page says them around it.
func (r *Press) Draw(fig Figure, width float64) string {
	if r.used == nil {
		r.used, r.bedded = map[color.RGBA]bool{}, map[color.RGBA]bool{}
	}
	ink := &pagePen{press: r}
	p := &paper{pen: ink, width: width, bare: true}
	height := fig.draw(p)
	c := fig.caption()
	var out strings.Builder
	fmt.Fprintf(&out, `<svg role="group" viewBox="0 0 %s %s" aria-label="%s"><g aria-hidden="true">`,
		place(width), place(height), escaped(c.Title+". "+c.Desc))
	out.WriteString(ink.b.String())
	out.WriteString("</g>")
	for _, s := range p.spots {
		s.write(&out)
	}
	out.WriteString("</svg>")
	return out.String()
}

// write is a spot as an element: an invisible plane that shows what it is about
// when it is pointed at.
func (s spot) write(out *strings.Builder) {
	said := escaped(s.words)
	if s.minor {
		fmt.Fprintf(out, `<g class="spot" aria-hidden="true"><title>%s</title>`, said)
	} else {
		fmt.Fprintf(out, `<g class="spot" tabindex="0" role="img" aria-label="%s"><title>%s</title>`, said, said)
	}
	fmt.Fprintf(out, `<path class="plane" d="%s"/>`, path(s.corners(), true))
	for _, d := range s.at {
		fmt.Fprintf(out, `<circle class="at" cx="%s" cy="%s" r="4.5"/>`, place(d.x), place(d.y))
	}
	out.WriteString("</g>")
}

// pageColours are the colours that a page may use around its figures, by the names of
// their CSS variables. Those named after hues read as text.
var pageColours = []struct {
	name   string
	colour color.RGBA
}{
	{"ground", white}, {"ink", ink}, {"pale", pale}, {"rule", rule}, {"grid", grid}, {"shade", shade}, {"none", noneFill},
	{"blue", Blue.text()}, {"vermilion", Vermilion.text()}, {"green", Green.text()}, {"ochre", Ochre.text()}, {"olive", Olive.text()},
	{"blue-tint", Blue.outer()}, {"vermilion-tint", Vermilion.outer()}, {"green-tint", Green.outer()}, {"ochre-tint", Ochre.outer()},
}

// Style is the CSS of the named colours and of those used so far: for each a
// variable, in a dark page its counterpart, and of those used the classes that
// fill and stroke with it.
func (r *Press) Style() string {
	var light, dark, classes strings.Builder
	for _, n := range pageColours {
		fmt.Fprintf(&light, "--%s:#%s;", n.name, hex(n.colour))
		fmt.Fprintf(&dark, "--%s:#%s;", n.name, hex(turned(n.colour)))
	}
	for _, c := range sorted(r.bedded) {
		fmt.Fprintf(&light, "--o%s:#%s;", hex(c), hex(on(c)))
		fmt.Fprintf(&dark, "--o%s:#%s;", hex(c), hex(onTurned(c)))
		fmt.Fprintf(&classes, ".o%s{fill:var(--o%s)}", hex(c), hex(c))
	}
	for _, c := range sorted(r.used) {
		fmt.Fprintf(&light, "--k%s:#%s;", hex(c), hex(c))
		fmt.Fprintf(&dark, "--k%s:#%s;", hex(c), hex(turned(c)))
		fmt.Fprintf(&classes, ".f%s{fill:var(--k%s)}.s%s{stroke:var(--k%s)}", hex(c), hex(c), hex(c), hex(c))
	}
	return ":root{" + light.String() + "}\n@media screen and (prefers-color-scheme:dark){:root{" + dark.String() + "}}\n" + classes.String() + "\n"
}

func sorted(colours map[color.RGBA]bool) []color.RGBA {
	var out []color.RGBA
	for c := range colours {
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b color.RGBA) int { return strings.Compare(hex(a), hex(b)) })
	return out
}

// About is what a figure says of itself, with no empty Title or Desc.
func About(fig Figure) Caption { return fig.caption() }

// pagePen writes SVG elements.
type pagePen struct {
	press *Press
	b     strings.Builder
	fills []filled // boxes so far, for the words that stand on them
}

// filled is a box with its colour.
type filled struct {
	box
	fill color.RGBA
}

// lettered is the class of a text. What was chosen to read on a filling is
// chosen anew for the dark page, where the filling is another.
func (n *pagePen) lettered(l lettering, b box) string {
	mid := dot{(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2}
	for i := len(n.fills) - 1; i >= 0; i-- {
		f := n.fills[i]
		if f.x0 <= mid.x && mid.x <= f.x1 && f.y0 <= mid.y && mid.y <= f.y1 {
			if l.colour == on(f.fill) {
				n.press.under(f.fill)
				return "o" + hex(f.fill) + weight(l)
			}
			break
		}
	}
	return "f" + n.hex(l.colour) + weight(l)
}

func (n *pagePen) hex(c color.RGBA) string {
	n.press.used[c] = true
	return hex(c)
}

func (n *pagePen) polygon(pts []dot, fill color.RGBA) {
	if len(pts) == 4 && pts[0].y == pts[1].y && pts[2].y == pts[3].y && pts[0].x == pts[3].x {
		n.fills = append(n.fills, filled{box{pts[0].x, pts[0].y, pts[2].x, pts[2].y}, fill})
	}
	fmt.Fprintf(&n.b, `<path class="f%s" d="%s"/>`, n.hex(fill), path(pts, true))
}

func (n *pagePen) line(c color.RGBA, width float64, dashes []float64, pts []dot) {
	fmt.Fprintf(&n.b, `<path class="l s%s" stroke-width="%s" d="%s"`, n.hex(c), place(width), path(pts, false))
	if len(dashes) > 0 {
		var ds []string
		for _, d := range dashes {
			ds = append(ds, place(d))
		}
		fmt.Fprintf(&n.b, ` stroke-dasharray="%s"`, strings.Join(ds, " "))
	}
	n.b.WriteString("/>")
}

func (n *pagePen) disc(d dot, r float64, fill color.RGBA) {
	fmt.Fprintf(&n.b, `<circle class="f%s" cx="%s" cy="%s" r="%s"/>`, n.hex(fill), place(d.x), place(d.y), place(r))
}

func (n *pagePen) text(x, y float64, a anchor, b box, l lettering, s string) {
	fmt.Fprintf(&n.b, `<text class="%s" x="%s" y="%s" font-size="%s"`, n.lettered(l, b), place(x), place(y), place(l.size))
	if a != left {
		fmt.Fprintf(&n.b, ` text-anchor="%s"`, map[anchor]string{middle: "middle", right: "end"}[a])
	}
	n.b.WriteString(set(b.width()) + ">" + escaped(s) + "</text>")
}

// set holds a text to the width that it was laid out in. The font is the page's,
// and that may be wider than the one that was measured: DejaVu Sans by a sixth.
func set(width float64) string {
	if width < 1 {
		return "" // marks without a width of their own
	}
	return fmt.Sprintf(` textLength="%s" lengthAdjust="spacingAndGlyphs"`, place(width))
}

func (n *pagePen) textUp(x, y float64, l lettering, s string) {
	fmt.Fprintf(&n.b, `<text class="f%s%s" font-size="%s" transform="translate(%s %s) rotate(-90)"%s>%s</text>`,
		n.hex(l.colour), weight(l), place(l.size), place(x), place(y), set(l.width(s)), escaped(s))
}

func weight(l lettering) string {
	if l.bold {
		return " b"
	}
	return ""
}

func path(pts []dot, closed bool) string {
	var b strings.Builder
	for i, d := range pts {
		step := "L"
		if i == 0 {
			step = "M"
		}
		b.WriteString(step + place(d.x) + " " + place(d.y))
	}
	if closed {
		b.WriteByte('Z')
	}
	return b.String()
}

func (b box) corners() []dot {
	return []dot{{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}}
}

// place is a coordinate to a tenth of a pixel.
func place(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64) }

func hex(c color.RGBA) string { return fmt.Sprintf("%02x%02x%02x", c.R, c.G, c.B) }

func escaped(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(clean(s))) // a Builder takes everything
	return b.String()
}
