package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// figured is a line of working as a test wants it.
type figured struct {
	figure string
	value  quantity.Quantity
	inputs string
	source string
}

// TestWorkingByHand: every figure of a feed with the numbers that went into it, for
// 2 m3/h over 10 h, 20 m3.
func TestWorkingByHand(t *testing.T) {
	alum := holding(0.5, quantity.AsAlum14, 1.25)
	unknown := product.Product{Form: product.Liquid, Density: product.Given[quantity.Density](1.25, "label")}
	powder := product.Product{Form: product.Dry, Basis: quantity.AsActive, Strength: product.Given[quantity.Fraction](0.8, "data sheet")}
	powder.Strength.Status = product.Memory
	line, err := pump.Fit([]pump.Reading{{Position: pump.Position{Setting: 20}, Rate: 5}, {Position: pump.Position{Setting: 50}, Rate: 11}, {Position: pump.Position{Setting: 80}, Rate: 17}})
	if err != nil {
		t.Fatal(err)
	}
	dose := func(c quantity.Concentration, b quantity.Basis) quantity.Dose {
		return quantity.Dose{Concentration: c, Basis: b}
	}
	// 2 moles of Al, 53.964 g, in a mole of Al2(SO4)3 · 14 H2O, 594.345 g: 9.0796 % (IUPAC abridged masses, from memory).
	al := 2 * 26.982 / (2*26.982 + 3*(32.06+4*15.999) + 14*18.015)
	for _, x := range []struct {
		what  string
		feed  FeedInput
		swing quantity.Fraction
		want  []figured
	}{
		{"from a stock, on the product's own basis", FeedInput{Dose: dose(10, quantity.AsAlum14), Low: 8, High: 15, Stock: Stock{Product: alum, PerLitre: 100000},
			Pump: nameplate(20), Tank: &Vessel{Volume: 10, Usable: 0.8}}, 0.1, []figured{
			{"dose as product", dose(10/0.5, quantity.AsProduct), "10.000 mg/L ÷ 50.000 %", "mass balance; strength: example"},
			{"product a day", quantity.MassRate(20 * 2 * 10 / 1000.0), "20.000 mg/L × 2.0000 m3/h × 10.000 h", "mass balance; flow: meter"},
			{"active a day", quantity.MassRate(10 * 2 * 10 / 1000.0), "10.000 mg/L × 2.0000 m3/h × 10.000 h", "mass balance"},
			{"product volume a day", quantity.Volume(0.4 / 1.25), "0.40000 kg/d ÷ 1.2500 kg/L", "density: example"},
			{"product per litre of stock", quantity.Concentration(100000), "100.00 g/L", "as stated"},
			{"feed rate", quantity.FeedRate(20 * 2 / 100.0 * 1000 / 60), "20.000 mg/L × 2.0000 m3/h ÷ 100.00 g/L", "mass balance"},
			{"stock a day", quantity.Volume(20 * 20 / 100.0), "20.000 mg/L × 20.000 m3 ÷ 100.00 g/L", "mass balance"},
			{"pump setting", quantity.Setting(400 / 60.0 / 20 * 100), "(6.6667 mL/min − (0 mL/min)) ÷ 0.20000 mL/min per %", "nameplate, not calibrated"},
			{"tank lasts", quantity.Time(10), "24.000 h − 0 h, 10.000 h of 24 h running", "mass balance"}, // 8 L / 0.4 L/h would be 20 h
			// As in TestFeedByHand: 400/60 x 0.8160 and x 1.3909.
			{"least feed rate", quantity.FeedRate(5.4402715728), "8.4042 mg/L, 1.8000 m3/h", "passed one day in ten: the range of the doses, the flow uncertainty"},
			{"largest feed rate", quantity.FeedRate(9.2728773951), "13.715 mg/L, 2.2000 m3/h", "passed one day in ten: the range of the doses, the flow uncertainty"},
		}},
		{"neat, on another basis", FeedInput{Dose: dose(1, quantity.AsAl), Stock: Stock{Product: alum}, Pump: &pump.Pump{Calibration: line}}, 0, []figured{
			{"dose as product", dose(quantity.Concentration(1/(0.5*al)), quantity.AsProduct), "1.0000 mg/L ÷ 4.5398 %", "mass balance; strength: example"},
			{"strength as Al", quantity.Fraction(0.5 * al), "50.000 % as alum 14-hydrate", "atomic masses (IUPAC abridged values, from memory)"},
			{"product a day", quantity.MassRate(20 / 1000.0 / (0.5 * al)), "22.027 mg/L × 2.0000 m3/h × 10.000 h", "mass balance; flow: meter"},
			{"active a day", quantity.MassRate(20 / 1000.0), "1.0000 mg/L × 2.0000 m3/h × 10.000 h", "mass balance"},
			{"product volume a day", quantity.Volume(20 / 1000.0 / (0.5 * al) / 1.25), "0.44055 kg/d ÷ 1.2500 kg/L", "density: example"},
			{"product per litre of stock", quantity.Concentration(1250000), "1.2500 kg/L", "density: example"},
			{"feed rate", quantity.FeedRate(2 / (0.5 * al) / 1250 * 1000 / 60), "22.027 mg/L × 2.0000 m3/h ÷ 1250.0 g/L", "mass balance"},
			{"stock a day", quantity.Volume(20 / 1000.0 / (0.5 * al) / 1.25), "22.027 mg/L × 20.000 m3 ÷ 1250.0 g/L", "mass balance"},
			// 5 mL/min at 20 %, 17 at 80: 0.2 a per cent from 1 at nothing.
			{"pump setting", quantity.Setting((2/(0.5*al)/1250*1000/60 - 1) / 0.2), "(0.58740 mL/min − (1.0000 mL/min)) ÷ 0.20000 mL/min per %", "drawdown readings"},
		}},
		{"as product of a known strength", FeedInput{Dose: dose(10, quantity.AsProduct), Stock: Stock{Product: alum, PerLitre: 50000}}, 0, []figured{
			{"dose as product", dose(10, quantity.AsProduct), "10.000 mg/L as product", "mass balance"},
			{"product a day", quantity.MassRate(0.2), "10.000 mg/L × 2.0000 m3/h × 10.000 h", "mass balance; flow: meter"},
			{"active a day", quantity.MassRate(0.2 * 0.5), "0.20000 kg/d × 50.000 % as alum 14-hydrate", "strength: example"},
			{"product volume a day", quantity.Volume(0.2 / 1.25), "0.20000 kg/d ÷ 1.2500 kg/L", "density: example"},
			{"product per litre of stock", quantity.Concentration(50000), "50.000 g/L", "as stated"},
			{"feed rate", quantity.FeedRate(10 * 2 / 50.0 * 1000 / 60), "10.000 mg/L × 2.0000 m3/h ÷ 50.000 g/L", "mass balance"},
			{"stock a day", quantity.Volume(0.2 / 0.05), "10.000 mg/L × 20.000 m3 ÷ 50.000 g/L", "mass balance"},
		}},
		{"as product of an unknown strength", FeedInput{Dose: dose(10, quantity.AsProduct), Stock: Stock{Product: unknown}}, 0, []figured{
			{"dose as product", dose(10, quantity.AsProduct), "10.000 mg/L as product", "mass balance"},
			{"product a day", quantity.MassRate(0.2), "10.000 mg/L × 2.0000 m3/h × 10.000 h", "mass balance; flow: meter"},
			{"product volume a day", quantity.Volume(0.2 / 1.25), "0.20000 kg/d ÷ 1.2500 kg/L", "density: label"},
			{"product per litre of stock", quantity.Concentration(1250000), "1.2500 kg/L", "density: label"},
			{"feed rate", quantity.FeedRate(10 * 2 / 1250.0 * 1000 / 60), "10.000 mg/L × 2.0000 m3/h ÷ 1250.0 g/L", "mass balance"},
			{"stock a day", quantity.Volume(0.2 / 1.25), "10.000 mg/L × 20.000 m3 ÷ 1250.0 g/L", "mass balance"},
		}},
		{"dry into a feeder", FeedInput{Dose: dose(2, quantity.AsActive), Stock: Stock{Product: powder}}, 0, []figured{
			{"dose as product", dose(2/0.8, quantity.AsProduct), "2.0000 mg/L ÷ 80.000 %", "mass balance; strength: data sheet, from memory"},
			{"product a day", quantity.MassRate(0.05), "2.5000 mg/L × 2.0000 m3/h × 10.000 h", "mass balance; flow: meter"},
			{"active a day", quantity.MassRate(0.04), "2.0000 mg/L × 2.0000 m3/h × 10.000 h", "mass balance"},
		}},
	} {
		p, err := Make(Input{Day: steady(t, 2, 6, 16), FlowRange: x.swing, FlowSource: "meter", Start: 6, Feeds: []FeedInput{x.feed}})
		if err != nil {
			t.Fatalf("%s: %v", x.what, err)
		}
		got := p.Feeds[0].Working
		if len(got) != len(x.want) {
			t.Errorf("%s: %d lines, want %d: %+v", x.what, len(got), len(x.want), got)
			continue
		}
		for i, w := range x.want {
			g := got[i]
			v, unit := g.Value.Show(quantity.Metric)
			want, wantUnit := w.value.Show(quantity.Metric)
			if g.Figure != w.figure || unit != wantUnit || math.Abs(v-want) > 1e-6*math.Abs(want) {
				t.Errorf("%s: %s %v %s, want %s %v %s", x.what, g.Figure, v, unit, w.figure, want, wantUnit)
			}
			if g.Inputs.String() != w.inputs || g.Source != w.source || g.Formula == "" {
				t.Errorf("%s: %s: %q (%s) from %q, want %q (%s)", x.what, g.Figure, g.Inputs, g.Source, g.Formula, w.inputs, w.source)
			}
		}
	}
}
