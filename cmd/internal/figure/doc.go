// Package figure draws the pictures of a projection: bands over seasons, seed
// budgets, comparisons of plans, sweeps, indices, counts. Numbers and labels
// come in, PNG and SVG go out; it knows neither the model nor the report.
//
// Every figure lays itself out from the top down in units of one CSS pixel, as
// wide as it is asked to be and as tall as it needs. One layout serves two pens.
// Files (PNG, SVG) are drawn straight on the canvases and fonts of gonum/plot,
// Width wide, in type large enough to be read when the picture is shown 360 px
// wide on a phone. A page gets the elements of an SVG that takes its font and
// colours, light or dark, from the page around it, once as wide as a phone and
// once as wide as a column of text, with the numbers where it is pointed at: it
// is the same picture, so that what holds for the one (no two words over each
// other, contrast, a strip for none) is checked once for both.
//
// Three rules hold everywhere. A quantity that can be exactly 0 is shown on a
// log axis with a strip "none" at its foot: 0 is neither dropped nor drawn as
// a small number. Tints are opaque, so that what lies under a ribbon never
// alters its colour. A value that is NaN or infinite is a gap, never an error:
// a picture is always drawn, and says so when there is nothing to show.
//
// The same figure always gives the same bytes.
package figure
