package sim_test

import "flag"

var update = flag.Bool("update", false, "rewrite the table of sim/README.md and the matrices of testdata/limits")
