package dosing

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"jarwright/dosing/caution"
	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/dosing/sludge"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// SludgeDay is what becomes of a day's float or sludge.
type SludgeDay struct {
	sludge.Line
	// Polymer is what it is fed, as the site names it, Product what that is; empty where there is none or nobody knows.
	Polymer string
	Product product.Product
	// Costs is what it takes of that a day, where nothing else counts it, as with ponds, whose cost is of one treatment; not known without a price.
	Costs quantity.Known[quantity.Money]
	// Stated is true where the site says how much sludge there is a day.
	Stated bool
	// Returns is true where what drains off goes back to the animals. Brings and Adds are then what it brings into the treated
	// water, of solids and, if bag or bed kept none of it, of polymer as product.
	Returns      bool
	Brings, Adds quantity.Concentration
	// ReturnedN is the nitrogen of those solids a day; what is dissolved in the filtrate comes beside.
	ReturnedN quantity.Known[quantity.Mass]
	// Left is what comes of that polymer, in a loop over the days; nil where none is judged.
	Left *caution.Residual
	// Part is how much of what the unit takes out it holds, where that is less; zero for all of it.
	Part quantity.Fraction
	// Land is what it is spread on; the rest is what a day brings there, as far as it is known.
	Land                             quantity.Area
	Salinity                         quantity.Salinity // of the water in the cake; zero where it is fresh
	Nitrogen, Phosphorus, Al, Sodium quantity.Known[quantity.Mass]
	Notes                            note.List
}

// Sludge works the line out that a site describes; nil where it describes none.
func (p Plan) Sludge(s site.Site, d *SolidsDay, catalogue product.Catalogue) *SludgeDay {
	u := s.Sludge
	if !u.Told() {
		return nil
	}
	out := &SludgeDay{Polymer: u.Polymer.V, Stated: u.Volume.OK, Returns: u.Returns.V, Land: u.Land.V}
	out.Line = sludge.Line{Volume: quantity.Volume(float64(u.Volume.V) * 24 * 1000), Solids: u.Solids.V, Captured: u.Captured.Or(sludge.UsualCaptured),
		Cake: u.Cake.Or(sludge.UsualCake), Bag: u.Bag.V, Bed: u.Bed.V, Layer: u.Layer.Or(sludge.UsualLayer), Drying: u.Drying.Or(sludge.UsualDrying)}
	planned := d != nil && d.Volume.Likely > 0
	if !u.Volume.OK && planned {
		out.Volume = d.Volume.Likely
	}
	if !u.Solids.OK && !u.Volume.OK && planned {
		out.Solids = quantity.Concentration(float64(d.Dry.Likely) * 1e6 / float64(d.Volume.Likely))
	}
	if out.Volume <= 0 || out.Solids <= 0 {
		out.Notes.Add(note.New(note.Caution, "sludge-unknown", "the sludge line is not worked out: how much comes to it in a day, or what is suspended in it, is not known").
			At(cmp.Or(u.Solids.At, u.Volume.At)).Do(`give "sludge a day" and "solids in it" under Sludge`))
		return out
	}
	if out.Dose = u.Dose.V.InSludge; u.Dose.V.PerDry > 0 {
		out.Dose = out.DoseOf(u.Dose.V.PerDry)
	}
	if need := out.BedNeeds(); out.Bed > 0 && out.Bed < need {
		out.Notes.Add(note.New(note.Caution, "beds-too-small", "beds of %s are covered in %s, and a layer takes %s to dry: they do not take the sludge of every day, for which %s are needed",
			out.Bed, quantity.To(out.BedLasts(), 3), out.Drying, quantity.To(need, 3)).At(u.Bed.At).Do("build more, put a bag beside them, or thicken the sludge first"))
	}
	if out.Dose > 0 && out.Polymer != "" {
		out.known(s, catalogue)
	}
	if d == nil {
		out.unheld(p, s)
	}
	out.apart(s, d)
	out.returned(p, s)
	out.spread(p, s)
	return out
}

// sludgeApart is how far the dry solids of a stated sludge may lie outside the range that the plan's own have before it is asked
// (common practice, no source).
const sludgeApart = 1.5

// apart asks about a sludge that was stated and is not what the unit takes out of the water.
func (x *SludgeDay) apart(s site.Site, d *SolidsDay) {
	u := s.Sludge
	if d == nil || d.Dry.Likely <= 0 || !u.Volume.OK || x.Dry() >= d.Dry.Low/sludgeApart && x.Dry() <= d.Dry.High*sludgeApart {
		return
	}
	x.Part = min(1, quantity.Fraction(x.Dry()/d.Dry.Likely))
	raw, at := "turbidity", s.Water.Turbidity.At
	if s.Water.TSS.OK {
		raw, at = "suspended solids", s.Water.TSS.At
	}
	where := func(p note.Place) note.Phrase { return note.Say("").If(p != (note.Place{}), " (%s)", p.String()) }
	x.Notes.Add(note.New(note.Caution, "sludge-apart", "the sludge that is stated holds %s of dry solids a day, and the unit takes %s out "+
		"by the %s of the water%s: the sludge line counts what is stated, the solids of the plan do not",
		quantity.To(x.Dry(), 3), quantity.To(d.Dry.Likely, 3), raw, where(at)).At(u.Volume.At).
		Do(`correct one of the two, or leave "sludge a day" and "solids in it" out to have the plan's own; ` +
			`where the line takes only a part of it, bag, bed and land are of that part`))
}

// mostSludge is the suspended solids that no water is treated with, but for mistakes (our own).
const mostSludge quantity.Concentration = 1000

// unheld says what a stated sludge is of the water that is treated, where nobody knows what that holds.
func (x *SludgeDay) unheld(p Plan, s site.Site) {
	if p.Treated <= 0 {
		return
	}
	of := quantity.Concentration(float64(x.Dry()) * 1e6 / float64(p.Treated))
	code, level, do := "sludge-unheld", note.Info, `give "suspended solids" or "turbidity" under Water, so that it is held against them`
	if of > mostSludge || x.Volume > p.Treated {
		code, level, do = "sludge-too-much", note.Caution, `correct "sludge a day" or "solids in it": look at the unit and at the decimal mark`
	}
	x.Notes.Add(note.New(level, code, "the sludge that is stated, %s a day with %s of dry solids, is %s of the %s that are treated, and what is suspended in that water is not known",
		quantity.To(x.Volume, 3), quantity.To(x.Dry(), 3), quantity.To(of, 3), quantity.To(p.Treated, 3)).At(s.Sludge.Volume.At).Do("%s", do))
}

// Known reports that there is a line to show.
func (x *SludgeDay) Known() bool { return x != nil && x.Volume > 0 && x.Solids > 0 }

// returned is what drains back into the treated water.
func (x *SludgeDay) returned(p Plan, s site.Site) {
	_, solids := x.Filtrate()
	if !x.Returns || !x.Drains() || p.Treated <= 0 {
		return
	}
	x.Brings = quantity.Concentration(float64(solids) * 1e6 / float64(p.Treated))
	x.Adds = quantity.Concentration(float64(x.Line.Polymer()) * 1e6 / float64(p.Treated))
	x.ReturnedN = quantity.Known[quantity.Mass]{V: solids * quantity.Mass(s.Sludge.Nitrogen.V), OK: s.Sludge.Nitrogen.OK}
	if x.Adds <= 0 || x.Polymer == "" {
		return
	}
	at, product := s.Sludge.Polymer.At, x.Product
	if product.Name == "" {
		x.Notes.Add(note.New(note.Caution, "sludge-polymer-unknown", "%s, fed to the sludge, is neither a row of Chemicals nor in the catalogue: what of it comes back to the animals is not judged", x.Polymer).
			At(at).Do("name it as the catalogue does (\"jarwright chemical\" lists it), or keep the filtrate from them"))
		return
	}
	d := caution.Dose{Name: x.Polymer, Product: product, Dose: quantity.Dose{Concentration: x.Adds, Basis: quantity.AsProduct}, At: at}
	for _, c := range slices.Concat(s.Chemicals, fedToSludge(s)) {
		if SameName(c.Name.V, x.Polymer) {
			d.HalfLife = c.HalfLife
		}
	}
	left, told, ok := caution.Returned(p.Situation(s, time.Time{}), d)
	active := quantity.Concentration(effectsOf(product).Floc) * x.Adds
	if !ok {
		x.Notes.Add(note.New(note.Caution, "sludge-polymer-unjudged", "the filtrate goes back to the animals and brings up to %s of %s, as %s, if bag or bed keeps none of it: %s, so nothing judges that",
			quantity.To(active, 2), x.Polymer, left.As, note.Say("none are named").If(len(s.Animals) > 0, ", or no limit is known for those that are")).
			At(at).Do("name them under Animals; until then keep the filtrate from them: polymer binds to gills, cationic polymer most"))
		return
	}
	x.Left = &left
	if left.Level < note.Caution {
		return
	}
	stays := left.Expected.Or(left.Worst)
	comes := note.Say("").If(left.How.Format != "", " at every pass, %s in the loop %s", quantity.To(stays, 2), left.How)
	x.Notes.Add(note.New(note.Caution, "sludge-polymer-returns", "the filtrate brings up to %s of %s, as %s, into the treated water if bag or bed keeps none of it%s; %s",
		quantity.To(active, 2), x.Polymer, left.As, comes, told).
		At(at).Do("keep the filtrate from the animals until its polymer is measured, feed less, or settle it through the unit again"))
}

// effectsOf are those of a polymer counted as product.
func effectsOf(p product.Product) day.Effects {
	e, _, _ := day.EffectsOf(p, p.Name, quantity.AsProduct) // what is not known of it is told where it is fed
	return e
}

// fedToSludge is the row of the chemical that only the sludge gets, where there is one.
func fedToSludge(s site.Site) []site.Chemical {
	if s.FedToSludge == nil {
		return nil
	}
	return []site.Chemical{*s.FedToSludge}
}

// known finds what the polymer is.
func (x *SludgeDay) known(s site.Site, catalogue product.Catalogue) {
	x.Product, _ = polymerOf(s, x.Polymer, catalogue) // what is not known is told where it counts
}

// forSludge is added to the name of a polymer that the water gets too, so that both are told apart.
const forSludge = " for the sludge"

// MadeUp is how a day's polymer is made up, by the catalogue's usual strengths: the least water, at the strongest stock, and the most,
// at the weakest; false of what is fed as it is, or of which nobody knows.
func (x *SludgeDay) MadeUp() (least, most quantity.Volume, ok bool) {
	kg, d := float64(x.Line.Polymer()), x.Product.Dilution
	if kg <= 0 || d.Low <= 0 || d.High < d.Low {
		return 0, 0, false
	}
	return quantity.Volume(kg * 1e6 / float64(d.High)), quantity.Volume(kg * 1e6 / float64(d.Low)), true
}

// GoodsOf is the name that goods are bought and kept by: that of a chemical, or of what the sludge gets of it too.
func GoodsOf(name string) string { return strings.TrimSuffix(name, forSludge) }

// Bought is the polymer of the line as a chemical of the day, as so much to the water treated, on which it has no
// effect of its own; false where none is fed.
func (x *SludgeDay) Bought(s site.Site, treated quantity.Volume) (FeedInput, day.Chemical, bool) {
	if !x.Known() || x.Dose <= 0 || x.Polymer == "" || treated <= 0 {
		return FeedInput{}, day.Chemical{}, false
	}
	f := FeedInput{Name: x.Polymer, At: s.Sludge.Polymer.At, Stock: Stock{Product: x.Product},
		Dose: quantity.Dose{Concentration: quantity.Concentration(float64(x.Line.Polymer()) * 1e6 / float64(treated)), Basis: quantity.AsProduct}}
	if slices.ContainsFunc(s.Chemicals, func(c site.Chemical) bool { return SameName(c.Name.V, x.Polymer) }) {
		f.Name += forSludge
	}
	return f, day.Chemical{Name: f.Name, Dose: f.Dose, Density: f.Stock.liquid()}, true
}

// polymerOf is the product of a row of Chemicals, or one of the catalogue.
func polymerOf(s site.Site, name string, catalogue product.Catalogue) (product.Product, error) {
	if c := s.FedToSludge; c != nil {
		p, _, err := ProductOf(*c, quantity.AsProduct, catalogue)
		return p, err
	}
	for _, c := range s.Chemicals {
		if SameName(c.Name.V, name) {
			p, _, err := ProductOf(c, quantity.AsProduct, catalogue)
			return p, err
		}
	}
	return catalogue.Find(name)
}

// nitrogenRules say, where other rules than those of the European Union hold, what is not theirs in its figure, and which source holds.
var nitrogenRules = map[string]struct{ lets, source string }{
	site.RulesUS: {"the European Union lets come of manure; in the US no figure holds for all land, but what the crop takes of nitrogen, its agronomic rate",
		"40 CFR 503.14 (d), agronomic rate of sewage sludge, from memory; "},
}

// spread is what comes to land.
func (x *SludgeDay) spread(p Plan, s site.Site) {
	if x.Land <= 0 {
		return
	}
	u, w := s.Sludge, s.Water
	of := func(share quantity.Known[quantity.Fraction]) quantity.Known[quantity.Mass] {
		return quantity.Known[quantity.Mass]{V: x.Kept() * quantity.Mass(share.V), OK: share.OK}
	}
	x.Nitrogen, x.Phosphorus = of(u.Nitrogen), of(u.Phosphorus)
	r := p.Record(s)
	kept := x.Kept() / x.Dry()
	if x.Part > 0 {
		kept *= quantity.Mass(x.Part)
	}
	for i, dose := range r.Doses() { // all of it leaves with the floc, of which so much is kept
		if al := r.Chemicals[i].Al; al > 0 {
			x.Al = quantity.Some(x.Al.V + quantity.Mass(float64(dose)*float64(al)*float64(r.Treated)/1e6)*kept)
		}
	}
	if perYear := sludge.PerLand(x.Nitrogen.V, x.Land); x.Nitrogen.OK && perYear > sludge.MuchNitrogen {
		by := nitrogenRules[rulesOf(s.Place)]
		x.Notes.Add(note.New(note.Caution, "sludge-nitrogen", "%s of nitrogen a year come to the land by every day like this one, "+
			"more than the %s that "+cmp.Or(by.lets, "rules commonly let come of manure"), quantity.To(perYear, 3), quantity.To(sludge.MuchNitrogen, 3)).
			At(u.Land.At).Do("spread it on more land, or only a part of it; ask the agency that answers for the land what it may have").
			From(by.source + "the 170 kg/ha of the European Union: Council Directive 91/676/EEC, Annex III, from memory"))
	}
	if w.Salinity.OK && w.Salinity.V > 0 {
		x.Salinity = w.Salinity.V
		x.Sodium = quantity.Some(x.Line.Sodium(w.Salinity.V))
	}
	if float64(w.Salinity.V) >= sludge.Saline {
		x.Notes.Add(note.New(note.Caution, "sludge-saline", "sludge of water with %s of salt harms soil and crops: from about %s g/kg it is severe for irrigation", w.Salinity.V, quantity.Number(sludge.Saline)).
			At(u.Land.At).Do("drain it well, rinse it with fresh water, or take it where salt does no harm; ask the agency that answers for the land").
			From("Ayers and Westcot 1985, FAO Irrigation and Drainage Paper 29, from memory"))
	}
}
