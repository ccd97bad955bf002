package templates

import (
	"jarwright/dosing"
	"jarwright/dosing/flotation"
	"jarwright/dosing/mixing"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// unitData is how the unit stands up to the day; empty where nothing is known of it.
func unitData(u dosing.UnitDay) *figure.Object {
	o := figure.New()
	if n := len(u.At); n > 0 {
		peak := unitObject(u.At[n-1])
		if whens := whens(u.At); len(whens) > 1 { // a reader has to know which flow those on top are for
			o.Set("figures_at", whens[n-1].Get("when"))
		}
		for _, key := range [...]string{"surface_loading", "solids_loading", "air_to_solids"} {
			if f := peak.Fig(key); f.Known() {
				o.Set(key, peak.Get(key))
			}
		}
		if len(u.Assumed) > 0 {
			o.Phrase("air_counted_at", assumedWords(u.Assumed))
		}
		o.Set("bubbles_from", u.Source.String()).Put(figure.Of("white_water", u.White.V, "m3/h", 3).If(u.White.OK),
			figure.Of("total_gas", quantity.Fraction(float64(u.Gas.V)/100), "%", 3).If(u.Gas.OK))
		o.Some("not_judged", objects(u.Unit.Unjudged(), func(x flotation.Unjudged) *figure.Object {
			o := figure.New().Set("what", x.Name)
			if len(x.Lacks) > 0 {
				o.Set("lacks", x.Lacks)
			}
			return o
		}))
		o.Some("at", whens(u.At)).Part("window", windowObject(u.Window)).Some("moves", objects(u.Moves, func(m flotation.Move) *figure.Object {
			return windowObject(m.Window).Phrase("what", m.What)
		}))
	}
	settlerData(o, u.Settler)
	o.Part("jars_beside_plant", kinderData(u.Kinder))
	o.Part("jar_like_plant", likeData(u.Like))
	o.Some("mixing", objects(u.Matches, mixingObject)).Some("skimming", objects(u.Skimming, skimmingObject))
	if u.Now.Every > 0 {
		o.Part("skimming_now", skimmingObject(u.Now))
	}
	return o.Put(figure.Of("skim_at_most_every", u.Longest, "min", 2).If(u.Longest > 0))
}

// whens are the states at the least, average and peak flow; one where they are the same.
func whens(at []flotation.State) []*figure.Object {
	names := [...]string{"least", "average", "peak"}
	if at[0].Flow == at[len(at)-1].Flow {
		return []*figure.Object{unitObject(at[0]).Set("when", "always")}
	}
	var out []*figure.Object
	for i, s := range at {
		out = append(out, unitObject(s).Set("when", names[i]))
	}
	return out
}

func unitObject(s flotation.State) *figure.Object {
	return figure.New(water("flow", s.Flow).In(figure.Full),
		figure.Of("surface_loading", s.Loading.V, "m/h", 3).In(figure.Full).If(s.Loading.OK),
		figure.Of("surface_loading_raw", s.Raw.V, "m/h", 3).In(figure.Full).If(s.Raw.OK),
		figure.Of("solids_loading", s.Solids.V, "kg/m2/h", 2).In(figure.Full).If(s.Solids.OK && s.Solids.V > 0),
		figure.Of("time_in_unit", s.Stay.V, "min", 2).In(figure.Full).If(s.Stay.OK),
		figure.Of("contact_time", s.Contact.V, "min", 2).In(figure.Full).If(s.Contact.OK),
		figure.Of("recycle", quantity.Fraction(s.Recycle.V), "%", 2).In(figure.Full).If(s.Recycle.OK),
		figure.Of("air_dissolved", s.Dissolved.V, "mg/L", 2).In(figure.Full).If(s.Dissolved.OK),
		figure.Of("air_drawn", s.Drawn.V, "mg/L", 2).In(figure.Full).If(s.Drawn.OK && !s.Free.OK),
		figure.Of("air_free", s.Free.V, "mg/L", 2).In(figure.Full).If(s.Free.OK),
		figure.Of("air_free_at_least", s.FreeAtLeast.V, "mg/L", 2).In(figure.Full).If(s.FreeAtLeast.OK && s.FreeAtLeast.V < s.Free.V),
		figure.Of("air_needed", s.Needed, "mg/L", 2).In(figure.Full).If(s.Free.OK),
		figure.Of("head_over_weir", s.Head.V, "mm", 2).If(s.Head.OK)).
		Bare(plainNumber("air_to_solids", float64(s.AirToSolids.V), 2).If(s.AirToSolids.OK))
}

func windowObject(w flotation.Window) *figure.Object {
	o := figure.New(water("low", w.Low.V).In(figure.Full).If(w.Low.OK), water("high", w.High.V).In(figure.Full).If(w.High.OK && w.High.V > 0)).
		Word("low_by", w.LowBy).Word("high_by", w.HighBy)
	if w.Shut {
		o.Set("shut", true)
	}
	return o.Put(water("room_to_spare_below", w.Spare.V).In(figure.Full).If(w.Spare.OK)).Word("room_to_spare_in", w.SpareBy)
}

func mixingObject(m mixing.Match) *figure.Object {
	gt := func(key string, s mixing.Stage) figure.Figure {
		return figure.Figure{Key: key, Q: figure.Plain{V: quantity.RoundSig(s.Gt(), 12)}, Digits: 2, Form: figure.Full}
	}
	return figure.New(figure.Of("bench_time", m.Bench.Stay, "min", 2), figure.Of("plant_time", m.Plant.Stay, "min", 2)).
		Set("stage", m.Bench.Duty.String()).
		Bare(figure.Of("bench_g_per_s", m.Bench.G, "", 2).In(figure.Full), gt("bench_gt", m.Bench),
			figure.Of("plant_g_per_s", m.Plant.G, "", 2).In(figure.Full), gt("plant_gt", m.Plant))
}

func skimmingObject(s solids.Skimming) *figure.Object {
	return figure.New(figure.Of("every", s.Every, "min", 2), figure.Of("float_depth", s.Depth, "mm", 2).In(figure.Full).If(s.HasDepth),
		litres("water_lost", s.Lost, 3).Daily(), figure.Of("bin_full_in", s.BinIn, "h", 3).If(s.BinIn > 0),
		plainNumber("passes", s.Passes, 0), figure.Of("of_the_flow", s.Share, "%", 2).In(figure.Full))
}

// unitPart is the part of a plan about the unit: the flows it is good for first.
func (p Plan) unitPart(t *Text, o Options, d *figure.Object) {
	l := settlerFacts(p.Unit.Settler, d)
	if p.Unit.Settler == nil {
		l = p.flotationFacts(d)
	}
	for _, m := range d.Objects("mixing") {
		l.add(upperFirst(m.Said("stage")), figure.Say("jar G %s for %s, Gt %s; plant G %s for %s, Gt %s", m.Fig("bench_g_per_s"),
			m.Fig("bench_time"), m.Fig("bench_gt"), m.Fig("plant_g_per_s"), m.Fig("plant_time"), m.Fig("plant_gt")))
	}
	l = append(l, kinderFacts(d.Sub("jars_beside_plant"))...)
	l = append(l, likeFacts(p.Unit.Like, d.Sub("jar_like_plant"))...)
	if len(l) == 0 {
		return
	}
	t.Behind("The unit")
	t.Facts(l)
	if s := p.Unit.Settler; s != nil {
		t.Plate(settlerDrawing(s, o))
		settlerTable(t, d)
		if o.Explain {
			settlerSources(t, d)
		}
		return
	}
	t.Plate(unitDrawing(p.Unit, o))
	unitTable(t, d.Objects("at"), p.Unit.At0().Binds())
	if o.Explain {
		movesTable(t, d.Objects("moves"))
		skimmingTable(t, p.Unit, d)
	}
}

// flotationFacts are the flows that a flotation unit is good for, its air and its skimming.
func (p Plan) flotationFacts(d *figure.Object) (l facts) {
	blind := d.Objects("not_judged")
	l.when(d.Has("at"), either(len(blind) == 0, "Good for flows", "Flows as judged"), windowWords(d.Sub("window"), "good for flows of any size"))
	l.when(len(blind) > 0, "Not judged", blindWords(blind))
	l.when(d.Has("window.room_to_spare_below"), "Room to spare", spareWords(p.Unit.Window, d.Sub("window")))
	l.when(d.Has("white_water"), "White water", figure.Say("%s at every flow", d.Fig("white_water")))
	l.when(d.Has("at") && !d.Has("total_gas") && len(p.Unit.Unit.AirLacks()) == 0, "Water depth", figure.Say("not given: air is counted at the surface"))
	l.when(d.Has("at") && p.Unit.Source != flotation.Saturator, "Bubbles from", figure.Say("%s", d.Get("bubbles_from")))
	l.when(len(p.Unit.Assumed) > 0, "Air is counted at", assumedWords(p.Unit.Assumed).And(": defaults, not given"))
	l.when(d.Has("total_gas"), "Gas in the water that leaves", figure.Say("up to %s of what open water holds", d.Fig("total_gas")).
		If(p.Unit.Unit.Depth.V > flotation.TakesUpTo, ", taken up by the whole depth"))
	return append(l, skimAdvice(d)...)
}

// assumedWords list the defaults that air is counted with.
func assumedWords(list []figure.Phrase) (out figure.Phrase) {
	for i, x := range list {
		out = out.If(i > 0, ", ").And("%s", x)
	}
	return out
}

// blindWords say what no guide is held to, and for want of what.
func blindWords(blind []*figure.Object) (out figure.Phrase) {
	for i, x := range blind {
		lacks, _ := x.Get("lacks").([]string)
		out = out.If(i > 0, "; ").And("%s", x.Get("what")).
			If(len(lacks) > 0, ", for want of %s", listed(lacks)).If(len(lacks) == 0, ", for its bubbles are too large")
	}
	return out
}

// spareWords say in what there is room to spare, at which of the flows that the unit is good for.
func spareWords(w flotation.Window, d *figure.Object) figure.Phrase {
	if w.High.OK && w.Spare.V >= w.High.V {
		return figure.Say("in %s at every flow of these", w.SpareBy)
	}
	return figure.Say("in %s below %s", w.SpareBy, d.Fig("room_to_spare_below"))
}

// windowWords say between which flows every guide holds, and which ends them.
func windowWords(w *figure.Object, open string) figure.Phrase {
	low, high := w.Has("low"), w.Has("high")
	switch {
	case w.Has("shut") && !high:
		return figure.Say("none: %s fails at every flow", w.Said("high_by"))
	case w.Has("shut"):
		return figure.Say("none: %s asks for %s or more, %s for %s or less", w.Said("low_by"), w.Fig("low"), w.Said("high_by"), w.Fig("high"))
	case low && high:
		return figure.Say("%s to %s (%s ends it below, %s above)", w.Fig("low"), w.Fig("high"), w.Said("low_by"), w.Said("high_by"))
	case high:
		return figure.Say("up to %s (%s ends it)", w.Fig("high"), w.Said("high_by"))
	case low:
		return figure.Say("from %s (%s begins it)", w.Fig("low"), w.Said("low_by"))
	}
	return figure.Say(open)
}

// unitTable has what the unit does at each flow.
func unitTable(t *Text, at []*figure.Object, solidsBind bool) {
	if len(at) == 0 {
		return
	}
	heads := []string{"the unit at"}
	for _, x := range at {
		heads = append(heads, ">"+either(len(at) > 1, x.Said("when")+" flow", "every flow"))
	}
	var rows [][]any
	for _, r := range [...][2]string{{"flow", "flow"}, {"surface_loading", "surface loading, white water counted"}, {"surface_loading_raw", "surface loading without it"},
		{"solids_loading", "solids loading"}, {"time_in_unit", "time in the unit"}, {"contact_time", "time in the contact zone"}, {"recycle", "white water over flow"},
		{"air_dissolved", "air above what open water holds, per volume treated"}, {"air_drawn", "air drawn, not judged"},
		{"air_free", "air set free, per volume treated"},
		{"air_free_at_least", "the same, air taken up by the whole depth (the least; not judged)"}, {"air_needed", "air needed, per volume treated"}, {"air_to_solids", "air to solids"},
		{"head_over_weir", "level over the weir"}} {
		white := at[0].Has("recycle")
		if r[0] == "air_to_solids" && !solidsBind || r[0] == "surface_loading_raw" && !white { // the water binds, or both are the same
			continue
		}
		if r[0] == "surface_loading" && !white {
			r[1] = "surface loading"
		}
		row := []any{r[1]}
		if r[0] == "air_free" && at[0].Has("air_free_at_least") {
			row[0] = figure.Say("%s, air taken up by the top %s (this is judged)", r[1], quantity.To(flotation.TakesUpTo, 2))
		}
		for _, x := range at {
			if !x.Has(r[0]) {
				break
			}
			row = append(row, x.Fig(r[0]))
		}
		if len(row) == len(heads) {
			rows = append(rows, row)
		}
	}
	t.Blank()
	t.Grid(cols(heads...), rows)
}

// movesTable has the flows it is good for after each thing that can be turned.
func movesTable(t *Text, moves []*figure.Object) {
	if len(moves) == 0 {
		return
	}
	t.Blank()
	t.each(cols("with the", ">good up to", "ended by"), moves, func(_ int, x *figure.Object) []any {
		if x.Has("shut") {
			return []any{x.Get("what"), "none", x.Said("high_by")}
		}
		return []any{x.Get("what"), x.Fig("high"), x.Said("high_by")}
	})
}

// skimAdvice says how often to skim and what that costs in water: seldom gives a drier
// float, too seldom lets solids fall back.
func skimAdvice(d *figure.Object) []Fact {
	now := d.Sub("skimming_now")
	if !now.Has("every") {
		return nil
	}
	of := func(x *figure.Object) figure.Phrase {
		return figure.Say("every %s: %s of water a day in %s passes, %s of the flow", x.Fig("every"), x.Fig("water_lost"), x.Fig("passes").In(figure.Brief), x.Fig("of_the_flow")).
			If(x.Has("float_depth"), ", float %s deep at peak flow", x.Fig("float_depth"))
	}
	l := []Fact{{"Skimming now", of(now)}}
	for _, x := range d.Objects("skimming") {
		if x.Fig("every").Q == d.Fig("skim_at_most_every").Q {
			l = append(l, Fact{"Skim at the latest", of(x).And("; a drier float and less to get rid of, but left longer, solids fall back into the water")})
		}
	}
	if len(l) == 1 {
		l[0].Value = of(now).And("; less often gives a drier float and less to get rid of, until solids fall back into the water")
	}
	return l
}

// skimmingTable writes what other skimming intervals would do.
func skimmingTable(t *Text, u dosing.UnitDay, d *figure.Object) {
	if len(u.Skimming) == 0 {
		return
	}
	t.Blank()
	t.each(cols(">skim every", ">passes a day", ">float depth", ">water lost a day", ">of the flow", ">bin full in", ""),
		d.Objects("skimming"),
		func(i int, x *figure.Object) []any {
			remark := ""
			switch s := u.Skimming[i]; {
			case s.Every == u.Longest:
				remark = "longest"
			case s.HasDepth && s.TooDeep:
				remark = "too deep"
			}
			return []any{x.Fig("every"), x.Fig("passes"), x.Fig("float_depth"), x.Fig("water_lost"), x.Fig("of_the_flow"),
				x.Fig("bin_full_in").In(figure.Long), remark}
		})
}
