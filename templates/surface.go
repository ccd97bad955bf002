package templates

import (
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// surfaceSeries is a series of two factors with its figures.
type surfaceSeries struct {
	surface.Result
	d *figure.Object
}

// pairPhrase writes a pair with its units and bases.
func pairPhrase(r surface.Result, p surface.Pair) figure.Phrase {
	part := func(f surface.Factor, dose figure.Figure) figure.Phrase {
		if f.Chemical.Basis == quantity.NotStated {
			return figure.Say("%s %s", f.Name, dose)
		}
		return figure.Say("%s %s (%s)", f.Name, dose, f.Chemical.Basis.String())
	}
	first, second := part(r.First, firstDose("", p)), secondDose("", r, p)
	switch {
	case r.Second.PH:
		return figure.Say("%s at pH %s", first, second)
	case p.Second == 0:
		return figure.Say("%s, no %s", first, r.Second.Name)
	}
	return figure.Say("%s with %s", first, part(r.Second, second))
}

// shortPair writes a pair as "18.8 + 0.80 mg/L", first chemical first.
func shortPair(r surface.Result, p surface.Pair) figure.Phrase {
	if r.Second.PH {
		return figure.Say("%s at pH %s", firstDose("", p), secondDose("", r, p))
	}
	return figure.Say("%s + %s", unitless(firstDose("", p)), secondDose("", r, p))
}

// text shows one series of two factors: the pair first, then the picture, the needed
// dose at each level, and the jars.
func (r surfaceSeries) text(t *Text, o Options) {
	t.Answer(r.reply(o))
	p, drawn := r.panel(o)
	picture := draw.Drawing{Title: either(t.paper(), r.says(o), ""), Panels: []draw.Panel{p}, DecimalComma: o.DecimalComma, Description: r.words(o)}
	if drawn && t.paper() { // where the decision lies, beside its answer
		t.Picture(picture, t.width, 18)
	}
	t.Part("The pair")
	r.answer(t)
	if drawn && !t.paper() {
		t.Blank()
		t.Picture(picture, t.width, 18)
	}
	r.slices(t)
	r.jars(t, o)
	t.aside(below(r.Notes, note.Caution, nil))
	if o.Explain && len(r.Method) > 0 {
		r.working(t)
	}
}

func (r surfaceSeries) answer(t *Text) {
	var l facts
	part := func(path string) figure.Figure { return r.d.Fig("surface." + path) }
	if r.HasPlanning {
		cost := part("planning_pair.cost_per_1000m3")
		l.add("Planning pair", pairPhrase(r.Result, r.Planning.Pair))
		l.add("Expected there", part("planning_pair.fit"))
		l.when(cost.Known(), "Cost", cost)
		l.needs(r.d.Objects("surface.planning_pair.beside"))
		l.add("Chosen as", r.Rule)
	}
	saving := r.saving()
	l.when(saving.Format != "", "Against "+r.First.Name+" alone", saving)
	l.when(r.HasEstimate, "As likely as not at", pairPhrase(r.Result, r.Estimate.Pair))
	l.when(r.HasLeastLeft && !r.Second.PH && r.LeastLeft.Pair != r.Planning.Pair, "Least left in the water",
		withCost(pairPhrase(r.Result, r.LeastLeft.Pair), part("least_residual_pair.cost_per_1000m3")))
	l.when(r.HasLowestPassing, "Cheapest jar that passes", figure.Say("%s: %s, read %s", jarName(r.LowestPassing.Label),
		pairPhrase(r.Result, r.LowestPassing.Pair), part("lowest_passing_pair.reading")))
	l.asked(r.Targets, r.Binding, r.d)
	if len(r.Slices) > 0 {
		l.add("Best of the tested region", figure.Say("%s, fitted %s", pairPhrase(r.Result, r.Clearest.Pair), part("best_pair.fit")))
		l.add("Jars laid out as", string(r.Design))
	}
	t.Facts(l)
}

// withCost adds what something costs, where that is known.
func withCost(p figure.Phrase, cost figure.Figure) figure.Phrase {
	return p.If(cost.Known(), ", %s", cost)
}

func jarName(label string) string { return either(label == "", "a jar", "jar "+label) }

// saving says what the second chemical is worth; nothing where it was not compared.
func (r surfaceSeries) saving() figure.Phrase {
	s, d := r.Saving, r.d.Sub("surface.saving")
	what := either(s.OfCost, "of the cost", "of the "+r.First.Name)
	share := figure.Say("%s %s (90 %% interval %s and up)", d.Fig("value"), what, d.Fig("low"))
	if s.HasHigh {
		share = figure.Say("%s %s (90 %% interval %s to %s)", d.Fig("value"), what, unitless(d.Fig("low")), d.Fig("high"))
	}
	var out figure.Phrase
	switch s.Verdict {
	case surface.Pays:
		switch {
		case s.Has && s.OfCost:
			out = figure.Say("saves %s", share)
		case s.Has:
			out = figure.Say("%s can save %s", r.Second.Name, share)
		default:
			out = figure.Say("%s pays", r.Second.Name)
		}
	case surface.AddsNothing:
		out = figure.Say("%s adds nothing here", r.Second.Name)
	case surface.CannotTell:
		out = figure.Say("these jars cannot tell whether %s pays", r.Second.Name)
		out = out.If(s.Has, ": %s", share)
	case surface.Needed:
		return figure.Say("%s alone does not meet the target within the tested doses", r.First.Name)
	default:
		return out
	}
	if s.HasAlone {
		out = withCost(figure.Say("%s; alone it takes %s to be as sure", out, firstDose("", s.Alone.Pair)), d.Fig("alone.cost_per_1000m3"))
	}
	if s.BreakEven > 0 && !s.OfCost {
		out = figure.Say("%s; the pair is cheaper while a kilogram of %s costs less than %s times one of %s", out, r.Second.Name,
			d.Fig("break_even_price_ratio"), r.First.Name)
	}
	return out
}

// secondHead is the heading of a column of the second factor.
func secondHead(f surface.Factor) string {
	return bracketed(f.Name, either(f.PH, "", "mg/L"))
}

func (r surfaceSeries) slices(t *Text) {
	if len(r.Slices) == 0 || r.Outcome != curve.Found {
		return
	}
	t.Blank()
	t.Part("At each level")
	t.each(cols(">"+secondHead(r.Second), ">"+r.First.Name+" needed (90 % interval)", ">to plan with"), r.d.Objects("surface.slices"),
		func(i int, s *figure.Object) []any {
			level, need := any(unitless(s.Fig("level"))), any("not met within the tested doses")
			if !r.Slices[i].Tested {
				level = figure.Say("planned %s", level)
			}
			if d := s.Sub("lowest_effective_dose"); d.Has("value") {
				need = interval(d)
			}
			return []any{level, need, s.Fig("planning_dose")}
		})
}

func (r surfaceSeries) jars(t *Text, o Options) {
	if len(r.Jars) == 0 {
		return
	}
	t.Blank()
	t.Part("The jars")
	t.each(cols("jar", ">"+r.First.Name+" (mg/L)", ">"+secondHead(r.Second), ">"+bracketed(r.Response.Info().Label, o.readUnit(r.Response)),
		">fitted", "remark"),
		r.d.Objects("jars"), func(i int, d *figure.Object) []any {
			j := r.Jars[i]
			return []any{j.Label, unitless(d.Fig("dose")), unitless(along("", r.Second.PH, surfaceXY(r.Result, j.Pair).Y)),
				readCell(d), unitless(d.Fig("fitted")), either(j.Used, "", "left out: ") + j.Why}
		})
}

func (r surfaceSeries) working(t *Text) {
	if len(r.Lacks) > 0 {
		t.Behind(betterTest)
		t.Notes(r.Lacks)
	}
	t.steps("Working: "+seriesName(r.Series, r.Place), r.Method)
	t.Blank()
	var rows [][]any
	for _, m := range r.Models {
		if m.Weight >= 0.001 {
			rows = append(rows, []any{m.Name, r.d.Sub("model.weights").Get(m.Name)})
		}
	}
	t.Grid(cols("model", ">share of the answer"), rows)
	t.Blank()
	t.Say("Scatter of a jar about the surface: %s. Cost is dose times price (%s is %s per %s), and what the notes say is counted beside.",
		r.d.Fig("scatter.value"),
		quantity.Concentration(1), massPerWater("", 1, 4).In(figure.Brief), t.opt.thousand())
}

// surfaceOverview is a series' line where there are several.
func surfaceOverview(r surface.Result) []any {
	plan, need := any(figure.Figure{}), any(figure.Figure{})
	if r.HasPlanning {
		plan = shortPair(r, r.Planning.Pair)
	}
	if r.HasEstimate {
		need = shortPair(r, r.Estimate.Pair)
	}
	return []any{seriesName(r.Series, r.Place), outcomeWords(r.Outcome), plan, need}
}
