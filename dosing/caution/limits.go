package caution

import (
	"slices"
	"strings"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
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
	// As is what the limits count: "active polymer" or "product".
	As string
	// Borrowed is true where Warn is no figure of the animals with this product: one of other animals, or a limit of discharges.
	Borrowed bool
	// NoData names the animals of which nothing is known with this product.
	NoData []string
}

// toxic is what is known of a polymer and an animal: the lethal figure, and the rules that
// hold a residual against it.
type toxic struct {
	stop, warn step
	// own is true where the figure is the animal's, by the site's own test or by its group.
	own bool
}

// step is a rule and the result whose lethal figure it takes its part of.
type step struct {
	rule   string
	of     animal.Result
	lethal quantity.Concentration
	// told is a figure of the site's own as it was given and as it counts.
	told note.Phrase
}

// least is the step that goes by the lowest figure of a result.
func least(rule string, r animal.Result) step { return step{rule: rule, of: r, lethal: r.Dose()} }

// own reports that a step goes by a figure that the site found itself.
func (s step) own() bool { return s.of.Source == ownBioassay }

// figure tells the lethal figure of a step: the site's own on the basis that it was given on, and as it counts.
func (s step) figure() any {
	if s.own() {
		return s.told
	}
	return mgL(s.lethal)
}

// footing is how near what is known of a polymer and an animal is to both.
type footing int

// The footings, the nearest first.
const (
	ownKill    footing = iota // the lowest dose that killed in the site's own test, which proves harm and nothing harmless
	ownTest                   // by the site itself: this product, these animals, this water
	ownFigure                 // of the animal's group
	sameClass                 // of other animals of its class
	otherClass                // of its kin of another class, or of any animal where its kin have none
	otherKind                 // of another kind of polymer
	anyFooting
)

// scale is what polymers are held to, the first row that fits: one scale for all charges.
//
// A stop says that animals are expected to die. Of a figure that others found it takes half: the half that kills
// few or none (US EPA 1985, guidelines for deriving criteria, which halve an LC50 for that, on the mean of
// 219 tests, 0.44: 43 FR 21506; both from memory). It counts what was measured to stay, else the whole dose: that mud and floc bind such polymers
// is known (Cary et al. 1987, title only), how much of a dose is not, and what nobody measured lets no dose through. A figure of another kind of polymer stops
// as one of other animals does: both are borrowed. Animals that stand in the water that is dosed are held to less: see stocked.
//
// Of the site's own test it takes a tenth, of what killed half and of the lowest dose that killed alike. A named polymer is held to a twentieth to a tenth of the LC50 of its own test (Environment Agency, second-hand),
// and half of it still kills where deaths rise slowly with the dose: of ten each, 0, 1, 4, 8 and 10 of which die at 1 to 16 mg/L, half of
// the LC50 of 4.59 killed one. The lowest dose that killed is no middle of anything: nobody knows how much less kills none, and tenfold is
// commonly laid between the lowest dose that harmed and one that does not (US EPA's for reference doses; from memory). Both are known of
// one test, and the lesser rules: whoever learns more of it is never stopped later.
//
// What harms over weeks and does not kill, such as the gills that 0.38 mg/L of cationic polymer damages (Kerr et al. 2014), is no
// stop, for this any more than for metals (metal-harms), aluminium's chronic criterion or free ammonia above what is comfortable:
// it calls for care, and the caution names it (toxicity.txt, "weeks"). A stop on harm that the animals live with would fire for
// every cationic polymer that trout get, in clear water and muddy.
//
// A caution says that harm in time cannot be told: flowing water is up to 13.9 times worse than a
// test in still water (Goodrich et al. 1991), and what is safe for long lay 33 times and more below what killed (Tabata and
// Ishibashi 1984): a thirtieth of what the site's own test found, about three times less where others tested another product in
// another water, ten times less where the figure is borrowed (both factors our own), and a hundredth of the lowest dose that killed. What is
// added to the part of a figure for lack of knowledge is added there alone: a stop at so small a part fires for every use, and teaches people to
// accept it. A dose that killed proves none harmless, so it stands beside what else is known and lifts no limit: see [killing].
var scale = []struct {
	kind       animal.Chemical // empty for any
	footing    footing
	stop, warn string
}{
	{"", ownKill, "polymer-killed-stop", "polymer-killed"},
	{"", ownTest, "polymer-tested-stop", "polymer-tested"},
	{animal.AnionicPolymer, ownFigure, "anionic-lethal", "anionic-high"},
	{animal.AnionicPolymer, anyFooting, "anionic-borrowed-stop", "anionic-high"},
	{"", ownFigure, "cationic-lethal", "cationic-near"},
	{"", otherKind, "cationic-borrowed-stop", "cationic-other"},
	{"", anyFooting, "cationic-borrowed-stop", "cationic-borrowed"},
}

// on is what is held to the rules of a footing, both by the lowest figure of a result.
func on(k animal.Chemical, f footing, r animal.Result) toxic {
	for _, l := range scale {
		if (l.kind == "" || l.kind == k) && (l.footing == f || l.footing == anyFooting) {
			return toxic{stop: least(l.stop, r), warn: least(l.warn, r), own: f <= ownFigure}
		}
	}
	return toxic{}
}

// ownBioassay is the source of a figure that the site found itself.
const ownBioassay = "the site's own bioassay"

// TestLasts is how long a test has to run for its LC50 to be taken as it is; that of a shorter
// one is lowered in proportion, since animals that look well may yet die (our own).
const TestLasts quantity.Time = 96

// toxicity finds what is known: the site's own test first, then published figures of the
// animal's group, of its nearest kin, and of another kind of polymer.
func toxicity(name string, p product.Product, a Animal) (x toxic, ok bool) {
	k := kind(p)
	if x, ok := ownLC50(name, p, a); ok {
		return x, true
	}
	if !p.IsPolymer() {
		return x, false
	}
	r, own, ok := animal.Lethal(k, p.Tested, a.Profile.Group)
	if !ok {
		return x, false
	}
	f := otherClass
	switch {
	case own:
		f = ownFigure
	case r.Chemical != k:
		f = otherKind
	case animal.SameClass(r.Group, a.Profile.Group):
		f = sameClass
	}
	x = on(k, f, r)
	// Older animals bear more than larvae, and what is no kin says little: those go by what the hardiest bore.
	if h, known := animal.Hardier(k, p.Tested, a.Profile.Group); known && f == otherClass && k != animal.AnionicPolymer &&
		(!animal.Young(a.Stage) || !animal.Kin(r.Group, a.Profile.Group)) {
		x.stop = step{rule: x.stop.rule, of: h, lethal: quantity.Concentration(h.High)}
	}
	if k == animal.AnionicPolymer && a.Profile.ID == "water-fleas" {
		x.warn.rule = "anionic-fleas"
	}
	return x, true
}

// ownLC50 is the LC50 of the site's own tests of a product with an animal; false where it names none.
func ownLC50(name string, p product.Product, a Animal) (x toxic, ok bool) {
	for _, b := range a.Tests {
		if strings.EqualFold(b.Chemical, name) && b.LC50 > 0 {
			return ofTest(ownTest, b.LC50, b.Hours, p, a), true
		}
	}
	return x, false
}

// ofTest is what the site's own test says: a figure of the product by it, of so many hours.
func ofTest(f footing, found quantity.Concentration, hours quantity.Time, p product.Product, a Animal) toxic {
	active, known := p.ActivePolymer(quantity.Dose{Concentration: found, Basis: quantity.AsProduct})
	if hours <= 0 {
		hours = TestLasts
	}
	r := animal.Result{Chemical: kind(p), Animal: a.who(), Low: float64(active) * min(1, float64(hours/TestLasts)), HasLow: true, Source: ownBioassay}
	x := on(r.Chemical, f, r)
	told := note.Say("%s mg/L of product", mgL(found)).If(hours < TestLasts, " in %s", quantity.To(hours, 3)).
		If(known || hours < TestLasts, ", which counts as %s mg/L", amount(r.Low)).If(known, " of active polymer").
		If(known && active < found, ", %s of it", quantity.To(quantity.Fraction(active/found), 3)).
		If(hours < TestLasts, ", lowered to %s of %s, as what lives may yet die", quantity.To(hours, 3).In("h").Bare(), quantity.To(TestLasts, 3).In("h"))
	x.stop.told, x.warn.told = told, told
	return x
}

// killing is the lowest dose that killed in the site's own tests of a product with an animal; false where it names none.
func killing(name string, p product.Product, a Animal) (x toxic, ok bool) {
	for _, b := range a.Tests {
		if strings.EqualFold(b.Chemical, name) && b.Killed > 0 {
			return ofTest(ownKill, b.Killed, b.Hours, p, a), true
		}
	}
	return x, false
}

// HeldToTest reports a product whose residual is held to the site's own test with its animals, where it made one: polymers, and
// products of which nothing is known. Aluminium and iron have limits by the water.
func HeldToTest(p product.Product) bool { return p.IsPolymer() || unknown(p) }

// tested reports that the site found with that chemical and animal what half of them die of.
func (x toxic) tested() bool { return x.stop.rule == "polymer-tested-stop" }

// PolymerLimits gives the limits of a polymer, by the name that the site has for it, for
// those animals in their own water; false for a product that is no polymer, or where no animal is named.
// The limits count active polymer, or product where nobody knows how much of it is.
func PolymerLimits(name string, p product.Product, stock []Animal) (Limits, bool) {
	return Situation{Pond: true, Stock: stock}.PolymerLimits(name, p)
}

// PolymerLimits is [PolymerLimits] where the water of a situation reaches its animals.
func (s Situation) PolymerLimits(name string, p product.Product) (Limits, bool) {
	return limitsBy(name, p, s.Stock, s.figures)
}

// PolymerStops gives the limits by each figure that is known of a polymer and one of those animals in their own water, those that stop a plan:
// each may be accepted by its own name.
func PolymerStops(name string, p product.Product, stock []Animal) []Limits {
	return Situation{Pond: true, Stock: stock}.polymerStops(name, p, stock)
}

// polymerStops is [PolymerStops] of some of the animals of a situation.
func (s Situation) polymerStops(name string, p product.Product, stock []Animal) (out []Limits) {
	for _, a := range stock {
		for _, x := range s.figures(name, p, a) {
			l, _ := limitsBy(name, p, []Animal{a}, func(string, product.Product, Animal) []toxic { return []toxic{x} })
			if l.Stop > 0 {
				out = append(out, l)
			}
		}
	}
	return out
}

// limitsBy gives the limits by what of says is known.
func limitsBy(name string, p product.Product, stock []Animal, of func(string, product.Product, Animal) []toxic) (Limits, bool) {
	if !p.IsPolymer() && !unknown(p) || len(stock) == 0 {
		return Limits{}, false
	}
	l := Limits{As: "active polymer"}
	if _, known := p.ActivePolymer(quantity.Dose{Concentration: 1, Basis: quantity.AsProduct}); !known {
		l.As = "product"
	}
	for _, a := range stock {
		figures := of(name, p, a)
		if !slices.ContainsFunc(figures, func(x toxic) bool { return x.own }) {
			l.NoData = append(l.NoData, a.who())
		}
		for _, x := range figures {
			data := note.Say("").If(!x.own, ". No data for %s: bioassay needed", a.who())
			if w := x.warn.limit(); l.Warn == 0 || w < l.Warn {
				l.Warn, l.Care, l.Borrowed = w, x.part(x.warn, a).And("%s", data), !x.own || !RuleNamed(x.warn.rule).ofLethal()
			}
			if s := x.stop.limit(); l.Stop == 0 || s < l.Stop {
				l.Stop, l.Where, l.Rule = s, x.part(x.stop, a).And("%s", data), x.stop.rule
			}
		}
	}
	return l, l.Stop > 0 || l.Warn > 0
}

// fractions are the parts of a lethal figure that rules take, in words.
var fractions = map[float64]string{2: "half of ", 10: "a tenth of ", 30: "a thirtieth of ", 100: "a hundredth of ", 300: "a three-hundredth of "}

// Part says in words what part of a lethal figure the limit of a rule is; empty where it is none.
func (r Rule) Part() string {
	switch r.Unit {
	case partsOfLC50:
		return fractions[r.Limit] + "what killed half of the animals"
	case partsOfKilling:
		return fractions[r.Limit] + "the lowest dose that killed"
	}
	return ""
}

// plainly are the limits that are part of no lethal figure, in words.
var plainly = map[string]string{
	"anionic-high":      "the discharge limit of English water works",
	"anionic-fleas":     "what slowed the growth of water fleas",
	"chitosan-salmonid": "the least that harmed gills of trout",
}

// part says what the limit of a step is part of, for whom, and with what it was found: the same words
// in the table of residuals and wherever else a limit is told.
func (x toxic) part(s step, a Animal) note.Phrase {
	r := RuleNamed(s.rule)
	switch {
	case r.Unit == partsOfKilling:
		return note.Say("%sthe lowest dose that killed %s in your own test: %s", fractions[r.Limit], a.who(), s.told)
	case r.Unit != partsOfLC50:
		return note.Say("%s", plainly[s.rule]) // of no animal that is kept
	case s.own():
		return note.Say("%swhat killed half of %s in your own test: %s", fractions[r.Limit], a.who(), s.told)
	}
	return note.Say("%s%s, ", fractions[r.Limit], s.of.Killed()).
		If(s.lethal > s.of.Dose(), "the hardiest tested, ").
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
	if !d.Product.IsPolymer() && !unknown(d.Product) {
		return 0, "", false
	}
	builds := quantity.Concentration(1) // of what stays at each pass
	if s.Hours <= 0 {
		s.Hours = 24
	}
	if v := (&reviewer{s: s}); v.runs() {
		builds = v.feeding(1, d.HalfLife.V).After(v.ahead())
	}
	for _, a := range s.Stock {
		x, _ := toxicity(d.name(), d.Product, a)
		if noSafeLevel(kind(d.Product), a, x) && s.stops("chitosan-salmonid", d) {
			return 0, "no safe level is known for " + a.who(), true
		}
		for _, l := range s.polymerStops(d.name(), d.Product, []Animal{a}) {
			if builds <= 0 || d.Capture.V >= 1 || !s.stops(l.Rule, d) {
				continue
			}
			dose := l.Stop / builds / quantity.Concentration(1-d.Capture.Or(0))
			if !ok || dose < most {
				most, why, ok = dose, l.Where.String(), true
			}
		}
	}
	if !ok {
		return 0, "", false
	}
	active := quantity.Dose{Concentration: most, Basis: quantity.AsActive}
	dose, err := product.Convert(active, d.Product, d.Dose.Basis)
	if err != nil { // product holds no more than itself: the safe side
		dose = active
	}
	return dose.Concentration, why, true
}

// stops reports that a stop about a chemical stands: nobody has taken its risk.
func (s Situation) stops(id string, d Dose) bool {
	_, _, stopped := Accept([]Said{{Note: Note(id, nil), Chemical: d.name()}}, s.Accepted, s.Today)
	return stopped
}

// limit is that of a step as a concentration: plain mg/L, or a part of the lethal figure.
func (s step) limit() quantity.Concentration {
	r := RuleNamed(s.rule)
	if r.ofLethal() {
		return s.lethal / quantity.Concentration(r.Limit)
	}
	return quantity.Concentration(r.Limit)
}
