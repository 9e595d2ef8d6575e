package fieldwork

import "math"

// CultivatorParams are the values of an implement that moves soil (library
// kind implements, roles cultivator and drill). Its matrix ("movement") is a
// fixed row of 25 numbers, from-column by to-row.
type CultivatorParams struct {
	KillDry      float64 `lib:"seedling_kill_dry" unit:"fraction"`
	KillWet      float64 `lib:"seedling_kill_wet" unit:"fraction"`
	KillSmall    float64 `lib:"small_seedling_kill" unit:"fraction"` // besides, of those below one leaf in the ground it stirs
	KillLarge    float64 `lib:"large_plant_kill" unit:"factor"`      // on the kill of plants beyond six tillers
	KillSprouted float64 `lib:"sprouted_kill" unit:"fraction"`
	StrawLeft    float64 `lib:"straw_left" unit:"fraction"` // of the ground that straw or residue covered
	Stirs0to5    float64 `lib:"stirs_0_5" unit:"fraction"`
	Stirs5to10   float64 `lib:"stirs_5_10" unit:"fraction"`
	StirsDeeper  float64 `lib:"stirs_deeper" unit:"fraction"`
	DepthCM      float64 `lib:"depth" unit:"cm"`
	Bypass       float64 `lib:"inversion_bypass" unit:"fraction"`      // plough: share only stirred to 10 cm, drawn per pass
	BypassGood   float64 `lib:"inversion_bypass_good" unit:"fraction"` // the same with quality: good
}

// InCropParams are the values of in-crop work (role in-crop).
type InCropParams struct {
	KillPlants  float64 `lib:"plant_kill" unit:"fraction"`
	RemoveHeads float64 `lib:"head_removal" unit:"fraction"` // of heads, or of unshed seed once set
	CropLoss    float64 `lib:"crop_loss" unit:"fraction"`    // of yield, besides patches
}

// PullParams are the values of work that pulls plants.
type PullParams struct {
	HalfAt       float64 `lib:"half_pulled_at" unit:"plants/m²"` // plants found at which half is pulled of what would be of few
	CostPerPlant float64 `lib:"cost_per_plant" unit:"money/plant"`
}

// Of is the share pulled of that of few plants, where so many are found per m².
func (p *PullParams) Of(found float64) float64 { return 1 / (1 + found/p.HalfAt) }

// PatchParams are the values of work that kills crop and weed in patches.
type PatchParams struct {
	CropPerPlant  float64 `lib:"crop_per_plant" unit:"m²/plant"` // crop that dies with a plant that stands alone
	CostOfPatches float64 `lib:"cost_of_patches" unit:"money/ha"`
}

// Share is the share of the field inside patches: what lies about plants of a mean
// density that is gamma of some shape over the field (small is patchy).
func (p *PatchParams) Share(found, shape float64) float64 {
	return 1 - math.Exp(-shape*math.Log1p(p.CropPerPlant*found/shape))
}

// SeedControlParams are the values of harvest weed-seed control (role harvest).
type SeedControlParams struct {
	Capture float64 `lib:"seed_capture" unit:"fraction"`
	Kill    float64 `lib:"seed_kill" unit:"fraction"`
}
