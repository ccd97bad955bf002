package main

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"
)

// pumpedBy are the fields of which a slip gives another dose, another stock or another bill: all that is pumped by.
var pumpedBy = regexp.MustCompile(`^(dose\w*|fed_a_day|strength|density|basicity|monomer|product_in_stock|ageing|life|largest_rate|rate|speed|volume_drawn|` +
	`average_flow|least_flow|peak_flow|flow_at_20_ma|hours_a_day|solids_caught|float_or_sludge_solids|price|pack)$`)

// noHarm are slips of those that stay quiet, and why nobody is hurt by them.
var noHarm = map[string]string{
	"life 0.1": "the stock is made up more often, as the list says",
	"life 10":  "a coagulant's thin stock keeps for days; a polymer's is asked about",
}

// TestSlipsOfWhatIsPumpedSpeak: of ten ordinary sites each number by which something is pumped, ten and a thousand times too large and too small, and
// each share as a fraction: an error, a stop or a question that the site itself has not.
func TestSlipsOfWhatIsPumpedSpeak(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: some hundreds of plans")
	}
	files, err := filepath.Glob("testdata/ordinary/*.yaml")
	if err != nil || len(files) != 10 {
		t.Fatalf("%d sites, %v", len(files), err)
	}
	slips, quiet := 0, map[string]bool{}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "site.yaml")
		_, before, ok := plannedSite(t, file, text)
		if !ok {
			t.Fatalf("%s cannot be planned", name)
		}
		for _, m := range typedNumber.FindAllSubmatchIndex(text, -1) {
			field, number, unit := string(text[m[2]:m[3]]), string(text[m[4]:m[5]]), string(text[m[6]:m[7]])
			v, err := strconv.ParseFloat(number, 64)
			if err != nil || v == 0 || !pumpedBy.MatchString(field) {
				continue
			}
			for _, times := range []float64{10, 0.1, 1000, 0.001, 0.01} {
				if times == 0.01 && unit != " %" {
					continue
				}
				slips++
				slip := slices.Concat(text[:m[4]], strconv.AppendFloat(nil, v*times, 'g', 10, 64), text[m[5]:])
				if _, after, ok := plannedSite(t, file, slip); !ok || graverThan(before, after) {
					continue
				}
				what := field + " " + strconv.FormatFloat(times, 'g', -1, 64)
				if quiet[what] = true; noHarm[what] == "" {
					t.Errorf("%s: %s %s%s, %g times: nothing speaks", filepath.Base(name), field, number, unit, times)
				}
			}
		}
	}
	if slips < 400 {
		t.Errorf("%d slips: this looks at too little", slips)
	}
	for what := range noHarm {
		if !quiet[what] {
			t.Errorf("%s speaks", what)
		}
	}
}
