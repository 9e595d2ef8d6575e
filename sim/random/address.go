package random

import "fmt"

// Days that an address can hold: 17 bits from 1 January 1900, enough until
// 10 November 2258. Layer and state have 7 bits.
const (
	firstDay  = -25567 // 1 January 1900, in days since 1 January 1970
	dayRange  = 1 << 17
	maxNarrow = 1<<7 - 1
)

// Patches and Populations are how many of them the zone of an address can tell apart.
const (
	Patches     = 1 << 5
	Populations = 1 << 3
)

// Zone is the place of an address within its field, both counted from 0. From the
// lowest bit: 0–4 patch | 5–7 population.
func Zone(patch, population int) uint8 {
	if patch < 0 || patch >= Patches || population < 0 || population >= Populations {
		panic(fmt.Sprintf("random: no address for patch %d, population %d: there may be %d and %d", patch, population, Patches, Populations))
	}
	return uint8(patch | population<<5)
}

// At is the address of one chance draw on a day. day counts from 1 January
// 1970 (date.Day), years 1900 to 2200; layer and state are at most 127; what is
// one of the Draw numbers. No two different draws share an address. From the
// lowest bit:
//
//	0–16 day + 25567 | 17: 0 | 18–25 what | 26–32 layer | 33–40 age | 41–47 state | 48–55 class | 56–63 zone
func At(day int32, what uint8, layer, age, state, class, zone uint8) uint64 {
	d := uint32(day - firstDay)
	if d >= dayRange || layer|state > maxNarrow {
		refuse(day, day, layer, state)
	}
	return uint64(d) | uint64(what)<<18 | uint64(layer)<<26 | uint64(age)<<33 |
		uint64(state)<<41 | uint64(class)<<48 | uint64(zone)<<56
}

// AtCohort is the address of one chance draw on a cohort of plants, which is
// known by the day it emerged. It shares no address with At. From the lowest
// bit:
//
//	0–16 day + 25567 | 17: 1 | 18–25 what | 26–42 emerged + 25567 | 43–47: 0 | 48–55 class | 56–63 zone
func AtCohort(day int32, what uint8, emerged int32, class, zone uint8) uint64 {
	d := uint32(day - firstDay)
	e := uint32(emerged - firstDay)
	if d|e >= dayRange {
		refuse(day, emerged, 0, 0)
	}
	return uint64(d) | 1<<17 | uint64(what)<<18 | uint64(e)<<26 | uint64(class)<<48 | uint64(zone)<<56
}

// refuse stops a run whose addresses would collide.
func refuse(day, emerged int32, layer, state uint8) {
	panic(fmt.Sprintf("random: no address for day %d, emerged %d, layer %d, state %d: days run from %d to %d, layer and state to %d",
		day, emerged, layer, state, firstDay, firstDay+dayRange-1, maxNarrow))
}
