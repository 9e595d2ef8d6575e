package counts

import "math"

// ends are where a profile falls to a level below and above its top; an end
// that is not reached within limits is 0 or infinite.
func ends(top float64, profile func(float64) float64, level, least, most float64) (low, high float64) {
	low = edge(top, 0.5, profile, level, least, most)
	high = edge(top, 2, profile, level, least, most)
	if low <= least {
		low = 0
	}
	if high >= most {
		high = math.Inf(1)
	}
	return low, high
}

// edge looks for where a profile falls to a level, from its top on by steps of
// a factor, then by halving on a log scale.
func edge(top, step float64, profile func(float64) float64, level, least, most float64) float64 {
	in, out := top, top
	for {
		out = in * step
		if out < least || out > most {
			return out
		}
		if profile(out) < level {
			break
		}
		in = out
	}
	for range 26 {
		mid := math.Sqrt(in * out)
		if profile(mid) < level {
			out = mid
		} else {
			in = mid
		}
	}
	return math.Sqrt(in * out)
}

// highest maximises a function of k on a log scale by a golden section search
// within the best cell of a grid.
func highest(f func(float64) float64) (k, l float64) {
	const cells = 28
	at := func(i float64) float64 { return leastK * math.Pow(mostK/leastK, i/cells) }
	best, top := 0, math.Inf(-1)
	for i := 0; i <= cells; i++ {
		if l := f(at(float64(i))); l > top {
			best, top = i, l
		}
	}
	lo, hi := math.Max(0, float64(best-1)), math.Min(cells, float64(best+1))
	g := (math.Sqrt(5) - 1) / 2
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := f(at(a)), f(at(b))
	for hi-lo > 1e-6 {
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = f(at(a))
		} else {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = f(at(b))
		}
	}
	k = at((lo + hi) / 2)
	return k, f(k)
}
