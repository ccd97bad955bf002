package templates

import (
	"jarwright/dosing"
	"jarwright/dosing/mixing"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// unitData is how the unit stands up to the day; empty where nothing is known of it.
func unitData(u dosing.UnitDay) *figure.Object {
	o := figure.New(figure.Of("surface_loading", u.Check.Loading, "m/h", 3).In(figure.Full).If(u.Check.HasLoading),
		figure.Of("solids_loading", u.Check.Solids, "kg/m2/h", 2).In(figure.Full).If(u.Check.HasLoading)).
		Bare(plainNumber("air_to_solids", u.Check.AirToSolids, 2).If(u.Check.HasAir))
	o.Some("mixing", objects(u.Matches, mixingObject)).Some("skimming", objects(u.Skimming, skimmingObject))
	if u.Now.Every > 0 {
		o.Part("skimming_now", skimmingObject(u.Now))
	}
	return o.Put(figure.Of("skim_at_most_every", u.Longest, "min", 2).If(u.Longest > 0))
}

func mixingObject(m mixing.Match) *figure.Object {
	gt := func(key string, s mixing.Stage) figure.Figure {
		return figure.Figure{Key: key, Q: figure.Plain{V: quantity.RoundSig(s.Gt(), 12)}, Digits: 2, Form: figure.Full}
	}
	return figure.New(figure.Of("bench_time", m.Bench.Stay, "min", 2), figure.Of("plant_time", m.Plant.Stay, "min", 2)).Set("stage", m.Bench.Duty.String()).
		Bare(figure.Of("bench_g_per_s", m.Bench.G, "", 2).In(figure.Full), gt("bench_gt", m.Bench), figure.Of("plant_g_per_s", m.Plant.G, "", 2).In(figure.Full), gt("plant_gt", m.Plant))
}

func skimmingObject(s solids.Skimming) *figure.Object {
	return figure.New(figure.Of("every", s.Every, "min", 2), figure.Of("float_depth", s.Depth, "mm", 2).In(figure.Full).If(s.HasDepth),
		litres("water_lost", s.Lost, 3).Daily(), figure.Of("bin_full_in", s.BinIn, "h", 3).If(s.BinIn > 0),
		plainNumber("passes", s.Passes, 0), figure.Of("of_the_flow", s.Share, "%", 2).In(figure.Full))
}

// unitFacts gives the unit's figures for the solids part of a plan.
func unitFacts(d *figure.Object) []Fact {
	var l facts
	l.when(d.Has("surface_loading"), "Surface loading", figure.Say("%s at peak flow, solids %s", d.Fig("surface_loading"),
		d.Fig("solids_loading")))
	l.when(d.Has("air_to_solids"), "Air to solids", figure.Say("%s at peak flow (%s to %s is usual)", d.Fig("air_to_solids"),
		mixing.LeastAir, mixing.MostAir))
	l = append(l, skimAdvice(d)...)
	for _, m := range d.Objects("mixing") {
		l.add(upperFirst(m.Said("stage")), figure.Say("jar G %s for %s, Gt %s; plant G %s for %s, Gt %s", m.Fig("bench_g_per_s"),
			m.Fig("bench_time"), m.Fig("bench_gt"), m.Fig("plant_g_per_s"), m.Fig("plant_time"), m.Fig("plant_gt")))
	}
	return l
}

// skimAdvice says how often to skim and what that costs in water: seldom gives a drier
// float, too seldom lets solids fall back.
func skimAdvice(d *figure.Object) []Fact {
	now := d.Sub("skimming_now")
	if !now.Has("every") {
		return nil
	}
	of := func(x *figure.Object) figure.Phrase {
		return figure.Say("every %s: %s of water, %s of the flow", x.Fig("every"), x.Fig("water_lost"), x.Fig("of_the_flow")).
			If(x.Has("float_depth"), ", float %s deep at peak flow", x.Fig("float_depth"))
	}
	l := []Fact{{"Skimming now", of(now)}}
	for _, x := range d.Objects("skimming") {
		if x.Fig("every").Q == d.Fig("skim_at_most_every").Q {
			l = append(l, Fact{"Skimming at most", of(x).And("; a drier float and less to get rid of, but left longer, solids fall back into the water")})
		}
	}
	if len(l) == 1 {
		l[0].Value = of(now).And("; less often gives a drier float and less to get rid of, until solids fall back into the water")
	}
	return l
}

// unitText writes what other skimming intervals would do.
func unitText(t *Text, u dosing.UnitDay, d *figure.Object) {
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
