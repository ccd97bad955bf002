package caution

import (
	"math"
	"slices"

	"jarwright/dosing/animal"
	"jarwright/dosing/residual"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// passing is the balance of something dosed on every pass of the loop.
func (v *reviewer) passing(perPass quantity.Concentration) residual.Daily {
	return residual.Daily{Hours: min(v.s.Hours, 24),
		Loop: residual.Loop{Volume: v.s.Loop.Volume, Flow: v.s.Flow.V, Dose: perPass, Exchange: v.s.Loop.Exchange.Or(0)}}
}

// ahead is how many days of the same are looked at.
func (v *reviewer) ahead() int { return int(v.rule("loop-later").Limit) }

// comes is the level that a loop comes to, and how in words: in the long run, else
// what it has after the days looked at.
func (v *reviewer) comes(l residual.Daily) (quantity.Concentration, note.Phrase) {
	if level, ok := l.Settles(); ok {
		return level, note.Say("in the long run, at %s a day", turns(l.Turnovers(l.Hours)))
	}
	return l.After(v.ahead()), note.Say("after %s days and still rising, at %s a day", amount(float64(v.ahead())), turns(l.Turnovers(l.Hours)))
}

// longRun is, in days, longer than any loop takes to settle.
const longRun = 1 << 24

// sinks reports that a loop comes to less than a floor, and when it passes it on the way down. It is
// what the caution and the table of alkalis both go by: a loop that settles below a floor is below it
// one day, however many days are looked ahead for one that never settles.
func (v *reviewer) sinks(l residual.Daily, floor quantity.Alkalinity) (t quantity.Time, below bool) {
	level, _ := v.comes(l)
	days := v.ahead()
	if _, settles := l.Settles(); settles {
		days = longRun
	}
	limit := quantity.Concentration(floor)
	t, ends := l.Reaches(limit, days)
	if !ends { // then between the runs alone, while what takes it goes on
		t, _ = l.Sags(limit, days)
	}
	return t, min(level, l.Rested(level)) < held*limit
}

// reached says when a loop comes to a limit: within the first run by the hours, later by the day.
func reached(l residual.Daily, t quantity.Time) note.Phrase {
	if t <= l.Hours {
		return note.Say("after %s, %s", quantity.To(t, 3), turns(l.Turnovers(t)))
	}
	return note.Say("on day %s", dayOf(t))
}

// dayOf is the day, counted from 1, that a time from the start of the first run lies in.
func dayOf(t quantity.Time) quantity.Rounded { return amount(float64(dayNumber(t))) }

func dayNumber(t quantity.Time) int { return int(math.Floor(float64(t)/24)) + 1 }

// later says that a loop fed the same every day comes to a limit after the day planned.
func (v *reviewer) later(what string, l residual.Daily, limit quantity.Concentration, unit string, about string, at note.Place) {
	r := v.rule("loop-later")
	t, ok := l.Reaches(limit, v.ahead())
	found := note.Say("never")
	if ok {
		found = note.Say("day %s", dayOf(t))
	}
	v.judge("loop-later", about, found, counted(amount(r.Limit), "d"), ok && t > l.Hours,
		Words{"what": what, "value": counted(mgL(limit), unit), "days": dayOf(t)}, at)
}

// nitrified is the alkalinity, mg as CaCO3, that one mg of ammonia nitrogen takes when
// it is nitrified: two equivalents to 14.007 mg.
const nitrified = 2 * quantity.CaCO3PerEquivalent / 14.007

// loopGives is the alkalinity that a pass takes of a loop, below zero where it gives some: over days
// what is slow dissolves too.
func (c Chemistry) loopGives() quantity.Alkalinity {
	if c.Slow != nil {
		return c.AlkalinityUsed + c.Slow.added.Acid
	}
	return c.AlkalinityUsed
}

// alkalinityLoop is the balance of a loop's alkalinity: each turnover takes what one pass
// takes (or brings what alkali in it gives) and what nitrifying the ammonia that it brings
// takes, and new water draws it back. What was measured
// in a running loop is already the balance of new water and nitrification, to which it goes
// back as a dose washes out; from the alkalinity of new water nitrification takes what a day's
// ammonia does, and so it does where no new water makes a balance, or none that feeds can be fed on
// (see [reviewer.overfed]). False where no loop runs.
func (v *reviewer) alkalinityLoop() (residual.Daily, bool) {
	if !v.runs() || v.out.Water == nil {
		return residual.Daily{}, false
	}
	c := v.out.Water
	l := v.passing(quantity.Concentration(-c.loopGives()) - nitrified*c.AmmoniaAdded)
	l.Start, l.MakeUp = quantity.Concentration(v.s.Loop.Begins.Or(c.AlkalinityBefore)), quantity.Concentration(c.AlkalinityBefore)
	if all := v.s.Loop.Volume; all > 0 {
		l.Makes = -quantity.Concentration(float64(v.s.Water.Nitrified(v.s.Loop.Exchange.Or(0), all)) * 1e6 / float64(all))
	}
	return l, true
}

// Nitrified is the alkalinity, as CaCO3, that nitrifying takes of so much water in a day beside what its balance with new water makes up
// for: that of the feed where it is known, else of the ammonia that stands in it. A loop, and a tank that is cleaned up, both take it from here.
func (w Water) Nitrified(exchange quantity.Flow, all quantity.Volume) quantity.MassRate {
	switch {
	case w.Feed.OK && (w.NewAlkalinity || !(exchange > 0) || w.Overfed(exchange)):
		return w.FeedTakes()
	case !w.Feed.OK && (w.NewAlkalinity || !(exchange > 0)):
		return quantity.MassRate(nitrified * float64(w.Ammonia.Or(0)) * float64(all) / 1e6)
	}
	return 0
}

// Overfed reports water whose feed takes more alkalinity than so much new water can bring, so that what was measured in it is no balance
// of the two: something else gives it alkalinity, the chemicals named or one that is not, or it was measured before the animals ate.
func (w Water) Overfed(exchange quantity.Flow) bool {
	return !w.NewAlkalinity && w.Feed.V > 0 && exchange > 0 && w.NewBrings(exchange) > hardestNew
}

// UsualProtein is that of feed where nobody gives it (from memory, not checked).
const UsualProtein quantity.Fraction = 0.40

// nitrogenOf is the ammonia, as N, of a mass of feed: 0.092 of its protein (Timmons and Ebeling, Recirculating Aquaculture; from memory).
func (w Water) nitrogenOf(eaten quantity.MassRate) quantity.MassRate {
	return 0.092 * quantity.MassRate(w.Protein.Or(UsualProtein)) * eaten
}

// FeedTakes is the alkalinity, as CaCO3, that nitrifying the ammonia of a day's feed takes.
func (w Water) FeedTakes() quantity.MassRate { return nitrified * w.nitrogenOf(w.Feed.V) }

// NewBrings is the alkalinity of so much new water that makes up for what a day's feed takes of water that stands at the alkalinity
// given; zero where there is none.
func (w Water) NewBrings(exchange quantity.Flow) quantity.Alkalinity {
	if exchange <= 0 {
		return 0
	}
	return w.Alkalinity.V + quantity.Alkalinity(float64(w.FeedTakes())*1000/24/float64(exchange))
}

// fed is the ammonia, as N, that a day's feed brings into each litre of a loop, or of a tank that is cleaned up.
func (v *reviewer) fed() quantity.Concentration {
	all := v.s.Tank
	if v.s.Loop != nil {
		all = v.s.Loop.Volume
	}
	return quantity.Concentration(float64(v.s.Water.nitrogenOf(v.s.Water.Feed.V)) * 1e6 / float64(all))
}

// unbalanced reports that the alkalinity given is not what new water and nitrification of
// today keep up.
func (v *reviewer) unbalanced() bool {
	return v.s.Water.NewAlkalinity || !(v.s.Loop.Exchange.V > 0) || v.overfed()
}

// hardestNew is the alkalinity of the hardest new water that is plausible, mg/L CaCO3 (common practice, no source).
const hardestNew = 400

// overfed reports a loop that is [Water.Overfed].
func (v *reviewer) overfed() bool { return v.s.Water.Overfed(v.s.Loop.Exchange.Or(0)) }

// feedTells is how near a day's feed tells what is nitrified: protein, what is eaten and what turns to nitrogen gas in mud and filters
// move it by so much either way (our own).
const feedTells = 0.25

// evens reports alkali that a loop is given about as its feed takes it: which of the two is more nobody can tell but by measuring.
func (v *reviewer) evens(l residual.Daily) bool {
	gives := float64(l.Dose) * l.Turnovers(l.Hours)
	return v.s.Water.Feed.V > 0 && l.Makes < 0 && gives > 0 && math.Abs(gives/-float64(l.Makes)-1) <= feedTells
}

// held is how near to what a loop is to be held at counts as there.
const held = 0.99

// lacking is the alkalinity that every pass has to be given, beside all that is dosed, for
// the loop to come to a floor and stay there, between the runs too, in which what nitrifies goes on; below zero where less would do. A loop
// without new water never settles: there it is no less than what is taken, else the level would fall on.
func (v *reviewer) lacking(l residual.Daily, floor quantity.Alkalinity) quantity.Alkalinity {
	more := l
	more.Dose++ // the level goes with the dose in a straight line
	level, _ := v.comes(l)
	raised, _ := v.comes(more)
	need := (quantity.Concentration(floor) - level) / (raised - level)
	rested := l.Rested(level)
	need = max(need, (quantity.Concentration(floor)-rested)/(more.Rested(raised)-rested))
	if _, settles := l.Settles(); !settles && (level < quantity.Concentration(floor) || l.After(1) < l.Start) {
		need = max(need, -l.Dose-l.Makes/quantity.Concentration(l.Turnovers(l.Hours)))
	}
	return quantity.Alkalinity(need)
}

// perDay is what a dose into every pass comes to in a day.
func (v *reviewer) perDay(pass quantity.Concentration) quantity.MassRate {
	return quantity.MassRate(float64(pass) * float64(v.s.Flow.V) * float64(v.s.Hours) / 1000)
}

// LoopAlkalinity is the alkalinity of water that comes round again, dosed and fed the same every day. Tables, cautions and the
// ways to hold it all take it from here. An alkalinity below zero is acid.
type LoopAlkalinity struct {
	// Begins is that with which the days begin, where it is not the water's. EndOfRun is that at the end of the first day's run, Later that after the days looked at, Steady that in the long run,
	// where it settles.
	EndOfRun, Later quantity.Alkalinity
	Begins, Steady  quantity.Known[quantity.Alkalinity]
	// Lacks is the alkali a day, as CaCO3, that holds it at Holds, what it is to keep, beside what new water brings; not given where it stays above
	// that by itself.
	Lacks quantity.Known[quantity.MassRate]
	Holds quantity.Alkalinity
}

// LoopOf is the alkalinity of a situation whose water comes round again; false where too little is known of it.
func LoopOf(s Situation) (LoopAlkalinity, bool) {
	v := &reviewer{s: s, quiet: true}
	if v.s.Hours <= 0 {
		v.s.Hours = 24
	}
	v.chemistry()
	l, ok := v.alkalinityLoop()
	if !ok {
		return LoopAlkalinity{}, false
	}
	return v.comesTo(l), true
}

// comesTo are the levels that a loop's balance goes through.
func (v *reviewer) comesTo(l residual.Daily) LoopAlkalinity {
	a := LoopAlkalinity{Begins: v.s.Loop.Begins, EndOfRun: quantity.Alkalinity(l.After(1)), Later: quantity.Alkalinity(l.After(v.ahead()))}
	if steady, ok := l.Settles(); ok {
		a.Steady = quantity.Some(quantity.Alkalinity(steady))
	}
	a.Holds = v.wantedFloor().floor
	if lacks := v.perDay(quantity.Concentration(v.lacking(l, a.Holds))); lacks > 0 {
		a.Lacks = quantity.Some(lacks)
	}
	return a
}

// loopAlkalinity follows the alkalinity of water that comes round again.
func (v *reviewer) loopAlkalinity() {
	if v.s.Loop == nil || v.out.Water == nil || v.out.Water.AlkalinityUsed == 0 && v.out.Water.Slow == nil && !v.s.Loop.Held {
		return
	}
	l, ok := v.alkalinityLoop()
	switch {
	case !ok:
		v.skip("build-up in the loop: its volume or flow is not given")
		return
	case v.s.Water.Ammonia.V > 0 || v.s.Water.Feed.V > 0:
		v.nitrifies(l)
	}
	if v.evens(l) {
		v.say("loop-feed-evens", Words{"feed": quantity.To(v.s.Water.Feed.V, 3), "takes": v.ofVolume(-l.Makes),
			"gives": v.ofVolume(l.Dose * quantity.Concentration(l.Turnovers(l.Hours)))}, "", note.Place{})
		return
	}
	a := v.comesTo(l)
	v.out.Loop = &a
	if v.out.Water.loopGives() < 0 {
		v.loopRises(l)
	}
	v.loopFalls(l)
}

// FedLoop are the cautions of the alkalinity of a loop that is held without a dose: what nitrifying its feed takes day by day.
func FedLoop(s Situation) []Said {
	v := &reviewer{s: s, quiet: true}
	if v.s.Hours <= 0 {
		v.s.Hours = 24
	}
	v.chemistry()
	v.quiet = false
	v.loopAlkalinity()
	return slices.DeleteFunc(v.said, func(x Said) bool { return x.Level < note.Caution })
}

// ofVolume is what so much in all the water of a loop a day comes to.
func (v *reviewer) ofVolume(c quantity.Concentration) quantity.Rounded {
	return quantity.Rounded{Q: quantity.MassRate(float64(c) * v.s.Loop.Volume.In("m3") / 1000), Unit: "kg/d", Digits: 2, Way: quantity.Trace}
}

// nitrifies says what the ammonia of a loop takes of its alkalinity: that of its feed where
// it is known, else what stands in it.
func (v *reviewer) nitrifies(l residual.Daily) {
	id, why, value := "loop-nitrifies", "the alkalinity is that of the new water", v.s.Water.Ammonia.V
	switch {
	case v.unbalanced() && v.s.Water.Feed.OK:
		id, value = "loop-fed", v.fed()
	case v.unbalanced():
		id = "loop-nitrification"
	}
	if !v.s.Water.NewAlkalinity {
		why = "no new water is given"
	}
	says := note.Say(why)
	if v.overfed() {
		says = note.Say("new water would have to bring %s mg/L CaCO3 for the loop to stand at %s by itself, so its feed is counted",
			quantity.To(v.s.Water.NewBrings(v.s.Loop.Exchange.V), 2).Bare(), amount(float64(v.out.Water.AlkalinityBefore)))
	}
	if value > 0 && !v.evens(l) {
		v.say(id, Words{"value": mgL(value), "takes": mgL(-l.Makes), "why": says, "feed": quantity.To(v.s.Water.Feed.V, 3)}, "", note.Place{})
	}
}

// loopFalls judges a loop that loses alkalinity day by day.
func (v *reviewer) loopFalls(l residual.Daily) {
	c, end := v.out.Water, l.After(1)
	floor, who, source, at := v.alkalinityFloor()
	gone := v.rule("loop-alkalinity-gone")
	want := v.wantedFloor()
	words := Words{"before": amount(float64(l.Start)), "left": amount(max(0, float64(end))), "who": who,
		"how": "within the run", "alone": v.feedAssumed(l),
		"less":     "dose less",
		"exchange": v.exchanges(l, want.floor),
		"aim":      note.Say("").If(want.asked, ", for the %s mg/L CaCO3 %s", amount(float64(want.floor)), want.by),
		"rate":     quantity.Rounded{Q: v.perDay(quantity.Concentration(v.lacking(l, want.floor))), Unit: "kg/d", Digits: 3, Way: quantity.Trace}}
	doses, days := l, v.ahead()        // by which it stops: dosed and fed like this every day
	if !v.s.Loop.Held && v.overfed() { // it stands there as it runs: what is assumed of its feed stops nothing
		doses.Makes = 0
		words["alone"] = note.Say(", by the doses alone,")
	}
	if c.loopGives() == 0 {
		words["less"] = "feed less"
	}
	t, passes := doses.Reaches(quantity.Concentration(gone.Limit), days)
	fed, all := v.s.Water.Feed.V > 0 && l.Makes < 0, float64(v.perDay(quantity.Concentration(v.lacking(l, want.floor))))
	part := float64(-l.Makes) * v.s.Loop.Volume.In("m3") / 1000 // kg/d
	words["fed"] = note.Say("").If(fed && part <= all, " (%s of it for what nitrifying its feed takes)", v.ofVolume(-l.Makes)).
		If(fed && part > all, " (nitrifying its feed takes %s; new water brings the rest)", v.ofVolume(-l.Makes))
	falls := end < l.Start
	once := v.has("alkalinity-gone")                                                        // said of a single pass already
	stops := passes && falls && !once && (c.loopGives() != 0 || v.s.Loop.Held && v.doses()) // what no dose moves is no fault of dosing
	words["when"] = note.Say("after %s (%s turnovers)", quantity.To(t, 3), amount(doses.Turnovers(t)))
	if float64(l.Start) < gone.Limit {
		words["when"] = "before this begins"
	}
	ofDoses := doses.After(1)
	if stops && t > l.Hours {
		ofDoses, _ = v.comes(doses)
		words["how"], words["when"] = "in the days to come", note.Say("on day %s", dayOf(t))
	}
	words["left"] = amount(max(0, float64(ofDoses)))
	v.judge("loop-alkalinity-gone", "", counted(amount(max(0, float64(ofDoses))), gone.Unit), counted(amount(gone.Limit), gone.Unit), stops, words, note.Place{})
	words["left"], words["alone"] = amount(max(0, float64(end))), ""
	level, _ := v.comes(l)
	t, low := v.sinks(l, quantity.Alkalinity(floor))
	judged := stops || !falls || float64(c.AlkalinityLeft) < floor // in a single pass
	ends, comes := v.sinks(l, quantity.Alkalinity(gone.Limit))
	if falls && !stops && !once && (judged || !low) { // else what follows says it
		v.later("the loop's alkalinity falls", l, quantity.Concentration(gone.Limit), gone.Unit, "alkalinity", note.Place{})
	}
	if judged {
		return
	}
	words["stops"] = note.Say("").If(comes && ends > l.Hours && !once && float64(l.Start) >= gone.Limit, ", and to %s on day %s", amount(gone.Limit), dayOf(ends))
	if low && t > l.Hours {
		words["how"], words["left"] = note.Say("in the days to come, below %s from day %s", amount(floor), dayOf(t)), amount(max(0, float64(level)))
	}
	if low && float64(l.Start) < floor { // what stands below it cannot fall below it
		words["how"], words["left"] = note.Say("in the days to come, below %s as this begins", amount(floor)), amount(max(0, float64(level)))
	}
	words["limit"], words["source"] = amount(floor), source
	v.judge("loop-alkalinity-low", who, counted(amount(max(0, float64(level))), gone.Unit), counted(amount(floor), gone.Unit), low, words,
		at)
}

// exchanges says how much new water, with nothing else given, holds a loop at a floor, where less does than goes through the unit. New water is
// taken to bring what the loop has now: where that was measured in it, it brings more, and this much is enough.
func (v *reviewer) exchanges(l residual.Daily, floor quantity.Alkalinity) note.Phrase {
	holds := func(all quantity.Flow) bool {
		l.Exchange = all
		level, _ := v.comes(l)
		return min(level, l.Rested(level)) >= quantity.Concentration(floor)
	}
	low, high := l.Exchange, l.Flow
	if high <= low || !holds(high) {
		return note.Say("exchange more water")
	}
	for high-low > 1e-9*high {
		if mid := (low + high) / 2; holds(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return note.Say("exchange %s of new water of %s mg/L CaCO3", quantity.Rounded{Q: quantity.Daily{Flow: high}, Digits: 3, Way: quantity.Trace}, amount(float64(l.MakeUp))).
		If(v.s.Loop.Exchange.V > 0, " in all")
}

// doses reports that anything is dosed.
func (v *reviewer) doses() bool {
	return slices.ContainsFunc(v.s.Doses, func(d Dose) bool { return d.Dose.Concentration > 0 })
}

// feedAssumed says that the protein of the feed that a held loop is stopped by is assumed, where it is.
func (v *reviewer) feedAssumed(l residual.Daily) note.Phrase {
	assumed := v.s.Loop.Held && l.Makes < 0 && v.s.Water.Feed.V > 0 && !v.s.Water.Protein.OK
	return note.Say("").If(assumed, ", its feed's protein taken as %s,", quantity.To(UsualProtein, 2))
}

// loopRises judges alkali that is given at every pass: what one pass bears may be far too
// much over days. The pH is that of the water it comes to with the carbon dioxide it has
// now, which animals and air keep up.
func (v *reviewer) loopRises(l residual.Daily) {
	c := v.out.Water
	level, how := v.comes(l)
	limit, who := v.rule("loop-alkalinity-high").Limit, "most waters"
	for _, a := range v.s.Stock {
		if high, _ := v.most(a, animal.Alkalinity, "loop-alkalinity-high"); high <= limit {
			limit, who = high, a.who()
		}
	}
	want := v.wantedFloor()
	fed := -quantity.Concentration(c.loopGives()) // no more than that can be fed less
	surplus := -quantity.Concentration(v.lacking(l, want.floor))
	high := float64(level) > limit && level > l.Start
	words := Words{"before": amount(float64(l.Start)), "value": amount(float64(level)), "how": how, "limit": amount(limit), "who": who,
		"less": quantity.Rounded{Q: v.perDay(min(fed, surplus)), Unit: "kg/d", Digits: 3, Way: quantity.Trace},
		"holds": note.Say("").If(surplus <= fed, ", which holds the %s mg/L CaCO3 %s", amount(float64(want.floor)), want.by).
			If(surplus > fed, ", which is all of it: the loop keeps its alkalinity without")}
	unit := v.rule("loop-alkalinity-high").Unit
	v.judge("loop-alkalinity-high", who, counted(amount(float64(level)), unit), counted(amount(limit), unit), high, words, note.Place{})
	if !c.HasPH {
		return
	}
	settled, err := water.FromAlkalinityCO2(c.Before.Conditions, quantity.Alkalinity(max(level, l.Start)), c.Before.CO2)
	if err != nil {
		v.skip("pH that the alkali brings a loop to: " + err.Error())
		return
	}
	if slow := c.Slow; slow != nil && c.AlkalinityUsed >= 0 { // which is all that gives any
		settled.PH = min(settled.PH, max(slow.Ends, c.Before.PH))
	}
	over := v.rule("loop-ph-high")
	v.judge("loop-ph-high", "", note.Say("pH %s", ph(settled.PH)), note.Say("pH %s", amount(over.Limit)), float64(settled.PH) > over.Limit,
		Words{"value": amount(float64(level)), "ph": ph(settled.PH), "how": how}, note.Place{})
}

// Salt is an ion that a chemical leaves in the water.
type Salt struct {
	Chemical, Ion string
	PerPass       quantity.Concentration
	// EndOfRun is what a loop gains by it in the first run, Later in the days looked
	// at, Steady in the long run, which only new water brings about.
	EndOfRun, Later, Steady quantity.Known[quantity.Concentration]
}

// salts follows the ions that stay: the sulfate or chloride of a coagulant, the
// sodium, calcium or magnesium of an alkali.
func (v *reviewer) salts() {
	var solids float64
	var how note.Phrase
	for _, d := range v.s.Doses {
		for _, s := range ionsOf(d) {
			if v.runs() {
				l := v.passing(s.PerPass)
				s.EndOfRun, s.Later = quantity.Some(l.After(1)), quantity.Some(l.After(v.ahead()))
				if steady, ok := l.Settles(); ok {
					s.Steady = quantity.Some(steady)
				}
				var rise quantity.Concentration
				rise, how = v.comes(l)
				solids += float64(rise)
				for _, x := range ionLimits {
					if x.ion == s.Ion && v.fresh() && x.holds(v) {
						v.risen(x.rule, d, l, rise, how)
					}
				}
			}
			v.out.Salts = append(v.out.Salts, s)
		}
	}
	if solids > 0 {
		v.say("loop-salts", Words{"value": amount(solids), "how": how}, "", note.Place{})
		v.salty(solids, how)
	}
}

// ionLimits are the rules that hold an ion of a fresh-water loop, each where the water is what its limit was
// made for: streams where it is let go, taste where it is drunk. Before animals see [ionRules].
var ionLimits = []struct {
	ion, rule string
	holds     func(*reviewer) bool
}{
	{"chloride", "loop-chloride", func(v *reviewer) bool { return v.s.Works() && v.s.Purpose != Drinking }},
	{"chloride", "loop-chloride-taste", func(v *reviewer) bool { return v.s.Purpose == Drinking }},
	{"sulfate", "loop-sulfate", func(v *reviewer) bool { return v.s.Purpose == Drinking }},
}

// salty judges what the salts of all chemicals make of a loop by what its animals live in.
func (v *reviewer) salty(solids float64, how note.Phrase) {
	before := float64(v.s.Water.Salinity.Or(0))
	after := before + solids/1000 // mg/L to g/kg
	for _, a := range v.s.Stock {
		if r, ok := a.Profile.Range(animal.Salinity, a.Stage); ok && r.HasHigh {
			v.judge("loop-salty", a.who(), counted(amount(after), "g/kg"), counted(amount(r.High), "g/kg"), above(after, r.High) && !above(before, r.High),
				Words{"before": amount(before), "value": amount(after), "how": how, "limit": amount(r.High), "who": a.who(), "source": r.From()}, a.At)
		}
	}
}

// risen judges an ion that a loop gains by its limit.
func (v *reviewer) risen(id string, d Dose, l residual.Daily, rise quantity.Concentration, how note.Phrase) {
	r := v.rule(id)
	limit := quantity.Concentration(r.Limit)
	if t, ok := l.Reaches(limit, v.ahead()); ok {
		how = note.Say("%s, past %s mg/L %s", how, mgL(limit), reached(l, t))
	}
	v.judge(id, d.name(), counted(mgL(rise), "mg/L"), counted(mgL(limit), "mg/L"), rise > limit,
		Words{"chemical": d.name(), "value": mgL(rise), "how": how}, d.At)
}

// ions are what doses leave in the water beside the anion of a coagulant or salt: elements
// of the formula that the product is counted as. Ammonia may turn to nitrate, so it is
// counted as nitrogen.
var ions = [][2]string{{"Na", "sodium"}, {"K", "potassium"}, {"Ca", "calcium"}, {"Mg", "magnesium"}, {"N", "ammonia as N"}}

// IonsOf gives the ions that doses into one water leave in it.
func IonsOf(doses []Dose) (out []Salt) {
	for _, d := range doses {
		out = append(out, ionsOf(d)...)
	}
	return out
}

// ionsOf gives the ions that a dose leaves in the water, at every pass.
func ionsOf(d Dose) (out []Salt) {
	add := func(ion string, c quantity.Concentration, err error) {
		if err == nil && c > 0 {
			out = append(out, Salt{Chemical: d.name(), Ion: ion, PerPass: c})
		}
	}
	ion, c, err := d.Product.AnionAdded(d.Dose)
	add(map[string]string{"SO4": "sulfate", "Cl": "chloride", "S2O3": "thiosulfate"}[ion], c, err)
	for _, x := range ions {
		c, err := d.Product.ElementAdded(d.Dose, x[0])
		add(x[1], c, err)
	}
	return out
}
