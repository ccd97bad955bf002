package caution

import (
	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/dosing/residual"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Limits are what the residual of a polymer is held against where animals get
// the water: the least of all animals named.
type Limits struct {
	Stop, Warn quantity.Concentration
	// Where says in words what the limits are part of, such as "a tenth of what
	// kills rainbow trout (0.271 mg/L)"; a borrowed figure is named as borrowed.
	Where note.Phrase
	// NoData names the animals of which nothing is known with this product.
	NoData []string
}

// PolymerLimits gives the limits of a polymer for those animals; false for a
// product that is no polymer, or where no animal is named. The limits count
// active polymer.
func PolymerLimits(p product.Product, stock []Animal) (Limits, bool) {
	if !p.IsPolymer() || len(stock) == 0 {
		return Limits{}, false
	}
	k := kind(p)
	var l Limits
	for _, a := range stock {
		lethal, own, known := animal.Lethal(k, a.Profile.Group)
		if !known {
			l.NoData = append(l.NoData, a.who())
			continue
		}
		words := "a tenth of what kills " + a.who()
		switch {
		case !own:
			l.NoData = append(l.NoData, a.who())
			words = "no data for " + a.who() + ", bioassay needed; borrowed from " + lethal.Animal + ", part of"
		case k == animal.AnionicPolymer:
			words = "a thirtieth of what kills " + a.who()
		}
		stop, warn := polymerRules(k, own, a)
		s, w := limitOf(stop, lethal), limitOf(warn, lethal)
		if l.Stop == 0 || s < l.Stop {
			l.Stop, l.Warn, l.Where = s, w, note.Say("%s (%s mg/L)", words, amount(lethal.Low))
		}
	}
	return l, l.Stop > 0
}

// polymerRules names the rules by which a polymer stops a plan, and warns, for an
// animal whose lethal figure is its own or borrowed.
func polymerRules(k animal.Chemical, own bool, a Animal) (stop, warn string) {
	switch {
	case k == animal.AnionicPolymer && a.Profile.ID == "water-fleas":
		return "anionic-lethal", "anionic-fleas"
	case k == animal.AnionicPolymer:
		return "anionic-lethal", "anionic-high"
	case !own:
		return "cationic-borrowed-stop", "cationic-borrowed"
	}
	return "cationic-lethal", "cationic-near"
}

// PolymerCeiling gives the dose of a polymer, counted as d counts its own, from
// which on the animals of a situation stop a plan: what stays in the water then
// comes to the least limit of the animals whose stop nobody has taken the risk of.
// Doses must stay below it. What stays is the dose less a measured capture and, in
// a loop whose volume and flow are known, what it comes to in the days looked at. Why
// says in words what asks for it. It is false for a product that is no polymer and
// where no animal stops it.
func (s Situation) PolymerCeiling(d Dose) (most quantity.Concentration, why string, ok bool) {
	if !d.Product.IsPolymer() {
		return 0, "", false
	}
	k := kind(d.Product)
	var held []Animal
	for _, a := range s.Stock {
		if k == animal.Chitosan && a.Profile.Group == "salmonid" && s.stops("chitosan-salmonid", d) {
			return 0, "no safe level is known for " + a.who(), true
		}
		_, own, _ := animal.Lethal(k, a.Profile.Group)
		if stop, _ := polymerRules(k, own, a); s.stops(stop, d) {
			held = append(held, a)
		}
	}
	l, ok := PolymerLimits(d.Product, held)
	if !ok {
		return 0, "", false
	}
	// What stays is proportional to the dose.
	stays := residual.Once(1, d.Capture.Or(0))
	if s.Hours <= 0 {
		s.Hours = 24
	}
	if v := (&reviewer{s: s}); v.runs() {
		stays = v.feeding(stays, d.HalfLife.V).After(v.ahead())
	}
	if stays <= 0 {
		return 0, "", false
	}
	active := quantity.Dose{Concentration: l.Stop / stays, Basis: quantity.AsActive}
	dose, err := product.Convert(active, d.Product, d.Dose.Basis)
	if err != nil { // product holds no more than itself: the safe side
		dose = active
	}
	return dose.Concentration, l.Where.String(), true
}

// stops reports that a stop about a chemical stands: nobody has taken its risk.
func (s Situation) stops(id string, d Dose) bool {
	_, _, stopped := Accept([]Said{{Note: Note(id, nil), Chemical: d.name()}}, s.Accepted, s.Today)
	return stopped
}

// limitOf is a rule's limit as a concentration: plain mg/L, or a part of the lethal figure.
func limitOf(id string, lethal animal.Result) quantity.Concentration {
	r := RuleNamed(id)
	if r.Unit == partsOfLC50 {
		return lethal.Dose() / quantity.Concentration(r.Limit)
	}
	return quantity.Concentration(r.Limit)
}
