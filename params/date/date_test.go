package date_test

import (
	"testing"
	"time"

	"rundown/params/date"
)

// The standard library's calendar is the judge, over more years than a plan may have and
// of days and months that are none.
func TestOfIsTheStandardLibrarys(t *testing.T) {
	for year := -401; year <= 2801; year++ {
		for month := time.Month(-2); month <= 15; month++ {
			for _, day := range []int{-40, 0, 1, 15, 28, 29, 30, 31, 32, 400} {
				want := time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / 86400
				if got := date.Of(year, month, day); int64(got) != want {
					t.Fatalf("Of(%d, %d, %d) is day %d, %d by the standard library", year, month, day, got, want)
				}
			}
		}
	}
}
