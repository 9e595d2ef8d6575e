package sim_test

import (
	"reflect"
	"testing"

	"rundown/params"
	"rundown/sim/crop"
	"rundown/sim/fieldwork"
	"rundown/sim/herbicide"
	"rundown/sim/margin"
	"rundown/sim/seedbank"
	"rundown/sim/soil"
	"rundown/sim/stand"
	"rundown/sim/weather"
)

// declared are the structs in which the parts say what they need, by kind.
var declared = map[string][]any{
	"weeds":  {seedbank.Params{}, stand.Params{}},
	"crops":  {crop.Params{}, crop.SwardParams{}, margin.CropMoney{}},
	"covers": {crop.CoverParams{}, margin.OperationMoney{}},
	"implements": {fieldwork.CultivatorParams{}, fieldwork.InCropParams{}, fieldwork.PullParams{}, fieldwork.PatchParams{},
		fieldwork.SeedControlParams{}, margin.OperationMoney{}},
	"herbicides": {herbicide.ResidualParams{}, herbicide.ContactParams{}, margin.OperationMoney{}},
	"soils":      {soil.Params{}},
	"climates":   {weather.Climate{}},
}

// elsewhere are keys that the engine reads by name.
var elsewhere = map[string]string{"movement": "fraction", "site_dormancy": "sd", "site_residual": "sd",
	"on_italian_rye_grass": "logit", "on_wild_oat": "logit", "on_sterile_brome": "logit"}

// Every tag has a key in the library's table with the same unit, and every key
// of the table is used by a tag.
func TestTagsAndLibrary(t *testing.T) {
	for kind, structs := range declared {
		used := map[string]string{}
		for _, s := range structs {
			for i := range reflect.TypeOf(s).NumField() {
				f := reflect.TypeOf(s).Field(i)
				if key := f.Tag.Get("lib"); key != "" {
					used[key] = f.Tag.Get("unit")
				}
			}
		}
		for _, q := range params.Quantities(kind) {
			unit, ok := used[q.Key]
			if !ok {
				unit, ok = elsewhere[q.Key]
			}
			switch {
			case !ok:
				t.Errorf("%s: no part uses the key %s", kind, q.Key)
			case unit != q.Unit:
				t.Errorf("%s: %s is in %q in the library's table, in %q in the model", kind, q.Key, q.Unit, unit)
			}
			delete(used, q.Key)
		}
		for key := range used {
			t.Errorf("%s: the library's table has no key %s", kind, key)
		}
	}
}
