package rotations

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"

	"rundown/params"
)

// sumOfDays is a sum over the first n days of a record, which two records share only
// when every number of these days is the same.
func sumOfDays(rec *params.Record, n int) string {
	h := sha256.New()
	put := func(x uint64) { _, _ = h.Write(binary.LittleEndian.AppendUint64(nil, x)) } // a hash takes all
	put(uint64(rec.Start))
	for i := range n {
		put(math.Float64bits(rec.TminC[i]))
		put(math.Float64bits(rec.TmaxC[i]))
		put(math.Float64bits(rec.RainMM[i]))
	}
	return fmt.Sprintf("%x", h.Sum(nil))
}
