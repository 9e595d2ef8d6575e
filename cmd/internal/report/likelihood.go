package report

// likelihoodWords is the scale by which shares of runs are put into words: that
// of the guidance note on uncertainties of the IPCC (Mastrandrea et al. 2010,
// table 1; from memory). Each word holds from its share upwards.
var likelihoodWords = []struct {
	from float64
	word string
}{
	{0.99, "virtually certain"},
	{0.90, "very likely"},
	{0.66, "likely"},
	{0.33, "about as likely as not"},
	{0.10, "unlikely"},
	{0.01, "very unlikely"},
	{0, "exceptionally unlikely"},
}

// likelihoodNote explains the words where they are used.
const likelihoodNote = "Words for chances: virtually certain, 99 of 100 runs or more; very likely, 90 or more; likely, 66 or more; about as likely as not, 33 to 66; unlikely, under 33; very unlikely, under 10; exceptionally unlikely, under 1; of fewer than 100 runs less is said (the scale of the IPCC guidance note on uncertainties, 2010). They count runs of this model, which does not know what it leaves out."

// likelihood puts a share of runs into words. Of few runs it says less: the
// share is drawn towards a half by Laplace's rule of succession, so that a
// single run makes nothing certain.
func likelihood(share float64, runs int) string {
	share = (share*float64(runs) + 1) / float64(runs+2)
	for _, l := range likelihoodWords {
		if share >= l.from {
			return l.word
		}
	}
	return likelihoodWords[len(likelihoodWords)-1].word
}
