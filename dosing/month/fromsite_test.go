package month

import (
	"bytes"
	"math"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func readSite(t *testing.T, v site.Values) site.Site {
	t.Helper()
	var b bytes.Buffer
	if err := site.WriteYAML(&b, v); err != nil {
		t.Fatal(err)
	}
	s, err := site.Read("site.yaml", &b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestExampleSite budgets the demo site's month and checks figures worked by
// hand from its cells: 3.6 m3/h for 24 h, 86.4 m3, on 29 days of March 2026 (the 16th is
// closed), and on the 21st a clean-up alone: 21.6 m3 from 90 to 5 NTU, of which a pass leaves 8 % of
// what is above 1 NTU, are ln(89/4)/0.92 turnovers, 72.84 m3 at the doses of the usual water.
func TestExampleSite(t *testing.T) {
	p, notes, err := FromSite(readSite(t, site.Example("", "")), Options{Given: dosing.Given{Catalogue: product.Default()}})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range notes {
		if n.Level > note.Info && n.Code != "example-values" {
			t.Errorf("the demo is taken with %v", n)
		}
	}
	b := must(t, p)
	const usual = 29 * 86.4
	clean := 21.6 * math.Log(89./4) / 0.92
	near(t, "m3", b.Treated.In("m3"), usual+clean)
	near(t, "hours", float64(b.Running), 29*24+clean/3.6)
	if b.Worked != 30 || p.Calendar.Month != (Month{2026, time.March}) {
		t.Errorf("%d days of %s", b.Worked, p.Calendar.Month)
	}
	// Storm water on 15 % of days: 0.85 × 12.5 + 0.15 × 20 mg/L as 14-hydrate of 48.5 % product.
	near(t, "alum kg", float64(b.Accounts[0].Use), (usual*(0.85*12.5+0.15*20)+clean*12.5)/1000/0.485)
	near(t, "polymer kg", float64(b.Accounts[1].Use), (usual*(0.85*0.2+0.15*0.3)+clean*0.2)/1000)
	// 1.5 mg/L per NTU, 60 NTU and 180 NTU in storms, 92 % caught; 85 NTU out of the tank.
	near(t, "removed kg", float64(b.Removed.Likely), (usual*(0.85*60+0.15*180)*1.5*0.92+21.6*85*1.5)/1000)
	near(t, "alum price", b.Accounts[0].UnitPrice.Amount, p.Chemicals[0].Prices.At(b.Accounts[0].UsualOrder).Amount)
	if s := p.Chemicals[1].Supply; s.ShelfDays != 180 || s.OpeningAge != 60 || s.OnOrder != 1 || s.OnOrderDate != (Date{2026, time.March, 6}) {
		t.Errorf("supply of polymer %+v", s)
	}
	if len(b.Range.Matters) != 4 {
		t.Errorf("doubts %+v", b.Range.Matters)
	}
	if a := b.Accounts[0]; a.RunsOut != nil || len(a.Deliveries) == 0 {
		t.Errorf("alum %+v", a.Deliveries)
	}
}

// TestSolidsOfAlum: 4.9 kg per kg of aluminium (KNOWN: 132.05 over 26.98), 0.0908
// mg of aluminium per mg of 14-hydrate; a polymer counts as itself.
func TestEffects(t *testing.T) {
	alum, err := product.Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	e, _, err := day.EffectsOf(alum, "alum", quantity.AsAlum14)
	if err != nil {
		t.Fatal(err)
	}
	for what, v := range map[string][2]float64{"solids": {float64(e.SolidsYield().Likely), 0.444}, "alkalinity": {float64(e.AlkalinityUse), 0.505}} {
		if v[0] < v[1]-0.001 || v[0] > v[1]+0.001 {
			t.Errorf("%s per kg of 14-hydrate: %g, want %g", what, v[0], v[1])
		}
	}
	soda, err := product.Default().Find("soda-ash")
	if err != nil {
		t.Fatal(err)
	}
	if e, _, err = day.EffectsOf(soda, "soda ash", quantity.AsNa2CO3); err != nil || -1/float64(e.AlkalinityUse) < 1.058 || -1/float64(e.AlkalinityUse) > 1.060 {
		t.Errorf("soda ash per CaCO3: %v %v, want 1.059", e, err)
	}
}

func TestSiteAlkali(t *testing.T) {
	v := site.Example("", "")
	v["Water"][0]["alkalinity"], v["Water"][0]["alkalinity to leave"] = "50 mg/L CaCO3", "48 mg/L CaCO3"
	v["Chemicals"] = append(v["Chemicals"], map[string]string{"name": "soda", "product": "soda-ash", "basis": "as Na2CO3"})
	p, _, err := FromSite(readSite(t, v), Options{Given: dosing.Given{Catalogue: product.Default()}})
	if err != nil {
		t.Fatal(err)
	}
	b := must(t, p)
	// 12.5 mg/L of 14-hydrate use 6.31 mg/L of alkalinity; 50 − 6.31 is 4.31 below 48; × 1.059 = 4.57.
	if d := float64(b.Accounts[2].Doses[0]); d < 4.55 || d > 4.59 {
		t.Errorf("soda ash %g mg/L, by hand 4.57", d)
	}
	v["Water"][0]["alkalinity to leave"] = ""
	if _, _, err := FromSite(readSite(t, v), Options{Given: dosing.Given{Catalogue: product.Default()}}); err == nil {
		t.Error("an alkali without dose passes although nothing says how much")
	}
}

func TestSiteFaults(t *testing.T) {
	for code, spoil := range map[string]func(site.Values){
		"dose-range":     func(v site.Values) { v["Chemicals"][0]["dose low"] = "13 mg/L" },
		"bad-interval":   func(v site.Values) { v["Chemicals"][0]["dose low"] = "0 mg/L" },
		"half-a-tier":    func(v site.Values) { v["Prices"][0]["packs for price 2"] = "" },
		"price-twice":    func(v site.Values) { v["Prices"] = append(v["Prices"], v["Prices"][0]) },
		"price-unit":     func(v site.Values) { v["Prices"][2]["price"] = "3 EUR/kWh" },
		"days-backwards": func(v site.Values) { v["Calendar"][0]["till"] = "2026-03-01" },
		"day-twice":      func(v site.Values) { v["Calendar"] = append(v["Calendar"], v["Calendar"][0]) },
		"shares":         func(v site.Values) { v["Water"][0]["clear days"] = "90 %" },
		"value-missing":  func(v site.Values) { v["Chemicals"][0]["dose"] = "" },
		"strength-unknown": func(v site.Values) {
			v["Chemicals"][0]["product"], v["Chemicals"][0]["strength"] = "", ""
			v["Chemicals"][0]["name"], v["Prices"][0]["chemical"] = "our own", "our own"
		},
	} {
		v := site.Example("", "")
		spoil(v)
		_, _, err := FromSite(readSite(t, v), Options{Given: dosing.Given{Catalogue: product.Default()}})
		n, ok := has(note.Of(err, ""), code)
		if !ok || n.Remedy == "" || n.Cell == "" && n.Sheet == "" {
			t.Errorf("%s: %v", code, note.Of(err, ""))
		}
	}
	v := site.Example("", "")
	v["Place"][0]["date"] = ""
	if _, _, err := FromSite(readSite(t, v), Options{Given: dosing.Given{Catalogue: product.Default()}}); err == nil {
		t.Error("a plan without a month passes")
	}
}

func TestWeekRules(t *testing.T) {
	v := site.Example("", "")
	v["Calendar"] = []map[string]string{
		{"weekday": "Sunday", "runs": "no"},
		{"weekday": "Saturday", "runs": "yes", "hours": "6 h", "flow": "1.8 m3/h", "delivery": "yes"},
		{"weekday": "Monday", "runs": "yes", "delivery": "no"},
		{"from": "2026-03-08", "runs": "yes"},
	}
	p, _, err := FromSite(readSite(t, v), Options{Given: dosing.Given{Catalogue: product.Default()}})
	if err != nil {
		t.Fatal(err)
	}
	b := must(t, p)
	// March 2026: 5 Sundays of which the 8th is worked, 4 Saturdays, 22 others.
	near(t, "m3", b.Treated.In("m3"), 22*86.4+4*6*1.8+86.4)
	for i, want := range map[int]bool{0: false, 1: false, 2: true, 6: true, 7: false} { // 1 March 2026 is a Sunday
		if b.Days[i].Delivery != want {
			t.Errorf("%s: delivery %v", b.Days[i].Date, b.Days[i].Delivery)
		}
	}
}

func TestFlowFromLog(t *testing.T) {
	var csv bytes.Buffer
	csv.WriteString("time,flow m3/h\n")
	at := time.Date(2026, 2, 2, 0, 0, 0, 0, time.UTC) // a Monday
	for range 28 * 24 {
		f := "3.6"
		if at.Weekday() == time.Saturday || at.Weekday() == time.Sunday {
			f = "0.9"
		}
		csv.WriteString(at.Format("2006-01-02 15:04") + "," + f + "\n")
		at = at.Add(time.Hour)
	}
	l, err := flow.Read("log.csv", &csv, flow.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p, notes, err := FromSite(readSite(t, site.Example("", "")), Options{Given: dosing.Given{Catalogue: product.Default(), Log: &l}})
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := has(notes, "flow-from-log"); !ok {
		t.Error("no word of the log")
	}
	b := must(t, p)
	// March 2026: 9 weekend days, on one of them 72.8 m3 of clean-up alone; 22 others of which the 16th is closed.
	if got, want := b.Treated.In("m3"), 8*24*0.9+21*86.4+72.8; got < want-0.5 || got > want+0.5 {
		t.Errorf("%g m3, want %g", got, want)
	}
	if p.Doubt.DayToDay > 1e-9 {
		t.Errorf("scatter between like days %g", float64(p.Doubt.DayToDay))
	}
}

// TestSeason: a rule for a whole winter gives one flow to each day of its months;
// the design flow still moves them.
func TestSeason(t *testing.T) {
	v := site.Example("", "")
	v["Calendar"] = []map[string]string{{"from": "2026-02-01", "till": "2026-04-30", "runs": "yes", "flow": "5.4 m3/h"}}
	p, notes, err := FromSite(readSite(t, v), Options{Given: dosing.Given{Catalogue: product.Default()}})
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := has(notes, "season"); !ok {
		t.Error("no word of the season")
	}
	// 5.4 m3/h is 1.5 times the average flow.
	near(t, "season", float64(p.Calendar.Season), 1.5)
	near(t, "m3", must(t, p).Treated.In("m3"), 31*24*5.4)
	p.Calendar.Flow *= 2
	near(t, "m3 at twice the flow", must(t, p).Treated.In("m3"), 31*24*10.8)
	// A shorter rule is a matter of those days.
	v["Calendar"][0]["till"] = "2026-03-10"
	if p, _, err = FromSite(readSite(t, v), Options{Given: dosing.Given{Catalogue: product.Default()}}); err != nil || p.Calendar.Season != 0 {
		t.Errorf("season %v, %v", p.Calendar.Season, err)
	}
	near(t, "m3 of ten days", must(t, p).Treated.In("m3"), 10*129.6+21*86.4)
}
