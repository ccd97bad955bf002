package caution

import (
	"jarwright/dosing/product"
	"jarwright/dosing/residual"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// loopOf is the balance of something dosed on every pass of the loop.
func (v *reviewer) loopOf(perPass quantity.Concentration) residual.Loop {
	return residual.Loop{Volume: v.s.Loop.Volume, Flow: v.s.Flow.V, Dose: perPass, Exchange: v.s.Loop.Exchange.Or(0)}
}

// dayAfterDay is the same balance over many days: water passes only while the
// unit runs, new water comes all day long.
func (v *reviewer) dayAfterDay(perPass quantity.Concentration) residual.Loop {
	l := v.loopOf(perPass)
	l.Flow *= quantity.Flow(min(float64(v.s.Hours)/24, 1))
	return l
}

// later says when a loop fed the same every day comes to a limit after the day
// planned but within the days that the rule looks ahead.
func (v *reviewer) later(what string, l residual.Loop, limit quantity.Concentration, unit string, about string, at note.Place) {
	r := v.rule("loop-later")
	t, ok := l.Reaches(limit)
	days := float64(t) / 24
	fires := ok && t > v.s.Hours && days <= r.Limit
	found := note.Say("never")
	if ok {
		found = counted(amount(days), "d")
	}
	v.judge("loop-later", about, found, counted(amount(r.Limit), "d"), fires,
		Words{"what": what, "value": counted(mgL(limit), unit), "days": amount(days)}, at)
}

// loopAlkalinity follows the alkalinity of water that comes round again: each
// turnover takes what one pass takes, and only new water gives it back.
func (v *reviewer) loopAlkalinity() {
	if v.s.Loop == nil || v.out.Water == nil || v.out.Water.AlkalinityUsed <= 0 {
		return
	}
	if !v.runs() {
		v.skip("build-up in the loop: its volume or flow is not given")
		return
	}
	c := v.out.Water
	l := v.loopOf(quantity.Concentration(-c.AlkalinityUsed))
	l.Start, l.MakeUp = quantity.Concentration(c.AlkalinityBefore), quantity.Concentration(c.AlkalinityBefore)
	end := l.At(v.s.Hours)
	floor, who, source, at := v.alkalinityFloor()
	gone := v.rule("loop-alkalinity-gone")
	rate := quantity.MassRate(float64(c.AlkalinityUsed) * float64(v.s.Flow.V) * float64(v.s.Hours) / 1000)
	words := Words{"before": amount(float64(c.AlkalinityBefore)), "left": amount(max(0, float64(end))), "who": who,
		"rate": quantity.Rounded{Q: rate, Unit: "kg/d", Digits: 3, Way: quantity.Trace}}
	t, passes := l.Reaches(quantity.Concentration(gone.Limit))
	stops := passes && t <= v.s.Hours && float64(c.AlkalinityLeft) >= gone.Limit // else alkalinity-gone has said so
	words["time"], words["turnovers"] = t, amount(l.Turnovers(t))
	found := counted(amount(float64(end)), gone.Unit)
	v.judge("loop-alkalinity-gone", "", found, counted(amount(gone.Limit), gone.Unit), stops, words, note.Place{})
	if !stops && float64(c.AlkalinityLeft) >= gone.Limit {
		d := v.dayAfterDay(l.Dose)
		d.Start, d.MakeUp = l.Start, l.MakeUp
		v.later("the loop's alkalinity falls", d, quantity.Concentration(gone.Limit), gone.Unit, "alkalinity", note.Place{})
	}
	if stops || float64(c.AlkalinityLeft) < floor { // a single pass has been judged
		return
	}
	words["limit"], words["source"] = amount(floor), source
	v.judge("loop-alkalinity-low", who, found, counted(amount(floor), gone.Unit), float64(end) < floor, words, at)
}

// Salt is an ion that a chemical leaves in the water.
type Salt struct {
	Chemical, Ion string
	PerPass       quantity.Concentration
	// EndOfRun and Steady are what a loop gains by them; Steady only with new water.
	EndOfRun, Steady quantity.Known[quantity.Concentration]
}

// salts follows the ions that stay: the sulfate or chloride of a coagulant, the
// sodium, calcium or magnesium of an alkali.
func (v *reviewer) salts() {
	var solids float64
	var how string
	for _, d := range v.s.Doses {
		ion, c := ionOf(d)
		if c <= 0 {
			continue
		}
		s := Salt{Chemical: d.name(), Ion: ion, PerPass: c}
		if v.runs() {
			l := v.loopOf(c)
			s.EndOfRun = quantity.Some(l.At(v.s.Hours))
			rise := s.EndOfRun.V
			how = " in the run"
			if steady, ok := v.dayAfterDay(c).Steady(); ok {
				s.Steady = quantity.Some(steady)
				rise, how = steady, " in the long run"
			}
			solids += float64(rise)
			if id := "loop-" + ion; v.fresh() && (ion == "sulfate" || ion == "chloride") {
				r := v.rule(id)
				v.judge(id, d.name(), counted(mgL(rise), "mg/L"), counted(amount(r.Limit), "mg/L"), float64(rise) > r.Limit,
					Words{"chemical": d.name(), "value": mgL(rise), "how": how}, d.At)
			}
		}
		v.out.Salts = append(v.out.Salts, s)
	}
	if solids > 0 {
		v.say("loop-salts", Words{"value": amount(solids), "how": how}, "", note.Place{})
	}
}

// ionOf names the ion that a dose leaves in the water, and how much of it.
func ionOf(d Dose) (string, quantity.Concentration) {
	ion, c, err := d.Product.AnionAdded(d.Dose)
	if err == nil && c > 0 {
		return map[string]string{"SO4": "sulfate", "Cl": "chloride"}[ion], c
	}
	if d.Product.Group != product.Alkali {
		return "", 0
	}
	given, err := d.Product.AlkalinityUsed(d.Dose)
	if err != nil || given >= 0 {
		return "", 0
	}
	// Mass per equivalent, from atomic weights.
	name, perEquivalent := "sodium", 22.990
	switch d.Product.Basis {
	case quantity.AsCaOH2, quantity.AsCaO:
		name, perEquivalent = "calcium", 40.078/2
	case quantity.AsMgOH2:
		name, perEquivalent = "magnesium", 24.305/2
	}
	return name, quantity.Concentration(-given.In("meq/L") * perEquivalent)
}
