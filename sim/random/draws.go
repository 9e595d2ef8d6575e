package random

// Draw numbers every use of chance: the "what" of an address. The numbers are
// part of every result, so they are never reused or renumbered; a new draw
// takes the next free number, and golden tests pin them. Those of pools and cohorts
// that were once drawn in every step (2 to 20, 24 to 26) are not made any more: lots of
// seed and cohorts are drawn when they are seen (29 to 35).
const (
	DrawStart        uint8 = 1  // whole seeds at the start, by layer
	DrawDeal         uint8 = 2  // old seed dealt ready on 1 July, by layer; state: 0 ready, 1 autumn
	DrawLand         uint8 = 3  // shed seed: state 0 non-dormant, 1 autumn-ready
	DrawLeave        uint8 = 4  // ready seed that leaves its state in a step
	DrawDie          uint8 = 5  // of those, dead
	DrawSleep        uint8 = 6  // of the rest, dormant again
	DrawThrough      uint8 = 7  // of the rest, through already
	DrawSprouted     uint8 = 8  // sprouted seed that is through
	DrawEmerge       uint8 = 9  // seed through that reaches the light
	DrawEaten        uint8 = 10 // of the dead on the surface, eaten
	DrawDormantDie   uint8 = 11 // dormant seed
	DrawTillSprouted uint8 = 12 // sprouted seed killed by a pass; class: ordinal of the pass that day
	DrawMove         uint8 = 13 // seed moved; zone bits hold the destination
	DrawRelease      uint8 = 14 // dormant seed turned ready by a pass: state 0 released, 1 autumn-ready
	DrawResidual     uint8 = 15 // seedlings killed by residual herbicides as they emerge
	DrawSurvive      uint8 = 16 // winter and seedling survival
	DrawThin         uint8 = 17 // self-thinning
	DrawSpray        uint8 = 18 // plants killed by a spray; class: ordinal of the spray that day
	DrawTillPlants   uint8 = 19 // plants killed by a pass
	DrawInCrop       uint8 = 20 // plants killed by in-crop work
	DrawHeads        uint8 = 21 // heads formed; state: early or late plants
	DrawHeadsRemoved uint8 = 22 // heads removed before seed is set
	DrawSeeds        uint8 = 23 // seed set
	DrawShed         uint8 = 24 // seed shed in a step; class: which half of it, plants early or late
	DrawSeedsRemoved uint8 = 25 // unshed seed carried off by in-crop work
	DrawCombine      uint8 = 26 // unshed seed at harvest that does not return
	DrawImport       uint8 = 27 // seed brought in
	DrawFrostKill    uint8 = 28 // reserved: plants killed by frost
	DrawComeUp       uint8 = 29 // seedlings of a lot of seed in the steps that close on a day
	DrawAlive        uint8 = 30 // seed of a lot that lives, when counted
	DrawLost         uint8 = 31 // of the rest, what became of it
	DrawLayer        uint8 = 32 // seed of a lot by layer, when counted
	DrawState        uint8 = 33 // of a layer, by state
	DrawPlants       uint8 = 34 // plants of a cohort that live, when counted
	DrawKilled       uint8 = 35 // of the rest, killed by people
	DrawOffspring    uint8 = 36 // seed of mothers of one class (layer) by its own class (state)
	DrawMutation     uint8 = 37 // of seed of one class (layer), changed at a gene (state)
	DrawDrift        uint8 = 38 // mean of a trait (state) among the seed of few parents
	DrawCarriers     uint8 = 39 // seed at the start and from outside by class (state); layer and age as of the seed
	DrawLook         uint8 = 40 // what a grower counts on a day before deciding; layer: heads, plants or seedlings
	DrawKilledAll    uint8 = 41 // of all plants that are gone, when counted: those that people killed
)
