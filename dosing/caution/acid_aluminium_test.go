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

// TestCareStandsBesideTheStopInAcidWater: what stops in acid water is the acute criterion, and what calls for care the chronic one, whatever stops: animals may come
// back to the latter alone. At pH 6.0, hardness 50 and DOC 1 they are 0.21 and 0.11 mg/L Al; with DOC 12 and no hardness care is at the worst, 10, 0.20, and the stop
// at the best, far above it (US EPA 2018, EPA-822-R-18-001, by its own calculator's method). The least of what calls for care is kept, in any order.
func TestCareStandsBesideTheStopInAcidWater(t *testing.T) {
	for _, x := range []struct {
		dose          float64 // mg/L of alum 14-hydrate
		hardness, doc float64
		care          float64
		least, most   float64 // of the stop
		name          string
	}{
		{12, 50, 1, 0.11, 0.21, 0.21, "chronic criterion, fresh-water life"},
		{60, 0, 12, 0.20, 2.8, 5.4, "chronic criterion at the worst plausible hardness"},
	} {
		s := moor(t, func(s *Situation) {
			s.Water.JarPH, s.Doses[0].Dose.Concentration = known(quantity.PH(6.0)), quantity.Concentration(x.dose)
			s.Water.Alkalinity.V = 120
			s.Water.Hardness = quantity.Known[quantity.Concentration]{V: quantity.Concentration(x.hardness), OK: x.hardness > 0}
			s.Water.DOC = known(quantity.Concentration(x.doc))
		})
		f := Review(s)
		level(t, f, "al-acid", note.Stop)
		r := f.Residuals[0]
		if !r.CareAt.OK || apart(float64(r.CareAt.V), x.care) || float64(r.StopAt.V) < x.least*(1-1e-9) || float64(r.StopAt.V) > x.most*(1+1e-9) || r.CareName.String() != x.name || r.Limit.V != r.StopAt.V {
			t.Errorf("care at %v (%s), stop at %v, limit %v", r.CareAt.V, r.CareName, r.StopAt.V, r.Limit.V)
		}
	}
	var r Residual
	for _, c := range []quantity.Concentration{0.5, 0.2, 0.3} {
		r.bound(note.Caution, c)
		r.bound(note.Stop, 2*c)
	}
	if r.CareAt.V != 0.2 || r.StopAt.V != 0.4 {
		t.Errorf("care at %v, stop at %v", r.CareAt.V, r.StopAt.V)
	}
	if r.chronic(0.1, "chronic criterion"); r.CareAt.V != 0.1 || r.CareName.String() != "chronic criterion" {
		t.Errorf("care at %v, %s", r.CareAt.V, r.CareName)
	}
	if r.bound(note.Caution, 0.05); r.CareName.Format != "" {
		t.Errorf("%v is called %s", r.CareAt.V, r.CareName)
	}
}
