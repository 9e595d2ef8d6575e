package figure

import (
	"io"
	"testing"
)

// BenchmarkPictures draws the pictures that the commands write, of six seasons
// or as many alternatives as are usual, in both formats.
func BenchmarkPictures(b *testing.B) {
	for _, d := range []demo{
		{"bands", demoBands(6)},
		{"budget", demoBudget(4, 0.9)},
		{"compare", demoComparison(3, 6)},
		{"decision", demoDecision(8)},
		{"sweep", demoSweep()},
		{"counts", demoCounts(3, Linear)},
	} {
		for _, format := range []Format{PNG, SVG} {
			b.Run(d.name+"/"+string(format), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if err := Write(d.fig, format, io.Discard); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
