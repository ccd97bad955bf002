package caution

import (
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// A portion for 15 min that goes in within one is 15 times the dose for that minute: 20 mg/L of alum are 300. What no overdose
// of harms, what a pump feeds, and what a pond or a loop thins is told of nowhere.
func TestPortionsTippedIntoAStream(t *testing.T) {
	by := func(id string, mg float64, basis quantity.Basis) Dose {
		d := dose(t, id, mg, basis)
		d.ByHand = true
		return d
	}
	trout := Situation{Purpose: Animals, Water: beck(), Stock: stock(t, "trout"), Doses: []Dose{by("alum-liquid", 20, quantity.AsAlum14)}}
	level(t, Review(trout), "fed-in-slugs", note.Caution)
	says(t, Review(trout), "fed-in-slugs", "is fed by hand: a portion for a quarter of an hour, tipped in within a minute, is 15 times the dose (300 mg/L as alum 14-hydrate)")
	for id, basis := range map[string]quantity.Basis{"lime": quantity.AsCaOH2, "caustic-50": quantity.AsNaOH, "cpam-dry": quantity.AsActive} {
		s := trout
		s.Doses = []Dose{by(id, 1, basis)}
		level(t, Review(s), "fed-in-slugs", note.Caution)
	}
	for what, change := range map[string]func(*Situation){
		"a pump":       func(s *Situation) { s.Doses = []Dose{dose(t, "alum-liquid", 20, quantity.AsAlum14)} },
		"no dose":      func(s *Situation) { s.Doses = []Dose{by("alum-liquid", 0, quantity.AsAlum14)} },
		"bicarbonate":  func(s *Situation) { s.Doses = []Dose{by("bicarbonate", 20, quantity.AsNaHCO3)} },
		"no animals":   func(s *Situation) { s.Stock, s.Purpose = nil, Other },
		"a whole pond": func(s *Situation) { s.Pond = true },
		"a loop":       func(s *Situation) { s.Loop = &Loop{Volume: 24000} },
	} {
		s := trout
		change(&s)
		t.Run(what, func(t *testing.T) { noNote(t, Review(s), "fed-in-slugs") })
	}
	trout.Pond, trout.Piped = true, true // a tank whose water goes round: what goes back is a stream
	level(t, Review(trout), "fed-in-slugs", note.Caution)
}
