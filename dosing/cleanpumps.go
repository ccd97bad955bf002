package dosing

import (
	"math"

	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// reach says of each pump what a plan says of it: that nobody calibrated it, that its knob is coarse, and which
// settings of the list it cannot be set to.
func (l cleanList) reach() {
	for i, in := range l.Feeds {
		p := l.Pumps[i]
		if p == nil {
			continue
		}
		least, peak := quantity.FeedRate(math.Inf(1)), quantity.FeedRate(0)
		settings, out := 0, 0
		var first Stage
		var choice pump.Choice // the one farthest off
		for _, s := range l.Stages {
			for _, x := range s.Feeds {
				if x.Chemical != in.Name || x.Setting == nil || x.Rate <= 0 {
					continue
				}
				settings++
				least, peak = min(least, x.Rate), max(peak, x.Rate)
				if x.Setting.Reach != pump.Within {
					if out++; out == 1 {
						first = s
					}
				}
				if math.Abs(float64(x.Setting.Error)) >= math.Abs(float64(choice.Error)) {
					choice = *x.Setting
				}
			}
		}
		if settings == 0 {
			continue
		}
		l.Unset = l.Unset || out == settings
		l.listNotes.Add(oneCause(l.ofPump(in, p, least, peak, choice, func(n note.Note) note.Note {
			if out == 0 {
				return n.After("%s: ", in.Name)
			}
			return n.After("%s: %d of the %d settings of the list are out of the pump's reach, the first at %s: ", in.Name, out, settings,
				l.Tank().Clock(first.At))
		}))...)
	}
}

// ofPump are the notes of a pump between two rates; told names what cannot be set.
func (l cleanList) ofPump(in FeedInput, p *pump.Pump, least, peak quantity.FeedRate, choice pump.Choice, told func(note.Note) note.Note) (out note.List) {
	out = append(out, at(p.Calibration.Notes, in.PumpAt)...)
	f := Feed{FeedInput: in}
	f.Pump = p
	f.PerLitre, _ = in.Stock.ProductPerLitre()
	remedy := f.Fit(least, peak)
	for _, n := range at(remedy.Notes, in.PumpAt) {
		out.Add(told(n))
	}
	if len(remedy.Notes) == 0 {
		for _, n := range at(choice.Notes, in.PumpAt) {
			out.Add(told(n))
		}
	}
	return out
}
