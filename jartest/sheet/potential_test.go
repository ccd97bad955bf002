package sheet

import (
	"testing"

	"jarwright/jartest"
)

// Millivolts are of many potentials: a column is of zeta potential by its name, or by the unit where
// no other name stands beside it.
func TestPotentials(t *testing.T) {
	for head, want := range map[string]string{
		"ORP (mV)": "orp_mv", "Redox (mV)": "redox_mv", "Eh (mV)": "eh_mv", "rH": "rh", "Redoxpotential (mV)": "redoxpotential_mv", "Potencial redox (mV)": "potencial_redox_mv",
		"氧化还原电位 (mV)": "氧化还原电位_mv", "ОВП (мВ)": "овп_мв", "Potential (mV)": "potential_mv",
		"Zeta (mV)": "zeta", "mV": "zeta", "Result (mV)": "zeta", "Zetapotenzial (mV)": "zeta", "Potencial zeta (mV)": "zeta", "ゼータ電位 (mV)": "zeta",
	} {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU,"+head+"\n1,0,50,20\n2,10,12,21\n3,20,5,24\n", Options{})
		if keys := r.Series[0].Keys(); len(keys) != 2 || string(keys[1]) != want || len(loud(r)) > 0 {
			t.Errorf("%s: %v, want %s; says %v", head, keys, want, loud(r))
		}
	}
	r := mustRead(t, "s.csv", "Raw water ORP,180 mV\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n", Options{})
	if _, ok := r.Series[0].Raw["zeta"]; ok {
		t.Errorf("the raw water's ORP is taken for zeta potential: %v", r.Series[0].Raw)
	}
}

// Streaming current has a sign, and no unit that two instruments share.
func TestStreamingCurrent(t *testing.T) {
	for _, head := range each("Streaming current | Streaming current (SCU) | Streaming current reading | Streaming current (mV) | Strömungsstrom | Courant d'écoulement | Corriente de flujo | 流动电流 | 流動電流 | SCM reading") {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU,"+head+"\n1,0,50,-3.2\n2,10,12,-0.4\n3,20,5,1.6\n", Options{})
		if got := values(r.Series[0], jartest.StreamingCurrent); !equal(got, []float64{-3.2, -0.4, 1.6}) || len(loud(r)) > 0 {
			t.Errorf("%s: %v of %v; says %v", head, got, r.Series[0].Keys(), loud(r))
		}
	}
}
