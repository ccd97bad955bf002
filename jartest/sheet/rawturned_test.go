package sheet

import (
	"math"
	"testing"

	"jarwright/jartest"
)

// A line of the raw water over jars across has its unit in the cell behind its number; the row of a jar's
// own readings has none there.
func TestRawLineOverJarsAcross(t *testing.T) {
	const jars = "Jar #;1;2;3;4;5;6\nAlum as product, mg/L;5;10;15;20;25;30\nSettled turb, NTU;12;6.1;2.2;0.9;0.7;0.8\n"
	for line, want := range map[string]struct {
		key   jartest.Key
		value float64
	}{
		"Raw temp;54;°F":           {jartest.TemperatureKey, 12.222},
		"Raw UV254;12;1/m":         {"uv254", 0.12},
		"Raw alk;3;°dH":            {"alkalinity", 53.54},
		"Raw turb;22.5;NTU":        {"turbidity", 22.5},
		"Raw alk;48;mg/L as CaCO3": {"alkalinity", 48},
		"Raw residual Al;20;µg/L":  {jartest.ResidualAl, 0.02},
		"Raw aluminium;20;µg/L":    {jartest.ResidualAl, 0.02},
		"Raw temp;12":              {jartest.TemperatureKey, 12},
	} {
		r := mustRead(t, "s.csv", "Cedar Fork works\n"+line+"\n"+jars, Options{})
		got := r.Series[0].Raw[want.key]
		if math.Abs(got.Value-want.value) > 0.001*want.value || len(r.Series[0].Jars) != 6 {
			t.Errorf("%s: %+v, says %v", line, r.Series[0].Raw, r.Notes)
		}
	}
	r := mustRead(t, "s.csv", "Cedar Fork works\nRaw turbidity;40;FAU\n"+jars, Options{})
	if _, ok := r.Series[0].Raw["turbidity"]; ok || told(r, "not-ntu")+told(r, "raw-unit") == 0 {
		t.Errorf("FAU: %+v, says %v", r.Series[0].Raw, r.Notes)
	}
	for line, want := range map[string]float64{"Raw aluminium,20,µg/L": 0.02, "Raw aluminium,0.2,mg/L": 0.2} {
		r := mustRead(t, "s.csv", line+"\nJar,Alum as product (mg/L),Turbidity (NTU)\n1,0,40\n2,10,22\n3,20,9\n", Options{})
		if got := r.Series[0].Raw[jartest.ResidualAl].Value; got != want {
			t.Errorf("%s: %v, says %v", line, got, r.Notes)
		}
	}
}
