package templates

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/flow"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// threePumps is a day with a pump on a straight line, one whose readings bend and one
// with stroke and speed; the third is off.
func threePumps(t *testing.T, q quantity.Flow, hours quantity.Time, doses [3]quantity.Concentration, strength quantity.Concentration) Plan {
	t.Helper()
	day, err := flow.Constant(q, flow.Hours{{From: 0, To: hours}})
	if err != nil {
		t.Fatal(err)
	}
	alum, err := product.Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	read := func(list ...[3]float64) *pump.Pump {
		var l []pump.Reading
		for _, x := range list {
			l = append(l, pump.Reading{Position: pump.Position{Setting: quantity.Setting(x[0]), Stroke: quantity.Setting(x[1])}, HasStroke: x[1] > 0, Rate: quantity.FeedRate(x[2])})
		}
		c, err := pump.Fit(l)
		if err != nil {
			t.Fatal(err)
		}
		return &pump.Pump{Calibration: c}
	}
	straight := read([3]float64{20, 0, 5}, [3]float64{50, 0, 14}, [3]float64{80, 0, 23})
	straight.Setting.Step, straight.Turndown = 2.5, 6
	bent := read([3]float64{10, 0, 10}, [3]float64{30, 0, 28}, [3]float64{50, 0, 44}, [3]float64{70, 0, 57}, [3]float64{90, 0, 66})
	both := read([3]float64{20, 40, 5}, [3]float64{60, 40, 15}, [3]float64{20, 80, 10}, [3]float64{60, 80, 30}, [3]float64{100, 60, 37.5})
	in := dosing.Input{Day: day}
	for i, p := range []*pump.Pump{straight, bent, both} {
		in.Feeds = append(in.Feeds, dosing.FeedInput{Name: fmt.Sprintf("alum %d", i+1), Dose: quantity.Dose{Concentration: doses[i], Basis: quantity.AsAlum14},
			Stock: dosing.Stock{Product: alum, PerLitre: strength}, PumpName: "pump", Pump: p, Tank: &dosing.Vessel{Name: "tank", Volume: 100, Usable: 0.9}, Work: 0.25})
	}
	p, err := dosing.Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return NewPlan(p, caution.Findings{}, nil, dosing.UnitDay{}, month.DayCost{})
}

// rowsNamed finds the row of each label on the sheet that people change; of two alike the first.
func rowsNamed(t *testing.T, f *excelize.File) map[string]int {
	t.Helper()
	rows, err := f.GetRows("Change it")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]int{}
	for i, r := range rows {
		if len(r) > 0 && out[r[0]] == 0 {
			out[r[0]] = i + 1
		}
	}
	return out
}

// TestChangedPlanBook changes inputs of the plan's sheet and works it out again: it
// gives what the program plans for them, at the knob's steps, on each part of a bent
// line, at the stroke that stands, below the least rate, above the most, and at no dose.
func TestChangedPlanBook(t *testing.T) {
	const flow0, dose0, strength0 = 3.6, 12.5, 150000
	coarse := 0
	for _, x := range []struct {
		what     string
		flow     quantity.Flow
		hours    quantity.Time
		doses    [3]quantity.Concentration
		strength quantity.Concentration
	}{
		{"as written", flow0, 24, [3]quantity.Concentration{dose0, dose0, dose0}, strength0},
		{"more flow", 5, 24, [3]quantity.Concentration{dose0, dose0, dose0}, strength0},
		{"less flow", 1.9, 24, [3]quantity.Concentration{dose0, dose0, dose0}, strength0},
		{"fewer hours", flow0, 7.5, [3]quantity.Concentration{dose0, dose0, dose0}, strength0},
		{"weaker stock", flow0, 24, [3]quantity.Concentration{dose0, dose0, dose0}, 80000},
		{"the second part of the bend", flow0, 24, [3]quantity.Concentration{dose0, 30, dose0}, strength0},
		{"the third part", flow0, 24, [3]quantity.Concentration{dose0, 48, dose0}, strength0},
		{"the last part and beyond", flow0, 24, [3]quantity.Concentration{dose0, 74, dose0}, strength0},
		{"below the least", flow0, 24, [3]quantity.Concentration{3, 3, dose0}, strength0},
		{"above the most", flow0, 24, [3]quantity.Concentration{60, 120, dose0}, strength0},
		{"a step too coarse: 5.32 mL/min at 20 %, which gives 5", flow0, 24, [3]quantity.Concentration{6.45, dose0, dose0}, strength0},
		{"nothing", flow0, 24, [3]quantity.Concentration{0, 0, dose0}, strength0},
		{"all together", 2.75, 16, [3]quantity.Concentration{9.1, 33, dose0}, 120000},
		{"more by stroke and speed", flow0, 24, [3]quantity.Concentration{dose0, dose0, 14}, strength0},
		{"faster than that stroke feeds", flow0, 24, [3]quantity.Concentration{dose0, dose0, 40}, strength0},
		{"slower than was tested", flow0, 24, [3]quantity.Concentration{dose0, dose0, 2}, strength0},
		{"no dose by stroke and speed", flow0, 24, [3]quantity.Concentration{dose0, dose0, 0}, strength0},
	} {
		var b bytes.Buffer
		if err := WriteBook(&b, threePumps(t, flow0, 24, [3]quantity.Concentration{dose0, dose0, dose0}, strength0), Options{}); err != nil {
			t.Fatal(err)
		}
		f, _ := openCells(t, b.Bytes())
		row := rowsNamed(t, f)
		set := func(at string, v float64) {
			if err := f.SetCellValue("Change it", at, v); err != nil {
				t.Fatal(err)
			}
		}
		set(fmt.Sprintf("C%d", row["Average flow while the unit runs"]), float64(x.flow))
		set(fmt.Sprintf("C%d", row["Hours run a day"]), float64(x.hours))
		want := threePumps(t, x.flow, x.hours, x.doses, x.strength)
		for i, f2 := range want.Feeds {
			col := string(rune('C' + i))
			set(fmt.Sprintf("%s%d", col, row["Dose"]), float64(x.doses[i]))
			set(fmt.Sprintf("%s%d", col, row["Product in a litre of stock"]), float64(x.strength)/1000)
			choice, moves := f2.Setting.Average, false
			if i == 2 { // the stroke stays where the plan had it, or it is said that it has to move
				stands := *f2.Pump
				stands.Stays = threePumps(t, flow0, 24, [3]quantity.Concentration{dose0, dose0, dose0}, strength0).Feeds[2].Setting.Average.Position.Stroke
				choice, moves = stands.AtStroke(f2.Rate, stands.Stays), f2.Rate > 0 && !stands.Keeps(f2.Rate)
				if far := x.doses[i] == 40 || x.doses[i] == 2; moves != far {
					t.Fatalf("%s: the stroke moves: %v", x.what, moves)
				}
			}
			get := func(label string, below int) string {
				v, err := f.CalcCellValue("Change it", fmt.Sprintf("%s%d", col, row[label]+below), excelize.Options{RawCellValue: true})
				if err != nil {
					t.Fatal(label, err)
				}
				return v
			}
			for label, v := range map[string]float64{"Product a day": float64(f2.Product), "Stock a day": float64(f2.StockUse), "FEED RATE": float64(f2.Rate),
				"Setting, worked out": float64(choice.Exact.Setting), "PUMP SETTING": float64(choice.Position.Setting), "the pump then feeds": float64(choice.Gives)} {
				if got, err := strconv.ParseFloat(get(label, 0), 64); err != nil || math.Abs(got-v) > 1e-6*math.Max(1, math.Abs(v)) {
					t.Errorf("%s, %s: %s is %s, want %g", x.what, f2.Name, label, get(label, 0), v)
				}
			}
			word := [...]string{"in range", "PUMP TOO SMALL", "BELOW THE PUMP'S RANGE"}[choice.Reach]
			switch {
			case x.doses[i] == 0:
				word = "off"
			case moves:
				word = strokeMoves
			case choice.Reach == pump.Within && math.Abs(float64(choice.Gives/choice.Wanted)-1) > 0.05:
				word, coarse = "OVER 5 % OFF", coarse+1
			}
			if got := get("the pump then feeds", 1); got != word {
				t.Errorf("%s, %s: %q, want %q", x.what, f2.Name, got, word)
			}
		}
	}
	if coarse == 0 {
		t.Error("no setting was too coarse")
	}
}
