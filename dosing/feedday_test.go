package dosing

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// TestDayOfOtherWater: in storm water a feed goes by the dose for it, asked about at its own cell,
// of which what is fed on a usual day says nothing: 250 lb/d into 3 MGD are 9.99 mg/L, not 4000.
func TestDayOfOtherWater(t *testing.T) {
	s := exampleSite(t, func(v site.Values) {
		v["Flow"] = []map[string]string{{"average flow": "3 MGD"}}
		v["Chemicals"] = []map[string]string{{"name": "alum", "product": "alum-liquid", "fed a day": "250 lb/d", "basis": "as alum 14-hydrate",
			"dose in storm water": "4000 mg/L"}}
		v["Prices"] = nil
	})
	p := planOf(t, s, Given{Catalogue: products, Class: site.StormWater})
	f := p.Feeds[0]
	if got := float64(f.OfUsual()); got < 0.0024963 || got > 0.0024964 { // 9.98553 / 4000
		t.Errorf("the usual dose is %g of the storm's", got)
	}
	slips := p.doseSlips(s)
	i := slices.IndexFunc(slips, func(n note.Note) bool { return strings.Contains(n.Message, "4000 mg/L") })
	if i < 0 || strings.Contains(slips[i].Message, "fed a day") || slips[i].Place != s.Chemicals[0].Storm.At {
		t.Errorf("%v", slips)
	}
}

// TestAlkaliOfAStormDay, by hand: 30 mg/L CaCO3 in the water, 20 to be left, a day of storm water that takes 80 mg/L of alum 14-hydrate in
// place of 30. Each mg of alum takes 6 x 50.04 / 594.34 = 0.5052 mg of it (Al2(SO4)3 + 6 HCO3-), each of soda ash gives 2 x 50.04 / 105.99 =
// 0.9443: 5.46 mg/L of soda ash on a usual day, 32.2 on that of the storm.
func TestAlkaliOfAStormDay(t *testing.T) {
	s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: mill, purpose: wastewater, water_passes: once through}
flow: {average_flow: "10 m3/h", hours_a_day: "10 h"}
water: {alkalinity: "30 mg/L", alkalinity_to_leave: "20 mg/L"}
chemicals:
  - {name: alum, product: alum-liquid, dose: "30 mg/L", basis: as alum 14-hydrate, dose_in_storm_water: "80 mg/L"}
  - {name: soda, product: soda-ash, basis: as Na2CO3}
`))
	if err != nil {
		t.Fatal(err)
	}
	for class, want := range map[string]float64{"": (30*0.50517 - 10) / 0.94424, site.ClearWater: (30*0.50517 - 10) / 0.94424, site.StormWater: (80*0.50517 - 10) / 0.94424} {
		in, err := FromSite(s, Given{Catalogue: products, Class: class})
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "soda ash in "+class+" water", float64(p.Feeds[1].Dose.Concentration), want, 2e-3*want)
		near(t, "a day of it, kg", float64(p.Feeds[1].Product), want*100/1000/float64(p.Feeds[1].Stock.Product.Strength.V), 5e-3*want)
	}
}
