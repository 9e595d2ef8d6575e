package rotations

import (
	"rundown/params/sheet"
)

// open are the branches that can be grown in a place, by number: all of them, or what facts
// leave.
func (r *resolver) open(x item, p *place, ifs []*Condition, chains [][]Way) []int {
	if x.choice != nil {
		if i, ok := r.grown(x, chains); ok {
			return []int{i}
		}
	}
	var out []int
	for i, c := range ifs {
		if c == nil {
			return append(out, i)
		}
		known, holds := c.static()
		if chains[i] == nil {
			continue
		}
		if known && holds {
			r.note("season %d (%s): what is asked for is known (%s), so that it is grown in every run", p.slot+1, chains[i][0].Courses[0].Crop.Name, c.Text)
			return append(out, i)
		}
		if known && chains[i] != nil {
			r.note("season %d (%s): what is asked for is known not to hold (%s), so that it is grown in no run", p.slot+1, chains[i][0].Courses[0].Crop.Name, c.Text)
			continue
		}
		out = append(out, i)
	}
	return out
}

func names(p *sheet.Mapping) []string {
	if p == nil {
		return nil
	}
	return p.Names
}
