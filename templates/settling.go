package templates

import (
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/settler"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// FitSettling gives what the jars of each result read at several settling times at its planning dose, else
// at the best dose of the tested range; nil where they were read at one time.
func FitSettling(series []jartest.Series, results []curve.Result) []*dosing.Settling {
	out := make([]*dosing.Settling, len(results))
	for i, r := range results {
		if i >= len(series) || r.Factor != "dose" {
			continue
		}
		dose := r.Best.Dose
		if r.HasPlanning {
			dose = r.Planning.Concentration
		}
		if varied := series[i].Factors(); len(varied) == 1 {
			out[i] = dosing.SettlingOf(dosing.JarsOf(series[i], varied[0], note.Place{}), r.Response, dose)
		}
	}
	return out
}

// settlingData is what the jars read at several settling times; nil where they were read at one.
func settlingData(s *dosing.Settling, targets []jartest.Target) *figure.Object {
	if s == nil {
		return nil
	}
	o := figure.New(mgL("dose", s.Dose, 4), figure.Of("depth", s.Depth.V, "m", 4).If(s.Depth.OK)).Set("reading", string(s.Key))
	o.Set("between", s.Between[:])
	o.List("points", objects(s.Curve, func(p settler.Point) *figure.Object {
		x := figure.New(figure.Of("time", p.Time, "min", 4), figure.Of("rate", p.Rate, "m/h", 3).In(figure.Full).If(s.Depth.OK),
			workedOut(read("value", s.Key, p.Reading), 3))
		if s.Raw.OK && s.Raw.V > 0 {
			x.Put(figure.Of("left", quantity.Fraction(p.Reading/s.Raw.V), "%", 3).In(figure.Full))
		}
		if p.Below {
			x.Set("below", true)
		}
		return x
	}))
	l, ok := s.Limit(targets)
	if !ok {
		return o
	}
	asked := figure.New(read("value", s.Key, l.Most)).Set("met", l.Met)
	if l.Met {
		asked.Put(figure.Of("rate", l.Rate, "m/h", 2).In(figure.Full), figure.Of("settler_safe", l.Safe, "m/h", 2).In(figure.Full),
			figure.Of("settler_bold", l.Bold, "m/h", 2).In(figure.Full)).
			Bare(plainNumber("safety_low", settler.LeastSafety, 3), plainNumber("safety_high", settler.MostSafety, 3)).Set("open", l.Open)
	}
	return o.Part("target", asked)
}

// settledInShort gives the readings with their times in one cell, "2 min 34; 5 min 21; 10 min < 9".
func settledInShort(d *figure.Object) string {
	var out []string
	for _, x := range slices.Backward(d.Objects("points")) {
		p := figure.Say("%s ", x.Fig("time")).If(x.Has("below"), "< ").And("%s", unitless(x.Fig("value")))
		out = append(out, Options{}.Show(p))
	}
	return strings.Join(out, "; ")
}

// settlingText shows it: what is left against the speed that each time stands for.
func settlingText(t *Text, o Options, s *dosing.Settling, d *figure.Object, name string) {
	if s == nil {
		return
	}
	t.Head("Settling: " + name)
	t.Say("%s", dosedWords(s, d))
	t.Blank()
	info := s.Key.Info()
	heads := cols(">settled for", ">stands for", ">"+bracketed(info.Label, o.readUnit(s.Key)), ">left of the raw water")
	t.each(heads, d.Objects("points"), func(_ int, x *figure.Object) []any {
		value := any(unitless(x.Fig("value")))
		if x.Has("below") {
			value = figure.Say("< %s", unitless(x.Fig("value")))
		}
		return []any{x.Fig("time"), x.Fig("rate"), value, x.Fig("left")}
	})
	if !s.Depth.OK {
		t.Blank()
		t.Para("How fast the flocs fall is not known, because the sheet does not say how deep the samples were drawn: write it above " +
			`the table, such as "Sampling depth | 10 cm".`)
		return
	}
	t.Plate(settlingDrawing(s, d, o))
	if !d.Has("target") {
		return
	}
	t.Blank()
	if g := d.Sub("target"); g.Get("met") == true {
		t.Say("%s is kept up to %s%s in the jar. A real settler has wind, currents and a weir: load it with %s to %s (%s to %s times less; "+
			"Eckenfelder, from memory, not checked in its source).",
			g.Fig("value"), g.Fig("rate"), either(g.Get("open") == true, ", the fastest that was tested,", ""), g.Fig("settler_safe"),
			g.Fig("settler_bold"), g.Fig("safety_low"), g.Fig("safety_high"))
	} else {
		t.Say("%s is not kept at the slowest speed that was tested: let the jars settle longer.", g.Fig("value"))
	}
}

// dosedWords say at which dose the readings are, and of which jars.
func dosedWords(s *dosing.Settling, d *figure.Object) figure.Phrase {
	p := figure.Say("At %s", d.Fig("dose"))
	if s.Between[0] == s.Between[1] {
		p = p.And(", as jar %s read", s.Between[0])
	} else {
		p = p.And(", on the straight line between jars %s and %s", s.Between[0], s.Between[1])
	}
	return p.If(d.Has("depth"), ", drawn %s below the surface. A floc that has fallen so far in the time falls as fast as the water of a "+
		"settler may rise: depth over time is its surface loading", d.Fig("depth")).And(".")
}

// settlingDrawing is the reading against the speed, with the target and what it lets a settler be loaded with.
func settlingDrawing(s *dosing.Settling, d *figure.Object, o Options) draw.Drawing {
	out := o.drawing("What settles", "")
	value, unit := o.shown(s.Key)
	x := draw.Axis{Name: "Surface loading that a sample stands for", Unit: unitOf(quantity.Loading(1), o), Zero: true}
	pan := draw.Panel{X: x, Y: readAxis(s.Key, unit)}
	line, points := draw.Line{Tone: draw.Plain}, draw.Points{Tone: draw.Doubt}
	for i, p := range s.Curve {
		points.At = append(points.At, draw.Point{XY: draw.XY{X: p.Rate.In(x.Unit), Y: value(p.Reading)}})
		const parts = 8 // the line is straight over the logarithm of the rate
		for k := range parts {
			if i == 0 {
				break
			}
			rate := s.Curve[i-1].Rate * quantity.Loading(math.Pow(float64(p.Rate/s.Curve[i-1].Rate), float64(k)/parts))
			if v, ok := s.Curve.At(rate); ok {
				line.At = append(line.At, draw.XY{X: rate.In(x.Unit), Y: value(v)})
			}
		}
	}
	line.At = append(line.At, points.At[len(points.At)-1].XY)
	pan.Layers = append(pan.Layers, line, points)
	if d.Has("target") {
		most, _ := d.Fig("target.value").Document()
		pan.Layers = append(pan.Layers, draw.Marker{Label: o.Say("target %s", d.Fig("target.value")), At: value(most),
			Stroke: draw.Dashed, Tone: draw.Limit})
	}
	out.Panels = []draw.Panel{pan}
	first, last := d.Objects("points")[0], d.Objects("points")[len(s.Curve)-1]
	out.Description = o.Say("%s left at a sample's surface loading: %s at %s, %s at %s.", upperFirst(s.Key.Info().Label), first.Fig("value"),
		first.Fig("rate"), last.Fig("value"), last.Fig("rate"))
	return out
}
