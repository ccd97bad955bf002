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
	// Stop and Warn are zero where there is none.
	Stop, Warn quantity.Concentration
	// Where and Care say in words what each is part of, such as "a tenth of what killed half
	// of rainbow trout, 0.271 mg/L"; a borrowed figure is named as borrowed.
	Where, Care note.Phrase
	// Rule is the stop that the limit is of, by which somebody may take its risk.
	Rule string
	// NoData names the animals of which nothing is known with this product.
	NoData []string
}

// toxic is what is known of a polymer and an animal: the lethal figure, and the rules that
// hold a residual against it, which are the stricter the less is known.
type toxic struct {
	// stop has no rule where too little is known to stop anything.
	stop, warn step
	// told is the site's own LC50 as it was given and as it counts.
	told note.Phrase
	// own is true where the figure is the animal's, by the site's own test or by its group.
	own bool
}

// step is a rule and the result whose lethal figure it takes its part of.
type step struct {
	rule   string
	of     animal.Result
	lethal quantity.Concentration
}

// least is the step that goes by the lowest figure of a result.
func least(rule string, r animal.Result) step { return step{rule, r, r.Dose()} }

// lc50 tells the lethal figure of a step: the site's own on the basis that it was given on, and as it counts.
func (x toxic) lc50(s step) any {
	if x.tested() {
		return x.told
	}
	return mgL(s.lethal)
}

// footing is how near what is known of a polymer and an animal is to both.
type footing int

// The footings, the nearest first.
const (
	ownFigure     footing = iota // of the animal's group
	sameClass                    // of other animals of its class
	samePolymer                  // the same polymer, with animals of another class
	otherPolymers                // other polymers of its kind, with such animals
	otherKind                    // of another kind of polymer
	anyFooting
)

// ladders are the rules by kind and footing, the first row that fits: one scale, from which only
// what is known departs. Half of the animals dead stops a plan on every footing; a tenth of that
// does so already where the polymer is known to be worse in flowing water or in time than in
// the test (cationic polymers to 13.9 times, Goodrich et al. 1991; chitosan harmed at half of what killed,
// Bullock et al. 2000), and a thirtieth for anionic polymers (33 to 100 times, Tabata and Ishibashi 1984).
var ladders = []struct {
	kind       animal.Chemical // empty for any
	footing    footing
	stop, warn string
}{
	{animal.AnionicPolymer, ownFigure, "anionic-lethal", "anionic-high"},
	{animal.AnionicPolymer, anyFooting, "anionic-borrowed-stop", "anionic-high"},
	{animal.MoringaSeed, ownFigure, "cationic-acute-stop", "cationic-acute"},
	{"", ownFigure, "cationic-lethal", "cationic-near"},
	{"", otherKind, "", "cationic-other"},
	{"", otherPolymers, "cationic-every-stop", "cationic-borrowed"}, // no stop but by what kills all
	{"", anyFooting, "cationic-borrowed-stop", "cationic-borrowed"},
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
		r := animal.Result{Chemical: k, Animal: a.who(), Low: float64(active) * min(1, float64(hours/lasts)), HasLow: true, Source: "the site's own bioassay"}
		x = toxic{stop: least("polymer-tested-stop", r), warn: least("polymer-tested", r), own: true}
		x.told = note.Say("%s mg/L of product", mgL(b.LC50)).If(hours < lasts, " in %s", quantity.To(hours, 3)).
			If(known || hours < lasts, ", which counts as %s mg/L", amount(r.Low)).If(known, " of active polymer")
		return x, true
	}
	r, own, ok := animal.Lethal(k, p.Tested, a.Profile.Group)
	if !ok {
		return x, false
	}
	nearest, same := animal.Nearest(k, p.Tested, a.Profile.Group)
	on := otherPolymers
	switch {
	case own:
		on = ownFigure
	case r.Chemical != k:
		on = otherKind
	case animal.SameClass(r.Group, a.Profile.Group):
		on = sameClass
	case same && p.Tested != "":
		on = samePolymer
	}
	x.own = own
	for _, l := range ladders {
		if (l.kind == "" || l.kind == k) && (l.footing == on || l.footing == anyFooting) {
			x.stop, x.warn = least(l.stop, r), least(l.warn, r)
			break
		}
	}
	switch {
	case k == animal.AnionicPolymer:
	case on == samePolymer: // older animals bear more than larvae: what the hardiest of those tested bore
		x.stop = least(x.stop.rule, nearest)
		if !animal.Young(a.Stage) && nearest.HasHigh {
			x.stop.lethal = quantity.Concentration(nearest.High)
		}
	case on == otherPolymers:
		if every, known := animal.Hardiest(k); known {
			x.stop = least(x.stop.rule, every)
		}
	}
	if k == animal.AnionicPolymer && a.Profile.ID == "water-fleas" {
		x.warn.rule = "anionic-fleas"
	}
	return x, true
}

// tested reports that the site made a bioassay with that chemical and animal.
func (x toxic) tested() bool { return x.stop.rule == "polymer-tested-stop" }

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
		if !known {
			continue
		}
		data := note.Say("").If(!x.own, ". No data for %s: bioassay needed", a.who())
		if w := x.warn.limit(); l.Warn == 0 || w < l.Warn {
			l.Warn, l.Care = w, x.part(x.warn, a).And("%s", data)
		}
		if s := x.stop.limit(); x.stop.rule != "" && (l.Stop == 0 || s < l.Stop) {
			l.Stop, l.Where, l.Rule = s, x.part(x.stop, a).And("%s", data), x.stop.rule
		}
	}
	return l, l.Stop > 0 || l.Warn > 0
}

// fractions are the parts of a lethal figure that rules take, in words.
var fractions = map[float64]string{1: "", 10: "a tenth of ", 30: "a thirtieth of ", 100: "a hundredth of ", 300: "a three-hundredth of "}

// plainly are the limits that are part of no lethal figure, in words.
var plainly = map[string]string{
	"anionic-high":      "the discharge limit of English water works",
	"anionic-fleas":     "what slowed the growth of water fleas",
	"chitosan-salmonid": "the least that harmed gills",
}

// part says what the limit of a step is part of, for whom, and with what it was found: the same words
// in the table of residuals and wherever else a limit is told.
func (x toxic) part(s step, a Animal) note.Phrase {
	r := RuleNamed(s.rule)
	switch {
	case r.Unit != partsOfLC50:
		return note.Say("%s, for %s", plainly[s.rule], a.who())
	case x.tested():
		return note.Say("%swhat killed half of %s in your own test: %s", fractions[r.Limit], a.who(), x.told)
	}
	return note.Say("%s%s, ", fractions[r.Limit], s.of.Killed()).
		If(s.rule == "cationic-every-stop" || s.lethal > s.of.Dose(), "the hardiest tested, ").
		And("%s mg/L of active polymer", mgL(s.lethal)).
		If(s.of.Chemical == animal.CationicPolymer && s.of.Substance != "", ", found with %s", s.of.Substance).
		If(x.own, ", for %s", a.who()).If(!x.own, ", borrowed for %s", a.who())
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
		if x.stop.rule != "" && s.stops(x.stop.rule, d) {
			held = append(held, a)
		}
	}
	l, _ := PolymerLimits(d.name(), d.Product, held)
	if l.Stop == 0 {
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

// limit is that of a step as a concentration: plain mg/L, or a part of the lethal figure; zero
// for a step without a rule.
func (s step) limit() quantity.Concentration {
	if s.rule == "" {
		return 0
	}
	r := RuleNamed(s.rule)
	if r.Unit == partsOfLC50 {
		return s.lethal / quantity.Concentration(r.Limit)
	}
	return quantity.Concentration(r.Limit)
}
