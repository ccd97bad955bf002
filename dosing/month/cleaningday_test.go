package month

import (
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// beckside is a site that cleans a pond up on two days, and is closed on one.
func beckside(t *testing.T, passes, flow string) (site.Site, dosing.Given) {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "Beckside", purpose: "other", water_passes: "`+passes+`", example_values: "no"}
water: {turbidity: "60 NTU"}
flow: {average_flow: "10 m3/h"`+flow+`}
chemicals: [{name: "alum", product: "alum-liquid", dose: "25 mg/L", basis: "as product"}]
tanks: [{name: "pond", use: "other", volume: "60 m3"}]
solids: {tank_to_clean_up: "pond", tank_turbidity: "80 NTU", clear_enough_at: "5 NTU", solids_caught: "85 %"}
calendar:
  - {from: "2026-05-11", clean_up: "190 m3"}
  - {from: "2026-05-12", runs: "no", note: "unit drained"}
  - {from: "2026-05-21", runs: "no", clean_up: "190 m3"}
`))
	if err != nil {
		t.Fatal(err)
	}
	return s, dosing.Given{Catalogue: product.Default()}
}

// TestDayOfCleanUp: what the calendar cleans or closes is that in the plan and in the clean-up. The
// unit takes ln(80/5)/0.85 = 3.26 turnovers of 60 m3, 195.7 m3: at 10 m3/h 19.6 h, from 06:00 past
// midnight into the closed day. Beside 24 h of ordinary water 190 m3 are 7.917 m3/h more.
func TestDayOfCleanUp(t *testing.T) {
	for _, x := range []struct {
		passes           string
		day              int
		plan, clean, end string
	}{
		{"once through", 10, "date-without-row", "no-clean-up-then", ""},
		{"once through", 11, "clean-up-begins clean-up-beside date-row", "", "clean-up-into-closed"},
		{"once through", 12, "day-closed", "day-closed", ""},
		{"once through", 21, "date-row", "", ""},
		{"batch", 10, "day-closed", "no-clean-up-then", ""},
		{"batch", 11, "", "", "clean-up-into-closed"},
		{"batch", 12, "day-closed", "day-closed", ""},
		{"batch", 21, "", "", ""},
	} {
		s, g := beckside(t, x.passes, "")
		on := Date{2026, 5, x.day}
		usual := len(s.Notes)
		own, _, err := OnDate(s, g, on)
		notes := append(own.Notes[min(usual, len(own.Notes)):], note.Of(err, "")...)
		if got := codesOf(notes); got != x.plan {
			t.Errorf("%s, %s: planned with %q, want %q", x.passes, on, got, x.plan)
		}
		said, err := CleaningOn(s, on)
		if got := codesOf(append(said, note.Of(err, "")...)); got != x.clean {
			t.Errorf("%s, %s: cleaned with %q, want %q", x.passes, on, got, x.clean)
		}
		in, err := dosing.CleaningFromSite(s, g, on.utc())
		if err != nil {
			t.Fatal(err)
		}
		done, err := dosing.Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		if got := codesOf(IntoClosed(s, done, on)); got != x.end {
			t.Errorf("%s, %s: ends with %q, want %q", x.passes, on, got, x.end)
		}
	}
}

// TestNextCleanUpIsNamed: a site that only cleans its tank up has nothing to plan on the days between, and is told which day to ask for.
func TestNextCleanUpIsNamed(t *testing.T) {
	s, g := beckside(t, "batch", "")
	for day, want := range map[int]string{10: "plan 2026-05-11, when the next one begins, or take the steps of one begun on 2026-05-10 from clarify;",
		12: "plan 2026-05-21, when the next one begins; one begun earlier", 22: "plan a day on which one begins, or take"} {
		_, _, err := OnDate(s, g, Date{2026, 5, day})
		if l := note.Of(err, ""); len(l) != 1 || l[0].Code != "day-closed" || !strings.HasPrefix(l[0].Remedy, want) {
			t.Errorf("%d: %v, want %q", day, l, want)
		}
	}
}

// TestBesideOrdinaryWater: a clean-up of which no tank is told is more of the day's water: its 190 m3 find
// no hours in a day of 24 h; with 4 h of ordinary water they take the 190/10 = 19 h after it, within the day.
func TestBesideOrdinaryWater(t *testing.T) {
	for flow, want := range map[string]string{
		"":                     "the 190 m3 of the clean-up find no hours of their own on 2026-05-11",
		`, hours_a_day: "4 h"`: "2026-05-11 is planned by its row of the calendar: usual water, 23 h at 10 m3/h, of it 190 m3 to clean a tank",
	} {
		s, g := beckside(t, "once through", flow)
		s.Solids.TankStop.OK = false
		own, _, err := OnDate(s, g, Date{2026, 5, 11})
		if err != nil || !strings.Contains(own.Notes.Error(), want) {
			t.Errorf("%q: %v, %s lacks %q", flow, err, own.Notes.Error(), want)
		}
	}
	s, g := beckside(t, "once through", `, least_flow: "6 m3/h", peak_flow: "12 m3/h"`)
	s.Solids.TankStop.OK = false
	own, _, err := OnDate(s, g, Date{2026, 5, 11})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "least flow beside it", float64(own.Flow.Least.V), 6+190.0/24)
	near(t, "peak flow beside it", float64(own.Flow.Peak.V), 12+190.0/24)
	if !strings.Contains(own.Notes[len(own.Notes)-2].Remedy, "let them in at 7.92 m3/h") {
		t.Errorf("remedy %q", own.Notes[len(own.Notes)-2].Remedy)
	}
}

// TestACleanUpCostsAsBudgeted: two clean-ups in May bring the usual order of what they take, one pack of
// 25 kg with its charge of 40 EUR, 1.60 EUR/kg, in the clean-up as in the month. Without clean-ups in the
// month one is priced as if it were its only one: 195.74 m3 x 25 g/m3 are 4.9 kg, one pack of 25 kg too.
func TestACleanUpCostsAsBudgeted(t *testing.T) {
	s, g := beckside(t, "batch", "")
	s.Prices = []site.Price{{Chemical: quantity.Some("alum"), Price: quantity.Some(eurPerKg(0.5)), Pack: quantity.Some[quantity.Mass](25),
		Delivery: quantity.Some(quantity.Money{Amount: 40, Currency: "EUR"}), OnHand: quantity.Some[quantity.Mass](100)}}
	in, err := dosing.CleaningFromSite(s, g, Date{2026, 5, 11}.utc())
	if err != nil {
		t.Fatal(err)
	}
	done, err := dosing.Clean(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "product", float64(CostOfCleaning(s, done, catalogued, Month{2026, 5}).Uses[0].Product), float64(done.Treated)*25e-6)
	for m, perKg := range map[Month]float64{{2026, 5}: 40.0 / 25, {2026, 6}: 40.0 / 25} {
		one := CostOfCleaning(s, done, catalogued, m).Uses[0]
		near(t, m.String()+": delivery", one.Freight.Amount/float64(one.Product), perKg)
	}
	p, _, err := FromSite(s, Options{Given: g, Month: Month{2026, 5}, Draws: 100})
	if err != nil {
		t.Fatal(err)
	}
	b, err := Make(p)
	if err != nil {
		t.Fatal(err)
	}
	one := CostOfCleaning(s, done, catalogued, Month{2026, 5}).Uses[0]
	near(t, "delivery in the month", b.Accounts[0].Freight.Amount, 2*one.Freight.Amount)
	near(t, "goods in the month", b.Accounts[0].Goods.Amount, 2*one.Goods.Amount)
}

// TestFedOnADayOfItsOwn: 40 kg fed a day into 400 m3 are 100 mg/L, and so they are on a day of 5 h, which
// takes 20 kg, as the budget counts: 30 usual days and that one are 1220 kg.
func TestFedOnADayOfItsOwn(t *testing.T) {
	s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "Tannery lane", purpose: "wastewater", water_passes: "once through", example_values: "no"}
flow: {average_flow: "40 m3/h", hours_a_day: "10 h", run_starts: "06:00"}
chemicals: [{name: "alum", product: "alum-liquid", fed_a_day: "40 kg/d", basis: "as product"}]
calendar: [{from: "2026-05-14", hours: "5 h"}]
`))
	if err != nil {
		t.Fatal(err)
	}
	g := dosing.Given{Catalogue: product.Default()}
	own, dated, err := OnDate(s, g, Date{2026, 5, 14})
	if err != nil {
		t.Fatal(err)
	}
	in, err := dosing.FromSite(own, dated)
	if err != nil {
		t.Fatal(err)
	}
	day, err := dosing.Make(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "dose of the day", float64(day.Feeds[0].Dose.Concentration), 100)
	near(t, "product of the day", float64(day.Feeds[0].Product), 20)
	p, _, err := FromSite(s, Options{Given: g, Month: Month{2026, 5}, Draws: 100})
	if err != nil {
		t.Fatal(err)
	}
	b, err := Make(p)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "product of the month", float64(b.Accounts[0].Use), 30*40+20)
}
