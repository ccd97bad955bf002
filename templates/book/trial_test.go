package book

import (
	"strings"
	"testing"

	"jarwright/dosing/caution"
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
				"B7": "polyamine", "B8": "as product"}, []string{"fewer than 25.9 % die", "each ten times the one before", "Use the fewest animals", "Local rules", "Look after 1, 6, 24, 48, 72 and 96 hours. Write", "A group in which half are dead"}, caution.Unfit},
		"blank": {AnimalTrial{}, map[string]string{"A13": "control", "B14": "", "C18": "10"}, nil, ""},
		"water": {AnimalTrial{Water: true, Animals: 20, Hours: 24}, map[string]string{"A11": "control (new water)", "A12": "tank water", "B11": "20", "B10": "Animals", "C10": "Dead at 0.25 h", "D10": "Dead at 1 h", "F10": "Dead at 24 h", "G10": "Remark"},
			[]string{"20 in a group, of which none dies, prove that fewer than 13.9 % die", "Look after " + caution.LooksSaid(caution.Looks) + ". Write", "One in the tank water that " + caution.Unfit + ": take all out"}, "each ten times the one before"},
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

// The log of a run: times worked out of 60 m3 and 12 m3/h at 60 % (a time constant of 8.33 h: 0, 4.5, 8.5, 13.5, 20, 27, 35, 43.5 h, see the tests of
// dosing/clearing), which give way to the watch; a page for each run, volumes in the reader's units, and 1.645 × 5.24 % as what it will tell.
func TestUnitTrial(t *testing.T) {
	for name, c := range map[string]struct {
		x    UnitTrial
		want map[string]string // by sheet and cell
		says []string
		not  string
	}{
		"two runs": {UnitTrial{Name: "May", Runs: []string{"with 0.2 mg/L polymer", "without polymer"}, Volume: 60000, Flow: 12, Goal: "10 NTU", Reads: "NTU"},
			map[string]string{"Run 1!A20": "By the watch", "Run 1!B20": "Time (h)", "Run 1!C20": "Tank (NTU)", "Run 1!B21": "0", "Run 1!B22": "4.5", "Run 1!B28": "43.5", "Run 1!B29": "", "Run 1!B8": "60", "Run 1!C8": "m3", "Run 1!B9": "12", "Run 1!B10": "",
				"Run 2!B10": "0", "Run 2!B6": "without polymer", "Run 1!B14": "running", "Run 1!B15": "10 NTU", "Run 1!B5": "May"},
			[]string{"the capture will be known to about ± 9 % of itself", "Where a pass takes out 60 %, what can come out falls to 37 % in 8.33 h", "CAUTION: Animals in the tank", "write by-passed at Unit"}, "are worked out where"},
		"bare": {UnitTrial{}, map[string]string{"Run 1!C20": "Tank (NTU)", "Run 1!B21": "", "Run 1!B6": ""}, []string{"are worked out where volume and flow are given"}, "Why these times"},
		"US":   {UnitTrial{Volume: 60000, Flow: 12, System: quantity.US, Reads: "mg/L", Expect: 0.3}, map[string]string{"Run 1!C8": "gal", "Run 1!C9": "gpm", "Run 1!C20": "Tank (mg/L)", "Run 1!B22": "9"}, []string{"falls to 37 % in 16.7 h"}, ""}, // 60/(12·0.3); half of it, up to a whole hour
		"done": {UnitTrial{Volume: 60000, Flow: 12, Done: []DoneRun{{Polymer: 0.2, Float: 78, Dry: 3.1, At: []float64{0, 5}, Tank: []float64{80, 46}}}}, map[string]string{"Run 1!B10": "0.2", "Run 1!B16": "78", "Run 1!B17": "3.1", "Run 1!B22": "5", "Run 1!C22": "46"}, nil, ""},
	} {
		b := New(Meta{})
		if err := c.x.Write(b); err != nil {
			t.Fatal(err)
		}
		f := opened(t, b)
		for at, want := range c.want {
			sheet, cell, _ := strings.Cut(at, "!")
			if got := cellOf(t, f, sheet, cell); got != want {
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
		for _, want := range c.says {
			if !strings.Contains(all.String(), want) {
				t.Errorf("%s lacks %q", name, want)
			}
		}
		if c.not != "" && strings.Contains(all.String(), c.not) {
			t.Errorf("%s says %q", name, c.not)
		}
	}
	for name, x := range map[string]UnitTrial{"runs": {Runs: make([]string, 9)}, "capture": {Expect: 1.2}, "reads": {Reads: "FAU"}} {
		if x.Write(New(Meta{})) == nil {
			t.Errorf("%s is taken", name)
		}
	}
}
