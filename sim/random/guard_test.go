package random_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"rundown/sim/random"
)

// Mistakes in the program panic and name what was found; rounding is clamped.
func TestPanics(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		call func()
		want string
	}{
		"uniform":          {func() { random.Binomial(nan, 5, 0.5) }, "random: Binomial: the uniform is NaN"},
		"chance":           {func() { random.Binomial(0.5, 5, nan) }, "random: Binomial: the chance is NaN"},
		"fewer than none":  {func() { random.Binomial(0.5, -1, 0.5) }, "random: Binomial: the number of trials is -1"},
		"too many":         {func() { random.Binomial(0.5, 2e15, 0.5) }, "the number of trials is 2e+15"},
		"poisson uniform":  {func() { random.Poisson(nan, 5) }, "random: Poisson: the uniform is NaN"},
		"poisson mean":     {func() { random.Poisson(0.5, nan) }, "random: Poisson: the mean is NaN"},
		"poisson infinite": {func() { random.Poisson(0.5, inf) }, "random: Poisson: the mean is +Inf"},
		"nb uniform":       {func() { random.NegativeBinomial(nan, 5, 1) }, "random: NegativeBinomial: the uniform is NaN"},
		"nb mean":          {func() { random.NegativeBinomial(0.5, 1e16, 1) }, "random: NegativeBinomial: the mean is 1e+16"},
		"nb size":          {func() { random.NegativeBinomial(0.5, 5, nan) }, "random: NegativeBinomial: the size is NaN"},
		"nb size 0":        {func() { random.NegativeBinomial(0.5, 5, 0) }, "random: NegativeBinomial: the size is 0"},
		"normal":           {func() { random.Normal(nan) }, "random: Normal: the uniform is NaN"},
		"layer":            {func() { random.At(0, 1, 128, 0, 0, 0, 0) }, "layer 128"},
		"state":            {func() { random.At(0, 1, 0, 0, 200, 0, 0) }, "state 200"},
		"day":              {func() { random.At(math.MaxInt32, 1, 0, 0, 0, 0, 0) }, "no address for day 2147483647"},
		"early day":        {func() { random.At(math.MinInt32, 1, 0, 0, 0, 0, 0) }, "no address for day -2147483648"},
		"emerged":          {func() { random.AtCohort(0, 1, -25568, 0, 0) }, "emerged -25568"},
	} {
		func() {
			defer func() {
				message, _ := recover().(string)
				if !strings.HasPrefix(message, "random: ") || !strings.Contains(message, c.want) {
					t.Errorf("%s: panic %q, want %q", name, message, c.want)
				}
			}()
			c.call()
		}()
	}
}

func TestClamps(t *testing.T) {
	inf := math.Inf(1)
	for name, c := range map[string]struct{ got, want int64 }{
		"chance below 0":     {random.Binomial(0.999, 50, -1e-17), 0},
		"chance 0":           {random.Binomial(1, 50, 0), 0},
		"chance above 1":     {random.Binomial(1e-9, 50, 1+1e-15), 50},
		"chance infinite":    {random.Binomial(0.5, 50, inf), 50},
		"no trials":          {random.Binomial(0.9, 0, 0.3), 0},
		"no trials, likely":  {random.Binomial(0.1, 0, 0.9), 0},
		"uniform 0":          {random.Binomial(0, 50, 0.5), 0},
		"uniform 1":          {random.Binomial(1, 50, 0.5), 50},
		"uniform below 0":    {random.Poisson(-3, 2), 0},
		"mean below 0":       {random.Poisson(0.9999, -1e-12), 0},
		"nb mean 0":          {random.NegativeBinomial(0.9999, 0, 0.2), 0},
		"nb infinite size":   {random.NegativeBinomial(0.7, 12, inf), random.Poisson(0.7, 12)},
		"nb tiny size":       {random.NegativeBinomial(0.5, 1e15, 1e-300), 0},
		"nb tiny, last":      {random.NegativeBinomial(1, 1e15, 1e-5), math.MaxInt64},
		"subnormal chance":   {random.Binomial(0.5, 1e15, 5e-324), 0},
		"chance next to 1":   {random.Binomial(0.5, 1000, math.Nextafter(1, 0)), 1000},
		"large, last":        {random.Binomial(1, 41, 0.5), 41},
		"poisson, large, 0":  {random.Poisson(0, 20.5), 0},
		"normal at 0 and 1":  {int64(math.Abs(random.Normal(0)) * 100), int64(random.Normal(2) * 100)},
		"normal symmetrical": {int64(random.Normal(0.5)), 0},
	} {
		if c.got != c.want {
			t.Errorf("%s: %d, want %d", name, c.got, c.want)
		}
	}
}

// Larger uniforms never give smaller counts, out to both ends of what
// Key.Uniform can give; and what is likelier than not is the mirror image.
func TestMonotone(t *testing.T) {
	var u []float64
	for e := -53.0; e < -2; e += 1.0 / 16 {
		u = append(u, math.Exp2(e))
	}
	for x := 0.25; x < 0.75; x += 1.0 / 512 {
		u = append(u, x)
	}
	for e := -2.0; e >= -53; e -= 1.0 / 16 {
		u = append(u, 1-math.Exp2(e))
	}
	rise := func(name string, a, b float64, draw func(u float64) int64) {
		before := int64(0)
		for _, v := range u {
			k := draw(v)
			if k < before {
				t.Fatalf("%s(%v, %v) falls from %d to %d at %v", name, a, b, before, k, v)
			}
			before = k
		}
	}
	for _, n := range []int64{1, 3, 40, 41, 57, 100, 1000, 2047, 2048, 1e6, 1e12, 1e15} {
		for _, p := range []float64{1e-15, 1e-6, 0.003, 0.02, 0.1, 0.21, 0.37, 0.45, 0.5, 0.6, 0.98} {
			rise("binomial", float64(n), p, func(u float64) int64 { return random.Binomial(u, n, p) })
			for _, v := range []float64{0x1p-53, 0.125, 0.5, 0.8125, 1 - 0x1p-53} {
				if k, mirrored := random.Binomial(v, n, p), n-random.Binomial(1-v, n, 1-p); p > 0.5 && k != mirrored {
					t.Errorf("binomial(%d, %v) at %v: %d, mirrored %d", n, p, v, k, mirrored)
				}
			}
		}
	}
	for _, mean := range []float64{1e-9, 0.5, 8, 20, math.Nextafter(20, 21), 25, 400, 1e7, 1e15} {
		rise("poisson", mean, 0, func(u float64) int64 { return random.Poisson(u, mean) })
		for _, size := range []float64{0.01, 0.2, 1, 6, 19.99, 20, 33, 1000, 1e9, 1e17} {
			rise("negbinomial", mean, size, func(u float64) int64 { return random.NegativeBinomial(u, mean, size) })
		}
	}
}

// The greatest arguments: a count of mean m and standard deviation s lies at
// m + s·z, plus (z²−1)/6 times the skewness, here next to nothing.
func TestGreatest(t *testing.T) {
	for _, u := range []float64{0x1p-53, 1e-3, 0.5, 0.9, 1 - 0x1p-53} {
		z := random.Normal(u)
		for name, c := range map[string]struct{ got, mean, sd, skew float64 }{
			"binomial ½":     {float64(random.Binomial(u, 1e15, 0.5)), 5e14, math.Sqrt(2.5e14), 0},
			"binomial 0.999": {float64(random.Binomial(u, 1e15, 0.999)), 9.99e14, math.Sqrt(0.999e12), 0},
			"poisson":        {float64(random.Poisson(u, 1e15)), 1e15, math.Sqrt(1e15), 0},
			"negbinomial":    {float64(random.NegativeBinomial(u, 1e15, 1e12)), 1e15, 1e9 * math.Sqrt(1.001), 2e-6},
		} {
			want := c.mean + c.sd*(z+c.skew*(z*z-1)/6)
			if math.Abs(c.got-want) > 1e-7*c.sd+15 {
				t.Errorf("%s at %v: %.0f, want %.0f", name, u, c.got, want)
			}
		}
	}
}

func TestNoAllocation(t *testing.T) {
	key := random.Root(3, random.Chance, 3)
	var p rand.PCG
	sum := 0.0
	allocations := testing.AllocsPerRun(100, func() {
		u := key.With(7).WithText("weeds/black-grass/seeds_per_head").Uniform(random.At(20000, 1, 2, 3, 4, 5, 6))
		key.Seed(&p)
		sum += random.Normal(u) + float64(random.Binomial(u, 50, 0.1)+random.Poisson(u, 50)+random.NegativeBinomial(u, 500, 3))
		sum += key.Uniform(random.AtCohort(20000, 1, 19000, 0, 0))
	})
	if allocations != 0 {
		t.Errorf("%v allocations in a round of draws", allocations)
	}
}
