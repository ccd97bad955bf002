package templates

import (
	"jarwright/dosing/bench"
	"jarwright/dosing/phosphorus"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// organic is a concentration of organic carbon.
func organic(key string, c quantity.Concentration) figure.Figure {
	return mgL(key, c, 3).In(figure.Full)
}

// suvaOf is a specific absorbance.
func suvaOf(key string, v quantity.Known[float64]) figure.Figure {
	return worked(key, v.V, "L/mg-m", 3).If(v.OK)
}

// carbonData is what the rule on enhanced coagulation says; nothing where no target asks for it.
func carbonData(c *bench.Carbon, basis quantity.Basis) *figure.Object {
	if c == nil {
		return nil
	}
	dose := func(key string, d quantity.Concentration) figure.Figure {
		return workedOut(doseOf(key, d, basis, 3), 3)
	}
	o := figure.New().Set("rule", "40 CFR 141.135").Put(organic("toc", c.TOC), caCO3("alkalinity", c.Alkalinity.V, 3).In(figure.Full).If(c.Alkalinity.OK))
	o.Put(suvaOf("suva", c.Raw), suvaOf("suva_at_dose", c.Left)).Bare(sure("removal_required", float64(c.Required)))
	if c.Required == 0 {
		return o
	}
	if c.Dose.OK {
		o.Put(dose("dose", c.Dose.V)).Bare(sure("removal", float64(c.Achieved))).Set("meets", c.Met())
	}
	o.Put(dose("low_toc_from", c.Low.V).If(c.Low.OK))
	s := c.Step2
	two := figure.New().Bare(tenthPH("end_ph", s.EndPH)).Put(mgL("alum_step_as_al", c.AlumStep, 2).In(figure.Full),
		dose("dose_per_step", s.PerStep).If(s.PerStep > 0))
	two.Some("steps", objects(s.Steps, func(x bench.CarbonStep) *figure.Object {
		return figure.New().Put(mgL("alum", x.Alum, 3), dose("dose", x.Dose), organic("toc", x.Left), mgL("fall", x.Fall, 2).In(figure.Full)).
			Bare(hundredthPH("ph", x.PH.V).If(x.PH.OK))
	}))
	if s.At.OK {
		two.Put(mgL("diminishing_from_alum", s.At.V.Alum, 3), dose("diminishing_from", s.At.V.Dose)).
			Bare(sure("alternative_removal", float64(s.Removal)))
	}
	return o.Set("step_2", two.Set("never_pays", s.Never))
}

// carbonText writes it in the rule's own terms.
func carbonText(t *Text, d *figure.Object, c *bench.Carbon, basis quantity.Basis) {
	if c == nil {
		return
	}
	t.Blank()
	t.Para("Enhanced coagulation by 40 CFR 141.135 (figures of the rule from memory, not checked in its source; the state judges, over a year):")
	var l facts
	l.add("Source water", figure.Say("TOC %s", d.Fig("toc")).If(c.Alkalinity.OK, ", alkalinity %s", d.Fig("alkalinity")))
	l.when(c.Raw.OK, "SUVA", figure.Say("%s in the raw water", d.Fig("suva")).
		If(c.Left.OK, ", %s at the planning dose", d.Fig("suva_at_dose")))
	l.add("Met without removal", exemptPhrase(d, c))
	if c.Required == 0 {
		l.add("Step 1, required", "none: the rule's table begins above 2.0 mg/L of source TOC")
		t.Facts(l)
		return
	}
	l.when(c.Low.OK, "Met by treated TOC", figure.Say("from %s on the fitted TOC is below 2.0 mg/L, which meets the rule too", d.Fig("low_toc_from")))
	l.add("Step 1, required", figure.Say("%s of the TOC", d.Fig("removal_required")))
	if c.Dose.OK {
		l.add("At the planning dose", figure.Say("%s taken out: "+either(c.Met(), "met", "not met"), d.Fig("removal")))
	} else {
		l.add("At the planning dose", "no dose of these jars takes it out for sure")
	}
	two, s := d.Sub("step_2"), c.Step2
	each := figure.Say("10 mg/L of alum (%s as Al)", two.Fig("alum_step_as_al")).
		If(basis != quantity.AsAlum14 && s.PerStep > 0, ", here by its metal %s,", two.Fig("dose_per_step"))
	switch {
	case s.At.OK:
		l.add("Step 2, alternative", figure.Say("%s, at %s: the last step of %s that takes 0.3 mg/L of TOC, down to pH %s",
			two.Fig("alternative_removal"), two.Fig("diminishing_from"), each, two.Fig("end_ph")))
	case c.Met():
		l.add("Step 2, alternative", "not needed, as step 1 is met")
	case s.Never:
		l.add("Step 2, alternative", figure.Say("no step of %s takes 0.3 mg/L of TOC: by the rule coagulation does not take such carbon out, and the state may "+
			"waive the removal", each))
	case len(s.Steps) > 0:
		l.add("Step 2, alternative", figure.Say("not seen: the last step of %s tested still takes 0.3 mg/L of TOC or more; go on down to pH %s",
			each, two.Fig("end_ph")))
	default:
		l.add("Step 2, alternative", "not worked out: what metal the dose holds is not known, or too few jars have TOC")
	}
	t.Facts(l)
	if !t.opt.Explain || len(s.Steps) == 0 {
		return
	}
	t.Blank()
	t.each(cols(">alum mg/L", ">dose mg/L", ">TOC mg/L", ">fall", ">pH"), two.Objects("steps"), func(_ int, x *figure.Object) []any {
		return []any{unitless(x.Fig("alum")), unitless(x.Fig("dose")).NoBasis(), unitless(x.Fig("toc")), unitless(x.Fig("fall")), x.Fig("ph")}
	})
}

// exemptPhrase says which of the rule's ways around the removal holds.
func exemptPhrase(d *figure.Object, c *bench.Carbon) figure.Phrase {
	low := func(v quantity.Known[float64]) bool { return v.OK && v.V <= bench.LowSUVA }
	switch {
	case c.TOC < jartest.LowTOC:
		return figure.Say("yes: source TOC is below 2.0 mg/L")
	case low(c.Raw) || low(c.Left):
		return figure.Say("yes: SUVA of 2.0 L/mg-m or less meets the rule by itself")
	case c.Raw.OK:
		return figure.Say("no: source TOC is not below 2.0 mg/L, SUVA is above 2.0 L/mg-m")
	}
	return figure.Say("not by source TOC, which is not below 2.0 mg/L; SUVA of 2.0 L/mg-m or less would, but UV254 and DOC are not both read")
}

// suvaData is the raw water's specific absorbance and what is left of it; nothing where no target is on what colours the water.
func suvaData(s *bench.SUVA) *figure.Object {
	if s == nil {
		return nil
	}
	return figure.New(suvaOf("raw", s.Raw), suvaOf("at_dose", s.Left)).Set("says", s.Says())
}

// suvaText writes it.
func suvaText(t *Text, d *figure.Object, s *bench.SUVA) {
	if s == nil {
		return
	}
	t.Blank()
	t.Say("%s", figure.Say("SUVA (UV254 over DOC): %s in the raw water", d.Fig("raw")).
		If(s.Left.OK, ", %s at the planning dose", d.Fig("at_dose")).
		And(": "+s.Says()+"."))
}

// asP is a concentration of phosphorus.
func asP(key string, c quantity.Concentration) figure.Figure {
	return figure.Of(key, figure.Plain{V: float64(c), U: "mg/L as P"}, "mg/L as P", 3).In(figure.Full)
}

// moleRatio is moles of metal for each mole of phosphorus.
func moleRatio(key string, v float64) figure.Figure { return worked(key, v, "", 3) }

// phosphorusData is how much metal the phosphorus takes; nothing where the jars do not tell.
func phosphorusData(p *bench.Phosphorus, basis quantity.Basis) *figure.Object {
	if p == nil {
		return nil
	}
	dose := func(key string, d quantity.Concentration) figure.Figure {
		return workedOut(doseOf(key, d, basis, 3), 3)
	}
	o := figure.New().Set("reading", string(p.Key)).
		Set("counted_on", either(p.Key == jartest.Phosphate, "soluble phosphorus", "total phosphorus")).Set("metal", p.Metal).Set("planned", p.Planned).
		Put(asP("raw", p.Raw), asP("left", p.Left), dose("dose", p.Dose))
	o.Bare(moleRatio("metal_to_raw", p.Used), moleRatio("metal_to_removed", p.Taken.V).If(p.Taken.OK),
		sure("removal", 1-float64(p.Left/p.Raw)))
	if n := p.Asked.V; p.Asked.OK {
		o.Set("asked", figure.New().Set("reading", string(p.AskedKey)).Bare(worked("removal", float64(n.Removal)*100, "%", 3)).
			Bare(moleRatio("metal_to_raw", n.Ratio).If(n.Ratio > 0)).Put(dose("dose", n.Dose).If(n.Ratio > 0)))
	}
	return o.List("needed", objects(p.Needs, func(n bench.PhosphorusNeed) *figure.Object {
		return figure.New().Bare(sure("removal", float64(n.Removal)), moleRatio("metal_to_raw", n.Ratio)).Put(dose("dose", n.Dose))
	}))
}

// phosphorusText sets the metal used beside the metal needed.
func phosphorusText(t *Text, d *figure.Object, p *bench.Phosphorus) {
	if p == nil {
		return
	}
	t.Blank()
	of := either(p.Key == jartest.Phosphate, "soluble phosphorus", "total phosphorus, as if it were "+solubleAlone+",")
	t.Say("%s", figure.Say("Phosphorus: %s of "+of+" fall to %s at ", d.Fig("raw"), d.Fig("left")).If(p.Planned, "the planning dose").
		If(!p.Planned, "%s, the best of the tested range", d.Fig("dose")).
		And(". That is %s mol "+p.Metal+" for each mol of it in the raw water", d.Fig("metal_to_raw")).
		If(p.Taken.OK, ", %s for each mol taken out", d.Fig("metal_to_removed")).And(". Usually needed:"))
	t.each(cols(">taken out", ">mol "+p.Metal+" a mol P", ">dose here (mg/L)"), d.Objects("needed"), func(_ int, n *figure.Object) []any {
		return []any{n.Fig("removal"), n.Fig("metal_to_raw"), unitless(n.Fig("dose")).NoBasis()}
	})
	if a := d.Sub("asked"); p.Asked.OK {
		t.Say("%s", figure.Say("The target asks for %s of the %s", a.Fig("removal"), p.AskedKey.Info().Label).
			If(a.Has("dose"), ": usually %s mol "+p.Metal+" a mol of that", a.Fig("metal_to_raw")).
			If(a.Has("dose") && p.AskedKey == jartest.TotalPhosphorus && p.Key == jartest.Phosphate, ", as if it were "+solubleAlone).
			If(a.Has("dose"), ", %s.", a.Fig("dose")).
			If(!a.Has("dose"), ", more than the usual ratios reach."))
	}
	t.Para("Needed ratios: " + phosphorus.Source(p.Metal) + ".")
}
