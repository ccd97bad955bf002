package templates

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/mixing"
	"jarwright/dosing/settler"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

func documented(t *testing.T, d *figure.Object, want map[string]float64) {
	t.Helper()
	for path, w := range want {
		if got, _ := d.Fig(path).Document(); math.Abs(got-w) > 1e-4*math.Abs(w) {
			t.Errorf("%s is %g, want %g", path, got, w)
		}
	}
}

// TestSettlingFigures: 10 cm deep after 2 and 10 min are 3 and 0.6 m/h; 18 and 6 of 60 NTU are 30 and 10 %. 12 NTU lie half-way, at
// √(0.6·3) = 1.34164 m/h, for a real settler 1.34164/1.75 = 0.766652 to 1.34164/1.25 = 1.07331 m/h.
func TestSettlingFigures(t *testing.T) {
	s := &dosing.Settling{Key: jartest.Turbidity, Dose: 30, Depth: quantity.Some(quantity.Length(0.1)), Raw: quantity.Some(60.0), Between: [2]string{"3", "4"},
		Curve: settler.NewCurve(0.1, []settler.Point{{Time: 2.0 / 60, Reading: 18}, {Time: 10.0 / 60, Reading: 6}})}
	targets := func(v float64) []jartest.Target {
		return []jartest.Target{{Key: jartest.Turbidity, Value: v, Unit: "NTU"}}
	}
	d := settlingData(s, targets(12))
	for i, want := range []map[string]float64{{"rate": 0.6, "time": 10, "value": 6, "left": 10}, {"rate": 3, "time": 2, "value": 18, "left": 30}} {
		documented(t, d.Objects("points")[i], want)
	}
	documented(t, d, map[string]float64{"dose": 30, "depth": 0.1, "target.value": 12, "target.rate": 1.34164, "target.settler_safe": 0.766652,
		"target.settler_bold": 1.07331, "target.safety_low": 1.25, "target.safety_high": 1.75})
	if got := settledInShort(d); got != "2 min 18.0; 10 min 6.00" {
		t.Errorf("in short %q", got)
	}
	if d.Get("target.open") != false || d.Get("target.met") != true {
		t.Error("the target is met, and not at every speed")
	}
	if d := settlingData(s, targets(5)); d.Get("target.met") != false || d.Has("target.rate") {
		t.Error("5 NTU is kept at no speed that was tested")
	}
	if d := settlingData(s, targets(20)); d.Get("target.open") != true {
		t.Error("20 NTU is kept at every speed that was tested")
	}
	// A removal bounds no reading from above, and without depth there is no speed.
	if d := settlingData(s, []jartest.Target{{Key: jartest.Turbidity, Kind: jartest.Removal, AtLeast: true, Value: 90}}); d.Has("target") {
		t.Error("a removal is taken for a reading")
	}
	s.Depth.OK = false
	if d := settlingData(s, targets(12)); d.Has("target") || d.Objects("points")[0].Has("rate") || settlingData(nil, nil) != nil {
		t.Error("a speed without depth")
	}
}

// TestBenchLikePlant: the lines of a bench sheet take rpm, s, rpm and min as the plant has them; a flotation unit's are the white
// water in percent and the pressure in bar, 500 kPa being 5 bar; a settler's the minutes of its sample, 0.1 m at 2.5 m/h = 2.4 min.
func TestBenchLikePlant(t *testing.T) {
	step := func(d mixing.Duty, rpm, seconds float64) mixing.JarStep {
		return mixing.JarStep{Plant: mixing.Stage{Duty: d, G: 100}, Needs: quantity.Rotation(rpm), Speed: quantity.Rotation(rpm), Stay: quantity.Time(seconds / 3600)}
	}
	l := dosing.LikePlant{Flow: 3.6, Temperature: 9, Steps: []mixing.JarStep{step(mixing.Rapid, 212, 36), step(mixing.FlotationFloc, 36.6, 540)},
		White: quantity.Some(quantity.Fraction(0.15)), Pressure: quantity.Some(quantity.Pressure(500))}
	settled := dosing.LikePlant{Flow: 10, Steps: l.Steps[1:], Sample: quantity.Some(dosing.Sample{Loading: 2.5, Depth: 0.1, After: 0.1 / 2.5})}
	for _, c := range []struct {
		l    dosing.LikePlant
		want []float64
	}{{l, []float64{210, 36, 37, 9, 15, 5}}, {settled, []float64{0, 0, 37, 9, 2.4, 0}}} {
		lines, guide := BenchLikePlant(c.l, !c.l.Sample.OK, Options{})
		if len(lines) != 6 || len(guide) < 3 {
			t.Fatalf("%v %q", lines, guide)
		}
		for i, w := range c.want {
			if math.Abs(lines[i]-w) > 1e-9 {
				t.Errorf("line %d is %g, want %g", i, lines[i], w)
			}
		}
	}
	// A site that tells nothing has the usual stirring, and is asked for what would make it the plant's.
	unsaid := dosing.LikePlant{Flow: 3.6, Assumed: true, Unsaid: []string{"the surface of its settler", "the power"}}
	lines, guide := BenchLikePlant(unsaid, false, Options{})
	if all := strings.Join(guide, "\n"); !slices.Equal(lines, []float64{100, 60, 30, 15, 30, 0}) || strings.Contains(all, "15 C") ||
		!strings.Contains(all, "100 rpm for 1 min, as usual in jars") || !strings.Contains(all, "Not told by the site: the surface of its settler; the power.") {
		t.Errorf("%v %s", lines, all)
	}
	if lines, _ = BenchLikePlant(unsaid, true, Options{}); !slices.Equal(lines, []float64{100, 60, 30, 10, 0, 0}) {
		t.Errorf("floated: %v", lines)
	}
}
