package templates

import (
	"fmt"
	"slices"

	"jarwright/dosing/bench"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// FitWater works out pH and alkalinity along the jars of each series, and what
// the planning dose makes of the water. It gives one review a result, in order.
func FitWater(series []jartest.Series, results []curve.Result) []caution.BenchReview {
	out := make([]caution.BenchReview, len(results))
	catalogue := product.Default()
	for i, r := range results {
		if i < len(series) && r.Factor == "dose" {
			out[i] = bench.Water(series[i], &results[i], planningDoses(series[i], r), catalogue)
		}
	}
	return out
}

// planningDoses are those of all chemicals at the planning dose of the one that
// was varied; nil where there is none or a fixed dose is not known.
func planningDoses(s jartest.Series, r curve.Result) []quantity.Concentration {
	if !r.HasPlanning {
		return nil
	}
	varied := s.Factors()
	doses := make([]quantity.Concentration, len(s.Chemicals))
	for i := range s.Chemicals {
		if len(varied) == 1 && i == varied[0] || len(s.Chemicals) == 1 {
			doses[i] = r.Planning.Concentration
			continue
		}
		j := slices.IndexFunc(s.Jars, func(j jartest.Jar) bool { return i < len(j.Doses) && j.Doses[i].Known })
		if j < 0 {
			return nil
		}
		doses[i] = s.Jars[j].Doses[i].Concentration
	}
	return doses
}

// benchWaterData is the water along a series; nothing where it could not be computed.
func benchWaterData(b caution.BenchReview) *figure.Object {
	if !b.Computed {
		return nil
	}
	c := b.Planned
	gap := func(key string, v float64) figure.Figure {
		return hundredthPH(key, quantity.PH(v)).In(figure.SignCents).If(b.Read > 0)
	}
	o := figure.New().Bare(hundredthPH("ph_raw", b.Raw.PH)).Put(caCO3("alkalinity_raw", b.Raw.Alkalinity, 3).In(figure.Full))
	if b.HasPlanning {
		o.Bare(takenPH(c)...).Put(caCO3("alkalinity", max(0, c.AlkalinityLeft), 3).In(figure.Full), acidOver(c.AlkalinityLeft),
			mgL("co2", c.Closed.CO2, 2).In(figure.Full))
		if c.Ages() {
			o.Set("ph_by_age_of_floc", true).Bare(hundredthPH("ph_aged_floc", c.Aged.PH))
		}
	}
	planned, jars := b.Doubts()
	o.Bare(brief("ph_uncertainty", float64(planned)), brief("ph_uncertainty_of_jars", float64(jars)).If(jars > planned),
		gap("ph_read_less_computed", b.MeanGap),
		gap("ph_read_less_computed_at_most", b.WorstGap),
		figure.Count("jars_read", b.Read).If(b.Read > 0))
	o.Bare(hundredthPH("ph_no_aluminium_dissolved", b.Settled.V).If(b.Settled.OK)).
		Put(mgL("aluminium_dissolved", c.Closed.DissolvedAluminium(), 2).In(figure.Full).If(b.Settled.OK))
	o.Set("units", figure.New().Set("alkalinity", "mg/L CaCO3").Set("co2", "mg/L"))
	return o.List("jars", objects(b.Jars, func(j caution.JarWater) *figure.Object {
		return figure.New().Set("label", j.Label).Bare(hundredthPH("ph", j.PH), hundredthPH("ph_aged_floc", j.Aged).If(j.Ages()),
			hundredthPH("ph_read", j.ReadPH.V).If(j.ReadPH.OK),
			caCO3("alkalinity", max(0, j.Alkalinity), 3).In(figure.Full), acidOver(j.Alkalinity),
			caCO3("alkalinity_read", j.ReadAlkalinity.V, 3).In(figure.Full).If(j.ReadAlkalinity.OK), mgL("co2", j.CO2, 2).In(figure.Full))
	}))
}

// benchWaterText writes the water along a series.
func benchWaterText(t *Text, d *figure.Object, b caution.BenchReview) {
	if b.Computed {
		t.Blank()
		t.Part("The water")
		t.Say("%s", figure.Say("Water: raw pH %s, alkalinity %s.", d.Fig("ph_raw"), d.Fig("alkalinity_raw")).
			If(b.HasPlanning, " At the planning dose pH %s", d.Fig("ph")).If(d.Has("ph_measured"), ", as the jars beside it read").
			If(d.Has("acid_left_over"), ", no alkalinity and %s of acid over", d.Fig("acid_left_over")).
			If(b.HasPlanning && !d.Has("acid_left_over"), ", alkalinity %s", d.Fig("alkalinity")).
			If(b.HasPlanning, ", carbon dioxide %s before aeration.", d.Fig("co2")).
			And(" %s", phGood(d)).
			If(d.Has("ph_uncertainty_of_jars"), "; on the jar where it is known least it is good to %s", d.Fig("ph_uncertainty_of_jars")).And(".").
			If(b.Read > 0, " The pH read on %s differs from the computed one by %s on average, %s at most.", jarCount(b.Read), d.Fig("ph_read_less_computed"),
				d.Fig("ph_read_less_computed_at_most")).
			If(b.Settled.OK, " It counts %s of aluminium that fresh floc leaves dissolved; with none it would be %s: "+
				"residual aluminium, read in the jars or given to plan, tells.",
				d.Fig("aluminium_dissolved"), d.Fig("ph_no_aluminium_dissolved")))
		jars := d.Objects("jars")
		known := func(head, key string) string {
			return either(slices.ContainsFunc(jars, func(j *figure.Object) bool { return j.Has(key) }), head, absent)
		}
		t.each(cols("jar", ">pH computed", known(">once aged", "ph_aged_floc"), known(">pH read", "ph_read"), ">alkalinity left", known(">as read", "alkalinity_read"), ">CO2 mg/L"), jars,
			func(_ int, j *figure.Object) []any {
				return []any{j.Get("label"), j.Fig("ph"), j.Fig("ph_aged_floc"), j.Fig("ph_read"), remaining(j, "alkalinity"), unitless(j.Fig("alkalinity_read")), unitless(j.Fig("co2"))}
			})
	}
	t.aside(b.Notes)
}

func jarCount(n int) string {
	return either(n == 1, "1 jar", fmt.Sprintf("%d jars", n))
}
