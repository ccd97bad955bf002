package book

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// The sheet of a trial: a row for each dose, looks up to its end, what none dead of a group proves (1 − 0.05^(1/n): 25.9 % of ten, 13.9 % of
// twenty), and how many animals prove a share (11, 29, 59).
func TestAnimalTrial(t *testing.T) {
	for name, c := range map[string]struct {
		x    AnimalTrial
		want map[string]string // by cell
		says []string
		not  string
	}{
		"doses": {AnimalTrial{Chemical: "polyamine", Basis: quantity.AsProduct, Doses: []quantity.Concentration{0, 1, 2.5}},
			map[string]string{"A12": "Group", "B12": "Dose (mg/L)", "D12": "Dead at 1 h", "I12": "Dead at 96 h", "J12": "Remark", "A13": "control", "B13": "0", "C13": "10", "B14": "1", "B15": "2.5", "C15": "10",
				"B7": "polyamine", "B8": "as product"}, []string{"fewer than 25.9 % die", "each ten times the one before", "Use the fewest animals", "Local rules"}, ""},
		"blank": {AnimalTrial{}, map[string]string{"A13": "control", "B14": "", "C18": "10"}, nil, ""},
		"water": {AnimalTrial{Water: true, Animals: 20, Hours: 24}, map[string]string{"A11": "control (new water)", "A12": "tank water", "B11": "20", "B10": "Animals", "C10": "Dead at 1 h", "E10": "Dead at 24 h", "F10": "Remark"},
			[]string{"20 in a group, of which none dies, prove that fewer than 13.9 % die"}, "each ten times the one before"},
	} {
		b := New(Meta{})
		if err := c.x.Write(b); err != nil {
			t.Fatal(err)
		}
		f := opened(t, b)
		for at, want := range c.want {
			if got := cellOf(t, f, "Trial", at); got != want {
				t.Errorf("%s: %s is %q, want %q", name, at, got, want)
			}
		}
		var all strings.Builder
		for _, sheet := range f.GetSheetList() {
			rows, err := f.GetRows(sheet)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range rows {
				all.WriteString(strings.Join(r, " ") + "\n")
			}
		}
		for _, want := range append(c.says, "11 prove with 95 % confidence that fewer than 25 % die", "29 prove with 95 % confidence that fewer than 10 % die", "59 prove with 95 % confidence that fewer than 5 % die",
			"more than one in ten controls died") {
			if !strings.Contains(strings.Join(strings.Fields(all.String()), " "), want) {
				t.Errorf("%s lacks %q", name, want)
			}
		}
		if c.not != "" && strings.Contains(all.String(), c.not) {
			t.Errorf("%s says %q", name, c.not)
		}
	}
	for name, x := range map[string]AnimalTrial{"animals": {Animals: TrialMost + 1}, "doses": {Doses: make([]quantity.Concentration, 21)}, "hours": {Hours: 30*24 + 1}} {
		if x.Write(New(Meta{})) == nil {
			t.Errorf("%s is taken", name)
		}
	}
}
