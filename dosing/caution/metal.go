package caution

import (
	"jarwright/dosing/residual"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// metals judges aluminium and iron. Floc is caught, so the whole dose gives a
// caution at most; a stop rests on what was measured.
func (v *reviewer) metals() {
	type sum struct {
		dose, kept quantity.Concentration // all of it, and what a measured capture leaves
		captured   bool
		names      []string
		at         note.Place
	}
	sums := map[string]*sum{}
	for _, d := range v.s.Doses {
		metal, c, err := metalOf(d)
		if err != nil {
			v.skip("residual metal of " + d.name() + ": " + err.Error())
			continue
		}
		if metal == "" || c <= 0 {
			continue
		}
		s := sums[metal]
		if s == nil {
			s = &sum{captured: true, at: d.At}
			sums[metal] = s
		}
		s.dose += c
		s.kept += residual.Once(c, d.Capture.Or(0))
		s.captured = s.captured && d.Capture.OK
		s.names = append(s.names, d.name())
		if d.Product.Basis == quantity.AsFeSO4x7 {
			r := v.rule("ferrous-oxygen")
			v.say("ferrous-oxygen", Words{"chemical": d.name(), "value": amount(float64(c) * r.Limit)}, d.name(), d.At)
		}
	}
	for _, metal := range []string{"Al", "Fe"} {
		s := sums[metal]
		if s == nil {
			continue
		}
		r := Residual{Chemical: join(s.names), As: metal, Worst: s.dose}
		measured := v.s.Water.ResidualAl
		if metal == "Fe" {
			measured = v.s.Water.ResidualFe
		}
		if v.runs() {
			r.Worst = v.loopOf(s.dose).Worst(v.s.Hours)
			r.Turnovers = v.loopOf(0).Turnovers(v.s.Hours)
		}
		switch {
		case measured.OK:
			r.Expected = measured
		case s.captured && v.runs():
			r.Expected = quantity.Some(v.loopOf(s.kept).At(v.s.Hours))
		case s.captured:
			r.Expected = quantity.Some(s.kept)
		}
		if metal == "Al" {
			v.aluminium(&r, s.at)
		} else {
			v.iron(&r, s.at)
		}
		v.out.Residuals = append(v.out.Residuals, r)
	}
}

// fired raises a residual's level to that of a rule.
func (r *Residual) fired(rule Rule, fires bool) {
	if fires {
		r.Level = max(r.Level, rule.Level)
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

func (v *reviewer) aluminium(r *Residual, at note.Place) {
	w, c := v.s.Water, v.out.Water
	if !r.Expected.OK {
		v.say("al-not-measured", nil, r.Chemical, at)
	}
	if v.forAnimals() {
		v.say("al-mixing-point", nil, r.Chemical, at)
	}
	value, what := r.of()
	if v.salt() {
		rule := v.rule("al-marine")
		over := value > water.MarineAluminium
		r.limit(water.MarineAluminium, "marine guideline, ecosystems")
		r.fired(rule, over)
		v.judge("al-marine", r.Chemical, counted(mgL(value), "mg/L Al"), counted(amount(rule.Limit), "mg/L"), over,
			Words{"value": mgL(value), "what": what}, at)
		if !over {
			v.say("al-marine-below", Words{"value": mgL(value)}, r.Chemical, at)
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
	v.say("al-raw-doc", nil, r.Chemical, at)
	if crit.Capped {
		v.say("al-capped", nil, r.Chemical, at)
	}
	if crit.Extrapolated {
		v.say("al-extrapolated", Words{"ph": ph(c.PH())}, r.Chemical, at)
	}
	acute, chronic := quantity.RoundSig(float64(crit.Acute), 2), quantity.RoundSig(float64(crit.Chronic), 2)
	words := Words{"value": mgL(value), "ph": ph(c.PH()), "hardness": mgL(w.Hardness.V), "doc": mgL(w.DOC.V)}
	if !v.salt() {
		r.limit(quantity.Concentration(chronic), "chronic criterion, fresh-water life")
	}
	if !r.Expected.OK {
		words["limit"] = amount(chronic)
		over := float64(value) > chronic
		r.fired(v.rule("al-whole-dose"), over)
		v.judge("al-whole-dose", r.Chemical, counted(mgL(value), "mg/L Al"), counted(amount(chronic), "mg/L"), over, words, at)
		return
	}
	kills := float64(value) > acute
	words["limit"] = amount(acute)
	r.fired(v.rule("al-acute"), kills)
	v.judge("al-acute", r.Chemical, counted(mgL(value), "mg/L Al"), counted(amount(acute), "mg/L"), kills, words, at)
	if kills {
		r.limit(quantity.Concentration(acute), "acute criterion, fresh-water life")
		return
	}
	words["limit"] = amount(chronic)
	over := float64(value) > chronic
	r.fired(v.rule("al-chronic"), over)
	v.judge("al-chronic", r.Chemical, counted(mgL(value), "mg/L Al"), counted(amount(chronic), "mg/L"), over, words, at)
}

func (v *reviewer) iron(r *Residual, at note.Place) {
	w, c := v.s.Water, v.out.Water
	if !r.Expected.OK {
		v.say("fe-not-measured", nil, r.Chemical, at)
	}
	for _, a := range v.s.Stock {
		v.say("no-data", Words{"who": a.who(), "chemical": r.Chemical}, r.Chemical, a.At)
	}
	if !v.fresh() || v.s.Purpose == Drinking {
		return
	}
	value, what := r.of()
	id, words := "fe-general", Words{"value": mgL(value), "what": what}
	limit, _ := water.IronGuideline(0, 0)
	if c != nil && c.HasPH && w.DOC.OK && w.DOC.V > 0 {
		limit, _ = water.IronGuideline(c.PH(), w.DOC.V)
		id = "fe-guideline"
		words["ph"], words["doc"] = ph(c.PH()), mgL(w.DOC.V)
	}
	words["limit"] = mgL(limit)
	over := value > limit
	r.limit(limit, map[string]string{"fe-general": "general limit for fish", "fe-guideline": "Canadian guideline, fresh-water life"}[id])
	r.fired(v.rule(id), over)
	v.judge(id, r.Chemical, counted(mgL(value), "mg/L Fe"), counted(mgL(limit), "mg/L"), over, words, at)
}
