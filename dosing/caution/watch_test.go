package caution

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/animal"
	"jarwright/jartest/quantity"
)

// TestWatch: stop lines are those of the tenderest animal in the water, total ammonia by Emerson et al. 1975
// (pKa = 0.09018 + 2729.92/T).
func TestWatch(t *testing.T) {
	of := func(names ...string) (s Situation) {
		for _, n := range names {
			p, err := animal.Find(n)
			if err != nil {
				t.Fatal(err)
			}
			s.Stock = append(s.Stock, Animal{Name: n, Profile: p})
		}
		s.Water = Water{PH: quantity.Some(quantity.PH(8)), Alkalinity: quantity.Some(quantity.Alkalinity(90)), Temperature: quantity.Some(quantity.Temperature(28)), Salinity: quantity.Some(quantity.Salinity(0))}
		return s
	}
	if _, ok := WatchOf(Situation{}); ok {
		t.Error("nothing to watch, and it is watched")
	}
	w, ok := WatchOf(of("tilapia"))
	free := 17.031 / 14.007 / (1 + math.Pow(10, 0.09018+2729.92/301.15-float64(w.PH)))
	if aired := WaterOf(of("tilapia")).Open.PH; w.PH != aired || aired <= 8 {
		t.Errorf("the line is that of pH %v, aired it is %v", w.PH, aired)
	}
	if w.Filters {
		t.Error("nothing is dosed, and the filter suffers")
	}
	if !ok || w.PHLow != 6 || w.PHHigh != 9 || w.Oxygen.V != 4 || w.NH3 != 0.05 || w.Moults || math.Abs(float64(w.TAN.V)-0.05/free) > 1e-3*0.05/free {
		t.Errorf("tilapia: %+v, ammonia %v", w, 0.05/free)
	}
	high := of("tilapia")
	high.Water.PH = quantity.Some(quantity.PH(9.3)) // green water, from which air takes nothing
	if w, _ := WatchOf(high); w.PH != 9.3 || !w.Stands.PH || w.PHHigh != 9.3 || w.Stands.High != 9 || w.Stands.Low != 6 {
		t.Errorf("green water: %+v", w)
	}
	if w, _ := WatchOf(of("tilapia"), WaterOf(high)); w.PH != 9.3 {
		t.Errorf("a water on the way: %+v", w)
	}
	both, _ := WatchOf(of("tilapia", "Penaeus vannamei"))
	if both.Oxygen.V != 5 || both.PHLow <= 6 || !both.Moults || !strings.HasPrefix(both.OxygenOf, "Penaeus vannamei, ") {
		t.Errorf("with prawns: %+v", both)
	}
	s := of("tilapia")
	s.Water.Temperature = quantity.Known[quantity.Temperature]{}
	if w, _ := WatchOf(s); w.TAN.OK {
		t.Errorf("ammonia without a temperature: %+v", w)
	}
	b, ok := of("tilapia").Bears()
	// what a discharge may change the pH by: 0.5 in fresh water and 0.2 in the sea (California water quality control plans, second-hand)
	if !ok || b.Step != 0.5 || !b.CO2.OK || b.CO2.V != 40 {
		t.Errorf("tilapia bear %+v", b)
	}
	s.Water.Salinity = quantity.Some(quantity.Salinity(30))
	if b, _ := s.Bears(); b.Step != 0.2 {
		t.Errorf("in the sea %+v", b)
	}
	if _, ok := (Situation{}).Bears(); ok {
		t.Error("no animals, and they bear")
	}
}
