package jartest

import (
	"errors"
	"math"

	"jarwright/jartest/quantity"
)

// requiredTOC is the share of total organic carbon that enhanced coagulation is to take out (step 1), in
// percent, by the raw water's TOC over each row's bound in mg/L and its alkalinity up to 60, up to 120 and
// above: 40 CFR 141.135(b)(2), from memory.
var requiredTOC = [...]struct {
	above   float64
	percent [3]float64
}{{8, [3]float64{50, 40, 30}}, {4, [3]float64{45, 35, 25}}, {2, [3]float64{35, 25, 15}}}

// RequiredTOC gives that share, in percent; false for water of 2 mg/L or less, of which the rule asks none.
func RequiredTOC(toc quantity.Concentration, a quantity.Alkalinity) (percent float64, ok bool) {
	column := 0
	for _, above := range [...]quantity.Alkalinity{60, 120} {
		if a > above {
			column++
		}
	}
	for _, row := range requiredTOC {
		if float64(toc) > row.above {
			return row.percent[column], true
		}
	}
	return 0, false
}

// LowTOC is the total organic carbon below which water meets the rule without removal, raw or treated: 40 CFR
// 141.135(a)(2)(i) and (ii), from memory. The table of removals begins above it.
const LowTOC quantity.Concentration = 2

// ByRule is the target "toc enhanced" as it holds for the water of a series: the removal that the rule asks, or, of water of which it
// asks none, no more TOC than that.
func (s Series) ByRule(t Target) (Target, error) {
	if !t.ByRule || t.Value > 0 {
		return t, nil
	}
	toc, ok := s.RawReading(TOC)
	if ok && quantity.Concentration(toc) <= LowTOC {
		t.Kind, t.AtLeast, t.Unit, t.Value = Absolute, false, "mg/L", float64(LowTOC)
		return t, nil
	}
	alk, has := s.RawReading(AlkalinityKey)
	if !ok || !has {
		return t, errors.New("the removal that the rule asks hangs on the raw water's TOC and alkalinity, and the sheet lacks one of them")
	}
	t.Value, _ = RequiredTOC(quantity.Concentration(toc), quantity.Alkalinity(alk))
	return t, nil
}

// SUVA is the specific absorbance of a water's organic carbon, L/mg-m: UV254 (1/cm) as 1/m over DOC (mg/L); 40 CFR 141.2,
// from memory. Not known without DOC.
func SUVA(perCm, doc float64) quantity.Known[float64] {
	return quantity.Known[float64]{V: 100 * perCm / math.Max(doc, 1e-9), OK: doc > 0}
}

// RawSUVA is that of the raw water, where both were read.
func (s Series) RawSUVA() (v quantity.Known[float64]) {
	uv, okUV := s.RawReading(UV254)
	doc, okDOC := s.RawReading(DOC)
	if okUV && okDOC {
		v = SUVA(uv, doc)
	}
	return v
}
