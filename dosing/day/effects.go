package day

import (
	"jarwright/dosing/product"
	"jarwright/dosing/solids"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Effects is what one mass of a dose, on its basis, does.
type Effects struct {
	// Strength is the basis substance per mass of product. Where it is not known the
	// dose is taken for product.
	Strength quantity.Known[quantity.Fraction]
	// Active is the substance that the dose counts, or that the strength counts where
	// the dose counts product, per mass of dose.
	Active quantity.Known[quantity.Ratio]
	// AlkalinityUse is the CaCO3 used per mass of dose, below zero for an alkali: what leaves the unit has it. Of an alkali
	// that dissolves in days it is zero, and Slowly is what it gives once all of it has.
	AlkalinityUse, Slowly quantity.Ratio
	// Al and Fe are metal per mass of dose; Floc is anything else of it that ends in
	// the float, such as active polymer.
	Al, Fe, Floc quantity.Ratio
	// Bound is the metal of it that phosphate takes, which makes no hydroxide, and Phosphate what the two make.
	Bound, Phosphate quantity.Ratio
}

// EffectsOf works the effects of a dose of p on a basis out. It is an error where
// the strength is not known; the effects that do not need it stand all the same.
// A metal salt of which the basicity is not known counts as having none, another coagulant of which the acidity is not known
// as taking no alkalinity, and the notes say so. Polymer counts as active; all of the dose where its strength is not
// known, since product holds no more than itself.
func EffectsOf(p product.Product, name string, b quantity.Basis) (Effects, note.List, error) {
	var e Effects
	var notes note.List
	one := quantity.Dose{Concentration: 1, Basis: b}
	ratio := func(d quantity.Dose, err error) (quantity.Ratio, error) { return quantity.Ratio(d.Concentration), err }
	counted, assumed := p.AtMostAcid()
	if assumed {
		notes.Add(note.New(note.Caution, "acidity-unknown",
			"the basicity of %s is not given: it is counted as none, at which it takes the most alkalinity", name).
			Do("give its basicity in the site under Chemicals"))
	}
	if a, err := counted.AlkalinityUsed(one); err == nil {
		e.AlkalinityUse = quantity.Ratio(a)
		if _, slow := water.Slowly(p.Basis); slow {
			e.AlkalinityUse, e.Slowly = 0, -e.AlkalinityUse
		}
	} else if p.Group.Coagulant() && !assumed {
		notes.Add(note.New(note.Caution, "acidity-unknown",
			"what %s does to the alkalinity is not known, so no alkali and no use of alkalinity is counted for it", name).
			Do("give its basicity in the site under Chemicals"))
	}
	if p.IsPolymer() || p.Group == product.Clay { // a clay counts whole: it holds no polymer
		active, _ := p.ActivePolymer(one)
		e.Floc = quantity.Ratio(active)
	}
	var err error
	switch p.Metal() {
	case "Al":
		e.Al, err = ratio(product.Convert(one, p, quantity.AsAl))
	case "Fe":
		e.Fe, err = ratio(product.Convert(one, p, quantity.AsFe))
	}
	if b != quantity.AsProduct && b != quantity.NotStated {
		e.Active = quantity.Some(quantity.Ratio(1))
	} else if d, err := ratio(product.Convert(one, p, p.Basis)); err == nil && p.Basis != quantity.NotStated && p.Basis != quantity.AsProduct {
		e.Active = quantity.Some(d)
	}
	if share, bad := p.StrengthAs(b); bad != nil {
		err = bad
	} else {
		e.Strength = quantity.Some(share)
	}
	return e, notes, err
}

// Product is the mass of product per mass of dose.
func (e Effects) Product() quantity.Ratio {
	if !e.Strength.OK || e.Strength.V <= 0 {
		return 1
	}
	return quantity.Ratio(1 / e.Strength.V)
}

// Hydroxide is the metal per mass of dose that makes hydroxide: what no phosphate takes.
func (e Effects) Hydroxide() (al, fe quantity.Ratio) {
	return max(0, e.Al-e.Bound), max(0, e.Fe-e.Bound)
}

// SolidsYield is the dry solids made per mass of dose.
func (e Effects) SolidsYield() solids.Range[quantity.Ratio] {
	mass := func(r quantity.Ratio) quantity.Concentration { return quantity.Concentration(r) }
	al, fe := e.Hydroxide()
	d, _ := solids.Dry(solids.Water{Al: mass(al), Fe: mass(fe), Phosphate: mass(e.Phosphate), Polymer: mass(e.Floc)})
	return solids.Of(d, func(c quantity.Concentration) quantity.Ratio { return quantity.Ratio(c) })
}
