package templates

import (
	"testing"

	"jarwright/jartest/curve"
	"jarwright/jartest/surface"
	"jarwright/templates/draw"
)

// TestNextDrawing: the jars to fill stand dashed at their doses, each of its own, under the curve.
func TestNextDrawing(t *testing.T) {
	d := NextReport{Series: []curve.Next{madeNext()}, Fits: []curve.Result{madeFit()}}.Drawing(Options{})
	if len(d.Panels) != 1 || d.Title != "Fill 6 jars, 0 to 13.25 mg/L" || d.Description != "storm: Fill 6 jars, 0 to 13.25 mg/L." {
		t.Fatalf("%d panels of %q: %q", len(d.Panels), d.Title, d.Description)
	}
	p := d.Panels[0]
	// From 0 to the interval's 14.04; 0.4 of that more on either side, but not below nothing.
	if *p.X.Least != 0 || *p.X.Most != 14.04*1.4 {
		t.Errorf("from %g to %g", *p.X.Least, *p.X.Most)
	}
	row := p.Layers[len(p.Layers)-1].(draw.Jars)
	want := []draw.Jar{{X: 0, Empty: true, Label: "0"}, {X: 11.5, Empty: true, Label: "11.5", Under: "1.15 mL"}, {X: 11.5, Empty: true, Label: "11.5", Under: "1.15 mL"},
		{X: 13.25, Empty: true, Label: "13.25"}, {X: 13.25, Empty: true, Label: "13.25"}, {X: 13.25, Empty: true, Label: "13.25"}}
	for i, w := range want {
		if len(row.At) != len(want) || row.At[i] != w {
			t.Fatalf("jars %+v", row.At)
		}
	}
	if i := p.Layers[len(p.Layers)-2].(draw.Interval); i.At != 12.345 {
		t.Errorf("interval %+v", i)
	}
	alone := NextReport{Series: []curve.Next{madeNext()}}.Drawing(Options{})
	if len(alone.Panels[0].Layers) != 1 || alone.Panels[0].X.Label() != "dose, mg/L as alum 14-hydrate" {
		t.Errorf("without a curve: %+v", alone.Panels[0])
	}
	both := NextReport{Series: []curve.Next{madeNext(), {}}, Surfaces: []surface.Result{gridFit()}, Jars: 6}.Drawing(Options{})
	if len(both.Panels) != 2 || both.Title != "What to test next" || both.Panels[0].Title != "storm: Fill 6 jars, 0 to 13.25 mg/L" {
		t.Errorf("%d panels of %q", len(both.Panels), both.Title)
	}
}
