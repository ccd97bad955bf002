package dosing

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// TestOperatorsExams: printed answers of operators' exams and classes in their own units, and what was worked out of
// problems whose answer is not printed. Two are misprints, which no figure here may come to.
func TestOperatorsExams(t *testing.T) {
	const grain = 17.118061 // mg/L of a grain a US gallon: 64.79891 mg in 3.785411784 L
	mgd := func(v float64) quantity.Flow { return quantity.Flow(v * 3785.411784 / 24) }
	hard := func(text string) float64 {
		v, err := quantity.Parse[quantity.Concentration](text)
		if err != nil {
			t.Fatal(err)
		}
		return float64(v)
	}
	for _, x := range []struct {
		what, source             string
		got, want, within, wrong float64
	}{
		{"100 mg/L of hardness in grains", "operator exam page: 5.85", quantity.Concentration(100).In("gpg"), 5.842, 0.01, 0},
		{"8.8 grains in mg/L", "class handout: 150", hard("8.8 gpg"), 8.8 * grain, 0.01, 0},
		{"10 mg/L in grains", "the same, which prints 10.0", quantity.Concentration(10).In("gpg"), 0.584, 0.001, 10},
		{"1.2 ppm in 1.5 MGD, lb/d", "the same: 15", Use(1.2, mgd(1.5), 24).In("lb/d"), 15.01, 0.02, 0},
		{"alum, 2.5 mg/L in 3.25 MGD, lb/d", "the same (answer computed)", Use(2.5, mgd(3.25), 24).In("lb/d"), 67.8, 0.05, 0},
		{"alum, 1.8 mg/L in 13.5 MGD, lb/d", "the same (answer computed)", Use(1.8, mgd(13.5), 24).In("lb/d"), 202.7, 0.1, 0},
		{"alum, 12 mg/L in 1.3 MGD, lb/d", "the same (answer computed)", Use(12, mgd(1.3), 24).In("lb/d"), 130.1, 0.1, 0},
		{"230 mg of polymer in 100 mL, mg/mL", "Virginia course page: 2.3", float64(concentrationIn(massOf(t, "230 mg"), volumeOf(t, "100 mL"))) / 1000, 2.3, 1e-9, 0},
		{"10 gpm, 20 mg/L, 640 mg/mL, mL/min", "by hand: 10 x 20 x 3.7854/640", RateFor(20, mgd(10*1440/1e6), 640000).In("mL/min"), 1.1829, 0.0001, 0},
		{"1 lb/MG, mg/L", "by hand: 1/8.345", hard("1 lb/Mgal"), 1 / 8.3454, 0.0001, 0},
	} {
		if !(math.Abs(x.got-x.want) <= x.within) || x.wrong != 0 && math.Abs(x.got-x.wrong) < 1 {
			t.Errorf("%s (%s): %.5g, want %g", x.what, x.source, x.got, x.want)
		}
	}
}
