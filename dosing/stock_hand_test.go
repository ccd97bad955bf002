package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// TestStocksByHand: 100 g/L of a 1.3 kg/L liquid takes 1/1.3 of its mass in volume;
// a powder adds half its mass; 1.021231 and 1.0481 kg/L.
func TestStocksByHand(t *testing.T) {
	liquid := Stock{Product: holding(0.5, quantity.AsAlum14, 1.3), PerLitre: 100000}
	powder := Stock{Product: product.Product{Form: product.Dry}, PerLitre: 100000}
	neat := Stock{Product: liquid.Product}
	for _, x := range []struct {
		what string
		s    Stock
		want float64
	}{{"liquid", liquid, 0.1 + 0.998*(1-0.1/1.3)}, {"powder", powder, 0.1 + 0.998*(1-0.1/2)}, {"neat", neat, 1.3}, {"measured", Stock{Product: liquid.Product, PerLitre: 100000, Density: 1.1}, 1.1},
		{"lighter than water", Stock{Product: liquid.Product, PerLitre: 100000, Density: 0.95}, 0.95}} {
		near(t, x.what, float64(x.s.DensityOfStock()), x.want, 1e-12)
		if x.what != "neat" {
			near(t, x.what+" by mass", float64(x.s.PercentByMass()), 0.1/x.want, 1e-12)
		}
	}
	near(t, "neat by mass", float64(neat.PercentByMass()), 1, 0)
	r, err := liquid.Recipe(20)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "product", float64(r.Product), 2, 1e-12)
	near(t, "its volume", float64(r.ProductVolume), 2/1.3, 1e-12)
	near(t, "water", float64(r.Water), 20*(1-0.1/1.3), 1e-9)
	if _, err := neat.Recipe(1); err == nil {
		t.Error("a neat product has a recipe")
	}
	if _, err := (Stock{Product: liquid.Product, PerLitre: 1.31e6, Density: 2}).Recipe(1); err == nil {
		t.Error("a litre of stock that holds more than a litre of product")
	}
	f := Feed{AsProduct: quantity.Dose{Concentration: 20}, PerLitre: 100000}
	near(t, "20 mg/L at 2 m3/h", float64(f.rate(2)), 400.0/60, 1e-9)
	if (Stock{Product: product.Product{Form: product.Liquid}}).Neat() != true {
		t.Error("stock without product per litre is neat")
	}
}

// TestFromStart: segments before the plan's start follow as the next day's.
func TestFromStart(t *testing.T) {
	d, err := flow.FromSegments([]flow.Segment{{Span: flow.Span{From: 0, To: 4}, Flow: 1}, {Span: flow.Span{From: 4, To: 10}, Flow: 2}, {Span: flow.Span{From: 10, To: 12}, Flow: 0}, {Span: flow.Span{From: 12, To: 20}, Flow: 3}})
	if err != nil {
		t.Fatal(err)
	}
	want := []flow.Segment{{Span: flow.Span{From: 6, To: 10}, Flow: 2}, {Span: flow.Span{From: 12, To: 20}, Flow: 3}, {Span: flow.Span{From: 24, To: 28}, Flow: 1}, {Span: flow.Span{From: 28, To: 30}, Flow: 2}}
	got := Plan{Input: Input{Day: d, Start: 6}}.fromStart()
	if len(got) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%+v, want %+v", got[i], want[i])
		}
	}
	p, err := Make(Input{Day: d, Start: 6, Feeds: []FeedInput{{Name: "x", Dose: quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25)},
		Tank: &Vessel{Volume: 1, Usable: 1, Now: quantity.Some[quantity.Volume](0.2)}, Pump: nameplate(1)}}})
	if err != nil {
		t.Fatal(err)
	}
	var tasks []string
	for _, k := range p.Tasks {
		tasks = append(tasks, flow.Clock(k.At)+" "+string(k.Kind))
	}
	// The run in which 06:00 falls began at 00:00. 10 mg/L of 1250 g/L: 8 mL/h for 4 h, 16 for 6, 24 for 8: 320 mL a day, so a litre is
	// for two days with 5 % to spare, and 200 mL do not last this one: filled at the start, as every second day.
	want2 := "00:00 start unit, 00:00 set pump, 00:00 change drum, 04:00 set pump, 10:00 stop pump, 10:00 stop unit, 12:00 start unit, 12:00 set pump, " +
		"20:00 stop pump, 20:00 stop unit"
	if strings.Join(tasks, ", ") != want2 {
		t.Errorf("%q, want %q", strings.Join(tasks, ", "), want2)
	}
}

func nameplate(rate quantity.FeedRate) *pump.Pump {
	return &pump.Pump{Calibration: pump.FromNameplate(rate)}
}
