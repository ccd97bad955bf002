package caution

import (
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
			oxygen := float64(c.Concentration) * v.rule("ferrous-oxygen").Limit
			v.say("ferrous-oxygen", Words{"chemical": d.name(), "value": amount(oxygen)}, d.name(), d.At)
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
	judge(&r, at)
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

// bound keeps a limit that a rule of some level holds a residual against.
func (r *Residual) bound(level note.Level, c quantity.Concentration) {
	if level == note.Stop {
		r.StopAt = quantity.Some(c)
	} else if level == note.Caution {
		r.CareAt = quantity.Some(c)
	}
}

func (r *Residual) limit(c quantity.Concentration, name string) {
	r.Limit, r.LimitName = quantity.Some(c), name
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
	words["value"], words["what"], words["limit"], words["when"] = mgL(value), what, mgL(limit), note.Phrase{}
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
	if !r.Expected.OK {
		tell("al-not-measured", nil)
	}
	v.dissolved(r, at)
	if v.forAnimals() {
		tell("al-mixing-point", nil)
	}
	if v.salt() {
		r.limit(water.MarineAluminium, "marine guideline, ecosystems")
		if value, _ := r.of(); !v.exceeds("al-marine", r, water.MarineAluminium, Words{}, at) {
			tell("al-marine-below", Words{"value": mgL(value)})
		}
	}
	if !v.fresh() || v.s.Purpose == Drinking {
		return
	}
	if c == nil || !c.HasPH || !w.Hardness.OK || !w.DOC.OK {
		v.skip("aluminium against the fresh-water criterion: it needs pH, alkalinity, hardness and DOC")
		return
	}
	crit := water.Aluminium(c.PH(), quantity.Alkalinity(w.Hardness.V), w.DOC.V)
	c.Aluminium = quantity.Some(crit)
	tell("al-raw-doc", nil)
	if crit.Capped {
		tell("al-capped", nil)
	}
	if crit.Extrapolated {
		tell("al-extrapolated", Words{"ph": ph(c.PH())})
	}
	published := func(c quantity.Concentration) quantity.Concentration {
		return quantity.Concentration(quantity.RoundSig(float64(c), 2))
	}
	acute, chronic := published(crit.Acute), published(crit.Chronic)
	words := Words{"ph": ph(c.PH()), "hardness": mgL(w.Hardness.V), "doc": mgL(w.DOC.V)}
	r.bound(v.rule("al-acute").Level, acute)
	r.bound(v.rule("al-chronic").Level, chronic)
	if !v.salt() {
		r.limit(chronic, "chronic criterion, fresh-water life")
	}
	switch {
	case !r.Expected.OK:
		v.exceeds("al-whole-dose", r, chronic, words, at)
	case v.exceeds("al-acute", r, acute, words, at):
		r.limit(acute, "acute criterion, fresh-water life")
	default:
		v.exceeds("al-chronic", r, chronic, words, at)
	}
}

// fewDissolved is the dissolved aluminium, mg/L, below which nothing is said of it.
const fewDissolved = 0.4

// dissolved judges the aluminium that stays dissolved because the pH stays high.
func (v *reviewer) dissolved(r *Residual, at note.Place) {
	c := v.out.Water
	if c == nil || !c.HasPH || v.s.Water.ResidualAl.OK {
		return
	}
	rule := v.rule("al-dissolved")
	fresh, aged := c.Dissolved()
	dosed := quantity.Concentration(float64(c.Closed.Aluminium) * quantity.AtomicMass["Al"])
	v.judge("al-dissolved", r.Chemical, note.Say("pH %s", ph(c.PH())), note.Say("pH %s", amount(rule.Limit)),
		float64(c.PH()) > rule.Limit && fresh >= fewDissolved,
		Words{"ph": ph(c.PH()), "value": quantity.To(fresh, 2).Bare(), "aged": quantity.To(aged, 2).Bare(), "dose": quantity.To(dosed, 2).Bare()}, at)
}

func (v *reviewer) iron(r *Residual, at note.Place) {
	w, c := v.s.Water, v.out.Water
	if !r.Expected.OK {
		v.say("fe-not-measured", nil, r.Chemical, at)
	}
	for _, a := range v.s.Stock {
		v.say("no-data-metal", Words{"who": a.who(), "chemical": r.Chemical}, r.Chemical, a.At)
	}
	if !v.fresh() || v.s.Purpose == Drinking {
		return
	}
	id, name, words := "fe-general", "general limit for fish", Words{}
	limit, _ := water.IronGuideline(0, 0)
	if c != nil && c.HasPH && w.DOC.OK && w.DOC.V > 0 {
		limit, _ = water.IronGuideline(c.PH(), w.DOC.V)
		id, name = "fe-guideline", "Canadian guideline, fresh-water life"
		words["ph"], words["doc"] = ph(c.PH()), mgL(w.DOC.V)
	}
	r.limit(limit, name)
	v.exceeds(id, r, limit, words, at)
}
