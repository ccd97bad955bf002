package logbook

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// A drawdown by cylinder and stopwatch: so much in so long.

// volumeIn is the volume that a text names.
func volumeIn(text string, at note.Place) (k quantity.Known[quantity.Volume]) {
	for _, a := range words.Amounts(text) {
		if v, err := quantity.Parse[quantity.Volume](a.Number + " " + text[a.From:a.To]); a.Kind == words.Volume && err == nil && v > 0 {
			return quantity.Known[quantity.Volume]{V: v, OK: true, At: at}
		}
	}
	return k
}

// stopwatch takes a drawdown from a cell that holds a volume and a time, "72 s for 20 mL"; false for any other.
func (e *Entry) stopwatch(text string, at note.Place) bool {
	took := quantity.Time(0)
	for _, a := range words.Amounts(text) {
		if t, err := quantity.Parse[quantity.Time](a.Number + " " + text[a.From:a.To]); a.Kind == words.Minutes && err == nil {
			took = t
		}
	}
	v := volumeIn(text, at)
	if !v.OK || took <= 0 {
		return false
	}
	e.Drawdown = rateOf(v.V, took, at)
	return true
}

func rateOf(v quantity.Volume, took quantity.Time, at note.Place) quantity.Known[quantity.FeedRate] {
	return quantity.Known[quantity.FeedRate]{V: quantity.FeedRate(v.In("mL") / took.In("min")), OK: true, At: at}
}

// timed makes a rate of what was drawn and how long it took. One without the other tells none, and says so once.
func (x *reader) timed(e *Entry) {
	if !e.Drawn.OK && e.Took.OK {
		e.Drawn = x.cylinder
	}
	switch {
	case e.Drawdown.OK || !e.Drawn.OK && !e.Took.OK:
	case e.Drawn.OK && e.Took.OK && e.Took.V > 0:
		e.Drawdown = rateOf(e.Drawn.V, e.Took.V, e.Drawn.At)
	default:
		at := e.Drawn.At
		if !e.Drawn.OK {
			at = e.Took.At
		}
		if key := (note.Place{Cell: "drawdown"}); !x.unitless[key] {
			x.unitless[key] = true
			x.Notes.Add(note.New(note.Caution, "drawdown-half", "a drawdown tells a rate by what was drawn and how long it took, and here one of them is missing").At(at).
				Do(`write both, such as "Drawdown (mL)" and "Drawdown time (s)"`))
		}
	}
}
