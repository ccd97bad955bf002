package compare

import (
	"jarwright/dosing/water"
	"jarwright/jartest/quantity"
)

// Treated is what is known of the treated water.
type Treated struct {
	PH            quantity.Known[quantity.PH]
	Hardness, DOC quantity.Known[quantity.Concentration]
	Salt          bool
}

// NotChecked is the level of a residual that nothing was held against.
const NotChecked = "not checked"

// MetalLevel holds a residual metal against what is known to harm aquatic life.
// Aluminium in fresh water: "stop" above the US EPA 2018 acute criterion,
// "caution" above its chronic one, both at the treated water's pH, hardness and
// dissolved organic carbon. Iron: "caution" above the Canadian federal guideline
// of 2019, or 1.0 mg/L where the organic carbon is not known. Aluminium in salt
// water: "caution" above the guideline of Golding et al. 2015.
func MetalLevel(metal string, c quantity.Concentration, w Treated) string {
	switch {
	case metal == "Al" && w.Salt:
		if c > water.MarineAluminium {
			return "caution"
		}
		return "note"
	case metal == "Al" && w.PH.OK && w.Hardness.OK && w.DOC.OK:
		k := water.Aluminium(w.PH.V, quantity.Alkalinity(w.Hardness.V), w.DOC.V)
		switch {
		case c > k.Acute:
			return "stop"
		case c > k.Chronic:
			return "caution"
		}
		return "note"
	case metal == "Fe" && (w.PH.OK || !w.DOC.OK):
		if limit, _ := water.IronGuideline(w.PH.V, w.DOC.Or(0)); c > limit {
			return "caution"
		}
		return "note"
	}
	return NotChecked
}
