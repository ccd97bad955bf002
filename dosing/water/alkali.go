package water

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Alkali is a substance that gives alkalinity back.
type Alkali struct {
	ID, Name string
	Basis    quantity.Basis
	// PerMg is the alkalinity that 1 mg/L of the pure substance gives, as CaCO3;
	// CarbonatePerMg the mmol of inorganic carbon that comes with it. Both from
	// formula weights.
	PerMg, CarbonatePerMg float64
	// Purity of what is usually sold (from memory: go by the label of the drum).
	Purity quantity.Fraction
	// Remark is what to know before choosing it.
	Remark string
}

// Alkalis lists those in common use, strongest first. Formula weights give the
// factors: to return 1 mg/L of alkalinity takes 0.740 mg/L of hydrated lime,
// 0.799 of caustic soda, 1.059 of soda ash, 1.679 of bicarbonate.
func Alkalis() []Alkali {
	return []Alkali{
		{"naoh", "caustic soda", quantity.AsNaOH, caco3PerMeq / 39.997, 0, 0.50,
			"fast and strong: over-dosing sends the pH and the free ammonia up at once"},
		{"caoh2", "hydrated lime", quantity.AsCaOH2, 2 * caco3PerMeq / 74.092, 0, 0.95, "adds hardness; feed as slurry"},
		{"na2co3", "soda ash", quantity.AsNa2CO3, 2 * caco3PerMeq / 105.988, 1 / 105.988, 0.99, "moderate"},
		{"nahco3", "sodium bicarbonate", quantity.AsNaHCO3, caco3PerMeq / 84.006, 1 / 84.006, 0.99,
			"mildest: cannot push fresh water much above pH 8.3"},
	}
}

// Gives is what a dose of the pure substance adds to the water.
func (a Alkali) Gives(pure quantity.Concentration) Addition {
	return Addition{
		Acid:      quantity.Alkalinity(-a.PerMg * float64(pure)),
		Carbonate: quantity.Molarity(a.CarbonatePerMg * float64(pure)),
	}
}

// Raising gives the pure dose that adds that much alkalinity; none where nothing is to be added.
func (a Alkali) Raising(by quantity.Alkalinity) quantity.Concentration {
	return quantity.Concentration(max(0, float64(by)) / a.PerMg)
}

// HoldPH gives the least pure dose that brings a water up to that pH before any gas
// passes, and an error where this alkali cannot do it at any dose a plant would use.
func HoldPH(s State, floor quantity.PH, a Alkali) (quantity.Concentration, error) {
	if s.PH >= floor {
		return 0, nil
	}
	const most = 5000 // mg/L: far beyond any feed
	reach := func(pure float64) bool {
		closed, _ := Dose(s, a.Gives(quantity.Concentration(pure)))
		return closed.PH >= floor
	}
	lo, hi := 0.0, 1.0
	for !reach(hi) {
		if lo, hi = hi, hi*2; hi > most {
			return 0, note.New(note.Info, "alkali-cannot-reach", "%s cannot bring this water to pH %s", a.Name, floor).
				Do("use a stronger alkali, or blow the carbon dioxide out first")
		}
	}
	for range 80 {
		if mid := (lo + hi) / 2; reach(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return quantity.Concentration(hi), nil
}
