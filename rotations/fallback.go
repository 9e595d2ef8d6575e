package rotations

// FallsBack tells whether the plan itself says what becomes of a season whose
// crop cannot be drilled in time (otherwise), be it fallow.
func (c *Calendar) FallsBack(season int) bool { return c.Seasons[season].OwnFallback }
