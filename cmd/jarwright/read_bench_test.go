package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestOwnBenchSheetReadsBack writes our own bench sheet, fills it in as a program
// would (formulas keep their old values), and wants the same test back: doses from
// the planned column, or from the stock that was really added.
func TestOwnBenchSheetReadsBack(t *testing.T) {
	file := filepath.Join(t.TempDir(), "bench.xlsx")
	var out, errs bytes.Buffer
	s := streams{In: bytes.NewReader(nil), Out: &out, Err: &errs, Width: 80}
	if code := run([]string{"new", "bench", file, "--name", "Beck Monday", "--chemical", "alum", "--basis", "as alum 14-hydrate",
		"--stock", "10 g/L", "--jar-volume", "1 L", "--doses", "0,10,20,30,40,50 mg/L", "--target", "turbidity <= 5 NTU"}, s); code != 0 {
		t.Fatalf("new bench: %d %s", code, errs.String())
	}
	f, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	head := 0
	rows, err := f.GetRows("Bench")
	if err != nil {
		t.Fatal(err)
	}
	raw := ""
	for r, row := range rows {
		if len(row) > 4 && row[0] == "Jar" {
			head = r + 1
		}
		for c, x := range row {
			if x == "Raw turbidity" {
				raw, _ = excelize.CoordinatesToCellName(c+3, r+1)
			}
		}
	}
	if head == 0 || raw == "" {
		t.Fatalf("no table or raw water in the bench sheet: %v", rows)
	}
	turb := []any{55.0, 30.0, 12.0, 4.1, "<3", 3.4}
	set := func(col, row int, v any) {
		cell, _ := excelize.CoordinatesToCellName(col, row)
		if err := f.SetCellValue("Bench", cell, v); err != nil {
			t.Fatal(err)
		}
	}
	for i, v := range turb {
		set(6, head+1+i, v)
		set(8, head+1+i, 7.5-0.1*float64(i))
	}
	set(4, head+3, 2.5) // the third jar got more than planned
	if err := f.SetCellValue("Bench", raw, 61); err != nil {
		t.Fatal(err)
	}
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	out.Reset()
	errs.Reset()
	if code := run([]string{"read", "--format", "json", file}, s); code != 0 {
		t.Fatalf("read: %d %s", code, errs.String())
	}
	var doc struct {
		Series []struct {
			Name      string
			Chemicals []struct{ Name, Basis string }
			Raw       map[string]float64
			Targets   []string
			Jars      []struct {
				Doses    map[string]float64
				Readings map[string]map[string]any
				Control  bool
			}
		}
		Notes []struct{ Level, Code string }
	}
	if err := json.Unmarshal(out.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Series) != 1 || len(doc.Series[0].Jars) != 6 {
		t.Fatalf("got %s", out.String())
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
	if x := got.Jars[4].Readings["turbidity"]; x["below"] != 3.0 {
		t.Errorf("<3 came back as %v", x)
	}
	for _, n := range doc.Notes {
		if n.Level == "caution" && n.Code != "old-formula-value" || n.Level == "error" {
			t.Errorf("%s %s", n.Level, n.Code)
		}
	}
	if _, err := os.Stat(file); err != nil {
		t.Error(err)
	}
}
