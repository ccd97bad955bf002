package caution

import (
	"cmp"

	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest/quantity"
)

// InSlugs is the rule of a portion that goes in at once.
const InSlugs = "fed-in-slugs"

// slugs warns of chemicals without a pump that flow on to animals: a portion thrown in at once is many times the dose
// for as long as it takes to pass. A pond, or a loop with its volume, thins it; a stream of water does not.
func (v *reviewer) slugs() {
	if !v.slugsHarm() {
		return
	}
	times := quantity.Concentration(v.rule(InSlugs).Limit)
	for _, d := range v.s.pass() {
		if d.ByHand && d.Dose.Concentration > 0 && Overdoses(d.Product) {
			high := d.Dose
			high.Concentration *= times
			v.say(InSlugs, Words{"chemical": d.name(), "times": amount(float64(times)), "value": high,
				"where": "in the water that passes just then, and none in the rest", "hand": handTo(d.Product).stream}, d.name(), d.At)
		}
	}
}

// slugsHarm reports water for animals, named or not, that flows on to them.
func (v *reviewer) slugsHarm() bool {
	return (v.forAnimals() || v.s.Purpose == Animals) && v.s.Loop == nil && (!v.s.Pond || v.s.Piped)
}

// neatByHand tells how a liquid is fed as it is delivered by hand, where no caution tells it for the animals' sake.
func (v *reviewer) neatByHand() {
	for _, d := range v.s.pass() {
		if d.ByHand && d.Neat && d.Dose.Concentration > 0 && d.Product.Form != product.Dry && Overdoses(d.Product) && !v.slugsHarm() {
			hand := handTo(d.Product).stream
			if v.byHand() {
				hand = handTo(d.Product).pond
			}
			v.sayHandling("handle-by-hand", Words{"chemical": short(d.Product), "hand": hand, "ppe": product.Fact{Text: cmp.Or(d.Product.Protection.Text, "goggles, gloves and apron")}.Told()})
		}
	}
}

// byHand is how a chemical is fed without a pump, by what it is and how it hurts, into water that flows, and what is done with each
// portion of it there, and into a pond; the first that has it (common practice, no source; what a label says goes before).
var byHand = []struct {
	has                   func(product.Product) bool
	stream, portion, pond string
}{
	{func(p product.Product) bool { return alkaliOf(p, quantity.AsCaO) },
		"feed it dry and thin, a little all the time, and never wet it in a bottle, bucket or drum, where it boils and spits; " +
			"hydrated lime does the same without boiling",
		"fed dry and thin over that time, never wetted in a bucket",
		"spread it dry and thin over the whole pond, from upwind, and never wet it in a bucket or drum, where it boils and spits; " +
			"hydrated lime does the same without boiling"},
	{clay,
		"feed it stirred thin in water, a little all the time: it does not dissolve", "stirred thin in water and fed over that time",
		"stir it thin in much water and spread that over the whole pond, from upwind: it does not dissolve, and muddies the water until it settles"},
	{func(p product.Product) bool { return powders(p) },
		"feed it dry and thin, a little all the time: it hardly dissolves, or over days", "fed dry and thin over that time",
		"spread it as powder, or stirred thin in much water, over the whole pond, from upwind: it dissolves over hours to days"},
	{lime, "stir it thin in much water, keep it stirred, and pour it in a little all the time",
		"each stirred thin in a bucket of water and poured in over that time, never tipped in dry",
		"stir it thin in much water, and spread that over the whole pond, a part at a time"},
	{func(p product.Product) bool {
		return p.Group == product.Acid || alkaliOf(p, quantity.AsNaOH, quantity.AsKOH)
	},
		"put a little of it into much water, never water onto it, let that cool, and let it drip in all the time, " +
			"from a bottle with a tap; or give it a pump",
		"each put into a bucket of water, never water onto it, let cool and dripped in over that time",
		"put a little of it into much water, never water onto it, let that cool, and spread it over the whole pond, a part at a time"},
	{func(p product.Product) bool { return p.IsPolymer() && p.Form == product.Dry },
		"make it up and let it age first, and let that drip in all the time, from a bottle with a tap; or give it a pump",
		"each made up in water and aged first, then dripped in over that time, never tipped in dry",
		"make it up and let it age first, and spread that over the whole pond, a part at a time"},
	{func(p product.Product) bool { return p.Form == product.Dry },
		"dissolve it in water first, and let that drip in all the time, from a bottle with a tap; or give it a pump",
		"each dissolved in a bucket of water first and dripped in over that time, never tipped in dry",
		"dissolve it in water first, and spread that over the whole pond, a part at a time"},
	{func(product.Product) bool { return true },
		"thin it with water and let it drip in all the time, from a bottle with a tap; or give it a pump", "dripped in evenly",
		"thin it with water and spread it over the whole pond, a part at a time"},
}

// thinning is the water that a product is put into to be spread by hand, in litres for a kg, and how, the first row that has it: none of what
// goes out as powder. A tenth by weight is what all salts bear to be dissolved in; acids and caustics heat water and get twice as much; a dry polymer is made
// up to 1 g/L, an emulsion to 5 (common practice, no source).
var thinning = []struct {
	has    func(product.Product) bool
	litres float64
	how    string
}{
	{func(p product.Product) bool { return powders(p) || alkaliOf(p, quantity.AsCaO) }, 0, ""},
	{func(p product.Product) bool {
		return p.Group == product.Acid || alkaliOf(p, quantity.AsNaOH, quantity.AsKOH)
	}, 20, "put a little at a time, and never the other way round, into"},
	{func(p product.Product) bool { return p.IsPolymer() && p.Form == product.Dry }, 1000, "made up in"},
	{func(p product.Product) bool { return p.IsPolymer() && p.Form == product.Emulsion }, 200, "made up in"},
	{func(p product.Product) bool { return p.Form == product.Dry }, 10, "dissolved in"},
	{func(product.Product) bool { return true }, 10, "thinned in"},
}

// Thins gives the least water, in litres for a kg, that a product is put into to be spread by hand, and how; false for one that goes out as powder.
func Thins(p product.Product) (litres float64, how string, ok bool) {
	for _, x := range thinning {
		if x.has(p) {
			return x.litres, x.how, x.litres > 0
		}
	}
	return 0, "", false
}

// hardly is a usual stock so weak that the product goes out as powder.
const hardly quantity.Concentration = 5000

// powders reports goods that hardly dissolve, or over days, and harm nobody as powder: gypsum, ground limestone, clay.
func powders(p product.Product) bool {
	_, slow := water.Slowly(p.Basis)
	return p.Form == product.Dry && (slow || p.Group == product.Clay || p.Group == product.Salt && p.Dilution.High > 0 && p.Dilution.High < hardly)
}

// clay reports bentonite, zeolite and their like, which never dissolve.
func clay(p product.Product) bool { return p.Group == product.Clay }

// clays says what clay adds to the solids of water that animals stand in.
func (v *reviewer) clays() {
	for _, d := range v.s.Doses {
		sold, err := product.Convert(d.Dose, d.Product, quantity.AsProduct)
		if !v.byHand() || !v.forAnimals() || !clay(d.Product) || err != nil {
			continue
		}
		rule := v.rule("clay-solids")
		limit := quantity.Concentration(rule.Limit)
		v.judge("clay-solids", d.name(), counted(mgL(sold.Concentration), "mg/L"), counted(mgL(limit), "mg/L"), sold.Concentration > limit,
			Words{"chemical": d.name(), "value": mgL(sold.Concentration), "limit": mgL(limit), "who": v.s.Stock[0].who()}, d.At)
	}
}

// Spread says how a product is spread over a pond by hand.
func Spread(p product.Product) string { return handTo(p).pond }

// Portion says what is done with each portion of a product that is fed by hand into water that flows.
func Portion(p product.Product) string { return handTo(p).portion }

// handTo is the row of a product.
func handTo(p product.Product) (out struct{ stream, portion, pond string }) {
	for _, x := range byHand {
		if x.has(p) {
			out.stream, out.portion, out.pond = x.stream, x.portion, x.pond
			break
		}
	}
	return out
}

// Overdoses reports a product of which many times the dose harms, however soon it is past.
func Overdoses(p product.Product) bool {
	return p.Group.Coagulant() || p.Group == product.Acid || p.IsPolymer() || lime(p) || alkaliOf(p, quantity.AsNaOH, quantity.AsKOH)
}
