package book

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/dosing/month"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// opened reads a written workbook back with the library.
func opened(t *testing.T, b *Book) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(write(t, b)))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func cellOf(t *testing.T, f *excelize.File, sheet, at string) string {
	t.Helper()
	v, err := f.GetCellValue(sheet, at, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestBenchWorksItsStockOut changes what is filled in and lets a spreadsheet work
// the sheet out: 25 mg/L in 2 L takes 50 mg, 5 mL of a stock of 10 g/L; 4 mL drawn
// instead are 20 mg/L. Half a litre at 20 g/L takes 10 g, 12.5 g of a product of 80 %,
// 10 mL where a litre weighs 1.25 kg.
func TestBenchWorksItsStockOut(t *testing.T) {
	b := New(Meta{})
	if err := (Bench{Doses: []quantity.Concentration{0, 25}, Stock: 10000, JarVolume: 2, Repeats: 1}).Write(b); err != nil {
		t.Fatal(err)
	}
	f := opened(t, b)
	for at, v := range map[string]any{"Bench!D20": 4.0, "Bench!B20": 30.0, "Stock!B5": 20.0, "Stock!B6": 500.0, "Stock!B7": 80.0, "Stock!B8": 1.25} {
		sheet, cell, _ := strings.Cut(at, "!")
		if err := f.SetCellValue(sheet, cell, v); err != nil {
			t.Fatal(err)
		}
	}
	for at, want := range map[string]string{
		"Bench!C19": "5", "Bench!E19": "25", "Bench!C20": "6", "Bench!E20": "20", "Bench!C21": "", "Bench!E21": "", "Bench!C18": "0", "Bench!E18": "0",
		"Stock!B10": "12.5", "Stock!B11": "10", "Stock!B12": "20",
	} {
		sheet, cell, _ := strings.Cut(at, "!")
		got, err := f.CalcCellValue(sheet, cell, excelize.Options{RawCellValue: true})
		if err != nil || got != want {
			t.Errorf("%s is %q (%v), want %q", at, got, err, want)
		}
	}
	for at, want := range map[string]string{"A18": "1 (control)", "A19": "2", "A23": "6", "B19": "25", "B13": "10", "B14": "2000", "F17": "Turbidity (NTU)", "G17": "pH", "H17": "Remark"} {
		if got := cellOf(t, f, "Bench", at); got != want {
			t.Errorf("Bench!%s is %q, want %q", at, got, want)
		}
	}
}

func TestBenchesThatCannotBe(t *testing.T) {
	six := make([]jartest.Key, 6)
	for i := range six {
		six[i] = jartest.PH
	}
	for _, c := range []struct {
		x    Bench
		code string
	}{
		{Bench{Jars: JarsLeast - 1}, "5"}, {Bench{Jars: JarsMost + 1}, "25"}, {Bench{Doses: make([]quantity.Concentration, JarsMost+1)}, "25"},
		{Bench{Repeats: -1}, "-1"}, {Bench{Repeats: 5}, "5"}, {Bench{Readings: append(six, jartest.PH)}, "7"},
		{Bench{Doses: []quantity.Concentration{-1}}, "-1"}, {Bench{Doses: []quantity.Concentration{quantity.Concentration(math.NaN())}}, "NaN"},
		{Bench{Jars: JarsLeast}, ""}, {Bench{Jars: JarsMost}, ""}, {Bench{Repeats: 4}, ""}, {Bench{Readings: six}, ""}, {Bench{Doses: make([]quantity.Concentration, JarsMost)}, ""},
	} {
		err := c.x.Write(New(Meta{}))
		if (err == nil) != (c.code == "") || err != nil && !strings.Contains(err.Error(), c.code) {
			t.Errorf("%+v: %v, want one that names %q", c.x, err, c.code)
		}
	}
}

// TestBudgetFiguresAreThoseOfTheMonth holds what stands in the workbook against
// the month itself, and the first day against a hand calculation: 1 February 2028 is
// a Tuesday of 10 h at 20 m3/h and a season of 0.9, 180 m3. The mix of the waters has
// 0.75 x 20 + 0.25 x 100 = 40 mg/L of solids, 7.2 kg; alum takes 25 mg/L of a product
// of 48.5 %, 180 x 25 / 0.485 / 1000 = 9.278 kg, polymer 0.625 mg/L, 0.1125 kg.
func TestBudgetFiguresAreThoseOfTheMonth(t *testing.T) {
	m, err := month.Make(storms())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		units                     quantity.System
		volume, mass, flow        float64 // of a m3, a kg, a m3/h
		water, solids, perVolumes string  // names of cells
	}{
		{quantity.Metric, 1, 1, 1, "Water_m3", "Solids_removed_kg", "Cost_per_1000_m3"},
		// 1 m3 is 264.172052 US gal and 1 kg 2.20462262 lb (NIST SP 811, appendix B).
		{quantity.US, 264.172052, 2.20462262, 264.172052 / 60, "Water_gal", "Solids_removed_lb", "Cost_per_1000_gal"},
	} {
		b := Budget(m, FirstPage{}, c.units, nil, Meta{})
		write(t, b)
		named := func(name string) float64 {
			for _, n := range b.names {
				if n.name == name {
					return n.at.numbers()[0]
				}
			}
			t.Errorf("no cell is named %s", name)
			return math.NaN()
		}
		days := func(col int) float64 { return b.sheets[2].At(5, col).numbers()[0] }
		used := func(chemical string) float64 {
			return named("Use_" + chemical + map[quantity.System]string{quantity.Metric: "_kg", quantity.US: "_lb"}[c.units])
		}
		for _, x := range []struct {
			what      string
			got, want float64
		}{
			{"water", named(c.water), float64(m.Treated) / 1000 * c.volume}, {"solids", named(c.solids), float64(m.Removed.Likely) * c.mass},
			{"cost", named("Total_cost"), m.Total.Amount}, {"to pay", named("To_pay"), m.ToPay.Amount},
			{"cost per 1000", named(c.perVolumes), m.Total.Amount / (float64(m.Treated) / 1000 * c.volume) * 1000},
			{"alum", used("alum"), float64(m.Accounts[0].Use) * c.mass}, {"polymer", used("polymer"), float64(m.Accounts[1].Use) * c.mass},
			{"flow of the first day", days(13), 18 * c.flow}, {"its hours", days(12), 10}, {"its water", days(15), 180 * c.volume},
			{"its solids", days(19), 7.2 * c.mass}, {"its alum", days(21), 180 * 25 / 0.485 / 1000 * c.mass}, {"its polymer", days(22), 0.1125 * c.mass},
		} {
			if math.Abs(x.got-x.want) > 1e-7*math.Abs(x.want) {
				t.Errorf("%s in %v is %g, want %g", x.what, c.units, x.got, x.want)
			}
		}
	}
}

// TestLooks holds how kinds of cells look in a written workbook, and their locks.
func TestLooks(t *testing.T) {
	b := New(Meta{})
	s := b.Sheet("S")
	s.Widths(20, 20, 20)
	s.Row(T(Title, "title"), T(Head, "head"), In(12.5, "0.00"), Calc("C1*2", 25.0, "#,##0.0"), T(Unit, "mg/L"), Cell{Kind: Stop, Value: "stop"}, Num(0.5, ""))
	s.Row(Cell{Kind: Section, Value: "section", Span: 3})
	s.Flag(s.At(1, 4), "D1>20", Caution)
	f := opened(t, b)
	for at, want := range map[string]struct {
		size         float64
		bold, locked bool
		fill, format string
		side         string
	}{
		"A1": {16, true, true, "", "", ""}, "B1": {10, false, true, "", "", "left"}, "C1": {10, false, false, "FFF5D1", "0.00", "right"},
		"D1": {10, false, true, "", "#,##0.0", "right"}, "E1": {10, false, true, "", "", "left"}, "F1": {10, true, true, "", "", "left"},
		"G1": {10, false, true, "", "0.0000", "right"}, "A2": {12, true, true, "", "", ""},
	} {
		id, err := f.GetCellStyle("S", at)
		if err != nil {
			t.Fatal(err)
		}
		st, err := f.GetStyle(id)
		if err != nil {
			t.Fatal(err)
		}
		fill, format := "", ""
		if len(st.Fill.Color) > 0 {
			fill = st.Fill.Color[0]
		}
		if st.CustomNumFmt != nil {
			format = *st.CustomNumFmt
		}
		if st.Font.Size != want.size || st.Font.Bold != want.bold || st.Protection.Locked != want.locked || fill != want.fill || format != want.format || st.Alignment.Horizontal != want.side {
			t.Errorf("%s: %g, bold %t, locked %t, %q, %q, %q, want %+v", at, st.Font.Size, st.Font.Bold, st.Protection.Locked, fill, format, st.Alignment.Horizontal, want)
		}
	}
	merged, err := f.GetMergeCells("S")
	if err != nil || len(merged) != 1 || merged[0].GetStartAxis() != "A2" || merged[0].GetEndAxis() != "C2" {
		t.Errorf("joined cells: %v %v", merged, err)
	}
	flags, err := f.GetConditionalFormats("S")
	if err != nil || len(flags["D1"]) != 1 || flags["D1"][0].Criteria != "D1>20" {
		t.Errorf("conditional formats: %v %v", flags, err)
	}
}

func TestSlugs(t *testing.T) {
	for name, want := range map[string]string{"alum": "alum", " 12 % PACl (new) ": "12___PACl__new", "AZ az09": "AZ_az09", "@[`{/:": "", "_x_": "x"} {
		if got := slug(name); got != want {
			t.Errorf("slug(%q) is %q, want %q", name, got, want)
		}
	}
	m := month.Budget{}
	for _, n := range []string{"alum", "alum", "%%", "Alum"} {
		a := month.Account{}
		a.Chemical.Name = n
		m.Accounts = append(m.Accounts, a)
	}
	if got := strings.Join(slugs(m), " "); got != "alum alum_2 3 Alum" {
		t.Error(got)
	}
}
