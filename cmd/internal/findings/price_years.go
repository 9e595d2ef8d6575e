package findings

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"rundown/params"
	"rundown/rotations"
)

// dear is a crop with its price.
type dear struct {
	crop  string
	price *params.Value
}

var (
	yearOfPrice   = regexp.MustCompile(`\b(?:19|20)[0-9]{2}(?:–[0-9]{2,4})?`)
	raisedByTimes = regexp.MustCompile(`× ([0-9.]+[0-9])`)
)

// priceYears say of which years prices are, by their sources: prices of different years stand
// side by side. "": no source names a year.
func priceYears(crops []dear) string {
	names := map[string][]string{}
	var years []string
	for _, c := range crops {
		if c.price == nil || c.price.Central == 0 {
			continue
		}
		year := yearOfPrice.FindString(c.price.Source)
		if year == "" {
			continue // the plan's own, or set by judgement
		}
		if by := raisedByTimes.FindStringSubmatch(c.price.Note); by != nil {
			year += ", times " + by[1]
		}
		if names[year] == nil {
			years = append(years, year)
		}
		if name := spoken(c.crop); !slices.Contains(names[year], name) {
			names[year] = append(names[year], name)
		}
	}
	slices.SortFunc(years, cmp.Compare[string])
	switch len(years) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("Prices are those of %s (%s).", years[0], strings.Join(names[years[0]], ", "))
	}
	var parts []string
	for _, y := range years {
		parts = append(parts, fmt.Sprintf("%s of %s", strings.Join(names[y], ", "), y))
	}
	return "Prices of different years stand side by side: " + strings.Join(parts, "; ") + "."
}

// plannedPrices are the crops of plans as planned, and what is grown instead.
func plannedPrices(plans ...*rotations.Calendar) (out []dear) {
	for _, c := range plans {
		for i := range c.Seasons {
			for k := range c.Seasons[i].Courses {
				course := &c.Seasons[i].Courses[k]
				out = append(out, dear{course.Crop.Name, course.Price})
			}
		}
	}
	return out
}

// libraryPrices are the crops of the library.
func libraryPrices(entries []*params.Entry) (out []dear) {
	for _, e := range entries {
		out = append(out, dear{e.Name, e.Value("price")})
	}
	return out
}
