package templates

import (
	"strings"

	"jarwright/dosing/bench"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// FitBench finds what the jars of each series say beyond the dose, one finding a result, in
// order; see [bench.Of] for what it adds to the results.
func FitBench(series []jartest.Series, results []curve.Result, water []caution.BenchReview) []bench.Findings {
	out := make([]bench.Findings, len(results))
	catalogue := product.Default()
	for i := range min(len(series), len(results), len(water)) {
		out[i] = bench.Of(series[i], &results[i], water[i], catalogue)
	}
	return out
}

// benchText writes what the jars of a series say beyond the dose.
func benchText(t *Text, d *figure.Object, f bench.Findings, basis quantity.Basis) {
	againText(t, d.Sub("clouded_again"), f.Again)
	carbonText(t, d.Sub("enhanced_coagulation"), f.Carbon, basis)
	suvaText(t, d.Sub("suva"), f.SUVA)
	phosphorusText(t, d.Sub("phosphorus"), f.Phosphorus)
}

// againData is why the jars clouded again; nothing where they did not.
func againData(a *bench.Again) *figure.Object {
	if a == nil {
		return nil
	}
	spot := func(s curve.Spot, k jartest.Key) *figure.Object { return spotData(s, false, k) }
	w, n := a.There, a.Next
	alk := func(key string, v quantity.Known[quantity.Alkalinity]) figure.Figure {
		return caCO3(key, v.V, 3).In(figure.Full).If(v.OK)
	}
	o := figure.New().Set("cause", string(a.Cause)).Set("best", spot(a.Best, a.Reading)).Set("from", spot(a.From, a.Reading))
	o.Set("water", figure.New().Set("read", w.Read).Bare(hundredthPH("ph", w.PH.V).If(w.PH.OK), hundredthPH("ph_aged_floc", w.Aged.V).If(w.Aged.OK)).
		Put(alk("alkalinity", w.Alkalinity), alk("alkalinity_raw", w.Raw), alk("alkalinity_used", w.Used)))
	o.Bare(workedOut(along("sour_from", false, float64(a.Sour.V)), 3).If(a.Sour.OK))
	if a.Charge.OK {
		o.Set("charge", figure.New().Set("reading", string(a.ChargeKey)).Bare(read("value", a.ChargeKey, a.Charge.V).In(figure.Signed)).
			Word("unit", a.ChargeKey.Info().Unit).Bare(workedOut(along("turns_at", false, float64(a.Turns.V)), 3).If(a.Turns.OK)))
	}
	tells := []string{}
	for _, k := range a.Tells {
		tells = append(tells, string(k))
	}
	o.Set("would_tell", tells)
	next := figure.New().Bare(workedOut(along("low", false, float64(n.Low)), 3).If(!n.Clear), workedOut(along("high", false, float64(n.High)), 3).If(!n.Clear)).
		Set("with_alkali", n.WithAlkali).Put(caCO3("alkalinity_left", n.Kept, 2).If(n.WithAlkali)).
		Bare(worked("alkalinity_per_dose", float64(n.PerDose.V), "", 3).If(n.PerDose.OK)).
		Put(workedOut(mgL("used_up_at", n.UsedUp.V, 3), 3).If(n.UsedUp.OK))
	next.Some("alkali", objects(n.Alkali, func(x bench.AlkaliDose) *figure.Object {
		return figure.New().Set("name", x.Name).Put(mgL("dose_low", x.Low.Dose, 2).In(figure.Full),
			mgL("dose_high", x.High.Dose, 2).In(figure.Full)).
			Bare(tenthPH("ph_low", x.Low.PH.V).If(x.Low.PH.OK), tenthPH("ph_high", x.High.PH.V).If(x.High.PH.OK))
	}))
	return o.Set("next_jars", next).Set("units", figure.New().Set("dose", "mg/L").Set("alkalinity", "mg/L CaCO3"))
}

// againText writes why the jars clouded again, with what shows it and what the next ones hold.
func againText(t *Text, d *figure.Object, a *bench.Again) {
	if a == nil {
		return
	}
	t.Blank()
	t.Para("Why it clouded again: " + a.Words() + ".")
	var l facts
	l.add("Clearest jar", figure.Say("%s at %s", d.Fig("best.reading"), d.Fig("best.dose")))
	l.add("Cloudier from", figure.Say("%s on, %s", d.Fig("from.dose"), d.Fig("from.reading")))
	w := d.Sub("water")
	how := either(a.There.Read, ", read", ", worked out")
	l.when(w.Has("ph"), "pH there", figure.Say("%s", w.Fig("ph")).
		If(w.Has("ph_aged_floc"), " with fresh floc, %s once the floc has aged", w.Fig("ph_aged_floc")).And(how))
	l.when(w.Has("alkalinity"), "Alkalinity there", figure.Say("%s"+how, w.Fig("alkalinity")).
		If(!a.There.Read && w.Has("alkalinity_raw") && w.Has("alkalinity_used"), "; the raw water's %s less %s that the dose takes",
			w.Fig("alkalinity_raw"), w.Fig("alkalinity_used")))
	l.when(a.Sour.OK && a.Sour.V > a.From.Dose, "Alkalinity gone", figure.Say("from %s on", d.Fig("sour_from")))
	if a.Charge.OK {
		l.add("Charge there", figure.Say("%s %s", a.ChargeKey.Info().Label, d.Fig("charge.value")).
			If(a.Turns.OK, "; between the jars it turns at %s", d.Fig("charge.turns_at")))
	}
	l.when(len(a.Tells) > 0, "Would tell", tellsWords(a.Tells))
	n := d.Sub("next_jars")
	l.when(n.Has("alkalinity_per_dose"), "The dose takes", figure.Say("%s mg of alkalinity, as CaCO3, a mg", n.Fig("alkalinity_per_dose")).
		If(n.Has("used_up_at"), "; %s uses up the raw water's", n.Fig("used_up_at")))
	l.add("Next jars", nextJarsPhrase(d, n, a))
	for i, x := range n.Objects("alkali") {
		l.add(either(i == 0, "Alkali first", "or"), alkaliPhrase(n, x, a.Next.RawMissing))
	}
	l.when(len(a.Next.Harsh) > 0, "Not", figure.Say("%s, which takes these jars above pH %s, where floc dissolves",
		strings.Join(a.Next.Harsh, " or "), tenthPH("", a.Next.Most)))
	t.Facts(l)
}

// tellsWords names readings: pH or alkalinity, and zeta potential or streaming current, either of a pair tells.
func tellsWords(keys []jartest.Key) string {
	s := ""
	for i, k := range keys {
		s += either(i == 0, "", either(i%2 == 1, " or ", ", and ")) + k.Info().Label
	}
	return s + " of these jars"
}

// nextJarsPhrase is what the next jars should hold.
func nextJarsPhrase(d, n *figure.Object, a *bench.Again) figure.Phrase {
	if a.Next.Clear {
		return figure.Say("below %s, as the dose that was found is clear of it", d.Fig("from.dose"))
	}
	span := figure.Say("%s to %s", n.Fig("low"), n.Fig("high"))
	if !a.Next.WithAlkali {
		return figure.Say("smaller steps, %s", span)
	}
	return figure.Say("%s, with alkali in each so that %s is left", span, n.Fig("alkalinity_left"))
}

// alkaliPhrase is what the jar of the lowest and that of the highest dose get of an alkali.
func alkaliPhrase(n, x *figure.Object, rawMissing bool) figure.Phrase {
	end := func(which string) figure.Phrase {
		return figure.Say("%s with %s", x.Fig("dose_"+which), n.Fig(which)).If(x.Has("ph_"+which), " (pH %s)", x.Fig("ph_"+which))
	}
	return figure.Say("%s (pure): %s, to %s", x.Get("name"), end("low"), end("high")).
		If(rawMissing, "; take off what the raw water's own alkalinity is worth")
}
