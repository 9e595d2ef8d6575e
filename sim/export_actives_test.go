package sim

// Efficacies are the logits of E00 less those of season_control, by herbicide and active.
func (m *Model) Efficacies() [][]float64 { return m.base }
