package water

import (
	"math"

	"jarwright/jartest/quantity"
)

// IronGuideline is the Canadian federal guideline for total iron in fresh water,
// exp(0.671 ln DOC + 0.171 pH + 5.586) ug/L (Environment and Climate Change
// Canada 2019; the formula read in a public copy, its table value in the
// guideline). Known is false without dissolved organic carbon; then 1.0 mg/L, the
// common no-effect figure for fin fish, is what there is.
func IronGuideline(ph quantity.PH, doc quantity.Concentration) (limit quantity.Concentration, known bool) {
	if doc <= 0 {
		return 1.0, false
	}
	return quantity.Concentration(math.Exp(0.671*math.Log(float64(doc))+0.171*float64(ph)+5.586) / 1000), true
}

// MarineAluminium is the guideline for total aluminium in sea water (Golding et
// al. 2015). One diatom sets it; it is meant for whole ecosystems, not for tanks,
// and says little about fish or shrimp.
const MarineAluminium quantity.Concentration = 0.024
