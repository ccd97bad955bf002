package caution

import (
	"strings"
	"testing"

	"jarwright/dosing/animal"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// moor is soft acid water with 12 mg/L of alum, 1.09 mg/L Al (2 x 26.98/594.4 of it), before trout. Half of rainbow trout died at 0.16 to
// 0.31 mg/L Al at pH 5.0 to 5.5 (US EPA 2018, EPA-822-R-18-001, appendix A); the Canadian guideline is 0.005 mg/L below pH 6.5 and 0.1
// from it on (CCME, in Statistics Canada 2007, 16-256-X, table A1).
func moor(t *testing.T, change func(*Situation)) Situation {
	s := Situation{Purpose: Animals, Stock: stock(t, "rainbow trout"), Doses: []Dose{dose(t, "alum-dry", 12, quantity.AsAlum14)},
		Water: Water{Temperature: quantity.Some(quantity.Temperature(7)), PH: quantity.Some(quantity.PH(6.2)), Alkalinity: quantity.Some(quantity.Alkalinity(30)),
			Hardness: quantity.Some(quantity.Concentration(12)), DOC: quantity.Some(quantity.Concentration(3)), Turbidity: quantity.Some(90.0)}}
	if change != nil {
		change(&s)
	}
	return s
}

// TestAluminiumStopsInAcidWater: what nobody measured stops below pH 6.25, the highest of those tests, and there alone; what was measured goes by the criteria, and what is
// not known of hardness and DOC stops nothing that the most of them would let stay.
func TestAluminiumStopsInAcidWater(t *testing.T) {
	for _, x := range []struct {
		name   string
		change func(*Situation)
		stops  bool
	}{
		{"soft and acid", nil, true},
		{"near neutral", func(s *Situation) { s.Water.PH = quantity.Some(quantity.PH(7.4)) }, false},
		{"where alum is at its best", func(s *Situation) { s.Water.PH = quantity.Some(quantity.PH(6.6)) }, false}, // comes to 6.4
		{"measured and little", func(s *Situation) { s.Water.ResidualAl = quantity.Some(quantity.Concentration(0.01)) }, false},
		{"a dose below the criterion", func(s *Situation) { s.Doses[0].Dose.Concentration = 1 }, false},
		{"for no animals", func(s *Situation) { s.Purpose, s.Stock = Wastewater, nil }, false},
		{"DOC not known", func(s *Situation) { s.Water.DOC.OK, s.Doses[0].Dose.Concentration = false, 4 }, false},
		{"DOC not known, and far too much even at the most of it", func(s *Situation) {
			s.Water.DOC.OK, s.Doses[0].Dose.Concentration, s.Water.Alkalinity = false, 40, quantity.Some(quantity.Alkalinity(60))
		}, true},
	} {
		f, stops := Review(moor(t, x.change)), false
		for _, n := range f.All() {
			stops = stops || n.Code == "al-acid" && n.Level == note.Stop
		}
		if stops != x.stops {
			t.Errorf("%s: stops %v: %v", x.name, stops, f.All())
		}
	}
	for _, told := range []string{"1.09 mg/L Al (the whole dose) at pH 6.06, below 6.25", "half of rainbow trout in acid water died at 0.16 to 0.31 mg/L in 96 h (pH 5.0 to 5.5)", "0.005 mg/L"} {
		says(t, Review(moor(t, nil)), "al-acid", told)
	}
	says(t, Review(moor(t, func(s *Situation) { s.Stock = stock(t, "tilapia") })), "al-acid", "half of rainbow trout") // none of theirs was tested in acid water
	if r, ok := animal.InAcid(animal.Aluminium, "other fish"); !ok || r.Low != 0.13 {
		t.Errorf("%+v", r)
	}
	if r, ok := animal.InAcid(animal.Aluminium, "salmonid"); !ok || r.Low != 0.16 || r.High != 0.31 {
		t.Errorf("%+v", r)
	}
}

// TestAcidStopIsAccepted: whoever answers for the animals may take it by its name, and the report names them.
func TestAcidStopIsAccepted(t *testing.T) {
	f := Review(moor(t, func(s *Situation) { s.Accepted = []Acceptance{{Code: "al-acid", By: "shift lead", Why: "trial"}} }))
	if f.Stopped || len(f.Taken) != 1 {
		t.Errorf("stopped %v, taken %v", f.Stopped, f.Taken)
	}
	if n := Review(moor(t, nil)).Notes[0]; !strings.Contains(n.Remedy, `"al-acid"`) || !strings.Contains(n.Remedy, "whoever answers for the animals") {
		t.Errorf("%q", n.Remedy)
	}
}

// TestDoseThatPassesItsOwnLine: water that stands at pH 6.2, below the 6.5 of trout, is held to what it has: a dose that brings 6.06 is past
// that by itself, one that leaves the pH is not.
func TestDoseThatPassesItsOwnLine(t *testing.T) {
	for _, x := range []struct {
		change func(*Situation)
		brings float64
	}{
		{nil, 6.06},
		{func(s *Situation) { s.Doses[0].Dose.Concentration = 0 }, 0},
		{func(s *Situation) { s.Water.PH = quantity.Some(quantity.PH(7.4)) }, 0}, // comes to about 7, within 6.5 to 9
	} {
		s := moor(t, x.change)
		f := Review(s)
		w, _ := WatchOf(s, f.Waters()...)
		w, said := w.Brought(f.Water)
		if w.Brings.OK != (x.brings > 0) || len(said) != map[bool]int{true: 1}[w.Brings.OK] || w.Brings.OK && (quantity.RoundSig(float64(w.Brings.V), 3) != x.brings ||
			!strings.Contains(said[0].Message, "brings the pH to 6.06, below the 6.20 at which to stop")) {
			t.Errorf("%+v: %v", w.Brings, said)
		}
	}
}
