package rotations

import "fmt"

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
		return fmt.Sprintf("%s drilled %s, at the latest %s, with %s, %g seeds per m², %g times the heads of a typical cultivar",
			f.Name, f.On, f.Latest, f.With, f.Number, f.Factor)
	case FactHarvested:
		return fmt.Sprintf("%s harvested with %s, straw chopped: %v", f.Name, f.With, f.Yes)
	}
	return string(f.What)
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
