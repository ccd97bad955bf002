package main

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"github.com/xuri/excelize/v2"
)

// filledUnitTrial is the log of two runs as people fill it in: the first by the watch, a day and a clock, the second at the times of
// the sheet; set A of the tests of dosing/clearing, and a run by-passed.
func filledUnitTrial(t *testing.T, dir string) string {
	t.Helper()
	blank, filled := filepath.Join(dir, "blank-unit.xlsx"), filepath.Join(dir, "filled-unit.xlsx")
	by("new", "trial", "FILE", "--of", "unit", "--name", "tank in May", "--volume", "60 m3", "--flow", "12 m3/h", "--run", "with 0.2 mg/L polymer", "--run", "by-passed", "--to", "10 NTU")(t, blank)
	changes := map[string]any{"Run 1!B7": "2026-05-04", "Run 1!B16": 200, "Run 1!B17": 3, "Run 2!B14": "by-passed"}
	for i, v := range []float64{80, 46, 27, 16.5, 11, 6.1, 4.6} {
		at := []float64{0, 5, 10, 15, 20, 30, 40}[i]
		changes[fmt.Sprintf("Run 1!A%d", 21+i)] = 46146.25 + at/24 // 2026-05-04 06:00
		changes[fmt.Sprintf("Run 1!B%d", 21+i)] = at               // as a spreadsheet program works it out
		changes[fmt.Sprintf("Run 1!C%d", 21+i)] = v
	}
	changes["Run 1!F23"] = "wind"
	for i, v := range []float64{20, 20.1, 19.9, 20} {
		changes[fmt.Sprintf("Run 2!C%d", 21+i)] = v
	}
	edited(t, blank, filled, changes)
	return filled
}

// unitTrialReadsBack reads the filled sheet: E 59.75 % and Cb 3.972 NTU (tests of dosing/clearing); 6 kg in the bin.
func unitTrialReadsBack(t *testing.T, saved string) {
	t.Helper()
	var doc struct {
		Name string
		Runs []struct {
			Name, Outcome, Date string
			Capture, Floor      struct{ Value float64 }
			Polymer, Volume     struct{ Value float64 }
			TimeTo              struct{ Value float64 } `json:"time_to"`
			Closure             struct{ Weighed struct{ Value float64 } }
			Readings            []struct{ At, Tank struct{ Value float64 } }
		}
		Notes []struct{ Code, Message string }
	}
	answered(t, &doc, "trial", saved)
	if len(doc.Runs) != 2 || doc.Runs[0].Outcome != "found" || doc.Runs[1].Outcome != "blank" || len(doc.Runs[0].Readings) != 7 || len(doc.Runs[1].Readings) != 4 {
		t.Fatalf("%+v", doc)
	}
	x := doc.Runs[0]
	for what, v := range map[string][2]float64{"capture": {x.Capture.Value, 59.75}, "floor": {x.Floor.Value, 3.972}, "to 10 NTU": {x.TimeTo.Value, math.Log((80.05-3.972)/(10-3.972)) / 0.11949},
		"weighed": {x.Closure.Weighed.Value, 6}, "polymer": {x.Polymer.Value, 0.2}, "volume": {x.Volume.Value, 60}, "last": {x.Readings[6].At.Value, 40}, "planned": {doc.Runs[1].Readings[1].At.Value, 4.5}} {
		if math.Abs(v[0]-v[1]) > 0.001*v[1] {
			t.Errorf("%s %v, want %v", what, v[0], v[1])
		}
	}
	if x.Date != "2026-05-04" || x.Name != "with 0.2 mg/L polymer" || len(doc.Notes) != 0 {
		t.Errorf("%+v %+v", x, doc.Notes)
	}
}

func TestFilledUnitTrial(t *testing.T) { unitTrialReadsBack(t, filledUnitTrial(t, t.TempDir())) }

// A sheet of which only the readings are filled in is called by its run and its file, and none in the cell of a dose is none; a sheet asked for in US units has them as they were given.
func TestUnitTrialWithoutWords(t *testing.T) {
	dir := t.TempDir()
	blank, filled, us := filepath.Join(dir, "blank.xlsx"), filepath.Join(dir, "filled.xlsx"), filepath.Join(dir, "us.xlsx")
	by("new", "trial", "FILE", "--of", "unit", "--volume", "60 m3", "--flow", "12 m3/h")(t, blank)
	changes := map[string]any{"Run 1!B10": "none", "Run 1!B11": "none"}
	for i, h := range []float64{0, 4.5, 8.5, 13.5, 20, 27, 35, 43.5} { // C = 4 + 76·exp(−0.6·12·t/60)
		changes[fmt.Sprintf("Run 1!B%d", 21+i)] = h
		changes[fmt.Sprintf("Run 1!C%d", 21+i)] = math.Round(100*(4+76*math.Exp(-0.12*h))) / 100
	}
	for _, who := range []string{"", "night shift"} {
		if who != "" {
			changes["Run 1!B18"] = who
		}
		edited(t, blank, filled, changes)
		var doc struct {
			Runs []struct {
				Polymer, Coagulant *struct{ Value float64 }
				Capture            struct{ Value float64 }
			}
			Enter struct{ Trial string }
		}
		answered(t, &doc, "trial", filled)
		if len(doc.Runs) != 1 || doc.Runs[0].Polymer == nil || doc.Runs[0].Coagulant == nil || doc.Runs[0].Polymer.Value+doc.Runs[0].Coagulant.Value != 0 || math.Abs(doc.Runs[0].Capture.Value-60) > 0.1 ||
			doc.Enter.Trial != "Run 1, filled.xlsx" {
			t.Errorf("%q: %+v", who, doc)
		}
	}
	by("new", "trial", "FILE", "--of", "unit", "--volume", "15850 gal", "--flow", "52.83 gpm")(t, us)
	f, err := excelize.OpenFile(us)
	if err != nil {
		t.Fatal(err)
	}
	for cell, want := range map[string]string{"B8": "15850", "C8": "gal", "B9": "52.83", "C9": "gpm"} {
		if got, err := f.GetCellValue("Run 1", cell); err != nil || got != want {
			t.Errorf("%s: %q, %v, want %s", cell, got, err, want)
		}
	}
}
