package caution

import (
	"slices"
	"strings"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/dosing/residual"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// kind gives the line of the toxicity table that a polymer belongs to. A
// biopolymer and a polymer of unknown charge count as cationic, the safe side.
func kind(p product.Product) animal.Chemical {
	name := strings.ToLower(p.ID + " " + p.Name)
	switch {
	case p.Group == product.Biopolymer && strings.Contains(name, "chitosan"):
		return animal.Chitosan
	case p.Group == product.Biopolymer && strings.Contains(name, "tannin"):
		return animal.CationisedTannin
	case p.Group == product.Biopolymer && strings.Contains(name, "moringa"):
		return animal.MoringaSeed
	case p.Charge == product.Anionic || p.Charge == product.NonIonic:
		return animal.AnionicPolymer
	}
	return animal.CationicPolymer
}

// polymers judges what of each polymer may stay in the water: all of it, less
// only what a measured capture takes out.
func (v *reviewer) polymers() {
	for _, d := range v.s.Doses {
		if !d.Product.IsPolymer() && !v.tested(d) || d.Dose.Concentration <= 0 {
			continue
		}
		all := v.counted(d, d.Dose)
		dose, as := all.of, all.as
		r := Residual{Chemical: d.name(), As: as, Worst: dose}
		kept := d.Residual.Or(residual.Once(dose, d.Capture.Or(0)))
		if v.runs() {
			v.built(&r, dose, kept, d.HalfLife.V)
			switch caught := d.Capture.OK || d.Residual.OK; {
			case !caught && !d.HalfLife.OK:
				r.Expected = quantity.Known[quantity.Concentration]{}
			case !caught:
				r.ByHalfLife = true
			}
		} else if d.Capture.OK || d.Residual.OK {
			r.Expected = quantity.Some(kept)
		}
		if v.s.Loop != nil && !v.runs() {
			v.skip("build-up in the loop: its volume or flow is not given")
		}
		v.polymer(d, &r, kept)
		v.out.Residuals = append(v.out.Residuals, r)
	}
}

// counted is what a dose brings of what its limits count: active polymer, or product where nobody knows how much of it is.
func (v *reviewer) counted(d Dose, much quantity.Dose) (out struct {
	of quantity.Concentration
	as string
}) {
	active, known := d.Product.ActivePolymer(much)
	out.of, out.as = active, "active polymer"
	if known {
		return out
	}
	out.as = "product"
	if p, err := product.Convert(much, d.Product, quantity.AsProduct); err == nil {
		out.of = p.Concentration
	}
	return out
}

// tested reports a product of which nothing is known but by the site's own test with one of its animals.
func (v *reviewer) tested(d Dose) bool {
	return unknown(d.Product) && slices.ContainsFunc(v.s.Stock, func(a Animal) bool { return len(v.s.figures(d.name(), d.Product, a)) > 0 })
}

// polymer judges one of them against each animal.
func (v *reviewer) polymer(d Dose, r *Residual, kept quantity.Concentration) {
	k := kind(d.Product)
	if k != animal.AnionicPolymer && v.s.Water.Turbidity.OK {
		rule := v.rule("clear-water")
		clear := v.s.Water.Turbidity.V < rule.Limit
		r.fired(rule, clear)
		v.judge("clear-water", d.name(), counted(amount(v.s.Water.Turbidity.V), "NTU"), counted(amount(rule.Limit), "NTU"), clear,
			Words{"chemical": d.name(), "value": amount(v.s.Water.Turbidity.V)}, d.At)
	}
	if !v.forAnimals() {
		why := ": none are named"
		if v.s.NoneReached {
			why = ": " + noneReached
		}
		v.skip("residual of " + d.name() + " against animals" + why)
		return
	}
	for _, a := range v.s.Stock {
		v.forAnimal(d, k, a, r, kept)
	}
}

// noSafeLevel reports that no level of a polymer was found to be safe for an animal, and
// the site has none of its own.
func noSafeLevel(k animal.Chemical, a Animal, x toxic) bool {
	return k == animal.Chitosan && a.Profile.Group == "salmonid" && !x.tested()
}

func (v *reviewer) forAnimal(d Dose, k animal.Chemical, a Animal, r *Residual, kept quantity.Concentration) {
	x, found := v.s.known(d.name(), d.Product, a)
	killed, kills := killing(d.name(), d.Product, a)
	if !found && !kills && unknown(d.Product) {
		return // own says it
	}
	if !found && !kills {
		v.say("no-data", Words{"who": a.who(), "chemical": d.name()}, d.name(), a.At)
		return
	}
	// It says what of a dose is counted, where nobody measured what the floc takes; how bad that is stands beside it.
	whole := note.Phrase{}.If(!d.Capture.OK && !d.Residual.OK, " (the whole dose: what the floc takes is not given)")
	// try judges one step by what stays of each pass; its limit is a part of the lethal figure, or plain mg/L.
	try := func(s step) bool {
		by, rule, limit, stays := s.of, v.rule(s.rule), s.limit(), kept
		when, fires := note.Phrase{}, stays >= limit
		var reached quantity.Known[quantity.Time]
		if v.runs() {
			l := v.feeding(stays, d.HalfLife.V)
			days := v.ahead()
			if _, settles := l.Settles(); settles && rule.Level < note.Stop { // where it stays above it is a caution, however late it comes there
				days = longRun
			}
			when, reached = v.whenIn(l, limit, days)
			fires = reached.OK
			stays, _ = v.comes(l)
		}
		r.judged(rule, fires, limit, x.part(s, a).If(rule.Unit == partsOfLC50 && by.Water == "fresh" && !v.fresh(), ", found in fresh water"), reached)
		v.judge(rule.ID, d.name()+", "+a.who(), counted(mgL(stays), "mg/L"), counted(mgL(limit), "mg/L"), fires,
			Words{"chemical": d.name(), "value": mgL(stays), "who": a.who(), "lc50": s.figure(), "counts": s.counts(), "limit": mgL(limit), "part": fractions[rule.Limit],
				"other": by.Animal, "killed": s.killed(a), "data": noData(x, s, a), "much": much(stays, s.lethal),
				"besides": inWeeks(k, a, x, stays), "polymer": substance(by).If(s.lethal > by.Dose(), ", the hardiest of them"),
				"when": note.Say("%s%s", when, whole), "source": lethalSource(rule, by)}, a.At)
		return fires
	}
	if noSafeLevel(k, a, x) { // one danger, one alarm
		s := least("chitosan-salmonid", x.stop.of)
		r.judged(v.rule(s.rule), true, s.limit(), x.part(s, a), quantity.Known[quantity.Time]{})
		v.judge("chitosan-salmonid", d.name(), note.Say("dosed"), note.Say("never"), true, nil, a.At)
		return
	}
	stopped := found && try(x.stop)
	stopped = kills && try(killed.stop) || stopped
	// one danger, one alarm: the lower of what calls for care
	warn := x.warn
	if kills && (!found || killed.warn.limit() < warn.limit()) {
		warn = killed.warn
	}
	spoken := stopped || try(warn)
	if !x.own && !kills && (!spoken || k == animal.AnionicPolymer) {
		v.say("no-data", Words{"who": a.who(), "chemical": d.name()}, d.name(), a.At)
	}
}

// counts is the lethal figure of a step with what it counts.
func (s step) counts() note.Phrase {
	if s.own() {
		return note.Say("in your own test: %s", s.told)
	}
	return note.Say("%s mg/L%s", mgL(s.lethal), substance(s.of))
}

// killed says what kills so much; the site's own test names the animals as the site does.
func (s step) killed(a Animal) string {
	if s.own() {
		return "what killed half of " + a.who()
	}
	return s.of.Killed()
}

// noData says that a figure is borrowed; nothing of the animal's own.
func noData(x toxic, s step, a Animal) note.Phrase {
	return note.Say("").If(!x.own && !s.own(), ". No data for %s: bioassay needed; that figure is borrowed", a.who())
}

// much says how many times what kills so much is, or what share of it.
func much(c, lethal quantity.Concentration) note.Phrase {
	switch ratio := quantity.RoundSig(float64(c/lethal), 2); {
	case ratio < 1:
		return note.Say("%s %% of", amount(100*ratio))
	case ratio == 1:
		return note.Say("as much as")
	default:
		return counted(amount(ratio), "times")
	}
}

// inWeeks says what as much as stays was seen to do to such animals over weeks, short of killing them; nothing where less stays, or
// the site tested them itself.
func inWeeks(k animal.Chemical, a Animal, x toxic, stays quantity.Concentration) note.Phrase {
	r, ok := animal.Weeks(k, a.Profile.Group)
	return note.Say("").If(ok && !x.tested() && stays >= r.Dose(), "; %s mg/L is enough for %s in %s within %s",
		mgL(r.Dose()), r.Endpoint, r.Animal, r.Duration)
}

// lethalSource names where the lethal figure comes from; the part of it is ours.
func lethalSource(r Rule, lethal animal.Result) string {
	if !r.ofLethal() {
		return ""
	}
	return lethal.Source + "; " + fractions[r.Limit] + "it is this program's own part"
}

// partsOfLC50 and partsOfKilling are the units of rules whose limit divides a lethal figure, what kills half and the lowest dose that
// killed.
const partsOfLC50, partsOfKilling = "parts of LC50", "parts of what killed"

// ofLethal reports a rule whose limit divides a lethal figure.
func (r Rule) ofLethal() bool { return r.Unit == partsOfLC50 || r.Unit == partsOfKilling }

// substance names what a lethal figure was found with; the site's own test was with its own.
func substance(r animal.Result) note.Phrase {
	return note.Say("").If(r.Substance != "", " of %s", r.Substance)
}

// when says how a loop comes to its level, and when it passes a limit in the days looked at.
func (v *reviewer) when(l residual.Daily, limit quantity.Concentration) (note.Phrase, quantity.Known[quantity.Time]) {
	return v.whenIn(l, limit, v.ahead())
}

// whenIn is [reviewer.when] within so many days.
func (v *reviewer) whenIn(l residual.Daily, limit quantity.Concentration, days int) (note.Phrase, quantity.Known[quantity.Time]) {
	_, words := v.comes(l)
	t, ok := l.Reaches(limit, days)
	if !ok {
		return note.Say(" %s", words), quantity.Known[quantity.Time]{}
	}
	return note.Say(" %s, past the limit %s", words, reached(l, t)), quantity.Some(t)
}

// feeding is the balance of what stays of a dose that breaks down.
func (v *reviewer) feeding(perPass quantity.Concentration, halfLife quantity.Time) residual.Daily {
	l := v.passing(perPass)
	l.HalfLife = halfLife
	return l
}

// built fills in what a loop comes to: at worst with all of the dose, new water alone
// taking it out, and as expected with what is left of each pass, which breaks down.
func (v *reviewer) built(r *Residual, dose, kept quantity.Concentration, halfLife quantity.Time) {
	worst := v.passing(dose)
	r.Worst, _ = v.comes(worst)
	if _, settles := worst.Settles(); !settles && dose > 0 {
		r.rises = quantity.Some(worst)
	}
	r.Turnovers = v.passing(0).Turnovers(v.s.Hours)
	var expected quantity.Concentration
	expected, r.How = v.comes(v.feeding(kept, halfLife))
	r.Expected = quantity.Some(expected)
}

func turns(n float64) note.Phrase {
	if s := amount(n); s.String() != "1" {
		return counted(s, "turnovers")
	}
	return note.Say("1 turnover")
}
