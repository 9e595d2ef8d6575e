package counts

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"rundown/sim/random"
	"rundown/sim/simtest"
)

const stripsFile = "../../examples/invented-strips.csv"

// strips is the invented trial of the examples: 20 quadrats in a strip drilled on
// 28 September, 20 in one beside it drilled on 12 October, about densities that only
// this function knows.
func strips() string {
	r := rand.New(rand.NewPCG(20261126, 3))
	var b strings.Builder
	b.WriteString("date,zone,kind,quadrat_m2,count\n")
	for _, s := range []struct {
		zone  string
		perM2 float64
	}{{"drilled 12 Oct", 14}, {"drilled 28 Sep", 26}} {
		for range 20 {
			fmt.Fprintf(&b, "2027-04-02,%s,plants,0.25,%d\n", s.zone, random.NegativeBinomial(r.Float64(), s.perM2*0.25, 0.6))
		}
	}
	return b.String()
}

// The counts of the strips are drawn as examples/README.md says; -update=fixtures draws them anew.
func TestStripsAreMade(t *testing.T) {
	simtest.Golden(t, simtest.Fixtures, stripsFile, []byte(strips()))
}
