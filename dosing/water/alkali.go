package water

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Alkali is a substance that corrects the pH: one that gives alkalinity back, or an acid.
type Alkali struct {
	ID, Name string
	Basis    quantity.Basis
	// PerMg is the alkalinity that 1 mg/L of the pure substance gives, as CaCO3 (an acid
	// takes it: below zero); CarbonatePerMg the mmol of inorganic carbon that comes with it. Both from
	// formula weights.
	PerMg, CarbonatePerMg float64
	// Remark is what to know before choosing it.
	Remark string
	// Highest is the pH above which it no longer dissolves; zero where it always does.
	Highest quantity.PH
}

// Alkalis lists those in common use: those of sodium and lime strongest first, then those of
// potassium and limestones. Formula weights give the
// factors: to return 1 mg/L of alkalinity takes 0.740 mg/L of hydrated lime,
// 0.799 of caustic soda, 1.059 of soda ash, 1.679 of bicarbonate, 1.121 of potassium
// hydroxide, 2.001 of its bicarbonate, 1.000 of limestone, 0.921 of dolomite. The two
// last dissolve below pH 8.3 alone (Boyd, Liming materials for aquaculture).
func Alkalis() []Alkali {
	return []Alkali{
		{"naoh", "caustic soda", quantity.AsNaOH, caco3PerMeq / 39.997, 0,
			"fast and strong: over-dosing sends the pH and the free ammonia up at once", 0},
		{"caoh2", "hydrated lime", quantity.AsCaOH2, 2 * caco3PerMeq / 74.092, 0, "adds hardness; feed as slurry", 0},
		{"na2co3", "soda ash", quantity.AsNa2CO3, 2 * caco3PerMeq / 105.988, 1 / 105.988, "moderate", 0},
		{"nahco3", "sodium bicarbonate", quantity.AsNaHCO3, caco3PerMeq / 84.006, 1 / 84.006,
			"mildest: cannot push fresh water much above pH 8.3", 0},
		{"koh", "potassium hydroxide", quantity.AsKOH, caco3PerMeq / 56.105, 0, "as strong as caustic soda; feeds plants", 0},
		{"khco3", "potassium bicarbonate", quantity.AsKHCO3, caco3PerMeq / 100.114, 1 / 100.114, "mild, without sodium: for fish with plants", 0},
		{"caco3", "agricultural lime", quantity.AsLimestone, 2 * caco3PerMeq / 100.086, 1 / 100.086, slow, slowly[quantity.AsLimestone]},
		{"dolomite", "dolomite", quantity.AsDolomite, 4 * caco3PerMeq / 184.399, 2 / 184.399, slow, slowly[quantity.AsDolomite]},
	}
}

// slowly has the alkalis that dissolve in days, not in a pipe, with the pH above which they no longer do in
// most waters: limestones 8.3 (Boyd, Liming materials for aquaculture), magnesium hydroxide about 9
// (common practice, no source).
var slowly = map[quantity.Basis]quantity.PH{quantity.AsLimestone: 8.3, quantity.AsDolomite: 8.3, quantity.AsMgOH2: 9}

// Slowly reports that what is counted on a basis dissolves in days, and the pH above which it no longer does.
func Slowly(b quantity.Basis) (ends quantity.PH, ok bool) {
	ends, ok = slowly[b]
	return ends, ok
}

// Dissolving gives a water after an addition of which a part dissolves slowly, once as much of that part
// has dissolved as does below the pH at which it ends.
func Dissolving(s State, once, slow Addition, ends quantity.PH) (closed, open State) {
	with := func(share float64) Addition {
		return once.Plus(Addition{quantity.Alkalinity(share * float64(slow.Acid)), quantity.Molarity(share * float64(slow.Carbonate)), 0, 0, 0})
	}
	lo, hi := 0.0, 1.0
	if closed, open = Dose(s, with(1)); closed.PH <= ends {
		return closed, open
	}
	for range 50 {
		mid := (lo + hi) / 2
		if part, _ := Dose(s, with(mid)); part.PH > ends {
			hi = mid
		} else {
			lo = mid
		}
	}
	return Dose(s, with(lo))
}

const slow = "dissolves in days, not in a pipe: for ponds, tanks and beds"

// Acids lists what lowers the pH. Carbon dioxide takes no alkalinity, and air takes it out again.
func Acids() []Alkali {
	return []Alkali{
		{"h2so4", "sulfuric acid", quantity.AsH2SO4, -2 * caco3PerMeq / 98.072, 0, "adds sulfate", 0},
		{"hcl", "hydrochloric acid", quantity.AsHCl, -caco3PerMeq / 36.458, 0, "adds chloride, fumes", 0},
		{"co2", "carbon dioxide", quantity.AsProduct, 0, 1 / co2PerMmol, "takes no alkalinity; air takes it out again", 0},
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

// HoldPH gives the least pure dose that brings a water up to that pH (down to it with an
// acid) before any gas passes, and an error where it cannot do so at any dose a plant would use.
func HoldPH(s State, wanted quantity.PH, a Alkali) (quantity.Concentration, error) {
	side := 1.0
	if a.PerMg <= 0 {
		side = -1
	}
	there := func(s State) bool { return side*float64(s.PH-wanted) >= 0 }
	if there(s) {
		return 0, nil
	}
	const most = 5000 // mg/L: far beyond any feed
	reach := func(pure float64) bool {
		closed, _ := Dose(s, a.Gives(quantity.Concentration(pure)))
		return there(closed)
	}
	lo, hi := 0.0, 1.0
	for !reach(hi) {
		if lo, hi = hi, hi*2; hi > most || a.Highest > 0 && wanted > a.Highest {
			return 0, note.New(note.Info, "alkali-cannot-reach", "%s cannot bring this water to pH %s", a.Name, wanted).
				Do("use a stronger one, or blow the carbon dioxide out first")
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
