package main

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"
)

// filledTrial is the sheet of a trial as people fill it in: doses that double, 0, 0, 1, 4, 8 dead of ten after a day and
// 0, 1, 4, 8, 10 after four; the highest not counted any more once all were dead.
func filledTrial(t *testing.T, dir string) string {
	t.Helper()
	blank, filled := filepath.Join(dir, "blank-trial.xlsx"), filepath.Join(dir, "filled-trial.xlsx")
	by("new", "trial", "FILE", "--of", "animals", "--name", "ponds in May", "--chemical", "floc aid", "--animal", "mud crab", "--basis", "as product", "--doses", "0,1,2,4,8,16 mg/L")(t, blank)
	changes := map[string]any{"Trial!B9": "2026-05-04", "Trial!J15": "net left in for an hour"}
	for i, dead := range [][4]any{{0, 0, 0, 0}, {0, 0, 0, 0}, {0, 0, 1, 1}, {1, 2, 3, 4}, {4, 6, 8, 8}, {8, 9, 10, nil}} {
		for k, n := range dead {
			if n != nil {
				changes[fmt.Sprintf("Trial!%c%d", 'F'+k, 13+i)] = n // under 24, 48, 72 and 96 h
			}
		}
	}
	edited(t, blank, filled, changes)
	return filled
}

// trialReadsBack reads the filled sheet: the figures of the five doses after four days, see the tests of bioassay.
func trialReadsBack(t *testing.T, saved string) {
	t.Helper()
	var doc struct {
		Animals struct {
			Trials []struct {
				Name, Chemical, Animal, Counts string
				Readings                       []struct {
					At     struct{ Value float64 }
					LC50   struct{ Value, Low, High float64 }
					Groups []struct{ Dead, Animals int }
				}
			}
		}
		Notes []struct{ Code string }
	}
	answered(t, &doc, "trial", saved)
	if len(doc.Animals.Trials) != 1 || len(doc.Animals.Trials[0].Readings) != 4 {
		t.Fatalf("%+v", doc)
	}
	x := doc.Animals.Trials[0]
	last := x.Readings[3]
	if x.Name != "ponds in May" || x.Chemical != "floc aid" || x.Animal != "mud crab" || x.Counts != "as product" || last.At.Value != 96 {
		t.Errorf("%+v", x)
	}
	if math.Abs(last.LC50.Value-4.594793) > 1e-5 || math.Abs(last.LC50.Low-3.346551) > 1e-5 || math.Abs(x.Readings[0].LC50.Value-9.332232) > 1e-5 || last.Groups[4].Dead != 10 {
		t.Errorf("%+v", x.Readings)
	}
	if len(doc.Notes) != 1 || doc.Notes[0].Code != "all-dead-earlier" {
		t.Errorf("notes %v", doc.Notes)
	}
}

// TestFilledTrial reads the filled sheet as it is; TestOffice as an office suite saved it.
func TestFilledTrial(t *testing.T) { trialReadsBack(t, filledTrial(t, t.TempDir())) }

// liveRestock is the workbook of a return to stock, and as it is once all its inputs were changed.
func liveRestock(t *testing.T) []liveBook {
	t.Helper()
	args := func(left, limit, volume, flow, drain string, more ...string) []string {
		return append([]string{"restock", "--residual", left, "--limit", limit, "--volume", volume, "--flow", flow, "--drain", drain, "-o", "FILE"}, more...)
	}
	const sheet = "Change it!B"
	changes := func(values ...float64) map[string]any {
		out := map[string]any{}
		for i, v := range values {
			out[fmt.Sprint(sheet, 5+i)] = v
		}
		return out
	}
	return []liveBook{
		{name: "restock", formulas: 5, write: by(args("17 mg/L", "0.0271 mg/L", "60 m3", "6 m3/h", "50 %")...), changes: changes(0.652, 0.00271, 90, 80, 9),
			anew:   by(args("0.652 mg/L", "0.00271 mg/L", "80 m3", "9 m3/h", "90 %")...),
			expect: map[string]float64{sheet + "12": math.Log(0.652 / 0.00271), sheet + "13": 3, sheet + "15": 216}},
		{name: "restock-none", formulas: 5, write: by(args("17 mg/L", "0.0271 mg/L", "60 m3", "6 m3/h", "50 %")...), changes: changes(0.01),
			expect: map[string]float64{sheet + "12": 0, sheet + "13": 0}},
		{name: "restock-us", formulas: 5, write: by(args("17 mg/L", "0.0271 mg/L", "16000 gal", "25 gpm", "75 %", "--units", "us")...),
			changes: changes(4, 1, 50, 20000, 30), expect: map[string]float64{sheet + "12": math.Log(4), sheet + "13": 2, sheet + "16": math.Log(4) * 20000 / 30 / 60}},
	}
}
