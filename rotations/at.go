package rotations

// At is file:line:column of the first of some keys of a section that the plan says, or
// of the section where it says none: for refusals that come once it is run.
func (c *Calendar) At(section string, keys ...string) string {
	if c.plan == nil {
		return c.PlanFile
	}
	s := c.plan.Root.Get(section)
	for _, key := range keys {
		if s != nil && s.Map.Has(key) {
			return c.place(section, key)
		}
	}
	return c.place(section, "")
}
