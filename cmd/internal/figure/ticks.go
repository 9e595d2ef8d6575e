package figure

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// step125 is the least of 1, 2, 5 × 10ᵏ that is at least x.
func step125(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return 1
	}
	unit := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 2, 5} {
		if x <= m*unit*(1+1e-9) {
			return m * unit
		}
	}
	return 10 * unit
}

// linearTicks marks multiples of a 1-2-5 step inside lo..hi.
func linearTicks(lo, hi float64, most int, percent bool) []tickMark {
	step := step125((hi - lo) / float64(max(most, 1)))
	for math.Floor(hi/step)-math.Ceil(lo/step) >= float64(most) {
		step = step125(step * 1.5)
	}
	out := multiples(lo, hi, step, percent)
	for finer := step; len(out) < fewestTicks && finer > step/10; {
		finer = step125(finer / 2.6) // of 1, 2 and 5 the next below
		out = multiples(lo, hi, finer, percent)
	}
	return out
}

// fewestTicks is how many labels an axis has at least: with two one cannot see how it runs.
const fewestTicks = 3

// multiples marks the multiples of a step inside lo..hi.
func multiples(lo, hi, step float64, percent bool) []tickMark {
	var out []tickMark
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+1e-9*step; k++ {
		v := k * step
		label := number(v, step)
		if percent {
			label = number(100*v, 100*step) + "%"
		}
		out = append(out, tickMark{v, label})
	}
	return out
}

// logTicks marks powers of ten between 10^lo and 10^hi; every second or third
// where there are too many, and 1-3 or 1-2-5 where there are fewer than three.
func logTicks(lo, hi float64, most int) []tickMark {
	first, last := math.Ceil(lo-1e-9), math.Floor(hi+1e-9)
	for _, steps := range [][]float64{{1, 3}, {1, 2, 5}} {
		if out := withinDecades(lo, hi, steps); last-first < fewestTicks-1 && len(out) >= fewestTicks {
			return out
		}
	}
	step := 1.0
	for (last-first)/step+1 > float64(most) {
		step++
	}
	var out []tickMark
	for ; ; step-- {
		out = out[:0]
		for k := step * math.Ceil(first/step); k <= last; k += step {
			out = append(out, tickMark{math.Pow(10, k), number(math.Pow(10, k), math.Pow(10, k))})
		}
		if len(out) >= fewestTicks || step == 1 {
			break
		}
	}
	if len(out) == 0 && last >= first { // no multiple of the step inside: any decade will do
		out = append(out, tickMark{math.Pow(10, first), number(math.Pow(10, first), math.Pow(10, first))})
	}
	return out
}

// withinDecades marks the given multiples of every power of ten.
func withinDecades(lo, hi float64, multiples []float64) []tickMark {
	var out []tickMark
	for k := math.Floor(lo); k <= hi; k++ {
		for _, m := range multiples {
			if l := k + math.Log10(m); l >= lo && l <= hi {
				unit := math.Pow(10, k)
				out = append(out, tickMark{m * unit, number(m*unit, unit)})
			}
		}
	}
	return out
}

// dateTicks marks calendar dates: days, weeks from the 1st, months, years.
func dateTicks(lo, hi float64, most int) []tickMark {
	days := hi - lo
	var out []tickMark
	mark := func(keep func(t time.Time) bool, layout string) bool {
		out = out[:0]
		for d := math.Ceil(lo); d <= hi; d++ {
			if t := day(d); keep(t) {
				out = append(out, tickMark{d, t.Format(layout)})
			}
		}
		return len(out) > 0 && len(out) <= most
	}
	monthly := func(every int) func(time.Time) bool {
		return func(t time.Time) bool { return t.Day() == 1 && int(t.Month()-1)%every == 0 }
	}
	switch {
	case days > 366*200 || !finite(days):
		return nil
	case days <= float64(most) && mark(func(time.Time) bool { return true }, "2 Jan"):
	case mark(func(t time.Time) bool { d := t.Day(); return d%5 == 1 && d < 30 }, "2 Jan"):
	case mark(func(t time.Time) bool { d := t.Day(); return d == 1 || d == 11 || d == 21 }, "2 Jan"):
	case mark(func(t time.Time) bool { return t.Day() == 1 || t.Day() == 15 }, "2 Jan"):
	case mark(monthly(1), "Jan"), mark(monthly(2), "Jan"), mark(monthly(3), "Jan 06"), mark(monthly(6), "Jan 06"):
	default:
		for every := 1; every <= 100; every++ {
			if mark(func(t time.Time) bool { return t.YearDay() == 1 && t.Year()%every == 0 }, "2006") {
				break
			}
		}
	}
	return out
}

func day(d float64) time.Time { return time.Unix(int64(math.Round(d))*86400, 0).UTC() }

// number writes a value with as many decimals as a step needs: 0.05, 12, 1,200.
func number(v, step float64) string {
	if v == 0 || !finite(v) {
		return "0"
	}
	if a := math.Abs(v); a >= 1e7 || a < 1e-4 {
		return exponent(v)
	}
	decimals := 0
	if step > 0 && step < 1 {
		decimals = int(math.Ceil(-math.Log10(step) - 1e-9))
	}
	return group(strconv.FormatFloat(v, 'f', decimals, 64))
}

// exponent writes 10⁷ or 2×10⁻⁵.
func exponent(v float64) string {
	s := strconv.FormatFloat(v, 'e', 1, 64)
	mantissa, power, _ := strings.Cut(s, "e")
	k, _ := strconv.Atoi(power)
	up := strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵",
		"6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹").Replace(strconv.Itoa(k))
	switch mantissa = strings.TrimSuffix(mantissa, ".0"); mantissa {
	case "1":
		return "10" + up
	default:
		return strings.Replace(mantissa, "-", "−", 1) + "×10" + up
	}
}

// group sets commas between thousands and a true minus.
func group(s string) string {
	sign := ""
	if strings.HasPrefix(s, "-") {
		sign, s = "−", s[1:]
	}
	whole, rest, dotted := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if dotted {
		whole += "." + rest
	}
	return sign + whole
}

// short writes a value to two significant digits, three above 1,000 not being
// worth their room: 0.031, 4.2, 38, 1,200.
func short(v float64) string {
	if !finite(v) {
		return "–"
	}
	if v == 0 {
		return "0"
	}
	p := math.Floor(math.Log10(math.Abs(v)))
	unit := math.Pow(10, p-1)
	return number(math.Round(v/unit)*unit, math.Min(unit, 1))
}
