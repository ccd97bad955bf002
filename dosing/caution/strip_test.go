package caution

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// loopOfTrout is a loop of 60 m3 whose alum frees 11 mg/L of carbon dioxide on top of 18.
func loopOfTrout(t *testing.T) Situation {
	return Situation{Purpose: Animals, Stock: stock(t, "rainbow trout"), Doses: []Dose{dose(t, "alum-liquid", 25, quantity.AsAlum14)},
		Water: water15(7.0, 85), Loop: &Loop{Volume: 60000, Exchange: quantity.Some(quantity.Flow(0.5))}, Flow: quantity.Some(quantity.Flow(12)), Hours: 24}
}

// TestStripOfALoop: at 15 C H is 0.927 by Plummer and Busenberg 1982, so that two of air to one of water take 1.854/2.854 = 65 % of what is
// above air; what each way leaves, and takes to come to 15 mg/L, is worked out from that and nothing else.
func TestStripOfALoop(t *testing.T) {
	f := Review(loopOfTrout(t))
	s := f.Strip
	if s == nil || s.Limit != 15 || len(s.Ways) != 4 || s.CO2 != f.Water.Closed.CO2 {
		t.Fatalf("%+v", s)
	}
	const h, air = 0.927, 0.842 // 420 ppm × 0.04562 mol × 44.01 g
	for i, ratio := range []float64{1, 2, 5, 10} {
		w, share := s.Ways[i], h*ratio/(1+h*ratio)
		leaves := air + (float64(s.CO2)-air)*(1-share)
		stages := math.Ceil(math.Log((float64(s.CO2)-air)/(15-air)) / math.Log(1+h*ratio))
		side := 12 * (float64(s.CO2) - 15) / (share * (15 - air))
		if w.Air != ratio || math.Abs(float64(w.Removes)-share) > 0.002 || math.Abs(float64(w.Leaves)-leaves) > 0.06 || float64(w.Stages) != stages || math.Abs(float64(w.Side)/side-1) > 0.01 {
			t.Errorf("%+v, want %g, %g mg/L, %g stages, %g m3/h", w, share, leaves, stages, side)
		}
	}
}

// TestStripWhereItApplies: a loop alone, of known temperature, whose dose frees more than its animals should have; of two animals the one that bears least.
func TestStripWhereItApplies(t *testing.T) {
	for what, change := range map[string]func(*Situation){
		"water that passes once":    func(s *Situation) { s.Loop = nil },
		"a run":                     func(s *Situation) { s.Once = s.Doses },
		"no temperature":            func(s *Situation) { s.Water.Temperature = quantity.Known[quantity.Temperature]{} },
		"a dose that frees little":  func(s *Situation) { s.Water.PH = quantity.Some(quantity.PH(7.8)); s.Doses[0].Dose.Concentration = 3 },
		"animals that bear so much": func(s *Situation) { s.Stock = stock(t, "tilapia") },
	} {
		s := loopOfTrout(t)
		change(&s)
		if f := Review(s); f.Strip != nil {
			t.Errorf("%s: %+v", what, f.Strip)
		}
	}
	s := loopOfTrout(t)
	s.Doses[0].Dose.Concentration = 60
	s.Stock = append(stock(t, "tilapia"), s.Stock...)
	if f := Review(s); f.Strip == nil || f.Strip.Limit != 15 {
		t.Errorf("tilapia and trout: %+v", f.Strip)
	}
}
