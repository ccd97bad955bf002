package pair

import (
	"math"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// usualAcid stands in the catalogue. Mineral acids all take the same alkalinity to one pH.
const usualAcid = "sulfuric-acid"

// UsualAcid is what is taken to bring water down to a pH where nobody names an acid, without a price; unnamed
// where the catalogue lacks it.
func UsualAcid(catalogue product.Catalogue) Alkali {
	p, err := catalogue.Find(usualAcid)
	if err != nil {
		return Alkali{}
	}
	return Alkali{Name: p.Name, Product: p}
}

// acid is what the terms name, else the usual one.
func (t Terms) acid(catalogue product.Catalogue) (a Alkali, taken bool) {
	if t.Acid.Name != "" {
		return t.Acid, false
	}
	a = UsualAcid(catalogue)
	return a, a.Name != ""
}

// setting gives what sets the pH of any pair of a series, false where nothing can.
func (t Terms) setting(s jartest.Series, order [2]int, catalogue product.Catalogue) (func(surface.Pair) (Setting, bool), error) {
	b, err := caution.Jars(s, catalogue)
	if err != nil {
		return nil, err
	}
	acid, _ := t.acid(catalogue)
	return func(p surface.Pair) (Setting, bool) {
		x, err := setPH(b, s, order[0], p.First, quantity.PH(p.PH), t.Alkali, acid)
		return x, err == nil
	}, nil
}

// setPH counts what sets the pH of the jars, and the alkali that gives back what is to be left once the floc
// is out. Without prices both are only named. Held reports that this alkali, at its price, holds what is to be left.
func (c *counting) setPH(unpriced, solids bool) (held bool) {
	sets, err := c.t.setting(c.s, c.order, c.catalogue)
	why, do := "", "give the raw water's pH and alkalinity and the basis of the doses in the sheet"
	if err != nil {
		why = err.Error()
	}
	for _, a := range []Alkali{c.t.Alkali, c.t.Acid} {
		if x := a.Price.Currency; x != "" && x != c.currency && !unpriced {
			why, do = otherCurrency(a.Price, c.currency)
		}
	}
	if why != "" && !unpriced {
		c.lacks("acid or alkali that sets the pH of its jars")(why, do)
	}
	if why == "" || solids {
		c.notes.Add(c.beside.take(c.s, c.t, c.order, c.catalogue)...)
	}
	if why != "" {
		return false
	}
	c.beside.sets = sets
	_, c.beside.taken = c.t.acid(c.catalogue)
	c.notes.Add(unreached(c.s, c.order, sets)...)
	if unpriced {
		return false
	}
	down, up := needed(c.s, c.order, sets)
	if said := c.t.setters(down, up); said != "" {
		c.counted = append(c.counted, said)
	}
	c.notes.Add(c.t.settersLack(c.s, down, up)...)
	if c.t.AlkalinityLeft <= 0 || c.t.Alkali.Price.Currency == "" {
		return false
	}
	c.restored(c.t.Alkali, rawOf(c.s))
	c.counts("as much %s after the floc is out as brings the alkalinity back to %s", strings.ToLower(c.t.Alkali.Name), c.t.AlkalinityLeft)
	return true
}

// rawOf is the alkalinity of the water whose pH was set, which the acid was worked out for.
func rawOf(s jartest.Series) quantity.Alkalinity {
	v, _ := s.RawReading(jartest.AlkalinityKey)
	return quantity.Alkalinity(v)
}

// restored lets an alkali give back what falls short of the alkalinity to be left.
func (c *counting) restored(a Alkali, raw quantity.Alkalinity) {
	x := a.Chemical(raw, c.t.AlkalinityLeft)
	c.beside.restores = &x
}

// After says of a planning pair whose pH an acid set what it leaves, where nobody said what is to be left: the cost
// then holds nothing that gives it back.
func (t Terms) After(s jartest.Series, r surface.Result, catalogue product.Catalogue) (l note.List) {
	if !r.Second.PH || !r.HasPlanning {
		return nil
	}
	order, _ := surface.Order(s)
	l = t.dissolving(s, order, r.Planning.Pair, catalogue)
	if t.AlkalinityLeft > 0 {
		return l
	}
	at, err := t.afterSetting(s, order, catalogue)
	if err != nil {
		return l
	}
	if left, x, ok := at(r.Planning.Pair); ok && x.Needed && x.Down {
		l.Add(note.New(note.Info, "alkalinity-after-acid",
			"with the acid this pair leaves %s of alkalinity, and nothing that gives some back is counted", quantity.To(left, 2)).At(s.Place).
			Do(`say what is to be left and what gives it, such as --alkalinity-left "50 mg/L CaCO3" --alkali "soda-ash=0.50 EUR/kg"`))
	}
	return l
}

// worthTelling is the share of what sets a pH from which it is told what it hangs on (our own).
const worthTelling = 0.1

// dissolving says of the planning pair how much what sets its pH hangs on metal that fresh floc lets go, where that is a tenth or more:
// ions of it bind acid as they dissolve, and floc that ages gives that back.
func (t Terms) dissolving(s jartest.Series, order [2]int, p surface.Pair, catalogue product.Catalogue) (l note.List) {
	b, err := caution.Jars(s, catalogue)
	if err != nil {
		return nil
	}
	acid, _ := t.acid(catalogue)
	with, err := setPH(b, s, order[0], p.First, quantity.PH(p.PH), t.Alkali, acid)
	bare, no := setPH(b.WithoutMetal(), s, order[0], p.First, quantity.PH(p.PH), t.Alkali, acid)
	if err != nil || no != nil || with.Dose <= 0 && bare.Dose <= 0 {
		return nil
	}
	d, same := with.Dose-bare.Dose, with.Down == bare.Down || with.Dose <= 0 || bare.Dose <= 0
	if same && math.Abs(float64(d)) < worthTelling*float64(max(with.Dose, bare.Dose)) {
		return nil
	}
	l.Add(note.New(note.Info, "acid-counts-dissolved",
		"to come to pH %s, %s of %s is counted with the metal that fresh floc leaves dissolved there; were none dissolved it would be %s",
		quantity.To(quantity.PH(p.PH), 2), quantity.To(with.Dose, 3), strings.ToLower(with.named(bare)), bare.told(with)).At(s.Place).
		Do("trim it by the pH meter, and look again once the floc has aged"))
	return l
}

// named is what sets the pH, of this or, where nothing is needed here, of another.
func (x Setting) named(other Setting) string {
	if x.Of.Name != "" {
		return x.Of.Name
	}
	return other.Of.Name
}

// told is the dose of one, with its name where another takes something else.
func (x Setting) told(other Setting) note.Phrase {
	return note.Say("%s", quantity.To(x.Dose, 3)).If(x.Of.Name != "" && x.Of.Name != other.named(x), " of %s", strings.ToLower(x.Of.Name))
}

// afterSetting is the alkalinity that a pair leaves once its pH is set, with what sets it.
func (t Terms) afterSetting(s jartest.Series, order [2]int, catalogue product.Catalogue) (
	func(surface.Pair) (quantity.Alkalinity, Setting, bool), error) {
	sets, err := t.setting(s, order, catalogue)
	if err != nil {
		return nil, err
	}
	c := counting{s: s, t: t, order: order, catalogue: catalogue}
	c.beside = beside{sets: sets}
	c.beside.Treated, c.beside.Chemicals = 1e6, make([]day.Chemical, 2)
	c.beside.take(s, t, order, catalogue)
	return func(p surface.Pair) (quantity.Alkalinity, Setting, bool) {
		r, x, ok := c.beside.at(p)
		if !ok || x.Needed && x.Of.Name == "" {
			return 0, x, false
		}
		a := r.Account()
		return rawOf(s) - quantity.Alkalinity(a.Per(a.AlkalinityUsed)), x, true
	}, nil
}
