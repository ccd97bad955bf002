package caution

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/residual"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Findings are what a review found.
type Findings struct {
	// Said is everything said with the chemical it is about, before acceptances
	// were held against it: for callers that add to it and accept the whole.
	Said []Said
	// Notes are about this water and these doses, gravest first.
	Notes note.List
	// Handling are about the chemicals that are kept here.
	Handling note.List
	// Stopped is true where a stop stands that nobody has accepted: then no pump
	// setting may be given out.
	Stopped bool
	// Water is what the doses make of the water; nil without pH or alkalinity.
	Water *Chemistry
	// Residuals has one line for each metal or polymer dosed.
	Residuals []Residual
	// Alkalis are ways to give the alkalinity or pH back, where that is asked for or needed.
	Alkalis []Option
	Salts   []Salt
	// Loop is the alkalinity that such days bring a loop to; nil where no loop runs or nothing moves it.
	Loop *LoopAlkalinity
	// Strip is how to strip the carbon dioxide of a loop whose animals should have less; nil where they need none of it.
	Strip *Strip
	// Carried are the coagulants that raw water carries, where its alkalinity is known.
	Carried []Carried
	// NotChecked says in words what lacked data. It never stops a plan.
	NotChecked []string
	// Checks lists every comparison made, whether it found anything or not.
	Checks []Check
	// Taken are the stops that somebody accepted, as printed on the plan.
	Taken []Taken
	// phGone is true where the stop of the alkalinity is that of the pH too.
	phGone bool
}

// All gives the notes of both kinds, gravest first.
func (f Findings) All() note.List {
	return WorstFirst(slices.Concat(f.Notes, f.Handling))
}

// ofFigure are the rules that speak of a figure of the treated water, by the figure's name.
var ofFigure = map[string][]string{
	"alkalinity": {"alkalinity-gone", "alkalinity-low"}, "ph": {"ph-too-low", "ph-too-high", "ph-outside-range", "ph-beyond", "consent-ph"},
	"co2": {"co2-high", "co2-far"}, "nh3": {"nh3-lethal", "nh3-high", "nh3-still"}, "nh3_raw": {"nh3-deadly"}, "nh3_aerated": {"nh3-aerated-lethal"},
}

// Marked are the figures of the water that a caution or a stop speaks of, each with its level.
func (f Findings) Marked() map[string]note.Level {
	out := map[string]note.Level{}
	for figure, rules := range ofFigure {
		for _, s := range f.Said {
			if slices.Contains(rules, s.Code) {
				out[figure] = max(out[figure], s.Level)
			}
		}
	}
	if f.phGone {
		out["ph"] = max(out["ph"], out["alkalinity"])
	}
	return out
}

// Chemistry is the water before and after dosing. Closed is before any gas
// passes; Open after aeration. States are valid only where HasPH.
type Chemistry struct {
	HasPH                bool
	Before, Closed, Open water.State
	// Spread is what leaves the computed pH open, with the water once its floc has aged, of which less metal stays dissolved.
	water.Spread
	// Slow is the water once an alkali that takes days has dissolved; nil where none is dosed.
	Slow             *Slow
	AlkalinityBefore quantity.Alkalinity
	AlkalinityUsed   quantity.Alkalinity // below zero: given
	AlkalinityLeft   quantity.Alkalinity
	// Takes is true where one of the doses takes alkalinity, whether another gives some or not.
	Takes    bool
	FreedCO2 quantity.Concentration
	// AmmoniaAdded is the total ammonia, as N, that the doses bring at one pass.
	AmmoniaAdded quantity.Concentration
	// NH3 is free ammonia in mg NH3/L, where total ammonia is known.
	HasNH3                        bool
	NH3Before, NH3Closed, NH3Open quantity.Concentration
	NH3BeforeOpen                 quantity.Concentration // of the raw water once aerated
	// airFrees is true where air would bring it above what some animal should have.
	airFrees bool
	// MeasuredPH is that of the chosen jar, where it was read.
	MeasuredPH quantity.Known[quantity.PH]
	// FromJars is true where that follows from what the jars lost at the dose.
	FromJars bool
	// Aluminium are the criteria at the treated water's pH, hardness and DOC.
	Aluminium quantity.Known[water.AluminiumCriteria]
}

// PH is that of the treated water before aeration: read on the jar, else computed.
func (c Chemistry) PH() quantity.PH { return c.MeasuredPH.Or(c.Closed.PH) }

// Dissolved is the aluminium that stays dissolved at the treated water's pH, with fresh floc and with aged.
func (c Chemistry) Dissolved() (fresh, aged quantity.Concentration) {
	a, b := c.withFloc()
	return a.DissolvedAluminium(), b.DissolvedAluminium()
}

// DissolvedIron is the same of iron(III).
func (c Chemistry) DissolvedIron() (fresh, aged quantity.Concentration) {
	a, b := c.withFloc()
	return a.DissolvedIron(), b.DissolvedIron()
}

// withFloc is the treated water, at the pH of the jar where it was read, with fresh floc and with aged.
func (c Chemistry) withFloc() (fresh, aged water.State) {
	fresh, aged = c.Closed, c.Aged
	fresh.PH, aged.PH = c.PH(), c.MeasuredPH.Or(aged.PH)
	if aged.Acidic() {
		aged.Floc = water.Crystal
	}
	return fresh, aged
}

// Residual is what a chemical may leave in the water.
type Residual struct {
	Chemical string
	As       string // what is counted: "Al", "Fe", "active polymer"
	// Worst is the whole dose, and in a loop what that comes to over the days.
	Worst quantity.Concentration
	// How says in words how a loop comes to it; empty without one.
	How note.Phrase
	// Expected is by measurement on the jar or by measured capture; ByHalfLife is true where it counts a measured half-life alone, and nothing
	// of what floc takes.
	Expected   quantity.Known[quantity.Concentration]
	ByHalfLife bool
	// Limit is what Level was judged by, with its name.
	Limit     quantity.Known[quantity.Concentration]
	LimitName note.Phrase
	// Ecosystem is true where that is a guideline for whole ecosystems and no limit for the animals kept here.
	Ecosystem bool
	// Criterion is true where it is a criterion or guideline for the life of fresh waters, which is no figure of the animals kept here either.
	Criterion bool
	Level     note.Level
	// by is the level of the rule that Limit is of, where it fired.
	by note.Level
	// StopAt and CareAt are above what it stops the plan or calls for care, the least of each; CareName is what the latter is, where it is the
	// chronic criterion of fresh waters, which Limit need not be where a stop speaks.
	StopAt, CareAt quantity.Known[quantity.Concentration]
	CareName       note.Phrase
	// Reached is how long a loop takes to the limit, and after how many turnovers.
	Reached   quantity.Known[quantity.Time]
	Turnovers float64
	// loop is how it builds up, where it does.
	loop quantity.Known[residual.Daily]
	// rises is how Worst comes about where nothing takes it out, so that it rises without end.
	rises quantity.Known[residual.Daily]
}

// Rises reports that Worst is no end: it is what is there after the days looked at, and rises on. Past is the day, counted from 1, on
// which it then passes the limit; not given where it does before, or where there is no limit.
func (r Residual) Rises() (past quantity.Known[int], rises bool) {
	if r.rises.OK && r.Limit.OK && r.Worst < r.Limit.V {
		if t, ok := r.rises.V.Reaches(r.Limit.V, longRun); ok {
			past = quantity.Some(dayNumber(t))
		}
	}
	return past, r.rises.OK
}

// Above reports that what is expected to stay is more than the limit that is named: of a guideline
// that calls nobody, it is told all the same.
func (r Residual) Above() bool {
	return r.Expected.OK && r.Limit.OK && r.Expected.V > r.Limit.V
}

// Check is one comparison.
type Check struct {
	Rule   string
	About  string // the animal or chemical
	Found  note.Phrase
	Limit  note.Phrase
	Fired  bool
	Level  note.Level
	Source string
}

// Taken is a stop with its acceptance.
type Taken struct {
	Stop note.Note
	By   Acceptance
}

// reviewer carries a review while it is made.
type reviewer struct {
	s     Situation
	quiet bool // nothing is said
	brief bool // only the ammonia is asked for, many times in a run
	// then says when what is judged comes about, where not as the water is dosed.
	then note.Phrase
	said []Said
	out  Findings
}

// Review judges a situation.
func Review(s Situation) Findings {
	v := &reviewer{s: s}
	if v.s.Hours <= 0 {
		v.s.Hours = 24
	}
	v.animals()
	v.chemistry()
	v.ammoniaDosed()
	v.standing()
	v.dechlorinates()
	v.loopAlkalinity()
	v.metals()
	v.polymers()
	v.own()
	v.salts()
	v.ionsForAnimals()
	v.drinking()
	v.consent()
	v.gas()
	v.slugs()
	v.clays()
	v.tender()
	v.emulsions()
	v.alkalis()
	v.passed()
	v.handling()
	v.oneOrder()
	v.accept()
	if v.out.Strip != nil {
		v.out.Strip.Pressing = v.out.pressing()
	}
	return v.out
}

// Course judges water that a run has dosed pass after pass, at one moment of it: the doses
// of the situation are all that the water has had until then, Since is when that is. It says what a
// plan says of alkalinity, pH, carbon dioxide, ammonia and what no dose changes, but of no step,
// since the run takes its time. What stands in the water as the run starts counts as much as what
// the run makes of it.
func Course(s Situation) ([]Said, []string) {
	s.Since.OK = true
	s.Loop, s.Water.JarPH, s.Water.JarAlkalinityUsed = nil, quantity.Known[quantity.PH]{}, quantity.Known[quantity.Alkalinity]{}
	v := &reviewer{s: s}
	v.chemistry()
	v.ammoniaDosed()
	v.standing()
	return slices.DeleteFunc(v.said, func(x Said) bool { return strings.HasPrefix(x.Code, "ph-step") }), v.out.NotChecked
}

// WaterOf is a water once the doses of a situation are in it, as [Course] judges it; nil where too little is
// known of it.
func WaterOf(s Situation) *Chemistry { return waterOf(s, false) }

func waterOf(s Situation, brief bool) *Chemistry {
	s.Loop = nil
	v := &reviewer{s: s, quiet: true, brief: brief}
	v.chemistry()
	return v.out.Water
}

// FreeAmmonia is that of a water once the doses of a situation are in it; false where it is not
// known or nobody asks for it.
func FreeAmmonia(s Situation) (quantity.Concentration, bool) {
	c := waterOf(s, true)
	if c == nil {
		return 0, false
	}
	if c.Slow != nil {
		return max(c.NH3Closed, c.Slow.NH3Closed), c.HasNH3
	}
	return c.NH3Closed, c.HasNH3
}

// OfAmmonia reports that a note is of ammonia.
func OfAmmonia(n note.Note) bool {
	return slices.ContainsFunc([]string{"nh3-", "tan-", "ammonia-"}, func(start string) bool { return strings.HasPrefix(n.Code, start) })
}

// InCourse reports that a note is of what [Course] judges.
func InCourse(n note.Note) bool {
	return slices.ContainsFunc([]string{"alkalinity-", "ph-", "co2-", "nh3-", "tan-", "ammonia-", "water-unknown", "temperature-assumed", "temperature-outside", "sea-meter", "alkali-slow", "al-residual-doubt", "salinity-", "hardness-"},
		func(start string) bool { return strings.HasPrefix(n.Code, start) })
}

// say adds the note of a rule.
func (v *reviewer) say(id string, w Words, about string, at note.Place) {
	if v.quiet {
		return
	}
	chemical, named := w["chemical"].(string) // about a chemical, and maybe an animal
	if !named {
		if chemical = about; !v.dosed(about) { // about the water: all of them make it so
			chemical = join(v.names())
		}
	}
	beyond, _ := w["beyond"].(float64)
	r := v.rule(id)
	if v.s.Pond {
		r.Do = strings.Replace(r.Do, inParts, v.parts(id), 1)
	}
	v.said = append(v.said, Said{r.note(w).At(at), chemical, beyond})
}

// inParts is what rules of a pond say that is treated at once.
const inParts = "dose in parts, hours apart"

// parts is that for what comes in as many portions as help, which nobody needs to be told to part.
func (v *reviewer) parts(id string) string {
	mild := slices.ContainsFunc([]string{"-some", "-about", "al-dissolved"}, func(end string) bool { return strings.HasSuffix(id, end) })
	switch {
	case v.s.Better > 0:
		return fmt.Sprintf("dose in %d parts, hours apart", v.s.Better)
	case v.s.Goes > 1 && mild:
		return "keep to the parts"
	case v.s.Goes > 1:
		return "dose less (it comes in parts already)"
	case v.s.Goes == 1 && mild:
		return "keep to the one go"
	}
	return inParts
}

// has reports that a rule was said already.
func (v *reviewer) has(id string) bool {
	return slices.ContainsFunc(v.said, func(s Said) bool { return s.Code == id })
}

// names lists what is dosed.
func (v *reviewer) names() (out []string) {
	for _, d := range v.s.Doses {
		out = append(out, d.name())
	}
	return out
}

// dosed reports that a name is of what is dosed, one or several joined.
func (v *reviewer) dosed(about string) bool {
	return slices.ContainsFunc(v.names(), func(n string) bool { return Acceptance{Chemical: n}.concerns(about) && about != "" })
}

// sayHandling adds the note of a rule about chemicals as goods.
func (v *reviewer) sayHandling(id string, w Words) {
	v.out.Handling.Add(v.rule(id).note(w))
}

// rule is the one of that id, in the words of where the water is dosed and of what for.
func (v *reviewer) rule(id string) Rule {
	r := RuleNamed(id)
	if v.s.Carbon {
		r.Do = cmp.Or(r.Carbon, r.Do)
	}
	switch {
	case v.byHand():
		r.Says, r.Do = cmp.Or(r.PondSays, r.Says), cmp.Or(r.Pond, r.Do)
	case v.s.Pond:
		r.Do = cmp.Or(r.Round, r.Do)
	}
	return r
}

// judge records a comparison and, where it fires, says the rule.
func (v *reviewer) judge(id, about string, found, limit note.Phrase, fired bool, w Words, at note.Place) {
	if v.quiet {
		return
	}
	r := v.rule(id)
	v.out.Checks = append(v.out.Checks, Check{Rule: id, About: about, Found: found, Limit: limit, Fired: fired,
		Level: r.Level, Source: r.source(w)})
	if fired {
		v.say(id, w, about, at)
	}
}

// skip lists something as not checked, once.
func (v *reviewer) skip(what string) {
	if !slices.Contains(v.out.NotChecked, what) {
		v.out.NotChecked = append(v.out.NotChecked, what)
	}
}

// Fresh reports that a water counts as fresh; the usual line between fresh and
// salt criteria is 1 to 10 g/kg, where both apply (40 CFR 131.36; from memory).
func Fresh(s quantity.Salinity) bool { return s < 10 }

// Saline reports that it counts as salt.
func Saline(s quantity.Salinity) bool { return s >= 1 }

func (v *reviewer) fresh() bool { return Fresh(v.s.Water.Salinity.Or(0)) }
func (v *reviewer) salt() bool  { return Saline(v.s.Water.Salinity.Or(0)) }

// forAnimals reports that animals get the water, as far as is said.
func (v *reviewer) forAnimals() bool { return len(v.s.Stock) > 0 }

// Works reports water that is for no animals, as far as is said: what fish ponds should have is no matter of it.
func (s Situation) Works() bool {
	return len(s.Stock) == 0 && s.Purpose != Animals && s.Purpose != Unsaid
}

// runs reports that the water comes round again and its turnovers are known.
func (v *reviewer) runs() bool {
	return v.s.Loop != nil && v.s.Loop.Volume > 0 && v.s.Flow.OK
}

// amount writes a number with three significant digits, without idle zeros.
func amount(v float64) quantity.Rounded {
	return quantity.Rounded{Q: quantity.Number(v), Digits: 3, Way: quantity.Trace}
}

func ph(p quantity.PH) quantity.Rounded { return fixed(float64(p), 2) }

func mgL(c quantity.Concentration) quantity.Rounded { return amount(float64(c)) }

// counted is a number with a unit that all readers see.
func counted(v quantity.Rounded, unit string) note.Phrase { return note.Say("%s %s", v, unit) }

// degrees is a temperature with three significant digits.
func degrees(t quantity.Temperature) quantity.Rounded { return quantity.To(t, 3) }

// join writes "a, b and c".
func join(names []string) string {
	last := len(names) - 1
	if last < 1 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}
