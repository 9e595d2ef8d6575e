package rotations

import (
	"slices"
	"strings"

	"rundown/params"
)

// HeldStill is the calendar with resistance held as the plan states it, to be set against
// runs in which it evolves. What else is drawn stays the same, by its path.
func (c *Calendar) HeldStill() *Calendar {
	if c.Genes == nil {
		return c
	}
	said := c.saidOfResistance()
	still := *c
	still.Genes, still.Sprayed = nil, nil
	still.entries = slices.DeleteFunc(slices.Clone(c.entries), func(e *params.Entry) bool { return e == c.Genes })
	still.Space = params.NewSpace(slices.DeleteFunc(slices.Clone(c.Space.Values), func(v *params.Value) bool {
		return strings.HasPrefix(v.Path, "genes/") || slices.Contains(said, v)
	}))
	return &still
}
