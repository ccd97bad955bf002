package restock

import (
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// answered is what brings the animals of a site back.
func answered(t *testing.T, text string) Answer {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	a, err := FromSite(s, dosing.Given{Catalogue: product.Default()}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Animals come back to what calls for no care, never to what only stops a dose. A pond of acid water with 12 mg/L of alum, 1.09 mg/L Al, read at pH 6.0 after it, of
// hardness 50 and DOC 1: the acute criterion of 0.21 mg/L stops, and 0.11, the chronic one, is the line (US EPA 2018, EPA-822-R-18-001): ln(1.09/0.11) = 2.29 volumes and not 1.65.
// Without the hardness the line is that of the worst that is plausible, 10: 0.047 mg/L at DOC 1.
func TestAnimalsComeBackToTheLineOfCareInAcidWater(t *testing.T) {
	for hardness, x := range map[string]struct{ line, volumes float64 }{"hardness: 50 mg/L, ": {0.11, 2.29}, "": {0.047, 3.14}} {
		a := Make(answered(t, `place: {name: Moor pond, purpose: animals, water_passes: standing, example_values: "no"}
water: {temperature: 7 C, pH: 6.2, alkalinity: 120 mg/L CaCO3, pH_of_the_chosen_jar: 6.0, `+hardness+`DOC: 1 mg/L, salinity: 0 g/kg}
chemicals: [{name: alum, product: alum-dry, dose: 12 mg/L, basis: as alum 14-hydrate}]
ponds: [{name: pond, size: 60 m3}]
animals: [{name: trout, species: rainbow trout, stage: fry, reached: never}]
`))
		r := a.Residues[0]
		if r.As != "Al" || !r.Limit.OK || math.Abs(float64(r.Limit.V)/x.line-1) > 1e-9 || !r.Criterion || !strings.HasPrefix(r.Why.String(), "chronic criterion") || r.Stop.OK && r.Stop.V <= r.Limit.V {
			t.Errorf("%q: %+v", hardness, r)
		}
		if math.Abs(float64(a.Needs)-x.volumes) > 0.01 {
			t.Errorf("%q: %v volumes", hardness, a.Needs)
		}
	}
}

// What a residual's limit is, by what is known of it: care, else what it is judged by, but for a line that stops; then nobody is told a line.
func TestLimitOfAResidual(t *testing.T) {
	c := func(v float64) quantity.Known[quantity.Concentration] {
		return quantity.Some(quantity.Concentration(v))
	}
	none := quantity.Known[quantity.Concentration]{}
	for name, x := range map[string]struct {
		r    caution.Residual
		want quantity.Known[quantity.Concentration]
	}{
		"care and stop":       {caution.Residual{Limit: c(0.4), StopAt: c(0.4), CareAt: c(0.1)}, c(0.1)},
		"a stop alone":        {caution.Residual{Limit: c(0.4), StopAt: c(0.4)}, none},
		"a limit below it":    {caution.Residual{Limit: c(0.2), StopAt: c(0.4)}, c(0.2)},
		"a limit and no more": {caution.Residual{Limit: c(0.2)}, c(0.2)},
		"nothing":             {caution.Residual{}, none},
	} {
		x.r.LimitName = note.Say("what it is judged by")
		got := of(x.r)
		if got.Limit != x.want || got.Stop != x.r.StopAt || (got.Why.Format != "") != (x.want.OK && x.want.V == x.r.Limit.V) {
			t.Errorf("%s: %v, want %v", name, got.Limit, x.want)
		}
	}
}

// A limit of the reader's own is taken, as stated; above what stops a dose it is doubted.
func TestLimitThatIsGiven(t *testing.T) {
	for limit, doubted := range map[quantity.Concentration]bool{0.02: true, 0.009: false, 0.001: false} {
		a := Answer{Residues: []Residue{{Chemical: "polymer", Left: 9, Stop: quantity.Some(quantity.Concentration(0.009)), Borrowed: true, Criterion: true}}}
		a.Bears(limit)
		r := a.Residues[0]
		if r.Limit.V != limit || r.Why.String() != "as stated" || r.Borrowed || r.Criterion || (len(a.Notes) == 1) != doubted {
			t.Errorf("%v: %+v, %v", limit, r, a.Notes)
		}
		if doubted && (a.Notes[0].Level != note.Caution || !strings.Contains(a.Notes[0].Message, "0.02 mg/L, is above the 0.009 mg/L")) {
			t.Errorf("%v", a.Notes)
		}
	}
}
