package month

import (
	"fmt"
	"jarwright/dosing/doubt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/flow"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// cleaned is the month of a rearing tank of 40 m3 that is cleaned up from 60 to 5 NTU at
// 8 m3/h, with the dose and the calendar given, in May 2026, which has five Saturdays (invented).
func cleaned(t *testing.T, dose, solids, calendar string) (site.Site, Budget) {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(fmt.Sprintf(`
place: {name: hatchery, purpose: animals, water_passes: batch, date: "2026-05-02"}
flow: {average_flow: "8 m3/h", hours_a_day: "9 h", run_starts: "08:00", power_drawn: "1 kW"}
water: {turbidity: "60 NTU"}
chemicals: [{name: PACl, product: pacl-10, basis: as product, density: "1.2 kg/L", stock: made, %s}]
stocks: [{name: made, product_in_stock: "120 g/L"}]
tanks: [{name: rearing tank, use: animals, volume: "40 m3"}]
solids: {solids_per_ntu: "1.5", solids_caught: "80 %%", float_or_sludge_solids: "2 %%", skim_every: "10 min", water_at_each_pass: "1 L",
  tank_to_clean_up: rearing tank, tank_turbidity: "60 NTU", clear_enough_at: "5 NTU", outlet_at_best: "1 NTU",
  cleaning_hours: "08:00-17:00", cleaning_starts: "08:00"%s}
prices:
  - {chemical: PACl, price: "0.7 EUR/kg", pack: "30 kg", delivery: "0 EUR", lead_time: "7 d", on_hand: "40 kg"}
  - {chemical: disposal of solids, price: "40 EUR/m3"}
  - {chemical: make-up water, price: "2 EUR/m3"}
  - {chemical: electricity, price: "0.25 EUR/kWh"}
calendar: [%s]
`, dose, solids, calendar)))
	if err != nil {
		t.Fatal(err)
	}
	p, _, err := FromSite(s, Options{Given: catalogued, Draws: 200, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return s, must(t, p)
}

// cleaning is what clarify makes of the tank of a site.
func cleaning(t *testing.T, s site.Site) dosing.Cleaning {
	t.Helper()
	in, err := dosing.CleaningFromSite(s, catalogued, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := dosing.Clean(in)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

const (
	saturdays = `{weekday: Saturday, runs: "yes", clean_up: "90 m3"}`
	oneDay    = `{from: "2026-05-02", runs: "yes", clean_up: "90 m3"}`
	twoDays   = `{from: "2026-05-04", runs: "no", clean_up: "134.5 m3"}, {from: "2026-05-20", runs: "yes", clean_up: "1 m3"}`
	not23rd   = saturdays + `, {from: "2026-05-23", runs: "no"}`
)

// TestCleanUpByHand: with nothing coming in, ln((60 − 1)/(5 − 1)) turnovers over 0.8 clear
// the tank: 55 NTU of it at 1.5 mg/L, 3.3 kg; a dose of 20 mg/L in all the water that
// went round; 6 L an hour skimmed; 1 kWh an hour.
func TestCleanUpByHand(t *testing.T) {
	turnovers := math.Log(59./4) / 0.8
	m3, hours := turnovers*40, turnovers*5 // 8 m3/h are a fifth of the tank
	s, b := cleaned(t, `dose: "20 mg/L"`, "", oneDay)
	near(t, "water", b.Treated.In("m3"), m3)
	near(t, "hours", float64(b.Running), hours)
	near(t, "solids removed", float64(b.Removed.Likely), 3.3)
	near(t, "product", float64(b.Accounts[0].Use), m3*20/1000)
	near(t, "goods", b.Accounts[0].Goods.Amount, m3*20/1000*0.7)
	near(t, "skimmed", float64(b.Carried), hours*6)
	near(t, "energy", b.Electricity.Amount, hours*0.25)
	near(t, "disposal", b.Disposal.Amount, (float64(b.Dry.Likely)/0.02+hours*6)*0.04) // 2 % dry, 1 kg/L
	near(t, "usual dose", float64(b.Accounts[0].UsualDose), 20)
	// The plan of that day costs the same: 0.7 EUR a kg, 2 EUR for a m3 of the water in its stock,
	// 1/0.12 L of stock a kg less 1/1.2 L of product.
	one := CostOfCleaning(s, cleaning(t, s), catalogued, Month{})
	kg := m3 * 20 / 1000
	near(t, "cost", one.Total().Amount, kg*0.7+kg*(1/0.12-1/1.2)*0.002+b.Disposal.Amount+hours*0.25)
	near(t, "cost of the month's one day", b.Total.Amount, one.Total().Amount)
	if b.Worked != 1 || b.Range.Uncertain() {
		t.Errorf("%d days, %+v", b.Worked, b.Range.Matters)
	}
}

// TestMonthOfCleanUps: a month of n clean-ups is n times what clarify makes of the tank,
// whatever volume the calendar gives, by weekday or by date.
func TestMonthOfCleanUps(t *testing.T) {
	const falling = `dose: "25 mg/L", dose_by_turbidity: "60 NTU=30 mg/L; 20 NTU=18 mg/L; 0 NTU=10 mg/L"`
	for _, x := range []struct {
		calendar string
		n        float64
		says     string
	}{{saturdays, 5, "clean-up-water"}, {oneDay, 1, "clean-up-water"}, {twoDays, 2, "clean-up-water"}, {not23rd, 4, "clean-up-water"},
		{`{weekday: Monday, runs: "no"}`, 0, "no-clean-ups"},
		{`{from: "2026-05-04", till: "2026-05-05", runs: "yes", clean_up: "134.6 m3"}`, 1, "clean-up-goes-on"}, // 16.8 h of running at 9 h a day
		{`{from: "2026-05-04", till: "2026-05-07", runs: "yes", clean_up: "134.6 m3"}`, 2, "clean-up-goes-on"},
		{`{weekday: Saturday, runs: "yes", clean_up: "90 m3"}, {weekday: Sunday, runs: "yes", clean_up: "90 m3"}`, 5, "clean-up-goes-on"}} {
		s, b := cleaned(t, falling, "", x.calendar)
		one := cleaning(t, s)
		near(t, x.calendar+": water", float64(b.Treated), x.n*float64(one.Treated))
		near(t, "hours", float64(b.Running), x.n*float64(one.Running))
		near(t, "dry", float64(b.Dry.Likely), x.n*float64(one.Waste.Dry.Likely))
		near(t, "wet", float64(b.Wet.Likely), x.n*float64(one.Waste.Volume))
		near(t, "carried", float64(b.Carried), x.n*float64(one.Waste.Water))
		near(t, "product", float64(b.Uses[0].Product), x.n*float64(one.Uses[0].Product))
		near(t, "stock", float64(b.Uses[0].Stock), x.n*float64(one.Uses[0].Stock))
		near(t, "disposal", b.Disposal.Amount, x.n*float64(one.Waste.Volume)*0.04)
		if float64(b.Worked) != x.n {
			t.Errorf("%s: %d days worked", x.calendar, b.Worked)
		}
		if x.n > 0 { // a day plan takes the same month's mean, for the usual order
			near(t, x.calendar+": of the average day", float64(meanOfCleaning(s, one, b.Plan.Calendar.Month).V), x.n*float64(one.Treated)/31)
		}
		_, notes, err := FromSite(s, Options{Given: catalogued})
		if n, ok := has(notes, x.says); !ok || err != nil {
			t.Errorf("%s: no note %s (%v): %v", x.calendar, x.says, err, n)
		}
	}
}

// TestCleanUpThatCannotBe: what clarify refuses or never ends, no month is made of.
func TestCleanUpThatCannotBe(t *testing.T) {
	s, _ := cleaned(t, `dose: "20 mg/L"`, "", saturdays)
	s.Solids.TankStop.V.V = 0.5 // below the unit's own outlet
	if _, _, err := FromSite(s, Options{Given: catalogued}); err == nil || !strings.Contains(err.Error(), "cannot be budgeted") {
		t.Errorf("below the floor: %v", err)
	}
	s.Solids.Capture.OK = false
	if _, _, err := FromSite(s, Options{Given: catalogued}); err == nil || !strings.Contains(err.Error(), "the share of solids that a pass takes out") {
		t.Errorf("without capture: %v", err)
	}
}

// TestCleanUpSolidsInDoubt: of a tank whose solids per NTU are taken for granted the range
// is that of the factor, 0.7 to 2.2 about 1.5; of one in doubt that doubt.
func TestCleanUpSolidsInDoubt(t *testing.T) {
	s, b := cleaned(t, `dose: "20 mg/L"`, `, solids_uncertainty: "30 %"`, saturdays)
	if d := b.Plan.Doubt.Solids; d != (doubt.Span{Low: 0.7, High: 1.3}) {
		t.Errorf("a doubt of 30 %%: %v", d)
	}
	s.Solids.Doubt.OK, s.Solids.Doubt.V, s.Solids.PerNTU.OK, s.Solids.PerNTU.V = false, 0, false, 0
	p, _, err := FromSite(s, Options{Given: catalogued})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low", float64(p.Doubt.Solids.Low), 0.7/1.5)
	near(t, "high", float64(p.Doubt.Solids.High), 2.2/1.5)
}

// TestACleanUpBesideOrdinaryWater: in a month of ordinary water a clean-up is what clarify makes of the tank, whatever
// volume is typed: ln(59/4)/0.8 turnovers of 40 m3 are 134.55 m3, 16.8 h at 8 m3/h, at 20 mg/L 2.69 kg, with 55 NTU of 1.5
// mg/L in 40 m3, 3.3 kg, taken out. The ordinary water is 9 h of 8 m3/h a day, 72 m3 on each of 31 days, or of 30 where the
// day is closed to it; a pass takes 80 % of 60 NTU out of it. Of the tank's first 24 h both want the unit from 08:00 to 17:00,
// which are the hours of the clean-up too, as none are given: 16.8 h are one day of 9 h and most of another.
func TestACleanUpBesideOrdinaryWater(t *testing.T) {
	m3 := 40 * math.Log(59./4) / 0.8
	for _, x := range []struct {
		row  string
		days float64
		says string
	}{
		{`runs: "yes", clean_up: "40 m3"`, 31, "clean-ups-whole clean-up-water clean-up-beside"},
		{`runs: "no", clean_up: "134 m3"`, 30, "clean-ups-whole clean-up-beside"},
		{`runs: "no", clean_up: "40 m3"}, {from: "2026-05-06", runs: "no"`, 29, "clean-up-into-closed clean-ups-whole clean-up-water"},
		{`runs: "yes", hours: "3 h", clean_up: "136 m3"`, 30 + 3/9., "clean-ups-whole clean-up-water clean-up-beside"},
	} {
		s, err := site.Read("site.yaml", strings.NewReader(fmt.Sprintf(`
place: {name: hatchery, purpose: animals, water_passes: once through, date: "2026-05-02"}
flow: {average_flow: "8 m3/h", hours_a_day: "9 h", run_starts: "08:00"}
water: {turbidity: "60 NTU"}
chemicals: [{name: PACl, product: pacl-10, basis: as product, density: "1.2 kg/L", stock: made, dose: "20 mg/L"}]
stocks: [{name: made, product_in_stock: "120 g/L"}]
tanks: [{name: rearing tank, use: animals, volume: "40 m3"}]
solids: {solids_per_ntu: "1.5", solids_caught: "80 %%", tank_to_clean_up: rearing tank, tank_turbidity: "60 NTU", clear_enough_at: "5 NTU", outlet_at_best: "1 NTU"}
calendar: [{from: "2026-05-05", %s}]
`, x.row)))
		if err != nil {
			t.Fatal(err)
		}
		p, notes, err := FromSite(s, Options{Given: catalogued, Draws: 200, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range notes {
			if strings.HasPrefix(n.Code, "clean-up") {
				got = append(got, n.Code)
			}
		}
		if strings.Join(got, " ") != x.says {
			t.Errorf("%s: %s, want %s", x.row, got, x.says)
		}
		b := must(t, p)
		near(t, x.row+": water", b.Treated.In("m3"), x.days*72+m3)
		near(t, x.row+": hours", float64(b.Running), x.days*9+m3/8)
		near(t, x.row+": product", float64(b.Accounts[0].Use), (x.days*72+m3)*0.02)
		near(t, x.row+": solids", float64(b.Removed.Likely), x.days*72*60*1.5*0.8/1000+3.3)
	}
}

// TestCleanUpsKeepTheirRange: flow in doubt moves the ordinary water and no clean-up. One day of 100 m3 at 20 mg/L and one
// clean-up of 50 m3 at 40 mg/L, at 5 m3/h; 3 EUR/kg, flow 0.8 to 1.2.
func TestCleanUpsKeepTheirRange(t *testing.T) {
	p := flat(10, 10, 20, eurPerKg(3))
	for d := range p.Calendar.Week {
		p.Calendar.Week[d].Operating = false
	}
	first := p.Calendar.Month.First()
	p.Calendar.Exceptions = []Exception{{Date: first, Open: true, Hours: 10}, {Date: first.AddDays(1), CleanUp: 50000}}
	p.Calendar.CleanFlow, p.CleanUp = 5, &CleanUp{Name: "pond", Treated: 50000}
	p.Chemicals[0].Cleaning = Dose{Plan: 40}
	p.Doubt = Doubt{Flow: doubt.Span{Low: 0.8, High: 1.2}, Draws: 200, Seed: 3}
	b := must(t, p)
	near(t, "water", b.Treated.In("m3"), 100+50)
	near(t, "hours", float64(b.Running), 10+10)
	near(t, "product", float64(b.Accounts[0].Use), 100*0.02+50*0.04)
	m := b.Range.Matters[0]
	near(t, "least cost", m.Low.Amount, (80*0.02+50*0.04)*3)
	near(t, "most cost", m.High.Amount, (120*0.02+50*0.04)*3)
	if low := float64(b.Range.Use[0].P10); low < 2+80*0.02-0.05 || low > 2+2 {
		t.Errorf("one drawn month in ten uses less than %g", low)
	}
}

// TestClashIsSaidByTheClock: 10.683 h are 10 h 41 min, from 06:00 on.
func TestClashIsSaidByTheClock(t *testing.T) {
	var c dosing.Cleaning
	c.Running = 10.6833
	c.CleaningInput.Tank.Begin = 6
	if n := clashes(c, Date{2026, 5, 20}); !strings.Contains(n.Message, "needs it for 10 h 41 min from 06:00 on") {
		t.Error(n.Message)
	}
}

// TestPhosphateOfCleanUps: the tank of 40 m3 with 2 mg/L P holds 80 g of it. The share f that a pass binds at first leaves, so that
// n turnovers bind 80 (1 − exp(−f n)), as AlPO4 (121.953 g/mol); the rest of the metal is hydroxide with bound water (132.049).
// A month of five is five times that, however much water went round.
func TestPhosphateOfCleanUps(t *testing.T) {
	s, dry := cleaned(t, `dose: "60 mg/L"`, "", saturdays)
	s.Water.Phosphate = quantity.Some[quantity.Concentration](2)
	p, _, err := FromSite(s, Options{Given: catalogued, Draws: 200, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	b, one := must(t, p), cleaning(t, s)
	first, n := one.Tank().Chemicals[0], one.Turnovers
	f := float64(first.Bound) * 60 / 26.982 * 30.974 / 2
	mol, al := 80*-math.Expm1(-f*n)/30.974, float64(first.Al)*60*n*40/26.982
	if f < 0.5 || f > 1 {
		t.Fatalf("a pass binds %g of the phosphate", f)
	}
	for got, want := range map[quantity.Mass]float64{b.Dry.Likely - b.Removed.Likely: mol*121.953 + (al-mol)*132.049,
		dry.Dry.Likely - dry.Removed.Likely: al * 132.049} {
		if math.Abs(float64(got)/(5*want/1000)-1) > 1e-5 {
			t.Errorf("made: %v kg, by hand %g", got, 5*want/1000)
		}
	}
	near(t, "drawn", float64(b.Range.Dry.P50), float64(b.Dry.Likely))
	if at, w := mol*30.974/80, b.Plan.Chemicals[0]; at >= 1 || math.Abs(float64(w.Made(b.Classes[0], 0)/first.SolidsYield().Likely)-1) < 1e-4 {
		t.Errorf("%g of the phosphate, and %g made a mass of dose as on the first pass", at, w.Made(b.Classes[0], 0))
	}
}

// TestCleanUpOverTheMonthsEnd: a clean-up that takes 40 h and begins on 31 March goes on on 1 April, which counts none of it, whether
// the month is asked for alone or after the other; one of 20 h does not. Where every day of the year has one, each month goes on where
// the one before ends: over two months of 31 and 30 days half of the 61 begin.
func TestCleanUpOverTheMonthsEnd(t *testing.T) {
	begin := func(m Month, takes quantity.Time, week bool, on ...Date) (dates []Date) {
		c := Calendar{Month: m, Flow: 10, Week: EveryDay(8), CleanFlow: 10, CleanTime: takes}
		for d := range c.Week {
			if week {
				c.Week[d].CleanUp = 50_000
			}
		}
		for _, d := range on {
			c.Exceptions = append(c.Exceptions, Exception{Date: d, CleanUp: 50_000})
		}
		days, err := c.Days(0)
		if err != nil || len(days) != m.Days() || days[0].Date != m.First() {
			t.Fatal(len(days), err)
		}
		for _, d := range days {
			if d.CleanUp > 0 {
				dates = append(dates, d.Date)
			}
		}
		return dates
	}
	march, april := Month{2026, time.March}, Month{2026, time.April}
	last, first, third := Date{2026, 3, 31}, Date{2026, 4, 1}, Date{2026, 4, 3}
	for _, x := range []struct {
		m     Month
		takes quantity.Time
		on    []Date
		want  []Date
	}{
		{march, 40, []Date{last, first}, []Date{last}}, {april, 40, []Date{last, first}, nil},
		{april, 20, []Date{last, first}, []Date{first}}, {april, 40, []Date{first}, []Date{first}},
		{april, 40, []Date{last, first, third}, []Date{third}},
		{april, 24 * 3, []Date{{2026, 3, 30}, last, first, {2026, 4, 2}}, []Date{{2026, 4, 2}}},
	} {
		if got := begin(x.m, x.takes, false, x.on...); !slices.Equal(got, x.want) {
			t.Errorf("%v, %v h, %v: begin on %v, want %v", x.m, x.takes, x.on, got, x.want)
		}
	}
	all := append(begin(march, 40, true), begin(april, 40, true)...)
	for i := range all[1:] {
		if all[i].DaysTo(all[i+1]) != 2 {
			t.Errorf("%v, then %v", all[i], all[i+1])
		}
	}
	if n := len(all); n != 30 && n != 31 {
		t.Errorf("%d begin in 61 days", n)
	}
}

// TestCleanUpsThatOverlap: a clean-up of 17 h of running at 4 h a day takes into the fifth day, so that one begun two days after
// another begins before its end, also where that one began in the month before.
func TestCleanUpsThatOverlap(t *testing.T) {
	for calendar, want := range map[string]bool{
		`{from: "2026-05-04", runs: "yes", clean_up: "134.6 m3"}, {from: "2026-05-06", runs: "yes", clean_up: "134.6 m3"}`: true,
		`{from: "2026-05-04", runs: "yes", clean_up: "134.6 m3"}, {from: "2026-05-10", runs: "yes", clean_up: "134.6 m3"}`: false,
		`{from: "2026-04-30", runs: "yes", clean_up: "134.6 m3"}, {from: "2026-05-02", runs: "yes", clean_up: "134.6 m3"}`: true,
		`{from: "2026-04-24", runs: "yes", clean_up: "134.6 m3"}, {from: "2026-05-02", runs: "yes", clean_up: "134.6 m3"}`: false,
	} {
		s, _ := cleaned(t, `dose: "20 mg/L"`, "", calendar)
		s.Solids.TankHours.V = flow.Hours{{From: 8, To: 12}}
		_, notes, err := FromSite(s, Options{Given: catalogued})
		n, ok := has(notes, "clean-ups-overlap")
		if err != nil || ok != want || ok && (n.Level != note.Caution || !strings.Contains(n.Message, "the next begins after 48 h")) {
			t.Errorf("%s: %t (%v), %v", calendar, ok, n, err)
		}
	}
}
