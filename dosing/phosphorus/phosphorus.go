// Package phosphorus is how much metal a phosphate takes, and what it leaves: molar ratios, the removal to
// be expected of one, and the solids that phosphate makes.
package phosphorus

import (
	"jarwright/jartest/quantity"
)

// AtomicMass is that of phosphorus, g/mol (IUPAC 2021, abridged, from memory).
const AtomicMass = 30.974

// Need is a share of soluble phosphorus taken out with the moles of aluminium that it takes for each mole of
// the raw water's: US EPA, Process Design Manual for Phosphorus Removal, EPA 625/1-76-001a, from memory.
type Need struct {
	Removal quantity.Fraction
	Ratio   float64
}

// Source says where the table comes from.
func Source(metal string) string {
	if metal == "Fe" {
		return "EPA 625/1-76-001a, for aluminium (from memory); taken to hold for iron"
	}
	return "EPA 625/1-76-001a (from memory)"
}

// Needs lists them, least removal first.
func Needs() []Need { return []Need{{0.75, 1.38}, {0.85, 1.72}, {0.95, 2.3}} }

// Amount gives phosphorus in mmol/L.
func Amount(p quantity.Concentration) quantity.Molarity {
	return quantity.Molarity(float64(p) / AtomicMass)
}

// Ratio is moles of metal for each mole of phosphorus; false without phosphorus.
func Ratio(metal quantity.Molarity, p quantity.Concentration) (float64, bool) {
	return float64(metal) / max(float64(Amount(p)), 1e-12), p > 0
}

// Expected is the share of the soluble phosphorus that a ratio takes out: straight between the table's rows and
// below its first, and no more than its last.
func Expected(ratio float64) quantity.Fraction {
	before := Need{}
	for _, n := range Needs() {
		if ratio <= n.Ratio {
			return before.Removal + (n.Removal-before.Removal)*quantity.Fraction((ratio-before.Ratio)/(n.Ratio-before.Ratio))
		}
		before = n
	}
	return before.Removal
}

// RatioFor is the ratio that a removal needs, straight between the table's rows and below its first; false above its last.
func RatioFor(removal quantity.Fraction) (float64, bool) {
	before := Need{}
	for _, n := range Needs() {
		if removal <= n.Removal {
			return before.Ratio + (n.Ratio-before.Ratio)*float64((removal-before.Removal)/(n.Removal-before.Removal)), removal > 0
		}
		before = n
	}
	return 0, false
}

// Solids is what removed phosphate makes of a metal, per litre of water: each mole of it takes a mole of the
// metal, bound, to the metal's phosphate (AlPO4, FePO4), as far as metal was dosed.
func Solids(metal string, dosed quantity.Molarity, removed quantity.Concentration) (bound, made quantity.Concentration) {
	moles := float64(min(Amount(removed), dosed))
	mass := quantity.AtomicMass[metal]
	return quantity.Concentration(moles * mass), quantity.Concentration(moles * (mass + AtomicMass + 4*quantity.AtomicMass["O"]))
}
