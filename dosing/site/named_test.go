package site

import (
	"bytes"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestNamed: answers that name their fields make the site that they say, fields that no question asks for among them:
// a bench sheet, how sure, the rows of a drawdown joined to the pump; what stays blank takes its default or is missing.
func TestNamed(t *testing.T) {
	var f ShortForm
	for _, line := range []string{"Place | water passes | batch", "Place | purpose | other", "Flow | average flow | 3.6", "Tanks, tank | volume | 40", "Tanks, stock tank | volume | 36 L",
		"Chemicals | name | alum", "Chemicals | basis | as alum 14-hydrate", "Chemicals | dose | 12.5", "Chemicals | how sure | 19 in 20", "Chemicals | target | turbidity <= 5 NTU | 4 NTU",
		"Drawdown, 2 | speed | 80 %", "Drawdown, 2 | volume | 47.3 mL", "Drawdown, 2 | time | 120 s", "Drawdown, 1 | speed | 20 %", "Drawdown, 1 | rate | 5.6 mL/min", "Water | pH |"} {
		if _, err := f.Named(line); err != nil {
			t.Errorf("%s: %v", line, err)
		}
	}
	f.Blank()
	var b bytes.Buffer
	if err := WriteYAML(&b, f.Finish()); err != nil {
		t.Fatal(err)
	}
	s, err := Read("site.yaml", &b)
	if err != nil {
		t.Fatalf("%v\n%v", err, f.Values)
	}
	c := s.Chemicals[0]
	if s.Flow.Average.V.In("m3/h") != 3.6 || c.Dose.V != 12.5 || c.Basis.V != "as alum 14-hydrate" || c.Sure.V != 0.95 || c.Target.V != "turbidity <= 5 NTU | 4 NTU" || c.Pump.V != s.Pumps[0].Name.V {
		t.Errorf("%+v", c)
	}
	if len(s.Tanks) != 2 || s.Tanks[0].Volume.V != 40_000 || s.Tanks[1].Volume.V != 36 {
		t.Errorf("tanks %+v", s.Tanks)
	}
	if len(s.Drawdown) != 2 || s.Drawdown[1].Volume.V.In("mL") < 47.2 || s.Drawdown[0].Pump.V != s.Pumps[0].Name.V {
		t.Errorf("drawdown %+v", s.Drawdown)
	}
	if s.Place.Name.V != "Our plant" || len(f.Missing) == 0 {
		t.Errorf("%q, missing %d", s.Place.Name.V, len(f.Missing))
	}
}

// TestNamedWrong: what is no line, sheet, field, row or value is refused, and nothing of it is taken.
func TestNamedWrong(t *testing.T) {
	for line, says := range map[string]string{"Pumps | larges rate | 1 L/h": "largest rate", "Plant | name | x": "no sheet", "Drawdown, 0 | speed | 5 %": "no row 0", "Drawdown, 101 | speed | 5 %": "no row 101",
		"Place, 2 | name | x": "no row 2", "Chemicals | strength | 485 %": "485 %", "Chemicals | how sure | 100 %": "from 50 to 99 %", "Drawdown, 1 | time | soon": "soon"} {
		f := ShortForm{Units: quantity.Metric}
		if _, err := f.Named(line); err == nil || !strings.Contains(err.Error(), says) || len(f.Values) > 0 {
			t.Errorf("%s: %v, %v", line, err, f.Values)
		}
	}
	if Names("Place, 3 | name") || Names("12.5 mg/L | as | x") || !Names("Tanks, tank | volume | 40 m3") {
		t.Error("a line that names its field is taken for another, or another for it")
	}
}
