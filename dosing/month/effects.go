package month

import (
	"jarwright/dosing/product"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Effects is what one mass of a dose, on its basis, does.
type Effects struct {
	// Strength is the basis substance per product.
	Strength quantity.Fraction
	// AlkalinityUse is CaCO3 used per dose, below zero for an alkali.
	AlkalinityUse quantity.Ratio
	// SolidsYield is dry solids made per dose.
	SolidsYield quantity.Ratio
}

// EffectsOf works the effects of a dose of p on a basis out. The strength must
// be known; what is not known of the rest is left at zero with a note.
func EffectsOf(p product.Product, name string, b quantity.Basis) (Effects, note.List, error) {
	var e Effects
	var notes note.List
	strength, err := p.StrengthAs(b)
	if err != nil {
		return e, nil, err
	}
	e.Strength = strength
	one := quantity.Dose{Concentration: 1, Basis: b}
	if a, err := p.AlkalinityUsed(one); err == nil {
		e.AlkalinityUse = quantity.Ratio(a)
	} else if p.Group.Coagulant() {
		notes.Add(note.New(note.Caution, "acidity-unknown", "what %s does to the alkalinity is not known, so no alkali and no use of alkalinity is counted for it", name).Do("give its basicity on the Chemicals sheet"))
	}
	var w solids.Water
	metal := p.Metal()
	switch {
	case metal == "Al":
		d, err := product.Convert(one, p, quantity.AsAl)
		if err != nil {
			return e, notes, err
		}
		w.Al = d.Concentration
	case metal == "Fe":
		d, err := product.Convert(one, p, quantity.AsFe)
		if err != nil {
			return e, notes, err
		}
		w.Fe = d.Concentration
	case p.Group == product.Polymer || p.Group == product.Biopolymer:
		w.Polymer = 1
	}
	dry, _ := solids.Dry(w)
	e.SolidsYield = quantity.Ratio(dry.Likely)
	return e, notes, nil
}
