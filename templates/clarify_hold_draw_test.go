package templates

import (
	"math"
	"testing"

	"jarwright/dosing/clarify"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
)

// TestHeldDrawing: 1 kg/d into 14 m3 is 2.976 mg/L an hour, 57.3 over the 19.24 h of rest, half of it either side of 300. The unit runs
// 1e6/210 = 4762 L, 4.762 h. In gallons the flow is 4.403 a minute. What is not held is not drawn.
func TestHeldDrawing(t *testing.T) {
	k := clarify.Tank{Key: jartest.TSS, Volume: 14000, Flow: 1, Removal: 0.7, Start: 300, Stop: 300, Level: 300, Rise: 1e6 / 24 / 14000, Begin: 6}
	for _, x := range []struct {
		units quantity.System
		flow  float64
	}{{quantity.Metric, 1}, {quantity.US, 1000.0 / 60 / 3.785411784}} {
		d := tankReport(t, k).Drawing(Options{Units: x.units})
		if len(d.Panels) != 2 || d.Title != "Held at 300 mg/L by 4 h 46 min of the unit a day" {
			t.Fatalf("%q, %d panels", d.Title, len(d.Panels))
		}
		near := func(what string, got, want float64) {
			t.Helper()
			if math.Abs(got-want) > 1e-6*want {
				t.Errorf("%s is %g, want %g", what, got, want)
			}
		}
		line, level, runs := d.Panels[0].Layers[0].(draw.Line).At, d.Panels[0].Layers[1].(draw.Marker), d.Panels[1].Layers[0].(draw.Steps).At
		half := 1e6 / 24 / 14000 * (24 - 1e3/210) / 2
		for i, want := range []draw.XY{{X: 6, Y: 300 + half}, {X: 6 + 1e3/210, Y: 300 - half}, {X: 30, Y: 300 + half}} {
			near("clock", line[i].X, want.X)
			near("reading", line[i].Y, want.Y)
		}
		near("level", level.At, 300)
		near("flow while it runs", runs[0].Y, x.flow)
		if runs[1].Y != 0 || runs[1].X != line[1].X {
			t.Errorf("the unit stops at %g with %g", runs[1].X, runs[1].Y)
		}
	}
	k.Flow = 0.1
	if d := tankReport(t, k).Drawing(Options{}); len(d.Panels) != 0 {
		t.Errorf("what cannot be held is drawn: %+v", d.Panels)
	}
}
