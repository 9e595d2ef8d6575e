package sim

import (
	"fmt"
	"strings"
)

// caught turns a panic of the samplers into an error that names the replicate:
// they stop at what is no chance and no count, which values of a user's library can
// lead to that each keep their own limits. Any other panic goes on.
func (w *Worker) caught(seed uint64, streams Streams, err *error) {
	x := recover()
	if x == nil {
		return
	}
	text, ok := x.(string)
	if !ok || !strings.HasPrefix(text, "random: ") {
		panic(x)
	}
	*err = fmt.Errorf("the replicate with seed %d and luck %v cannot be reckoned beyond %v: %s: look for an extreme value in your library; "+
		"without one this is a bug, please report the plan with these numbers",
		seed, streams, w.today, strings.TrimPrefix(text, "random: "))
}
