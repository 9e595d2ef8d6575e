package findings

// Cautions stand under every report that could be acted on.
func Cautions() []string {
	return []string{
		"A forecast is a spread, not a promise.",
		"Herbicide, seed and machinery advice is local: the product label, local codes and a qualified adviser rule.",
		"Efficacy figures are planning averages, not recommendations; no dose is given.",
	}
}
