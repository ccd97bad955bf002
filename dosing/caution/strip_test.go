package caution

import (
	"math"
	"slices"
	"testing"

	"jarwright/jartest/quantity"
)

// loopOfTrout is a loop of 60 m3 whose alum frees 11 mg/L of carbon dioxide on top of 18.
func loopOfTrout(t *testing.T) Situation {
	return Situation{Purpose: Animals, Stock: stock(t, "rainbow trout"), Doses: []Dose{dose(t, "alum-liquid", 25, quantity.AsAlum14)},
		Water: water15(7.0, 85), Loop: &Loop{Volume: 60000, Exchange: quantity.Some(quantity.Flow(0.5))}, Flow: quantity.Some(quantity.Flow(12)), Hours: 24}
}

// TestStripOfALoop: at 15 C H is 0.927 by Plummer and Busenberg 1982, so that two of air to one of water take 1.854/2.854 = 65 % of what is
// above air. What 12 m3/h free, and what 0.5 m3/h of new water of the 18 mg/L bring more than they take at 15 mg/L, is what a side stream takes
// out at 15 mg/L; with one stage on the way the tank stands where 12 m3/h of stripped water and the new water take out as much as they bring.
func TestStripOfALoop(t *testing.T) {
	f := Review(loopOfTrout(t))
	s := f.Strip
	if s == nil || s.Limit != 15 || s.Lent != "" || s.Breathes || len(s.Ways) != 4 || s.CO2 != f.Water.Closed.CO2 || s.Stands != f.Water.Before.CO2 {
		t.Fatalf("%+v", s)
	}
	const h, air = 0.927, 0.842 // 420 ppm × 0.04562 mol × 44.01 g
	stands, frees := float64(s.Stands), float64(s.CO2-s.Stands)
	if math.Abs(float64(s.Freed)/(12*frees*0.024)-1) > 1e-9 {
		t.Errorf("%g kg/d freed", float64(s.Freed))
	}
	for i, ratio := range []float64{1, 2, 5, 10} {
		w, share := s.Ways[i], h*ratio/(1+h*ratio)
		side := (12*frees + 0.5*(stands-15)) / (share * (15 - air))
		tank := func(left float64) float64 { return (12*(air*(1-left)+frees*left) + 0.5*stands) / (12*(1-left) + 0.5) }
		stages := 1
		for left := 1 - share; tank(left) > 15; left *= 1 - share {
			stages++
		}
		if w.Air != ratio || math.Abs(float64(w.Removes)-share) > 0.002 || math.Abs(float64(w.Settles)-tank(1-share)) > 0.06 || w.Stages != quantity.Some(stages) || math.Abs(float64(w.Side)/side-1) > 0.01 {
			t.Errorf("%+v, want %g, %g mg/L, %d stages, %g m3/h", w, share, tank(1-share), stages, side)
		}
	}
	fed := loopOfTrout(t) // 12 kg of feed a day: 344 g of carbon dioxide an hour, which the tank loses at 18 mg/L and not at 15
	fed.Water.Feed = quantity.Some(quantity.MassRate(12))
	more := Review(fed).Strip
	side := (12*frees + 12*0.5*1.375/0.024*(stands-15)/(stands-air)) / (0.927 / 1.927 * (15 - air))
	if more == nil || !more.Breathes || math.Abs(float64(more.Ways[0].Side)/side-1) > 0.01 {
		t.Errorf("fed: %+v, want %g m3/h", more, side)
	}
}

// TestStripWhoseLimit: the site's own limit goes before that of the table, and where neither is known the tenderest animal's is lent, and said.
func TestStripWhoseLimit(t *testing.T) {
	own := loopOfTrout(t)
	own.Stock[0].CO2High = quantity.Some(quantity.Concentration(21))
	if f := Review(own); f.Strip == nil || f.Strip.Limit != 21 || f.Strip.Lent != "" {
		t.Errorf("own: %+v", f.Strip)
	}
	own.Stock[0].CO2High.V = 45
	if f := Review(own); f.Strip != nil {
		t.Errorf("own, high: %+v", f.Strip)
	}
	lent := loopOfTrout(t)
	lent.Stock = stock(t, "giant freshwater prawn")
	if f := Review(lent); f.Strip == nil || f.Strip.Limit != 15 || f.Strip.Lent != "trout" {
		t.Errorf("lent: %+v", f.Strip)
	}
	lent.Stock[0].CO2High = quantity.Some(quantity.Concentration(20))
	if f := Review(lent); f.Strip == nil || f.Strip.Limit != 20 || f.Strip.Lent != "" {
		t.Errorf("own of prawns: %+v", f.Strip)
	}
}

// TestStripOfARun: a tank that is cleaned up is one that goes round, and has no new water that is known to it.
func TestStripOfARun(t *testing.T) {
	s := loopOfTrout(t)
	s.Loop, s.Tank, s.Once = nil, 60000, s.Doses
	s.Doses = slices.Clone(s.Doses)
	s.Doses[0].Dose.Concentration = 60 // all passes together
	f := Review(s)
	if f.Strip == nil {
		t.Fatal("none")
	}
	one := Review(loopOfTrout(t)).Strip
	side := float64(one.Freed) / 0.024 / (0.927 / 1.927 * (15 - 0.842))
	if w := f.Strip.Ways[0]; math.Abs(float64(f.Strip.Freed/one.Freed)-1) > 1e-3 || math.Abs(float64(w.Side)/side-1) > 0.01 {
		t.Errorf("%+v, want %g m3/h", f.Strip, side)
	}
}

// TestStripWhereItApplies: a loop alone, of known temperature, whose dose frees more than its animals should have; of two animals the one that bears least.
func TestStripWhereItApplies(t *testing.T) {
	for what, change := range map[string]func(*Situation){
		"water that passes once":    func(s *Situation) { s.Loop = nil },
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

// TestStripPresses: the whole table is for water of which a caution says that it has too much. Trout should have 15 mg/L: a run that frees 20 x 0.44 = 9 mg/L on
// top of 9 is only to know, since some of it escapes, one that frees 26 is not; prawns, of which no limit is known, are told of that of trout as a note.
func TestStripPresses(t *testing.T) {
	run := func(all quantity.Concentration) Situation {
		s := loopOfTrout(t)
		s.Water.PH = quantity.Some(quantity.PH(7.3))
		s.Loop, s.Tank, s.Once = nil, 60000, slices.Clone(s.Doses)
		s.Once[0].Dose.Concentration, s.Doses[0].Dose.Concentration = 2, all
		return s
	}
	prawns := loopOfTrout(t)
	prawns.Stock = stock(t, "giant freshwater prawn")
	for what, x := range map[string]struct {
		Situation
		want bool
	}{"a loop": {loopOfTrout(t), true}, "a run that frees little": {run(20), false}, "a run that frees much": {run(60), true}, "prawns": {prawns, false}} {
		f := Review(x.Situation)
		if f.Strip == nil || f.Strip.Pressing != x.want {
			t.Errorf("%s: %+v", what, f.Strip)
		}
	}
}

// TestStripInHours: a loop whose unit runs 4 of 24 h frees a sixth of what it frees round the clock, each pass the same.
func TestStripInHours(t *testing.T) {
	all, part := Review(loopOfTrout(t)).Strip, loopOfTrout(t)
	part.Hours = 4
	some := Review(part).Strip
	if all == nil || some == nil || all.Hours.OK || some.Hours != quantity.Some(quantity.Time(4)) || math.Abs(float64(some.Freed/all.Freed)*6-1) > 1e-9 {
		t.Errorf("round the clock %+v, 4 h %+v", all, some)
	}
}
