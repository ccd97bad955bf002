package dosing

import (
	"math"
	"testing"
	"time"

	"jarwright/dosing/gauge"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// byCone is a tank of 14 m3 to clear from 20 to 12 mL/L.
func byCone() site.Site {
	s := heldSite()
	s.Solids.HoldAt = quantity.Known[site.Reading]{}
	s.Solids.TankStart, s.Solids.TankStop = quantity.Some(site.Reading{V: 20, Key: gauge.Cone}), quantity.Some(site.Reading{V: 12, Key: gauge.Cone})
	return s
}

// TestConeWithoutPairs: mL/L fall as any reading does, weigh nothing that is known, and say nothing of the room that a polymer has.
func TestConeWithoutPairs(t *testing.T) {
	s := byCone()
	s.Tanks = append(s.Tanks, site.Tank{Name: quantity.Some("bin"), Volume: quantity.Some(quantity.Volume(200))})
	s.Solids.Bin = quantity.Some("bin")
	s.Solids.FloatSolids = quantity.Some(quantity.Fraction(0.02))
	in, err := CleaningFromSite(s, Given{}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	k := in.Tank
	if k.Key != gauge.Cone || k.Scale != nil || k.SolidsPerUnit() != 0 || k.NTU(20).OK || k.Bin.Room() != 0 || k.Share != 0 {
		t.Errorf("%+v", k)
	}
	if codes(in.Notes) != "cone-not-weighed" {
		t.Errorf("%v", in.Notes)
	}
	c, err := Clean(in)
	if err != nil || math.Abs(float64(c.Time)-14/0.7*math.Log(20.0/12)) > 1e-6 || c.Waste.Removed.Likely != 0 {
		t.Errorf("%v %v %v", err, c.Time, c.Waste.Removed)
	}
}

// TestConeWithPairs: 20 and 12 mL/L are 260 and 172 mg/L of its pairs, and 88 mg/L of 14 m3 are 1.232 kg.
func TestConeWithPairs(t *testing.T) {
	s := byCone()
	cone, err := gauge.ParseCone("10 mL/L=150 mg/L; 20 mL/L=260 mg/L")
	if err != nil {
		t.Fatal(err)
	}
	s.Solids.Cone = quantity.Some(cone)
	in, err := CleaningFromSite(s, Given{}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	if k := in.Tank; k.Key != jartest.TSS || k.Scale == nil || k.Start != 260 || k.Stop != 172 {
		t.Errorf("%+v", k)
	}
	c, err := Clean(in)
	if err != nil || math.Abs(float64(c.Waste.Dry.Likely)-1.232) > 1e-6 || len(in.Notes) != 0 {
		t.Errorf("%v %v %v", err, c.Waste.Dry, in.Notes)
	}
	s.Solids.Rise = quantity.Some(site.Reading{V: 0.5, Key: gauge.Cone}) // 11 mg/L a mL/L there
	if in, err = CleaningFromSite(s, Given{}, time.Time{}); err != nil || math.Abs(in.Tank.Rise-5.5) > 1e-6 {
		t.Errorf("rise %g: %v", in.Tank.Rise, err)
	}
}

// TestTubeOfATank: 11.25 cm is 100 NTU by the chart, good to 30 %; what reads below 10 NTU stops nothing, with pairs of its own neither.
func TestTubeOfATank(t *testing.T) {
	s := byCone()
	set := func(start, stop float64) {
		s.Solids.TankStart, s.Solids.TankStop = quantity.Some(site.Reading{V: start, Key: gauge.Tube}), quantity.Some(site.Reading{V: stop, Key: gauge.Tube})
	}
	set(11.25, 20)
	in, err := CleaningFromSite(s, Given{}, time.Time{})
	if err != nil || in.Tank.Key != jartest.Turbidity || math.Abs(in.Tank.Start-100) > 1e-9 || math.Abs(in.Tank.Stop-40) > 1e-9 || codes(in.Notes) != "tube-by-chart" {
		t.Errorf("%v %+v %v", err, in.Tank, in.Notes)
	}
	set(11.25, 55)
	if _, err = CleaningFromSite(s, Given{}, time.Time{}); codes(note.Of(err, "?")) != "tube-too-clear" {
		t.Errorf("%v", err)
	}
	own, err := gauge.ParseTube("11.25 cm=60 NTU; 55 cm=9 NTU")
	if err != nil {
		t.Fatal(err)
	}
	s.Solids.Tube = quantity.Some(own)
	if _, err = CleaningFromSite(s, Given{}, time.Time{}); codes(note.Of(err, "?")) != "tube-too-clear" {
		t.Errorf("own pairs: %v", err)
	}
	set(11.25, 40)
	if in, err = CleaningFromSite(s, Given{}, time.Time{}); err != nil || math.Abs(in.Tank.Start-60) > 1e-9 || len(in.Notes) != 0 {
		t.Errorf("%v %+v %v", err, in.Tank, in.Notes)
	}
}
