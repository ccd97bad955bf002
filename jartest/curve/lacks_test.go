package curve

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// sheetOf is alum on turbid water that clears as 60 exp(−d/12) + 1, and clouds again past a dose.
func sheetOf(raw float64, jars float64, clouds float64, doses ...float64) jartest.Series {
	s := jartest.Series{Name: "s", Chemicals: []jartest.Chemical{{Name: "alum"}}, Raw: map[jartest.Key]jartest.Reading{}}
	if raw > 0 {
		s.Raw[jartest.TemperatureKey] = jartest.Num(raw, "C")
	}
	for i, d := range doses {
		v := (60*math.Exp(-d/12) + 1 + math.Max(0, d-clouds)*0.4) * (1 + 0.02*math.Sin(float64(3*i)))
		j := jartest.Jar{Doses: []jartest.JarDose{{Known: true}}, Control: d == 0, Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(v, "NTU")}}}
		j.Doses[0].Concentration = quantity.Concentration(d)
		if jars > 0 {
			j.Readings.Set(jartest.TemperatureKey, jartest.Num(jars, "C"))
		}
		s.Jars = append(s.Jars, j)
	}
	return s
}

// TestOnlyWhatASheetLacksIsNamed: of each sheet what a teacher of jar tests misses in it (common practice, no source). 5 NTU is met at
// 12 ln(60/4) = 32.5 mg/L.
func TestOnlyWhatASheetLacksIsNamed(t *testing.T) {
	target, err := jartest.ParseTarget("turbidity <= 5 NTU")
	if err != nil {
		t.Fatal(err)
	}
	for name, x := range map[string]struct {
		s    jartest.Series
		want string // codes
		says string
	}{
		"nothing":        {sheetOf(8, 9, 50, 0, 10, 20, 28, 34, 34, 42, 50, 65), "", ""},
		"no control":     {sheetOf(8, 9, 50, 10, 20, 28, 34, 34, 42, 50, 65), "no-control-jar", "nobody sees"},
		"no repeat":      {sheetOf(8, 9, 50, 0, 10, 20, 28, 34, 42, 50, 65), "no-repeat-jar", "other benches"},
		"one gap":        {sheetOf(8, 9, 50, 0, 10, 18, 24, 44, 44, 55, 62), "doses-apart", "between the doses 24.0 mg/L and 44.0 mg/L"},
		"few near":       {sheetOf(8, 9, 60, 0, 2, 4, 8, 12, 28, 28, 36, 80), "few-jars-near", "only 2 of the tested doses"},
		"no temperature": {sheetOf(0, 0, 50, 0, 10, 20, 28, 34, 34, 42, 50, 65), "raw-temperature-missing", "cold water"},
		"warm jars":      {sheetOf(4, 15, 50, 0, 10, 20, 28, 34, 34, 42, 50, 65), "jars-not-as-cold", "the jars stood at 15 C, the raw water at 4 C"},
		"two degrees":    {sheetOf(8, 10, 50, 0, 10, 20, 28, 34, 34, 42, 50, 65), "", ""},
	} {
		r := Analyse(x.s, []jartest.Target{target}, Options{})
		var codes, says []string
		for _, n := range r.Lacks {
			codes, says = append(codes, n.Code), append(says, n.Message)
		}
		slices.Sort(codes)
		if strings.Join(codes, " ") != x.want || !strings.Contains(strings.Join(says, "; "), x.says) || r.Outcome != Found {
			t.Errorf("%s: %s, %q", name, r.Outcome, says)
		}
	}
}
