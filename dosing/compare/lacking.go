package compare

import (
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Lacking is what an option's cost leaves out because no price of it is known.
type Lacking struct {
	Names []string
	// Mass is what of product, in 1000 m3, it would be paid for.
	Mass quantity.Mass
	// setsPH is true where what sets the pH of the jars is among it.
	setsPH bool
}

// Lines that hang on a price of the site and not of an option.
const (
	SolidsLine = "solids"
	WaterLine  = "make-up water"
	EnergyLine = "energy"
	AlkaliLine = "alkali"
)

// NotPriced names the lines of a row's cost that nothing is known of: they are no cost of zero.
func (c *Comparison) NotPriced(r Row) (out []string) {
	w := c.Water
	diluted := slices.ContainsFunc(r.Parts, func(p Part) bool { return p.StockWater() > 0 || p.Carrier > 0 })
	for _, x := range []struct {
		name  string
		lacks bool
	}{
		{AlkaliLine, !r.Raw.Alkalinity.OK || r.AlkaliDose > 0 && w.Alkali.Price.Currency == ""},
		{SolidsLine, w.Disposal.Price.Currency == "" && (r.DrySolids.Likely > 0 || r.WetSolids.Likely > 0)},
		{WaterLine, w.MakeUp.Currency == "" && diluted},
		{EnergyLine, w.Electricity.Currency == "" || w.Electricity.Amount > 0 && w.Energy() == 0},
	} {
		if x.lacks {
			out = append(out, x.name)
		}
	}
	return out
}

// flags are those of the command line with which it can be given.
func (l Lacking) flags() (out []string) {
	for _, x := range []struct {
		flag, names string
		holds       bool
	}{
		{"--basis", "what the dose of ", false}, {"--price", "the price of ", false}, {"--freight", "the freight of ", false}, {"--alkali", " of alkalinity", l.setsPH}, {"--acid", "", l.setsPH},
	} {
		named := func(n string) bool { return x.names != "" && strings.Contains(n, x.names) }
		if x.holds || slices.ContainsFunc(l.Names, named) {
			out = append(out, x.flag)
		}
	}
	return out
}

// lacking lists what a row with a dose counts nothing for: freight, and the alkali that it needs.
func (c *Comparison) lacking(r Row) (l Lacking) {
	add := func(name string, mass quantity.Mass) {
		l.Names = append(l.Names, name)
		l.Mass += mass
	}
	for i, p := range r.Parts {
		switch {
		case p.uncounted():
			add("what the dose of "+p.Chemical+" counts", 0)
		case r.Product[i] <= 0:
		case p.Price.Currency == "":
			add("the price of "+p.Chemical, r.Product[i])
		case p.Freight.Currency == "":
			add("the freight of "+p.Chemical, r.Product[i])
		}
	}
	for _, name := range r.Lacks {
		add(name, 0)
		l.setsPH = l.setsPH || r.PHSet
	}
	if a := c.Water.Alkali; r.Raw.Alkalinity.OK && r.AlkaliDose > 0 {
		name := a.Name
		if name == "" {
			name = "alkali"
		}
		switch mass := quantity.Mass(r.AlkaliDose); { // 1 mg/L is 1 kg in 1000 m3
		case a.Price.Currency == "":
			add("the "+name+" that keeps "+c.Water.Keep.String()+" of alkalinity", mass)
		case a.Freight.Currency == "":
			add("the freight of "+name, mass)
		}
	}
	return l
}

// per is an amount for 1000 m3 in words, and what it comes to for a kg of what is not priced.
func (c *Comparison) per(amount float64, l Lacking) note.Phrase {
	p := note.Say("%s", quantity.To(quantity.Price{Amount: amount, Currency: c.Currency, Per: "1000 m3"}, 4))
	if l.Mass <= 0 {
		return p
	}
	return note.Say("%s (%s)", p, quantity.To(quantity.Price{Amount: amount / float64(l.Mass), Currency: c.Currency, Per: "kg"}, 3))
}

// least is the row that costs least and the one after it; nil where there is none.
func (c *Comparison) least() (first, next *Row) {
	for i := range c.Rows {
		switch r := &c.Rows[i]; {
		case r.Refused || !r.Priced || r.Stopped:
		case first == nil:
			first = r
		default:
			return first, r
		}
	}
	return first, nil
}

// couldCost says up to which price a row without one would cost least, or that it never does.
func (c *Comparison) couldCost(r Row) note.Phrase {
	first, _ := c.least()
	switch {
	case first == nil:
		return note.Say("")
	case r.Stopped:
		return note.Say("; the verdict does not hang on it, since it may not be dosed")
	case !r.Counted:
		return note.Say("")
	case r.Total.Amount >= first.Total.Amount:
		return note.Say("; the verdict does not hang on it: without it it already costs more than %s", first.Name)
	}
	return note.Say("; it would cost less than %s as long as what is not known comes to less than %s", first.Name,
		c.per(first.Total.Amount-r.Total.Amount, r.Unpriced))
}

// verdict says which options lack a part of their cost, and whether the order hangs on it.
func (c *Comparison) verdict() {
	first, next := c.least()
	for i := range c.Rows {
		r := &c.Rows[i]
		if r.Refused || !r.Priced || len(r.Unpriced.Names) == 0 {
			continue
		}
		level, tail := note.Info, note.Say("")
		switch {
		case first == nil, r == first && next == nil:
		case r.Stopped:
			tail = note.Say("; the verdict does not hang on it, since it may not be dosed")
		case r == first:
			level = note.Caution
			tail = note.Say("; it costs least as long as that comes to less than %s", c.per(next.Total.Amount-r.Total.Amount, r.Unpriced))
			if len(next.Unpriced.Names) > 0 {
				tail = note.Say("; it costs least as long as that is no more than %s above what is not known of %s",
					c.per(next.Total.Amount-r.Total.Amount, r.Unpriced), next.Name)
			}
		default:
			tail = note.Say("; it already costs more than %s without, so the verdict does not hang on it", first.Name)
		}
		c.Notes.Add(note.New(level, "cost-lacks", "the cost of %s leaves out %s, which is not known%s", r.Name,
			strings.Join(r.Unpriced.Names, " and "), tail).Do("give it in the site under Prices, or with %s", strings.Join(r.Unpriced.flags(), " or ")))
	}
}
