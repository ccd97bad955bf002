package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// needTool gives the path of a program that a test uses. Where it is missing the
// test is skipped, or fails if the named variable says that it must be there.
func needTool(t *testing.T, must string, names ...string) string {
	t.Helper()
	if testing.Short() {
		t.Skip("-short: no other program")
	}
	for _, n := range names {
		if p, err := exec.LookPath(n); err == nil {
			return p
		}
	}
	if os.Getenv(must) == "1" {
		t.Fatalf("%s is not installed, and %s=1 asks for it", names[0], must)
	}
	t.Skipf("%s is not installed", names[0])
	return ""
}

// program runs the whole program in this process and gives what it printed and its exit code.
func program(t *testing.T, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(args, streams{In: strings.NewReader(""), Out: &out, Err: &errs, Width: 80, NoColor: true})
	return out.String(), errs.String(), code
}

// answer runs the program, which must come to an end with an answer, even if that
// is that no dose can be recommended.
func answer(t *testing.T, args ...string) string {
	t.Helper()
	out, errs, code := program(t, args...)
	if code != exitDone && code != exitNoAnswer {
		t.Fatalf("%v ended with %d: %s", args, code, errs)
	}
	return out
}

// answered takes the JSON of an answer apart.
func answered(t *testing.T, into any, args ...string) {
	t.Helper()
	out, errs, code := program(t, append(args, "--format", "json")...)
	if code != exitDone {
		t.Fatalf("%v ended with %d: %s", args, code, errs)
	}
	if err := json.Unmarshal([]byte(out), into); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
}

// by makes a workbook by a command line; FILE in it stands for the workbook.
func by(args ...string) func(t *testing.T, file string) {
	return func(t *testing.T, file string) {
		t.Helper()
		full := slices.Clone(args)
		for i, a := range args {
			if a == "FILE" {
				full[i] = file
			}
		}
		answer(t, full...)
	}
}

// saved makes a workbook of what a function gives.
func saved(data func(t *testing.T) []byte) func(t *testing.T, file string) {
	return func(t *testing.T, file string) {
		t.Helper()
		write(t, file, data(t))
	}
}

func write[T ~[]byte | ~string](t *testing.T, file string, data T) {
	t.Helper()
	if err := os.WriteFile(file, []byte(data), 0o644); err != nil {
		t.Fatal(err)
	}
}

func contents(t *testing.T, file string) []byte {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// demoInputs writes the workbooks that the demo starts from into a folder.
func demoInputs(t *testing.T, dir string) {
	t.Helper()
	e := &env{streams: streams{Out: io.Discard, Err: io.Discard}}
	if err := os.MkdirAll(filepath.Join(dir, "past"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := e.demoInputs(func(name string) string { return filepath.Join(dir, name) }); err != nil {
		t.Fatal(err)
	}
}

// opened opens a workbook for the time of the test.
func opened(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// values reads every cell of a workbook as it is stored, "Sheet!B4" to text, and its formulas.
func values(t *testing.T, file string) (stored, formulas map[string]string) {
	t.Helper()
	return valuesOf(t, opened(t, contents(t, file)))
}

func valuesOf(t *testing.T, f *excelize.File) (stored, formulas map[string]string) {
	t.Helper()
	stored, formulas = map[string]string{}, map[string]string{}
	under := map[string]bool{} // cells of a merged one but its first, to which the library lends its formula
	for _, sheet := range f.GetSheetList() {
		merged, err := f.GetMergeCells(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range merged {
			left, top, err := excelize.CellNameToCoordinates(m.GetStartAxis())
			right, foot, err2 := excelize.CellNameToCoordinates(m.GetEndAxis())
			if err != nil || err2 != nil {
				t.Fatal(err, err2)
			}
			for n := range (right - left + 1) * (foot - top + 1) {
				at, _ := excelize.CoordinatesToCellName(left+n%(right-left+1), top+n/(right-left+1))
				under[sheet+"!"+at] = n > 0
			}
		}
	}
	eachCell(t, f, func(sheet, at, v string) {
		if v != "" {
			stored[sheet+"!"+at] = v
		}
		fx, err := f.GetCellFormula(sheet, at)
		if err != nil {
			t.Fatal(err)
		}
		if fx != "" && !under[sheet+"!"+at] {
			formulas[sheet+"!"+at] = fx
		}
	})
	return stored, formulas
}

// cells reads the cells alone.
func cells(t *testing.T, file string) map[string]string {
	t.Helper()
	return cellsOf(t, opened(t, contents(t, file)))
}

func cellsOf(t *testing.T, f *excelize.File) map[string]string {
	t.Helper()
	out := map[string]string{}
	eachCell(t, f, func(sheet, at, v string) {
		if v != "" {
			out[sheet+"!"+at] = v
		}
	})
	return out
}

// eachCell goes through the cells of a workbook as they are stored.
func eachCell(t *testing.T, f *excelize.File, look func(sheet, at, value string)) {
	t.Helper()
	for _, s := range f.GetSheetList() {
		rows, err := f.GetRows(s, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, v := range row {
				at, err := excelize.CoordinatesToCellName(c+1, r+1)
				if err != nil {
					t.Fatal(err)
				}
				look(s, at, v)
			}
		}
	}
}

// edited writes a copy of a workbook with some cells changed, as a user would change them.
func edited(t *testing.T, file, to string, changes map[string]any) {
	t.Helper()
	f := opened(t, contents(t, file))
	for at, v := range changes {
		i := strings.LastIndexByte(at, '!')
		if err := f.SetCellValue(at[:i], at[i+1:], v); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.SaveAs(to); err != nil {
		t.Fatal(err)
	}
}
