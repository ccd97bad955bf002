package templates

import (
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/mixing"
	"jarwright/dosing/settler"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestJarsBesidePlant: the figures stand as they are, 20 min and 10 cm beside them; in US units 0.3 m/h are 0.1227 gpm/ft2 (2.4447 m/h
// each, NIST SP 811) and 15 C are 59 F.
func TestJarsBesidePlant(t *testing.T) {
	k := dosing.Kinder{Depth: 0.1, After: 20.0 / 60,
		Rate:        quantity.Some(dosing.Beside[quantity.Loading]{Bench: 0.3, Plant: 0.75, Kinder: true}),
		Temperature: quantity.Some(dosing.Beside[quantity.Temperature]{Bench: 15, Plant: 13}),
		White:       quantity.Some(dosing.Beside[quantity.Fraction]{Bench: 0.15, Plant: 0.1, Kinder: true})}
	d := kinderData(k)
	documented(t, d, map[string]float64{"settling.bench": 0.3, "settling.plant": 0.75, "settling.depth": 0.1, "settling.after": 20,
		"temperature.bench": 15, "temperature.plant": 13, "white_water.bench": 15, "white_water.plant": 10})
	if d.Get("settling.kinder") != true || d.Get("temperature.kinder") != false || len(kinderFacts(d)) != 3 {
		t.Errorf("%v", kinderFacts(d))
	}
	if kinderData(dosing.Kinder{}) != nil || kinderFacts(nil) != nil {
		t.Error("nothing is set beside nothing")
	}
}

// TestSettlerFlowsByJars: 12 NTU at 1.34164 m/h (TestSettlingFigures), a real settler 0.766652 to 1.07331 m/h, on 20 m2 15.3330 to 21.4663
// m3/h, the first of which ends it.
func TestSettlerFlowsByJars(t *testing.T) {
	s := &dosing.Settling{Key: jartest.Turbidity, Dose: 30, Depth: quantity.Some(quantity.Length(0.1)), Between: [2]string{"3", "4"},
		Curve: settler.NewCurve(0.1, []settler.Point{{Time: 2.0 / 60, Reading: 18}, {Time: 10.0 / 60, Reading: 6}})}
	u := settler.Unit{Area: quantity.Some(quantity.Area(20))}
	day := &dosing.SettlerDay{Unit: u, At: []settler.State{u.At(25), u.At(25), u.At(25)}, Jars: s,
		Targets: []jartest.Target{{Key: jartest.Turbidity, Value: 12, Unit: "NTU"}}}
	d := unitData(dosing.UnitDay{Settler: day})
	documented(t, d, map[string]float64{"window.high": 15.3330, "settling.target.flow_safe": 15.3330, "settling.target.flow_bold": 21.4663})
	facts := settlerFacts(day, d)
	if len(facts) < 2 || facts[1].Label != "By the jars" || !strings.Contains(d.Sub("window").Said("high_by"), "as the jars settled") {
		t.Errorf("%v", facts)
	}
	if n := len(settlerDrawing(day, Options{}).Panels[0].Layers); n != 4 { // line, points, the guide and the jars
		t.Errorf("%d layers", n)
	}
}

// TestGuideOfTheBenchSheet: acids and polymers are named only where they are dosed, or nobody says what is; the G beside a speed out of
// reach is called the plant's.
func TestGuideOfTheBenchSheet(t *testing.T) {
	step := mixing.JarStep{Plant: mixing.Stage{Duty: mixing.Rapid, G: 610, Stay: 1.0 / 60}, Needs: 470, Speed: 300, Stay: 1.96 / 60, Reach: mixing.TooFast}
	l := dosing.LikePlant{Flow: 10, Temperature: 9, Steps: []mixing.JarStep{step}}
	for _, c := range []struct {
		order []dosing.Dosed
		acid  bool
	}{{nil, true}, {[]dosing.Dosed{{Name: "alum", Turn: dosing.ThenCoagulant}}, false}} {
		l.Order = c.order
		_, guide := BenchLikePlant(l, false, Options{})
		all := strings.Join(guide, "\n")
		if strings.Contains(all, "polymer") != c.acid || strings.Contains(all, "acid or alkali") != c.acid {
			t.Errorf("%v: %s", c.order, all)
		}
		if !strings.Contains(all, "Rapid mix: 300 rpm for 1.96 min; the plant's G of 610 1/s would take 470 rpm") {
			t.Error(all)
		}
	}
}
