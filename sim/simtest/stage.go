package simtest

import (
	"os"
	"slices"
	"strings"
	"testing"
)

// StageVariable names the stages whose tests are run, with commas: .ci/run gives each
// of them its own, with its time.
const StageVariable = "RUNDOWN_STAGE"

// Stage leaves a test out that needs tools from outside, or minutes, unless its stage
// is asked for.
func Stage(t testing.TB, name string) {
	t.Helper()
	if !InStage(name) {
		t.Skipf("a stage of its own: %s=%s runs it", StageVariable, name)
	}
}

// InStage tells whether a stage is asked for.
func InStage(name string) bool {
	return slices.Contains(strings.Split(os.Getenv(StageVariable), ","), name)
}

// NotRacing leaves a long test out under the race detector, of whose work nothing goes on
// side by side, or what does goes on so in shorter tests: workers on one model, models that
// share what is kept, cancellation, parts, an open planner.
func NotRacing(t testing.TB) {
	t.Helper()
	if Racing {
		t.Skip("long, and what goes on side by side in it does so in shorter tests")
	}
}
