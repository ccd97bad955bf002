package templates

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/month"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// quickPlan is one feed of liquid alum with a pump and a tank.
func quickPlan(t *testing.T, stopped bool) Plan {
	t.Helper()
	_, p := yamlPlan(t, `
place: {name: hatchery, purpose: animals, water_passes: once through}
flow: {average_flow: "3.6 m3/h"}
chemicals: [{name: aluminium sulfate solution, product: alum-liquid, dose: "12.5 mg/L", dose_low: "10 mg/L", dose_high: "15 mg/L",
  basis: as alum 14-hydrate, strength: "48.5 %", density: "1.335 kg/L", stock: stock, pump: pump}]
stocks: [{name: stock, product_in_stock: "150 g/L", tank: tank}]
pumps: [{name: pump, largest_rate: "72 mL/min"}]
tanks: [{name: tank, use: stock, volume: "60 L", usable: "100 %"}]
`)
	return NewPlan(p, caution.Findings{Stopped: stopped}, nil, dosing.UnitDay{}, month.DayCost{})
}

// TestAStoppedPlanSetsNoPump looks in every form for what a pump could be set by.
func TestAStoppedPlanSetsNoPump(t *testing.T) {
	for _, stopped := range []bool{false, true} {
		p := quickPlan(t, stopped)
		cards := p.Cards(Options{})
		if says := len(cards) > 0 && cards[0].Numbers[0].Words == "Do not dose"; says != stopped || len(cards) == 0 || stopped && (len(cards) != 1 || len(cards[0].Tables) > 0) {
			t.Errorf("stopped %t: %d cards, which say so %t", stopped, len(cards), says)
		}
		if n := len(p.Drawing(Options{}).Panels); (n == 0) != stopped {
			t.Errorf("stopped %t: a drawing of %d plots", stopped, n)
		}
		var page, wb bytes.Buffer
		if err := WritePage(&page, p, Options{}); err != nil {
			t.Fatal(err)
		}
		if err := WriteBook(&wb, p, Options{}); err != nil {
			t.Fatal(err)
		}
		// 12.5 / 0.485 = 25.773 mg/L of product for 3.6 m3/h from 150 g/L: 25.773 × 3.6 / 150 × 1000 / 60 = 10.309 mL/min.
		for form, text := range map[string]string{"page": page.String(), "workbook": cells(t, wb.Bytes())} {
			if strings.Contains(text, map[string]string{"page": "10.31", "workbook": "10.30927"}[form]) == stopped || form == "page" && strings.Contains(text, "Pump card") == stopped {
				t.Errorf("%s, stopped %t: the feed rate stands in it the wrong way round", form, stopped)
			}
		}
		if err := p.Drawing(Options{}).PNG(io.Discard); err != nil {
			t.Error(err)
		}
	}
}

// TestPumpCard checks settings of the card by hand: at 72 mL/min for 100 %, the
// planned 10.309 mL/min at 3.6 m3/h are 14.3 %, and each m3/h takes 2.8637 mL/min.
func TestPumpCard(t *testing.T) {
	c := quickPlan(t, false).Cards(Options{})[0]
	rows := c.Tables[0].Rows
	if len(c.Tables[0].Cols) != 4 || len(rows) < 5 {
		t.Fatalf("%d columns, %d rows", len(c.Tables[0].Cols), len(rows))
	}
	for _, want := range []struct{ flow, cell string }{{"1.8", "(5.15 mL/min)"}, {"3.6", "(10.3 mL/min)"}, {"5.4", "(15.5 mL/min)"}} {
		found := false
		for _, r := range rows {
			found = found || strings.HasPrefix(r[0], want.flow) && strings.Contains(r[2], want.cell)
		}
		if !found {
			t.Errorf("no %s at %s m3/h: %v", want.cell, want.flow, rows)
		}
	}
}

// TestPumpCardByWater: the same card with storm water at 20 mg/L and a tank
// cleaned up at 25 mg/L from 30 NTU: by mass balance 3.6 m3/h then take 20/12.5 and
// 25/12.5 of the 10.309 mL/min of the planned dose.
func TestPumpCardByWater(t *testing.T) {
	p := quickPlan(t, false)
	p.Feeds[0].Storm = quantity.Some[quantity.Concentration](20)
	p.Feeds[0].Cleaning, p.Feeds[0].CleaningKey = []clarify.Step{{Reading: 0, Dose: 12.5}, {Reading: 30, Dose: 25}}, jartest.Turbidity
	c := p.Cards(Options{})[0]
	if len(c.Tables) != 2 {
		t.Fatalf("%d tables", len(c.Tables))
	}
	for i, want := range []struct {
		head, rate string
		col, cols  int
	}{{"Storm water: 20", "(16.5 mL/min)", 4, 5}, {"30 NTU and more: 25", "(20.6 mL/min)", 2, 3}} {
		table := c.Tables[i]
		if len(table.Cols) != want.cols || !strings.HasPrefix(table.Cols[want.col].Head, want.head) {
			t.Fatalf("columns %v", table.Cols)
		}
		found := false
		for _, r := range table.Rows {
			found = found || strings.HasPrefix(r[0], "3.6") && strings.HasSuffix(r[want.col], want.rate)
		}
		if !found {
			t.Errorf("no %s: %v", want.rate, table.Rows)
		}
	}
	if !strings.Contains(strings.Join(c.Cautions, " "), "that of storm water for what would stop the plan") {
		t.Errorf("cautions %v", c.Cautions)
	}
}
