package templates

import (
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/mixing"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// likeData is how to stir, dose and sample a jar like the plant; nil where the site tells nothing of it.
func likeData(l dosing.LikePlant) *figure.Object {
	if !l.Told() {
		return nil
	}
	o := figure.New(water("flow", l.Flow), figure.Of("temperature", l.Temperature, "C", 3)).Some("stirring", objects(l.Steps, stirringData))
	if len(l.Steps) > 0 {
		o.Put(figure.Of("paddle", l.Paddle, "mm", either(l.Paddle == mixing.UsualPaddle, 2, 3)).If(l.Stirrer.Derived),
			litres("jar", l.Jar, either(l.Jar == mixing.UsualJar, 2, 3)).If(l.Stirrer.Derived))
		o.Phrase("stirrer", stirrerWords(l, o))
	}
	if len(l.Order) > 1 {
		var names []string
		for _, d := range l.Order {
			names = append(names, d.Name)
		}
		o.Set("order", names)
	}
	o.Put(figure.Of("polymer_after", l.Gap.V, "s", 3).If(l.Gap.OK), figure.Of("white_water", l.White.V, "%", 3).If(l.White.OK))
	if x := l.Sample; x.OK {
		o.Part("sample", figure.New(figure.Of("surface_loading", x.V.Loading, "m/h", 3).In(figure.Full), figure.Of("depth", x.V.Depth, "m", 3),
			figure.Of("after", x.V.After, "min", 3), figure.Of("early", x.V.Early, "min", 2), figure.Of("late", x.V.Late, "min", 2)))
	}
	return o
}

func stirringData(x mixing.JarStep) *figure.Object {
	o := figure.New(figure.Of("speed", x.Speed, "rpm", 2), figure.Of("time", x.Stay, "s", 3)).Set("stage", x.Plant.Duty.String()).
		Bare(figure.Of("g_per_s", x.Plant.G, "", 2).In(figure.Full))
	if x.Brief() {
		o.Set("too_short", true)
	}
	if x.Reach != mixing.Within {
		o.Put(figure.Of("needs_speed", x.Needs, "rpm", 2)).Set("out_of_reach", either(x.Reach == mixing.TooFast, "too fast", "too slow"))
	}
	return o
}

// stirrerWords name the stirrer that the speeds are for, and where its curve is from.
func stirrerWords(l dosing.LikePlant, d *figure.Object) figure.Phrase {
	if !l.Stirrer.Derived {
		return figure.Say("the curve of your stirrer")
	}
	return figure.Say("a flat paddle of %s in %s of water in a square jar, computed from its power number of 1.5 to 2, not measured: "+
		"within about 15 %%", d.Fig("paddle"), d.Fig("jar"))
}

// stirWords are the stages of stirring in one line.
func stirWords(d *figure.Object) figure.Phrase {
	var all []any
	for _, x := range d.Objects("stirring") {
		p := figure.Say("%s for %s", x.Fig("speed"), x.Fig("time"))
		if x.Has("needs_speed") {
			p = p.And(" (the plant's G of %s would take %s, which no usual stirrer has; this gives the same Gt)",
				x.Fig("g_per_s"), x.Fig("needs_speed"))
		}
		all = append(all, p.If(x.Has("too_short"), ", too short to copy by hand"))
	}
	return figure.And(", then ", all...)
}

// The usual time between coagulant and polymer, as sentences show it.
var usualGapLow, usualGapHigh = quantity.To(dosing.UsualGapLow, 2).In("s").Bare(), quantity.To(dosing.UsualGapHigh, 3).In("s")

// addWords say in which order the chemicals are added, and when.
func addWords(l dosing.LikePlant, d *figure.Object) (p figure.Phrase) {
	last := dosing.Turned(-1)
	for i, x := range l.Order {
		switch {
		case i == 0:
		case x.Turn == last:
			p = p.And(" and ")
		case x.Turn == dosing.LastPolymer && l.Gap.OK:
			p = p.And(", %s later ", d.Fig("polymer_after"))
		case x.Turn == dosing.LastPolymer:
			p = p.And(", %s to %s later ", usualGapLow, usualGapHigh)
		default:
			p = p.And(", then ")
		}
		p, last = p.And("%s", x.Name), x.Turn
	}
	return p.If(l.Polymer && !l.Gap.OK, " (common practice, no source; the site does not say how long after)")
}

// likeFacts say it in a plan.
func likeFacts(l dosing.LikePlant, d *figure.Object) (out facts) {
	if d == nil {
		return nil
	}
	out.when(len(l.Steps) > 0, "A jar like the plant", stirWords(d).And(", at %s", d.Fig("temperature")).If(l.Assumed, " (not given)").
		If(l.Stirrer.Derived, ", by a flat paddle of %s in %s (computed, within about 15 %%)", d.Fig("paddle"), d.Fig("jar")))
	out.when(len(l.Order) > 1 && len(l.Steps) > 0, "Add to it", addWords(l, d))
	x := d.Sub("sample")
	out.when(d.Has("sample"), either(len(l.Steps) > 0, "Sample it", "Sample a jar"), sampleWords(l, x))
	return out
}

// sampleWords say when and how deep to draw the sample that stands for the settler.
func sampleWords(l dosing.LikePlant, x *figure.Object) figure.Phrase {
	return figure.Say("%s below the surface after %s, as the settler's %s; after %s to %s to allow for a real settler, which settles less "+
		"than a jar", x.Fig("depth"), x.Fig("after"), x.Fig("surface_loading"), x.Fig("early"), x.Fig("late")).
		If(l.Sample.V.DepthAssumed, " (depth not given)")
}

// BenchLikePlant is what a bench sheet says of how to stir and sample like the plant: the values of its lines under
// Mixing, zero for those that the site does not tell, and the sentences of its guide. Of a plant whose mixing is not known the
// stirring is a usual one.
func BenchLikePlant(l dosing.LikePlant, floats bool, o Options) (lines []float64, guide []string) {
	usual := len(l.Steps) == 0
	if usual {
		l.Steps = dosing.UsualStirring(floats)
	}
	d := likeData(l)
	say := func(format string, args ...any) { guide = append(guide, o.Say(format, args...)) }
	do := either(floats, "grow faster", "grow and settle faster")
	if l.Assumed {
		say("Plant: %s; the temperature of its water is not given. Keep the jars as cold as the raw water comes: in warmer water flocs "+
			"%s (common practice, no source).", d.Fig("flow"), do)
	} else {
		say("Plant: %s, water at %s. Bring the jars to that temperature: in warmer water flocs %s (common practice, no source).",
			d.Fig("flow"), d.Fig("temperature"), do)
	}
	lines = make([]float64, 6)
	for i, x := range d.Objects("stirring") {
		step, at := l.Steps[i], 0
		if step.Plant.Duty != mixing.Rapid {
			at = 2
		}
		lines[at] = quantity.RoundSig(float64(step.Speed), 2)
		lines[at+1] = quantity.RoundSig(step.Stay.In(either(at == 0, "s", "min")), 3)
		say("%s: %s for %s%s.", upperFirst(x.Said("stage")), x.Fig("speed"), x.Fig("time"),
			either(usual, figure.Say(", as usual in jars (common practice, no source)"), asPlant(x)).
				If(step.Brief(), ", for a time too short to copy by hand"))
	}
	if d.Has("stirrer") && !usual {
		say("These speeds are for %s.%s", d.Get("stirrer"), either(l.Stirrer.Derived,
			" Another stirrer needs others: give its paddle, its jar or its curve on sheet Solids of the site.", ""))
	}
	switch {
	case len(l.Order) > 1:
		say("Add %s.", addWords(l, d))
	case len(l.Order) == 0: // the site does not say what it doses
		say("Add acid or alkali first, then the coagulant, a polymer %s to %s later (common practice, no source).", usualGapLow, usualGapHigh)
	}
	if n, off := l.GapNote(); off {
		say("In the plant %s: %s.", n.Message, n.Remedy)
	}
	if d.Has("sample") {
		lines[4] = quantity.RoundSig(l.Sample.V.After.In("min"), 3)
		say("Draw the sample %s.", sampleWords(l, d.Sub("sample")))
	}
	if usual && !floats && !d.Has("sample") {
		lines[4] = quantity.RoundSig(dosing.UsualSettling.In("min"), 3)
		say("Let them settle for %s, as usual in jars (common practice, no source).", quantity.To(dosing.UsualSettling, 2).In("min"))
	}
	if len(l.Unsaid) > 0 {
		say("Not told by the site: %s. Filled in on its sheet Solids, they make the next bench sheet more like the plant.",
			strings.Join(l.Unsaid, "; "))
	}
	if d.Has("white_water") {
		lines[4] = quantity.RoundSig(100*float64(l.White.V), 3)
		if l.Pressure.OK {
			lines[5] = quantity.RoundSig(l.Pressure.V.In("bar"), 3)
		}
		say("White water: %s of the raw water in each jar, as in the plant; the readings are corrected for it.", d.Fig("white_water"))
	}
	return lines, guide
}

// asPlant gives the plant's G, and says what it needs that no stirrer has.
func asPlant(x *figure.Object) figure.Phrase {
	if !x.Has("needs_speed") {
		return figure.Say(" (G %s)", x.Fig("g_per_s"))
	}
	return figure.Say("; the plant's G of %s would take %s, which no usual stirrer has, and this gives the same Gt",
		x.Fig("g_per_s"), x.Fig("needs_speed"))
}
