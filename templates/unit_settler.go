package templates

import (
	"jarwright/dosing"
	"jarwright/dosing/flotation"
	"jarwright/dosing/settler"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// settlerData adds how a settler stands up to the day.
func settlerData(o *figure.Object, d *dosing.SettlerDay) {
	if d == nil {
		return
	}
	at := settlerWhens(d.At)
	if len(at) > 1 {
		o.Set("figures_at", at[len(at)-1].Get("when"))
	}
	if f := at[len(at)-1].Fig("surface_loading"); f.Known() {
		o.Set("surface_loading", at[len(at)-1].Get("surface_loading"))
	}
	o.Some("not_judged", objects(d.Unjudged(), func(x [2]string) *figure.Object {
		return figure.New().Set("what", x[0]).Set("lacks", []string{x[1]})
	}))
	o.Some("at", at).Part("window", windowObject(settlerWindow(*d)))
	o.Some("guides", objects(d.Unit.Guides(), func(g settler.Guide) *figure.Object {
		return figure.New(figure.Figure{Key: "bound", Q: g.Bound, Digits: 3, Form: figure.Full}, water("flow", g.Most).In(figure.Full)).
			Set("what", g.Name).Set("side", g.Side).Set("source", g.Source)
	}))
	if d.Jars != nil && d.Jars.Depth.OK {
		jars := settlingData(d.Jars, d.Targets)
		if l, told := d.Limit(); told && l.Met {
			safe, bold := l.Flows(d.Unit.Area.V)
			jars.Sub("target").Put(water("flow_safe", safe).In(figure.Full), water("flow_bold", bold).In(figure.Full))
		}
		o.Part("settling", jars.Some("expected", objects(d.Expected(), func(x dosing.Settles) *figure.Object {
			k := d.Jars.Key
			return figure.New(figure.Of("surface_loading", x.Loading, "m/h", 3).In(figure.Full), workedOut(read("jar", k, x.Jar.V), 2).If(x.Jar.OK),
				workedOut(read("low", k, x.Low.V), 2).If(x.Low.OK), workedOut(read("high", k, x.High.V), 2).If(x.High.OK)).Set("when", x.When)
		})))
	}
}

// settlerWindow is the flows that a settler is good for, none of which is too small.
func settlerWindow(d dosing.SettlerDay) flotation.Window {
	most, by, ok := d.Most()
	return flotation.Window{High: quantity.Known[quantity.Flow]{V: most, OK: ok}, HighBy: by}
}

// settlerWhens are the states at the least, average and peak flow; one where they are the same.
func settlerWhens(at []settler.State) []*figure.Object {
	one := func(s settler.State, when string) *figure.Object {
		return figure.New(water("flow", s.Flow).In(figure.Full),
			figure.Of("surface_loading", s.Loading.V, "m/h", 3).In(figure.Full).If(s.Loading.OK),
			figure.Of("time_in_unit", s.Stay.V, "h", 3).If(s.Stay.OK),
			figure.Of("weir_loading", s.Weir.V, "m3/h/m", 3).In(figure.Full).If(s.Weir.OK)).Set("when", when)
	}
	if at[0].Flow == at[len(at)-1].Flow {
		return []*figure.Object{one(at[0], "always")}
	}
	var out []*figure.Object
	for i, name := range [...]string{"least", "average", "peak"} {
		out = append(out, one(at[i], name))
	}
	return out
}

// settlerFacts are the flows that a settler is good for, and what the jars say of its loading.
func settlerFacts(d *dosing.SettlerDay, o *figure.Object) (l facts) {
	if d == nil {
		return nil
	}
	blind := o.Objects("not_judged")
	l.when(o.Has("window.high"), either(len(blind) == 0, "Good for flows", "Flows as judged"), windowWords(o.Sub("window"), ""))
	if g := o.Sub("settling.target"); g.Has("flow_safe") {
		l.add("By the jars", figure.Say("%s is kept up to %s to %s, %s to %s; %s%s in the jar", g.Fig("value"), g.Fig("flow_safe"),
			g.Fig("flow_bold"), g.Fig("settler_safe"), g.Fig("settler_bold"), g.Fig("rate"), either(g.Get("open") == true, ", the fastest that was tested,", "")))
	}
	l.when(len(blind) > 0, "Not judged", blindWords(blind))
	for _, x := range o.Objects("settling.expected") {
		unit := d.Jars.Key.Info().Label
		when := either(x.Said("when") == "always", "", " at "+x.Said("when")+" flow")
		switch {
		case x.Has("low") && x.Has("high"):
			l.add("As the jars settled", figure.Say("%s to %s %s%s at %s", unitless(x.Fig("low")), x.Fig("high"), unit, when,
				x.Fig("surface_loading")).If(x.Has("jar"), ", where the jar read %s", x.Fig("jar")))
		case x.Has("jar"):
			l.add("As the jars settled", figure.Say("%s %s%s at %s in the jar; what a real settler adds was not tested", x.Fig("jar"), unit, when,
				x.Fig("surface_loading")))
		}
	}
	return l
}

// settlerTable has what a settler does at each flow, beside what it is held to.
func settlerTable(t *Text, d *figure.Object) {
	at := d.Objects("at")
	heads := []string{"the settler at"}
	for _, x := range at {
		heads = append(heads, ">"+either(len(at) > 1, x.Said("when")+" flow", "every flow"))
	}
	usual := d.Has("guides")
	if usual {
		heads = append(heads, ">usual")
	}
	var rows [][]any
	for _, r := range [...][2]string{
		{"flow", "flow"}, {"surface_loading", "surface loading"}, {"time_in_unit", "time in the settler"}, {"weir_loading", "weir loading"},
	} {
		if !at[0].Has(r[0]) {
			continue
		}
		row := []any{r[1]}
		for _, x := range at {
			row = append(row, x.Fig(r[0]))
		}
		if usual {
			row = append(row, usualWords(d.Objects("guides"), r[1]))
		}
		rows = append(rows, row)
	}
	t.Blank()
	t.Grid(cols(heads...), rows)
}

// usualWords are what a figure is held to; nothing where no guide speaks of it.
func usualWords(guides []*figure.Object, what string) any {
	for _, g := range guides {
		if g.Said("what") == what {
			return figure.Say("%s %s", g.Said("side"), g.Fig("bound"))
		}
	}
	return ""
}

// settlerSources name where the figures that a settler is held to come from.
func settlerSources(t *Text, d *figure.Object) {
	for _, g := range d.Objects("guides") {
		t.Item("-", t.opt.Say("%s: %s %s [%s]", g.Get("what"), g.Get("side"), g.Fig("bound"), g.Get("source")))
	}
}

// settlerDrawing is the surface loading against the flow, with what it is held to.
func settlerDrawing(d *dosing.SettlerDay, o Options) draw.Drawing {
	out := o.drawing("The settler at every flow", "")
	if !d.Unit.Area.OK {
		return out
	}
	x := draw.Axis{Name: "Flow; the points are the least, average and peak of the day", Unit: unitOf(quantity.Flow(1), o), Zero: true}
	pan := draw.Panel{X: x, Y: draw.Axis{Name: "Surface loading, dashed: at most", Unit: unitOf(quantity.Loading(1), o), Zero: true}}
	at := func(s settler.State) draw.XY { return draw.XY{X: s.Flow.In(x.Unit), Y: s.Loading.V.In(pan.Y.Unit)} }
	line, points := draw.Line{Tone: draw.Plain}, draw.Points{Tone: draw.Doubt}
	for _, q := range [...]quantity.Flow{d.At[0].Flow / 2, d.At[len(d.At)-1].Flow * 1.25} {
		line.At = append(line.At, at(d.Unit.At(q)))
	}
	for _, s := range d.At {
		points.At = append(points.At, draw.Point{XY: at(s)})
	}
	pan.Layers = append(pan.Layers, line, points)
	for _, g := range d.Unit.Guides() {
		if bound, is := g.Bound.(quantity.Loading); is {
			pan.Layers = append(pan.Layers, draw.Marker{At: bound.In(pan.Y.Unit), Stroke: draw.Dashed, Tone: draw.Limit})
		}
	}
	if l, told := d.Limit(); told && l.Met && !l.Open {
		pan.Layers = append(pan.Layers, draw.Marker{Label: "as the jars settled", At: l.Safe.In(pan.Y.Unit),
			Stroke: draw.Dashed, Tone: draw.Plain})
	}
	out.Panels = []draw.Panel{pan}
	out.Description = o.Say("How the settler goes with the flow. Good for flows: %s.",
		windowWords(windowObject(settlerWindow(*d)), "of any size, as far as judged"))
	return out
}
