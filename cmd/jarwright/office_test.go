package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"jarwright/templates/book"
	"jarwright/templates/draw"
)

// needTool gives the path of a program that a test uses. Where it is missing the
// test is skipped, or fails if the named variable says that it must be there.
func needTool(t *testing.T, must string, names ...string) string {
	t.Helper()
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

// office runs LibreOffice with a profile of its own that recalculates every
// formula on loading; without that it would trust the stored values.
type office struct {
	t       *testing.T
	program string
	profile string
}

func newOffice(t *testing.T) *office {
	t.Helper()
	if testing.Short() {
		t.Skip("-short: no spreadsheet program")
	}
	o := &office{t: t, program: needTool(t, "JARWRIGHT_REQUIRE_OFFICE", "soffice", "libreoffice"), profile: t.TempDir()}
	user := filepath.Join(o.profile, "user")
	if err := os.MkdirAll(user, 0o755); err != nil {
		t.Fatal(err)
	}
	settings := `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>`
	if err := os.WriteFile(filepath.Join(user, "registrymodifications.xcu"), []byte(settings), 0o644); err != nil {
		t.Fatal(err)
	}
	return o
}

// convert turns a file into another form and gives the new file's name.
func (o *office) convert(file, form string) string {
	o.t.Helper()
	dir := o.t.TempDir()
	cmd := exec.Command(o.program, "-env:UserInstallation=file://"+o.profile, "--headless", "--convert-to", form, "--outdir", dir, file)
	if out, err := cmd.CombinedOutput(); err != nil {
		o.t.Fatalf("%v: %s", err, out)
	}
	ext, _, _ := strings.Cut(form, ":")
	return filepath.Join(dir, strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))+"."+ext)
}

// values reads every cell of a workbook as it is stored: "Sheet!B4" to text.
func values(t *testing.T, file string) (cells map[string]string, formulas map[string]string) {
	t.Helper()
	f, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	cells, formulas = map[string]string{}, map[string]string{}
	for _, s := range f.GetSheetList() {
		rows, err := f.GetRows(s, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, v := range row {
				a, err := excelize.CoordinatesToCellName(c+1, r+1)
				if err != nil {
					t.Fatal(err)
				}
				if v != "" {
					cells[s+"!"+a] = v
				}
				fx, err := f.GetCellFormula(s, a)
				if err != nil {
					t.Fatal(err)
				}
				if fx != "" {
					formulas[s+"!"+a] = fx
				}
			}
		}
	}
	return cells, formulas
}

// recalculated gives the cells of a workbook after LibreOffice worked them out anew.
func (o *office) recalculated(file string) map[string]string {
	o.t.Helper()
	cells, _ := values(o.t, o.convert(file, "xlsx:Calc MS Excel 2007 XML"))
	return cells
}

// edited writes a copy of a workbook with some cells changed, as a user would change them.
func edited(t *testing.T, file string, changes map[string]any) string {
	t.Helper()
	f, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for at, v := range changes {
		i := strings.LastIndexByte(at, '!')
		if err := f.SetCellValue(at[:i], at[i+1:], v); err != nil {
			t.Fatal(err)
		}
	}
	out := filepath.Join(t.TempDir(), "edited.xlsx")
	if err := f.SaveAs(out); err != nil {
		t.Fatal(err)
	}
	return out
}

// sameNumbers reports that two stored values are equal, numbers to 1e-9 of their size.
func sameNumbers(a, b string) bool {
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	if errX != nil || errY != nil {
		return a == b
	}
	return math.Abs(x-y) <= 1e-9*math.Max(1e-3, math.Max(math.Abs(x), math.Abs(y)))
}

// checkRecalculation compares every stored value of a workbook with what
// LibreOffice works out, and gives how many formulas there were.
func (o *office) checkRecalculation(file string) int {
	o.t.Helper()
	stored, formulas := values(o.t, file)
	fresh := o.recalculated(file)
	var at []string
	for a := range formulas {
		at = append(at, a)
	}
	sort.Strings(at)
	for _, a := range at {
		if stored[a] == "" && fresh[a] != "" {
			o.t.Errorf("%s: %s has no stored value; recalculated %s", filepath.Base(file), a, fresh[a])
		} else if !sameNumbers(stored[a], fresh[a]) {
			o.t.Errorf("%s: %s =%s is stored as %s, recalculated %s", filepath.Base(file), a, formulas[a], stored[a], fresh[a])
		}
	}
	return len(formulas)
}

// look leaves pictures of a workbook's pages in the folder that JARWRIGHT_LOOK
// names, for the eye.
func (o *office) look(file, name string) {
	o.t.Helper()
	dir := os.Getenv("JARWRIGHT_LOOK")
	if dir == "" {
		return
	}
	pdf := o.convert(file, "pdf")
	if out, err := exec.Command("pdftoppm", "-r", "60", "-png", pdf, filepath.Join(dir, name)).CombinedOutput(); err != nil {
		o.t.Fatalf("%v: %s", err, out)
	}
}

// sampleBook is a small workbook that uses everything the builder has.
func sampleBook(t *testing.T, flow float64) []byte {
	t.Helper()
	b := book.New(book.Meta{Title: "Sample", Date: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC), Paper: "a4", Version: "test"})
	s := b.Sheet("Feed: day/night [1]")
	s.Widths(30, 12, 10, 40)
	s.Protect()
	s.Row(book.T(book.Title, "Feed of the day"))
	s.Row(book.T(book.Sub, "An invented trout hatchery on a storm-muddied beck"))
	s.Skip(1)
	h := s.Row(book.T(book.Head, "Item"), book.T(book.Head, "Value"), book.T(book.Head, "Unit"), book.T(book.Head, "Remark"))
	s.Freeze(h, 1)
	s.Repeat(h, h)
	fr := s.Row(book.T(book.Label, "Flow"), book.In(flow, "0.00"), book.T(book.Unit, "m3/h"), book.T(book.Wrap, "Long words that need more than one line in this column, so that the height of the row is worked out and nothing is cut off."))
	dr := s.Row(book.T(book.Label, "Dose as product"), book.In(12.5, "0.0"), book.T(book.Unit, "mg/L"))
	b.Name("Flow_m3_h", s.At(fr, 2))
	b.Name("Dose_mg_L", s.At(dr, 2))
	s.Number(s.At(fr, 2), 0, 1000, "Flow", "Flow to be treated, in m3/h.")
	s.Row(book.T(book.Label, "Product per day"), book.Cell{Kind: book.Result, Formula: "Flow_m3_h*Dose_mg_L*24/1000", Value: flow * 12.5 * 24 / 1000, Format: "0.000"}, book.T(book.Unit, "kg/d"), book.T(book.Caution, "CAUTION: read the safety data sheet first"))
	verdict := "fits"
	if flow > 5 {
		verdict = "too much"
	}
	s.Row(book.T(book.Label, "Verdict"), book.Calc(`IF(Flow_m3_h>5,"too much","fits")`, verdict, ""))
	s.Flag(s.At(dr+2, 2), "$B$5>5", book.Stop)
	basis := s.Row(book.T(book.Label, "Basis"), book.Cell{Kind: book.Input, Value: "as product"})
	s.Choose(s.At(basis, 2), b.List("Basis", []string{"as product", "as Al", "as alum 14-hydrate, dry"}), "Basis", "What the dose counts.", false)
	s.Row(book.T(book.Label, "Hostile"), book.Cell{Kind: book.Value, Value: "=1+1"}, book.Cell{Kind: book.Text, Value: "@SUM(A1)\x07\u202e"})
	s.Row(book.T(book.Label, "Day"), book.Cell{Kind: book.Value, Value: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)})
	d := b.Sheet("Data")
	d.Row(book.T(book.Head, "Dose (mg/L)"), book.T(book.Head, "Turbidity (NTU)"), book.T(book.Head, "± (NTU)"), book.T(book.Head, "Fit (NTU)"))
	for i := range 7 {
		x := float64(i) * 10
		fit := 40/(1+x*x/200) + 2
		d.Row(book.Num(x, "0"), book.Num(fit*1.05, "0.0"), book.Num(1.5, "0.0"), book.Calc(fmt.Sprintf("40/(1+A%d^2/200)+2", i+2), fit, "0.0"))
	}
	zero := 0.0
	s.Chart(14, 1, 620, 330, book.Chart{Title: "Turbidity & dose <test>", Alt: "Turbidity falls with dose", XName: "Dose (mg/L)", YName: "Turbidity (NTU)", XMin: &zero, YMin: &zero, Series: []book.Series{
		{Name: "fitted curve", X: d.Block(2, 1, 8, 1), Y: d.Block(2, 4, 8, 4), Mark: book.Curve},
		{Name: "jar", X: d.Block(2, 1, 8, 1), Y: d.Block(2, 2, 8, 2), Mark: book.Dots, Tone: draw.Rust, Up: d.Block(2, 3, 8, 3)},
	}})
	d.Chart(2, 6, 460, 280, book.Chart{Kind: book.Stacked, Title: "Bars", Alt: "Bars", YName: "NTU", YFormat: "0", Series: []book.Series{
		{Name: "jar", X: d.Block(2, 1, 8, 1), Y: d.Block(2, 2, 8, 2)},
		{Name: "fit", X: d.Block(2, 1, 8, 1), Y: d.Block(2, 4, 8, 4), Tone: draw.Rust, Hatch: true},
	}})
	d.Landscape()
	d.OnePage()
	var buf bytes.Buffer
	if err := b.Write(&buf); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func TestSampleBookInOffice(t *testing.T) {
	o := newOffice(t)
	file := filepath.Join(t.TempDir(), "sample.xlsx")
	if err := os.WriteFile(file, sampleBook(t, 2), 0o644); err != nil {
		t.Fatal(err)
	}
	if n := o.checkRecalculation(file); n != 9 {
		t.Errorf("%d formulas, want 9", n)
	}
	o.look(file, "sample")
	// A second round: the changed input recalculates to what a fresh workbook stores.
	const sheet = "Feed- day-night -1-"
	fresh := o.recalculated(edited(t, file, map[string]any{sheet + "!B5": 7.5}))
	want := filepath.Join(t.TempDir(), "want.xlsx")
	if err := os.WriteFile(want, sampleBook(t, 7.5), 0o644); err != nil {
		t.Fatal(err)
	}
	stored, _ := values(t, want)
	for at, v := range stored {
		if !sameNumbers(v, fresh[at]) {
			t.Errorf("%s: %s after the change, %s in a fresh workbook", at, fresh[at], v)
		}
	}
}
