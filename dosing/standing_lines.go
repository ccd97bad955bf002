package dosing

import (
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Passed is a line of the watch card, other than that of pH, that a go brings a pond past.
type Passed struct {
	// Of is what is measured, As what it counts as.
	Of, As string
	// Comes is what the pond comes to, Line the most that it may have.
	Comes, Line quantity.Concentration
}

// adding are what a chemical adds to a pond for which the animals' card has a line, what the water has of it and where the line is; the first
// that a go passes is told.
var adding = []struct {
	of, as string
	adds   func(h ByHand) quantity.Concentration
	has    func(s site.Site) quantity.Concentration
	line   func(w caution.Watch) quantity.Known[quantity.Concentration]
	do     string
}{
	{"total ammonia", "as N", func(h ByHand) quantity.Concentration {
		n, err := h.Stock.Product.AmmoniaAdded(h.Dose)
		if err != nil {
			return 0
		}
		return n
	}, func(s site.Site) quantity.Concentration { return s.Water.TAN.V },
		func(w caution.Watch) quantity.Known[quantity.Concentration] { return w.TAN }, "choose a product without ammonia: parting the dose does not help"},
	{"hardness", "as CaCO3", func(h ByHand) quantity.Concentration { return h.Hardness },
		func(s site.Site) quantity.Concentration { return s.Water.Hardness.V },
		func(w caution.Watch) quantity.Known[quantity.Concentration] { return w.Hardness }, "dose less, or settle the water where these animals are not"},
}

// passLines marks the goes that bring a pond past a line of its animals' card by what they add, and says so of the first.
func (p *PondPlan) passLines(s site.Site) {
	for _, x := range adding {
		line := x.line(*p.Lines)
		if !line.OK {
			continue
		}
		comes, told := x.has(s), false
		for i := range p.Goes {
			g := &p.Goes[i]
			h := p.Goods[g.Feed]
			adds := x.adds(h) / quantity.Concentration(h.Portions)
			if comes += adds; adds <= 0 || comes <= line.V {
				continue
			}
			g.Past = true
			if g.Passes == nil {
				g.Passes = &Passed{x.of, x.as, comes, line.V}
			}
			if !told {
				p.Notes.Add(note.New(note.Caution, "go-past-stop", "%s: with go %d of %d of %s %s comes to %s %s, past the %s at which to give no further go",
					p.Name, g.Number, h.Portions, h.Name, x.of, quantity.To(comes, 3), x.as, quantity.To(line.V, 3)).Do("%s", x.do))
				told = true
			}
		}
	}
}

// polymerBehind is how long a polymer goes in behind the coagulant whose floc it binds: that has to be in the water, and spread (common
// practice, no source).
const polymerBehind quantity.Time = 0.25

// behind sets back the goes of polymers that have a coagulant's at their time.
func (p *PondPlan) behind() {
	for i := range p.Goes {
		for k := range p.Goes {
			a, b := p.Goods[p.Goes[i].Feed].Stock.Product, p.Goods[p.Goes[k].Feed].Stock.Product
			if a.IsPolymer() && b.Group.Coagulant() && p.Goes[k].At == p.Goes[i].At {
				p.Goes[i].Behind = polymerBehind
			}
		}
	}
}

// MadeUp is what has to be made up before a pond's goes of a dry polymer begin, and when.
type MadeUp struct {
	Feed    int
	At      quantity.Time
	Product quantity.Mass
	Ages    quantity.Time
}

// MakeUps are those of a pond: of every dry polymer that the site does not make up itself, so long before its first go as it ages.
func (p PondPlan) MakeUps() (out []MadeUp) {
	done := map[int]bool{}
	for _, g := range p.Goes {
		h := p.Goods[g.Feed]
		if done[g.Feed] || h.Stock.Product.Form != product.Dry || !h.Stock.Product.IsPolymer() || !h.Stock.Neat() {
			continue
		}
		done[g.Feed] = true
		ages := h.Stock.Product.Ageing.V
		out = append(out, MadeUp{g.Feed, g.At + g.Behind - ages, g.Product, ages})
	}
	return out
}
