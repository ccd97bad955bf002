package templates

import (
	"maps"
	"slices"

	"jarwright/dosing/animal"
	"jarwright/dosing/caution"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// reviewData puts what the cautions found into a document.
func reviewData(o *figure.Object, f caution.Findings) *figure.Object {
	o.Set("stopped", f.Stopped)
	if f.Water != nil {
		w := waterObject(*f.Water)
		marked := f.Marked()
		for _, figure := range slices.Sorted(maps.Keys(marked)) { // in the same order every time
			w.Set(figure+"_level", marked[figure])
		}
		o.Part("water", w)
		o.Part("loop", loopObject(f.Loop))
	}
	o.List("residuals", objects(f.Residuals, residualObject))
	o.Some("alkalis", objects(f.Alkalis, alkaliObject)).Some("salts", objects(f.Salts, saltObject))
	o.Part("stripping", stripObject(f.Strip))
	if len(f.NotChecked) > 0 {
		o.Set("not_checked", f.NotChecked)
	}
	return o.Some("accepted", objects(f.Taken, acceptedObject)).Some("checks", objects(f.Checks, checkObject))
}

// waterObject is the water at the jar's or the computed pH before aeration.
func waterObject(c caution.Chemistry) *figure.Object {
	ph := c.HasPH
	aluminium := ph && c.Closed.Aluminium > 0
	dissolved, aged := c.Dissolved()
	iron, agedIron := c.DissolvedIron()
	holds := ph && c.Closed.Iron > 0 && c.Acid()
	o := figure.New(
		append(takenPH(c), hundredthPH("ph_aged_floc", c.Aged.PH).If(aluminium || holds), hundredthPH("ph_raw", c.Before.PH).If(ph),
			hundredthPH("ph_aerated", c.Open.PH).If(ph))...,
	).Bare(brief("ph_uncertainty", float64(c.Doubt())).If(ph))
	if c.Ages() {
		o.Set("ph_by_age_of_floc", true)
	}
	if c.FromJars {
		o.Set("ph_from_jars", true)
	}
	if s := c.Slow; s != nil {
		nh3 := ph && c.HasNH3
		o.Set("slow", s.Chemicals).Put(caCO3("alkalinity_dissolved", max(0, s.Alkalinity()), 4).In(figure.Tenth), hundredthPH("ph_dissolved", s.Closed.PH).If(ph),
			gas("co2_dissolved", s.Closed.CO2).If(ph), gas("nh3_dissolved", s.NH3Closed).If(nh3))
	}
	return o.Put(
		caCO3("alkalinity", max(0, c.AlkalinityLeft), 4).In(figure.Tenth), acidOver(c.AlkalinityLeft), caCO3("alkalinity_raw", c.AlkalinityBefore, 4).In(figure.Tenth),
		caCO3("alkalinity_used", c.AlkalinityUsed, 4).In(figure.Tenth),
		gas("co2", c.Closed.CO2).If(ph), gas("co2_raw", c.Before.CO2).If(ph), gas("co2_aerated", c.Open.CO2).If(ph), gas("co2_freed", c.FreedCO2),
		limit("aluminium_dissolved", dissolved).If(aluminium), limit("aluminium_dissolved_aged_floc", aged).If(aluminium),
		limit("iron_dissolved", iron).If(holds), limit("iron_dissolved_aged_floc", agedIron).If(holds),
		gas("nh3", c.NH3Closed).If(ph && c.HasNH3), gas("nh3_raw", c.NH3Before).If(ph && c.HasNH3), gas("nh3_raw_aerated", c.NH3BeforeOpen).If(ph && c.HasNH3), gas("nh3_aerated", c.NH3Open).If(ph && c.HasNH3),
		limit("ammonia_added", c.AmmoniaAdded).If(c.AmmoniaAdded > 0),
		limit("aluminium_acute_criterion", c.Aluminium.V.Acute).If(ph && c.Aluminium.OK), limit("aluminium_chronic_criterion", c.Aluminium.V.Chronic).If(ph && c.Aluminium.OK))
}

// takenPH is the pH of the treated water before aeration that every check takes: read on the jar, else computed; beside what was read
// stands what was computed.
func takenPH(c caution.Chemistry) []figure.Figure {
	read := c.MeasuredPH.OK
	return []figure.Figure{hundredthPH("ph", c.PH()).If(read || c.HasPH), hundredthPH("ph_computed", c.Closed.PH).If(read && c.HasPH),
		figure.Of("ph_measured", c.MeasuredPH.V, "pH", 3).In(figure.Full).If(read)}
}

// stripObject is what strips the carbon dioxide of a loop; nil where nothing has to.
func stripObject(s *caution.Strip) *figure.Object {
	if s == nil {
		return nil
	}
	o := figure.New(gas("co2", s.CO2), gas("stands", s.Stands), gas("limit", s.Limit), massRate("freed", s.Freed, 3), hours("runs_a_day", s.Hours.V, 3).If(s.Hours.OK)).Set("animals", s.Who).Word("limit_of", s.Lent).
		List("ways", objects(s.Ways, func(w caution.StripWay) *figure.Object {
			return figure.New(figure.Of("removes", w.Removes, "%", 2), gas("settles_at", w.Settles), figure.Of("side_stream", w.Side, "m3/h", 3)).
				Bare(plainNumber("air_over_water", w.Air, 2).In(figure.Whole), figure.Count("stages", w.Stages.V).If(w.Stages.OK))
		}))
	if s.Breathes {
		o.Set("breathes", true)
	}
	if s.Pressing {
		o.Set("pressing", true)
	}
	return o
}

// withStripping adds what strips carbon dioxide to a table, where that presses: a row for each share of air to water, with columns of its own.
func withStripping(t figure.Table, s *caution.Strip) figure.Table {
	if s == nil || !s.Pressing {
		return t
	}
	t.Cols = append(t.Cols, figure.Columns("air_over_water", "removes = %", "settles_at = mg/L", "stages", "side_stream = m3/h")...)
	for _, w := range stripObject(s).Objects("ways") {
		t.Rows = append(t.Rows, w.Set("chemical", "carbon dioxide stripped"))
	}
	return t
}

// acidOver is the acid that is left over where no alkalinity is, as what it would take.
func acidOver(left quantity.Alkalinity) figure.Figure {
	return caCO3("acid_left_over", -left, 3).If(left < 0)
}

// remaining shows the alkalinity of an object, below which there is none.
func remaining(o *figure.Object, key string) any {
	if o.Has("acid_left_over") {
		return "none, acid"
	}
	return unitless(o.Fig(key))
}

func residualObject(r caution.Residual) *figure.Object {
	o := figure.New(limit("worst_case", r.Worst), maybe("expected", r.Expected), maybe("limit", r.Limit)).
		Set("chemical", r.Chemical).Set("as", r.As).Phrase("limit_name", r.LimitName).Set("level", r.Level).Phrase("how", r.How)
	if r.ByHalfLife {
		o.Set("expected_by_half_life", true)
	}
	if r.Above() {
		o.Set("above_limit", true)
	}
	if past, rises := r.Rises(); rises {
		o.Set("still_rising", true).Bare(figure.Count("limit_passed_on_day", past.V).If(past.OK))
	}
	return o.Put(hours("limit_reached_after", r.Reached.V, 3).In(figure.Full).If(r.Reached.OK)).
		Bare(brief("turnovers", r.Turnovers).If(r.Turnovers != 0))
}

func alkaliObject(a caution.Option) *figure.Object {
	can := !a.Cannot
	o := figure.New(limit("dose_pure", a.Pure).If(can), limit("dose_product", a.Product).If(can), figure.Of("purity", a.Purity, "%", 2).In(figure.Full),
		figure.Of("product_use", a.PerDay.V, "kg/d", 3).In(figure.Trace).If(a.PerDay.OK), figure.Of("ph", a.Closed.PH, "pH", 3).In(figure.Full).If(a.HasPH),
		figure.Of("ph_aerated", a.Open.PH, "pH", 3).In(figure.Full).If(a.HasPH), gas("co2", a.Closed.CO2).If(a.HasPH), gas("nh3", a.NH3.V).If(a.NH3.OK))
	if a.Alkali.Highest > 0 && can {
		o.Set("remark", a.Alkali.Remark)
	}
	o.Set("alkali", a.Alkali.Name).Set("goal", a.Goal).Set("level", a.Level).Phrase("why", a.Why)
	if a.Cannot {
		o.Set("cannot_reach", true)
	}
	return o
}

// loopObject is the alkalinity that such days bring a loop to; nil where that is not known.
func loopObject(a *caution.LoopAlkalinity) *figure.Object {
	if a == nil {
		return nil
	}
	level := func(key string, v quantity.Alkalinity) figure.Figure { return caCO3(key, max(0, v), 3) }
	return figure.New(level("alkalinity_begins", a.Begins.V).If(a.Begins.OK), level("alkalinity_end_of_run", a.EndOfRun), level("alkalinity_after_days", a.Later).If(!a.Steady.OK),
		level("alkalinity_steady", a.Steady.V).If(a.Steady.OK))
}

func saltObject(s caution.Salt) *figure.Object {
	return figure.New(mgL("per_pass", s.PerPass, 3).In(figure.Full), mgL("end_of_run", s.EndOfRun.V, 3).In(figure.Full).If(s.EndOfRun.OK),
		mgL("after_days", s.Later.V, 3).In(figure.Full).If(s.Later.OK && !s.Steady.OK && s.Later.V > s.EndOfRun.V),
		mgL("steady", s.Steady.V, 3).In(figure.Full).If(s.Steady.OK)).Set("chemical", s.Chemical).Set("ion", s.Ion)
}

func acceptedObject(a caution.Taken) *figure.Object {
	return figure.New().Set("code", a.Stop.Code).Set("stop", a.Stop.Message).Set("accepted_by", a.By.By).Set("reason", a.By.Why).
		Word("date", civil(a.By.Date)).Word("until", civil(a.By.Until)).Word("chemical", a.By.Chemical)
}

func checkObject(c caution.Check) *figure.Object {
	return figure.New().Set("rule", c.Rule).Word("about", c.About).Set("found", c.Found).Set("limit", c.Limit).Set("fired", c.Fired).Set("level", c.Level).Set("source", c.Source)
}

// between is a range with a unit, either end of which may be open.
func between(low, high float64, hasLow, hasHigh bool, unit string) *figure.Object {
	end := func(key string, v float64) figure.Figure {
		if unit == "C" { // the one unit of these tables that US readers do not see
			return figure.Of(key, quantity.Temperature(v), unit, 3).In(figure.Full)
		}
		return figure.Figure{Key: key, Q: figure.Plain{V: v, U: unit}, Form: figure.Full}
	}
	return figure.New().Bare(end("low", low).If(hasLow), end("high", high).If(hasHigh)).Word("unit", unit)
}

func ruleObject(r caution.Rule) *figure.Object {
	return figure.New().Set("id", r.ID).Set("level", r.Level).Set("when", r.When).Bare(plainNumber("limit", r.Limit, 0).If(r.HasLimit)).
		Word("unit", r.Unit).Set("says", quantity.Told(r.Says, r.Listed())).Phrase("do", quantity.Told(r.Do, r.Listed())).Phrase("do_in_a_pond", quantity.Told(r.Pond, nil)).
		Phrase("do_round_a_unit", quantity.Told(r.Round, nil)).Phrase("do_for_organic_carbon", quantity.Told(r.Carbon, nil)).Set("source", r.Source).Set("status", r.Status)
}

// keptIn is the salinity of a kind of water.
func keptIn(w animal.Water) *figure.Object { return between(w.Low, w.High, true, true, "g/kg") }

func profileObject(p animal.Profile) *figure.Object {
	return figure.New().Set("name", p.Name).Set("also", list(p.Also)).Part("kept_in", keptIn(p.Water).Set("water", p.Water.Name)).List("ranges", objects(p.Ranges, func(r animal.Range) *figure.Object {
		return between(r.Low, r.High, r.HasLow, r.HasHigh, r.Unit).Set("of", string(r.Parameter)).Phrase("note", quantity.Told(r.Note, nil)).Set("checked", r.Use).Set("harms_there", r.Harms).Set("source", r.Source).Set("status", knownBy(r)).Word("stage", string(r.Stage)).Word("borrowed_from", r.Of)
	}))
}

func toxicityObject(r animal.Result) *figure.Object {
	o := between(r.Low, r.High, r.HasLow, r.HasHigh, r.Unit).Set("chemical", string(r.Chemical)).Set("animal", r.Animal).Word("endpoint", r.Endpoint).
		Word("duration", r.Duration).Phrase("note", quantity.Told(r.Note, nil)).Set("source", r.Source)
	if r.More {
		o.Set("more_than", true)
	}
	return o
}

// JSON gives the rules, and the animals and results behind them.
func (Cautions) JSON() any {
	return figure.New().Set("schema", "jarwright.chemical.cautions/1").List("cautions", objects(caution.Rules(), ruleObject)).
		List("animals", objects(animal.Profiles(), profileObject)).List("toxicity", objects(animal.Results(), toxicityObject)).Set("notes", note.List{})
}

// Table gives the rules as one table.
func (Cautions) Table() figure.Table {
	return figure.Table{Cols: figure.Columns("id", "level", "when", "limit", "unit", "says", "do", "source", "status"), Rows: objects(caution.Rules(), ruleObject)}
}
