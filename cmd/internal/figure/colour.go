package figure

import (
	"image/color"
	"math"
)

// Hue names a colour of the palette. The palette is derived from the eight
// colours of Okabe and Ito (Color Universal Design, 2008), darkened and spread
// in lightness so that every one is also legible as a line on white.
type Hue int

// The hues, in the order in which plans take them.
const (
	Blue Hue = iota
	Vermilion
	Green
	Purple
	Ochre
	Sky
	Olive
	Slate
	hueCount
)

var hues = [hueCount]color.RGBA{
	Blue:      {0x00, 0x5f, 0x9e, 0xff},
	Vermilion: {0xc8, 0x48, 0x00, 0xff},
	Green:     {0x00, 0x86, 0x63, 0xff},
	Purple:    {0xb0, 0x56, 0x8b, 0xff},
	Ochre:     {0xc2, 0x86, 0x00, 0xff},
	Sky:       {0x3c, 0x9c, 0xd6, 0xff},
	Olive:     {0x50, 0x4c, 0x00, 0xff},
	Slate:     {0x33, 0x33, 0x3b, 0xff},
}

// Greys, slightly warm.
var (
	white    = color.RGBA{0xff, 0xff, 0xff, 0xff}
	ink      = color.RGBA{0x1d, 0x1d, 0x1b, 0xff} // text
	pale     = color.RGBA{0x5a, 0x59, 0x55, 0xff} // text of second rank
	rule     = color.RGBA{0x8c, 0x8b, 0x86, 0xff} // axes
	grid     = color.RGBA{0xe2, 0xe1, 0xdc, 0xff}
	shade    = color.RGBA{0xf6, 0xf5, 0xf1, 0xff} // every second season
	noneFill = color.RGBA{0xec, 0xea, 0xe4, 0xff} // the strip "none"
)

func (h Hue) colour() color.RGBA { return hues[((h%hueCount)+hueCount)%hueCount] }

// inner and outer are the opaque tints of the 50 % and the 90 % ribbon.
func (h Hue) inner() color.RGBA { return mix(h.colour(), white, 0.52) }
func (h Hue) outer() color.RGBA { return mix(h.colour(), white, 0.78) }

// text is the hue, darkened until it reads as text on white (WCAG 2.2, 1.4.3:
// contrast of 4.5 to 1).
func (h Hue) text() color.RGBA {
	c := h.colour()
	for t := 0.0; t < 1 && contrast(c, white) < 4.5; t += 0.04 {
		c = mix(h.colour(), ink, t)
	}
	return c
}

// mix is a, moved towards b by t in 0..1.
func mix(a, b color.RGBA, t float64) color.RGBA {
	m := func(x, y uint8) uint8 { return uint8(math.Round(float64(x) + t*(float64(y)-float64(x)))) }
	return color.RGBA{m(a.R, b.R), m(a.G, b.G), m(a.B, b.B), 0xff}
}

// contrast is the contrast ratio of two colours, 1..21 (WCAG 2.2).
func contrast(a, b color.RGBA) float64 {
	la, lb := luminance(a), luminance(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

// luminance is the relative luminance of an sRGB colour, 0..1 (WCAG 2.2).
func luminance(c color.RGBA) float64 {
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

func linear(v uint8) float64 {
	x := float64(v) / 255
	if x <= 0.04045 {
		return x / 12.92
	}
	return math.Pow((x+0.055)/1.055, 2.4)
}

// on is the text colour that reads on a filling.
func on(fill color.RGBA) color.RGBA {
	if contrast(white, fill) > contrast(ink, fill) {
		return white
	}
	return ink
}
