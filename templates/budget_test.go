package templates

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	account "jarwright/dosing/day"

	"jarwright/dosing/doubt"
	"jarwright/dosing/month"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// handBudget is the plant of testdata/budget/hand-month.md, with doubts.
func handBudget(t *testing.T) Budget {
	t.Helper()
	week := month.EveryDay(10)
	for d := range week {
		week[d].Delivery = d == int(time.Tuesday) || d == int(time.Friday)
	}
	week[time.Sunday].Operating = false
	eur := func(v float64, per string) quantity.Price {
		return quantity.Price{Amount: v, Currency: "EUR", Per: per}
	}
	day := func(d int) month.Date { return month.Date{Year: 2028, Month: time.February, Day: d} }
	uniform := func(lo, hi float64) func(float64) (quantity.Concentration, bool) {
		return func(p float64) (quantity.Concentration, bool) { return quantity.Concentration(lo + p*(hi-lo)), true }
	}
	b, err := month.Make(month.Plan{
		Calendar: month.Calendar{
			Month: month.Month{Year: 2028, Month: time.February}, Flow: 20, Week: week,
			Exceptions: []month.Exception{
				{Date: day(9), Class: "storm"}, {Date: day(10), Class: "storm"},
				{Date: day(14), CleanUp: 180000, Remark: "tank 3"}, {Date: day(29), Closed: true},
			},
		},
		Classes: []month.Class{{Name: "clear", Share: 0.75, Removed: solids.Same[quantity.Concentration](20)}, {Name: "storm", Share: 0.25, Removed: solids.Same[quantity.Concentration](100)}},
		Chemicals: []month.Chemical{
			{
				Name: "alum", Role: month.Coagulant, Basis: quantity.AsAlum14, Effects: account.Effects{Strength: quantity.Some[quantity.Fraction](0.5), Floc: 0.44}, Doses: []month.Dose{{Plan: 20, Quantile: uniform(15, 21)}, {Plan: 40, Quantile: uniform(30, 42)}},
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(0.80, "kg")}, {From: 4, Price: eur(0.70, "kg")}}, Delivery: quantity.Money{Amount: 15, Currency: "EUR"}},
				Supply: month.Supply{Opening: 60, Pack: 25, LeadDays: 4, Limit: 200, MinDays: 3, ShippingFactor: 1.5, OrderPacks: 4},
			},
			{
				Name: "polymer", Role: month.Polymer, Basis: quantity.AsProduct, Doses: []month.Dose{{Plan: 0.5}, {Plan: 1}}, Effects: account.Effects{Floc: 1}, Stock: 2000,
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(6, "kg")}}, Delivery: quantity.Money{Amount: 4, Currency: "EUR"}},
				Supply: month.Supply{Opening: 2, OpeningAge: 10, Pack: 1, LeadDays: 2, ShelfDays: 20, MinDays: 2, ShippingFactor: 2},
			},
		},
		Disposal: account.Disposal{DrySolids: 0.02, Density: 1, Price: eur(30, "m3")},
		Water:    eur(2, "m3"),
		Energy:   month.Energy{Power: 1500, Price: eur(0.20, "kWh")},
		Doubt:    month.Doubt{Flow: doubt.Span{Low: 0.9, High: 1.1}, Solids: doubt.Span{Low: 0.7, High: 1.4}, Seed: 1},
	})
	if err != nil {
		t.Fatal(err)
	}
	return Budget{Place: "Beckside trout hatchery (example)", Months: []month.Budget{b}}
}

func TestBudgetText(t *testing.T) {
	for _, o := range []Options{{}, {Explain: true}, {Units: quantity.US, DecimalComma: true}} {
		var b bytes.Buffer
		w := NewText(&b, o)
		handBudget(t).Text(w, o)
		if err := w.Flush(); err != nil {
			t.Fatal(err)
		}
		for i, l := range strings.Split(b.String(), "\n") {
			if columns(l) > 80 {
				t.Errorf("line %d is %d columns wide: %s", i+1, columns(l), l)
			}
		}
		if os.Getenv("SHOW") != "" {
			t.Log("\n" + b.String())
		}
		want := []string{"765.51 EUR", "Fri 4 February", "Tue 8 February", "4 x 25 kg", "261 kg", "0.725 kg"}
		if o.DecimalComma {
			want = []string{"765,51 EUR", "4 x 55,12 lb", "575 lb"}
		}
		if o.Explain {
			want = append(want, "4.33 weeks", "days always kept")
		}
		for _, s := range want {
			if !strings.Contains(b.String(), s) {
				t.Errorf("%+v: no %q in\n%s", o, s, b.String())
			}
		}
	}
}

func TestBudgetJSON(t *testing.T) {
	data, err := json.Marshal(handBudget(t).JSON())
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Schema string
		Months []struct {
			Month string
			Use   []struct {
				Chemical string
				Product  struct {
					Value float64
					Unit  string
				}
				Cost          float64
				P10, P50, P90 struct {
					Value float64
					Unit  string
				}
			}
			Deliveries []struct {
				Chemical   string
				OrderBy    string `json:"order_by"`
				Arrives    string
				Packs      int
				StockAfter struct {
					Value float64
					Unit  string
				} `json:"stock_after"`
			}
			Cost struct {
				Total, P10, P50, P90 float64
				PerM3                float64 `json:"per_m3"`
				Currency             string
			}
		}
		Notes []struct{ Level, Code, Message string }
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	m := doc.Months[0]
	if doc.Schema != "jarwright.budget/1" || m.Month != "2028-02" || len(m.Use) != 2 || len(m.Deliveries) != 6 || len(doc.Notes) == 0 {
		t.Errorf("%s", data)
	}
	if u := m.Use[0]; u.Chemical != "alum" || u.Product.Value != 261 || u.Product.Unit != "kg" || u.P10.Value >= u.P50.Value || u.P50.Value >= u.P90.Value || math.Abs(u.Cost-182.70) > 1e-9 { // goods alone: 261 kg at 0.70
		t.Errorf("use %+v", u)
	}
	if d := m.Deliveries[1]; d.OrderBy != "2028-02-07" || d.Arrives != "2028-02-11" || d.Packs != 4 || math.Abs(d.StockAfter.Value-158) > 1e-9 {
		t.Errorf("delivery %+v", d)
	}
	if c := m.Cost; math.Abs(c.Total-765.51125) > 1e-9 || c.Currency != "EUR" || math.Abs(c.PerM3-765.51125/4980) > 1e-12 || c.P10 >= c.P90 {
		t.Errorf("cost %+v", c)
	}
}

func TestBudgetRows(t *testing.T) {
	rows := handBudget(t).Table().Strings()
	if len(rows) != 1+29*2 {
		t.Fatalf("%d rows", len(rows))
	}
	used, cost, beside := 0.0, 0.0, 0.0
	for _, r := range rows[1:] {
		if len(r) != len(rows[0]) {
			t.Fatalf("row %v", r)
		}
		u, err1 := strconv.ParseFloat(r[5], 64)
		c, err2 := strconv.ParseFloat(r[11], 64)
		d, err3 := strconv.ParseFloat(r[14], 64)
		lost, err4 := strconv.ParseFloat(r[15], 64)
		if err := errors.Join(err1, err2, err3, err4); err != nil {
			t.Fatal(err)
		}
		if r[4] == "alum" {
			used += u
		}
		cost, beside = cost+c, beside+d+lost
	}
	if math.Abs(used-261) > 1e-9 || math.Abs(cost-(182.70+19.575)) > 1e-9 || math.Abs(beside-(39.15+13.05+7.25)) > 1e-9 {
		t.Errorf("alum %g kg, goods used %g EUR, their delivery and what is lost %g EUR", used, cost, beside)
	}
}
