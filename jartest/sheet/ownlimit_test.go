package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
)

// A cell that has a limit or a value of its own takes no number from the cell below it; a name does.
func TestWhatHasItsNumberTakesNoOther(t *testing.T) {
	const table = "\nAlum (mg/L),Turbidity (NTU)\n0,61\n10,25\n20,9\n30,3\n"
	for _, x := range []struct {
		above string
		raw   float64
		told  string // the target
	}{
		{"Target,turbidity <= 10 NTU\nStock strength,10,g/L\nRaw turbidity,140,NTU\n", 140, "turbidity <= 10 NTU"},
		{"Ziel,Trübung < 8 NTU\nTrübung Rohwasser,140,NTU\n", 140, "turbidity <= 8 NTU"},
		{"Target,turbidity ≤ 4 NTU\nJar volume,2,L\nRaw turbidity,96,NTU\n", 96, "turbidity <= 4 NTU"},
		{"Raw turbidity 46 NTU,Raw pH 7\n10,12\n", 46, ""},
		{"Raw turbidity,Raw pH\n46,7\n", 46, ""},
	} {
		r := readText(t, x.above+table)
		s := r.Series[0]
		if got := s.Raw[jartest.Turbidity]; got.Value != x.raw {
			t.Errorf("%q: raw turbidity %v", x.above, got)
		}
		var targets []string
		for _, g := range s.Targets {
			targets = append(targets, g.String())
		}
		if got := strings.Join(targets, "; "); got != x.told {
			t.Errorf("%q: target %q, want %q", x.above, got, x.told)
		}
		for _, n := range r.Notes {
			if n.Code == "raw-conflict" || strings.Contains(n.Message, "disagree") {
				t.Errorf("%q: %v", x.above, n)
			}
		}
	}
}

// What a line of a CSV says of the raw water is read with its commas, where rows have none with a blank.
func TestSentenceWithCommas(t *testing.T) {
	const table = "\nAlum (mg/L),Turbidity (NTU)\n0,61\n10,25\n20,9\n30,3\n"
	for line, want := range map[string]float64{
		"Raw: turbidity 63 NTU, temperature 9 C": 9, "Raw: turbidity 63 NTU, beck in spate, 9 C": 9, "Raw water: 63 NTU, pH 7.2, temp 11 C": 11,
	} {
		s := readText(t, "Test\n"+line+"\n"+table).Series[0]
		if c := s.Raw[jartest.TemperatureKey]; c.Value != want || s.Raw[jartest.Turbidity].Value != 63 {
			t.Errorf("%q: %v", line, s.Raw)
		}
	}
	for title, want := range map[string]string{"Jar test, upper pond": "Jar test, upper pond", "Beck, March": "Beck, March"} {
		if s := readText(t, title+"\n"+table).Series[0]; !strings.Contains(s.Name, want) {
			t.Errorf("title %q: %q", title, s.Name)
		}
	}
	// Headings with a blank behind their comma are headings, names with their value stay cells.
	s := readText(t, "Test\nAlum (mg/L), Turbidity (NTU)\n0,61\n10,25\n20,9\n30,3\n").Series[0]
	if len(s.Jars) != 4 {
		t.Errorf("%+v", s.Jars)
	}
	if s := readText(t, "Test\nTarget, 5 NTU\n"+table).Series[0]; len(s.Targets) != 1 {
		t.Errorf("targets %v", s.Targets)
	}
}
