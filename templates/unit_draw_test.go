package templates

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/flotation"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
)

// TestUnitDrawing: the window, and three panels at most, those that end the flows first; the points are the states
// of the day: (2.2, 3.6 and 5.4 + 0.54) / 0.72 m/h and 0.72 × 0.9 × 60 / those flows in min.
func TestUnitDrawing(t *testing.T) {
	u := flotation.Unit{Area: quantity.Some(quantity.Area(0.72)), Depth: quantity.Some(quantity.Length(0.9)), White: quantity.Some(quantity.Flow(0.54)), Set: 3.6}
	near := func(t *testing.T, what string, got, want, within float64) {
		t.Helper()
		if !(math.Abs(got-want) <= within) {
			t.Errorf("%s is %.6g, want %.6g", what, got, want)
		}
	}
	day := dosing.UnitDay{Unit: u, Solids: 50, Window: u.Window(3.6, 50)}
	for _, q := range []quantity.Flow{2.2, 3.6, 5.4} {
		day.At = append(day.At, u.At(q, 50))
	}
	d := unitDrawing(day, Options{})
	// The window above them: 15 m/h is reached at 15 x 0.72 - 0.54 = 10.26 m3/h, 5 min at 12 x 0.648 - 0.54 = 7.236.
	ends := map[string]float64{"Surface loading": 10.26, "Solids loading": 2 * 5.4 * 1.05, "Time in the unit": 7.236} // the second ends far away, off the picture
	for i := range d.Panels[0].Y.Labels {
		line, name := d.Panels[0].Layers[2*i].(draw.Line).At, d.Panels[0].Layers[2*i+1].(draw.Points).At[0].Label
		near(t, name+" from", line[0].X, 0, 0)
		near(t, name+" to", line[1].X, ends[name], 1e-6)
		delete(ends, name)
	}
	for i, flow := range []float64{2.2, 3.6, 5.4} {
		near(t, "marked flow", d.Panels[0].Layers[6+i].(draw.Marker).At, flow, 1e-12)
	}
	if len(ends) > 0 || !strings.Contains(d.Description, "Time in the unit harms nothing at flows up to 7.24 m3/h.") {
		t.Errorf("no line of %v; %s", ends, d.Description)
	}
	d.Panels = d.Panels[1:]
	if len(d.Panels) != 3 || d.Panels[0].Y.Label() != "Time in the unit, dashed: at least, min" || d.Panels[1].Y.Label() != "Surface loading, dashed: at most, m/h" {
		t.Fatalf("%+v", d.Panels)
	}
	for i, want := range [][]float64{{0.648 * 60 / 2.74, 0.648 * 60 / 4.14, 0.648 * 60 / 5.94}, {2.74 / 0.72, 4.14 / 0.72, 5.94 / 0.72}} {
		points := d.Panels[i].Layers[2].(draw.Points).At
		for k, y := range want {
			near(t, "point", points[k].Y, y, 1e-9)
			near(t, "at its flow", points[k].X, []float64{2.2, 3.6, 5.4}[k], 1e-12)
		}
		limit, line := d.Panels[i].Layers[1].(draw.Line).At, d.Panels[i].Layers[0].(draw.Line).At
		near(t, "limit", limit[0].Y, []float64{5, 15}[i], 1e-12)
		near(t, "from half the least flow", line[0].X, 1.1, 1e-12)
		near(t, "to a quarter above the peak", line[len(line)-1].X, 6.75, 1e-12)
	}
	if !strings.Contains(d.Description, "up to 7.24 m3/h (time in the unit ends it)") {
		t.Errorf("%s", d.Description)
	}
	if us := unitDrawing(day, Options{Units: quantity.US}); us.Panels[2].Y.Unit != "gpm/ft2" || us.Panels[3].X.Unit != "gpm" {
		t.Errorf("%+v", us.Panels[2].Y)
	}
	if d := unitDrawing(dosing.UnitDay{}, Options{}); len(d.Panels) != 0 {
		t.Error("nothing known, yet drawn")
	}
}

// TestWindowWords: each way in which flows can end.
func TestWindowWords(t *testing.T) {
	flow := func(v float64) quantity.Known[quantity.Flow] { return quantity.Some(quantity.Flow(v)) }
	for _, x := range []struct {
		w    flotation.Window
		want string
	}{
		{flotation.Window{Low: flow(3), High: flow(7), LowBy: "a", HighBy: "b"}, "3.00 m3/h to 7.00 m3/h (a ends it below, b above)"},
		{flotation.Window{High: flow(7), HighBy: "b"}, "up to 7.00 m3/h (b ends it)"},
		{flotation.Window{Low: flow(3), LowBy: "a"}, "from 3.00 m3/h (a begins it)"},
		{flotation.Window{High: flow(2), Low: flow(3), LowBy: "a", HighBy: "b", Shut: true}, "none: a asks for 3.00 m3/h or more, b for 2.00 m3/h or less"},
		{flotation.Window{High: flow(0), HighBy: "b", Shut: true}, "none: b fails at every flow"},
		{flotation.Window{}, "of any size"},
	} {
		if got := (Options{}).Show(windowWords(windowObject(x.w), "of any size")); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
}

// TestUnitSaysHowDeepAirIsCounted: a unit deeper than the water is counted to take air up names the depth at each of its two
// figures of air and at the gas, which counts the whole depth: 100 (101.325 + 9.79 x 1.5)/101.325 = 114.5 %. The figures on top
// are of the peak, and say so.
func TestUnitSaysHowDeepAirIsCounted(t *testing.T) {
	u := flotation.Unit{Area: quantity.Some(quantity.Area(4)), Depth: quantity.Some(quantity.Length(1.5)), White: quantity.Some(quantity.Flow(2.4)),
		Pressure: quantity.Some(quantity.Pressure(500)), Efficiency: quantity.Some(quantity.Fraction(0.9)), Set: 30}
	day := dosing.UnitDay{Unit: u, Solids: 50, Window: u.Window(30, 50), White: u.White}
	total, _ := u.TotalGas()
	day.Gas = quantity.Some(total)
	for _, q := range []quantity.Flow{12, 30, 48} {
		day.At = append(day.At, u.At(q, 50))
	}
	said := func(day dosing.UnitDay, o Options) string {
		var out strings.Builder
		text := NewText(&out, o)
		Plan{Unit: day}.unitPart(text, o, unitData(day))
		if err := text.Flush(); err != nil {
			t.Fatal(err)
		}
		return strings.Join(strings.Fields(out.String()), " ")
	}
	got := said(day, Options{Width: 200})
	for _, want := range []string{"air set free, per volume treated, air taken up by the top 1 m", "the same, air taken up by the whole depth",
		"up to 114 % of what open water holds, taken up by the whole depth"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in %s", want, got)
		}
	}
	if at := unitData(day).Get("figures_at"); at != "peak" {
		t.Errorf("on top: %v", at)
	}
	if day.At = day.At[1:2]; unitData(day).Has("figures_at") {
		t.Error("one flow, yet it is named")
	}
	for i := range day.At {
		day.At[i].FreeAtLeast.OK = false
	}
	if day.Unit.Depth.V = 0.8; strings.Contains(said(day, Options{Width: 200}), "taken up") {
		t.Errorf("a shallow unit: %s", said(day, Options{Width: 200}))
	}
}
