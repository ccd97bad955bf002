package month

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestUsualOrdersOfMixedMonths: 240 m3/d at 20 mg/L is 4.8 kg/d, a month of it 144 kg, six packs of 25; twelve of the
// 31 days of a storm at 60 mg/L make (19 x 4.8 + 12 x 14.4)/31 = 8.5161 kg/d, 255.5 kg, eleven packs: in the plan of a usual day, in that of a
// storm's, and in the budget.
func TestUsualOrdersOfMixedMonths(t *testing.T) {
	s := site.Site{File: "mixed"}
	s.Place.Date, s.Flow.Average = on(2026, 5, 20), quantity.Some[quantity.Flow](10)
	s.Chemicals = []site.Chemical{{Name: quantity.Some("alum"), Product: quantity.Some("alum-dry"), Basis: quantity.Some(quantity.AsProduct), Dose: quantity.Some[quantity.Concentration](20),
		Storm: quantity.Some[quantity.Concentration](60), Stock: quantity.Some("alum stock")}}
	s.Stocks = []site.Stock{{Name: quantity.Some("alum stock"), Product: quantity.Some[quantity.Concentration](50000)}}
	s.Prices = []site.Price{{Chemical: quantity.Some("alum"), Price: quantity.Some(eurPerKg(1)), Pack: quantity.Some[quantity.Mass](25),
		Delivery: quantity.Some(quantity.Money{Amount: 60, Currency: "EUR"})}}
	s.Calendar = []site.Day{{From: on(2026, 5, 1), Till: on(2026, 5, 12), Runs: quantity.Some(true), Water: quantity.Some(site.StormWater)},
		{From: on(2026, 5, 13), Till: on(2026, 5, 31), Runs: quantity.Some(true), Water: quantity.Some(site.UsualWater)}}
	p, _, err := FromSite(s, Options{Given: catalogued, Draws: 10})
	if err != nil {
		t.Fatal(err)
	}
	if b := must(t, p); b.Accounts[0].UsualOrder != 11 {
		t.Errorf("the budget orders %d packs", b.Accounts[0].UsualOrder)
	}
	mean := Mean(s, catalogued, Month{})
	near(t, "mix", float64(mean.Mix["alum"]), (19*4.8+12*14.4)/31/4.8)
	for _, day := range []int{5, 20} {
		of, q := planOn(t, s, catalogued, Date{2026, 5, day})
		if c := CostOf(of, q, mean); len(c.Orders) != 1 || c.Orders[0].Packs != 11 {
			t.Errorf("day %d: %+v", day, c.Orders)
		}
	}
}

// planOn is the site as it is on a date, with the plan of that day.
func planOn(t require, s site.Site, g dosing.Given, on Date) (site.Site, dosing.Plan) {
	of, given, err := OnDate(s, g, on)
	if err != nil {
		t.Fatal(on, err)
	}
	return of, plannedBy(t, of, given)
}

// require is a test that can end, plain or of a property.
type require interface{ Fatal(...any) }

// TestOnDate: the plan of a date takes the dose, the turbidity, the flow and the hours that
// the calendar has there, as the budget's day does; a closed day plans nothing.
func TestOnDate(t *testing.T) {
	s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "Tannery lane", purpose: "wastewater", water_passes: "once through", example_values: "no"}
water: {turbidity: "80 NTU", turbidity_in_a_storm: "250 NTU"}
flow: {average_flow: "40 m3/h", hours_a_day: "10 h", run_starts: "06:00"}
chemicals:
  - {name: "alum", product: "alum-liquid", dose: "25 mg/L", basis: "as product", dose_in_storm_water: "60 mg/L"}
calendar:
  - {from: "2026-03-09", till: "2026-03-12", raw_water: "storm"}
  - {from: "2026-03-13", runs: "no", note: "pump service"}
  - {from: "2026-03-14", runs: "yes", flow: "30 m3/h", hours: "5 h"}
`))
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		day                          int
		dose, turbidity, flow, hours float64
		says                         string
	}{
		{8, 25, 80, 40, 10, "date-without-row"}, {10, 60, 250, 40, 10, "date-row"}, {13, 0, 0, 0, 0, "day-closed"}, {14, 25, 80, 30, 5, "date-row"},
	} {
		own, g, err := OnDate(s, dosing.Given{Catalogue: product.Default()}, Date{2026, 3, x.day})
		notes := append(own.Notes, note.Of(err, "")...)
		if !strings.Contains(codesOf(notes), x.says) {
			t.Errorf("%d: %s lacks %s", x.day, codesOf(notes), x.says)
		}
		if err != nil {
			continue
		}
		in, err := dosing.FromSite(own, g)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(in.Feeds[0].Dose.Concentration); got != x.dose {
			t.Errorf("%d: dose %g, want %g", x.day, got, x.dose)
		}
		if got := float64(own.Water.Turbidity.V); got != x.turbidity {
			t.Errorf("%d: %g NTU, want %g", x.day, got, x.turbidity)
		}
		if f, h := float64(in.Day.Average()), float64(in.Day.Running()); f != x.flow || h != x.hours {
			t.Errorf("%d: %g m3/h for %g h, want %g and %g", x.day, f, h, x.flow, x.hours)
		}
	}
}

// weeks is a log of so many days from Monday, 6 April 2026 on, in m3/h by the hour, with a flow of its own on Saturdays and Sundays.
func weeks(t *testing.T, days, usual, weekend int) *flow.Log {
	t.Helper()
	var log strings.Builder
	log.WriteString("time,flow m3/h\n")
	for h := range days * 24 {
		at, q := time.Date(2026, 4, 6, h, 0, 0, 0, time.UTC), usual
		if d := at.Weekday(); d == time.Saturday || d == time.Sunday {
			q = weekend
		}
		fmt.Fprintf(&log, "%s,%d\n", at.Format("2006-01-02 15:04"), q)
	}
	l, err := flow.Read("log.csv", strings.NewReader(log.String()), flow.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return &l
}

// TestOnDateAsBudgeted: a day with a flow or hours of its own treats what the budget counts for
// it, at one flow, whatever the hours of the usual day: 12 m3/h from 08:00 to 12:00 and 6 from
// then on are 4 x 12 + 20 x 6 = 168 m3, 7 m3/h on average. A log of 10 m3/h, 13 on Saturdays and
// Sundays, is not asked on a Monday with a row of its own.
func TestOnDateAsBudgeted(t *testing.T) {
	const table = `flow_at_08_00: "12 m3/h", flow_at_12_00: "6 m3/h"`
	for _, x := range []struct {
		name, flow, row string
		log             bool
		day             int
		treated         float64
		runs            string
	}{
		{"own flow on a table by the hour", table, `from: "2026-05-10", flow: "9.5 m3/h"`, false, 10, 9.5 * 24, ""},
		{"own hours on a table by the hour", table, `from: "2026-05-11", hours: "4 h"`, false, 11, 7 * 4, "06:00-10:00"},
		{"own hours on a table with hours", table + `, hours_a_day: "8 h", run_starts: "08:00"`, `from: "2026-05-11", hours: "4 h"`, false, 11, 9 * 4, "08:00-12:00"},
		{"a table with idle hours", `flow_at_08_00: "12 m3/h", flow_at_12_00: "0 m3/h"`, `from: "2026-05-11", hours: "6 h"`, false, 11, 12 * 6, "08:00-14:00"},
		{"a table over midnight", `flow_at_22_00: "12 m3/h", flow_at_02_00: "0 m3/h"`, `from: "2026-05-11", flow: "10 m3/h"`, false, 11, 10 * 4, "00:00-02:00, 22:00-24:00"},
		{"a storm above the usual peak", `average_flow: "9 m3/h", least_flow: "6 m3/h", peak_flow: "12 m3/h"`, `from: "2026-05-10", flow: "15 m3/h"`, false, 10, 15 * 24, ""},
		{"a drought below the usual least", `average_flow: "9 m3/h", least_flow: "6 m3/h", peak_flow: "12 m3/h"`, `from: "2026-05-10", flow: "5 m3/h"`, false, 10, 5 * 24, ""},
		{"a clean-up after the day's hours", `average_flow: "40 m3/h", hours_a_day: "10 h", run_starts: "06:00"`, `from: "2026-05-11", clean_up: "60 m3"`, false, 11, 40*10 + 60, "06:00-17:30"},
		{"nothing but a clean-up", `average_flow: "40 m3/h", hours_a_day: "10 h", run_starts: "06:00"`, `from: "2026-05-11", runs: "no", clean_up: "60 m3"`, false, 11, 60, "06:00-07:30"},
		{"a clean-up beside the water of all hours", `average_flow: "3.6 m3/h"`, `from: "2026-05-11", clean_up: "21.6 m3"`, false, 11, 3.6*24 + 21.6, ""},
		{"a log with a weekly row", "", `weekday: "Monday", flow: "8 m3/h", hours: "5 h"`, true, 11, 8 * 5, ""},
	} {
		s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "Tannery lane", purpose: "wastewater", water_passes: "once through", example_values: "no", date: "2026-05-04"}
flow: {`+x.flow+`}
chemicals: [{name: "alum", product: "alum-liquid", dose: "25 mg/L", basis: "as product"}]
calendar: [{`+x.row+`}]
`))
		if err != nil {
			t.Fatal(x.name, err)
		}
		g := dosing.Given{Catalogue: product.Default()}
		if x.log {
			g.Log = weeks(t, 15, 10, 13)
		}
		own, dated, err := OnDate(s, g, Date{2026, 5, x.day})
		if err != nil {
			t.Fatal(x.name, err)
		}
		day, _, err := dosing.DayOf(own.Flow, dated.Log)
		if err != nil {
			t.Fatal(x.name, err)
		}
		p, _, err := FromSite(s, Options{Given: g})
		if err != nil {
			t.Fatal(x.name, err)
		}
		days, err := p.Calendar.Days(0)
		if err != nil {
			t.Fatal(x.name, err)
		}
		near(t, x.name+": planned", day.Volume().In("m3"), x.treated)
		near(t, x.name+": in the budget", days[x.day-1].Treated().In("m3"), x.treated)
		if got := day.Runs().String(); x.runs != "" && got != x.runs {
			t.Errorf("%s: runs %s", x.name, got)
		}
		if day.Least() != day.Peak() {
			t.Errorf("%s: from %s to %s", x.name, day.Least(), day.Peak())
		}
	}
}

// TestUsualOrderOfAnyDay: what a plant orders as a rule does not hang on the day that is planned. The
// usual day takes 10 h x 40 m3/h x 25 mg/L = 10 kg; May has 31 days, of which ten run at 80 m3/h in storm (800 m3 x 60 mg/L)
// and one not at all: (20 x 10 + 10 x 48) / 31 = 21.935 kg a day, 30 days of it 658.1 kg,
// 27 packs of 25 kg, as the budget has it. In April every day is the usual one: 300 kg, 12 packs.
func TestUsualOrderOfAnyDay(t *testing.T) {
	const rows = `{from: "2026-05-01", till: "2026-05-10", flow: "80 m3/h", raw_water: "storm"}, {from: "2026-05-20", runs: "no"}`
	for _, x := range []struct {
		name, rows, date string
		asked            Month
		day, packs       int
	}{
		{"a usual day", rows, "2026-05-04", Month{}, 0, 27},
		{"a day in storm", rows, "2026-05-04", Month{2026, 5}, 3, 27},
		{"a month that is asked for", rows, "2026-05-04", Month{2026, 4}, 0, 12},
		{"without a date", rows, "", Month{}, 0, 12},
	} {
		date := ""
		if x.date != "" {
			date = `, date: "` + x.date + `"`
		}
		s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "Tannery lane", purpose: "wastewater", water_passes: "once through", example_values: "no"`+date+`}
flow: {average_flow: "40 m3/h", hours_a_day: "10 h", run_starts: "06:00"}
chemicals: [{name: "alum", product: "alum-liquid", dose: "25 mg/L", basis: "as product", dose_in_storm_water: "60 mg/L"}]
calendar: [`+x.rows+`]
prices: [{chemical: "alum", price: "0.4 EUR/kg", pack: "25 kg", delivery: "30 EUR"}]
`))
		if err != nil {
			t.Fatal(err)
		}
		g := dosing.Given{Catalogue: product.Default()}
		mean := Mean(s, catalogued, x.asked)
		if x.day > 0 {
			if s, g, err = OnDate(s, g, Date{2026, 5, x.day}); err != nil {
				t.Fatal(err)
			}
		}
		in, err := dosing.FromSite(s, g)
		if err != nil {
			t.Fatal(err)
		}
		p, err := dosing.Make(in)
		if err != nil {
			t.Fatal(err)
		}
		if d := CostOf(s, p, mean); len(d.Orders) != 1 || d.Orders[0].Packs != x.packs {
			t.Errorf("%s: %+v, want %d packs", x.name, d.Orders, x.packs)
		}
	}
}

// TestMeanOfALog: a log of ten hours a day at 40 m3/h, half of it on Saturdays and Sundays: of the 31
// days of May 2026 ten are such, (21 x 400 + 10 x 200) / 31 = 335.48 m3.
func TestMeanOfALog(t *testing.T) {
	s := site.Site{}
	s.Flow.Hours, s.Flow.Start = quantity.Some[quantity.Time](10), quantity.Some[quantity.Time](6)
	near(t, "water of the mean day", Mean(s, dosing.Given{Catalogue: product.Default(), Log: weeks(t, 28, 40, 20)}, Month{2026, 5}).Water.V.In("m3"), (21*400.0+10*200)/31)
	if Mean(s, catalogued, Month{2026, 5}).Water.OK {
		t.Error("a mean without a flow")
	}
}

func codesOf(l note.List) string {
	var out []string
	for _, n := range l {
		out = append(out, n.Code)
	}
	return strings.Join(out, " ")
}

// TestClosedDaysBeside: Saturday, 14 March 2026, and Sunday are closed and Monday, the 16th, too, so that 72 h lie before
// Tuesday and after Friday; a Wednesday has open days on both sides.
func TestClosedDaysBeside(t *testing.T) {
	s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "Tannery lane", purpose: "wastewater", water_passes: "once through", example_values: "no"}
water: {turbidity: "80 NTU"}
flow: {average_flow: "40 m3/h", hours_a_day: "10 h", run_starts: "06:00"}
chemicals: [{name: "alum", product: "alum-liquid", dose: "25 mg/L", basis: "as product"}]
calendar: [{weekday: Saturday, runs: "no"}, {weekday: Sunday, runs: "no"}, {from: "2026-03-16", runs: "no"}]
`))
	if err != nil {
		t.Fatal(err)
	}
	for day, want := range map[int]dosing.Rest{13: {After: 72}, 17: {Before: 72}, 18: {}, 20: {After: 48}, 23: {Before: 48}} {
		_, g, err := OnDate(s, dosing.Given{Catalogue: product.Default()}, Date{2026, 3, day})
		if err != nil || g.Rest != want {
			t.Errorf("%d: %v, want %v (%v)", day, g.Rest, want, err)
		}
	}
}
