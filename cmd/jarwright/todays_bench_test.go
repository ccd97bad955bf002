package main

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// TestRowsOfBench: a sheet without a name is of all that take their dose from one sheet, else of the only chemical; where that is not
// plain the one that is meant has to be named.
func TestRowsOfBench(t *testing.T) {
	t.Parallel()
	from := func(name, sheet string) site.Chemical {
		return site.Chemical{Name: quantity.Some(name), Bench: quantity.Known[string]{V: sheet, OK: sheet != ""}, Dose: quantity.Known[quantity.Concentration]{V: 5, OK: sheet == ""}}
	}
	pair := []site.Chemical{from("alum", "grid.xlsx"), from("cpam", "grid.xlsx"), from("lime", "")}
	two := []site.Chemical{from("alum", "a.xlsx"), from("cpam", "b.xlsx")}
	for _, x := range []struct {
		of    []site.Chemical
		asked string
		rows  []int
		file  string
		wrong string
	}{
		{pair, "new.xlsx", []int{0, 1}, "new.xlsx", ""},
		{pair, "Lime=new.xlsx", []int{2}, "new.xlsx", ""},
		{pair, "odd=name.xlsx", []int{0, 1}, "odd=name.xlsx", ""},
		{two, "cpam = new.xlsx", []int{1}, "new.xlsx", ""},
		{two, "new.xlsx", nil, "", "the site doses alum, cpam"},
		{two[:1], "", nil, "", "does not say whose dose"},
		{[]site.Chemical{from("alum", "")}, "new.xlsx", []int{0}, "new.xlsx", ""},
		{[]site.Chemical{from("alum", ""), from("lime", "")}, "new.xlsx", nil, "", `--bench "alum=new.xlsx"`},
	} {
		rows, file, err := rowsOfBench(site.Site{Chemicals: x.of}, x.asked)
		if x.wrong != "" {
			if err == nil || !strings.Contains(err.Error(), x.wrong) {
				t.Errorf("%q: %v, want %q", x.asked, err, x.wrong)
			}
			continue
		}
		if err != nil || !slices.Equal(rows, x.rows) || file != x.file {
			t.Errorf("%q is of %v, %s (%v), want %v, %s", x.asked, rows, file, err, x.rows, x.file)
		}
	}
}
