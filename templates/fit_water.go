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
	a := b.AtPlanning
	gap := func(key string, v float64) figure.Figure {
		return hundredthPH(key, quantity.PH(v)).In(figure.SignCents).If(b.Read > 0)
	}
	o := figure.New().Bare(hundredthPH("ph_raw", b.Raw.PH)).Put(caCO3("alkalinity_raw", b.Raw.Alkalinity, 3).In(figure.Full))
	o.Bare(hundredthPH("ph", a.PH).If(b.HasPlanning)).Put(caCO3("alkalinity", a.Alkalinity, 3).In(figure.Full).If(b.HasPlanning),
		mgL("co2", a.CO2, 2).In(figure.Full).If(b.HasPlanning))
	planned, jars := b.Doubts()
	o.Bare(brief("ph_uncertainty", float64(planned)), brief("ph_uncertainty_of_jars", float64(jars)).If(jars > planned),
		gap("ph_read_less_computed", b.MeanGap),
		gap("ph_read_less_computed_at_most", b.WorstGap),
		figure.Count("jars_read", b.Read).If(b.Read > 0))
	o.Bare(hundredthPH("ph_no_aluminium_dissolved", b.Settled.V).If(b.Settled.OK)).
		Put(mgL("aluminium_dissolved", a.DissolvedAluminium(), 2).In(figure.Full).If(b.Settled.OK))
	o.Set("units", figure.New().Set("alkalinity", "mg/L CaCO3").Set("co2", "mg/L"))
	return o.List("jars", objects(b.Jars, func(j caution.JarWater) *figure.Object {
		return figure.New().Set("label", j.Label).Bare(hundredthPH("ph", j.PH), hundredthPH("ph_read", j.ReadPH.V).If(j.ReadPH.OK),
			caCO3("alkalinity", j.Alkalinity, 3).In(figure.Full), caCO3("alkalinity_read", j.ReadAlkalinity.V, 3).In(figure.Full).
				If(j.ReadAlkalinity.OK), mgL("co2", j.CO2, 2).In(figure.Full))
	}))
}

// benchWaterText writes the water along a series.
func benchWaterText(t *Text, d *figure.Object, b caution.BenchReview) {
	if b.Computed {
		t.Blank()
		t.Say("%s", figure.Say("Water: raw pH %s, alkalinity %s.", d.Fig("ph_raw"), d.Fig("alkalinity_raw")).
			If(b.HasPlanning, " At the planning dose pH %s, alkalinity %s, carbon dioxide %s before aeration.", d.Fig("ph"), d.Fig("alkalinity"),
				d.Fig("co2")).
			And(" Computed pH is good to about %s", d.Fig("ph_uncertainty")).
			If(d.Has("ph_uncertainty_of_jars"), ", and to %s on the jar where it is known least", d.Fig("ph_uncertainty_of_jars")).And(".").
			If(b.Read > 0, " The pH read on %s differs from it by %s on average, %s at most.", jarCount(b.Read), d.Fig("ph_read_less_computed"),
				d.Fig("ph_read_less_computed_at_most")).
			If(b.Settled.OK, " It counts %s of aluminium that fresh floc leaves dissolved; with none it would be %s: "+
				"residual aluminium, read in the jars or given to plan, tells.",
				d.Fig("aluminium_dissolved"), d.Fig("ph_no_aluminium_dissolved")))
		t.each(cols("jar", ">pH computed", ">pH read", ">alkalinity left", ">read", ">CO2 mg/L"), d.Objects("jars"),
			func(_ int, j *figure.Object) []any {
				return []any{j.Get("label"), j.Fig("ph"), j.Fig("ph_read"), unitless(j.Fig("alkalinity")), unitless(j.Fig("alkalinity_read")),
					unitless(j.Fig("co2"))}
			})
	}
	t.aside(b.Notes)
}

func jarCount(n int) string {
	return either(n == 1, "1 jar", fmt.Sprintf("%d jars", n))
}
