package findings

import (
	"fmt"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/sim"
)

// ownReturn says what a user's own values of the weed do to what is known of
// their product; nil where they do nothing.
func ownReturn(weed *params.Entry, o *sim.OwnReturn) *report.Warning {
	if o == nil {
		return nil
	}
	w := &report.Warning{Code: "own-return"}
	if o.Given && len(o.Values) == 0 {
		w.Text = fmt.Sprintf("Your library says that one seed of %s returns %s a year without herbicide (the program says %s). The values of the weed are drawn "+
			"to meet that, as far as what is known of each lets them.", weedCalled(weed.Name), brief(o.Target, 2), brief(weed.Value("return_target").Over.Central, 2))
		return w
	}
	if o.Given {
		w.Text = fmt.Sprintf("Your library gives %s, and what one seed of %s returns a year (return_target %s): that is kept, so the other values are "+
			"drawn to meet it.",
			ownValues(o), weedCalled(weed.Name), brief(o.Target, 2))
		return w
	}
	w.Text = fmt.Sprintf("Your library gives %s. What one seed of %s returns a year without herbicide hangs on that, so what is known of it moves "+
		"along: %s for the program's %s. If you know it better, give return_target too.",
		ownValues(o), weedCalled(weed.Name), brief(o.Target, 2), brief(weed.Value("return_target").Central, 2))
	return w
}

// withOwnReturn is a list of warnings with that, where there is anything to say.
func withOwnReturn(list []report.Warning, weed *params.Entry, o *sim.OwnReturn) []report.Warning {
	if w := ownReturn(weed, o); w != nil {
		list = append(list, *w)
	}
	return list
}

// ownValues names a user's values, each with the program's in brackets.
func ownValues(o *sim.OwnReturn) string {
	var parts []string
	for _, v := range o.Values {
		parts = append(parts, fmt.Sprintf("%s %s (for %s)", strings.SplitN(v.Path, "/", 3)[2], valueWords(v), valueWords(v.Over)))
	}
	if n := len(parts); n > 1 {
		return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
	return strings.Join(parts, "")
}
