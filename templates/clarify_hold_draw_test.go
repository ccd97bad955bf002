package templates

import (
	"bytes"
	"math"
	"slices"
	"strconv"
	"testing"

	"jarwright/dosing/clarify"
	"jarwright/dosing/flow"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
)

// TestHeldDrawing: 1 kg/d into 14 m3 is 2.976 mg/L an hour, 57.3 over the 19.24 h of rest. The unit runs 1e6/210 = 4762 L, 4.762 h, in which
// a = exp(-0.7 x 4.762/14) is left of what is above P = 2.976 x 14/0.7: from its lowest, P + 57.3 a/(1 - a), the day goes 57.3 up. In gallons the flow is 4.403 a minute. What is not held is not drawn.
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
		const rise = 1e6 / 24 / 14000
		up, left := rise*(24-1e3/210), math.Exp(-0.7*1e3/210/14)
		low := rise*14/0.7 + up*left/(1-left)
		for i, want := range []draw.XY{{X: 6, Y: low + up}, {X: 6 + 1e3/210, Y: low}, {X: 30, Y: low + up}} {
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

// TestHoldSheetHasTheDaysBounds: 2.4 kg/d into 40 m3, of which 5 m3/h pass a unit from 08:00 to 17:00 that takes half of what is above 4 mg/L: with
// a = exp(-0.5 x 5/40 x 9) left of each run's excess and the rest's 2.5 mg/L an hour for 15 h the day goes from its lowest, L = P + (L + 37.5 - P) a, at
// 17:00 to L + 37.5 at 08:00, where a run alone would settle at P = (2.5 x 4 + 2.5 x 40)/2.5. The workbook has both, as text and page have.
func TestHoldSheetHasTheDaysBounds(t *testing.T) {
	k := clarify.Tank{Key: jartest.TSS, Volume: 40000, Flow: 5, Removal: 0.5, Start: 30, Stop: 30, Level: 30, Rise: 2.4e6 / 24 / 40000, Floor: 4, Begin: 8, Hours: flow.Hours{{From: 8, To: 17}}}
	var b bytes.Buffer
	if err := WriteBook(&b, tankReport(t, k), Options{}); err != nil {
		t.Fatal(err)
	}
	left := math.Exp(-0.5 * 5 / 40 * 9)
	settles := (2.5*4 + 2.5*40) / 2.5
	low := settles + 37.5*left/(1-left)
	_, all := openCells(t, b.Bytes())
	for label, want := range map[string]float64{"Lowest of each day, at 17:00": low, "Highest of each day, at 08:00": low + 37.5} {
		i := slices.IndexFunc(all, func(c bookCell) bool { return c.sheet == "Change it" && c.value == label })
		if i < 0 || i+2 >= len(all) {
			t.Fatalf("%s is not there", label)
		}
		if got, err := strconv.ParseFloat(all[i+1].value, 64); err != nil || math.Abs(got-want) > 1e-6*want || all[i+2].value != "mg/L" {
			t.Errorf("%s: %s %s, want %g mg/L", label, all[i+1].value, all[i+2].value, want)
		}
	}
}
