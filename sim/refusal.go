package sim

import "fmt"

// Refusal is why a plan cannot be run for what stands in it, or in what it
// names: a start beyond what can be counted, a climate in which nothing would grow.
type Refusal struct{ text string }

func (r *Refusal) Error() string { return r.text }

// refuse makes a refusal of what stands at a place of the plan.
func (m *Model) refuse(at, format string, args ...any) error {
	return Refuse("%s: "+format, append([]any{at}, args...)...)
}

// Refuse makes a refusal.
func Refuse(format string, args ...any) error { return &Refusal{fmt.Sprintf(format, args...)} }
