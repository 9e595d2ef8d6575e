package rotations

// HeldStill is the calendar with resistance held as it is at the start, to be set against runs
// in which it evolves: every year's seed carries what the first seed does. Whatever is drawn
// stays the same.
func (c *Calendar) HeldStill() *Calendar {
	still := *c
	still.Still = c.Genes != nil
	return &still
}
