package compare

import (
	"slices"

	"jarwright/dosing/caution"
	"jarwright/dosing/water"
	"jarwright/jartest/quantity"
)

// Treated is what is known of the treated water.
type Treated struct {
	PH            quantity.Known[quantity.PH]
	Hardness, DOC quantity.Known[quantity.Concentration]
	Salinity      quantity.Salinity
}

// NotChecked is the level of a residual that nothing was held against.
const NotChecked = "not checked"

// MetalLevel holds a residual metal against what is known to harm aquatic life.
// Aluminium in fresh water: "stop" above the US EPA 2018 acute criterion,
// "caution" above its chronic one, both at the treated water's pH, hardness and
// dissolved organic carbon. Iron: "caution" above the Canadian federal guideline
// of 2019, or 1.0 mg/L where the organic carbon is not known. Aluminium in salt
// water: "caution" above the guideline of Golding et al. 2015. Between fresh and salt
// water the graver of both, as the cautions of a plan have it.
func MetalLevel(metal string, c quantity.Concentration, w Treated) string {
	salt, fresh := caution.Saline(w.Salinity), caution.Fresh(w.Salinity)
	levels := []string{NotChecked, "note", "caution", "stop"} // the graver the later
	level := NotChecked
	found := func(l string) {
		if slices.Index(levels, l) > slices.Index(levels, level) {
			level = l
		}
	}
	if metal == "Al" && salt {
		found(either(c > water.MarineAluminium, "caution", "note"))
	}
	if metal == "Al" && fresh && w.PH.OK && w.Hardness.OK && w.DOC.OK {
		k := water.Aluminium(w.PH.V, quantity.Alkalinity(w.Hardness.V), w.DOC.V)
		found(either(c > k.Acute, "stop", either(c > k.Chronic, "caution", "note")))
	}
	if metal == "Fe" && (w.PH.OK || !w.DOC.OK) {
		limit, _ := water.IronGuideline(w.PH.V, w.DOC.Or(0))
		found(either(c > limit, "caution", "note"))
	}
	return level
}

func either(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}
