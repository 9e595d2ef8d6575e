// Package figure draws the pictures of a projection: bands over seasons, seed
// budgets, comparisons of plans, sweeps, indices, counts. Numbers and labels
// come in, PNG and SVG go out; it knows neither the model nor the report.
//
// Pictures are drawn straight on the canvases and fonts of gonum/plot. Every
// figure lays itself out from the top down in units of one CSS pixel, Width
// wide and as tall as it needs, in type large enough to be read when the
// picture is shown 360 px wide on a phone.
//
// Three rules hold everywhere. A quantity that can be exactly 0 is shown on a
// log axis with a strip "none" at its foot: 0 is neither dropped nor drawn as
// a small number. Tints are opaque, so that what lies under a ribbon never
// alters its colour. A value that is NaN or infinite is a gap, never an error:
// a picture is always drawn, and says so when there is nothing to show.
//
// The same figure always gives the same bytes.
package figure
