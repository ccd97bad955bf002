package main

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/templates/book"
	"jarwright/templates/draw"
)

// pieceLimit is how long one workbook or one page may take another program, on a
// loaded machine too.
const pieceLimit = 50 * time.Second

// asWorkbook has the office suite write a workbook again.
const asWorkbook = "xlsx:Calc MS Excel 2007 XML"

// conversion is one run of the office suite, which turns one file after another
// into another form.
type conversion struct {
	dir   string
	begun bool // a file has been waited for
	ended chan struct{}
	said  bytes.Buffer // to be read once it has ended
	err   error
}

// convert starts LibreOffice on files, with a profile of its own that recalculates
// every formula on loading; without that it would trust the stored values.
func convert(t *testing.T, form string, files ...string) *conversion {
	t.Helper()
	suite := needTool(t, "JARWRIGHT_REQUIRE_OFFICE", "soffice", "libreoffice")
	profile := t.TempDir()
	user := filepath.Join(profile, "user")
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
	c := &conversion{dir: t.TempDir(), ended: make(chan struct{})}
	args := append([]string{"-env:UserInstallation=file://" + profile, "--headless", "--convert-to", form, "--outdir", c.dir}, files...)
	cmd := exec.CommandContext(t.Context(), suite, args...)
	cmd.Stdout, cmd.Stderr, cmd.WaitDelay = &c.said, &c.said, 5*time.Second
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	go func() {
		c.err = cmd.Wait()
		close(c.ended)
	}()
	t.Cleanup(func() { <-c.ended })
	return c
}

// wait gives one of the files once it is written and let go of.
func (c *conversion) wait(t *testing.T, name string) string {
	t.Helper()
	file, lock := filepath.Join(c.dir, name), filepath.Join(c.dir, ".~lock."+name+"#")
	limit := pieceLimit
	if !c.begun { // the suite itself has to start
		c.begun, limit = true, 2*pieceLimit
	}
	for late := time.After(limit); ; {
		ended := false
		select {
		case <-c.ended:
			ended = true
		default:
		}
		_, missing := os.Stat(file)
		if _, unlocked := os.Stat(lock); missing == nil && (ended || unlocked != nil) {
			return file
		}
		if ended {
			t.Fatalf("the office suite ended without %s: %v: %s", name, c.err, c.said.String())
		}
		select {
		case <-c.ended:
		case <-late:
			t.Fatalf("%s was not there after %s", name, limit)
		case <-time.After(20 * time.Millisecond):
		}
	}
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

// liveBook is a workbook whose formulas are checked by LibreOffice.
type liveBook struct {
	name string
	// write makes the workbook.
	write func(t *testing.T, file string)
	// formulas is how many it must hold at least.
	formulas int
	// changes are inputs that are changed afterwards, by cell.
	changes map[string]any
	// expect are values that the changed workbook must give.
	expect map[string]float64
	// anew makes the workbook as the program gives it for the changed inputs; every
	// formula of the changed workbook must give what is stored there, but for what tells
	// whether it was changed since writing, and the cells in except.
	anew   func(t *testing.T, file string)
	except func(cell string) bool
	// after looks at the values before and after the change.
	after func(t *testing.T, stored, changed map[string]string)
}

// unchanged is what a cell shows that tells whether a workbook stands as it was written.
const unchanged = "as written"

// TestOffice writes every workbook with live formulas, lets LibreOffice work them
// out anew, and compares; then once more with changed inputs. One run of the office
// suite serves all; each workbook is looked at as soon as it is there.
func TestOffice(t *testing.T) {
	t.Parallel()
	needTool(t, "JARWRIGHT_REQUIRE_OFFICE", "soffice", "libreoffice")
	books := liveBooks(t)
	dir := t.TempDir()
	at := func(name, round string) string { return filepath.Join(dir, name+"-"+round+".xlsx") }
	files := []string{filledBench(t, dir), filledTrial(t, dir), filledUnitTrial(t, dir)}
	for _, b := range books {
		b.write(t, at(b.name, "written"))
		files = append(files, at(b.name, "written"))
		if b.changes != nil {
			edited(t, at(b.name, "written"), at(b.name, "changed"), b.changes)
			files = append(files, at(b.name, "changed"))
		}
	}
	out := convert(t, asWorkbook, files...)
	t.Run("filled", func(t *testing.T) { readsBack(t, out.wait(t, "filled.xlsx")) })
	t.Run("filled-trial", func(t *testing.T) { trialReadsBack(t, out.wait(t, "filled-trial.xlsx")) })
	t.Run("filled-unit", func(t *testing.T) { unitTrialReadsBack(t, out.wait(t, "filled-unit.xlsx")) })
	for _, b := range books {
		t.Run(b.name, func(t *testing.T) {
			stored, formulas := values(t, at(b.name, "written"))
			fresh := cells(t, out.wait(t, b.name+"-written.xlsx"))
			if len(formulas) < b.formulas {
				t.Errorf("%d formulas, want at least %d", len(formulas), b.formulas)
			}
			for _, a := range sortedKeys(formulas) {
				if !sameNumbers(stored[a], fresh[a]) {
					t.Errorf("%s =%s is stored as %q, recalculated %q", a, formulas[a], stored[a], fresh[a])
				}
			}
			if b.changes != nil {
				b.afterChange(t, stored, cells(t, out.wait(t, b.name+"-changed.xlsx")))
			}
		})
	}
	look(t, files)
}

// afterChange holds the recalculated workbook with changed inputs against what is expected of it.
func (b liveBook) afterChange(t *testing.T, stored, changed map[string]string) {
	t.Helper()
	for a, want := range b.expect {
		if got, err := strconv.ParseFloat(changed[a], 64); err != nil || math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Errorf("after the change %s is %q, want %g", a, changed[a], want)
		}
	}
	if b.after != nil {
		b.after(t, stored, changed)
	}
	if b.anew == nil {
		return
	}
	file := filepath.Join(t.TempDir(), "anew.xlsx")
	b.anew(t, file)
	want, formulas := values(t, file)
	for _, a := range sortedKeys(formulas) {
		if stored[a] != unchanged && (b.except == nil || !b.except(a)) && !sameNumbers(want[a], changed[a]) {
			t.Errorf("after the change %s is %q; the program gives %q for the changed input", a, changed[a], want[a])
		}
	}
}

func sortedKeys(m map[string]string) []string { return slices.Sorted(maps.Keys(m)) }

// look leaves pictures of the workbooks' pages in the folder that JARWRIGHT_LOOK
// names, for the eye.
func look(t *testing.T, files []string) {
	t.Helper()
	dir := os.Getenv("JARWRIGHT_LOOK")
	if dir == "" {
		return
	}
	files = slices.DeleteFunc(files, func(f string) bool { return strings.HasSuffix(f, "-changed.xlsx") })
	pdfs := convert(t, "pdf", files...)
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".xlsx")
		picture := exec.CommandContext(t.Context(), "pdftoppm", "-r", "75", "-png", pdfs.wait(t, name+".pdf"), filepath.Join(dir, name))
		if out, err := picture.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
	}
}

// liveBooks lists the workbooks with live formulas.
//
// The expected figures of the bench sheet are the dilution law C1 V1 = C2 V2:
// in 2 L of water 20 mg/L take 4 mL of 10 g/L, and 3 mL give 15 mg/L.
func liveBooks(t *testing.T) []liveBook {
	t.Helper()
	const sample = "Feed- day-night -1-"
	books := []liveBook{
		{name: "builder", formulas: 9, write: saved(func(t *testing.T) []byte { return sampleBook(t, 2) }),
			changes: map[string]any{sample + "!B5": 7.5}, anew: saved(func(t *testing.T) []byte { return sampleBook(t, 7.5) })},
		{name: "bench", formulas: 6*2 + 3,
			write:   by("new", "bench", "FILE", "--chemical", "alum", "--basis", "as product", "--stock", "10 g/L", "--jar-volume", "1 L", "--doses", "0,10,20,30,40,60 mg/L"),
			changes: map[string]any{"Bench!B14": 2000, "Bench!D20": 3, "Bench!D22": 3.5, "Stock!B7": 48.5, "Stock!B8": 1.335},
			expect: map[string]float64{"Bench!C20": 4, "Bench!E20": 15, "Bench!C21": 6, "Bench!E21": 30, "Bench!E22": 17.5,
				"Stock!B10": 10 / 0.485, "Stock!B11": 10 / 0.485 / 1.335}},
		{name: "plan", formulas: 12, write: planBook("3.6 m3/h", "12.5 mg/L", "24"),
			changes: map[string]any{"Change it!C5": 3.25, "Change it!C6": 16, "Change it!C11": 17.5},
			expect:  map[string]float64{"Change it!C29": 17.5 / 0.485 * 3.25 * 16 / 1000},
			anew:    planBook("3.25 m3/h", "17.5 mg/L", "16"), after: flagged},
		{name: "plan-us", formulas: 11, write: planBook("35 gpm", "12.5 mg/L", "24", "--units", "us", "--paper", "letter"),
			changes: map[string]any{"Change it!C5": 50},
			// A gallon of 12.5 mg/L is 12.5 x 3.785411784 mg, a pound 453592.37 mg (both exact).
			expect: map[string]float64{"Change it!C28": 12.5 / 0.485 * 50 * 60 * 24 * 3.785411784 / 453592.37},
			anew:   planBook("50 gpm", "12.5 mg/L", "24", "--units", "us", "--paper", "letter"), after: flagged},
		{name: "fit", formulas: 7, write: fitBook, changes: map[string]any{"Try Storm!B5": 24.25}, after: triedDose},
		{name: "site", formulas: 500, write: by("new", "site", "FILE"), changes: map[string]any{"Flow!B5": 4.25, "Water!B15": 3.25}, after: onPaper},
		{name: "float", formulas: 24*2 + 3,
			write: by("new", "bench", "FILE", "--jars", "24", "--flotation", "--readings", "turbidity,tss,ph,alkalinity", "--repeats", "3", "--paper", "letter")},
	}
	books = append(books, liveBudget(t)...)
	return slices.Concat(books, livePlan(t), liveCompare(t), liveClarify(t), liveRestock(t), liveSludge(t), liveStanding(t))
}

// onPaper looks that the sheet that is printed follows a changed flow, and counts a field that was folded and is filled in.
func onPaper(t *testing.T, stored, changed map[string]string) {
	row := map[string]string{}
	for at, v := range stored {
		if r, is := strings.CutPrefix(at, "On paper!A"); is {
			row[v] = "On paper!C" + r
		}
	}
	if got := changed[row["average flow"]]; got != "4.25" {
		t.Errorf("paper has the flow %q", got)
	}
	if was, is := stored[row["Not on this paper"]], changed[row["Not on this paper"]]; was != "0" || is != "1" {
		t.Errorf("paper counts %q fields, then %q", was, is)
	}
}

// planBook plans one feed of liquid alum from a diluted stock.
func planBook(flow, dose, hours string, more ...string) func(t *testing.T, file string) {
	return by(append([]string{"plan", "--flow", flow, "--dose", dose, "--basis", "as alum 14-hydrate", "--strength", "48.5 %", "--density", "1.335 kg/L",
		"--stock", "150 g/L", "--pump-max", "2 L/h", "--tank", "60 L", "--hours", hours, "-o", "FILE"}, more...)...)
}

// flagged looks that a changed plan says so, at what is bought, fed and set.
func flagged(t *testing.T, stored, changed map[string]string) {
	told := 0
	for _, a := range sortedKeys(stored) {
		if stored[a] != unchanged {
			continue
		}
		if told++; changed[a] != "CHANGED" {
			t.Errorf("%s: %q after the change", a, changed[a])
		}
	}
	if told != 3 {
		t.Errorf("%d cells tell whether the plan was changed, want 3", told)
	}
}

// triedDose looks that the sheet's answer for 24.25 mg/L lies on the straight
// line between the points of the curve on either side of it.
func triedDose(t *testing.T, stored, changed map[string]string) {
	num := func(m map[string]string, col string, row int) float64 {
		v, err := strconv.ParseFloat(m[fmt.Sprintf("Try Storm!%s%d", col, row)], 64)
		if err != nil {
			t.Fatalf("%s%d: %v", col, row, err)
		}
		return v
	}
	row := 5
	for num(stored, "F", row+1) <= 24.25 {
		row++
	}
	share := (24.25 - num(stored, "F", row)) / (num(stored, "F", row+1) - num(stored, "F", row))
	for at, col := range map[int]string{8: "G", 9: "H", 10: "I", 11: "J"} {
		want := num(stored, col, row) + share*(num(stored, col, row+1)-num(stored, col, row))
		if got := num(changed, "B", at); math.Abs(got-want) > 1e-9*math.Max(1, want) {
			t.Errorf("B%d is %g for 24.25 mg/L, want %g", at, got, want)
		}
	}
	if got := changed["Try Storm!B12"]; got != "more likely to fail" {
		t.Errorf("verdict %q on a dose well below the target's", got)
	}
}

// benchCSV is an invented bench of storm-muddied beck water.
const benchCSV = `Test,Storm
Chemical,alum as product
Target,turbidity <= 5 NTU
Jar,Dose (mg/L),Turbidity (NTU)
1,0,42
2,10,29.5
3,20,13.2
4,30,4.9
5,40,2.4
6,50,2.2
7,60,2.8
`

func fitBook(t *testing.T, file string) {
	t.Helper()
	bench := filepath.Join(t.TempDir(), "Storm.csv")
	write(t, bench, benchCSV)
	by("fit", bench, "--target", "turbidity <= 5 NTU", "-o", "FILE")(t, file)
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
		{Name: "jar", X: d.Block(2, 1, 8, 1), Y: d.Block(2, 2, 8, 2), Mark: book.Dots, Tone: draw.Limit, Up: d.Block(2, 3, 8, 3)},
	}})
	d.Chart(2, 6, 460, 280, book.Chart{Kind: book.Stacked, Title: "Bars", Alt: "Bars", YName: "NTU", YFormat: "0", Series: []book.Series{
		{Name: "jar", X: d.Block(2, 1, 8, 1), Y: d.Block(2, 2, 8, 2)},
		{Name: "fit", X: d.Block(2, 1, 8, 1), Y: d.Block(2, 4, 8, 4), Tone: draw.Limit, Open: true},
	}})
	d.Landscape()
	d.OnePage()
	var buf bytes.Buffer
	if err := b.Write(&buf); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}
