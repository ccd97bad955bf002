package dosing

import (
	"math"
	"strings"

	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// PumpOf gives a pump with its calibration: from drawdown readings, else from
// the nameplate.
func PumpOf(p site.Pump, readings []site.Drawdown) (*pump.Pump, error) {
	out := &pump.Pump{Name: p.Name.V, Turndown: p.Turndown.V, OfScale: p.Accuracy.V}
	step, err := site.OnScale(p.Step, p.Scale)
	if err != nil {
		return nil, err
	}
	out.Setting.Step, out.Stroke.Step = step, p.StrokeStep.Or(step)
	out.Stays = p.Stroke.V
	out.Scale, out.Tube = pump.Scale{Top: p.Scale.V.V, Unit: p.Scale.V.Unit}, p.PumpTube.V
	if turns := p.Scale.V; !p.Max.OK && p.PerTurn.OK && turns.Unit == "rpm" { // what a turn gives, as often as it turns
		p.Max = quantity.Known[quantity.FeedRate]{V: quantity.FeedRate(p.PerTurn.V.In("mL") * turns.V), OK: true, At: p.PerTurn.At}
	}
	if out.Turndown == 0 && p.Least.OK && p.Max.OK && p.Least.V > 0 {
		out.Turndown = float64(p.Max.V / p.Least.V)
	}
	list, err := ReadingsOf(readings, p.Scale)
	if err != nil {
		return nil, err
	}
	switch {
	case len(list) >= 2, len(list) == 1 && !p.Max.OK: // of one, the fit says why it does not do
		c, err := pump.Fit(list)
		if err != nil {
			return nil, err
		}
		out.Calibration = c
		if p.Knobs.V != site.KnobStroke { // whose stroke is what is set
			out.Calibration.Stands(p.Stroke.V)
		}
	case p.Max.OK:
		out.Calibration = plated(p, out)
		if len(list) == 1 {
			out.Calibration.Notes.Add(note.New(note.Caution, "reading-left-out",
				"one drawdown reading gives no line: the nameplate is used").At(list[0].At).Do("take a second one, at another setting"))
		}
		out.Calibration = out.Calibration.Of(p.Name.V)
	default:
		return nil, p.Max.Missing(strings.TrimSpace("the largest rate of the pump "+p.Name.V),
			`give it, such as "1.8 L/h", or at least two drawdown readings`)
	}
	return out, nil
}

// plated is the curve of a pump that has its plate alone, with the stroke where it stands. Of two knobs
// the stroke is left at full where nobody says where it stands.
func plated(p site.Pump, out *pump.Pump) pump.Calibration {
	switch full := quantity.Setting(100); {
	case p.Knobs.V == site.KnobBoth:
		out.Stays = p.Stroke.Or(full)
		return pump.FromNameplateOfTwo(p.Max.V)
	case p.Knobs.V != site.KnobStroke && p.Stroke.OK && p.Stroke.V < full:
		return pump.FromNameplateAt(p.Max.V, p.Stroke.V)
	}
	return pump.FromNameplate(p.Max.V)
}

// ReadingsOf gives the timed readings of a pump, each from its rate or from volume and
// time, at positions in per cent or in marks of the knob's scale.
func ReadingsOf(rows []site.Drawdown, scale quantity.Known[site.Knob]) ([]pump.Reading, error) {
	var list []pump.Reading
	for _, d := range rows {
		at, err := site.OnScale(d.Speed, scale)
		if err != nil {
			return nil, err
		}
		r := pump.Reading{Position: pump.Position{Setting: at, Stroke: d.Stroke.V}, HasStroke: d.Stroke.OK, At: d.Speed.At}
		switch {
		case d.Rate.OK:
			r.Rate = d.Rate.V
		case d.Volume.OK && d.Time.OK:
			r.Rate = pump.Drawdown(d.Volume.V, d.Time.V)
		case d.Volume.OK:
			return nil, d.Time.Missing("the time of the reading", "give volume and time, or the rate")
		default:
			return nil, d.Volume.Missing("the volume of the reading", "give volume and time, or the rate")
		}
		list = append(list, r)
	}
	return list, nil
}

// heads reads a list such as "0.7 L/h; 4.5 L/h"; what cannot be read is left out.
func heads(text string) []quantity.FeedRate {
	var out []quantity.FeedRate
	for _, s := range strings.Split(text, ";") {
		if r, err := quantity.Parse[quantity.FeedRate](strings.TrimSpace(s)); err == nil && r > 0 && !math.IsInf(float64(r), 0) {
			out = append(out, r)
		}
	}
	return out
}
