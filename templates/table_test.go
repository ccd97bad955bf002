package templates

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/clarify"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

func TestTablesOfObjects(t *testing.T) {
	var b bytes.Buffer
	w := NewText(&b, Options{})
	w.each(cols("jar", ">dose", absent, "#flow"), []*figure.Object{figure.New(), figure.New().Set("out", true), figure.New()}, func(i int, x *figure.Object) []any {
		if x.Has("out") {
			return nil
		}
		return []any{"#" + string(rune('1'+i)), 5 + i, "not wanted", figure.Of("", figure.Plain{V: 2.5, U: "m3/h"}, "", 3)}
	})
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	if got, want := b.String(), "jar  dose  flow m3/h\n#1      5        2.5\n#3      7        2.5\n"; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// TestAColumnHasOneUnit: masses on both sides of where a smaller unit is shown, 0.5 kg and 1 lb, stand in the unit that the heading says, whichever
// comes first: 1 lb is 16 oz and 453.59237 g.
func TestAColumnHasOneUnit(t *testing.T) {
	rows := func(kg ...float64) (out [][]any) {
		for _, m := range kg {
			out = append(out, []any{"x", kilos("", quantity.Mass(m), 3)})
		}
		return append(out, []any{"y", figure.Figure{}})
	}
	for _, x := range []struct {
		kg    []float64
		units quantity.System
		want  string
	}{
		{[]float64{0.502, 0.796, 0.494, 0.0455}, quantity.Metric, "of it;kg 0.502 0.796 0.494 0.0455 -"},
		{[]float64{0.482, 0.575}, quantity.Metric, "of it;kg 0.482 0.575 -"},
		{[]float64{0.482, 0.3}, quantity.Metric, "of it;g 482 300 -"},
		{[]float64{0, 0.3}, quantity.Metric, "of it;g 0 300 -"},
		{[]float64{0.28321, 0.45812}, quantity.US, "of it;lb 0.624 1.01 -"},
	} {
		heads, cells := Options{Units: x.units}.words(cols("", "#of it"), rows(x.kg...))
		got := []string{strings.ReplaceAll(heads[1], "it ", "it;")}
		for _, r := range cells {
			got = append(got, r[1])
		}
		if s := strings.Join(got, " "); s != x.want {
			t.Errorf("%q, want %q", s, x.want)
		}
	}
	if got := (Options{}).Show(unitless(doseOf("dose", 7200, quantity.AsProduct, 3))); got != "7200" {
		t.Errorf("a dose of 7.2 g/L under mg/L reads %s", got)
	}
}

// TestNamesWithPoints has a chemical whose name looks like a path.
func TestNamesWithPoints(t *testing.T) {
	k := clarify.Tank{Volume: 50000, Flow: 10, Removal: 0.5, Start: 40, Stop: 10, Key: jartest.Turbidity,
		Chemicals: []clarify.Chemical{{Name: "PAC 2.5", Rule: clarify.Always(3)}}}
	run, err := k.Run()
	if err != nil {
		t.Fatal(err)
	}
	r := ClarifyReport{Cleaning: dosing.Cleaning{CleaningInput: dosing.CleaningInput{Tank: k}, Result: run}}
	rows := r.Table().Strings()
	at := slices.Index(rows[0], "pac_2.5_dose_mg_per_l")
	if at < 0 || rows[1][at] != "3" {
		t.Errorf("column %d of %v in %v", at, rows[0], rows[1])
	}
}

// TestJarsAreWords keeps the label of a jar as it is written, in CSV and in a workbook.
func TestJarsAreWords(t *testing.T) {
	s := jartest.Series{Name: "1e3", Jars: []jartest.Jar{{Label: "01", Readings: jartest.Readings{
		{Key: jartest.Turbidity, Reading: jartest.Reading{Value: 2.5, State: jartest.Number}}, {Key: jartest.Colour, Reading: jartest.Reading{Value: 5, State: jartest.Below, Limit: true}}, {Key: jartest.TSS, Reading: jartest.Reading{State: jartest.Above}}}}}}
	r := Read{Series: []jartest.Series{s}}
	var csv, book bytes.Buffer
	if err := WriteCSV(&csv, r.Table(), Options{DecimalComma: true}); err != nil {
		t.Fatal(err)
	}
	if _, row, _ := strings.Cut(csv.String(), "\n"); !strings.HasPrefix(row, "1e3;01;") || !strings.Contains(row, "2,5") || !strings.Contains(row, "<5") || !strings.Contains(row, "over range") {
		t.Errorf("%q", row)
	}
	if err := WriteBook(&book, r, Options{}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`Data!A2 "1e3"`, `Data!B2 "01"`, `"2.5"`} {
		if got := cells(t, book.Bytes()); !strings.Contains(got, want) {
			t.Errorf("no %s in\n%s", want, got)
		}
	}
}
