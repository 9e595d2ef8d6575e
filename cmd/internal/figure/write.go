package figure

import (
	"fmt"
	"io"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Width of every picture, in CSS pixels.
const Width = 480

// density of a PNG, in dots per CSS pixel.
const density = 2

// Format is a kind of file a picture can be written as.
type Format string

// The formats.
const (
	PNG Format = "png" // twice as many dots as CSS pixels; provenance in an iTXt chunk
	SVG Format = "svg" // text stays text; title, description and provenance inside
)

// Caption is what is said around a picture.
type Caption struct {
	Title      string // what is seen, as a sentence; wrapped; "" leaves a plain title made by the figure
	Subtitle   string // one or two lines under the title; may be empty
	Note       string // small print under the picture, such as "invented figures"; may be empty
	Desc       string // for readers who cannot see the picture; "" lets the figure describe itself
	Provenance string // how the numbers came about, kept inside the file and not drawn; may be empty
}

// Figure is one picture, ready to be written.
type Figure interface {
	caption() Caption // with no empty Title or Desc
	// draw lays the picture out from the top and tells how tall it is. It is
	// called twice: once on a paper without a canvas, to measure.
	draw(p *paper) float64
	data() []Data
}

// Write draws a figure in one of the formats. It writes nothing unless the
// whole picture could be drawn.
func Write(fig Figure, format Format, w io.Writer) error {
	height := math.Ceil(fig.draw(&paper{width: Width}))
	var (
		file []byte
		err  error
	)
	switch format {
	case SVG:
		c := vgsvg.New(vg.Length(Width), vg.Length(height))
		fig.draw(onCanvas(c, height))
		file, err = dressSVG(c, height, fig.caption())
	case PNG:
		c := vgimg.NewWith(
			vgimg.UseWH(vg.Length(Width), vg.Length(height)),
			vgimg.UseDPI(density*dotsPerPoint))
		fig.draw(onCanvas(c, height))
		file, err = dressPNG(c, fig.caption())
	default:
		return fmt.Errorf("figure: no format %q; there are %q and %q", format, PNG, SVG)
	}
	if err != nil {
		return fmt.Errorf("figure: drawing as %s: %w", format, err)
	}
	_, err = w.Write(file)
	return err
}

// dotsPerPoint: the canvases count in points of 1/72 inch; here a point stands
// for a CSS pixel.
const dotsPerPoint = 72
