package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestOwnBenchSheetReadsBack writes our own bench sheet, fills it in as a program
// would (formulas keep their old values), and wants the same test back: doses from
// the planned column, or from the stock that was really added.
func TestOwnBenchSheetReadsBack(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "bench.xlsx")
	by("new", "bench", "FILE", "--name", "Beck Monday", "--chemical", "alum", "--basis", "as alum 14-hydrate",
		"--stock", "10 g/L", "--jar-volume", "1 L", "--doses", "0,10,20,30,40,50 mg/L", "--target", "turbidity <= 5 NTU")(t, file)
	f := opened(t, contents(t, file))
	head, raw := 0, ""
	eachCell(t, f, func(sheet, at, v string) {
		col, row, err := excelize.CellNameToCoordinates(at)
		switch {
		case err != nil:
			t.Fatal(err)
		case sheet != "Bench":
		case col == 1 && v == "Jar":
			head = row
		case v == "Raw turbidity":
			raw, _ = excelize.CoordinatesToCellName(col+2, row)
		}
	})
	if head == 0 || raw == "" {
		t.Fatal("no table or raw water in the bench sheet")
	}
	changes := map[string]any{raw: 61, fmt.Sprintf("D%d", head+3): 2.5} // the third jar got more than planned
	for i, v := range []any{55.0, 30.0, 12.0, 4.1, "<3", 3.4} {
		changes[fmt.Sprintf("F%d", head+1+i)] = v
		changes[fmt.Sprintf("H%d", head+1+i)] = 7.5 - 0.1*float64(i)
	}
	fillIn(t, f, changes, file)
	var doc struct {
		Series []benchRead
		Notes  []struct{ Level, Code string }
	}
	answered(t, &doc, "read", file)
	if len(doc.Series) != 1 || len(doc.Series[0].Jars) != 6 {
		t.Fatalf("got %+v", doc)
	}
	got := doc.Series[0]
	if got.Name != "Beck Monday" || got.Chemicals[0].Name != "alum" || got.Chemicals[0].Basis != "as alum 14-hydrate" || got.Raw["turbidity"] != 61 ||
		len(got.Targets) != 1 || got.Targets[0] != "turbidity <= 5 NTU" || !got.Jars[0].Control {
		t.Errorf("name %q, chemicals %v, raw %v, targets %v", got.Name, got.Chemicals, got.Raw, got.Targets)
	}
	for i, want := range []float64{0, 10, 25, 30, 40, 50} {
		if d := got.Jars[i].Doses["alum"]; d != want {
			t.Errorf("jar %d: dose %v, want %v", i+1, d, want)
		}
	}
	if x := got.Jars[4].Readings["turbidity"]; x.Below == nil || *x.Below != 3 {
		t.Errorf("<3 came back as %+v", x)
	}
	for _, n := range doc.Notes {
		if n.Level == "caution" && n.Code != "old-formula-value" || n.Level == "error" {
			t.Errorf("%s %s", n.Level, n.Code)
		}
	}
}

// What every jar gets of a polymer has its line on the sheet of a plant that doses one behind its coagulant, and comes back as the dose of
// each jar; 0, as it is written, is none, and where the polymer is what is tested there is no such line.
func TestPolymerOfEveryJarComesBack(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plant := filepath.Join(dir, "site.yaml")
	if err := os.WriteFile(plant, []byte(`place: {name: Ferrybank, purpose: drinking water, water passes: once through}
flow: {average_flow: 25 m3/h}
chemicals:
  - {name: PACl, product: pacl-10, basis: as product}
  - {name: polymer, product: apam-dry, basis: as product}
`), 0o600); err != nil {
		t.Fatal(err)
	}
	lineOf := func(f *excelize.File) (at string) {
		eachCell(t, f, func(sheet, cell, v string) {
			if sheet == "Bench" && v == "Polymer to each jar" {
				at = "B" + cell[1:]
			}
		})
		return at
	}
	for _, dosed := range []float64{0, 0.2} {
		file := filepath.Join(dir, fmt.Sprintf("bench%g.xlsx", dosed))
		by("new", "bench", "FILE", "--site", plant, "--chemical", "PACl", "--basis", "as product", "--doses", "0,10,14,18,22,30 mg/L")(t, file)
		f := opened(t, contents(t, file))
		at, head := lineOf(f), 0
		eachCell(t, f, func(sheet, cell, v string) {
			if _, row, _ := excelize.CellNameToCoordinates(cell); sheet == "Bench" && v == "Jar" && cell[0] == 'A' {
				head = row
			}
		})
		if at == "" || head == 0 {
			t.Fatalf("polymer at %q, table at %d", at, head)
		}
		changes := map[string]any{}
		if dosed > 0 {
			changes[at] = dosed
		}
		for i, v := range []float64{55, 30, 12, 4.1, 3, 3.4} {
			changes[fmt.Sprintf("F%d", head+1+i)] = v
		}
		fillIn(t, f, changes, file)
		var doc struct {
			Series []benchRead
			Notes  []struct{ Level, Code, Message string }
		}
		answered(t, &doc, "read", file)
		if len(doc.Series) != 1 || len(doc.Series[0].Jars) != 6 {
			t.Fatalf("%+v", doc)
		}
		for i, want := range []float64{0, 10, 14, 18, 22, 30} {
			if j := doc.Series[0].Jars[i]; j.Doses["PACl"] != want || j.Doses["polymer"] != dosed {
				t.Errorf("%g: jar %d got %v", dosed, i+1, j.Doses)
			}
		}
		for _, n := range doc.Notes {
			if n.Level == "caution" && n.Code != "old-formula-value" || n.Level == "error" {
				t.Errorf("%g: %s %s: %s", dosed, n.Level, n.Code, n.Message)
			}
		}
	}
	file := filepath.Join(dir, "polymer.xlsx")
	by("new", "bench", "FILE", "--site", plant, "--chemical", "polymer", "--basis", "as product", "--doses", "0,0.1,0.2,0.3,0.4,0.5 mg/L")(t, file)
	if at := lineOf(opened(t, contents(t, file))); at != "" {
		t.Errorf("a test of polymer asks for it at %s", at)
	}
}

// fillIn writes values into the jars' sheet of a workbook and saves it.
func fillIn(t *testing.T, f *excelize.File, values map[string]any, file string) {
	t.Helper()
	for at, v := range values {
		if err := f.SetCellValue("Bench", at, v); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.SaveAs(file); err != nil {
		t.Fatal(err)
	}
}
