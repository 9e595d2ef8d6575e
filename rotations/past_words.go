package rotations

import (
	"fmt"
	"slices"
	"strings"
)

// String is the fact in words, for a reader who asks what differs.
func (f Fact) String() string {
	text := f.words()
	if f.Harvest != 0 {
		text = fmt.Sprintf("harvest %d: %s", f.Harvest, text)
	}
	return text
}

func (f Fact) words() string {
	switch f.What {
	case FactField:
		return fmt.Sprintf("field: %g ha, soil %s, climate %s", f.Number, f.Name, f.With)
	case FactWeather:
		return f.weather()
	case FactBefore:
		return fmt.Sprintf("before the start: %s, after %s", f.Name, f.With)
	case FactWeed:
		return fmt.Sprintf("weed: %s from %s, resistance %s, %g seeds per m² brought in a season", f.Name, f.On, f.With, f.Number)
	case FactWaits:
		return "work waits for nothing"
	case FactSeedbank:
		return fmt.Sprintf("seedbank at the start, %s: %s", f.Name, f.number())
	case FactHeads:
		return "heads before the start: " + f.number()
	case FactTrend:
		return "trend before the start: " + f.number()
	case FactSeason:
		return fmt.Sprintf("%s, from %s", f.Name, f.On)
	case FactCover:
		return fmt.Sprintf("cover %s sown %s, at the latest %s%s", f.Name, f.On, f.Latest, map[bool]string{true: ", counted from the harvest before"}[f.Yes])
	case FactDestroyed:
		return fmt.Sprintf("cover destroyed %s with %s", f.On, f.With)
	case FactOtherwise:
		return "otherwise " + f.Name
	case FactWork:
		return fmt.Sprintf("%s %s%s", f.Name, f.when(), map[bool]string{true: ", well ploughed"}[f.Yes])
	case FactDrilled:
		parts := f.drilling()
		if f.Factor == 1 { // as nearly always
			parts = parts[:len(parts)-1]
		}
		return f.Name + " " + strings.Join(parts, ", ")
	case FactHarvested:
		return fmt.Sprintf("%s harvested with %s, straw chopped: %v", f.Name, f.With, f.Yes)
	}
	return string(f.What)
}

// drilling is what is said of a drilling, in an order that two of them share.
func (f Fact) drilling() []string {
	heads := fmt.Sprintf("%g times the heads of a typical cultivar", f.Factor)
	if f.Factor == 1 {
		heads = "as many heads as of a typical cultivar"
	}
	return []string{"drilled " + f.On, "at the latest " + f.Latest, "with " + f.With, fmt.Sprintf("%g seeds per m²", f.Number), heads}
}

// Unlike are facts of two plans in words, of which each has those that the other has not. Where
// both drill the same crop for a harvest, only what differs is said.
func Unlike(here, there []Fact) (mine, theirs []string) {
	for _, f := range here {
		mine = append(mine, f.against(there))
	}
	for _, f := range there {
		theirs = append(theirs, f.against(here))
	}
	return mine, theirs
}

// against is the fact in words, as far as it differs from the like fact among others.
func (f Fact) against(others []Fact) string {
	i := slices.IndexFunc(others, func(o Fact) bool { return o.What == f.What && o.Harvest == f.Harvest && o.Name == f.Name })
	if f.What != FactDrilled || i < 0 {
		return f.String()
	}
	var parts []string
	other := others[i].drilling()
	for k, x := range f.drilling() {
		if x != other[k] {
			parts = append(parts, x)
		}
	}
	return fmt.Sprintf("harvest %d: %s %s", f.Harvest, f.Name, strings.Join(parts, ", "))
}

func (f Fact) number() string {
	switch {
	case f.Unset:
		return "left out"
	case f.Spread != "":
		return fmt.Sprintf("about %.4g, spread %s", f.Number, f.Spread)
	}
	return fmt.Sprintf("%.6g", f.Number)
}

func (f Fact) when() string {
	switch f.With {
	case fromItsDate:
		return fmt.Sprintf("on %s, at the latest %s", f.On, f.Latest)
	case fromTheHarvest:
		return fmt.Sprintf("%d days after the harvest before, at the latest %d later", f.Days, f.Within)
	case fromDrilling:
		return fmt.Sprintf("%d days after drilling, at the latest %d later", f.Days, f.Within)
	}
	return "just before drilling"
}

func (f Fact) weather() string {
	if f.Name == weatherGenerated {
		return "weather: generated"
	}
	beyond := ""
	if f.With != "" {
		beyond = ", beyond it " + f.With
	}
	return fmt.Sprintf("weather: %s, %d days of it from %s (sum of these days %.16s)%s",
		map[string]string{weatherFitted: "generated as in a record", weatherRecord: "a record"}[f.Name], f.Days, f.On, f.Sum, beyond)
}
