package study_test

import (
	"math"
	"testing"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/study"
)

// strips are quadrats of two zones on a date, in no order, and one zone on another.
func strips() []study.CountRow {
	june, july := date.Of(2027, 6, 10), date.Of(2027, 7, 1)
	var rows []study.CountRow
	for i := range 12 {
		rows = append(rows, study.CountRow{Day: june, Zone: "b", Kind: "heads", AreaM2: 0.25, N: 9 + i%5},
			study.CountRow{Day: june, Zone: "a", Kind: "heads", AreaM2: 0.25, N: i % 2})
	}
	return append(rows, study.CountRow{Day: july, Zone: "a", Kind: "core-seedlings", AreaM2: 0.01, N: 1, DepthCM: 5})
}

// Rows are grouped by date, kind and zone, with plain means; the sides of a date are
// compared with the cleaner named first, whichever stands first.
func TestCountsFind(t *testing.T) {
	c := (&study.CountsRequest{Rows: strips(), Level: 0.9, Compare: true}).Find()
	if len(c.Groups) != 3 || c.Groups[0].Zone != "a" || c.Groups[1].Zone != "b" || c.Groups[2].Kind != "core-seedlings" {
		t.Fatalf("groups %+v", c.Groups)
	}
	total := 0
	for _, r := range strips() {
		if r.Zone == "b" {
			total += r.N
		}
	}
	if got, want := c.Groups[1].Fit.MeanPerM2.Value, float64(total)/(12*0.25); math.Abs(got/want-1) > 1e-6 {
		t.Errorf("mean of b %v, plain mean %v", got, want)
	}
	if len(c.Pairs) != 1 || c.Verdict != study.SidesDiffer {
		t.Fatalf("%d pairs, verdict %s", len(c.Pairs), c.Verdict)
	}
	if p := c.Pairs[0]; p.Cleaner.Zone != "a" || p.Other.Zone != "b" || p.Sure < 0.975 || p.Ratio.Value >= 1 || p.Ratio.Low > p.Ratio.Value ||
		p.Ratio.High < p.Ratio.Value || p.Fewest != 12 {
		t.Errorf("the pair is %s over %s, %+v", p.Cleaner.Zone, p.Other.Zone, p)
	}
	var codes []study.Code
	for _, w := range c.Warnings {
		if w.Group.Kind == "core-seedlings" {
			codes = append(codes, w.Code)
		}
	}
	if len(codes) != 2 || codes[0] != study.FewQuadrats || codes[1] != study.ThinSampling {
		t.Errorf("a single core has the warnings %v", codes)
	}
	if c := (&study.CountsRequest{Rows: strips(), Level: 0.9}).Find(); c.Verdict != study.OnlyCounted || c.Pairs != nil {
		t.Errorf("nothing was to be compared: %s, %d pairs", c.Verdict, len(c.Pairs))
	}
}

// Counts for an update are of one zone, or of all together; cores keep their depth.
func TestWatchedOf(t *testing.T) {
	all, zones, left := study.WatchedOf(strips(), "")
	if len(all) != 2 || len(all[0].Quadrats) != 24 || all[0].Watch.What != sim.WatchHeads || all[1].Watch.DepthCM != 5 || len(zones) != 2 || left != nil {
		t.Errorf("all zones: %d counts, zones %v, left %v", len(all), zones, left)
	}
	one, zones, left := study.WatchedOf(strips(), "b")
	if len(one) != 1 || len(one[0].Quadrats) != 12 || len(zones) != 1 || zones[0] != "b" || len(left) != 1 || left[0] != "a" {
		t.Errorf("zone b: %d counts, zones %v, left %v", len(one), zones, left)
	}
}
