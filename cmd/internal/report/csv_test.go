package report

import (
	"bytes"
	"encoding/csv"
	"math"
	"strings"
	"testing"
)

func TestBandsCSV(t *testing.T) {
	var b bytes.Buffer
	err := BandsCSV(&b, []Series{
		{2031, "heads_per_m2", "heads/m²", Band{N: 3, Mean: 1.0 / 3, P05: 0, P25: 0.25, P50: 0.5, P75: 1e-9, P95: 2}},
		{2032, "yield_t_per_ha", "t/ha", Band{Mean: math.NaN()}},
	})
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll() // RFC 4180, as encoding/csv reads it
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	for _, r := range rows {
		lines = append(lines, strings.Join(r, "|"))
	}
	want := []string{"season|metric|unit|quantile|estimate",
		"2031|heads_per_m2|heads/m²|mean|0.3333333333333333", "2031|heads_per_m2|heads/m²|p05|0",
		"2031|heads_per_m2|heads/m²|p25|0.25", "2031|heads_per_m2|heads/m²|p50|0.5",
		"2031|heads_per_m2|heads/m²|p75|1e-9", "2031|heads_per_m2|heads/m²|p95|2",
		"2032|yield_t_per_ha|t/ha|mean|", "2032|yield_t_per_ha|t/ha|p05|", "2032|yield_t_per_ha|t/ha|p25|",
		"2032|yield_t_per_ha|t/ha|p50|", "2032|yield_t_per_ha|t/ha|p75|", "2032|yield_t_per_ha|t/ha|p95|"}
	if strings.Join(lines, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(lines, "\n"), strings.Join(want, "\n"))
	}
}

func TestReplicatesCSV(t *testing.T) {
	var b bytes.Buffer
	err := ReplicatesCSV(&b, Replicates{
		Columns: []string{"crop", "yield_t_per_ha"}, Seasons: []int{2031, 2032},
		Rows: [][][]string{{{"linseed", "2"}, {"linseed", "2.5"}}, {{"fallow", ""}, {"fallow", ""}}},
	})
	want := "replicate,season,crop,yield_t_per_ha\n1,2031,linseed,2\n1,2032,fallow,\n2,2031,linseed,2.5\n2,2032,fallow,\n"
	if err != nil || b.String() != want {
		t.Errorf("got %v\n%swant\n%s", err, b.String(), want)
	}
}
