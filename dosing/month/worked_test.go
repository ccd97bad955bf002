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

// TestAlkaliByWeights: what alkali a dose needs and what precipitates. The problems are
// of textbook kind, read without a printed answer; the answers follow from atomic weights
// alone (IUPAC 2021, the constants below): a mole of alum takes six of alkalinity, one of
// FeCl3 three; a mole of CaO gives two, one of NaOH one.
func TestAlkaliByWeights(t *testing.T) {
	const (
		al, fe, ca, na, s, cl, c, o, h = 26.982, 55.845, 40.078, 22.990, 32.06, 35.45, 12.011, 15.999, 1.008
		alum                           = 2*al + 3*(s+4*o) + 14*(2*h+o)
		caO, naOH, caCO3               = ca + o, na + o + h, ca + c + 3*o
		ferric, hydroxide              = fe + 3*cl, al + 3*(o+h)
	)
	for _, x := range []struct {
		what, coagulant string
		basis           quantity.Basis
		dose            quantity.Concentration
		alkali          string
		counts          quantity.Basis
		raw, keep       quantity.Alkalinity
		want, within    float64 // mg/L of the alkali's pure substance
	}{
		{"110 mg/L alum, alkalinity 20: CaO", "alum-liquid", quantity.AsAlum14, 110, "quicklime", quantity.AsCaO, 20, 0, (6*110/alum - 2*20/caCO3) / 2 * caO, 0.02},
		{"41 mg/L alum, alkalinity 10: NaOH", "alum-liquid", quantity.AsAlum14, 41, "caustic-50", quantity.AsNaOH, 10, 0, (6*41/alum - 2*10/caCO3) * naOH, 0.02},
		{"40 mg/L FeCl3 held: NaOH", "ferric-chloride", quantity.AsFeCl3, 40, "caustic-50", quantity.AsNaOH, 90, 90, 3 * 40 / ferric * naOH, 0.02},
		{"40 mg/L FeCl3 held: CaO", "ferric-chloride", quantity.AsFeCl3, 40, "quicklime", quantity.AsCaO, 90, 90, 3 * 40 / ferric / 2 * caO, 0.02},
	} {
		alkali := chemicalOf(t, x.alkali, x.counts, 0)
		alkali.Balance = &day.Balance{Raw: x.raw, Keep: x.keep, PerCaCO3: -1 / alkali.AlkalinityUse}
		r := day.Record{Treated: 1e6, Chemicals: []day.Chemical{chemicalOf(t, x.coagulant, x.basis, x.dose), alkali}}
		a := r.Account()
		if got := float64(a.Per(a.Uses[1].Dosed)); math.Abs(got-x.want) > x.within {
			t.Errorf("%s: %g mg/L, worked out %g", x.what, got, x.want)
		}
	}
	// Two moles of plain Al(OH)3 of one of alum; 32 MGD are 121,133 m3/d (3.785411784 L a gallon).
	r := day.Record{Treated: 1e6, Chemicals: []day.Chemical{chemicalOf(t, "alum-liquid", quantity.AsAlum14, 110)}}
	if got := float64(r.Account().Dry.Low); math.Abs(got-110*2*hydroxide/alum) > 0.01 {
		t.Errorf("110 mg/L alum: %g kg of Al(OH)3 in 1000 m3, worked out %g", got, 110*2*hydroxide/alum)
	}
	q, err := quantity.Parse[quantity.Flow]("32 MGD")
	if err != nil {
		t.Fatal(err)
	}
	r.Treated, r.Chemicals[0].Dose.Concentration = quantity.Volume(float64(q)*24*1000), 41
	if got := float64(r.Account().Dry.Low); math.Abs(got-41*2*hydroxide/alum*32*3785.411784/1000) > 0.5 {
		t.Errorf("41 mg/L alum at 32 MGD: %g kg/d of Al(OH)3, worked out %g", got, 41*2*hydroxide/alum*32*3785.411784/1000)
	}
}

// TestWeekWorkedOffInFiveDays: sludge of 80,000 L a day on seven days, worked off in
// five, is 112,000 L a working day (UFC 3-280-03, 2003, design example 2, pages 119-126).
func TestWeekWorkedOffInFiveDays(t *testing.T) {
	near(t, "a working day", float64(RoughMonth(80000, 7, 1))/5, 112000)
}

// TestLiquidAlumByItsDensity: a pump supplier's table, "Properties of liquid alum" (dry alum
// of 17 % Al2O3), interpolates to 651.3 g/L at 1.335 kg/L, between 640.938 at 1.3303 and 668.078 at
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
