package caution

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/dosing/residual"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// metals judges aluminium and iron. Floc is caught, so the whole dose gives a
// caution at most; a stop rests on what was measured.
func (v *reviewer) metals() {
	v.metal("Al", quantity.AsAl, v.s.Water.ResidualAl, v.aluminium)
	v.metal("Fe", quantity.AsFe, v.s.Water.ResidualFe, v.iron)
	v.cold()
}

// cold says that a metal salt works slowly in water this cold, which a jar that warmed up in a room does not show.
func (v *reviewer) cold() {
	t := v.s.Water.Temperature
	if t.OK && float64(t.V) <= v.rule("floc-cold").Limit && slices.ContainsFunc(v.s.Doses, func(d Dose) bool { return d.Product.Metal() != "" && d.Dose.Concentration > 0 }) {
		v.say("floc-cold", Words{"value": quantity.To(t.V, 3)}, "", note.Place{})
	}
}

// metal judges what all doses that hold it may leave of one metal.
func (v *reviewer) metal(metal string, basis quantity.Basis, measured quantity.Known[quantity.Concentration], judge func(*Residual, note.Place)) {
	var dose, kept quantity.Concentration // all of it, and what a measured capture leaves
	var names []string
	var at note.Place // of the first
	captured := true
	for _, d := range v.s.Doses {
		if d.Product.Metal() != metal {
			continue
		}
		c, err := product.Convert(d.Dose, d.Product, basis)
		if err != nil {
			v.skip("residual metal of " + d.name() + ": " + err.Error())
			continue
		}
		if c.Concentration <= 0 {
			continue
		}
		if names == nil {
			at = d.At
		}
		dose += c.Concentration
		kept += residual.Once(c.Concentration, d.Capture.Or(0))
		captured = captured && d.Capture.OK
		names = append(names, d.name())
		if d.Product.Basis == quantity.AsFeSO4x7 {
			v.ferrous(d, c.Concentration)
		}
	}
	if names == nil {
		return
	}
	r := Residual{Chemical: join(names), As: metal, Worst: dose, Expected: measured}
	if captured && !measured.OK {
		r.Expected = quantity.Some(kept)
	}
	if v.runs() {
		v.builtMetal(&r, dose, kept, measured.OK, captured)
	}
	if measured.OK && !v.runs() {
		v.judge("metal-over-dose", r.Chemical, counted(mgL(measured.V), "mg/L"), counted(mgL(dose), "mg/L"), measured.V > dose,
			Words{"value": mgL(measured.V), "as": metal, "limit": mgL(dose)}, measured.At)
	}
	judge(&r, at)
	v.metalOfAnimals(metal, &r, at)
	if v.runs() && measured.OK && captured {
		v.besideJar(r, kept, at)
	}
	v.out.Residuals = append(v.out.Residuals, r)
}

// builtMetal fills in what a loop comes to of a metal, which does not break down.
func (v *reviewer) builtMetal(r *Residual, dose, kept quantity.Concentration, measured, captured bool) {
	expected := r.Expected
	v.built(r, dose, kept, 0)
	if measured || !captured {
		r.Expected = expected // what the jar left is what comes out of the unit at every pass
	}
	if !measured {
		r.loop = quantity.Some(v.feeding(kept, 0))
	}
}

// besideJar says what a measured capture would let stay, where a jar's residual goes before it.
func (v *reviewer) besideJar(r Residual, kept quantity.Concentration, at note.Place) {
	l := v.feeding(kept, 0)
	loop, how := v.comes(l)
	when := note.Say(" %s", how)
	against := r.Limit.OK && loop > r.Limit.V && r.Expected.V <= r.Limit.V
	if against {
		when, _ = v.when(l, r.Limit.V)
	}
	words := Words{"chemical": r.Chemical, "value": mgL(r.Expected.V), "as": r.As, "loop": mgL(loop), "when": when, "limit": mgL(r.Limit.V)}
	v.judge("capture-against-jar", r.Chemical, counted(mgL(loop), "mg/L"), counted(mgL(r.Limit.V), "mg/L"), against, words, at)
	if !against {
		v.say("capture-beside-jar", words, r.Chemical, at)
	}
}

// fired raises a residual's level to that of a rule.
func (r *Residual) fired(rule Rule, fires bool) {
	if fires {
		r.Level = max(r.Level, rule.Level)
	}
}

// bound keeps the least limit that rules of a level hold a residual against.
func (r *Residual) bound(level note.Level, c quantity.Concentration) {
	if level == note.Stop && (!r.StopAt.OK || c < r.StopAt.V) {
		r.StopAt = quantity.Some(c)
	} else if level == note.Caution && (!r.CareAt.OK || c < r.CareAt.V) {
		r.CareAt, r.CareName = quantity.Some(c), note.Phrase{}
	}
}

// chronic keeps the chronic criterion of fresh waters as what calls for care, whatever stops.
func (r *Residual) chronic(c quantity.Concentration, name string) {
	if r.bound(note.Caution, c); r.CareAt.V == c {
		r.CareName = note.Say("%s", name)
	}
}

func (r *Residual) limit(c quantity.Concentration, name string) {
	r.Limit, r.LimitName, r.Criterion = quantity.Some(c), note.Say("%s", name), false
}

// criterion is a limit of waters.
func (r *Residual) criterion(c quantity.Concentration, name string) {
	r.limit(c, name)
	r.Criterion = true
}

// judged enters what a rule found. The limit that is shown is that of the gravest rule that
// fires, else the first that would.
func (r *Residual) judged(rule Rule, fires bool, c quantity.Concentration, name note.Phrase, reached quantity.Known[quantity.Time]) {
	level := note.Info
	if fires {
		level = rule.Level
	}
	if !r.Limit.OK || level > r.by || level == r.by && c < r.Limit.V {
		r.Limit, r.LimitName, r.Reached, r.by, r.Criterion = quantity.Some(c), name, reached, level, false
	}
	r.fired(rule, fires)
}

// of gives the residual to compare and what it is, in words.
func (r Residual) of() (quantity.Concentration, string) {
	if r.Expected.OK {
		return r.Expected.V, "expected"
	}
	return r.Worst, "the whole dose"
}

// exceeds judges a metal's residual by a rule with that limit.
func (v *reviewer) exceeds(id string, r *Residual, limit quantity.Concentration, words Words, at note.Place) bool {
	value, what := r.of()
	over := value > limit
	words["value"], words["what"], words["limit"], words["when"], words["stays"] = mgL(value), what, mgL(limit), note.Phrase{}, v.staysDissolved()
	if r.loop.OK {
		var reached quantity.Known[quantity.Time]
		if words["when"], reached = v.when(r.loop.V, limit); over {
			r.Reached = reached
		}
	}
	r.fired(v.rule(id), over)
	r.bound(v.rule(id).Level, limit)
	v.judge(id, r.Chemical, counted(mgL(value), "mg/L "+r.As), counted(mgL(limit), "mg/L"), over, words, at)
	return over
}

func (v *reviewer) aluminium(r *Residual, at note.Place) {
	w, c := v.s.Water, v.out.Water
	tell := func(id string, words Words) { v.say(id, words, r.Chemical, at) }
	if !w.ResidualAl.OK && !v.unmeasured(r) && !r.Expected.OK && !v.unguided(r) {
		tell("al-not-measured", nil)
	}
	defer v.dissolved(r, at)
	r.fired(v.rule("al-residual-doubt"), v.has("al-residual-doubt")) // the table doubts what the caution does
	if v.forAnimals() {
		tell("al-mixing-point", nil)
	}
	v.marineAluminium(r, at)
	if !v.fresh() || v.elsewhere("Al") || v.discharged(r, at) {
		return
	}
	if c == nil || !c.HasPH || !w.Hardness.OK || !w.DOC.OK {
		v.aluminiumAtWorst(r, at)
		return
	}
	hard := w.Hardness.V + v.hardens(false)
	crit := water.Aluminium(c.PH(), quantity.Alkalinity(hard), w.DOC.V)
	c.Aluminium = quantity.Some(crit)
	tell("al-raw-doc", nil)
	if crit.Capped {
		tell("al-capped", nil)
	}
	if crit.Extrapolated {
		tell("al-extrapolated", Words{"ph": ph(c.PH())})
	}
	acute, chronic := published(crit.Acute), published(crit.Chronic)
	words := Words{"ph": note.Say("%s", ph(c.PH())).If(crit.At != c.PH(), ", counted as %s", fixed(float64(crit.At), 1)), "hardness": mgL(hard), "doc": mgL(w.DOC.V)}
	if v.forAnimals() {
		r.bound(v.rule("al-acute").Level, acute)
	}
	r.chronic(chronic, "chronic criterion, fresh-water life")
	if !v.salt() {
		r.criterion(chronic, "chronic criterion, fresh-water life")
	}
	words["lift"] = note.Say("").If(c.PH() < sourBelow, ", raise the alkalinity").
		If(float64(c.PH()) > v.rule("al-dissolved").Limit, ", lower the pH")
	switch {
	case v.acidAluminium(r, acute, words, at):
	case !r.Expected.OK:
		v.exceeds("al-whole-dose", r, chronic, words, at)
	case v.forAnimals() && v.exceeds("al-acute", r, acute, words, at):
		r.criterion(acute, "acute criterion, fresh-water life")
	default:
		id := "al-chronic"
		if own, bear := v.bear(animal.Aluminium, r); bear {
			id, words["own"] = "al-chronic-borne", own
		}
		v.exceeds(id, r, chronic, words, at)
	}
}

// acidAluminium stops what would kill in acid water if nobody measured it: up to pH 6.25, the highest of the acid tests in which tenths of a
// mg/L killed half of fish (US EPA 2018, appendix A), no floc is credited with all that keeps the animals alive, since the small ions and polymers
// that acid leaves are what kills on the gills; from there on towards neutral, where alum is most often dosed, floc holds nearly all of it. Its
// limit is the acute criterion, half of what kills half of the most tender genera in such water, as that of what was measured.
func (v *reviewer) acidAluminium(r *Residual, acute quantity.Concentration, words Words, at note.Place) bool {
	rule := v.rule("al-acid")
	// at the end of a run most of what it dosed is out, and was dosed at another pH: the day of its site says it of one pass
	if run := v.s.Taken.OK; run || r.Expected.OK || !v.forAnimals() ||
		float64(v.out.Water.PH()) >= rule.Limit {
		return false
	}
	words["sour"], words["killed"] = amount(rule.Limit), v.acidKilled()
	if !v.exceeds(rule.ID, r, acute, words, at) {
		return false
	}
	r.criterion(acute, "acute criterion, fresh-water life")
	return true
}

// acidKilled tells what aluminium killed half of such animals in acid water, of trout where none of theirs were tested in it.
func (v *reviewer) acidKilled() note.Phrase {
	r, _ := animal.InAcid(animal.Aluminium, "salmonid")
	for _, a := range v.s.Stock {
		if x, ok := animal.InAcid(animal.Aluminium, a.Profile.Group); ok {
			r = x
			break
		}
	}
	return note.Say("half of %s died at %s", r.Animal, mgL(r.Dose())).If(r.HasHigh && !r.More, " to %s", mgL(quantity.Concentration(r.High))).
		And(" mg/L in %s (%s)", r.Duration, quantity.Told(r.Note, nil))
}

// mildestDOC and mildestHardness are the most of each that the aluminium criterion counts, at which it lets most stay (US EPA 2018).
const mildestDOC, mildestHardness = 12.0, 430.0

// acidAtBest is [reviewer.acidAluminium] where hardness or DOC is not known: what is dosed stops only where even the most of them that the
// criterion counts would not help.
func (v *reviewer) acidAtBest(r *Residual, at note.Place) bool {
	w, c := v.s.Water, v.out.Water
	if c == nil || !c.HasPH {
		return false
	}
	hard, doc := quantity.Concentration(mildestHardness), w.DOC.Or(mildestDOC)
	if w.Hardness.OK {
		hard = w.Hardness.V + v.hardens(false)
	}
	acute := published(water.Aluminium(c.PH(), quantity.Alkalinity(hard), doc).Acute)
	words := Words{"ph": ph(c.PH()), "hardness": note.Say("%s", mgL(hard)).If(!w.Hardness.OK, ", the most that helps"), "doc": note.Say("%s", mgL(doc)).If(!w.DOC.OK, ", the most that helps")}
	return v.acidAluminium(r, acute, words, at)
}

// nearNeutral is the pH below which a test near pH 7 says nothing of aluminium, which harms more there (our own).
const nearNeutral quantity.PH = 6.5

// bear reports that all animals that get the water were themselves tested in fresh water with as much of a metal, and unharmed:
// their own figure goes before a criterion for all life in it.
func (v *reviewer) bear(c animal.Chemical, r *Residual) (own note.Phrase, all bool) {
	value, _ := r.of()
	if v.out.Water.PH() < nearNeutral {
		return own, false
	}
	for _, a := range v.s.Stock {
		x, ok := animal.Unharmed(c, a.Profile.Group, "fresh")
		if !ok || value > x.Dose() {
			return own, false
		}
		own = own.If(own.Format != "", "; ").And("%s mg/L did %s no harm (%s, %s)", mgL(x.Dose()), x.Animal, x.Substance, x.Source)
	}
	return own, v.forAnimals()
}

// published is a criterion as its tables give it.
func published(c quantity.Concentration) quantity.Concentration {
	return quantity.Concentration(quantity.RoundSig(float64(c), 2))
}

// staysDissolved says beside a whole dose how much of it no settler can catch; nothing where that is little, was measured or
// is told in a stop.
func (v *reviewer) staysDissolved() note.Phrase {
	c := v.out.Water
	if c == nil || !c.HasPH || v.s.Water.ResidualAl.OK || v.toldInStop(c) {
		return note.Phrase{}
	}
	fresh, _ := c.Dissolved()
	of, out := "of each pass", "which no settler, float or filter takes out"
	if v.s.Pond && !v.s.Piped {
		of, out = "of it", "which does not settle"
	}
	return note.Say("").If(fresh >= fewDissolved, "; "+of+" up to %s mg/L stays dissolved at pH %s, "+out, quantity.To(fresh, 2).Bare(), ph(c.PH()))
}

// keeps says in a stop, after some words that lead to it, how much of the metals acid keeps dissolved; nothing where that is
// little or was measured.
func (v *reviewer) keeps(c *Chemistry, lead note.Phrase) note.Phrase {
	if !c.Acid() {
		return note.Phrase{}
	}
	var out note.Phrase
	say := func(fresh, aged quantity.Concentration, dosed quantity.Molarity, name, metal string, read bool) {
		if !read && fresh >= fewDissolved {
			all := quantity.Concentration(float64(dosed) * quantity.AtomicMass[metal])
			out = out.If(out.Format != "", " and ").And("up to %s mg/L of the %s mg/L %s dosed (%s once the floc has aged)",
				quantity.To(fresh, 2).Bare(), mgL(all), name, quantity.To(aged, 2).Bare())
		}
	}
	al, oldAl := c.Dissolved()
	fe, oldFe := c.DissolvedIron()
	say(al, oldAl, c.Closed.Aluminium, "aluminium", "Al", v.s.Water.ResidualAl.OK)
	say(fe, oldFe, c.Closed.Iron, "iron", "Fe", v.s.Water.ResidualFe.OK)
	if out.Format == "" {
		return out
	}
	return lead.And("%s stays dissolved: no settler, float or filter takes that out", out)
}

// Acid reports a treated water in which floc dissolves as ions of its metal.
func (c Chemistry) Acid() bool {
	at, _ := c.withFloc()
	return c.HasPH && at.Acidic()
}

// toldInStop reports that a stop says what acid keeps dissolved.
func (v *reviewer) toldInStop(c *Chemistry) bool {
	return c.Acid() && (v.has("ph-too-low") || v.has("alkalinity-gone"))
}

// marineAluminium judges what stays in salt water by the guideline for its ecosystems.
func (v *reviewer) marineAluminium(r *Residual, at note.Place) {
	if !v.salt() {
		return
	}
	r.limit(water.MarineAluminium, "marine guideline, ecosystems")
	id, limit := "al-marine", water.MarineAluminium
	value, _ := r.of()
	measured, harms := v.s.Water.ResidualAl.OK, quantity.Concentration(v.rule("al-marine-harms").Limit)
	words := Words{}
	switch { // a guideline of ecosystems, and stock gets the water
	case value > harms && (measured && v.goesByMolluscs() || v.hasMolluscs()):
		id, limit = "al-marine-harms", harms
		r.limit(limit, "least that harmed larvae of mussels and oysters")
	case v.forAnimals() && measured:
		id = "al-marine-stock"
		if w, fresh := v.chronicAtWorst(); !v.fresh() && v.s.Water.Salinity.V < seaFrom && value > fresh {
			id, limit = "al-brackish", fresh
			words = w
			r.criterion(limit, "chronic criterion of fresh water, which brackish water is held to as well")
		}
	}
	r.Ecosystem = limit == water.MarineAluminium
	words["tested"] = v.testedInSalt(animal.Aluminium)
	if !v.exceeds(id, r, limit, words, at) {
		v.say("al-marine-below", Words{"value": mgL(value)}, r.Chemical, at)
	}
}

// seaFrom is the salinity, g/kg, from which on a test in sea water speaks for a water: below it, and above what counts as fresh, nothing
// was tested, and the stricter of both ends is told (30 as the lower bound of sea water: Venice system of 1958, from memory).
const seaFrom quantity.Salinity = 30

// hasMolluscs reports stock of the very kind that was harmed.
func (v *reviewer) hasMolluscs() bool {
	return slices.ContainsFunc(v.s.Stock, func(a Animal) bool { return a.Profile.Group == "mollusc" })
}

// goesByMolluscs reports stock that what harmed the larvae of molluscs speaks for: all but animals that nothing
// harmed in salt water when they were tested themselves, at any pH or, past their youngest stages, at that of the sea.
func (v *reviewer) goesByMolluscs() bool {
	c := v.out.Water
	sea := c != nil && c.HasPH && c.PH() >= ofTheSea
	return slices.ContainsFunc(v.s.Stock, func(a Animal) bool {
		return !slices.ContainsFunc(animal.Results(), func(r animal.Result) bool {
			bore := strings.HasPrefix(r.Endpoint, "no harm") || strings.HasPrefix(r.Endpoint, "no deaths") && sea && a.Stage != "" && !animal.Young(a.Stage)
			return r.Chemical == animal.Aluminium && r.Group == a.Profile.Group && r.Water == "salt" && bore
		})
	})
}

// ofTheSea is the pH from which on a test near pH 8 speaks for a water (our own).
const ofTheSea quantity.PH = 7.5

// testedInSalt says of each animal what is known of it with a chemical in salt water.
func (v *reviewer) testedInSalt(c animal.Chemical) (out note.Phrase) {
	var said []string
	for _, a := range v.s.Stock {
		if slices.Contains(said, a.Profile.Group) {
			continue
		}
		said = append(said, a.Profile.Group)
		known := false
		for _, r := range animal.Results() {
			if r.Chemical == c && r.Group == a.Profile.Group && r.Water == "salt" {
				out, known = out.And("; %s: %s", r.Animal, quantity.Told(cmp.Or(r.Note, r.Endpoint), nil)), true
			}
		}
		out = out.If(!known, "; no test of %s with it in salt water is known", a.who())
	}
	return out
}

// wholeDose are the cautions that what stays of a metal may be too much, by a guideline.
var wholeDose = map[string][]string{
	"Al": {"al-marine", "al-marine-harms", "al-whole-dose", "al-worst", "al-chronic"}, "Fe": {"fe-general", "fe-guideline"},
}

// joined takes back what a guideline said of a residual, where a graver note of the same says it
// too: one danger is one caution.
func (v *reviewer) joined(r *Residual) note.Phrase {
	by := func(s Said) bool { return slices.Contains(wholeDose[r.As], s.Code) }
	if !slices.ContainsFunc(v.said, by) {
		return note.Phrase{}
	}
	v.said = slices.DeleteFunc(v.said, by)
	if !r.Limit.OK {
		return note.Phrase{}
	}
	value, what := r.of()
	when := note.Phrase{}
	if r.loop.OK { // what the loop comes to, not its limit
		when, _ = v.when(r.loop.V, r.Limit.V)
	}
	return note.Say(". %s mg/L (%s%s) is above the %s, %s mg/L", mgL(value), what, when, r.LimitName, mgL(r.Limit.V))
}

// joinedUnmeasured takes back that nobody measured a metal, as its first to be judged, where a graver note of it says so too.
func (v *reviewer) joinedUnmeasured(r *Residual) note.Phrase {
	metal := r.As
	by := func(s Said) bool {
		return s.Code == "metal-unmeasured" && strings.HasPrefix(s.Message, "residual "+metal+" ")
	}
	if !slices.ContainsFunc(v.said, by) {
		return note.Phrase{}
	}
	v.said = slices.DeleteFunc(v.said, by)
	most, consent := v.mayStay(metal)
	stays := note.Say(". The whole dose")
	if r.Expected.OK {
		stays = note.Say(". What %s, %s mg/L,", byCapture, mgL(r.Expected.V))
	}
	return stays.And(" is above the %s mg/L of ", mgL(most)).If(consent, "the discharge consent").If(!consent, "drinking water")
}

// doubtful asks about measured aluminium that is less than half of what must stay dissolved at the pH, by the
// solubility of aged floc, the least of all: the reading, the pH or the sample is of another water.
func (v *reviewer) doubtful(c *Chemistry, dosed water.Addition) {
	fresh, _ := water.Dose(c.Before, dosed)
	aged := water.SpreadOf(c.Before, dosed).Aged
	at := aged
	if at.PH = c.PH(); aged.Acidic() { // where the reading itself moves the pH down, to what would dissolve more
		at.PH = c.MeasuredPH.Or(aged.PH)
	}
	least, jar := at.DissolvedAluminium(), v.s.Water.ResidualAl
	v.judge("al-residual-doubt", "", counted(mgL(jar.V), "mg/L"), counted(mgL(least), "mg/L"), jar.OK && least >= fewDissolved && jar.V < least/2,
		Words{"value": mgL(jar.V), "ph": ph(at.PH), "least": quantity.To(least, 2).Bare(), "with": ph(c.PH()), "without": ph(fresh.PH),
			"aged": note.Say("").If(math.Abs(float64(aged.PH-fresh.PH)) > float64(water.Uncertainty), ", %s once the floc has aged", ph(aged.PH)),
		}, note.Place{})
}

// fewDissolved is the dissolved aluminium, mg/L, below which nothing is said of it.
const fewDissolved = 0.4

// moreHelps is the pH below which more coagulant brings the pH down far enough (our own).
const moreHelps quantity.PH = 8.5

// elsewhere reports that a metal is judged by what drinking water or a discharge consent lets
// stay, not by what is for animals, since none get the water.
func (v *reviewer) elsewhere(metal string) bool {
	_, consent := v.mayStay(metal)
	return !v.forAnimals() && (v.s.Purpose == Drinking || consent)
}

// unguided reports a metal in fresh water that is for no animals and for no drinking, of which no consent is given, and neither
// its residual nor the DOC is known: a guideline for the life of fresh waters at the least DOC, held against all that is dosed, says
// nothing of a sewer, nor of a discharge before it is thinned.
func (v *reviewer) unguided(r *Residual) bool {
	return v.s.Works() && v.fresh() && !v.elsewhere(r.As) && (!r.Expected.OK || !v.s.Water.DOC.OK)
}

// discharged tells of such a metal.
func (v *reviewer) discharged(r *Residual, at note.Place) bool {
	if !v.unguided(r) {
		return false
	}
	value, what := r.of()
	v.say("metal-discharged", Words{"as": r.As, "value": mgL(value), "what": what}, r.Chemical, at)
	return true
}

// dissolved judges the aluminium that stays dissolved because the pH stays high or the water is acid. Where all
// of the dose passes a limit too it is one caution, which says both.
func (v *reviewer) dissolved(r *Residual, at note.Place) {
	c := v.out.Water
	if c == nil || !c.HasPH {
		return
	}
	if v.s.Water.ResidualAl.OK { // the state holds no more aluminium than the jar was found to hold
		v.provedDissolved(r, at)
		return
	}
	id, fires := "al-dissolved", false
	fresh, aged := c.Dissolved()
	dosed := quantity.Concentration(float64(c.Closed.Aluminium) * quantity.AtomicMass["Al"])
	// Above the criterion it matters at every pH; where none is known, where so high a pH wastes it, and where acid keeps it.
	// What the stated capture leaves is what the water is judged by, here as in the table of what stays.
	caught := r.Expected.OK && r.Expected.V <= published(c.Aluminium.V.Chronic)
	over := c.Aluminium.OK && fresh > published(c.Aluminium.V.Chronic) && !caught
	if c.Acid() {
		most, _ := v.mayStay("Al")
		id = "al-dissolved-acid"
		fires = !v.toldInStop(c) && (over || fresh >= fewDissolved || most > 0 && fresh > most)
	} else {
		fires = over || fresh >= fewDissolved && float64(c.PH()) > v.rule(id).Limit
	}
	rule, with := v.rule(id), note.Phrase{}
	if fires {
		with = v.joined(r)
	}
	if fires && c.Acid() {
		with = with.And("%s", v.joinedUnmeasured(r))
	}
	r.fired(rule, fires)
	if c.Acid() && !fires { // acid enough, and told elsewhere or too little to tell: no check that passes
		return
	}
	v.judge(id, r.Chemical, note.Say("pH %s", ph(c.PH())), note.Say("pH %s", amount(rule.Limit)),
		fires,
		Words{"over": with, "ph": ph(c.PH()), "value": quantity.To(fresh, 2).Bare(),
			"aged": quantity.To(aged, 2).Bare(), "dose": quantity.To(dosed, 2).Bare(),
			"more": note.Phrase{}.If(v.fresh() && c.AlkalinityUsed > 0 && c.PH() < moreHelps && with.Format == "", ", or dose more")}, at)
}

// sourBelow is the pH below which acid keeps aluminium and iron dissolved, so that alkali takes them out: above about it more
// alkali only dissolves aluminium again (common practice, no source).
const sourBelow quantity.PH = 6

// provedDissolved judges aluminium of which the jar still holds much at a pH that dissolves
// it: it was dosed for nothing, and no unit takes it out, whatever animals bear of it.
func (v *reviewer) provedDissolved(r *Residual, at note.Place) {
	c, jar := v.out.Water, v.s.Water.ResidualAl.V
	fresh, _ := c.Dissolved()
	rule := v.rule("al-stays-dissolved")
	if v.runs() || v.has("al-acute") || v.has("al-chronic") { // a loop adds up; else it is said already
		return
	}
	fires := float64(c.PH()) > rule.Limit && jar >= fewDissolved && fresh >= jar*(1-missed)
	r.fired(rule, fires)
	v.judge(rule.ID, r.Chemical, note.Say("pH %s", ph(c.PH())), note.Say("pH %s", amount(rule.Limit)), fires,
		Words{"ph": ph(c.PH()), "value": mgL(jar), "dose": mgL(r.Worst)}, at)
}

// dissolvedIron judges the iron(III) that acid keeps dissolved, where nobody measured it and no stop says so.
func (v *reviewer) dissolvedIron(r *Residual, at note.Place) {
	c := v.out.Water
	if c == nil || !c.Acid() || v.s.Water.ResidualFe.OK {
		return
	}
	fresh, aged := c.DissolvedIron()
	most, _ := v.mayStay("Fe")
	fires := !v.toldInStop(c) && (fresh >= fewDissolved || most > 0 && fresh > most || r.Limit.OK && fresh > r.Limit.V)
	rule, with := v.rule("fe-dissolved-acid"), note.Phrase{}
	if fires {
		with = v.joined(r).And("%s", v.joinedUnmeasured(r))
	}
	r.fired(rule, fires)
	v.judge(rule.ID, r.Chemical, note.Say("pH %s", ph(c.PH())), note.Say("pH %s", amount(rule.Limit)), fires,
		Words{"over": with, "ph": ph(c.PH()), "value": quantity.To(fresh, 2).Bare(), "aged": quantity.To(aged, 2).Bare(),
			"dose": quantity.To(quantity.Concentration(float64(c.Closed.Iron)*quantity.AtomicMass["Fe"]), 2).Bare()}, at)
}

func (v *reviewer) iron(r *Residual, at note.Place) {
	w, c := v.s.Water, v.out.Water
	defer v.dissolvedIron(r, at)
	if !w.ResidualFe.OK && !v.unmeasured(r) && !r.Expected.OK && !v.unguided(r) {
		v.say("fe-not-measured", nil, r.Chemical, at)
	}
	for _, a := range v.s.Stock {
		if x, own, _ := animal.Lethal(animal.Iron, "", a.Profile.Group); !own {
			v.say("no-data-metal", Words{"who": a.who(), "chemical": r.Chemical, "by": note.Say("").
				If(v.fresh(), "the limit of residual iron is that of fresh waters").
				If(!v.fresh(), "no limit of residual iron in the sea is known either, so a figure of %s is taken", x.Animal)}, r.Chemical, a.At)
		}
	}
	if !v.fresh() || v.elsewhere("Fe") || v.discharged(r, at) {
		return
	}
	id, name, words := "fe-general", "Canadian guideline at the least DOC that is usual", Words{"doc": amount(worstDOC)}
	at7 := quantity.PH(7)
	if c != nil && c.HasPH {
		at7 = c.PH()
	}
	limit, _ := water.IronGuideline(at7, worstDOC)
	if c != nil && c.HasPH && w.DOC.OK && w.DOC.V > 0 {
		limit, _ = water.IronGuideline(c.PH(), w.DOC.V)
		id, name = "fe-guideline", "Canadian guideline, fresh-water life"
		words["ph"], words["doc"] = ph(c.PH()), mgL(w.DOC.V)
	}
	r.criterion(limit, name)
	v.exceeds(id, r, limit, words, at)
}

// What is taken of a water that nobody measured: the DOC of spring water after floc took
// some of it, the softest and the hardest that is usual, the lowest pH that is no stop
// (common practice, no source).
const worstDOC, softest, hardest, worstPH = 0.3, 10, 400, 6.0

// aluminiumAtWorst judges aluminium where pH, hardness or DOC is not known: at the worst
// that is plausible of each, since a criterion rises with some and falls with others.
// What is assumed stops nothing.
func (v *reviewer) aluminiumAtWorst(r *Residual, at note.Place) {
	if !v.forAnimals() {
		v.skip("aluminium against the fresh-water criterion: it needs pH, alkalinity, hardness and DOC")
		return
	}
	words, limit := v.chronicAtWorst()
	name := fmt.Sprintf("chronic criterion at the worst plausible %s", words["missing"])
	r.chronic(limit, name)
	if v.acidAtBest(r, at) {
		return
	}
	if !v.salt() {
		r.criterion(limit, name)
	}
	if !v.exceeds("al-worst", r, limit, words, at) {
		v.say("al-worst-below", Words{"missing": words["missing"], "limit": mgL(limit)}, r.Chemical, at)
	}
}

// chronicAtWorst is the chronic criterion of fresh water with what it was taken at: at the worst that is plausible of what is missing.
func (v *reviewer) chronicAtWorst() (Words, quantity.Concentration) {
	w, c := v.s.Water, v.out.Water
	var missing []string
	pH, doc, hardness := quantity.PH(worstPH), w.DOC.Or(worstDOC), []quantity.Concentration{softest, hardest}
	if c != nil && c.HasPH {
		pH = c.PH()
	} else {
		missing = append(missing, "pH")
	}
	if w.Hardness.OK {
		hardness = []quantity.Concentration{w.Hardness.V + v.hardens(false)}
	} else {
		missing = append(missing, "hardness")
	}
	if !w.DOC.OK {
		missing = append(missing, "DOC")
	}
	limit, hard := quantity.Concentration(math.Inf(1)), hardness[0]
	for _, h := range hardness {
		if chronic := water.Aluminium(pH, quantity.Alkalinity(h), doc).Chronic; chronic < limit {
			limit, hard = chronic, h
		}
	}
	return Words{"missing": join(missing), "ph": ph(pH), "hardness": mgL(hard), "doc": mgL(doc)}, published(limit)
}

// metalOfAnimals judges what is left of a metal by what is known of the animals themselves:
// a tenth of what kills half of them, and what was seen to kill some. It stops nothing
// unless it was measured and comes to half of what kills, as polymers do (see scale). Care is called for at a tenth and not at
// a hundredth: a metal has guidelines for the long run besides, which polymers have not.
func (v *reviewer) metalOfAnimals(metal string, r *Residual, at note.Place) {
	kind := map[string]animal.Chemical{"Al": animal.Aluminium, "Fe": animal.Iron}[metal]
	for _, a := range v.s.Stock {
		words := func(x animal.Result) Words {
			return Words{"who": a.who(), "other": x.Animal, "lc50": amount(x.Low), "as": metal, "over": note.Phrase{}, "how": note.Say("%s", x.Note), "source": x.Source}
		}
		x, own, ok := animal.Lethal(kind, "", a.Profile.Group)
		if ok && !own && !v.fresh() { // no guideline holds there, and none of its own is known
			near, w := v.rule("metal-borrowed"), words(x)
			tenth := x.Dose() / quantity.Concentration(near.Limit)
			v.exceeds(near.ID, r, tenth, w, at)
			if !r.Limit.OK {
				r.Limit, r.LimitName = quantity.Some(tenth), note.Say("a tenth of what killed half of %s, borrowed for %s", x.Animal, a.who())
			}
		}
		if ok && own {
			near := v.rule("metal-near")
			kills := r.Expected.OK && v.exceeds("metal-kills", r, x.Dose()/quantity.Concentration(v.rule("metal-kills").Limit), words(x), at)
			tenth := x.Dose() / quantity.Concentration(near.Limit)
			if !kills && r.Level < near.Level { // a guideline that is passed has said it
				v.exceeds("metal-near", r, tenth, words(x), at)
			}
			if !r.Limit.OK { // no guideline holds there, as for iron in salt water
				r.Limit, r.LimitName = quantity.Some(tenth), note.Say("a tenth of what killed half of %s", x.Animal)
			}
		}
		if x, ok := animal.Harmful(kind, a.Profile.Group); ok {
			w := words(x)
			c := v.out.Water
			w["lift"] = note.Say("").If(c != nil && c.HasPH && c.PH() < sourBelow, ", raise the pH towards neutral")
			if value, _ := r.of(); value > x.Dose() {
				w["over"] = v.joined(r)
			}
			v.exceeds("metal-harms", r, x.Dose(), w, at)
		}
	}
}

// ferrous judges iron(II), which takes oxygen and harms while it turns to iron(III): slowly
// in cold water and in water that is not above neutral.
func (v *reviewer) ferrous(d Dose, iron quantity.Concentration) {
	oxygen := float64(iron) * v.rule("ferrous-oxygen").Limit
	id := "ferrous-oxygen"
	if oxygen > v.rule("ferrous-oxygen-much").Limit {
		id = "ferrous-oxygen-much"
	}
	v.say(id, Words{"chemical": d.name(), "value": amount(oxygen)}, d.name(), d.At)
	turns := v.turns()
	for _, a := range v.s.Stock {
		x, own, _ := animal.HarmfulToAny(animal.FerrousIron, a.Profile.Group)
		words := Words{"chemical": d.name(), "value": mgL(iron), "who": a.who(), "other": x.Animal, "limit": amount(x.Low), "source": x.Source,
			"how": turns.how, "borrowed": note.Say("").If(!own, "borrowed ")}
		id := "ferrous-turns"
		switch {
		case own && turns.known && turns.least > minutes(v.rule("ferrous-harms").Limit): // what is borrowed stops nothing
			id = "ferrous-harms"
		case turns.most > minutes(v.rule("ferrous-slow").Limit):
			id = "ferrous-slow"
		}
		v.judge(id, a.who(), counted(mgL(iron), "mg/L Fe"), counted(amount(x.Low), "mg/L Fe"), float64(iron) >= x.Low, words, a.At)
	}
}

// turning is how long half of iron(II) takes to turn to iron(III) in the treated water, at both
// ends of how far its pH is known; known is false where no pH is.
type turning struct {
	least, most quantity.Time
	known       bool
	how         note.Phrase
}

func minutes(v float64) quantity.Time { return quantity.Time(v / 60) }

// turns is what the treated water makes of iron(II); without a pH, at the worst that is plausible.
func (v *reviewer) turns() (x turning) {
	c, p, doubt := v.out.Water, quantity.PH(worstPH), quantity.PH(0)
	x.known = c != nil && c.HasPH
	if x.known {
		p = c.PH()
		if !c.MeasuredPH.OK {
			doubt = c.Doubt()
		}
	}
	t := v.s.Water.Temperature.Or(quantity.Temperature(v.rule("temperature-assumed").Limit))
	salt := v.s.Water.Salinity.Or(0)
	x.least, x.most = ironTurns(p+doubt, t, salt), ironTurns(p-doubt, t, salt)
	x.how = note.Say("at pH %s and %s half of it takes about %s", ph(p), degrees(t), quantity.To(ironTurns(p, t, salt), 1))
	if !x.known {
		x.how = note.Say("pH is not given, and %s", x.how)
	}
	return x
}

// ironTurns is the time in which half of iron(II) turns to iron(III) in water that holds its
// oxygen: 8 minutes at pH 7 and 20 C, a hundred times that for each unit of pH below and
// ten times for every 15 C colder (Stumm and Lee 1961, from memory; their 8e13 /(M2 atm min)
// with 0.21 atm and 7e-8 M of hydroxide at pH 7 and 20 C is 0.082 a minute, and ln 2/0.082 = 8).
// Salt slows it by 10^(3.29 sqrt I - 1.52 I), I 19.92 S/(1000 - 1.005 S) (Millero, Sotolongo and
// Izaguirre 1987, from memory).
func ironTurns(p quantity.PH, t quantity.Temperature, s quantity.Salinity) quantity.Time {
	i := 19.92 * float64(s) / (1000 - 1.005*float64(s))
	return minutes(8 * math.Pow(100, 7-float64(p)) * math.Pow(10, (20-float64(t))/15) * math.Pow(10, 3.29*math.Sqrt(i)-1.52*i))
}
