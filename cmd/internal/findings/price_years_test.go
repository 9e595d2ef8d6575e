package findings

import (
	"strings"
	"testing"

	"rundown/params"
)

// Every crop of the library whose price has a year in its source is told of with that year, and no other is.
func TestPriceYearsAreThoseOfTheSources(t *testing.T) {
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	var entries []*params.Entry
	dated := 0
	for _, name := range lib.Names("crops") {
		entries = append(entries, lib.Find("crops", name))
	}
	text := priceYears(libraryPrices(entries))
	if !strings.HasPrefix(text, "Prices of different years stand side by side: ") {
		t.Fatalf("prices of 2018 and 2022 are said to be of one year: %q", text)
	}
	groups := strings.Split(strings.TrimSuffix(text, "."), "; ")
	for _, e := range entries {
		year, name := yearOfPrice.FindString(e.Value("price").Source), spoken(e.Name)
		told := 0
		for _, g := range groups {
			crops, of, _ := strings.Cut(strings.TrimPrefix(g, "Prices of different years stand side by side: "), " of ")
			for _, crop := range strings.Split(crops, ", ") {
				if crop == name {
					told++
					if !strings.HasPrefix(of, year) || year == "" {
						t.Errorf("%s is told as of %s, its source has %q", name, of, year)
					}
					if by := strings.Contains(e.Value("price").Note, "× 1.5"); by != strings.Contains(of, "times 1.5") {
						t.Errorf("%s: raised is %v, told as of %s", name, by, of)
					}
				}
			}
		}
		if year != "" && e.Value("price").Central != 0 {
			dated++
			if told != 1 {
				t.Errorf("%s is told %d times: %s", name, told, text)
			}
		} else if told != 0 {
			t.Errorf("%s has no year, and is told", name)
		}
	}
	if dated < 8 {
		t.Errorf("only %d crops have a price with a year", dated)
	}
}
