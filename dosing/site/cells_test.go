package site

import (
	"bytes"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Where the sheets of these tests have their headings: items in row 5 and below,
// things of a list from row 9.
const (
	itemHead = 4
	listHead = 4
	listBody = 9
)

func cell(col, row int) string {
	c, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		panic(err)
	}
	return c
}

// plainBook lays values out in a bare workbook that a user might have typed.
func plainBook(v Values) (*excelize.File, error) {
	f := excelize.NewFile()
	put := func(tab string, col, row int, x any) error { return f.SetCellValue(tab, cell(col, row), x) }
	number := func(fd Field, text string) (any, string) {
		x, unit, err := quantity.Split(text)
		if !fd.Numeric || text == "" || err != nil {
			return text, ""
		}
		return x, unit
	}
	for _, s := range Sheets() {
		if _, err := f.NewSheet(s.Name); err != nil {
			return nil, err
		}
		rows := v[s.Name]
		if !s.List {
			for i, h := range []string{"item", "value", "unit"} {
				if err := put(s.Name, i+1, itemHead, h); err != nil {
					return nil, err
				}
			}
			for i, fd := range s.Fields {
				r := itemHead + 1 + i
				var x any
				unit := ""
				if len(rows) > 0 {
					x, unit = number(fd, rows[0][fd.Name])
				}
				if unit == "" {
					unit = fd.Unit
				}
				for c, y := range []any{fd.Name, x, unit} {
					if y == nil || y == "" {
						continue
					}
					if err := put(s.Name, c+1, r, y); err != nil {
						return nil, err
					}
				}
			}
			continue
		}
		for i, label := range []string{"field", "meaning", "needed?", "example", "unit"} {
			if err := put(s.Name, 1, listHead+i, label); err != nil {
				return nil, err
			}
		}
		for i, fd := range s.Fields {
			if err := put(s.Name, i+2, listHead, fd.Name); err != nil {
				return nil, err
			}
			unit := fd.Unit
			for k, row := range rows {
				x, u := number(fd, row[fd.Name])
				switch {
				case u != "" && k == 0:
					unit = u
				case u != "" && u != unit:
					x = row[fd.Name] // another unit than the column's stands in the cell itself
				}
				if x != "" {
					if err := put(s.Name, i+2, listBody+k, x); err != nil {
						return nil, err
					}
				}
			}
			if err := put(s.Name, i+2, listHead+4, unit); err != nil {
				return nil, err
			}
		}
	}
	return f, nil
}

// Write writes a plain workbook of these values.
func Write(w io.Writer, v Values) error {
	f, err := plainBook(v)
	if err != nil {
		return err
	}
	return f.Write(w)
}

// edited reads the demo site after a change to its cells.
func edited(t *testing.T, change func(*excelize.File)) (Site, error) {
	t.Helper()
	f, err := plainBook(Example("", ""))
	if err != nil {
		t.Fatal(err)
	}
	change(f)
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return Read("site.xlsx", &b)
}

// Cells as people leave them: percentages and dates as formats, times of day,
// text with a decimal comma or its own unit, another unit beside the value.
func TestCellsAsPeopleLeaveThem(t *testing.T) {
	style := func(f *excelize.File, format string) int {
		id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	set := func(f *excelize.File, tab, at string, v any, format string) {
		if err := f.SetCellValue(tab, at, v); err != nil {
			t.Fatal(err)
		}
		if format != "" {
			if err := f.SetCellStyle(tab, at, at, style(f, format)); err != nil {
				t.Fatal(err)
			}
		}
	}
	column := func(sheet, name string) string {
		s, _ := findSheet(sheet)
		for i, f := range s.Fields {
			if f.Name == name {
				return strings.TrimRight(cell(i+2, 1), "1")
			}
		}
		t.Fatalf("no field %s", name)
		return ""
	}
	item := func(sheet, name, col string) string {
		s, _ := findSheet(sheet)
		for i, f := range s.Fields {
			if f.Name == name {
				return col + strconv.Itoa(itemHead+1+i)
			}
		}
		t.Fatalf("no item %s", name)
		return ""
	}
	s, err := edited(t, func(f *excelize.File) {
		set(f, "Chemicals", column("Chemicals", "strength")+"9", 0.485, "0.0%")
		set(f, "Chemicals", column("Chemicals", "density")+"9", "1335 kg/m3", "")
		set(f, "Drawdown", column("Drawdown", "date")+"9", 46082, "m/d/yy")
		set(f, "Place", item("Place", "staffed from", "B"), 0.25, "h:mm")
		set(f, "Flow", item("Flow", "average flow", "B"), "7,5", "")
		set(f, "Flow", item("Flow", "average flow", "C"), "gpm", "")
		set(f, "Flow", item("Flow", "peak flow", "B"), "0.02 MGD", "")
		set(f, "Place", item("Place", "example values", "B"), false, "")
	})
	if err != nil {
		t.Fatal(err)
	}
	if v := s.Chemicals[0].Strength.V; v < 0.48499 || v > 0.48501 {
		t.Errorf("a cell that shows 48.5 %% reads %v", v)
	}
	if v := s.Chemicals[0].Density.V; v != 1.335 {
		t.Errorf("1335 kg/m3 reads %v", v)
	}
	if v := s.Drawdown[0].Date.V.Format("2006-01-02"); v != "2026-03-01" {
		t.Errorf("the date cell reads %s", v)
	}
	if v := s.Place.From.V; v != 6 {
		t.Errorf("6:00 reads %v", v)
	}
	if v := s.Flow.Average.V.In("gpm"); v < 7.4999 || v > 7.5001 {
		t.Errorf("7,5 gpm reads %v", v)
	}
	if v := s.Flow.Peak.V.In("MGD"); v < 0.01999 || v > 0.02001 {
		t.Errorf("0.02 MGD reads %v", v)
	}
	if s.Place.Examples.V || !s.Place.Examples.OK {
		t.Errorf("a FALSE cell reads %v", s.Place.Examples)
	}
}

func TestCellsThatCannotBeRead(t *testing.T) {
	for _, x := range []struct {
		name   string
		change func(*excelize.File)
		code   string
		cell   string
	}{
		{"formula without result", func(f *excelize.File) {
			_ = f.SetCellValue("Flow", "B5", nil)
			_ = f.SetCellFormula("Flow", "B5", "1+1")
		}, "formula-without-value", "Flow!B5"},
		{"error shown", func(f *excelize.File) { _ = f.SetCellValue("Flow", "B5", "#DIV/0!") }, "error-cell", "Flow!B5"},
		{"unknown item with a value", func(f *excelize.File) { _ = f.SetCellValue("Flow", "A5", "avrage flow") }, "field-unknown", "Flow!A5"},
		{"unknown column with a value", func(f *excelize.File) { _ = f.SetCellValue("Pumps", "C4", "larest rate") }, "field-unknown", "Pumps!C4"},
		{"column twice", func(f *excelize.File) { _ = f.SetCellValue("Pumps", "D4", "largest rate") }, "field-twice", "Pumps!D4"},
		{"sheet misspelt", func(f *excelize.File) { _ = f.SetSheetName("Pumps", "Pmups") }, "sheet-unknown", "Pmups!"},
		{"no headings", func(f *excelize.File) { _ = f.RemoveRow("Flow", 4) }, "no-heading", "Flow!"},
		{"unit emptied", func(f *excelize.File) { _ = f.SetCellValue("Flow", "C5", nil) }, "unit-missing", "Flow!B5"},
	} {
		_, err := edited(t, x.change)
		found := false
		l := note.Of(err, "?")
		for _, n := range l {
			found = found || n.Code == x.code && n.Sheet+"!"+n.Cell == x.cell && n.Remedy != ""
		}
		if !found {
			t.Errorf("%s: %v, want %s at %s", x.name, err, x.code, x.cell)
		}
	}
}

// A sheet of the user's own beside ours is nobody's business.
func TestOtherSheetsAreLeftAlone(t *testing.T) {
	if _, err := edited(t, func(f *excelize.File) {
		_, _ = f.NewSheet("Feeding notes")
		_ = f.SetCellValue("Feeding notes", "A1", "fed at noon")
	}); err != nil {
		t.Error(err)
	}
}
