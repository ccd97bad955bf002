package month

import (
	"jarwright/dosing/doubt"
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// small is a site of 2 m3/h that doses alum by hand and a polymer, 60 NTU in the raw water.
func small() site.Site {
	s := site.Site{File: "small"}
	s.Place.Date = on(2027, 5, 20)
	s.Water.Turbidity = quantity.Some[quantity.Cloudiness](60)
	s.Flow.Average = quantity.Some[quantity.Flow](2)
	s.Chemicals = []site.Chemical{
		{Name: quantity.Some("alum"), Product: quantity.Some("alum-liquid"), Basis: quantity.Some(quantity.AsAlum14), Dose: quantity.Some[quantity.Concentration](20)},
		{Name: quantity.Some("polymer"), Product: quantity.Some("apam-dry"), Basis: quantity.Some(quantity.AsProduct), Dose: quantity.Some[quantity.Concentration](0.5)},
	}
	return s
}

func of(t *testing.T, s site.Site, o Options) (Plan, note.List) {
	t.Helper()
	o.Given.Catalogue = product.Default()
	p, notes, err := FromSite(s, o)
	if err != nil {
		t.Fatal(err)
	}
	return p, notes
}

// TestMonthOfASite: the month asked for goes before that of the site's date.
func TestMonthOfASite(t *testing.T) {
	p, notes := of(t, small(), Options{})
	if p.Calendar.Month != (Month{2027, time.May}) || p.Calendar.Flow != 2 || p.Calendar.Week != EveryDay(24) || p.Doubt.Flow != (doubt.Span{}) {
		t.Errorf("%+v", p.Calendar)
	}
	if _, ok := has(notes, "example-values"); ok {
		t.Error("a site without examples is told to hold some")
	}
	s := small()
	s.Place.Examples = quantity.Known[bool]{V: true, OK: true, At: note.Place{Cell: "B4"}}
	s.Flow.Range = quantity.Some[quantity.Fraction](0.25)
	p, notes = of(t, s, Options{Month: Month{2028, time.February}, OrderFrom: Date{2028, 1, 20}, Draws: 9, Seed: 4})
	if n, ok := has(notes, "example-values"); !ok || n.Place.Cell != "B4" {
		t.Errorf("%v", notes)
	}
	if p.Calendar.Month != (Month{2028, time.February}) || p.OrderFrom != (Date{2028, 1, 20}) || p.Doubt.Draws != 9 || p.Doubt.Seed != 4 || p.Doubt.Flow != (doubt.Span{Low: 0.75, High: 1.25}) {
		t.Errorf("%+v", p)
	}
	s.Place.Examples.V = false
	s.Flow.Range = quantity.Some[quantity.Fraction](0)
	if p, notes = of(t, s, Options{}); p.Doubt.Flow != (doubt.Span{}) {
		t.Errorf("a flow that is off by nothing: %v", p.Doubt.Flow)
	}
	if _, ok := has(notes, "example-values"); ok {
		t.Error("examples that are no examples")
	}
}

// TestFaultsOfASite: each with its place, and no more than it; nothing is bought
// for a plan that cannot be.
func TestFaultsOfASite(t *testing.T) {
	for code, spoil := range map[string]func(*site.Site){
		"value-missing": func(s *site.Site) { s.Flow.Average.OK = false },
		"shares": func(s *site.Site) {
			s.Water.ClearDays, s.Water.StormDays = quantity.Some[quantity.Fraction](0.6), quantity.Some[quantity.Fraction](0.401)
		},
		"bad-interval": func(s *site.Site) {
			s.Chemicals[0].DoseLow = quantity.Known[quantity.Concentration]{OK: true, At: note.Place{Cell: "A2"}}
		},
		"price-unit": func(s *site.Site) {
			s.Prices = []site.Price{{Chemical: quantity.Some(" Make-up WATER "), Price: quantity.Some(quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})}}
		},
		"half-a-tier": func(s *site.Site) {
			s.Prices = []site.Price{{Chemical: quantity.Some("alum"), Price: quantity.Some(eurPerKg(1)), From3: quantity.Some(4)}}
		},
		"price-twice": func(s *site.Site) {
			r := site.Price{Chemical: quantity.Some("alum"), Price: quantity.Some(eurPerKg(1))}
			s.Prices = []site.Price{r, r}
		},
	} {
		s := small()
		s.Chemicals[0].At = note.Place{Cell: "A2"}
		spoil(&s)
		p, notes, err := FromSite(s, Options{Given: dosing.Given{Catalogue: product.Default()}})
		l := note.Of(err, "")
		if len(l) != 1 || l[0].Code != code {
			t.Errorf("%s: %v", code, l)
		}
		_, told := has(notes, "no-supply")
		if strings.HasPrefix(code, "bad") && (told || len(p.Chemicals) != 0 || l[0].Place.Cell != "A2") {
			t.Errorf("%s: %v %+v at %v", code, notes, p.Chemicals, l[0].Place)
		}
	}
	at := placed(note.List{note.Fault("a", "a"), note.Fault("b", "b").At(note.Place{Cell: "B9"})}.Err(), note.Place{Cell: "A2"})
	if len(at) != 2 || at[0].Place.Cell != "A2" || at[1].Place.Cell != "B9" {
		t.Errorf("%v", at)
	}
}

// TestShortLogs: one day is a log, without scatter between days.
func TestShortLogs(t *testing.T) {
	p, _ := of(t, small(), Options{Given: dosing.Given{Log: logOf(t, 3)}})
	if math.Abs(float64(p.Calendar.Flow)-3) > 1e-9 || p.Doubt.DayToDay != 0 || p.Calendar.Week[1].Share != 1 {
		t.Errorf("%+v", p.Calendar)
	}
}

// TestSharesOfASite: what clear and storm days leave is usual water, to the last day.
func TestSharesOfASite(t *testing.T) {
	for _, x := range []struct{ clear, storm, usual quantity.Fraction }{{0.3, 0.2, 0.5}, {0.6, 0.4, 0}, {0, 1, 0}, {0.25, 0, 0.75}} {
		s := small()
		s.Water.ClearDays, s.Water.StormDays = quantity.Some(x.clear), quantity.Some(x.storm)
		p, _ := of(t, s, Options{})
		if len(p.Classes) != 3 {
			t.Fatalf("%+v", p.Classes)
		}
		for i, want := range []quantity.Fraction{x.usual, x.clear, x.storm} {
			near(t, p.Classes[i].Name, float64(p.Classes[i].Share), float64(want))
		}
	}
	// 60 NTU are 90 mg/L, 42 to 132 in eight months of ten; a site that says by how much says so.
	p, notes := of(t, small(), Options{})
	near(t, "low", float64(p.Doubt.Solids.Low), 0.7/1.5)
	near(t, "high", float64(p.Doubt.Solids.High), 2.2/1.5)
	if n, ok := has(notes, "solids-per-ntu"); !ok || !strings.Contains(n.Message, "1.5 mg/L per NTU, 0.7 to 2.2") {
		t.Errorf("%v", notes)
	}
	s := small()
	s.Solids.Doubt = quantity.Some[quantity.Fraction](0)
	if p, _ = of(t, s, Options{}); math.Abs(float64(p.Doubt.Solids.Low)-0.7/1.5) > 1e-12 {
		t.Errorf("no doubt of its own: %v", p.Doubt.Solids)
	}
	s.Solids.Doubt = quantity.Some[quantity.Fraction](0.3)
	if p, notes = of(t, s, Options{}); p.Doubt.Solids != (doubt.Span{Low: 0.7, High: 1.3}) {
		t.Errorf("%v", p.Doubt.Solids)
	}
	if _, ok := has(notes, "solids-per-ntu"); ok {
		t.Error("solids per NTU are told of a site that says how far its solids may be off")
	}
	s.Water.Turbidity, s.Water.TSS = quantity.Known[quantity.Cloudiness]{}, quantity.Some[quantity.Concentration](40)
	if p, notes = of(t, s, Options{}); p.Classes[0].Removed.Likely != 40 {
		t.Errorf("%+v", p.Classes)
	}
	for _, unknown := range []bool{false, true} {
		if unknown {
			s.Water.TSS.OK = false
			_, notes = of(t, s, Options{})
		}
		if _, told := has(notes, "solids-unknown"); told != unknown {
			t.Errorf("solids not known: %v, told %v", unknown, told)
		}
	}
}

// TestDosesOfASite: a dose's interval, for other water in proportion; a bench's own
// curve goes before its ends, and both before the sheet.
func TestDosesOfASite(t *testing.T) {
	s := small()
	s.Chemicals[0].DoseLow, s.Chemicals[0].DoseHigh = quantity.Some[quantity.Concentration](16), quantity.Some[quantity.Concentration](30)
	s.Chemicals[0].Storm = quantity.Some[quantity.Concentration](50)
	at := func(d Dose, p float64) float64 {
		t.Helper()
		v, _ := d.Quantile(p)
		return float64(v)
	}
	p, _ := of(t, s, Options{})
	usual, storm := p.Chemicals[0].Doses[0], p.Chemicals[0].Doses[1]
	for i, x := range []struct{ got, want float64 }{
		{float64(usual.Plan), 20}, {at(usual, 0.05), 16}, {at(usual, 0.5), 20}, {at(usual, 0.95), 30},
		{float64(storm.Plan), 50}, {at(storm, 0.05), 40}, {at(storm, 0.5), 50}, {at(storm, 0.95), 75},
	} {
		if math.Abs(x.got-x.want) > 1e-9 {
			t.Errorf("%d: %g, want %g", i, x.got, x.want)
		}
	}
	if p.Chemicals[1].Doses[0].Quantile != nil {
		t.Error("a dose without interval is in doubt")
	}
	bench := dosing.BenchDose{Dose: quantity.Dose{Concentration: 24, Basis: quantity.AsAlum14}, Low: 12, High: 36}
	p, _ = of(t, s, Options{Given: dosing.Given{Bench: map[int]dosing.BenchDose{0: bench}}})
	if d := p.Chemicals[0].Doses[0]; d.Plan != 24 || math.Abs(at(d, 0.05)-12) > 1e-9 || math.Abs(at(d, 0.95)-36) > 1e-9 {
		t.Errorf("bench: %v, %g to %g", d.Plan, at(d, 0.05), at(d, 0.95))
	}
	bench.Quantile = func(p float64) (quantity.Concentration, bool) { return quantity.Concentration(20 + p), true }
	p, _ = of(t, s, Options{Given: dosing.Given{Bench: map[int]dosing.BenchDose{0: bench}}})
	if d := p.Chemicals[0].Doses[0]; at(d, 0.5) != 20.5 {
		t.Errorf("a bench's own curve: %g", at(d, 0.5))
	}
	if q := scaled(bench.Quantile, 0, 5); q == nil {
		t.Error("a dose of nothing has no curve")
	} else if v, _ := q(0.5); v != 20.5 {
		t.Errorf("scaled from nothing: %v", v)
	}
}

// TestUnpricedPower: power that nobody gave is missed where electricity has a price.
func TestUnpricedPower(t *testing.T) {
	s := small()
	kwh := func(v float64) []site.Price {
		return []site.Price{{Chemical: quantity.Some(site.PriceElectricity), Price: quantity.Some(quantity.Price{Amount: v, Currency: "EUR", Per: "kWh"})}}
	}
	for _, x := range []struct {
		price float64
		power quantity.Power
		told  bool
	}{{0.2, 0, true}, {0.2, 0.5, false}, {0, 0, false}} {
		s.Prices, s.Flow.Power = kwh(x.price), quantity.Some(x.power)
		_, notes := of(t, s, Options{})
		if _, told := has(notes, "power-unknown"); told != x.told {
			t.Errorf("%+v: told %v", x, told)
		}
	}
}

// TestPacksOfASite: a row of Prices is found whatever its case, the first price
// holds from one pack; without a row a pack is 25 kg and nothing is there.
func TestPacksOfASite(t *testing.T) {
	s := small()
	s.Prices = []site.Price{{Chemical: quantity.Some(" ALUM "), Price: quantity.Some(eurPerKg(0.5)), From2: quantity.Some(4), Price2: quantity.Some(eurPerKg(0.4)),
		From3: quantity.Some(9), Price3: quantity.Some(eurPerKg(0.3))}}
	p, notes := of(t, s, Options{})
	tiers := p.Chemicals[0].Prices.Tiers
	if len(tiers) != 3 || tiers[0] != (Tier{1, eurPerKg(0.5)}) || tiers[1] != (Tier{4, eurPerKg(0.4)}) || tiers[2] != (Tier{9, eurPerKg(0.3)}) {
		t.Errorf("%+v", tiers)
	}
	if u := p.Chemicals[1].Supply; u.Pack != 25 || u.MinDays != NoMinDays || u.Opening != 0 || u.LeadDays != 0 || p.Chemicals[0].Supply.Pack != 25 {
		t.Errorf("%+v", u)
	}
	for code, says := range map[string]string{"no-supply": "no row in the site under Prices is that of polymer", "pack-assumed": "the pack of alum", "stock-unknown": "what is on hand of alum is not given: whether and when that runs out is not known, and the orders are those of an empty store", "lead-time-unknown": "the lead time of alum"} {
		if n, ok := has(notes, code); !ok || !strings.Contains(n.Message, says) {
			t.Errorf("%s: %v", code, n)
		}
	}
}

// TestStopsOfASite: cationic polymer of 50 mg/L over trout stops the month, for a twentieth of it is half of what kills; a plan with a
// fault is not judged.
func TestStopsOfASite(t *testing.T) {
	s := small()
	s.Place.Purpose, s.Place.Passes = quantity.Some(site.ForAnimals), quantity.Some(site.OnceThrough)
	s.Chemicals[1].Product, s.Chemicals[1].Dose = quantity.Some("cpam-dry"), quantity.Some[quantity.Concentration](50)
	s.Animals = []site.Animal{{Name: quantity.Some("troughs"), Species: quantity.Some("rainbow trout"), Reached: quantity.Some(site.ReachedAlways)}}
	p, notes := of(t, s, Options{})
	if !p.Stopped || len(notes.Only(note.Stop)) == 0 {
		t.Errorf("%v", notes)
	}
	s.Prices = []site.Price{{Chemical: quantity.Some(site.PriceWater), Price: quantity.Some(eurPerKg(1))}}
	p, notes, err := FromSite(s, Options{Given: dosing.Given{Catalogue: product.Default()}})
	if err == nil || p.Stopped || len(notes.Only(note.Stop)) > 0 {
		t.Errorf("%v %v", err, notes)
	}
}
