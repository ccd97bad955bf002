package product

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestGoodsAsPublished: strength and density of goods as their sources print them, with the range that the table allows: Hendricks 2011,
// table F.2, p. 840 for liquid alum; density tables (Perry) for ferric chloride; GB/T 14591-2016, table 1 for polyferric sulfate; an
// industry standard for polyferric chloride; chemical dictionaries for potash alum. Zero is no density.
func TestGoodsAsPublished(t *testing.T) {
	for _, x := range []struct {
		id                                     string
		strength, low, high, density, dLo, dHi float64
	}{
		{"alum-liquid", 48.5, 48, 49, 1.335, 1.333, 1.337},
		{"ferric-chloride", 40, 38, 42, 1.415, 1.41, 1.42},
		{"polyferric", 11, 11, 13, 1.45, 1.45, 1.5},
		{"polyferric-dry", 19.5, 19.5, 22, 0, 0, 0},
		{"polyferric-chloride", 10, 8, 12, 1.28, 1.20, 1.35},
		{"potash-alum", 99.5, 99, 100, 0, 0, 0},
		{"pacl-10", 10, 9.5, 11, 1.20, 1.18, 1.22},
	} {
		p, err := Default().Find(x.id)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, y := range []struct {
			what      string
			got, want float64
		}{{"strength", p.Strength.V.In("%"), x.strength}, {"least", p.Strength.Low.In("%"), x.low}, {"most", p.Strength.High.In("%"), x.high},
			{"density", float64(p.Density.V), x.density}, {"least density", float64(p.Density.Low), x.dLo}, {"most", float64(p.Density.High), x.dHi}} {
			near(t, x.id+" "+y.what, y.got, y.want, 1e-9)
		}
	}
	// 10 mg/L of the dry goods hold so much metal: 19.5 % Fe; 98 % of AlCl3 with six waters, 11.18 % Al.
	for id, want := range map[string]struct {
		as quantity.Basis
		v  float64
	}{"polyferric-dry": {quantity.AsFe, 1.95}, "alcl3-dry": {quantity.AsAl, 9.8 * 0.1118}} {
		p, err := Default().Find(id)
		if err != nil {
			t.Error(err)
			continue
		}
		d, err := Convert(quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}, p, want.as)
		if err != nil {
			t.Error(err)
		}
		near(t, id, float64(d.Concentration), want.v, 0.001)
	}
	// Polyferric chloride of basicity 5 to 30 % takes 2.688 x 0.95 to 2.688 x 0.70 of alkalinity per mg of iron (3 x 50.0435/55.845).
	p, _ := Default().Find("polyferric-chloride")
	used, err := p.AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: quantity.AsFe})
	if err != nil || used < 2.688*0.70 || used > 2.688*0.95 {
		t.Errorf("polyferric chloride takes %v (%v)", used, err)
	}
}

// TestGoodsOfTwoStrengths: names that a liquid and a dry good both bear ask which it is: 19.5 % of iron against 11, and 98 x 11.18 % of
// aluminium against 30 x 20.24 %.
func TestGoodsOfTwoStrengths(t *testing.T) {
	for _, name := range []string{"PFS", "polyferric sulfate", "aluminium chloride", "AlCl3"} {
		if p, err := Default().Find(name); err == nil || p.ID != "" || !strings.Contains(err.Error(), "a kg of one does as much as 1.8 kg of another") {
			t.Errorf("%s is %q, %v", name, p.ID, err)
		}
	}
}
