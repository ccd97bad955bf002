package dosing

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestRecordOfASite: what is caught of 40 mg/L, nine tenths, is 36 mg/L; a doubt of 25 % goes before all other ranges: 27 to 45. Water at
// 2 EUR a m3, electricity by the kWh alone.
func TestRecordOfASite(t *testing.T) {
	s := site.Site{Prices: []site.Price{{Chemical: quantity.Some(site.PriceWater), Price: quantity.Some(quantity.Price{Amount: 2,
		Currency: "EUR", Per: "m3"})},
		{Chemical: quantity.Some(site.PriceElectricity), Price: quantity.Some(quantity.Price{Amount: 0.3, Currency: "EUR", Per: "kWh"})}}}
	s.Water.TSS, s.Solids.Capture = quantity.Some[quantity.Concentration](40), quantity.Some[quantity.Fraction](0.9)
	for doubt, want := range map[quantity.Fraction][3]float64{0: {36, 36, 36}, 0.25: {27, 36, 45}, 0.01: {35.64, 36, 36.36}} {
		s.Solids.Doubt = quantity.Some(doubt)
		r := RecordOf(s, site.UsualWater)
		near(t, "low", float64(r.Removed.Low), want[0], 1e-9)
		near(t, "likely", float64(r.Removed.Likely), want[1], 1e-9)
		near(t, "high", float64(r.Removed.High), want[2], 1e-9)
		if r.MakeUp.Amount != 2 || r.MakeUp.Per != "m3" || r.Electricity.Amount != 0.3 {
			t.Errorf("%+v", r)
		}
	}
	s.Prices[1].Price.V.Per, s.Prices[0].Price.V = "m3", quantity.Price{Amount: 0.002, Currency: "EUR", Per: "L"}
	if r := RecordOf(s, site.UsualWater); r.Electricity.Amount != 0 || math.Abs(r.MakeUp.Amount-2) > 1e-12 {
		t.Errorf("%+v", r)
	}
	for _, x := range []struct{ name, per, fault string }{
		{site.PriceDisposal, "m3", ""}, {site.PriceDisposal, "t", ""}, {site.PriceDisposal, "kg dry", ""}, {site.PriceDisposal, "kWh",
			"give it per m3, t, kg dry, t dry"},
		{site.PriceWater, "m3", ""}, {site.PriceWater, "L", ""}, {site.PriceWater, "kg", "give it per m3"}, {site.PriceElectricity, "kWh",
			""},
		{site.PriceElectricity, "m3", "give it per kWh"}, {"alum", "kWh", ""},
	} {
		s.Prices = []site.Price{{Chemical: quantity.Some(x.name), Price: quantity.Some(quantity.Price{Amount: 1, Currency: "EUR",
			Per: x.per})}}
		got := OtherPrices(s)
		if (len(got) > 0) != (x.fault != "") || x.fault != "" && got[0].Remedy != x.fault {
			t.Errorf("%s per %s: %v", x.name, x.per, got)
		}
	}
}

// TestStocksOfASite: a stock's own hours of work, one of them enough, before the place's; a quarter of an hour where no work is told.
func TestStocksOfASite(t *testing.T) {
	clock := func(v quantity.Time) quantity.Known[quantity.Time] { return quantity.Some(v) }
	var none quantity.Known[quantity.Time]
	var s site.Site
	s.Place.From, s.Place.Till = clock(7), clock(17)
	for _, x := range []struct {
		from, till, mixing quantity.Known[quantity.Time]
		want               [3]quantity.Time
		faults             int
	}{
		{none, none, none, [3]quantity.Time{7, 17, 0.25}, 0}, {clock(8), clock(12), clock(0.5), [3]quantity.Time{8, 12, 0.5}, 0},
		{clock(8), none, none, [3]quantity.Time{8, 0, 0.25}, 1}, {none, clock(12), none, [3]quantity.Time{0, 12, 0.25}, 1},
	} {
		var f FeedInput
		l := f.stocked(s, site.Stock{From: x.from, Till: x.till, Mixing: x.mixing})
		if f.From != x.want[0] || f.Till != x.want[1] || f.Work != x.want[2] || len(l) != x.faults {
			t.Errorf("%+v: from %v till %v, %v of work, %v", x, f.From, f.Till, f.Work, l)
		}
	}
}

// TestBinInTheList: a bin's emptying stands in the list of the shift; what falls a day after its beginning is done on it.
func TestBinInTheList(t *testing.T) {
	p := Plan{Input: Input{Start: 7, Staffed: flow.Hours{{From: 6, To: 20}}}, Tasks: []Task{{At: 7, Feed: -1, Kind: StartUnit}}}
	for _, x := range []struct {
		s    *SolidsDay
		want string
	}{
		{nil, "07:00 start unit"}, {&SolidsDay{Daily: []solids.Emptying{{At: 9}}}, "07:00 start unit"},
		{&SolidsDay{Bin: &solids.Bin{}, Daily: []solids.Emptying{{At: 9}}}, "07:00 start unit, 09:00 empty bin"},
		{&SolidsDay{Bin: &solids.Bin{}, Daily: []solids.Emptying{{At: 30}}}, "06:00 empty bin, 07:00 start unit"},
		{&SolidsDay{Bin: &solids.Bin{}, Daily: []solids.Emptying{{At: 7}, {At: 19}}}, "07:00 start unit, 07:00 empty bin, 19:00 empty bin"},
	} {
		if got := listed(p.WithBin(x.s)); got != x.want {
			t.Errorf("%s, want %s", got, x.want)
		}
	}
}

// TestFedNeat: an emulsion fed as it comes is questioned, with how it is made up where the catalogue says; made up it is not, nor is
// another product.
func TestFedNeat(t *testing.T) {
	p, err := product.Default().Find("cpam-emulsion")
	if err != nil {
		t.Fatal(err)
	}
	bare := p
	bare.Dilution = product.Figure[quantity.Concentration]{}
	thin := p
	thin.Dilution.Low, thin.Dilution.High = 0.2, 0.5
	liquid := p
	liquid.Form = product.Liquid
	for _, x := range []struct {
		stock Stock
		says  bool
		do    string
	}{
		{Stock{Product: p}, true,
			"make it up with water to " + perLitre(p.Dilution.Low).String() + " to " + perLitre(p.Dilution.High).String()},
		{Stock{Product: bare}, true, ""},
		{Stock{Product: thin}, true, "make it up with water to 0.0002000 g/L to 0.0005000 g/L"}, {Stock{Product: p, PerLitre: 2000}, false,
			""}, {Stock{Product: liquid}, false, ""},
	} {
		f := Feed{FeedInput: FeedInput{Name: "floc", Stock: x.stock}}
		(Plan{}).neatNotes(&f)
		if (len(f.Notes) == 1) != x.says || x.says && (f.Notes[0].Code != "emulsion-neat" || !strings.HasPrefix(f.Notes[0].Remedy, x.do) ||
			(x.do == "") != (f.Notes[0].Remedy == "")) {
			t.Errorf("%+v: %v", x, f.Notes)
		}
	}
}

// TestDosesByClass: a class without a dose of its own has the usual one; on a day of the calendar the dose of its water counts, without
// the range of the usual one, and the usual one is told beside it.
func TestDosesByClass(t *testing.T) {
	f := FeedInput{Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Low: 15, High: 25,
		FedADay: quantity.Some[quantity.MassRate](3),
		Storm:   quantity.Known[quantity.Concentration]{V: 50, OK: true, At: note.Place{Cell: "F4"}}}
	for class, want := range map[string]quantity.Concentration{site.UsualWater: 20, site.ClearWater: 20, site.StormWater: 50} {
		if d := f.DoseIn(class); d.Concentration != want || d.Basis != quantity.AsProduct {
			t.Errorf("%s: %v", class, d)
		}
		g := f
		g.onDay(class)
		storm := class == site.StormWater
		if g.Dose.Concentration != want || (g.Low == 0 && g.High == 0) != storm || g.FedADay.OK == storm || g.Usual.OK != storm || storm &&
			(g.Usual.V != 20 || g.DoseAt.Cell != "F4") {
			t.Errorf("%s: %+v", class, g)
		}
		near(t, "of the usual", float64(g.OfUsual()), map[bool]float64{true: 0.4, false: 1}[storm], 1e-12)
	}
	g := FeedInput{Usual: quantity.Some[quantity.Concentration](0.2), Dose: quantity.Dose{Concentration: 0.5}}
	near(t, "of little", float64(g.OfUsual()), 0.4, 1e-12)
	g.Dose.Concentration = 0
	near(t, "of none", float64(g.OfUsual()), 1, 0)
}
