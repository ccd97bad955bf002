package caution

import (
	"strings"

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
	// Rule is the stop that the limit is of, by which somebody may take its risk.
	Rule string
	// NoData names the animals of which nothing is known with this product.
	NoData []string
}

// toxic is what is known of a polymer and an animal: the lethal figure, and the rules that
// hold a residual against it, which are the stricter the less is known.
type toxic struct {
	animal.Result
	// stop and warn are rules; stop is empty where too little is known to stop anything.
	stop, warn string
	// every is what killed half of even the hardiest that was tested, where that stops.
	every animal.Result
	// told is the site's own LC50 as it was given and as it counts.
	told note.Phrase
	// own is true where the figure is the animal's, by the site's own test or by its group.
	own bool
}

// by is the lethal figure that a rule compares with.
func (x toxic) by(id string) animal.Result {
	if id == "cationic-every-stop" {
		return x.every
	}
	return x.Result
}

// lc50 tells a lethal figure: the site's own on the basis that it was given on, and as it counts.
func (x toxic) lc50(by animal.Result) any {
	if x.tested() {
		return x.told
	}
	return amount(by.Low)
}

// lasts is how long a test has to run for its LC50 to be taken as it is; that of a shorter
// one is lowered in proportion, since animals that look well may yet die (our own).
const lasts quantity.Time = 96

// toxicity finds what is known: the site's own test first, then published figures of the
// animal's group, of other animals, and of another polymer.
func toxicity(name string, p product.Product, a Animal) (x toxic, ok bool) {
	k := kind(p)
	for _, b := range a.Tests {
		if !strings.EqualFold(b.Chemical, name) {
			continue
		}
		active, known := p.ActivePolymer(quantity.Dose{Concentration: b.LC50, Basis: quantity.AsProduct})
		hours := b.Hours
		if hours <= 0 {
			hours = lasts
		}
		x = toxic{stop: "polymer-tested-stop", warn: "polymer-tested", own: true}
		x.Result = animal.Result{Chemical: k, Animal: a.who(), Low: float64(active) * min(1, float64(hours/lasts)), HasLow: true, Source: "the site's own bioassay"}
		x.told = note.Say("%s mg/L of product", mgL(b.LC50)).If(hours < lasts, " in %s", quantity.To(hours, 3)).
			If(known || hours < lasts, ", which counts as %s mg/L", amount(x.Low)).If(known, " of active polymer")
		return x, true
	}
	x.Result, x.own, ok = animal.Lethal(k, p.Tested, a.Profile.Group)
	anionic := k == animal.AnionicPolymer
	switch {
	case anionic && x.own:
		x.stop, x.warn = "anionic-lethal", "anionic-high"
	case anionic:
		x.stop, x.warn = "anionic-borrowed-stop", "anionic-high"
	case x.own:
		x.stop, x.warn = "cationic-lethal", "cationic-near"
	case x.Chemical != k: // of another animal, and of another polymer
		x.warn = "cationic-other"
	case animal.SameClass(x.Group, a.Profile.Group):
		x.stop, x.warn = "cationic-borrowed-stop", "cationic-borrowed"
	default: // of animals of another class: no stop but by what kills all
		x.warn = "cationic-borrowed"
		if x.every, ok = animal.Hardiest(k); ok {
			x.stop = "cationic-every-stop"
		}
		ok = true
	}
	if anionic && a.Profile.ID == "water-fleas" {
		x.warn = "anionic-fleas"
	}
	return x, ok
}

// tested reports that the site made a bioassay with that chemical and animal.
func (x toxic) tested() bool { return x.stop == "polymer-tested-stop" }

// PolymerLimits gives the limits of a polymer, by the name that the site has for it, for
// those animals; false for a product that is no polymer, or where no animal is named.
// The limits count active polymer.
func PolymerLimits(name string, p product.Product, stock []Animal) (Limits, bool) {
	if !p.IsPolymer() || len(stock) == 0 {
		return Limits{}, false
	}
	var l Limits
	for _, a := range stock {
		x, known := toxicity(name, p, a)
		if !known || !x.own {
			l.NoData = append(l.NoData, a.who())
		}
		if !known || x.stop == "" {
			continue
		}
		stop := x.by(x.stop)
		s, w := limitOf(x.stop, stop), limitOf(x.warn, x.Result)
		if l.Stop == 0 || s < l.Stop {
			l.Stop, l.Warn, l.Where, l.Rule = s, w, x.where(a, stop), x.stop
		}
	}
	return l, l.Stop > 0
}

// where says what the limits of a polymer are part of.
func (x toxic) where(a Animal, by animal.Result) note.Phrase {
	figure := note.Say("%s mg/L of active polymer", amount(by.Low)).If(by.Chemical == animal.CationicPolymer && by.Substance != "", ", found with %s", by.Substance)
	switch {
	case x.tested():
		return note.Say("a tenth of what killed half of %s in your own test: %s", a.who(), x.told)
	case x.stop == "cationic-every-stop":
		return note.Say("what killed half of every animal tested, %s the hardiest: %s. No data for %s: bioassay needed", by.Animal, figure, a.who())
	case !x.own:
		return note.Say("what kills half of %s, borrowed: %s. No data for %s: bioassay needed", by.Animal, figure, a.who())
	case x.Chemical == animal.AnionicPolymer:
		return note.Say("a thirtieth of what kills %s: %s", a.who(), figure)
	}
	return note.Say("a tenth of what kills %s: %s", a.who(), figure)
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
	var held []Animal
	for _, a := range s.Stock {
		x, _ := toxicity(d.name(), d.Product, a)
		if noSafeLevel(kind(d.Product), a, x) && s.stops("chitosan-salmonid", d) {
			return 0, "no safe level is known for " + a.who(), true
		}
		if x.stop != "" && s.stops(x.stop, d) {
			held = append(held, a)
		}
	}
	l, ok := PolymerLimits(d.name(), d.Product, held)
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
