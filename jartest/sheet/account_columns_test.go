package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
)

// columnsOf reads a text and writes its columns, each with its cell.
func columnsOf(t *testing.T, text string, opt Options) (map[string]string, SheetAccount) {
	t.Helper()
	opt.Account = true
	r, err := Read("t.csv", strings.NewReader(text), opt)
	if err != nil || len(r.Account.Sheets) != 1 {
		t.Fatalf("%d sheets, %v", len(r.Account.Sheets), err)
	}
	got := map[string]string{}
	for _, c := range r.Account.Sheets[0].Columns {
		words := []string{c.State.String(), c.As()}
		if c.Unit != "" {
			words = append(words, "in "+c.Unit)
		}
		if c.Repeats > 0 {
			words = append(words, fmt.Sprintf("%d of %d", c.Repeat, c.Repeats))
		}
		if c.Told {
			words = append(words, "told")
		}
		if c.Across {
			words = append(words, "across")
		}
		got[c.At] = strings.Join(append(words, "by "+c.Heading), ", ")
	}
	return got, r.Account.Sheets[0]
}

// TestAccountOfColumns holds what is said above each column against what a person would say.
func TestAccountOfColumns(t *testing.T) {
	for _, c := range []struct {
		name, text string
		opt        Options
		want       map[string]string
	}{
		{"plain", "Jar,Alum (mg/L as Al),Turbidity (NTU),Remarks\n1,1,30,hazy\n2,2,12,\n3,3,5,clear\n", Options{}, map[string]string{
			"A1": "used, label, by Jar", "B1": "used, dose of alum, in mg/L as Al, by Alum (mg/L as Al)",
			"C1": "used, turbidity, in NTU, by Turbidity (NTU)", "D1": "set aside, remark, by Remarks"}},
		{"repeats", "Jar,Alum (mg/L),Turbidity 1 (NTU),Turbidity 2 (NTU),pH\n1,10,30,31,7.1\n2,20,12,12,7.0\n3,30,5,5,6.9\n", Options{}, map[string]string{
			"B1": "used, dose of alum, in mg/L not stated, by Alum (mg/L)", "C1": "used, turbidity, in NTU, 1 of 2, by Turbidity 1 (NTU)",
			"D1": "used, turbidity, in NTU, 2 of 2, by Turbidity 2 (NTU)", "E1": "used, pH, by pH"}},
		{"a reading of the user's own", "Jar,Alum (mg/L),Turbidity (NTU),Fluffiness\n1,10,30,4\n2,20,12,5\n3,30,5,9\n", Options{}, map[string]string{
			"D1": "used, fluffiness, by Fluffiness"}},
		{"not understood", "Jar,Alum (mg/L),Turbidity (NTU),Alum (mg/fortnight)\n1,10,30,4\n2,20,12,5\n3,30,5,9\n", Options{}, map[string]string{
			"D1": "not understood, dose of alum, by Alum (mg/fortnight)"}},
		{"told by its letter", "Jar,Alum (mg/L),Turbidity (NTU),Fluffiness\n1,10,30,4\n2,20,12,5\n3,30,5,9\n",
			Options{Columns: []Override{{Header: "D", Meaning: "tss mg/L"}}}, map[string]string{
				"D1": "used, suspended solids, in mg/L, told, by Fluffiness", "C1": "used, turbidity, in NTU, by Turbidity (NTU)"}},
		{"one heading twice", "Jar,Alum (mg/L),Result,Result\n1,10,30,7.1\n2,20,12,7.0\n3,30,5,6.9\n",
			Options{Columns: []Override{{Header: "C", Meaning: "turbidity NTU"}, {Header: "D", Meaning: "pH"}}}, map[string]string{
				"C1": "used, turbidity, in NTU, told, by C", "D1": "used, pH, told, by D"}},
		{"stock", "Stock strength,10,g/L\nJar volume,1,L\n\nJar,Alum (mL),Turbidity (NTU)\n1,1,30\n2,2,12\n3,3,5\n", Options{}, map[string]string{
			"B4": "used, stock volume of alum, in mL, by Alum (mL)"}},
		{"jars across", "Jar,1,2,3\nAlum (mg/L),10,20,30\nTurbidity (NTU),30,12,5\n", Options{}, map[string]string{
			"A2": "used, dose of alum, in mg/L not stated, across, by Alum (mg/L)", "A3": "used, turbidity, in NTU, across, by Turbidity (NTU)"}},
		{"doses alone", "Jar,Alum (mg/L)\n1,10\n2,20\n3,30\n", Options{}, map[string]string{"B1": "set aside, doses without readings, by Alum (mg/L)"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, _ := columnsOf(t, c.text, c.opt)
			for at, want := range c.want {
				if got[at] != want {
					t.Errorf("%s is %q, want %q", at, got[at], want)
				}
			}
		})
	}
}

// TestColumnsAreNamedAsTheUserMay puts every heading of every layout back in as an
// override: none may be one that no table has.
func TestColumnsAreNamedAsTheUserMay(t *testing.T) {
	for _, text := range []string{
		"Jar,Alum (mg/L),Result,Result\n1,10,30,7.1\n2,20,12,7.0\n3,30,5,6.9\n",
		"Jar,1,2,3\nAlum (mg/L),10,20,30\nTurbidity (NTU),30,12,5\nFluffiness,1,2,3\n",
		",Turbidity,pH\nDose (mg/L),NTU,\n10,30,7\n20,12,7\n30,5,7\n",
	} {
		_, s := columnsOf(t, text, Options{})
		if len(s.Columns) == 0 {
			t.Errorf("%q has no columns", text)
		}
		for _, c := range s.Columns {
			r, err := Read("t.csv", strings.NewReader(text), Options{Columns: []Override{{Header: c.Heading, Meaning: "dose mg/L"}}})
			if err != nil {
				t.Fatal(err)
			}
			for _, n := range r.Notes {
				if n.Code == "no-such-column" || n.Code == "column-several" {
					t.Errorf("%q of %q: %s", c.Heading, text, n.Message)
				}
			}
		}
	}
}

// TestFactsOfASheet holds the facts beside the tables: what each is, as the sheet names
// it, its value with the unit, and its cell.
func TestFactsOfASheet(t *testing.T) {
	const text = "Raw turbidity,46,NTU\nTarget turbidity,<= 5,NTU\nOperator,early shift\nJar volume: 1 L\nStock strength,10,g/L\n\n" +
		"Jar,Alum (mL),Turbidity (NTU)\n1,1,30\n2,2,12\n3,3,5\n"
	_, s := columnsOf(t, text, Options{})
	want := []FactAccount{
		{"raw turbidity", "Raw turbidity", "46 NTU", "B1", Used},
		{"target", "Target turbidity", "<= 5 NTU", "B2", Used},
		{"operator", "Operator", "early shift", "B3", SetAside},
		{"jar volume", "", "Jar volume: 1 L", "A4", Used},
		{"stock strength", "Stock strength", "10 g/L", "B5", Used},
	}
	got := s.Facts()
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("facts are\n%+v, want\n%+v", got, want)
		}
	}
}

// TestUnfilledRowsOfOurOwnSheet: a formula without a stored value is no fault in a row of our own
// sheet in which nobody planned a dose or added stock; where one did, it is worked out.
func TestUnfilledRowsOfOurOwnSheet(t *testing.T) {
	hollow := grid.Cell{Formula: true, Hollow: true}
	text := func(s string) grid.Cell { return grid.Cell{Kind: grid.Textual, Text: s} }
	number := func(v float64) grid.Cell {
		return grid.Cell{Kind: grid.Numeric, Num: v, Text: strconv.FormatFloat(v, 'g', -1, 64)}
	}
	rows := [][]grid.Cell{{text("Jar"), text(ownPlanned), text(ownAdded), text(ownDose), text("Turbidity (NTU)")},
		{number(1), number(0), {}, hollow, number(30)}, {number(2), number(5), {}, hollow, number(12)}, {number(3), number(9), {}, hollow, number(4)},
		{number(4), {}, {}, hollow, {}}}
	m := &maker{b: &bench{decimals: map[*layout.Area]layout.Decimals{}}}
	m.t = &layout.Table{View: layout.View{Area: &layout.Area{Sheet: &grid.Sheet{Rows: rows}}}, Last: 4, C1: 4}
	for i, c := range rows[0] {
		m.t.Cols = append(m.t.Cols, layout.Column{C: i, Parts: []string{c.Text}})
	}
	dose := field{Column: m.t.Cols[3]}
	for r, want := range map[int]bool{1: false, 2: false, 4: true} {
		if got := m.ownUnfilled(dataRow{r: r}, dose); got != want {
			t.Errorf("row %d is unfilled: %v, want %v", r, got, want)
		}
	}
	if m.ownUnfilled(dataRow{r: 4}, field{Column: m.t.Cols[4]}) {
		t.Error("a reading is taken for the dose")
	}
}
