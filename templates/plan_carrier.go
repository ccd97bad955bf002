package templates

import (
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// carrierData is what the water that carries a feed does to it; nil where none does.
func (p Plan) carrierData(f dosing.Feed) *figure.Object {
	c, ok := f.Carriage()
	if !ok {
		return nil
	}
	litreAnHour := func(key string, q quantity.Flow) figure.Figure {
		return figure.Of(key, figure.Fixed{Q: q, Unit: "L/h"}, "L/h", 2)
	}
	o := figure.New(figure.Of("litre_of_line", c.Litre, "s", 2))
	if i := slices.IndexFunc(p.Findings.Carried, func(x caution.Carried) bool { return x.Chemical == f.Name }); i >= 0 {
		x := p.Findings.Carried[i]
		o.Put(acidityUsed(x.Share), litreAnHour("most", x.Most))
		if x.Most < f.Post {
			o.Set("too_much", true)
		}
	}
	if c.Polymer {
		o.Put(figure.Of("polymer_made_up", c.MadeUp, "%", 2), figure.Of("polymer_at_point", c.Strength, "%", 2))
		if c.Strong() || c.Weak() {
			o.Put(litreAnHour("usual_least", c.Least), litreAnHour("usual_most", c.Most))
		}
	}
	return o
}

// acidityUsed is a share with two digits, with three where it is more than all.
func acidityUsed(share quantity.Fraction) figure.Figure {
	return figure.Of("acidity_used", share, "%", either(share > 1, 3, 2))
}

// carrierWords is the advice on neat or carried; nothing where nothing speaks for either.
func carrierWords(c *figure.Object) figure.Phrase {
	line := figure.Say("a litre of line is passed in %s", c.Fig("litre_of_line"))
	share := func(key string, f quantity.Fraction) figure.Figure { return figure.Of(key, f, "%", 1) }
	switch {
	case c.Has("acidity_used"):
		used, _ := c.Fig("acidity_used").Document()
		return figure.Say("the alkalinity of the carrier water "+either(used > 100, "could take", "takes")+" %s of its acidity on the way", c.Fig("acidity_used")).
			If(c.Has("too_much"), "; carry it in at most %s, or feed it neat at the mixing point", c.Fig("most")).
			If(!c.Has("too_much"), "; from %s on it would turn to floc there", c.Fig("most")).
			And("; %s", line)
	case c.Has("polymer_at_point"):
		return figure.Say("%s of active polymer in the stock (%s to %s is usual), %s at the dosing point (%s to %s)",
			c.Fig("polymer_made_up"), unitless(share("", dosing.MadeUpLeast)), share("", dosing.MadeUpMost), c.Fig("polymer_at_point"),
			unitless(share("", dosing.CarriedLeast)), share("", dosing.CarriedMost)).
			If(c.Has("usual_most"), ": %s to %s of carrier water would do it", unitless(c.Fig("usual_least")), c.Fig("usual_most")).
			And("; %s (common practice, no source)", line)
	}
	return line
}
