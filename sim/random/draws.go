package random

// Draw numbers every use of chance: the "what" of an address. The numbers are
// part of every result, so they are never reused or renumbered; a new draw
// takes the next free number, and golden tests pin the ones in use. Numbers 2 to
// 20, 24 to 26 and 28 were those of pools and cohorts that were drawn in every step.
const (
	DrawStart        uint8 = 1  // whole seeds at the start, by layer
	DrawHeads        uint8 = 21 // heads formed; state: early or late plants
	DrawHeadsRemoved uint8 = 22 // heads removed before seed is set
	DrawSeeds        uint8 = 23 // seed set
	DrawImport       uint8 = 27 // seed brought in
	DrawComeUp       uint8 = 29 // seedlings of a lot of seed in the steps that close on a day
	DrawAlive        uint8 = 30 // seed of a lot that lives, when counted
	DrawLost         uint8 = 31 // of the rest, what became of it
	DrawLayer        uint8 = 32 // seed of a lot by layer, when counted
	DrawState        uint8 = 33 // of a layer, by state
	DrawPlants       uint8 = 34 // plants of a cohort that live, when counted
	DrawKilled       uint8 = 35 // of the rest, killed by people
)
