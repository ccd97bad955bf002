package month

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"jarwright/dosing/day"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// handMonth is the plant of testdata/budget/hand-month.md.
func handMonth() Plan {
	week := EveryDay(10)
	for d := range week {
		week[d].Delivery = d == int(time.Tuesday) || d == int(time.Friday)
	}
	week[time.Sunday].Operating = false
	eur := func(v float64, per string) quantity.Price {
		return quantity.Price{Amount: v, Currency: "EUR", Per: per}
	}
	on := func(d int) Date { return Date{2028, time.February, d} }
	return Plan{
		Calendar: Calendar{
			Month: Month{2028, time.February}, Flow: 20, Week: week,
			Exceptions: []Exception{
				{Date: on(9), Class: "storm"}, {Date: on(10), Class: "storm"},
				{Date: on(14), CleanUp: 180000, Remark: "tank 3"}, {Date: on(29), Closed: true},
			},
		},
		Classes: []Class{{Name: "clear", Share: 0.75, Removed: solids.Same[quantity.Concentration](20)}, {Name: "storm", Share: 0.25, Removed: solids.Same[quantity.Concentration](100)}},
		Chemicals: []Chemical{
			{
				Name: "alum", Role: Coagulant, Basis: quantity.AsAlum14, Doses: []Dose{{Plan: 20}, {Plan: 40}}, Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](0.5), Floc: 0.44},
				Prices: PriceList{Tiers: []Tier{{1, eur(0.80, "kg")}, {4, eur(0.70, "kg")}}, Delivery: quantity.Money{Amount: 15, Currency: "EUR"}},
				Supply: Supply{Opening: 60, Pack: 25, LeadDays: 4, Limit: 200, MinDays: 3, ShippingFactor: 1.5, OrderPacks: 4},
			},
			{
				Name: "polymer", Role: Polymer, Basis: quantity.AsProduct, Doses: []Dose{{Plan: 0.5}, {Plan: 1}}, Effects: day.Effects{Floc: 1}, Stock: 2000,
				Prices: PriceList{Tiers: []Tier{{1, eur(6, "kg")}}, Delivery: quantity.Money{Amount: 4, Currency: "EUR"}},
				Supply: Supply{Opening: 2, OpeningAge: 10, Pack: 1, LeadDays: 2, ShelfDays: 20, MinDays: 2, ShippingFactor: 2},
			},
		},
		Disposal: day.Disposal{DrySolids: 0.02, Density: 1, Price: eur(30, "m3")},
		Water:    eur(2, "m3"),
		Energy:   Energy{Power: 1500, Price: eur(0.20, "kWh")},
	}
}

// near fails unless the two agree to 12 digits.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-12*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %.15g, by hand %.15g", what, got, want)
	}
}

// TestHandMonth meets every figure of testdata/budget/hand-month.md (invented,
// each step written down there).
func TestHandMonth(t *testing.T) {
	b, err := Make(handMonth())
	if err != nil {
		t.Fatal(err)
	}
	if b.Worked != 24 {
		t.Errorf("%d days worked, by hand 24", b.Worked)
	}
	near(t, "treated m3", b.Treated.In("m3"), 4980)
	alum, polymer := b.Accounts[0], b.Accounts[1]
	near(t, "alum kg", float64(alum.Use), 261)
	near(t, "polymer kg", float64(polymer.Use), 3.2625)
	near(t, "alum kg/d", float64(alum.PerDay), 9)
	near(t, "polymer kg/d", float64(polymer.PerDay), 0.1125)
	near(t, "alum usual dose", float64(alum.UsualDose), 25)
	near(t, "alum always kept", float64(alum.Safety), 45)
	near(t, "alum reorder point", float64(alum.Reorder), 81)
	near(t, "polymer always kept", float64(polymer.Safety), 0.45)
	near(t, "polymer reorder point", float64(polymer.Reorder), 0.675)
	near(t, "alum cover d", alum.Cover.In("d"), 7)
	near(t, "polymer cover d", polymer.Cover.In("d"), 10) // 15.9 days of use, of what is 10 days old and keeps 20
	if polymer.UsualOrder != 1 || alum.UsualOrder != 4 {
		t.Errorf("usual orders %d and %d, by hand 4 and 1", alum.UsualOrder, polymer.UsualOrder)
	}
	for name, want := range map[string]float64{
		"alum": 182.70, "polymer": 19.575, "delivery charges": 52.20, "disposal of solids": 425.82375, "make-up water": 3.2625, "energy": 74.7,
		"goods out of date": 7.25,
	} {
		found := false
		for _, l := range b.Lines {
			if l.Name == name {
				found = true
				near(t, name, l.Amount.Amount, want)
			}
		}
		if !found {
			t.Errorf("no cost line %q", name)
		}
	}
	near(t, "removed kg", float64(b.Removed.Likely), 223.2)
	near(t, "dry kg", float64(b.Dry.Likely), 283.8825)
	near(t, "wet L", float64(b.Wet.Likely), 14194.125)
	near(t, "total", b.Total.Amount, 765.51125)
	near(t, "per m3", b.PerM3.Amount, 765.51125/4980)
	near(t, "per kg", b.PerKg.Amount, 765.51125/223.2)
	near(t, "to pay", b.ToPay.Amount, 255+30)
	near(t, "hours", float64(b.Running), 249)
	near(t, "kWh", float64(b.Energy), 373.5)

	skimmed := handMonth()
	skimmed.Skim = solids.Skimmer{Every: 0.25, Water: 0.5}
	s := must(t, skimmed)
	near(t, "carried over", float64(s.Carried), 498)
	near(t, "wet with what skimming carries", float64(s.Wet.Likely), 14692.125)
	near(t, "float itself", float64(s.Float.Likely), 14194.125)
	near(t, "total with a skimmer", s.Total.Amount, 780.45125)

	type order struct {
		by, arrives string
		packs       int
		after       float64
	}
	for c, want := range [][]order{
		{{"2028-02-04", "2028-02-08", 4, 100}, {"2028-02-07", "2028-02-11", 4, 158}, {"2028-02-18", "2028-02-22", 4, 159}},
		{{"2028-02-04", "2028-02-08", 1, 2.25}, {"2028-02-11", "2028-02-15", 1, 1.5125}, {"2028-02-18", "2028-02-22", 1, 1.7625}},
	} {
		got := b.Accounts[c].Deliveries
		if len(got) != len(want) {
			t.Fatalf("%s: %d deliveries, by hand %d: %v", b.Accounts[c].Chemical.Name, len(got), len(want), got)
		}
		for i, w := range want {
			if got[i].OrderBy.String() != w.by || got[i].Arrives.String() != w.arrives || got[i].Packs != w.packs {
				t.Errorf("delivery %d: %+v, by hand %+v", i, got[i], w)
			}
			near(t, "stock after "+w.arrives, float64(got[i].StockAfter), w.after)
		}
	}

	f, err := os.Open("../../testdata/budget/hand-month.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1+29 {
		t.Fatalf("%d days by hand, want 29", len(rows)-1)
	}
	for i, r := range rows[1:] {
		if r[0] != b.Days[i].Date.String() || r[1] != b.Days[i].Date.Weekday().String()[:3] {
			t.Errorf("day %d is %s %s, by hand %s %s", i, b.Days[i].Date, b.Days[i].Date.Weekday(), r[0], r[1])
		}
		a, p := alum.Stock[i], polymer.Stock[i]
		for j, got := range []quantity.Mass{a.Start, a.Arrived, a.Used, a.End, p.Start, p.Expired, p.Arrived, p.Used, p.End} {
			want, err := strconv.ParseFloat(r[2+j], 64)
			if err != nil {
				t.Fatal(err)
			}
			near(t, r[0]+" "+rows[0][2+j], float64(got), want)
		}
	}
}
