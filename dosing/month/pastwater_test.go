package month

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestPastWatersOfAMonth: past tests of 10 to 160 NTU that give 2·√NTU mg/L. March of 12 m3/h has 31 days of 288 m3; 10 % of its days
// are storms, so 3.1 x 288 = 892.8 m3, and 8035.2 m3 usual water of 36 NTU at 12 mg/L. A storm of 144 NTU takes 24 mg/L; of 400 NTU,
// which no test reaches, it is counted at the 2·√160 = 25.2982 mg/L of the dirtiest tested, not at 12, and the month says so; where the
// row states a dose for storms that stands.
func TestPastWatersOfAMonth(t *testing.T) {
	const text = `
place: {name: works, purpose: other, water_passes: once through, date: "2026-03-02"}
water: {turbidity: "36 NTU", turbidity_in_a_storm: "STORM", storm_days: "10 %"}
flow: {average_flow: "12 m3/h"}
chemicals: [{name: alum, product: alum-liquid, basis: as product, bench_sheet: past, target: turbidity <= 5 NTU}]
`
	past := dosing.PastTests{Tests: 9, Raw: 36, Low: 10, High: 160}
	past.Dose = func(v quantity.Cloudiness) (quantity.Concentration, bool) {
		return quantity.Concentration(2 * math.Sqrt(float64(v))), v >= past.Low && v <= past.High
	}
	for _, x := range []struct {
		storm, row string
		dose       float64
		beyond     bool
	}{
		{"144 NTU", "", 24, false},
		{"400 NTU", "", 2 * math.Sqrt(160), true},
		{"400 NTU", ", dose_in_storm_water: 40 mg/L", 40, false},
	} {
		s := read(t, strings.Replace(strings.Replace(text, "STORM", x.storm, 1), ", bench_sheet", x.row+", bench_sheet", 1))
		g := dosing.Given{Catalogue: product.Default(), Bench: map[int]dosing.BenchDose{0: {Dose: quantity.Dose{Concentration: 12, Basis: quantity.AsProduct}, Past: &past}}}
		p, notes, err := FromSite(s, Options{Given: g, Draws: 100})
		if err != nil {
			t.Fatal(err)
		}
		b, err := Make(p)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := float64(b.Accounts[0].Wanted), (8035.2*12+892.8*x.dose)/1000; math.Abs(got-want) > 1e-6 {
			t.Errorf("%s%s: %v kg, by hand %v", x.storm, x.row, got, want)
		}
		var beyond, waters string
		for _, n := range notes {
			switch {
			case n.Code == "storm-beyond-tests" && n.Level == note.Caution:
				beyond = n.Message
			case n.Code == "past-waters":
				waters = n.Message
			}
		}
		if (beyond != "") != x.beyond || x.beyond && !strings.Contains(beyond, "25.3 mg/L") {
			t.Errorf("%s%s: %q", x.storm, x.row, beyond)
		}
		for _, want := range []string{"usual days are counted at 12 mg/L, for water of 36 NTU", "storm days at", "for " + x.storm} {
			if !strings.Contains(waters, want) {
				t.Errorf("%s%s: no %q in %q", x.storm, x.row, want, waters)
			}
		}
	}
}
