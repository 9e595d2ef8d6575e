package figure

import (
	"image"
	"image/color"
)

// phoneWidth is the width at which every picture must still be legible.
const phoneWidth = 360

// onPhone scales a picture down to the width of a phone, each new dot the mean
// of the area it covers.
func onPhone(src image.Image) image.Image {
	b := src.Bounds()
	k := float64(b.Dx()) / phoneWidth
	h := int(float64(b.Dy()) / k)
	out := image.NewRGBA(image.Rect(0, 0, phoneWidth, h))
	for y := range h {
		for x := range phoneWidth {
			out.SetRGBA(x, y, areaMean(src, float64(x)*k, float64(y)*k, k))
		}
	}
	return out
}

func areaMean(src image.Image, x0, y0, side float64) color.RGBA {
	var r, g, b, n float64
	for y := int(y0); float64(y) < y0+side; y++ {
		wy := min(float64(y)+1, y0+side) - max(float64(y), y0)
		for x := int(x0); float64(x) < x0+side; x++ {
			w := wy * (min(float64(x)+1, x0+side) - max(float64(x), x0))
			cr, cg, cb, _ := src.At(x, y).RGBA()
			r, g, b, n = r+w*float64(cr), g+w*float64(cg), b+w*float64(cb), n+w
		}
	}
	to8 := func(v float64) uint8 { return uint8(v / n / 257) }
	return color.RGBA{to8(r), to8(g), to8(b), 255}
}
