package soil

import (
	"fmt"
	"math"
	"rundown/params/date"
	"rundown/sim/random"
	"rundown/sim/weather"
	"sort"
	"testing"
)

func cam() weather.Climate {
	c := weather.Climate{
		LatitudeDeg: 52.245,
		TmaxC:       [12]float64{7.7, 8.3, 11.0, 14.1, 17.4, 20.4, 23.1, 22.9, 19.6, 15.1, 10.7, 8.0},
		TminC:       [12]float64{1.9, 1.8, 3.1, 4.7, 7.4, 10.5, 12.6, 12.6, 10.5, 7.9, 4.5, 2.2},
		TmaxYearSD:  [12]float64{1.6, 1.9, 1.7, 1.6, 1.4, 1.3, 1.9, 1.4, 1.5, 1.6, 1.4, 1.9},
		TminYearSD:  [12]float64{1.2, 1.5, 1.2, 1.0, 1.0, 0.8, 0.9, 0.9, 1.1, 1.6, 1.4, 1.7},
		TmaxDaySD:   [12]float64{3.4, 3.5, 3.5, 3.7, 3.6, 3.4, 3.8, 3.5, 3.1, 3.0, 3.1, 3.5},
		TminDaySD:   [12]float64{3.0, 3.4, 3.0, 2.5, 2.5, 2.0, 2.2, 2.2, 2.6, 3.4, 3.4, 3.7},
		RainMM:      [12]float64{48.6, 35.7, 32.9, 37.6, 43.2, 49.3, 48.3, 55.9, 50.7, 58.7, 52.6, 49.5},
		RainYearSD:  [12]float64{21, 19, 18, 30, 25, 34, 24, 30, 34, 30, 22, 23},
		WetDays:     [12]float64{10.7, 8.9, 8.1, 7.9, 7.3, 8.7, 8.4, 8.7, 8.1, 9.9, 10.9, 10.5},
	}
	c.WetShiftC = [12]float64{1.0, 0.5, -0.5, -1.5, -2.0, -2.5, -2.5, -2.0, -1.5, -0.5, 0.5, 1.0}
	for m := range 12 {
		c.Persistence[m] = 0.25
	}
	return c
}
func med(x []float64) float64 { sort.Float64s(x); return x[len(x)/2] }

func TestX(t *testing.T) {
	g := weather.NewGenerator(cam())
	Y := 200
	ths := []float64{.68, .7, .72, .75}
	for _, km := range []float64{1.0} {
		for _, cap := range []float64{.05, .07, .1} {
			for _, hl := range []float64{20} {
				for _, ro := range []float64{.35} {
					for _, kcb := range []float64{1.1, 1.3} {
						for _, dt := range []float64{.3} {
							p := clay()
							p.DrainageTop = dt
							p.REWmm = 10
							p.RootsInTop = ro
							p.EvaporationMax = km
							p.CapillaryRise = cap
							var bare [9]float64
							for _, kill := range []int{-1, 25 - 1, 31 + 28, 31 + 28 + 17} {
								s := New(p)
								d := weather.NewDays(date.Of(2001, 1, 1), 730)
								first := map[float64][]float64{}
								top, low, mtop, mlow, n, mn := 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
								for y := range Y {
									g.Fill(d, random.Root(1, random.Weather, uint32(y)))
									st := s.Start()
									done := map[float64]bool{}
									for i := 180; i < 365+151; i++ { // from 1 Jul
										gr := Ground{}
										if kill >= 0 {
											doy := i - 365
											if doy < kill {
												gr.Living = 0.7 * math.Min(1, math.Max(0, float64(i-240)/60))
												gr.Kcb = gr.Living * kcb
											} else {
												gr.Residue = 0.7 * math.Exp2(-float64(doy-kill)/hl)
											}
										}
										s.Day(&st, d.RainMM[i], d.MeanC[i], d.ET0MM[i], gr)
										if i >= 365+31 {
											for _, th := range ths {
												if !done[th] && s.Workable(&st, d.RainMM[i], th) {
													done[th] = true
													first[th] = append(first[th], float64(i-364))
												}
											}
											if i < 365+90 {
												top += st.TopRel
												low += st.LowerRel
												n++
											}
											if i > 365+60 && i < 365+76 {
												mtop += st.TopRel
												mlow += st.LowerRel
												mn++
											}
										}
									}
									for _, th := range ths {
										if !done[th] {
											first[th] = append(first[th], 200)
										}
									}
								}
								fmt.Printf("hl km %.2f cap %.2f hl %v ro %v kcb %v dt %v kill %3d FM top %.3f low %.3f; 1-16Mar %.3f %.3f first:", km, cap, hl, ro, kcb, dt, kill, top/n, low/n, mtop/mn, mlow/mn)
								for k, th := range ths {
									m := med(first[th])
									if kill < 0 {
										bare[k] = m
									}
									fmt.Printf(" %.2f:%v(%+.0f,p90 %v)", th, m, m-bare[k], first[th][Y*9/10])
								}
								fmt.Println()
							}
						}
					}
				}
			}
		}
	}
}
