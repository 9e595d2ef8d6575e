// Package sim runs a plan: a field and its weed, day by day, from the heads or the seedbank
// that were counted to the last harvest. sim/README.md describes the model.
//
// New makes a Model of a rotations.Calendar: everything looked up, bound and tabled once. A
// Worker of the model runs replicates, each a pure function of its arguments: a Replicate
// (seed, luck and uncertain values), a Sky (its weather) and what is watched. It fills a
// Record with the metrics of every season. Package ensemble runs many replicates of one
// model or of several, on all processors; package study asks them questions.
//
// The state of a run (state.go) is a field of patches, each with populations of weeds:
//
//	field       season, crop, jobs, money
//	patch       soil water, cover, straw, tilled layers
//	population  seeds (a lot has one history), plants (a cohort came up in one step), heads,
//	            exposure, residues as this weed meets them, its ledger
//
// There is one of each, as yet. The schedule of a day is day.go: every process has its line
// there. What is drawn has an address (package random), so that the order of processes, of
// replicates and of workers moves no draw, and two plans share the luck of all that they
// have in common.
//
// Two things work with the same shares: the drawn run, and the cycle (cycle.go), which is
// the yearly step of the seedbank in expectation. It says what a set of values would return,
// and draws are held against what is known of that. Who changes a process of seed changes both.
package sim
