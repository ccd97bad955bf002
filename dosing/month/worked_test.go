package month

import (
	"math"
	"testing"

	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// chemicalOf is a product of the catalogue on a basis, pure where the basis is its substance.
func chemicalOf(t *testing.T, id string, b quantity.Basis, dose quantity.Concentration) day.Chemical {
	t.Helper()
	p, err := product.Default().Find(id)
	if err != nil {
		t.Fatal(err)
	}
	e, _, err := day.EffectsOf(p, id, b)
	if err != nil {
		t.Fatal(err)
	}
	return day.Chemical{Name: id, Dose: quantity.Dose{Concentration: dose, Basis: b}, Effects: e}
}

// TestAlkaliOfTextbooks: what alkali a dose needs and what precipitates. The problems are
// textbook-type, read without a printed answer; the answers are worked out by formula
// weights: Al 26.982, Al(OH)3 78.004, alum 594.35, FeCl3 162.20, CaO 56.08, NaOH 40.00.
func TestAlkaliOfTextbooks(t *testing.T) {
	for _, x := range []struct {
		what, coagulant string
		basis           quantity.Basis
		dose            quantity.Concentration
		alkali          string
		counts          quantity.Basis
		raw, keep       quantity.Alkalinity
		want, within    float64 // mg/L of the alkali's pure substance
	}{
		{"110 mg/L alum, alkalinity 20: CaO", "alum-liquid", quantity.AsAlum14, 110, "quicklime", quantity.AsCaO, 20, 0, 19.95, 0.1},
		{"41 mg/L alum, alkalinity 10: NaOH", "alum-liquid", quantity.AsAlum14, 41, "caustic-50", quantity.AsNaOH, 10, 0, 8.57, 0.05},
		{"40 mg/L FeCl3 held: NaOH", "ferric-chloride", quantity.AsFeCl3, 40, "caustic-50", quantity.AsNaOH, 90, 90, 29.6, 0.05},
		{"40 mg/L FeCl3 held: CaO", "ferric-chloride", quantity.AsFeCl3, 40, "quicklime", quantity.AsCaO, 90, 90, 20.7, 0.05},
	} {
		alkali := chemicalOf(t, x.alkali, x.counts, 0)
		alkali.Balance = &day.Balance{Raw: x.raw, Keep: x.keep, PerCaCO3: -1 / alkali.AlkalinityUse}
		r := day.Record{Treated: 1e6, Chemicals: []day.Chemical{chemicalOf(t, x.coagulant, x.basis, x.dose), alkali}}
		a := r.Account()
		if got := float64(a.Per(a.Uses[1].Dosed)); math.Abs(got-x.want) > x.within {
			t.Errorf("%s: %g mg/L, worked out %g", x.what, got, x.want)
		}
	}
	// Precipitate of 110 mg/L alum as plain Al(OH)3: 28.88 mg/L; of 41 mg/L at 32 MGD: 1304 kg/d.
	r := day.Record{Treated: 1e6, Chemicals: []day.Chemical{chemicalOf(t, "alum-liquid", quantity.AsAlum14, 110)}}
	if got := float64(r.Account().Dry.Low); math.Abs(got-28.88) > 0.05 {
		t.Errorf("110 mg/L alum: %g kg of Al(OH)3 in 1000 m3, worked out 28.88", got)
	}
	q, err := quantity.Parse[quantity.Flow]("32 MGD")
	if err != nil {
		t.Fatal(err)
	}
	r.Treated, r.Chemicals[0].Dose.Concentration = quantity.Volume(float64(q)*24*1000), 41
	if got := float64(r.Account().Dry.Low); math.Abs(got-1304) > 2 {
		t.Errorf("41 mg/L alum at 32 MGD: %g kg/d of Al(OH)3, worked out 1304", got)
	}
}

// TestWeekWorkedOffInFiveDays: sludge of 80,000 L a day on seven days, worked off in
// five, is 112,000 L a working day (UFC 3-280-03, 2003, design example 2, pages 119-126).
func TestWeekWorkedOffInFiveDays(t *testing.T) {
	near(t, "a working day", float64(RoughMonth(80000, 7, 1))/5, 112000)
}

// TestLiquidAlumByItsDensity: a supplier's table of liquid alum (dry alum of 17 % Al2O3)
// interpolates to 651.3 g/L at 1.335 kg/L, between 640.938 at 1.3303 and 668.078 at
// 1.3426. The catalogue's 48.5 % as alum 14-hydrate at that density agrees within 1 %.
func TestLiquidAlumByItsDensity(t *testing.T) {
	table := 640.938 + (668.078-640.938)*(1.335-1.3303)/(1.3426-1.3303)
	near(t, "the table", math.Round(table*10)/10, 651.3)
	p, err := product.Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	share, err := p.StrengthAs(quantity.AsAl2O3)
	if err != nil {
		t.Fatal(err)
	}
	own := float64(share) / 0.17 * float64(p.Density.V) * 1000 // g/L of alum with 17 % Al2O3
	if p.Density.V != 1.335 || math.Abs(own/table-1) > 0.01 {
		t.Errorf("%v kg/L: %g g/L, by the table %g", p.Density.V, own, table)
	}
}
