package month

import (
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// seasonal is an invented works whose flow and dose differ in winter and summer.
const seasonal = `place:
  name: Test works
  purpose: other
  water_passes: once through
  date: "2026-11-10"
flow:
  average_flow: 10 m3/h
  least_flow: 8 m3/h
  peak_flow: 15 m3/h
chemicals:
  - name: alum
    product: alum-liquid
    dose: 20 mg/L
    basis: as product
    density: 1.3 kg/L
    stock: alum stock
    pump: pump 1
stocks:
  - name: alum stock
    product_in_stock: 100 g/L
pumps:
  - name: pump 1
    largest_rate: 6 L/h
    least_rate: 1 L/h
prices:
  - chemical: alum
    price: 0.5 EUR/kg
    pack: 100 kg
    on_hand: 300 kg
    lead_time: 7 d
seasons:
  - first_month: Dec
    last_month: Jan
    average_flow: 5 m3/h
  - first_month: January
    chemical: alum
    dose: 40 mg/L
`

func seasonalMonths(t *testing.T, text string, n int) (site.Site, dosing.Given, []Budget) {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	g := dosing.Given{Catalogue: product.Default()}
	of := func(m Month) (Plan, error) {
		p, _, err := FromSite(s, Options{Given: g, Month: m, Draws: 200})
		return p, err
	}
	p, err := of(Month{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := Months(p, n, of)
	if err != nil {
		t.Fatal(err)
	}
	return s, g, b
}

// TestMonthsOfSeasons works each month out from its own flow and dose, by hand: 24 h a day at 10, 5 and
// 5 m3/h, 20, 20 and 40 mg/L as product; the store goes on from month to month.
func TestMonthsOfSeasons(t *testing.T) {
	s, g, b := seasonalMonths(t, seasonal, 3)
	water := []float64{30 * 240, 31 * 120, 31 * 120}
	used := []float64{water[0] * 20 / 1000, water[1] * 20 / 1000, water[2] * 40 / 1000} // 144, 74.4 and 148.8 kg
	for i, m := range b {
		near(t, m.Plan.Calendar.Month.Long()+" m3", m.Treated.In("m3"), water[i])
		near(t, m.Plan.Calendar.Month.Long()+" kg", float64(m.Accounts[0].Use), used[i])
		if i > 0 {
			last := b[i-1]
			near(t, "opening", float64(m.Accounts[0].Chemical.Supply.Opening), float64(last.Accounts[0].Closing(last.Plan.Calendar.Month)))
		}
	}
	sum, err := Sum(s, g, b)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "m3 together", sum.Treated.In("m3"), 7200+3720+3720)
	near(t, "kg together", float64(sum.Uses[0].Product), 144+74.4+148.8)
	near(t, "EUR together", sum.Total.Amount, b[0].Total.Amount+b[1].Total.Amount+b[2].Total.Amount)
	near(t, "EUR of alum", sum.Uses[0].Goods.Amount, 0.5*(144+74.4+148.8))
	// At 100 g/L a litre of stock doses 100 g: least in December, 4 m3/h at 20 mg/L, 0.8 L/h; most in
	// November, 15 m3/h at 20 mg/L, 3 L/h, as much as in January, 7.5 m3/h at 40 mg/L.
	p := sum.Uses[0].Pump
	near(t, "least L/h", p.Least.In("L/h"), 0.8)
	near(t, "peak L/h", p.Peak.In("L/h"), 3)
	near(t, "turndown", float64(p.Needed()), 3.75)
	near(t, "from L/h", p.From.In("L/h"), 1)
	near(t, "to L/h", p.To.In("L/h"), 6)
	if p.Name != "pump 1" || p.LeastIn.Month != time.December || p.PeakIn.Month != time.November || p.Reaches() || len(p.Remedy.Notes) == 0 {
		t.Errorf("pump over the months %+v", p)
	}
	if b[0].Mixed(b[0].Accounts[0]) || p.PeakOf != "" {
		t.Errorf("one water is called a mean, or %q", p.PeakOf)
	}
	// The store: the day with most in it, found another way.
	var most quantity.Mass
	for _, m := range b {
		for i, d := range m.Accounts[0].Stock {
			if i < m.Plan.Calendar.Month.Days() {
				most = max(most, d.Start+d.Arrived-d.Expired)
			}
		}
	}
	near(t, "most in store", float64(sum.Uses[0].Most), float64(most))
	// Storm water asks more of the pump: 30 mg/L at 15 m3/h are 4.5 L/h.
	s, g, b = seasonalMonths(t, strings.Replace(seasonal, "basis:", "dose_in_storm_water: 30 mg/L\n    basis:", 1)+"water:\n  storm_days: 20 %\n", 2)
	if sum, err = Sum(s, g, b); err != nil {
		t.Fatal(err)
	}
	near(t, "peak L/h in storms", sum.Uses[0].Pump.Peak.In("L/h"), 4.5)
	if p := sum.Uses[0].Pump; p.PeakOf != site.StormWater || p.LeastOf != "" {
		t.Errorf("water of the peak %q, of the least %q", p.PeakOf, p.LeastOf)
	}
	// 80 % at 20 and 20 % at 30 mg/L are 22 mg/L, which no water takes; without storms every water takes the usual dose.
	near(t, "usual dose", float64(b[0].Accounts[0].UsualDose), 22)
	if !b[0].Mixed(b[0].Accounts[0]) {
		t.Error("22 mg/L is the dose of no water, and is not called a mean")
	}
	// A pump that turns down as far is enough; without one nothing is said of pumps.
	s, g, b = seasonalMonths(t, strings.Replace(seasonal, "least_rate: 1 L/h", "least_rate: 0.5 L/h", 1), 3)
	if sum, err = Sum(s, g, b); err != nil || !sum.Uses[0].Pump.Reaches() {
		t.Errorf("%v: %+v", err, sum.Uses[0].Pump)
	}
	s, g, b = seasonalMonths(t, strings.Replace(seasonal, "    pump: pump 1\n", "", 1), 3)
	if sum, err = Sum(s, g, b); err != nil || sum.Uses[0].Pump != nil {
		t.Errorf("%v: a pump where none feeds", err)
	}
}

// TestSeasonOfDayIsThatOfMonth holds the plan of a day to the budget of its month: 31 such days are the month.
func TestSeasonOfDayIsThatOfMonth(t *testing.T) {
	s, g, b := seasonalMonths(t, seasonal, 3)
	for _, m := range b {
		p, err := dayIn(s, g, m.Plan.Calendar.Month)
		if err != nil {
			t.Fatal(err)
		}
		near(t, m.Plan.Calendar.Month.Long(), float64(p.Feeds[0].Product)*float64(m.Plan.Calendar.Month.Days()), float64(m.Accounts[0].Use))
	}
}

// TestLater holds what later months add: what is new with its month, what has other figures by the months
// that it holds in, nothing twice.
func TestLater(t *testing.T) {
	at := note.Place{Cell: "B2"}
	first := note.List{note.New(note.Caution, "low", "falls to 6.9").At(at), note.New(note.Info, "same", "as ever")}
	l := After(Month{2026, 11}, first)
	for i, m := range []Month{{2026, 12}, {2027, 1}, {2027, 2}} {
		l.Add(m, note.List{first[1], note.New(note.Caution, "low", "falls to %d.5", 6-i).At(at), note.New(note.Info, "cold", "cold water")})
	}
	l.Add(Month{2027, 3}, note.List{note.New(note.Info, "march", "March floods")})
	got := l.Notes()
	want := []string{"falls to 6.9", "as ever", "December 2026: cold water", "March floods",
		"in 3 later months, the last of them February 2027, this holds too, with other figures: falls to 6.5"}
	if len(got) != len(want) {
		t.Fatalf("%d notes: %v", len(got), got)
	}
	for i, n := range got {
		if n.Message != want[i] {
			t.Errorf("%q, want %q", n.Message, want[i])
		}
	}
	if n := got[4]; n.Level != note.Caution || !strings.Contains(n.Remedy, "plan --date 2027-02-15") {
		t.Errorf("%v", n)
	}
	one := After(Month{2026, 11}, first)
	one.Add(Month{2026, 12}, note.List{note.New(note.Caution, "low", "falls to 5").At(at)})
	if n := one.Notes()[2]; n.Message != "in December 2026 this holds too, with other figures: falls to 5" {
		t.Errorf("%q", n.Message)
	}
}

// TestSeasonIsToldOnce: what a season changes is told of the first month that it holds in, be it the month
// that begins, and again where another season says something else.
func TestSeasonIsToldOnce(t *testing.T) {
	of := func(m Month, what string) note.List {
		return note.List{note.New(note.Info, dosing.InSeasonCode, "%s is that of Seasons: %s", m.Month, what)}
	}
	start := Month{2026, 12}
	l := After(start, of(start, "dose 20 mg/L"))
	for m, what := range map[time.Month]string{1: "dose 20 mg/L", 2: "dose 30 mg/L"} {
		l.Add(Month{2027, m}, of(Month{2027, m}, what))
	}
	l.Add(Month{2027, 3}, of(Month{2027, 3}, "dose 30 mg/L"))
	var got []string
	for _, n := range l.Notes() {
		got = append(got, n.Message)
	}
	if want := []string{"December is that of Seasons: dose 20 mg/L", "February is that of Seasons: dose 30 mg/L"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
