package sim_test

import (
	"fmt"
	"html"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// picture is a plain SVG of the slow suite: ribbons, lines, dots and accepted
// ranges on two axes, with its reading, right or wrong, in its head.
type picture struct {
	title   string
	x, y    scale
	shapes  strings.Builder
	legends []string
}

// scale maps values onto an axis.
type scale struct {
	label  string
	lo, hi float64
	log    bool
	ticks  []tick
}

type tick struct {
	at   float64
	text string
}

const (
	pictureWide, pictureHigh           = 760.0, 520.0
	leftEdge, rightEdge, topEdge, foot = 80.0, 30.0, 84.0, 64.0
)

// share is where a value lies on its axis, 0..1; beyond the ends it is held at them.
func (s *scale) share(v float64) float64 {
	lo, hi := s.lo, s.hi
	if s.log {
		lo, hi, v = math.Log(lo), math.Log(hi), math.Log(math.Max(v, s.lo))
	}
	return math.Min(1, math.Max(0, (v-lo)/(hi-lo)))
}

func (p *picture) at(x, y float64) (float64, float64) {
	return leftEdge + p.x.share(x)*(pictureWide-leftEdge-rightEdge),
		pictureHigh - foot - p.y.share(y)*(pictureHigh-foot-topEdge)
}

// ribbon fills between two curves.
func (p *picture) ribbon(x, lo, hi []float64, fill string, opacity float64) {
	var b strings.Builder
	for i := range x {
		u, v := p.at(x[i], hi[i])
		fmt.Fprintf(&b, "%.1f,%.1f ", u, v)
	}
	for i := len(x) - 1; i >= 0; i-- {
		u, v := p.at(x[i], lo[i])
		fmt.Fprintf(&b, "%.1f,%.1f ", u, v)
	}
	fmt.Fprintf(&p.shapes, "<polygon points=\"%s\" fill=\"%s\" fill-opacity=\"%.2f\"/>\n", strings.TrimSpace(b.String()), fill, opacity)
}

func (p *picture) line(x, y []float64, colour string, dashed bool) {
	var b strings.Builder
	for i := range x {
		u, v := p.at(x[i], y[i])
		fmt.Fprintf(&b, "%.1f,%.1f ", u, v)
	}
	dash := ""
	if dashed {
		dash = " stroke-dasharray=\"6 4\""
	}
	fmt.Fprintf(&p.shapes, "<polyline points=\"%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"2\"%s/>\n", strings.TrimSpace(b.String()), colour, dash)
}

func (p *picture) dot(x, y float64, colour string) {
	u, v := p.at(x, y)
	fmt.Fprintf(&p.shapes, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"3\" fill=\"%s\"/>\n", u, v, colour)
}

// accepted draws an accepted range of y at x, upright.
func (p *picture) accepted(x, lo, hi float64) {
	u, a := p.at(x, lo)
	_, b := p.at(x, hi)
	fmt.Fprintf(&p.shapes, "<path d=\"M%.1f %.1fV%.1fM%.1f %.1fH%.1fM%.1f %.1fH%.1f\" stroke=\"#a03000\" stroke-width=\"3\" fill=\"none\"/>\n",
		u, a, b, u-7, a, u+7, u-7, b, u+7)
}

// between draws an accepted range of x at y, lying.
func (p *picture) between(y, lo, hi float64) {
	a, v := p.at(lo, y)
	b, _ := p.at(hi, y)
	fmt.Fprintf(&p.shapes, "<path d=\"M%.1f %.1fH%.1f\" stroke=\"#e0a080\" stroke-width=\"9\" fill=\"none\"/>\n", a, v, b)
}

func (p *picture) word(x, y float64, text, anchor string) {
	u, v := p.at(x, y)
	fmt.Fprintf(&p.shapes, "<text x=\"%.1f\" y=\"%.1f\" font-size=\"12\" text-anchor=\"%s\">%s</text>\n", u, v, anchor, html.EscapeString(text))
}

// axes are the frame, ticks and labels.
func (p *picture) axes() string {
	var b strings.Builder
	x0, y0 := leftEdge, pictureHigh-foot
	fmt.Fprintf(&b, "<path d=\"M%.1f %.1fV%.1fH%.1f\" stroke=\"#333\" fill=\"none\"/>\n", x0, topEdge, y0, pictureWide-rightEdge)
	for _, t := range p.x.ticks {
		u, _ := p.at(t.at, p.y.lo)
		fmt.Fprintf(&b, "<path d=\"M%.1f %.1fv6\" stroke=\"#333\"/><text x=\"%.1f\" y=\"%.1f\" font-size=\"12\" text-anchor=\"middle\">%s</text>\n", u, y0,
			u, y0+20, html.EscapeString(t.text))
	}
	for _, t := range p.y.ticks {
		_, v := p.at(p.x.lo, t.at)
		fmt.Fprintf(&b, "<path d=\"M%.1f %.1fh-6\" stroke=\"#333\"/><text x=\"%.1f\" y=\"%.1f\" font-size=\"12\" text-anchor=\"end\">%s</text>\n", x0, v,
			x0-9, v+4, html.EscapeString(t.text))
	}
	fmt.Fprintf(&b, "<text x=\"%.1f\" y=\"%.1f\" font-size=\"13\" text-anchor=\"middle\">%s</text>\n", (leftEdge+pictureWide-rightEdge)/2,
		pictureHigh-16, html.EscapeString(p.x.label))
	fmt.Fprintf(&b, "<text transform=\"translate(20 %.1f) rotate(-90)\" font-size=\"13\" text-anchor=\"middle\">%s</text>\n", (topEdge+y0)/2,
		html.EscapeString(p.y.label))
	return b.String()
}

// write judges the picture and puts it into a folder; a wrong one fails the test.
func (p *picture) write(t *testing.T, dir, name string, right bool, reading string) {
	t.Helper()
	verdict, colour := "RIGHT", "#1a6b2a"
	if !right {
		verdict, colour = "WRONG", "#b00020"
		t.Errorf("%s: %s", name, reading)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%.0f\" height=\"%.0f\" viewBox=\"0 0 %.0f %.0f\" "+
		"font-family=\"sans-serif\">\n<rect width=\"100%%\" height=\"100%%\" fill=\"white\"/>\n",
		pictureWide, pictureHigh, pictureWide, pictureHigh)
	fmt.Fprintf(&b, "<text x=\"20\" y=\"26\" font-size=\"16\">%s</text>\n", html.EscapeString(p.title))
	fmt.Fprintf(&b, "<text x=\"20\" y=\"48\" font-size=\"14\"><tspan font-weight=\"bold\" fill=\"%s\">%s</tspan> %s</text>\n", colour, verdict,
		html.EscapeString(reading))
	fmt.Fprintf(&b, "<text x=\"20\" y=\"68\" font-size=\"12\" fill=\"#444\">%s</text>\n", html.EscapeString(strings.Join(p.legends, " · ")))
	b.WriteString(p.shapes.String() + p.axes() + "</svg>\n")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name), []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Logf("%s: %s. %s", name, verdict, reading)
}

// decades are ticks at the powers of ten between two numbers.
func decades(lo, hi float64) (ticks []tick) {
	for k := math.Ceil(math.Log10(lo) - 1e-9); math.Pow(10, k) <= hi*1.0001; k++ {
		ticks = append(ticks, tick{math.Pow(10, k), fmt.Sprintf("%g", math.Pow(10, k))})
	}
	return ticks
}

// evenly are ticks at even steps.
func evenly(lo, hi, step float64, format string) (ticks []tick) {
	for v := lo; v <= hi+step/1e6; v += step {
		ticks = append(ticks, tick{v, fmt.Sprintf(format, v)})
	}
	return ticks
}
