package caution

import (
	"math"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func fixed(v float64, places int) quantity.Rounded {
	return quantity.Places(quantity.Number(v), places)
}

// AdditionOf is what a dose of a product brings into the water.
func AdditionOf(p product.Product, d quantity.Dose) (water.Addition, error) {
	used, err := p.AlkalinityUsed(d)
	if err != nil {
		return water.Addition{}, err
	}
	add := water.Addition{Acid: used}
	if err := metalOf(&add, p, d); err != nil {
		return add, err
	}
	if add.Ammonia, err = p.AmmoniaAdded(d); err != nil {
		return add, err
	}
	carbon, err := p.CarbonAdded(d)
	add.Carbonate = quantity.Molarity(float64(carbon) / quantity.AtomicMass["C"])
	return add, err
}

// metalOf fills in the metal of a dose. Iron(II) is left out: what acid keeps of it in solution takes oxygen first.
func metalOf(add *water.Addition, p product.Product, d quantity.Dose) error {
	into, basis := &add.Aluminium, quantity.AsAl
	switch {
	case p.Metal() == "Fe" && p.Basis != quantity.AsFeSO4x7:
		into, basis = &add.Iron, quantity.AsFe
	case p.Metal() != "Al":
		return nil
	}
	dosed, err := product.Convert(d, p, basis)
	*into = quantity.Molarity(float64(dosed.Concentration) / quantity.AtomicMass[p.Metal()])
	return err
}

// mostOf is that at the most acid that is plausible where nobody gave a metal's basicity, which assumed tells.
func mostOf(d Dose) (add water.Addition, assumed bool, err error) {
	p, assumed := d.Product.AtMostAcid()
	add, err = AdditionOf(p, d.Dose)
	return add, assumed && err == nil && add.Acid > 0, err
}

// addition is what all doses together bring at once, as far as it is known (see [reviewer.leftOut]), the
// alkalinity that those take which take any, and who gives some back. What dissolves in days is left out: see [Slow].
func (v *reviewer) addition() (sum water.Addition, takes quantity.Alkalinity, givers []string) {
	for _, d := range v.s.Doses {
		one, _, err := mostOf(d)
		if err != nil {
			continue
		}
		if _, slow := water.Slowly(d.Product.Basis); slow {
			continue
		}
		sum, takes = sum.Plus(one), takes+max(one.Acid, 0)
		if one.Acid < 0 {
			givers = append(givers, d.name())
		}
	}
	sum.Acid = v.s.Taken.Or(sum.Acid)
	sum.Carbonate += v.s.Overnight
	return sum, takes, givers
}

// leftOut says of which doses nobody knows what they do to the alkalinity. They count as nothing, since one of them
// must not silence what the others do; what was read on a jar has them in it.
func (v *reviewer) leftOut() {
	if v.s.Water.JarPH.OK && v.s.Water.JarAlkalinityUsed.OK {
		return
	}
	var names []string
	var ask string
	var at note.Place
	for _, d := range v.s.Doses {
		most, assumed, err := mostOf(d)
		if assumed {
			v.say("basicity-assumed", Words{"chemical": d.name(), "takes": amount(float64(most.Acid))}, "", d.At)
		}
		if err != nil && d.Dose.Concentration > 0 {
			if names == nil {
				at, ask = d.At, note.Of(err, "product")[0].Remedy
			}
			names = append(names, d.name())
		}
	}
	if names == nil {
		return
	}
	id := "acid-left-out-some"
	if v.forAnimals() {
		id = "acid-left-out"
	}
	v.say(id, Words{"chemical": join(names), "ask": ask}, "", at)
}

// Conditions are those of the water's chemistry, what is not given filled in.
func (w Water) Conditions() water.Conditions {
	return water.Conditions{Temperature: w.Temperature.Or(quantity.Temperature(RuleNamed("temperature-assumed").Limit)),
		Salinity: w.Salinity.Or(0), Conductivity: w.Conductivity.Or(0)}.WithIonicStrengthOf(w.Alkalinity.Or(0))
}

// before gives the raw water's state, as far as two of its amounts are known.
func (v *reviewer) before() (water.State, bool) {
	w := v.s.Water
	c := w.Conditions()
	var s water.State
	var err error
	switch {
	case w.PH.OK && w.Alkalinity.OK:
		s, err = water.FromPHAlkalinity(c, w.PH.V, w.Alkalinity.V)
	case w.Alkalinity.OK && w.CO2.OK:
		s, err = water.FromAlkalinityCO2(c, w.Alkalinity.V, w.CO2.V)
	case w.PH.OK && w.CO2.OK:
		s, err = water.FromPHCO2(c, w.PH.V, w.CO2.V)
	default:
		return s, false
	}
	if err != nil {
		v.skip("pH and carbon dioxide: " + err.Error())
		return s, false
	}
	return s, true
}

// chemistry works out the water after dosing and judges it.
func (v *reviewer) chemistry() {
	w := v.s.Water
	before, hasState := v.before()
	if !w.Alkalinity.OK && !hasState {
		v.skip("alkalinity left, pH and carbon dioxide: the raw water's alkalinity is not given")
	}
	add, takes, givers := v.addition()
	v.leftOut()
	if !hasState {
		v.unknown(takes)
	}
	if !w.Alkalinity.OK && !hasState {
		return
	}
	c := &Chemistry{AlkalinityBefore: w.Alkalinity.V, AlkalinityUsed: add.Acid, Takes: takes > 0, MeasuredPH: w.JarPH, FromJars: w.FromJars}
	if hasState {
		c.AlkalinityBefore = before.Alkalinity
	}
	c.AlkalinityLeft = c.AlkalinityBefore - w.JarAlkalinityUsed.Or(add.Acid)
	c.AmmoniaAdded = add.Ammonia
	c.FreedCO2 = max(0, water.FreedCO2(min(add.Acid, max(c.AlkalinityBefore, 0))))
	v.out.Water = c
	if hasState {
		v.states(c, before, add)
	}
	v.dissolves(c, add)
	v.carried(c.AlkalinityBefore)
	v.alkalinityLeft(c, w.JarAlkalinityUsed.Or(takes), givers)
	if !hasState {
		if !w.PH.OK && !w.CO2.OK {
			v.skip("pH, carbon dioxide and free ammonia: the raw water's pH is not given")
		}
		return
	}
	if v.quiet {
		v.ammonia(c)
		v.dissolvedLater(c)
		return
	}
	if w.ResidualAl.OK {
		v.doubtful(c, add)
	}
	if !w.Temperature.OK {
		v.say("temperature-assumed", nil, "", note.Place{})
	}
	if w.Salinity.Or(0) > 0 {
		v.say("sea-meter", Words{"above": fixed(float64(before.MeterAbove()), 2)}, "", note.Place{})
	}
	if !c.MeasuredPH.OK && add.Acid != 0 {
		v.say("ph-from-model", v.doubt(c), "", note.Place{})
	}
	v.pH(c)
	v.carbonDioxide(c)
	v.ammonia(c)
	v.dissolvedLater(c)
	v.lessAcid(c, add)
}

// states works out the water after the doses, before and after aeration.
func (v *reviewer) states(c *Chemistry, before water.State, add water.Addition) {
	c.HasPH, c.Before = true, before
	add = v.s.Water.asRead(add)
	from := v.fedOn(before)
	c.Closed, c.Open = water.Dose(from, add)
	if !v.brief {
		c.Spread = water.SpreadOf(from, add)
	}
}

// fedOn is a water of as much carbon dioxide, less the alkalinity that nitrifying the feed has taken of it.
func (v *reviewer) fedOn(before water.State) water.State {
	if v.s.Nitrified <= 0 {
		return before
	}
	after, err := water.FromAlkalinityCO2(before.Conditions, before.Alkalinity-v.s.Nitrified, before.CO2)
	if err != nil {
		v.skip("the pH that nitrifying the feed takes the water to: " + err.Error())
		return before
	}
	return after
}

// asRead takes of a dose's metal no more than a jar was found to hold, floc and dissolved: so much is dissolved at the most.
func (w Water) asRead(add water.Addition) water.Addition {
	least := func(have *quantity.Molarity, read quantity.Known[quantity.Concentration], metal string) {
		if read.OK {
			*have = min(*have, quantity.Molarity(float64(read.V)/quantity.AtomicMass[metal]))
		}
	}
	least(&add.Aluminium, w.ResidualAl, "Al")
	least(&add.Iron, w.ResidualFe, "Fe")
	return add
}

// Doubt is how far the computed pH is good on either side: by the age of the floc where much metal stays
// dissolved, and by what salts do to carbonate where there is much of it.
func (c Chemistry) Doubt() quantity.PH { return c.Most(c.Closed) }

// Ages reports that the age of the floc moves the pH by more than the model is good for.
func (c Chemistry) Ages() bool {
	return math.Abs(float64(c.Aged.PH-c.Closed.PH)) > float64(water.Uncertainty)
}

// Good says of a computed pH how good it is, in the words of every answer: where the age of the floc moves it, both ends.
func (c Chemistry) Good() note.Phrase {
	if !c.Ages() {
		return note.Say("is good to about %s", amount(float64(c.Doubt())))
	}
	return note.Say("is %s with fresh floc", ph(c.Closed.PH)).If(!c.MeasuredPH.OK, ", by which the checks go,").
		And(" and comes to %s once the floc has aged", ph(c.Aged.PH)).If(!c.MeasuredPH.OK, ": either may be read")
}

// doubt fills in the note on a computed pH: which figure, how good it is, and why.
func (v *reviewer) doubt(c *Chemistry) Words {
	good := amount(float64(c.Doubt()))
	how, salts := c.Good(), c.Salts > water.Uncertainty
	switch {
	case c.Ages():
		how = how.If(salts, ", and the water's salts move both by about %s", amount(quantity.RoundSig(float64(c.Salts), 1)))
	case salts:
		how = how.And(": the water's salts, and calcium that pairs with carbonate, move it")
	}
	how = how.If(salts && !v.s.Water.Conductivity.OK, " (conductivity is not given, so the salts are taken that usually go with such alkalinity)")
	return Words{"limit": good, "how": how}
}

// unknown says what is not known of water that animals get and that a dose takes from.
func (v *reviewer) unknown(takes quantity.Alkalinity) {
	if !v.forAnimals() || takes <= 0 {
		return
	}
	missing := "pH"
	if !v.s.Water.Alkalinity.OK {
		missing = "alkalinity"
	}
	v.say("water-unknown", Words{"missing": missing, "takes": amount(float64(takes))}, "", note.Place{})
}

// Acidic is about the pH below which a water lies that has acid over: without metal below 4.5, the end point of the titration of
// alkalinity (Standard Methods for the Examination of Water and Wastewater, 2320 B; from memory), and up to
// 5.5 with aluminium that stays dissolved.
const Acidic quantity.PH = 5.5

// remaining says how much alkalinity is left: nothing falls below none.
func remaining(a quantity.Alkalinity) note.Phrase {
	if a <= 0 {
		return note.Say("none")
	}
	return note.Say("%s mg/L CaCO3", amount(float64(a)))
}

// alkalinityLeft judges what the doses leave. Where one of them takes alkalinity, what
// is left after all of them has to do, whether another gives some or not. A dose stops that leaves less than the limit, also of water
// that has less by itself, unless it takes no more than a kit can tell and leaves as much as that again.
func (v *reviewer) alkalinityLeft(c *Chemistry, takes quantity.Alkalinity, givers []string) {
	left := float64(c.AlkalinityLeft)
	uses := c.AlkalinityUsed > 0
	gone := v.rule("alkalinity-gone")
	gone.Limit = v.goneAt()
	most := c.AlkalinityLeft < takes // of what there was is taken
	stops := c.Takes && (left < gone.Limit || left <= 0) && (most || c.AlkalinityBefore-c.AlkalinityLeft >= alkalinityTells)
	words := Words{"before": amount(float64(c.AlkalinityBefore)), "left": remaining(c.AlkalinityLeft)}
	words["consent"] = v.consentWords()
	words["below"] = note.Say("").If(gone.Limit > 0, ", below %s", amount(gone.Limit)).If(gone.Limit > 0 && most, " and below what the dose takes")
	words["twice"] = note.Say("a dose twice as large leaves nothing to hold the pH")
	switch {
	case !most:
		words["twice"] = note.Say("little is left to hold the pH")
	case left <= 0:
		words["twice"] = note.Say("this dose leaves nothing to hold the pH").
			If(left < 0, ", and %s mg/L CaCO3 of acid over", amount(-left))
	}
	words["twice"] = words["twice"].(note.Phrase).And("%s", v.goesTo(c))
	if words["goes"], words["feed"] = "falls", "feed alkali first"; !uses {
		words["goes"], words["feed"] = "comes only", "feed more alkali"
	}
	v.judge("alkalinity-gone", "", counted(amount(max(0, left)), gone.Unit), counted(amount(gone.Limit), gone.Unit), stops, words, note.Place{})
	if stops {
		return
	}
	if without := float64(c.AlkalinityBefore - takes); c.Takes && len(givers) > 0 {
		v.judge("alkalinity-rests", "", counted(amount(max(0, without)), gone.Unit), counted(amount(gone.Limit), gone.Unit), without < gone.Limit,
			Words{"chemical": join(givers), "without": remaining(quantity.Alkalinity(without)), "left": remaining(c.AlkalinityLeft)}, note.Place{})
	}
	floor, who, source, at := v.alkalinityFloor()
	asks := v.s.Water.Floor
	asked := asks.OK && (float64(asks.V) >= floor || below(left, float64(asks.V))) && !v.runs() // a loop is held to it by its own rule
	if asked {
		floor, who, source, at = float64(asks.V), "the site", siteItself, asks.At
	}
	words["limit"], words["who"], words["source"] = amount(floor), who, source
	// Soft water of which a dose takes little is told apart, once: a loop takes it again, and what a site asks for it is to
	// have. Both what is left and the share that is taken are worse the less there is and the more is dosed, so worse
	// water is never told of more quietly.
	// Works' water that an alkali gives back too little stands on as little as if none did.
	short := v.s.Works() && c.Takes && c.AlkalinityLeft < takes
	little := !v.runs() && !asked && !short && !water.TakesMuch(c.AlkalinityBefore, c.AlkalinityLeft)
	low := (uses || short) && below(left, floor)
	lacks := below(float64(c.AlkalinityBefore), floor)
	little = little && (lacks || !v.s.Pond) // a pond keeps what the dose makes of it, as no new water comes after
	words["lacks"] = note.Say("").If(lacks, ", which this water does not have by itself")
	held := v.s.Works() && !asked && v.heldRight()                      // it is put right after
	if calls := low && !little && !held; calls || !below(left, floor) { // else the limit is passed, and what follows, or nothing, tells it: no check that passes
		v.judge("alkalinity-low", who, counted(amount(max(0, left)), gone.Unit), counted(amount(floor), gone.Unit), calls, words, at)
	}
	if low && little && !held {
		words["lacks"] = note.Say("").If(lacks, ", which this water does not have by itself").If(!lacks, ", and the dose brings it below")
		v.say("alkalinity-stands", words, who, at)
	}
}

// goesTo says of water whose alkalinity a stop finds gone what its pH comes to, and what acid keeps of the metal there, unless the
// stop of the pH says that.
func (v *reviewer) goesTo(c *Chemistry) note.Phrase {
	over := c.AlkalinityLeft < 0
	to := note.Say("").If(over && c.Acid(), ", which takes it to about %s", ph(c.PH())).
		If(over && !c.HasPH, ", which takes it below about %s", amount(float64(Acidic)))
	if v.tooLow(c) {
		return to
	}
	lead := note.Say("; at pH %s ", ph(c.PH()))
	if to.Format != "" {
		lead = note.Say("; there ")
	}
	return to.And("%s", v.keeps(c, lead))
}

// goneAt is the alkalinity below which a dose stops a plan. Works that treat water for no animals coagulate coloured and soft water
// at pH 5.5 to 6.5 and put it right after (common practice, no source): there it stops where none is left, for then nothing holds
// the pH at all.
func (v *reviewer) goneAt() float64 {
	if v.s.Works() {
		return 0
	}
	return v.rule("alkalinity-gone").Limit
}

// alkalinityFloor is the highest of what the animals should have, who wants it
// and where that figure comes from: empty for the general one.
func (v *reviewer) alkalinityFloor() (floor float64, who, source string, at note.Place) {
	general := v.rule("alkalinity-low")
	floor, who = general.Limit, "most waters"           // the rule's own source, with its standing
	if gone := v.rule("alkalinity-gone"); v.s.Works() { // which puts its water right last
		floor, who, source = gone.Limit, "treated water", gone.Source
	}
	for i, a := range v.s.Stock {
		own, from := general.Limit, ""
		if r, ok := a.Profile.Range(animal.Alkalinity, a.Stage); ok && r.HasLow {
			own, from = r.Low, r.From()
		}
		if a.AlkalinityLow.OK {
			own, from = float64(a.AlkalinityLow.V), siteItself
		}
		if i == 0 || own > floor {
			floor, who, source, at = own, a.who(), from, a.At
		}
	}
	return floor, who, source, at
}

// AlkalinityAsked is the most that the animals of a situation should have, and which of them; false where it is
// no more than what most waters should.
func (s Situation) AlkalinityAsked() (quantity.Alkalinity, string, bool) {
	v := &reviewer{s: s}
	floor, who, _, _ := v.alkalinityFloor()
	return quantity.Alkalinity(floor), who, floor > v.rule("alkalinity-low").Limit
}

// wanted is the alkalinity that treated water is to keep, and who wants it.
type wanted struct {
	floor quantity.Alkalinity
	by    note.Phrase // "that trout should have"
	asked bool        // by the site, whose word counts
	given bool        // the site asks for some
}

// wantedFloor is the higher of what the animals should have and what the site asks for. Water
// that passes once and holds no animals has what its site asks for, though most waters have more.
func (v *reviewer) wantedFloor() wanted {
	floor, who, _, _ := v.alkalinityFloor()
	asks := v.s.Water.Floor
	if asks.OK && (float64(asks.V) >= floor || len(v.s.Stock) == 0 && !v.runs()) {
		return wanted{asks.V, note.Say("that the site asks for"), true, true}
	}
	return wanted{quantity.Alkalinity(floor), note.Say("that %s should have", who), false, asks.OK}
}

// goal is an alkalinity to hold, with who wants it where the site asks for another.
func (w wanted) goal() note.Phrase {
	return note.Say("alkalinity %s mg/L CaCO3", amount(float64(w.floor))).If(w.given && !w.asked, " %s", w.by)
}

// siteItself is the source of what the site's keeper stated.
const siteItself = "the site"

// pH judges the treated water's pH.
func (v *reviewer) pH(c *Chemistry) {
	after, start := c.PH(), c.Before.PH
	uses, gives := c.AlkalinityUsed > 0, c.AlkalinityUsed < 0
	words := Words{"before": ph(start), "after": ph(after), "moment": v.moment(), "beyond": 0.0}
	doubt := 0.0 // of a computed pH: within it nothing is stopped
	if !c.MeasuredPH.OK {
		doubt = float64(c.Above(c.Closed))
	}
	b := v.phBounds()
	low := amount(b.low)
	tooLow, tooHigh := v.tooLow(c), gives && b.stopsHigh && float64(after) > b.high+doubt
	words["beyond"], words["keeps"] = float64(after)-b.low, v.keeps(c, note.Say("; there "))
	v.judge("ph-too-low", "", note.Say("pH %s", ph(after)), note.Say("pH %s", low), tooLow, words, note.Place{})
	words["beyond"] = float64(after) - b.high
	words["limit"], words["source"] = amount(b.high), b.highSource
	v.judge("ph-too-high", "", note.Say("pH %s", ph(after)), note.Say("pH %s", amount(b.high)), tooHigh, words, note.Place{})
	if tooLow || tooHigh {
		return
	}
	if !v.forAnimals() { // else their own range says it
		k, consent := v.careful(b.care)
		missed := min(doubt, k.within) // by rules for supply, a computed pH may be off by that
		supplied := v.s.Purpose == Drinking
		sour, alkaline := float64(after) < k.low-missed, float64(after) > k.high+missed
		// what is supplied has to be within, whatever brought it there; other water may leave as it came
		beyond := (uses || supplied) && sour || (gives || supplied) && alkaline
		held := v.heldRight()
		v.out.phGone = beyond && v.has("alkalinity-gone") // which says it: one danger, one alarm
		beyond = beyond && !v.out.phGone
		if beyond && held {
			v.say("ph-to-be-held", Words{"before": ph(start), "after": ph(after),
				"hold": note.Say("pH %s", amount(float64(v.s.Water.Hold.V)))}, "", note.Place{})
		}
		if beyond == (sour || alkaline) || v.out.phGone {
			v.judge("ph-beyond", "", note.Say("pH %s", ph(after)), note.Say("%s to %s", amount(k.low), amount(k.high)), beyond && !held && !consent,
				Words{"before": ph(start), "after": ph(after), "beyond": outBy(float64(after), k.low, k.high), "low": amount(k.low), "high": amount(k.high), "by": note.Say("").If(k.by != "", " (%s)", k.by),
					"source": k.source}, note.Place{})
		}
	}
	v.phRanges(c)
}

// tooLow reports a pH that stops a plan. What only lowers it further, as floc that ages in acid, is no doubt of it.
func (v *reviewer) tooLow(c *Chemistry) bool {
	b, doubt := v.phBounds(), quantity.PH(0)
	if !c.MeasuredPH.OK {
		doubt = c.Above(c.Closed)
	}
	return c.HasPH && c.AlkalinityUsed > 0 && b.stopsLow && float64(c.PH()+doubt) < b.low
}

// careful is the pH that water for no animal is held to: what the site's discharge consent says goes before a limit from memory, and
// judges it by itself; what is drunk goes by its own rules.
func (v *reviewer) careful(care phCare) (k phCare, consent bool) {
	if lo, hi, ok := v.consentPH(); ok && v.s.Purpose != Drinking {
		return phCare{low: float64(lo), high: float64(hi)}, true
	}
	return care, false
}

// heldRight reports that the site holds a pH after the dose that such water should have.
func (v *reviewer) heldRight() bool {
	k, _ := v.careful(v.phBounds().care)
	hold := v.s.Water.Hold
	return hold.OK && float64(hold.V) >= k.low && float64(hold.V) <= k.high
}

// phRanges judges it by what each animal is comfortable in, and the step that they feel.
func (v *reviewer) phRanges(c *Chemistry) {
	after, start := c.PH(), c.Before.PH
	for _, a := range v.s.Stock {
		r, source := v.phRange(a)
		lo, hi := quantity.PH(r.Low), quantity.PH(r.High)
		v.judge("ph-outside-range", a.who(), note.Say("pH %s", ph(after)), note.Say("%s to %s", ph(lo), ph(hi)),
			after < lo-missedPH || after > hi+missedPH, Words{"after": ph(after), "when": v.dosedFrom(start), "beyond": outBy(float64(after), r.Low, r.High), "low": amount(r.Low), "high": amount(r.High), "who": a.who(), "source": source}, a.At)
	}
	if v.forAnimals() {
		v.phStep(float64(v.s.Step.Or(quantity.PH(math.Abs(float64(after - start))))))
	}
}

// phBounds are the pH that stop a plan, and whether they do so here: water that is for no
// animal has no lowest, nor a highest unless it is for drinking. Care is where a caution begins.
type phBounds struct {
	low, high           float64
	stopsLow, stopsHigh bool
	highSource          string // empty for the rule's own
	care                phCare
}

func (v *reviewer) phBounds() phBounds {
	low, high := v.rule("ph-too-low"), v.rule("ph-too-high")
	guarded := v.forAnimals() || !v.s.NoneReached && (v.s.Purpose == Animals || v.s.Purpose == Unsaid)
	b := phBounds{low: low.Limit, high: high.Limit, stopsLow: guarded, stopsHigh: guarded || v.s.Purpose == Drinking, care: phCare{low: low.Limit, high: high.Limit}}
	if v.s.Purpose != Drinking || v.forAnimals() {
		return b
	}
	b.high, b.highSource = supplyPH, "from memory, not checked in its source: the limit of Directive (EU) 2020/2184, annex I C, for want of one that binds elsewhere"
	b.care.high = math.Inf(1)
	for _, k := range supplyCare {
		if (v.s.Rules == "" || v.s.Rules == k.by) && k.high < b.care.high {
			b.care = k
		}
	}
	return b
}

// outBy is how far a figure lies above the higher of two bounds, or below the lower (less than zero).
func outBy(v, low, high float64) float64 { return max(v-high, 0) + min(v-low, 0) }

// moment says of a run when it is judged; nothing of a plan.
func (v *reviewer) moment() note.Phrase {
	s := v.s.Since
	if v.then.Format != "" {
		return v.then
	}
	return note.Say("").If(s.OK && s.V <= 0, " as the run starts").If(s.V > 0, " after %s of the run", quantity.To(s.V, 2)).
		If(s.V > 0 && v.s.Nitrified > 0, " and its feed")
}

// dosedFrom says what a pH is that of, beside the pH before any dose.
func (v *reviewer) dosedFrom(before quantity.PH) note.Phrase {
	switch m := v.moment(); {
	case v.then.Format != "":
		return m.And(" (%s before it)", ph(before))
	case v.s.Since.OK:
		return m.If(v.s.Since.V > 0, " (%s as it starts)", ph(before))
	}
	return note.Say(" after dosing (%s before it)", ph(before))
}

// missedPH is how far a pH may lie outside a range before it is said.
const missedPH = 0.05

// phSteps are the rules of a change of pH that animals feel at a time, of what they bear and of what shocks them: salt water, whose pH hardly
// moves by itself, has narrower ones.
func (v *reviewer) phSteps() (borne, shock string) {
	if v.fresh() {
		return "ph-step-some", "ph-step"
	}
	return "ph-step-sea-some", "ph-step-sea"
}

// phStep judges the change that animals feel when dosing begins: one that jar tests
// usually make is a note.
func (v *reviewer) phStep(step float64) {
	some, id := v.phSteps()
	step = math.Round(step*100) / 100 // as it is told, so that no 0.50 is more than 0.5
	shocks := above(step, v.rule(id).Limit)
	words := Words{"step": fixed(step, 2), "when": "when dosing starts or stops"}
	if v.s.Pond && !v.s.Piped {
		words["when"] = "in one go"
	}
	v.judge(id, "", counted(fixed(step, 2), "pH"), counted(amount(v.rule(id).Limit), "pH"), shocks, words, note.Place{})
	if !shocks && above(step, v.rule(some).Limit) {
		v.say(some, words, "", note.Place{})
	}
}

// most is the highest that an animal should have, else a rule's limit, whose source
// is then the rule's. What the site says itself goes before.
func (v *reviewer) most(a Animal, q animal.Parameter, id string) (limit float64, source string) {
	if q == animal.CO2 && a.CO2High.OK {
		return float64(a.CO2High.V), siteItself
	}
	if r, ok := a.Profile.Range(q, a.Stage); ok && r.HasHigh {
		return r.High, r.From()
	}
	return v.rule(id).Limit, ""
}

// onePass is the water after one pass of a run, whose doses are those of all passes; the
// treated water itself where there is no run.
func (v *reviewer) onePass(c *Chemistry) water.State {
	if v.s.Once == nil {
		return c.Closed
	}
	all := v.s
	v.s.Doses, v.s.Taken.OK = v.s.Once, false
	add, _, _ := v.addition()
	v.s = all
	closed, _ := water.Dose(c.Before, add)
	return closed
}

// escapes is how many times what an animal bears a run may free as if none of it escaped: in the
// hours that it takes, open water loses about half of it (common practice, no source).
const escapes = 2

// carbonDioxide judges what acid frees: of a run at its worst, where none escapes in all that
// time, beside what one pass frees.
func (v *reviewer) carbonDioxide(c *Chemistry) {
	once := v.onePass(c).CO2
	for _, a := range v.s.Stock {
		limit, source := v.most(a, animal.CO2, "co2-far")
		id := "co2-high"
		if source == "" {
			id = "co2-far"
		}
		words := Words{"before": mgL(c.Before.CO2), "after": mgL(once), "limit": amount(limit), "who": a.who(), "source": source, "knows": note.Phrase{}}
		if r, ok := told(a, animal.CO2); ok {
			words["knows"] = note.Say(" (%s mg/L: %s)", amount(r.High), quantity.Told(r.Note, nil))
		}
		raised := once > c.Before.CO2
		high := raised && above(float64(once), limit)
		run := v.s.Once != nil && c.Closed.CO2 > c.Before.CO2 && above(float64(c.Closed.CO2), limit)
		near := v.nearCO2(c, once, limit)
		about := near && !run && (high || raised && source != "") // from a pH that may be off by that it is as likely on the other side
		if about {
			words["doubt"] = amount(float64(c.Above(c.Closed)))
			v.say("co2-about", words, a.who(), a.At)
		}
		v.judge(id, a.who(), counted(mgL(once), "mg/L"), counted(amount(limit), "mg/L"), high && !run && !about, words, a.At)
		if high && !run && !about {
			v.stripTo(c, a)
		}
		if source == "" && !high && !run {
			v.co2Some(c, a, words)
		}
		if run { // it is judged at its worst, as pH and alkalinity are
			words["after"], words["once"] = mgL(c.Closed.CO2), v.alsoOnce(high, once)
			words["of"] = note.Say("%s should have", a.who())
			if source == "" {
				words["of"] = note.Say("no limit of %s is known%s, tilapia, which bear much, should have", a.who(), words["knows"])
			}
			rule := "co2-run" // where one pass is too much, a run is no less grave than a plan of it
			if float64(c.Closed.CO2) < escapes*limit && (!high || near) {
				rule = "co2-run-some"
			}
			v.say(rule, words, a.who(), a.At)
			v.stripTo(c, a)
		}
	}
}

// stripTo strips down to what an animal should have; where nobody knows that, to what the tenderest of the table should.
func (v *reviewer) stripTo(c *Chemistry, a Animal) {
	if limit, source := v.most(a, animal.CO2, "co2-far"); source != "" {
		v.strip(c, a.who(), "", quantity.Concentration(limit))
		return
	}
	v.strip(c, a.who(), "trout", quantity.Concentration(v.rule("co2-some").Limit))
}

// nearCO2 reports carbon dioxide that lies as near to a limit, on either side, as the pH that it is computed from tells.
func (v *reviewer) nearCO2(c *Chemistry, co2 quantity.Concentration, limit float64) bool {
	return !v.s.Water.CO2.OK && math.Abs(math.Log10(float64(co2)/limit)) <= float64(c.Above(c.Closed))/2
}

// alsoOnce is what one pass of a run brings, or one go of a pond, where that is too much already.
func (v *reviewer) alsoOnce(high bool, once quantity.Concentration) note.Phrase {
	what := "pass"
	if v.s.Goes > 1 {
		what = "go"
	}
	return note.Say("").If(high, ", and to %s in one %s", mgL(once), what)
}

// co2Some tells of carbon dioxide that the hardiest of the table bear and the tenderest do not, for an animal of which
// no limit is known: of one pass, else of all passes of a run together.
func (v *reviewer) co2Some(c *Chemistry, a Animal, words Words) {
	some := v.rule("co2-some").Limit
	once := v.onePass(c).CO2
	words["limit"] = amount(some)
	high := once > c.Before.CO2 && above(float64(once), some)
	near := once > c.Before.CO2 && v.nearCO2(c, once, some)
	words["near"] = note.Say("").If(near, ", and a pH good to %s tells no nearer", amount(float64(c.Above(c.Closed))))
	switch {
	case v.s.Once == nil && (high || near):
		v.say("co2-some", words, a.who(), a.At)
		if high && !near {
			v.stripTo(c, a)
		}
	case v.s.Once != nil && c.Closed.CO2 > c.Before.CO2 && above(float64(c.Closed.CO2), some):
		words["after"], words["once"] = mgL(c.Closed.CO2), v.alsoOnce(high, once)
		words["of"] = note.Say("no limit of %s is known%s, trout, which bear little, should have", a.who(), words["knows"])
		v.say("co2-run-some", words, a.who(), a.At)
		v.stripTo(c, a)
	}
}

// ammonia judges free ammonia in the treated water, held against the same water without
// the dose. Only a dose that makes it deadly is a stop; a water that is deadly as it comes,
// or that becomes so by losing its carbon dioxide to the air, which it seldom does to the
// end, is a caution.
func (v *reviewer) ammonia(c *Chemistry) {
	w := v.s.Water
	if !v.forAnimals() {
		return
	}
	brought := v.brought(c.AmmoniaAdded)
	switch {
	case w.Ammonia.OK:
	case w.Feed.V > 0 && (v.runs() || v.s.Loop == nil && v.s.Tank > 0):
		v.say("nh3-from-feed", Words{"value": mgL(v.fed()), "feed": quantity.To(w.Feed.V, 3)}, "", note.Place{})
		v.ammoniaUnknown(c) // what would stand there without a filter is no reading to judge by
		return
	case brought > 0:
		v.skip("free ammonia that stands in the water: total ammonia is not given, so what the doses bring is judged alone")
	default:
		v.ammoniaUnknown(c)
		return
	}
	stands := w.Ammonia.Or(0)
	total := stands + brought
	assumed := v.rule("nh3-temperature")
	if !w.Temperature.OK {
		v.say("nh3-temperature", nil, "", note.Place{})
	}
	free := func(s water.State, asN quantity.Concentration) quantity.Concentration {
		s.Temperature = w.Temperature.Or(quantity.Temperature(assumed.Limit))
		return s.NH3(asN)
	}
	c.HasNH3 = true
	closed := c.Closed
	closed.PH = c.PH() // the jar's goes before a computed one
	c.NH3Before, c.NH3Closed, c.NH3Open = free(c.Before, stands), free(closed, total), free(c.Open, total)
	c.NH3BeforeOpen = free(c.Before.Aerated(water.Air), stands)
	if v.fresh() && w.Temperature.OK {
		_, chronic := water.AmmoniaCriteria(c.PH(), w.Temperature.V)
		limit := quantity.RoundSig(float64(chronic), 2)
		v.judge("tan-criterion", "", counted(mgL(total), "mg/L as N"), counted(amount(limit), "mg/L as N"), float64(total) > limit,
			Words{"value": mgL(total), "limit": amount(limit), "ph": ph(c.PH()), "temperature": degrees(w.Temperature.V)}, note.Place{})
	}
	for _, a := range v.s.Stock {
		v.freeAmmonia(c, a)
	}
}

// freeAmmonia judges it for one animal: what kills first, then what is too much.
func (v *reviewer) freeAmmonia(c *Chemistry, a Animal) {
	words := Words{"before": mgL(c.NH3Before), "rawph": ph(c.Before.PH), "after": mgL(c.NH3Closed), "ph": ph(c.PH()), "open": mgL(c.NH3Open), "openph": ph(c.Open.PH),
		"without": mgL(max(c.NH3Before, c.NH3BeforeOpen)), "stood": note.Say("without dosing"), "dosed": note.Say("with it"), "moment": v.moment(), "who": a.who(), "adds": v.adds(c.AmmoniaAdded),
		"air": note.Say("").If(c.NH3Open > c.NH3Closed*Raises, "; it comes to as much as %s (pH %s) as the water loses its carbon dioxide to the air", mgL(c.NH3Open), ph(c.Open.PH))}
	found := func(n quantity.Concentration) note.Phrase { return counted(mgL(n), "mg/L NH3") }
	raised := c.NH3Closed > c.NH3Before*Raises
	worst := c.NH3Closed // that the animals get
	if v.s.Pond {        // they stand in the raw water too
		worst = max(worst, c.NH3Before)
		words["stood"] = note.Say("before dosing")
	}
	if since := v.s.Since; since.OK {
		worst = max(worst, c.NH3Before)
		words["stood"], words["dosed"] = note.Say("as the run starts"), note.Say("after %s of it", quantity.To(since.V, 2))
	}
	if r, ok := a.Profile.Kills(a.Stage); ok {
		lethal := quantity.Concentration(r.Low)
		words["limit"], words["source"], words["stage"] = amount(r.Low), r.From(), ofStage(r, a)
		kills := c.NH3Closed >= lethal && c.NH3Before < lethal
		v.judge("nh3-lethal", a.who(), found(c.NH3Closed), found(lethal), kills, words, a.At)
		stood := max(c.NH3Closed, c.NH3Before)
		stands := !kills && stood >= lethal
		v.judge("nh3-deadly", a.who(), found(stood), found(lethal), stands, words, a.At)
		if kills || stands {
			return
		}
		aerated := c.NH3Open >= lethal // with the dose or without: what air makes of the water is as deadly
		v.judge("nh3-aerated-lethal", a.who(), found(c.NH3Open), found(lethal), aerated, words, a.At)
		if aerated {
			return
		}
	}
	limit, source := v.most(a, animal.NH3, "nh3-high")
	words["limit"], words["source"], words["whose"], words["stage"] = amount(limit), source, v.whose(source), note.Phrase{}
	if r, ok := a.Profile.Range(animal.NH3, a.Stage); ok {
		words["stage"] = ofStage(r, a)
	}
	high, stood := above(float64(worst), limit), above(float64(c.NH3Before), limit)
	bears := limit * bearsMuch
	if source != "" { // a figure of its own
		bears = limit * bearsSome
	}
	id := "nh3-high"
	switch {
	case high && !raised && float64(worst) >= bears:
		id = "nh3-still"
	case high && !raised:
		id = "nh3-stands"
	}
	v.judge(id, a.who(), found(worst), found(quantity.Concentration(limit)), high, words, a.At)
	c.airFrees = c.airFrees || above(float64(c.NH3Open), limit)
	switch {
	case high:
	case stood: // what the dose lowers
		v.judge("nh3-lowered", a.who(), found(c.NH3Before), found(quantity.Concentration(limit)), true, words, a.At)
	default: // water seldom comes to its balance with air: less than would call for a caution is in the table alone
		v.judge("nh3-aerated", a.who(), found(c.NH3Open), found(quantity.Concentration(bears)), float64(c.NH3Open) >= bears, words, a.At)
	}
}

// ofStage names the stage of life that a figure is of, where it is not the animal's own.
func ofStage(r animal.Range, a Animal) note.Phrase {
	return note.Say("").If(r.Stage != "" && r.Stage != a.Stage, " (figure for %s", string(r.Stage)).
		If(r.Stage != "" && r.Stage != a.Stage && a.Stage == "", ", the least of all stages").If(r.Stage != "" && r.Stage != a.Stage, ")")
}

// whose says of the general limit of free ammonia that it is no figure of the animal.
func (v *reviewer) whose(source string) note.Phrase {
	switch {
	case source != "":
		return note.Phrase{}
	case v.fresh():
		return note.Say(", the guideline for fresh waters in general")
	}
	return note.Say(", the guideline for fresh waters: none for the sea is held here")
}

// bearsSome and bearsMuch are how many times its limit ammonia that no dose raises must be to
// be a caution: less is told as it stands, and a dose that brings it down to less does good.
// A limit that is not the animal's calls for the higher (common practice, no source).
const bearsSome, bearsMuch = 2, 5

// muchAmmonia is the total ammonia, as N, that water with animals plausibly has at the worst: a pH at
// which little of it is free is no danger (common practice, no source).
const muchAmmonia quantity.Concentration = 3

// Raises is how many times over a dose must bring free ammonia up to be said to raise it.
const Raises = 1.02

// ammoniaUnknown says what a dose does to ammonia that nobody measured.
func (v *reviewer) ammoniaUnknown(c *Chemistry) {
	v.skip("free ammonia: total ammonia is not given")
	r := v.rule("nh3-unknown")
	times := float64(c.Closed.NH3(1)) / float64(c.Before.NH3(1))
	much := float64(c.Closed.NH3(muchAmmonia)) > v.rule("nh3-high").Limit
	v.judge("nh3-unknown", "", note.Say("%s times", amount(times)), note.Say("%s times", amount(r.Limit)), times > r.Limit && much,
		Words{"times": amount(times), "before": ph(c.Before.PH), "after": ph(c.Closed.PH)}, note.Place{})
}
