package templates

import (
	"math"
	"slices"
	"strings"

	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/figure"
)

// firstDose and secondDose are the parts of a pair; the second may be a pH.
func firstDose(key string, p surface.Pair) figure.Figure {
	return workedOut(along(key, false, float64(p.First)), 3)
}

func secondDose(key string, r surface.Result, p surface.Pair) figure.Figure {
	return workedOut(along(key, r.Second.PH, surfaceXY(r, p).Y), 2)
}

// withPair adds a pair to an object: doses by chemical, and the pH where it was set.
func withPair(o *figure.Object, r surface.Result, p surface.Pair) *figure.Object {
	doses := figure.New().Bare(firstDose(r.First.Name, p))
	o.Set("doses", doses)
	if r.Second.PH {
		return o.Bare(secondDose("ph", r, p))
	}
	doses.Bare(secondDose(r.Second.Name, r, p))
	return o
}

// pairChoice is a pair with what is known of it.
func pairChoice(r surface.Result, c surface.Choice) *figure.Object {
	o := withPair(figure.New(), r, c.Pair).Bare(workedOut(read("fit", r.Response, c.Fit), 3), sure("confidence", float64(c.Confidence))).
		Put(namedCost("cost_per_1000m3", c.Cost).If(c.Cost.Currency != ""))
	return o.Some("beside", besideData(c.Beside))
}

// surfaceData is one series of two factors. Beside the surface itself its members
// speak of the first chemical at the chosen level of the second.
func surfaceData(r surface.Result) *figure.Object {
	o := seriesData(r.Series, r.Place, r.Sample).Set("response", string(r.Response)).Set("factor", "pair").Set("chemical", r.First.Name).
		Set("basis", r.First.Chemical.Basis.String())
	question(o, r.Targets, r.Binding, r.Outcome).Part("reference", referenceData(r.Reference)).Set("outcome", string(r.Outcome)).
		Set("units", figure.New().Set("dose", "mg/L").Set("reading", r.Response.Info().Unit))
	level := r.Estimate.Pair
	if r.HasPlanning {
		level = r.Planning.Pair
	}
	if sl := sliceNear(r, surfaceXY(r, level).Y); r.HasEstimate && sl != nil && sl.Reached {
		o.Set("lowest_effective_dose", intervalData(sl.Effective, false, 3, r.First.Chemical.Basis).Set("basis",
			r.First.Chemical.Basis.String()))
	}
	if r.HasPlanning {
		o.Set("planning_dose", planningData(float64(level.First), 3, r.First.Chemical.Basis, r.Rule, r.Planning.Confidence))
	}
	if j := r.LowestPassing; r.HasLowestPassing {
		o.Set("lowest_passing_jar", figure.New().Set("label", j.Label).Bare(along("dose", false, float64(j.Pair.First)),
			read("reading", r.Response, j.Reading)))
	}
	if c := r.Clearest; len(r.Slices) > 0 {
		o.Set("best", figure.New().Bare(firstDose("dose", c.Pair), workedOut(read("reading", r.Response, c.Fit), 3)))
	}
	o.Set("overdose", figure.New().Set("seen", false))
	if len(r.Models) > 0 {
		surfaceModels(o, r)
	}
	o.Set("curve", curveData(r.Curve)).List("jars", surfaceJars(r)).Set("surface", surfacePart(r))
	if len(r.Method) > 0 {
		o.Set("method", r.Method)
	}
	if len(r.Lacks) > 0 {
		o.Set("lacks", Notes(r.Lacks))
	}
	return o
}

// surfaceModels adds the model that counts most, the weights and the scatter.
func surfaceModels(o *figure.Object, r surface.Result) {
	parameters, weights := figure.New(), figure.New()
	for _, p := range r.Models[0].Params { // the fitted models come by weight, the interpolation last
		parameters.Bare(worked(p.Name, p.Value, "", 4))
	}
	if k := r.Scaling(); len(r.Models[0].Params) > 0 {
		parameters.Bare(worked("first_divided_by", k.First, "", 4), worked("second_divided_by", k.Second, "", 4),
			worked("second_less", k.Origin, "", 4))
	}
	for _, m := range r.Models {
		weights.Bare(figure.Of(m.Name, chance(m.Weight), "share", 1).In(figure.Tenth))
	}
	o.Set("model", figure.New().Set("name", r.Models[0].Name).Set("scale", r.Scale).Set("parameters", parameters).Set("weights", weights))
	o.Set("scatter", scatterData(r.Scatter, r.Relative, r.Response))
}

func surfaceJars(r surface.Result) []*figure.Object {
	return objects(r.Jars, func(j surface.JarUse) *figure.Object {
		d := withPair(figure.New().Set("label", j.Label).Bare(along("dose", false, float64(j.Pair.First))), r, j.Pair)
		return d.Bare(readAs("reading", j.State, r.Response, j.Reading)).Set("used", j.Used).Word("why", j.Why).
			Bare(workedOut(read("fitted", r.Response, j.Fit), 3).If(j.Used && len(r.Slices) > 0)).Word("cell", j.At.Cell)
	})
}

// sliceNear finds the slice at a level of the second factor.
func sliceNear(r surface.Result, level float64) *surface.Slice {
	near := func(s surface.Slice) bool { return math.Abs(s.Level-level) <= 1e-6*math.Max(1, math.Abs(level)) }
	if i := slices.IndexFunc(r.Slices, near); i >= 0 {
		return &r.Slices[i]
	}
	return nil
}

// surfacePart is what only a series of two factors has.
func surfacePart(r surface.Result) *figure.Object {
	d := figure.New().List("factors", factorData(r)).Set("design", string(r.Design))
	for _, c := range []struct {
		key    string
		choice surface.Choice
		has    bool
	}{{"planning_pair", r.Planning, r.HasPlanning}, {"estimate_pair", r.Estimate, r.HasEstimate},
		{"least_residual_pair", r.LeastLeft, r.HasLeastLeft}, {"best_pair", r.Clearest, len(r.Slices) > 0}} {
		if c.has {
			d.Set(c.key, pairChoice(r, c.choice))
		}
	}
	if j := r.LowestPassing; r.HasLowestPassing {
		d.Set("lowest_passing_pair", withPair(figure.New().Set("label", j.Label), r, j.Pair).Bare(read("reading", r.Response, j.Reading)))
	}
	region := figure.Curve{}
	if len(r.Slices) > 0 {
		d.Part("saving", savingData(r)).Bare(read("target_reading", r.Response, r.Goal()))
		for _, p := range r.Hull {
			xy := surfaceXY(r, p)
			region = append(region, []float64{xy.X, xy.Y})
		}
		d.Set("grid", figure.New().Set("first", tidied(r.Grid.First)).Set("second", tidied(r.Grid.Second)).Set("fit",
			holed(r.Grid.Fit)).Set("confidence", holed(r.Grid.Confidence)))
	}
	d.List("slices", objects(r.Slices, func(v surface.Slice) *figure.Object {
		level := along("level", r.Second.PH, v.Level)
		if !v.Tested {
			level = workedOut(level, 2)
		}
		s := figure.New().Bare(level).Set("tested", v.Tested)
		if v.Reached {
			s.Set("lowest_effective_dose", intervalData(v.Effective, false, 3, quantity.NotStated))
		}
		return s.Bare(workedOut(along("planning_dose", false, float64(v.Planning)), 3).If(v.HasPlanning))
	})).Set("tested_region", region)
	if len(r.Limits) > 0 {
		d.Set("limits", r.Limits)
	}
	return d
}

// factorData is what the two factors are, and at which levels they were tested.
func factorData(r surface.Result) (out []*figure.Object) {
	only := [...]bool{r.OnlyLevelsFirst, r.OnlyLevelsSecond}
	for i, f := range [...]surface.Factor{r.First, r.Second} {
		if f.Name == "" {
			continue
		}
		x := figure.New().Set("name", f.Name)
		if !f.PH {
			x.Set("basis", f.Chemical.Basis.String())
		}
		x.Set("unit", along("", f.PH, 0).Unit).Set("levels", tidied(f.Levels))
		if only[i] {
			x.Set("only_tested_levels", true)
		}
		out = append(out, x)
	}
	return out
}

// savingData is what the second chemical is worth; nothing where none could tell.
func savingData(r surface.Result) *figure.Object {
	v := r.Saving
	if v.Verdict == surface.NotCompared || v.Verdict == "" {
		return nil
	}
	of := "dose of " + r.First.Name
	if v.OfCost {
		of = "cost"
	}
	percent := func(key string, f quantity.Fraction, has bool) figure.Figure {
		return worked(key, f.In("%"), "%", 3).In(figure.Whole).If(has)
	}
	s := figure.New().Set("verdict", string(v.Verdict)).Set("of", of).
		Bare(percent("value", v.Share, v.Has), percent("low", v.Low, v.Has), percent("high", v.High, v.Has && v.HasHigh)).
		Set("unit", "%").Bare(sure("chance", float64(v.Chance)))
	if v.HasAlone {
		s.Set("alone", pairChoice(r, v.Alone))
	}
	return s.Bare(worked("break_even_price_ratio", v.BreakEven, "", 2).If(v.BreakEven > 0))
}

// tidied takes the noise of arithmetic off numbers.
func tidied(list []float64) []float64 {
	out := make([]float64, len(list))
	for i, v := range list {
		out[i] = figure.Tidy(v)
	}
	return out
}

// holed does so for a surface; what is no ordinary number becomes null.
func holed(z [][]float64) [][]any {
	out := [][]any{}
	for _, row := range z {
		line := make([]any, len(row))
		for i, v := range row {
			if !math.IsNaN(v) && !math.IsInf(v, 0) {
				line[i] = figure.Tidy(v)
			}
		}
		out = append(out, line)
	}
	return out
}

// surfaceRow makes the object of a series its row in the table of fit: the pair's
// chemicals and the rule name the second, which has columns of its own too.
func surfaceRow(d *figure.Object, r surface.Result) {
	d.Set("targets", strings.Join(targetWords(r.Targets), " and "))
	if !r.HasPlanning {
		return
	}
	for _, b := range d.Objects("surface.planning_pair.beside") {
		key := either(b.Get("for") == string(surface.SetsPH), "ph_set", "restored")
		d.Set(key+"_with", b.Get("chemical")).Put(b.Fig("dose").As(key+"_dose"), b.Fig("cost_per_1000m3").As(key+"_cost"))
	}
	d.Put(d.Fig("surface.planning_pair.cost_per_1000m3").As("cost_per_1000m3")).Word("currency", r.Planning.Cost.Currency)
	second := secondDose("second_dose", r, r.Planning.Pair)
	rule := figure.Say("%s; with %s %s", r.Rule, second, r.Second.Name)
	if r.Second.PH {
		rule = figure.Say("%s; at pH %s", r.Rule, second)
		d.Put(second.As("ph"))
	} else {
		d.Set("second_chemical", r.Second.Name).Put(second)
	}
	d.Set("chemical", r.First.Name+" + "+r.Second.Name)
	d.Sub("planning_dose").Set("rule", Options{}.Show(rule))
}
