package findings

import (
	"fmt"
	"strings"

	"rundown/sim/study"
)

// cleanerOtherwise is on how many fields another plan leaves less seed than the one that earns most.
func cleanerOtherwise(f *study.Farm) (n int) {
	for _, x := range f.Fields {
		if x.Cleanest != x.Best {
			n++
		}
	}
	return n
}

// foulestEarnsMost is on how many fields the plan that earns most leaves the most seed of all, by the median.
func foulestEarnsMost(f *study.Farm) (n int) {
	for _, x := range f.Fields {
		if leavesMost(x) {
			n++
		}
	}
	return n
}

// leavesMost tells whether the plan that earns most on a field leaves the most seed there.
func leavesMost(x *study.Field) bool {
	for i := range x.Plans {
		if x.Plans[i].Seed.P50 > x.Plans[x.Best].Seed.P50 {
			return false
		}
	}
	return x.Best != x.Cleanest
}

// cleanerWords say that plans are ranked by margin, and where seed would rank them otherwise.
func cleanerWords(r FarmRun) string {
	f := r.Found
	n, most := cleanerOtherwise(f), foulestEarnsMost(f)
	if n == 0 || len(f.Names) == 1 {
		return ""
	}
	if x := r.alone(); x != nil {
		if leavesMost(x) && len(f.Names) > 2 {
			return fmt.Sprintf("That is by margin alone: %s leaves the most seed of all, %s the least.", f.Names[x.Best], f.Names[x.Cleanest])
		}
		return fmt.Sprintf("That is by margin alone: %s leaves less seed.", f.Names[x.Cleanest])
	}
	by := fmt.Sprintf("Plans are ranked by margin alone: on %s another leaves less seed", plural(n, "field"))
	switch {
	case len(f.Names) == 2:
		return strings.Replace(by, "another", "the other", 1) + "."
	case most == 0:
		return by + "."
	}
	return fmt.Sprintf("%s, and on %d the one that earns most leaves the most.", by, most)
}
