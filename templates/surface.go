package templates

import (
	"fmt"

	"jarwright/jartest/curve"
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

func (r surfaceSeries) head() string {
	if r.First.Name == "" {
		return seriesName(r.Series, r.Place)
	}
	return fmt.Sprintf("%s: %s with %s against %s", seriesName(r.Series, r.Place), r.First.Name, r.Second.Name, r.Response.Info().Label)
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
	t.Head(r.head())
	r.answer(t)
	if p, ok := r.panel(o); ok {
		t.Blank()
		t.Picture(draw.Drawing{Panels: []draw.Panel{p}, DecimalComma: o.DecimalComma, Description: r.words(o)}, 18)
	}
	r.slices(t)
	r.jars(t, o)
	if len(r.Notes) > 0 {
		t.Blank()
		t.Notes(r.Notes)
	}
	if o.Explain && len(r.Method) > 0 {
		r.working(t, o)
	}
}

func (r surfaceSeries) answer(t *Text) {
	var facts []Fact
	add := func(name string, value any) { facts = append(facts, Fact{name, value}) }
	part := func(path string) figure.Figure { return r.d.Fig("surface." + path) }
	switch {
	case r.HasPlanning:
		add("Planning pair", pairPhrase(r.Result, r.Planning.Pair))
		add("Expected there", figure.Say("%s; meets the target %s", part("planning_pair.fit"), timesInTen(part("planning_pair.confidence"))))
		if cost := part("planning_pair.cost_per_1000m3"); cost.Known() {
			add("Cost", cost)
		}
		add("Chosen as", r.Rule)
	case r.Outcome == curve.Found:
		add("Planning pair", "none: no tested pair is sure enough")
	default:
		add("Answer", "no pair: "+outcomeWords(r.Outcome))
	}
	if s := r.saving(); s.Format != "" {
		add("Against "+r.First.Name+" alone", s)
	}
	if r.HasEstimate {
		add("As likely as not at", pairPhrase(r.Result, r.Estimate.Pair))
	}
	if r.HasLeastLeft && !r.Second.PH && r.LeastLeft.Pair != r.Planning.Pair {
		add("Least left in the water", withCost(pairPhrase(r.Result, r.LeastLeft.Pair), part("least_residual_pair.cost_per_1000m3")))
	}
	if r.HasLowestPassing {
		add("Cheapest jar that passes", figure.Say("%s: %s, read %s", jarName(r.LowestPassing.Label),
			pairPhrase(r.Result, r.LowestPassing.Pair), part("lowest_passing_pair.reading")))
	}
	if len(r.Targets) > 0 {
		add("Target", targetsPhrase(r.Targets))
		if r.d.Has("binding_target") {
			add("Target that decides", targetPhrase(r.Targets[r.Binding]))
		}
	}
	if r.d.Has("reference") {
		add("Removal counted from", figure.Say("%s, %s", r.Reference.What, r.d.Fig("reference.value")))
	}
	if len(r.Slices) > 0 {
		add("Best of the tested region", figure.Say("%s, fitted %s", pairPhrase(r.Result, r.Clearest.Pair), part("best_pair.fit")))
		add("Jars laid out as", string(r.Design))
	}
	t.Facts(facts)
}

// withCost adds what something costs, where that is known.
func withCost(p figure.Phrase, cost figure.Figure) figure.Phrase {
	if !cost.Known() {
		return p
	}
	return figure.Say("%s, %s", p, cost)
}

func jarName(label string) string {
	if label == "" {
		return "a jar"
	}
	return "jar " + label
}

// saving says what the second chemical is worth; nothing where it was not compared.
func (r surfaceSeries) saving() figure.Phrase {
	s, d := r.Saving, r.d.Sub("surface.saving")
	what := "of the " + r.First.Name
	if s.OfCost {
		what = "of the cost"
	}
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
		if s.Has {
			out = figure.Say("%s: %s", out, share)
		}
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
	if f.PH {
		return f.Name
	}
	return f.Name + " (mg/L)"
}

func (r surfaceSeries) slices(t *Text) {
	if len(r.Slices) == 0 || r.Outcome != curve.Found {
		return
	}
	var rows [][]any
	for i, s := range r.d.Objects("surface.slices") {
		level, need := any(unitless(s.Fig("level"))), any("not met within the tested doses")
		if !r.Slices[i].Tested {
			level = figure.Say("planned %s", level)
		}
		if d := s.Sub("lowest_effective_dose"); d.Has("value") {
			need = interval(d)
		}
		rows = append(rows, []any{level, need, s.Fig("planning_dose")})
	}
	t.Blank()
	t.Grid([]Col{{Head: secondHead(r.Second), Right: true}, {Head: r.First.Name + " needed (90 % interval)", Right: true},
		{Head: "to plan with", Right: true}}, rows)
}

func (r surfaceSeries) jars(t *Text, o Options) {
	if len(r.Jars) == 0 {
		return
	}
	var rows [][]any
	for i, d := range r.d.Objects("jars") {
		j := r.Jars[i]
		remark := j.Why
		if !j.Used {
			remark = "left out: " + j.Why
		}
		rows = append(rows, []any{j.Label, unitless(d.Fig("dose")), unitless(along("", r.Second.PH, surfaceXY(r.Result, j.Pair).Y)),
			readCell(d), unitless(d.Fig("fitted")), remark})
	}
	t.Blank()
	t.Grid([]Col{{Head: "jar"}, {Head: r.First.Name + " (mg/L)", Right: true}, {Head: secondHead(r.Second), Right: true},
		{Head: readHead(r.Response.Info().Label, readingOf(r.Response, 0), o), Right: true}, {Head: "fitted", Right: true}, {Head: "remark"}},
		rows)
}

func (r surfaceSeries) working(t *Text, o Options) {
	t.Head("Working: " + seriesName(r.Series, r.Place))
	for i, m := range r.Method {
		t.Item(fmt.Sprintf("%d.", i+1), upperFirst(o.decimals(m))+".")
	}
	t.Blank()
	var rows [][]any
	for _, m := range r.Models {
		if m.Weight >= 0.001 {
			rows = append(rows, []any{m.Name, r.d.Sub("model.weights").Get(m.Name)})
		}
	}
	t.Grid([]Col{{Head: "model"}, {Head: "share of the answer", Right: true}}, rows)
	t.Blank()
	t.Say("Scatter of a jar about the surface: %s. Cost is dose times price (%s is %s per %s), and what the notes say is counted beside.",
		r.d.Fig("scatter.value"),
		quantity.Concentration(1), massPerWater("", 1, 4).In(figure.Brief), o.thousand())
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
