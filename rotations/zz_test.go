package rotations

import (
	"fmt"
	"os"
	"path/filepath"
	"rundown/params"
	"rundown/params/sheet"
	"strings"
	"testing"
)

func zzlib(t *testing.T) *params.Library {
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for kind, names := range map[string][]string{"soils": {"clay", "loam"}, "climates": {"east-lowland"}} {
		os.MkdirAll(filepath.Join(dir, kind), 0o755)
		for _, n := range names {
			if lib.Find(kind, n) != nil {
				continue
			}
			s := "name: " + n + "\nabout: x.\nvalues:\n"
			for i, q := range params.Quantities(kind) {
				v := q.Low + 0.3*(min(q.High, 1)-q.Low)
				if kind == "soils" && i < 3 {
					v = []float64{0.38, 0.2, 0.5}[i]
				}
				if q.Key == "tmax" {
					v = 10
				}
				if q.Key == "tmin" {
					v = 3
				}
				if q.Key == "rain" {
					v = 40
				}
				if q.Key == "wet_days" {
					v = 9
				}
				val := fmt.Sprint(v)
				if q.Row > 0 {
					val = "[" + strings.Repeat(val+", ", 11) + val + "]"
				}
				s += fmt.Sprintf("  %s: {value: %s, grade: assumed, source: assumed}\n", q.Key, val)
			}
			os.WriteFile(filepath.Join(dir, kind, n+".yaml"), []byte(s), 0o644)
		}
	}
	var m sheet.Mistakes
	lib.Overlay(dir, &m)
	if m.Len() > 0 {
		t.Fatal(m.Error())
	}
	return lib
}
func TestZZ(t *testing.T) {
	lib := zzlib(t)
	show := func(name string, data []byte) {
		var m sheet.Mistakes
		p := Read("plan.yaml", data, &m)
		c := p.Resolve(lib, &m)
		fmt.Println("#####", name)
		fmt.Println(m.Error())
		if c == nil {
			return
		}
		for _, s := range c.Seasons {
			fmt.Println(s.HarvestYear, s.Open, s.End, s.Cover)
			for _, k := range s.Courses {
				fmt.Println("  ", k.Crop.Name, k.Drill, k.StrawChopped)
				for _, o := range k.Operations {
					fmt.Println("     ", o.Action, o.With.Name, o.Timing, o.On, o.Days, o.Latest, o.LatestAfter, o.Place)
				}
			}
		}
		for _, n := range c.Notes {
			fmt.Println(n)
		}
		fmt.Println(len(c.Space.Values))
	}
	show("starter", Starter())
	head := "field: {area_ha: 3, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 20, high: 50}}\n"
	for _, n := range ReadyMade() {
		show(n, []byte(head+"rotation: "+n+"\n"))
	}
}
func TestZZW(t *testing.T){
 lib:=zzlib(t)
 var m sheet.Mistakes
 c:=Read("plan.yaml",Starter(),&m).Resolve(lib,&m)
 c.Write(os.Stdout)
 c.WriteFull(os.Stdout)
}
