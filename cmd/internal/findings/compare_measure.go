package findings

import (
	"fmt"
	"strings"

	"rundown/sim"
	"rundown/sim/study"
)

// leastSeed and lessSeed are what plans are ranked by as clean: seed of the year of
// the last harvest, new seed included, for heads hang on the crop that they stand in.
const lessSeed = "less seed at the end"

// cropsThere names the crops that the plans have at the end where they differ. "":
// they do not.
func cropsThere(x *comparison) string {
	if x.SameCrop {
		return ""
	}
	var crops []string
	in := map[string][]string{}
	for _, c := range x.all {
		crop := endCrop(&c.Seasons[x.End])
		if in[crop] == nil {
			crops = append(crops, crop)
		}
		in[crop] = append(in[crop], c.Name)
	}
	for i, crop := range crops {
		crops[i] = crop + " in " + strings.Join(in[crop], ", ")
	}
	return fmt.Sprintf("The crops of harvest %d differ, and heads with them (%s): the plans are ranked by seed.", x.all[0].Seasons[x.End].HarvestYear,
		strings.Join(crops, "; "))
}

// endCrop is what stands at the end.
func endCrop(s *study.Season) string {
	for _, p := range s.Units() {
		if p.Crop != s.Crop {
			return "what is chosen"
		}
	}
	return spoken(s.Crop)
}

// closeBehind names a plan that is nearly as clean as the cleanest and earns
// more, where that is not the one that earns most; "" where there is none.
func closeBehind(x *comparison, money string) string {
	if x.Close < 0 {
		return ""
	}
	best, cleanest := x.all[x.Close], x.all[x.Cleanest]
	return fmt.Sprintf("%s comes close: %s seeds per m² in the middle run, and %s %s more in margin than %s, on average.", sentence(best.Name),
		forms[sim.SeedbankJune].Value(median(best.Contender.Seed)),
		pounds(x.area(), x.CloseBy), money, cleanest.Name)
}
