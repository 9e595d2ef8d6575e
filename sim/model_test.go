package sim_test

import (
	"rundown/sim/simtest"
)

// model makes a model of a plan's text.
var model = simtest.Model
