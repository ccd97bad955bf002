package main

import (
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/pair"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// setsBy takes a chemical of the site that is to have its dose from the pH of the jars for what sets
// it, where the site names no price of such a one.
func (f *pairFlags) setsBy(c site.Chemical) {
	p, _, err := dosing.ProductOf(c, c.Basis.V, product.Default())
	if err != nil {
		return
	}
	if a, err := pair.NewAcid(p, quantity.Price{}, 0); err == nil && f.terms.Acid.Name == "" {
		f.terms.Acid = a
	}
	if a, err := pair.NewAlkali(p, quantity.Price{}, 0); err == nil && f.terms.Alkali.Name == "" {
		f.terms.Alkali = a
	}
}

// isOf reports that a chemical of the site is what a pair needs beside its own.
func isOf(c site.Chemical, b surface.Beside) bool {
	return dosing.SameChemical(c, b.Name, product.Default())
}

// besideDose gives what sets the pH of a pair's jars, or what gives alkalinity back, its dose; an alkali that
// does both gets both.
func besideDose(r surface.Result, c site.Chemical) (d dosing.BenchDose, ok bool) {
	for _, b := range r.Planning.Beside {
		if !isOf(c, b) {
			continue
		}
		b.Dose.Concentration += d.Dose.Concentration
		d.Dose, ok = b.Dose, true
		d.Source = "with the pair from the bench sheet " + r.Place.File + ", " + string(b.For)
	}
	return d, ok
}

// undosed says what a pair needs that no chemical of the site gives: without it the jars tell nothing of this plan.
func undosed(r surface.Result, all []site.Chemical) (l note.List) {
	for _, b := range r.Planning.Beside {
		if b.For != surface.SetsPH || slices.ContainsFunc(all, func(c site.Chemical) bool { return isOf(c, b) }) {
			continue
		}
		l.Add(note.New(note.Caution, "pair-ph-not-set",
			"this dose is that of jars at pH %s, and no chemical of the site brings the water there: %s of %s does",
			quantity.To(quantity.PH(r.Planning.Pair.PH), 2), quantity.To(b.Dose, 3), b.Name).At(r.Place).
			Do("add it to the site's chemicals, with this bench sheet and its target in place of a dose"))
	}
	return l
}
