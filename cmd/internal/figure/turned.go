package figure

import (
	"image/color"
	"math"
)

// turned is the counterpart of a colour in a dark page: its lightness turned
// round and its hue kept, in the colour space Oklab (B. Ottosson, "A perceptual
// color space for image processing", 2020, which gives the matrices). White
// becomes a dark ground, ink becomes light, tints stay between ground and line,
// so that what stood out before still does.
func turned(c color.RGBA) color.RGBA {
	l, a, b := oklab(c)
	depth := math.Min((1-l)/(1-inkLightness), 1) // 0 for white, 1 for ink
	l = darkGround + math.Pow(depth, lift)*(lightInk-darkGround)
	// Light colours of strong chroma lie outside the screen's colours: chroma
	// gives way until they are inside.
	for k := 1.0; k > 0; k -= 0.02 {
		if out, ok := fromOklab(l, k*a, k*b); ok {
			return out
		}
	}
	out, _ := fromOklab(l, 0, 0)
	return out
}

// onTurned is the text colour that reads on a filling in a dark page: the page's
// own where they stand out, else black or white, of which one always does (its
// contrast is at least the root of 21).
func onTurned(fill color.RGBA) color.RGBA {
	fill = turned(fill)
	best := turned(white)
	for _, c := range []color.RGBA{turned(ink), {0, 0, 0, 0xff}, white} {
		if contrast(best, fill) < 4.5 && contrast(c, fill) > contrast(best, fill) {
			best = c
		}
	}
	return best
}

// Lightness in Oklab: of a dark page, of its text, and of the ink of a light
// page. The lift keeps hues in the middle bright enough to read.
const (
	darkGround   = 0.205
	lightInk     = 0.93
	inkLightness = 0.23
	lift         = 0.88
)

func oklab(c color.RGBA) (l, a, b float64) {
	r, g, bl := linear(c.R), linear(c.G), linear(c.B)
	x := math.Cbrt(0.4122214708*r + 0.5363325363*g + 0.0514459929*bl)
	y := math.Cbrt(0.2119034982*r + 0.6806995451*g + 0.1073969566*bl)
	z := math.Cbrt(0.0883024619*r + 0.2817188376*g + 0.6299787005*bl)
	return 0.2104542553*x + 0.7936177850*y - 0.0040720468*z,
		1.9779984951*x - 2.4285922050*y + 0.4505937099*z,
		0.0259040371*x + 0.7827717662*y - 0.8086757660*z
}

// fromOklab is a colour of the screen; ok is false when it has none such.
func fromOklab(l, a, b float64) (c color.RGBA, ok bool) {
	x := l + 0.3963377774*a + 0.2158037573*b
	y := l - 0.1055613458*a - 0.0638541728*b
	z := l - 0.0894841775*a - 1.2914855480*b
	x, y, z = x*x*x, y*y*y, z*z*z
	rgb := [3]float64{
		4.0767416621*x - 3.3077115913*y + 0.2309699292*z,
		-1.2684380046*x + 2.6097574011*y - 0.3413193965*z,
		-0.0041960863*x - 0.7034186147*y + 1.7076147010*z,
	}
	var out [3]uint8
	for i, v := range rgb {
		if v < -1e-4 || v > 1+1e-4 {
			return c, false
		}
		out[i] = uint8(math.Round(255 * gamma(math.Min(math.Max(v, 0), 1))))
	}
	return color.RGBA{out[0], out[1], out[2], 0xff}, true
}

func gamma(v float64) float64 {
	if v <= 0.0031308 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}
