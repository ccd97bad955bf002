package bioassay

import (
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Entry is what a site is told of a trial, in its sheet Chemicals: "LC50", "killing dose", "LC50 hours" and "LC50 animal".
type Entry struct {
	// LC50 is of the product as delivered.
	LC50 quantity.Concentration
	// Low is the lower end of its interval, for those who would be on the safe side; zero where there is none.
	Low    quantity.Concentration
	Hours  quantity.Known[quantity.Time]
	Animal string
	// Bound is true where half would die of more than LC50: it is then the highest dose that proves so.
	Bound bool
	// Killed is the lowest dose of the product that killed, where there is no LC50 to tell or a dose killed some and not all; zero where none did. See [Reading.Killing].
	Killed quantity.Concentration
	// Judged is true where a plan goes by it: of aluminium and iron it does not, see [caution.HeldToTest].
	Judged bool
}

// Enter gives what to put into the site. It is false where no LC50 can be told, and why says in words what there is not: what is left
// to enter is then the killing dose, where one is known.
func (r Result) Enter(catalogue product.Catalogue) (e Entry, why note.Phrase, ok bool) {
	x := r.Last()
	p, err := caution.ProductFor(jartest.Chemical{Name: r.Chemical, Basis: r.Basis}, catalogue)
	e = Entry{Hours: x.At, Animal: r.Animal, Judged: err != nil || caution.HeldToTest(p)}
	e.LC50, e.Low, e.Bound, why = x.lethal()
	if !x.Bracketed { // between none dead and all of them the bound is the lower
		e.Killed = x.Killing()
	}
	if why.Format != "" {
		e.LC50, e.Low, e.Bound, e.Killed = 0, 0, false, x.Killing()
	}
	told := max(e.LC50, e.Killed)
	if told == 0 || r.Basis == quantity.NotStated || r.Basis == quantity.AsProduct {
		return e, why, why.Format == ""
	}
	d := quantity.Dose{Concentration: told, Basis: r.Basis}
	if err == nil {
		d, err = product.Convert(d, p, quantity.AsProduct)
	}
	if err != nil {
		e.LC50, e.Low, e.Killed = 0, 0, 0
		return e, note.Say("the site counts the product as delivered, and these doses count %s, which cannot be turned into it without its strength: name the product as the catalogue does (\"jarwright chemical\" lists it), or give the doses as product", string(r.Basis)), false
	}
	sold := d.Concentration / told
	e.LC50, e.Low, e.Killed = e.LC50*sold, e.Low*sold, e.Killed*sold
	return e, why, why.Format == ""
}

// lethal is the dose that half die of, on the basis of the trial, or the bound that they die of more; why says what keeps it from
// being told.
func (x Reading) lethal() (lc50, low quantity.Concentration, bound bool, why note.Phrase) {
	lc50, low = x.LC50, x.Low
	switch x.Outcome {
	case Found:
		if !x.Bracketed {
			break
		}
		// nothing between none and all dead tells no figure: what is proven is its lower end
		if lc50, low, bound = x.Low, 0, true; lc50 == 0 {
			why = note.Say("no dose lay between none and all dead, and too few animals lived at the lower doses to prove that half die of more: test doses between the two, on more animals")
		}
	case Above, TooFew:
		lc50, bound = x.Safe, true
		switch {
		case lc50 > 0:
		case x.Outcome == TooFew && len(x.Stands) > 0 && !x.Stands[0].Dose.OK:
			why = note.Say("no dose was tested, only the water itself")
		default:
			why = note.Say("too few lived, or too few were tested, to prove that any of these doses kills fewer than half")
		}
	case Below:
		why = note.Say("half or more died at the lowest dose: test lower ones")
	case Invalid:
		why = note.Say("too many of the controls died")
	}
	return lc50, low, bound, why
}
