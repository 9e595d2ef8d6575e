package findings

import (
	"fmt"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/rotations"
)

// mostDaysNamed is how many days that were filled in are named one by one.
const mostDaysNamed = 3

// FilledDays says which days of the weather files lacked a value, "" where none did.
func FilledDays(c *rotations.Calendar) string {
	var out []string
	for _, r := range []*params.Record{c.FitTo, c.Record} {
		if r == nil || len(r.Filled) == 0 {
			continue
		}
		var days []string
		for i, d := range r.Filled {
			if i == mostDaysNamed {
				days = append(days, fmt.Sprintf("and %d more", len(r.Filled)-i))
				break
			}
			days = append(days, d.Short())
		}
		out = append(out, fmt.Sprintf("In the weather file %s, values of %s were missing and were filled in with the mean of the days before and after: %s.",
			r.File, map[bool]string{true: "one day", false: fmt.Sprintf("%d days", len(r.Filled))}[len(r.Filled) == 1], strings.Join(days, ", ")))
	}
	return strings.Join(out, " ")
}

func filledDays(c *rotations.Calendar) *report.Warning {
	if text := FilledDays(c); text != "" {
		return &report.Warning{Code: "weather-filled-in", Text: text}
	}
	return nil
}

// mostFitted is how many notes of usual practice are told where not all are asked for.
const mostFitted = 4

// Fitted says what of usual practice was moved or left out, as it did not fit the plan; "" for nothing.
func Fitted(c *rotations.Calendar) string { return strings.Join(fitted(c), "\n\n") }

func fitted(c *rotations.Calendar) (out []string) {
	for i, n := range c.Notes {
		if i == mostFitted && len(c.Notes) > mostFitted+1 {
			out = append(out, fmt.Sprintf("%d more of these: rundown check --full.", len(c.Notes)-i))
			break
		}
		out = append(out, sentence(n)+".")
	}
	return out
}
