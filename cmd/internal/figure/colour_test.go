package figure

import (
	"image/color"
	"math"
	"testing"
)

// Contrast of pairs whose ratio is commonly quoted for WCAG 2.2 (values from
// memory): black on white 21, #767676 on white 4.54, red on white 4.00.
func TestContrastRatio(t *testing.T) {
	for _, c := range []struct {
		a    color.RGBA
		want float64
	}{{color.RGBA{0, 0, 0, 255}, 21}, {color.RGBA{0x76, 0x76, 0x76, 255}, 4.54}, {color.RGBA{255, 0, 0, 255}, 4.00}} {
		if got := contrast(c.a, white); math.Abs(got-c.want) > 0.005 {
			t.Errorf("contrast of %v on white is %.3f, want %.2f", c.a, got, c.want)
		}
	}
}

// WCAG 2.2: 3 to 1 for lines and marks (1.4.11), 4.5 to 1 for text (1.4.3).
func TestHuesStandOut(t *testing.T) {
	for h := range hueCount {
		if c := contrast(h.colour(), white); c < 3 {
			t.Errorf("hue %d: a line has a contrast of %.2f, want 3", h, c)
		}
		if c := contrast(h.text(), white); c < 4.5 {
			t.Errorf("hue %d: text has a contrast of %.2f, want 4.5", h, c)
		}
		for _, tint := range []color.RGBA{h.inner(), h.outer()} {
			if c := contrast(ink, tint); c < 4.5 {
				t.Errorf("hue %d: ink on its tint has a contrast of %.2f, want 4.5", h, c)
			}
		}
	}
	for _, c := range []color.RGBA{ink, pale} {
		for _, under := range []color.RGBA{white, shade, noneFill} {
			if r := contrast(c, under); r < 4.5 {
				t.Errorf("text %v on %v has a contrast of %.2f, want 4.5", c, under, r)
			}
		}
	}
	for _, fl := range append(append([]flow{}, budgetIn...), budgetOut...) {
		if c := contrast(on(fl.fill), fl.fill); c < 4.5 {
			t.Errorf("text on %q has a contrast of %.2f, want 4.5", fl.name, c)
		}
	}
}

// Matrices of Machado, Oliveira and Fernandes (2009), IEEE Transactions on
// Visualization and Computer Graphics 15: 1291, severity 1.0, for linear RGB;
// the numbers are from memory (each row sums to 1, which is checked).
var blindness = map[string][3][3]float64{
	"none":         {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

// seenAs is a colour in CIE L*a*b* (D65) as it is seen; from the sRGB
// standard's matrix (IEC 61966-2-1).
func seenAs(c color.RGBA, m [3][3]float64) [3]float64 {
	in := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
	var l [3]float64
	for i := range l {
		for j := range in {
			l[i] += m[i][j] * in[j]
		}
		l[i] = math.Min(math.Max(l[i], 0), 1)
	}
	f := func(v float64) float64 {
		if v > 216.0/24389 {
			return math.Cbrt(v)
		}
		return (24389.0/27*v + 16) / 116
	}
	x := f((0.4124*l[0] + 0.3576*l[1] + 0.1805*l[2]) / 0.9505)
	y := f(0.2126*l[0] + 0.7152*l[1] + 0.0722*l[2])
	z := f((0.0193*l[0] + 0.1192*l[1] + 0.9505*l[2]) / 1.0890)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// Every two hues must differ by 12 units of CIE 1976 colour difference, about
// five times the just noticeable 2.3, however they are seen.
func TestHuesDifferForColourBlindReaders(t *testing.T) {
	const apartBy = 12.0
	for name, m := range blindness {
		for i, row := range m {
			if s := row[0] + row[1] + row[2]; math.Abs(s-1) > 2e-6 {
				t.Errorf("%s: row %d sums to %g, want 1", name, i, s)
			}
		}
		for a := range hueCount {
			for b := a + 1; b < hueCount; b++ {
				p, q := seenAs(a.colour(), m), seenAs(b.colour(), m)
				if d := math.Hypot(math.Hypot(p[0]-q[0], p[1]-q[1]), p[2]-q[2]); d < apartBy {
					t.Errorf("%s: hues %d and %d differ by %.1f, want %g", name, a, b, d, apartBy)
				}
			}
		}
	}
}

// A ribbon's two tints and the paper must be told apart.
func TestTintsDiffer(t *testing.T) {
	for h := range hueCount {
		a, b, w := seenAs(h.inner(), blindness["none"]), seenAs(h.outer(), blindness["none"]), seenAs(white, blindness["none"])
		for what, step := range map[string]float64{"inner from outer": b[0] - a[0], "outer from paper": w[0] - b[0]} {
			if step < 5 {
				t.Errorf("hue %d: %s differs by %.1f in lightness, want 5", h, what, step)
			}
		}
	}
}
