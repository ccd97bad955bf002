package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// benchRead is a series as read tells it.
type benchRead struct {
	Name      string
	Chemicals []struct{ Name, Basis string }
	Raw       map[string]float64
	Targets   []string
	Jars      []struct {
		Label    string
		Doses    map[string]float64
		Readings map[string]struct {
			Value, Below *float64
			Replicates   []json.RawMessage
		}
		Control bool
	}
}

// filledBench fills a bench sheet in as a technician would.
func filledBench(t *testing.T, dir string) string {
	t.Helper()
	blank, filled := filepath.Join(dir, "blank.xlsx"), filepath.Join(dir, "filled.xlsx")
	by("new", "bench", "FILE", "--name", "Storm", "--chemical", "alum", "--basis", "as product", "--stock", "10 g/L", "--jar-volume", "1 L",
		"--doses", "0,10,20,30,40,50,60 mg/L", "--target", "turbidity <= 5 NTU")(t, blank)
	changes := map[string]any{"Bench!H5": 45, "Bench!H6": 7.4, "Bench!H7": 62, "Bench!H8": 9, "Bench!B6": "2026-03-02", "Bench!B7": "A. N. Other",
		"Bench!H11": 120, "Bench!H12": 60, "Bench!H13": 30, "Bench!H14": 15, "Bench!H15": 20,
		"Bench!D21": 3.1} // the fourth jar got 3.1 mL instead of 3
	for i, v := range [][3]any{{41.5, 42.5, 7.4}, {29.1, 29.9, 7.2}, {13, 13.4, 7.1}, {4.8, 5.0, 7.0}, {2.3, 2.5, 6.9}, {2.2, 2.2, 6.8}, {"<2", 2.8, 6.7}} {
		for k, x := range v {
			changes[fmt.Sprintf("Bench!%c%d", 'F'+k, 18+i)] = x
		}
	}
	edited(t, blank, filled, changes)
	return filled
}

// readsBack reads the filled sheet as LibreOffice saved it: doses come from the
// millilitres that were drawn, repeats stay together, a reading below the meter's
// limit stays one.
func readsBack(t *testing.T, saved string) {
	t.Helper()
	if dir := os.Getenv("JARWRIGHT_LOOK"); dir != "" {
		write(t, filepath.Join(dir, "filled.xlsx"), contents(t, saved))
	}
	var doc struct{ Series []benchRead }
	answered(t, &doc, "read", saved)
	if len(doc.Series) != 1 {
		t.Fatalf("%d series, want 1: %+v", len(doc.Series), doc)
	}
	s := doc.Series[0]
	if s.Name != "Storm" || len(s.Chemicals) != 1 || s.Chemicals[0].Basis != "as product" {
		t.Errorf("series %q of %v", s.Name, s.Chemicals)
	}
	if len(s.Jars) != 7 {
		t.Fatalf("%d jars, want 7", len(s.Jars))
	}
	for i, want := range []float64{0, 10, 20, 31, 40, 50, 60} {
		for name, got := range s.Jars[i].Doses {
			if math.Abs(got-want) > 1e-9 {
				t.Errorf("jar %d got %g mg/L of %s, want %g", i+1, got, name, want)
			}
		}
		if s.Jars[i].Control != (want == 0) {
			t.Errorf("jar %d: control %t", i+1, s.Jars[i].Control)
		}
	}
	if r := s.Jars[1].Readings["turbidity"]; len(r.Replicates) != 2 || r.Value == nil || math.Abs(*r.Value-29.5) > 1e-9 {
		t.Errorf("second jar's turbidity: %+v", r)
	}
	if r := s.Jars[3].Readings["ph"]; r.Value == nil || *r.Value != 7 {
		t.Errorf("fourth jar's pH: %+v", r)
	}
	for key, want := range map[string]float64{"turbidity": 45, "ph": 7.4, "alkalinity": 62, "temperature": 9} {
		if got := s.Raw[key]; got != want {
			t.Errorf("raw %s is %v, want %g", key, got, want)
		}
	}
	// The sheet states its own target, so fit needs none.
	if _, errs, code := program(t, "fit", saved); code != exitDone {
		t.Errorf("fit ended with %d: %s", code, errs)
	}
	// And the next sheet goes on from it.
	next := filepath.Join(t.TempDir(), "next.xlsx")
	if _, errs, code := program(t, "new", "bench", next, "--from", saved, "--jars", "8"); code != exitDone {
		t.Fatalf("new bench --from ended with %d: %s", code, errs)
	}
	cells := cells(t, next)
	if cells["Bench!B11"] != "alum" || cells["Bench!B12"] != "as product" || cells["Bench!B13"] != "10" || cells["Bench!B8"] != "turbidity <= 5 NTU" {
		t.Errorf("carried over: %q %q %q %q", cells["Bench!B11"], cells["Bench!B12"], cells["Bench!B13"], cells["Bench!B8"])
	}
	if v, err := strconv.ParseFloat(cells["Bench!B19"], 64); err != nil || v <= 10 || v >= 60 {
		t.Errorf("next doses begin %q, %q", cells["Bench!B18"], cells["Bench!B19"])
	}
}
