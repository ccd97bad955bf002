package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// TestNextDraw: from 6 to 18 something is drawn; in a pause the next draw is at its end, where nothing is ever drawn at the time asked for.
func TestNextDraw(t *testing.T) {
	d := demand{day: twoFlows(t), per: 0.001}
	for _, x := range [][2]quantity.Time{{3, 6}, {6, 6}, {10, 10}, {12, 12}, {18, 30}, {20, 30}, {31, 31}, {-20, -18}, {-30, -18}, {-31, -31}} {
		if got := d.next(x[0]); got != x[1] {
			t.Errorf("after %v the next draw is at %v, want %v", x[0], got, x[1])
		}
	}
	if got := (demand{}).next(7); got != 7 {
		t.Errorf("nothing is drawn, next at %v", got)
	}
}

// TestKnobOfASmallPump: 10 mg/L of 1 m3/h are 10 g/h, of a stock of 200 g/L 50 mL/h = 0.833 mL/min. A pump of 5 mL/min
// gives it at 16.7 %, its knob stands at 17 %: 0.85 mL/min. Where it follows the flow, it gives what is asked for.
func TestKnobOfASmallPump(t *testing.T) {
	f := Feed{PerLitre: 200e3}
	f.Pump = &pump.Pump{Calibration: pump.FromNameplate(5), Turndown: 100}
	f.AsProduct.Concentration = 10
	near(t, "as the knob stands", float64(f.gives(1)), 0.85, 1e-12)
	near(t, "without flow", float64(f.gives(0)), 0, 0)
	f.Follows = true
	near(t, "following", float64(f.gives(1)), 10.0/12, 1e-12)
}

// TestBatchOfManyPasses: 3.6 m3/h all day are 86.4 m3: 4.32 times a batch of 20 m3, once one of 86.4 m3.
func TestBatchOfManyPasses(t *testing.T) {
	for system, times := range map[string]string{"20": "4.3", "86.4": "", "85": "1.0"} {
		p, err := planned(t, "water_passes: once through", "water_passes: batch", "chemicals:", "water:\n  water_in_the_system: "+system+" m3\nchemicals:")
		if err != nil {
			t.Fatal(err)
		}
		n, told := noted(p.Notes, "batch-many-passes")
		if told != (times != "") || told && !strings.HasSuffix(n.Message, "through the unit "+times+" times: what is dosed adds up in it") {
			t.Errorf("%s m3: %v %s", system, told, n.Message)
		}
	}
}

// TestLittleStock: 0.2 mg/L of 86.4 m3 are 17.28 g; of a stock of 100 g/L 0.173 L a day, which is made up like any other.
func TestLittleStock(t *testing.T) {
	p, err := planned(t, "product_in_stock: 1 g/L", "product_in_stock: 100 g/L", "    tank: day tank\n    make_up_tank: mixer\n", "")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "stock a day", float64(p.Feeds[0].StockUse), 0.1728, 1e-9)
	if _, told := noted(p.Feeds[0].Notes, "no-tank"); !told {
		t.Errorf("%v", p.Feeds[0].Notes)
	}
}
