package bioassay

import (
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Entry is what a site is told of a trial, in its sheet Chemicals: "LC50", "LC50 hours" and "LC50 animal".
type Entry struct {
	// LC50 is of the product as delivered.
	LC50 quantity.Concentration
	// Low is the lower end of its interval, for those who would be on the safe side; zero where there is none.
	Low    quantity.Concentration
	Hours  quantity.Known[quantity.Time]
	Animal string
	// Bound is true where half would die of more than LC50: it is then the highest dose that proves so.
	Bound bool
	// Judged is true where a plan goes by it: of aluminium and iron it does not, see [caution.HeldToTest].
	Judged bool
}

// Enter gives what to put into the site; else why says in words what there is not.
func (r Result) Enter(catalogue product.Catalogue) (e Entry, why note.Phrase, ok bool) {
	x := r.Last()
	p, err := caution.ProductFor(jartest.Chemical{Name: r.Chemical, Basis: r.Basis}, catalogue)
	e = Entry{LC50: x.LC50, Low: x.Low, Hours: x.At, Animal: r.Animal, Judged: err != nil || caution.HeldToTest(p)}
	switch x.Outcome {
	case Found:
		if !x.Bracketed {
			break
		}
		// nothing between none and all dead tells no figure: what is proven is its lower end
		if e.LC50, e.Low, e.Bound = x.Low, 0, true; e.LC50 == 0 {
			return e, note.Say("no dose lay between none and all dead, and too few animals lived at the lower doses to prove that half die of more: test doses between the two, on more animals"), false
		}
	case Above, TooFew:
		if e.LC50, e.Bound = x.Safe, true; e.LC50 == 0 {
			if x.Outcome == TooFew && len(x.Stands) > 0 && !x.Stands[0].Dose.OK {
				return e, note.Say("no dose was tested, only the water itself"), false
			}
			return e, note.Say("too few lived, or too few were tested, to prove that any of these doses kills fewer than half"), false
		}
	case Below:
		return e, note.Say("half or more died at the lowest dose: test lower ones"), false
	case Invalid:
		return e, note.Say("too many of the controls died"), false
	}
	if r.Basis == quantity.NotStated || r.Basis == quantity.AsProduct {
		return e, note.Phrase{}, true
	}
	d := quantity.Dose{Concentration: e.LC50, Basis: r.Basis}
	if err == nil {
		d, err = product.Convert(d, p, quantity.AsProduct)
	}
	if err != nil {
		return e, note.Say("the site counts the product as delivered, and these doses count %s, which cannot be turned into it without its strength: name the product as the catalogue does (\"jarwright chemical\" lists it), or give the doses as product", string(r.Basis)), false
	}
	e.Low *= d.Concentration / e.LC50
	e.LC50 = d.Concentration
	return e, note.Phrase{}, true
}
