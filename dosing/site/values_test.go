package site

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestParsers: what each kind of cell takes, and what it refuses with its code.
func TestParsers(t *testing.T) {
	said := func(v any, err error) string {
		if err != nil {
			return note.Of(err, "other")[0].Code
		}
		return fmt.Sprint(v)
	}
	count := func(s string) string { return said(parseCount(s)) }
	day := choice(choices["weekday"])
	weekday := func(s string) string { return said(day(s)) }
	clock := func(s string) string { v, err := parseClock(s); return said(float64(v), err) }
	number := func(s string) string { return said(parseNumber(s)) }
	ratio := func(s string) string { return said(parseRatio(s)) }
	turndown := func(s string) string { return said(parseTurndown(s)) }
	money := func(s string) string {
		v, err := parseMoney(s)
		return said(fmt.Sprintf("%g %s", v.Amount, v.Currency), err)
	}
	yes := func(s string) string { return said(parseYesNo(s)) }
	date := func(s string) string { v, err := parseDate(s); return said(v.Format("2006-01-02 15:04"), err) }
	pick := choice([]string{"as alum 14-hydrate", "as Al"})
	chosen := func(s string) string { return said(pick(s)) }
	for _, c := range []struct {
		parse      func(string) string
		text, want string
	}{
		{count, "0", "0"}, {count, " 7 ", "7"}, {count, "3.0", "3"}, {count, "-1", "bad-count"}, {count, "3.5", "bad-count"}, {count, "", "bad-count"},
		{clock, "06:30", "6.5"}, {clock, "6", "6"}, {clock, "00:00", "0"}, {clock, "24:00", "24"}, {clock, "24:01", "bad-clock"}, {clock, "25:00", "bad-clock"},
		{clock, "-1:00", "bad-clock"}, {clock, "6:60", "bad-clock"}, {clock, "6:59", fmt.Sprint(6 + 59.0/60)}, {clock, "6:-1", "bad-clock"},
		{clock, "6:15:00", "6.25"}, {clock, "6:x", "bad-clock"}, {clock, "x:15", "bad-clock"}, {clock, "0:00", "0"},
		{number, "0", "0"}, {number, "12,5", "12.5"}, {number, "-0.1", "bad-number"}, {number, "7 L", "bad-number"}, {number, "x", "bad-number"},
		{ratio, "10:1", "10"}, {ratio, "0.1", "0.1"}, {ratio, "0", "bad-number"}, {turndown, "1", "1"}, {turndown, "100:1", "100"}, {turndown, "0.99", "bad-number"},
		{money, "45 EUR", "45 EUR"}, {money, "0 EUR", "0 EUR"}, {money, "-1 EUR", "bad-money"}, {money, "45", "bad-money"}, {money, "EUR", "bad-money"},
		{yes, "Yes", "true"}, {yes, "x", "true"}, {yes, "-", "false"}, {yes, "N", "false"}, {yes, "perhaps", "bad-yes-no"},
		{date, "2026-03-14", "2026-03-14 00:00"}, {date, "2026-03-14 06:30", "2026-03-14 06:30"}, {date, "14.03.2026", "bad-date"},
		{weekday, "monday", "Monday"}, {weekday, "Mon", "bad-choice"}, {weekday, "", "bad-choice"}, {chosen, "AS_AL", "as Al"}, {chosen, "as alum 14 hydrate", "as alum 14-hydrate"}, {chosen, "as A", "bad-choice"},
	} {
		if got := c.parse(c.text); got != c.want {
			t.Errorf("%q: %s, want %s", c.text, got, c.want)
		}
	}
	for text, want := range map[string]string{"Mon": "Monday", "thurs": "Thursday", "Mo": "", "day": "", "s": "", "": ""} {
		if got, ok := begun(choices["weekday"], text); got != want || ok != (want != "") {
			t.Errorf("%q begins %q", text, got)
		}
	}
	if _, ok := begun([]string{"speed", "speed and stroke"}, "spee"); ok {
		t.Error("the beginning of two is none")
	}
	if _, err := choice(choices["purpose"])("drinking"); err == nil || !strings.Contains(err.Error(), `did you mean "drinking water"?`) {
		t.Errorf("%v", err)
	}
	for i, parse := range []func(string) (float64, error){parseNumber, parseRatio, parseTurndown} {
		if v, err := parse("-5"); err == nil || v != 0 {
			t.Errorf("parser %d: %v, %v", i, v, err)
		}
	}
	for text, want := range map[string]string{"12,5": "12.5", "1,234": "1,234", "0,125": "0.125", "1,23": "1.23", "1,2345": "1.2345", ",5": ",5", "1,2,3": "1,2,3",
		"1.2,5": "1.2,5", "1,x": "1,x", "1,": "1,", "3,6 m3/h": "3.6 m3/h", "10,125 kg": "10,125 kg", "1,9": "1.9"} {
		if got := decimalComma(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	for _, c := range []struct {
		list []string
		want string
	}{{nil, ""}, {[]string{"a"}, "a"}, {[]string{"a", "b"}, "a or b"}, {[]string{"a", "b", "c"}, "a, b or c"}} {
		if got := orList(c.list); got != c.want {
			t.Errorf("%v: %q", c.list, got)
		}
	}
}

// TestFieldWords: a field's names, its units and its help.
func TestFieldWords(t *testing.T) {
	flow, _ := findSheet("flow")
	f, ok := flow.Field("AVERAGE-FLOW")
	if !ok || f.Key() != "average_flow" || f.DefinedName(flow) != "Flow_Average_Flow" {
		t.Errorf("%v: %q, %q", ok, f.Key(), f.DefinedName(flow))
	}
	if UnitChoices("") != nil || !slices.Equal(UnitChoices("mL"), []string{"mL", "L"}) || !slices.Equal(UnitChoices("NTU"), []string{"NTU"}) {
		t.Errorf("%v %v", UnitChoices("mL"), UnitChoices("NTU"))
	}
	of := func(n int) (list []string) {
		for i := range n {
			list = append(list, fmt.Sprint(i))
		}
		return list
	}
	for _, c := range []struct {
		f    Field
		want string
	}{
		{Field{Name: "n", Meaning: "m"}, "n: m"}, {Field{Name: "n", Meaning: "m", Unit: "L"}, "n: m, in L"},
		{Field{Name: "n", Meaning: "m", Unit: "L", Example: "5"}, `n: m, such as "5 L"`},
		{Field{Name: "n", Meaning: "m", Choices: []string{"a"}}, "n: m (a)"}, {Field{Name: "n", Meaning: "m", Choices: of(7)}, "n: m (0, 1, 2, 3, 4, 5 or 6)"},
		{Field{Name: "n", Meaning: "m", Choices: of(8)}, "n: m"},
	} {
		if got := c.f.Help(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// TestExampleOfBench: with a bench file named the dose comes from there, and without from the example.
func TestExampleOfBench(t *testing.T) {
	own, bench := Example("", "")["Chemicals"][0], Example("b.xlsx", "turbidity <= 5 NTU")["Chemicals"][0]
	if own["dose"] == "" || own["bench sheet"] != "" || bench["dose"]+bench["dose low"]+bench["dose high"] != "" ||
		bench["bench sheet"] != "b.xlsx" || bench["target"] != "turbidity <= 5 NTU" || bench["name"] != own["name"] {
		t.Errorf("%v\n%v", own, bench)
	}
	s := Site{Drawdown: []Drawdown{{}, {}, {}}}
	for i, pump := range []string{"alum pump", "polymer pump", "Alum-Pump"} {
		s.Drawdown[i].Pump = quantity.Some(pump)
	}
	if got := s.Readings("ALUM PUMP"); len(got) != 2 || got[1].Pump.V != "Alum-Pump" {
		t.Errorf("%v", got)
	}
}

// TestYAMLOfLists: what is given of a thing stands behind one dash, whichever field is the first.
func TestYAMLOfLists(t *testing.T) {
	var b bytes.Buffer
	v := Values{"Chemicals": {{"dose": "12 mg/L", "pump": "p"}, {"name": "alum"}}}
	if err := WriteYAML(&b, v); err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(b.String(), "\nchemicals:\n")
	list, _, _ := strings.Cut(rest, "  # fields:")
	if want := "  - dose: \"12 mg/L\"\n    pump: \"p\"\n  - name: \"alum\"\n"; list != want {
		t.Errorf("got\n%swant\n%s", list, want)
	}
}

// sheetOf is a sheet of text cells; a number is a cell of its kind.
func sheetOf(name string, rows ...[]any) tab {
	s := &grid.Sheet{File: "s.xlsx", Name: name}
	for _, r := range rows {
		var row []grid.Cell
		for _, x := range r {
			switch x := x.(type) {
			case string:
				row = append(row, grid.Cell{Kind: grid.Textual, Text: x})
			case float64:
				row = append(row, grid.Cell{Kind: grid.Numeric, Num: x, Text: fmt.Sprint(x)})
			case grid.Cell:
				row = append(row, x)
			}
		}
		s.Rows = append(s.Rows, row)
	}
	return tab{s}
}

// TestItemSheet: the values of a sheet of items, with their units, and what is refused.
func TestItemSheet(t *testing.T) {
	flow, _ := findSheet("Flow")
	fault := grid.Cell{Kind: grid.Faulty, Text: "#REF!"}
	for _, c := range []struct{ what, want string }{
		{"plain", "average flow=3.6 m3/h"}, {"none", "no-heading s.xlsx: Flow"}, {"beside nothing", "value-without-item s.xlsx: Flow!B3"},
		{"twice", "average flow=3.6 m3/h field-twice s.xlsx: Flow!B3"}, {"an empty one after it", "average flow=3.6 m3/h"},
		{"an empty one before it", "average flow=3.6 m3/h"}, {"a fault after it", "average flow=!"}, {"no field", "field-unknown s.xlsx: Flow!A2"},
		{"no field and no value", ""}, {"no unit", "average flow=3.6"},
	} {
		head := []any{"item", "value", "unit"}
		average, empty := []any{"Average flow", 3.6, "m3/h"}, []any{"Average flow", "", "L/s"}
		x := map[string]tab{
			"plain": sheetOf("Flow", []any{"The flow"}, head, average), "none": sheetOf("Flow", []any{"item", "values"}, average),
			"beside nothing": sheetOf("Flow", head, []any{"", ""}, []any{"", 7.0}), "twice": sheetOf("Flow", head, average, average),
			"an empty one after it": sheetOf("Flow", head, average, empty), "an empty one before it": sheetOf("Flow", head, empty, average),
			"a fault after it": sheetOf("Flow", head, average, []any{"average flow", fault}), "no field": sheetOf("Flow", head, []any{"tide", 7.0}),
			"no field and no value": sheetOf("Flow", head, []any{"tide", ""}), "no unit": sheetOf("Flow", head[:2], average),
		}[c.what]
		var faults note.List
		b := x.items(flow, &faults)
		if got := told(b, faults); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// told writes a block's entries and the faults beside them in a line.
func told(b block, faults note.List) string {
	var out []string
	for _, r := range b.rows {
		var names []string
		for n := range r.entries {
			names = append(names, n)
		}
		slices.Sort(names)
		for _, n := range names {
			e := r.entries[n]
			switch {
			case e.bad != nil:
				out = append(out, n+"=!")
			case e.text != "":
				out = append(out, strings.TrimSpace(n+"="+e.text+" "+e.unit))
			}
		}
	}
	for _, f := range faults {
		out = append(out, f.Code+" "+f.Place.String())
	}
	return strings.Join(out, " ")
}

// TestListSheet: the things of a sheet of lists, below a row of headings and rows about the columns.
func TestListSheet(t *testing.T) {
	tanks, _ := findSheet("Tanks")
	for _, c := range []struct {
		what string
		rows [][]any
		want string
	}{
		{"plain", [][]any{{"name", "volume"}, {"drum", "200 L"}}, "name=drum volume=200 L"},
		{"with rows about the columns", [][]any{{"Our tanks"}, {"field", "name", "volume"}, {"units", "", "L"}, {"meaning", "a", "b"}, {"", "drum", 200.0}},
			"name=drum volume=200 L"},
		{"an empty row between", [][]any{{"name", "volume"}, {"drum", "200 L"}, {"", ""}, {"bin", "90 L"}}, "name=drum volume=200 L name=bin volume=90 L"},
		{"one heading alone", [][]any{{"name", "x"}, {"drum"}}, "no-heading s.xlsx: Tanks"},
		{"without the first field", [][]any{{"volume", "usable"}, {"200 L", "90 %"}}, "no-heading s.xlsx: Tanks"},
		{"a column twice", [][]any{{"name", "volume", "volume"}, {"drum", "200 L", "90 L"}}, "name=drum volume=200 L field-twice s.xlsx: Tanks!C1"},
		{"a strange column", [][]any{{"name", "volume", "colour"}, {"drum", "200 L", "blue"}}, "name=drum volume=200 L field-unknown s.xlsx: Tanks!C1"},
		{"filled in its first row alone", [][]any{{"name", "volume", "colour"}, {"drum", "200 L"}, {"bin", "9 L", "blue"}},
			"name=drum volume=200 L name=bin volume=9 L field-unknown s.xlsx: Tanks!C1"},
		{"empty below", [][]any{{"name", "volume", "colour"}, {"drum", "200 L", ""}}, "name=drum volume=200 L"},
		{"a note", [][]any{{"name", "volume", "note"}, {"drum", "200 L", "blue"}}, "name=drum volume=200 L"},
		{"a fault in a cell is a thing", [][]any{{"name", "volume"}, {"", grid.Cell{Kind: grid.Faulty, Text: "#REF!"}}}, "volume=!"},
	} {
		var faults note.List
		if got := told(sheetOf("Tanks", c.rows...).list(tanks, &faults), faults); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// TestDaysOfSheets: day numbers count from the end of 1899, or from 1904; by hand 46082 is 1 March 2026 (25569 the first of 1970
// and 20513 days more), and half a second before midnight is the day that comes.
func TestDaysOfSheets(t *testing.T) {
	for _, c := range []struct {
		serial float64
		since  bool // 1904
		want   string
	}{{46082, false, "2026-03-01"}, {46082 - 1462, true, "2026-03-01"}, {25569, false, "1970-01-01"}, {0, true, "1904-01-01"}, {46081.999997, false, "2026-03-01"},
		{46081.99998, false, "2026-02-28"}, {lastDay, false, "9999-12-31"}} {
		x := sheetOf("Flow")
		x.Date1904 = c.since
		if got := x.day(c.serial).Format("2006-01-02"); got != c.want {
			t.Errorf("%v: %s, want %s", c.serial, got, c.want)
		}
	}
	date := &grid.Format{Date: true}
	for num, want := range map[float64]string{0.5: "12:00", 0.260416667: "06:15", 1: "1899-12-31", 46082: "2026-03-01", lastDay: "9999-12-31", lastDay + 1: "!"} {
		e := sheetOf("Flow", []any{grid.Cell{Kind: grid.Numeric, Num: num, Format: date}}).read(0, 0)
		if got := map[bool]string{true: "!", false: e.text}[e.bad != nil]; got != want {
			t.Errorf("%v: %s, want %s", num, got, want)
		}
	}
	percent := &grid.Format{Percent: true}
	for _, c := range []struct {
		cell grid.Cell
		want string
	}{{grid.Cell{Kind: grid.Numeric, Num: 0.485, Format: percent}, "48.5 %"}, {grid.Cell{Kind: grid.Numeric, Num: 3.6}, "3.6"},
		{grid.Cell{Kind: grid.Boolean, Text: "TRUE"}, "yes"}, {grid.Cell{Kind: grid.Boolean, Text: "FALSE"}, "no"}, {grid.Cell{Kind: grid.Textual, Text: " x "}, "x"}} {
		if e := sheetOf("Flow", []any{c.cell}).read(0, 0); e.text != c.want || e.bad != nil {
			t.Errorf("%+v: %q", c.cell, e.text)
		}
	}
}
