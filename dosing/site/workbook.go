package site

import (
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
)

// Read reads a site from a workbook (.xlsx) or from YAML, by the ending of the
// name. Everything that is wrong with it is reported at once, each with its cell.
func Read(name string, r io.Reader) (Site, error) {
	data, err := grid.ReadAll(name, r)
	if err != nil {
		return Site{}, err
	}
	var s Site
	switch strings.ToLower(filepath.Ext(name)) {
	case ".yaml", ".yml":
		s, err = readYAML(name, data)
	case ".xlsx", ".xlsm":
		s, err = readWorkbook(name, data)
	default:
		err = note.Fault("site-format", "is neither .xlsx nor .yaml").At(note.Place{File: name}).
			Do(`make a site workbook with "jarwright new site site.xlsx"`)
	}
	if err == nil {
		s.partSludge()
		s.Notes.Add(s.leftovers()...)
	}
	return s, err
}

func readWorkbook(name string, data []byte) (Site, error) {
	blocks, faults, err := workbookBlocks(name, data)
	if err != nil {
		return Site{}, err
	}
	return decode(name, blocks, faults)
}

// workbookBlocks are the sheets of a site as they stand in a workbook.
func workbookBlocks(name string, data []byte) (blocks []block, faults note.List, err error) {
	tabs, err := grid.Workbook(name, data)
	if err != nil {
		return nil, nil, err
	}
	known := false
	for _, s := range tabs {
		sh, ok := findSheet(s.Name)
		if !ok {
			if n := note.Near(s.Name, each(Sheets(), title)); n != "" {
				faults.Add(note.Fault("sheet-unknown", "sheet %q is not one of the site's; did you mean %q?", s.Name, n).
					At(note.Place{File: name, Sheet: s.Name}).Do("rename the sheet, or delete it"))
			}
			continue
		}
		known = true
		switch t := (tab{s}); {
		case s.Fault != nil:
			faults.Add(*s.Fault)
		case sh.List:
			blocks = append(blocks, t.list(sh, &faults))
		default:
			blocks = append(blocks, t.items(sh, &faults))
		}
	}
	if !known && len(faults) == 0 {
		return nil, nil, note.Fault("not-a-site", "holds none of the sheets of a site workbook").At(note.Place{File: name}).
			Do(`make one with "jarwright new site FILE"; its sheets are %s`, strings.Join(each(Sheets(), title), ", "))
	}
	return blocks, faults, nil
}

// tab is one sheet of a site workbook.
type tab struct{ *grid.Sheet }

// text is what a cell says, for headings and names.
func (t tab) text(r, c int) string { return strings.TrimSpace(t.At(r, c).Text) }

// read gives one cell as an entry, with numbers plain, percentages with their
// sign, dates in ISO form and times of day as hh:mm.
func (t tab) read(r, c int) entry {
	e := entry{at: t.Place(r, c)}
	x := t.At(r, c)
	if m, ok := t.Merged(r, c); ok {
		x = t.At(m.R0, m.C0)
	}
	switch {
	case x.Hollow:
		return e.fail(note.Fault("formula-without-value", "the formula has no stored result").
			Do("open the file in a spreadsheet program, save it, and run again"))
	case x.Kind == grid.Faulty || grid.ErrorValue(x.Text):
		return e.fail(note.Fault("error-cell", "the cell shows %s", x.Text).Do("repair its formula or type the value"))
	case x.Kind == grid.Boolean:
		e.text = map[bool]string{true: "yes", false: "no"}[x.Text == "TRUE"]
	case x.Kind != grid.Numeric:
		e.text = strings.TrimSpace(x.Text)
	case x.Percent():
		e.text = strconv.FormatFloat(x.Num*100, 'g', 15, 64) + " %"
	case x.Date() || x.Clock():
		return t.readTime(x, e)
	default:
		e.text = strconv.FormatFloat(x.Num, 'f', -1, 64)
	}
	return e
}

// readTime gives a number that is shown as a date or a time of day.
func (t tab) readTime(x grid.Cell, e entry) entry {
	switch {
	case x.Num < 1:
		minutes := int(math.Round(x.Num * 24 * 60))
		e.text = pad(minutes/60) + ":" + pad(minutes%60)
	case x.Num > lastDay:
		return e.fail(note.Fault("bad-date", "the date %q cannot be read", x.Text).Do("write it as year-month-day"))
	default:
		e.text = t.day(x.Num).Format("2006-01-02")
	}
	return e
}

// lastDay is the day number of the end of the year 9999, where spreadsheets stop.
const lastDay = 2958465

// day is the date of a day number (ECMA-376 part 1, 18.17.4.1, from memory).
// Numbers before March 1900 count a 29 February that was not; no site is so old.
func (t tab) day(serial float64) time.Time {
	first := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	if t.Date1904 {
		first = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	return first.AddDate(0, 0, int(serial+0.5/86400)) // to the second
}

func (e entry) fail(n note.Note) entry { e.bad = &n; return e }

// noHeading says that a sheet's heading was not found.
func (t tab) noHeading(format string, args ...any) note.Note {
	return note.Fault("no-heading", "the sheet has no row "+format, args...).At(note.Place{File: t.File, Sheet: t.Name}).
		Do(`take the sheet from "jarwright new site FILE"`)
}

// itemHeading finds the row with the headings "item" and "value", and the columns
// of its words.
func (t tab) itemHeading() (head int, columns map[string]int, ok bool) {
	for r, cells := range t.Rows {
		columns := map[string]int{}
		for c := range cells {
			columns[fold(t.text(r, c))] = c
		}
		_, item := columns["item"]
		if _, value := columns["value"]; item && value {
			return r, columns, true
		}
	}
	return 0, nil, false
}

// items reads a sheet of one value an item: the items below the heading.
func (t tab) items(sh Sheet, faults *note.List) block {
	b := block{sheet: sh, at: note.Place{File: t.File, Sheet: t.Name}}
	head, columns, ok := t.itemHeading()
	if !ok {
		faults.Add(t.noHeading(`with the headings "item" and "value"`))
		return b
	}
	item, value := columns["item"], columns["value"]
	unit, units := columns["unit"]
	out := row{entries: map[string]entry{}, at: b.at}
	for r := head + 1; r < len(t.Rows); r++ {
		name := t.text(r, item)
		if name == "" {
			if t.text(r, value) != "" {
				faults.Add(note.Fault("value-without-item", "a value stands beside no item").
					At(t.Place(r, value)).Do("name the item, or delete the value"))
			}
			continue
		}
		e := t.read(r, value)
		if units {
			e.unit = t.text(r, unit)
		}
		f, ok := sh.Field(name)
		switch {
		case !ok && e.text != "":
			faults.Add(sh.unknown(name, nameOf).At(t.Place(r, item)))
		case ok && out.entries[f.Name].text != "" && e.text != "":
			faults.Add(note.Fault("field-twice", "%q stands twice", f.Name).At(e.at).Do("keep one of them"))
		case ok && (e.text != "" || e.bad != nil || out.entries[f.Name].text == ""):
			out.entries[f.Name] = e
		}
	}
	b.rows = []row{out}
	return b
}

// rowLabels are the words in the first column of a list sheet that mark rows
// about the columns rather than a thing of the list.
var rowLabels = map[string]bool{"unit": true, "units": true, "meaning": true, "needed": true, "needed?": true, "example": true}

// listHeading finds the row of headings, by the sheet's first field and another,
// and the fields of its columns.
func (t tab) listHeading(sh Sheet) (head int, columns map[int]Field, ok bool) {
	for r, cells := range t.Rows {
		columns, first := map[int]Field{}, false
		for c := range cells {
			if f, ok := sh.Field(t.text(r, c)); ok && t.text(r, c) != "" {
				columns[c] = f
				first = first || f.Name == sh.Fields[0].Name
			}
		}
		if first && len(columns) >= min(2, len(sh.Fields)) {
			return r, columns, true
		}
	}
	return 0, nil, false
}

// refuse says which headings are none of the sheet's, and which stand twice.
func (t tab) refuse(sh Sheet, head int, columns map[int]Field, faults *note.List) {
	used := map[string]int{}
	for c := range t.Rows[head] {
		f, ok := columns[c]
		if !ok {
			text := t.text(head, c)
			if w := fold(text); text != "" && !rowLabels[w] && w != "field" && w != "note" && t.filled(head, c) {
				faults.Add(sh.unknown(text, nameOf).At(t.Place(head, c)))
			}
			continue
		}
		if first, twice := used[f.Name]; twice {
			faults.Add(note.Fault("field-twice", "the column %q stands twice (first in %s)", f.Name, t.Address(head, first)).
				At(t.Place(head, c)).Do("keep one of them"))
			delete(columns, c)
			continue
		}
		used[f.Name] = c
	}
}

// list reads a sheet with one row a thing: the row of headings, a row of units
// if there is one, and the things below.
func (t tab) list(sh Sheet, faults *note.List) block {
	b := block{sheet: sh, at: note.Place{File: t.File, Sheet: t.Name}}
	head, columns, ok := t.listHeading(sh)
	if !ok {
		faults.Add(t.noHeading("of headings with %q", sh.Fields[0].Name))
		return b
	}
	t.refuse(sh, head, columns, faults)
	units := map[int]string{}
	_, isField := columns[0]
	for r := head + 1; r < len(t.Rows); r++ {
		if label := fold(t.text(r, 0)); !isField && rowLabels[label] {
			for c := range columns {
				if label == "unit" || label == "units" {
					units[c] = t.text(r, c)
				}
			}
			continue
		}
		out := row{entries: map[string]entry{}, at: t.Place(r, 0)}
		any := false
		for c, f := range columns {
			e := t.read(r, c)
			e.unit = units[c]
			any = any || e.text != "" || e.bad != nil
			out.entries[f.Name] = e
		}
		if any {
			b.rows = append(b.rows, out)
		}
	}
	return b
}

// filled reports that a column has anything below its heading.
func (t tab) filled(head, c int) bool {
	for r := head + 1; r < len(t.Rows); r++ {
		if t.text(r, c) != "" {
			return true
		}
	}
	return false
}
