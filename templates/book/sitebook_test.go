package book

import (
	"bytes"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// TestSiteReadsBack writes the example site as a workbook and as YAML and reads
// both: the places differ, the site does not.
func TestSiteReadsBack(t *testing.T) {
	values := site.Example("", "")
	b := New(Meta{})
	b.Site(values)
	got, err := site.Read("site.xlsx", bytes.NewReader(write(t, b)))
	if err != nil {
		t.Fatal(err)
	}
	var y bytes.Buffer
	if err := site.WriteYAML(&y, values); err != nil {
		t.Fatal(err)
	}
	want, err := site.Read("site.yaml", &y)
	if err != nil {
		t.Fatal(err)
	}
	got.File, want.File, got.Notes, want.Notes = "", "", nil, nil
	places := cmp.FilterPath(func(p cmp.Path) bool {
		return p.Last().Type() != nil && p.Last().Type().Name() == "Place" && strings.HasSuffix(p.Last().Type().PkgPath(), "note")
	}, cmp.Ignore())
	if d := cmp.Diff(want, got, places); d != "" {
		t.Errorf("the workbook reads otherwise than the YAML:\n%s", d)
	}
}

// TestEveryFieldStandsInTheSiteWorkbook looks for name, meaning and need of each field.
func TestEveryFieldStandsInTheSiteWorkbook(t *testing.T) {
	b := New(Meta{})
	b.Site(nil)
	on := map[string]map[string]bool{}
	for _, s := range b.sheets {
		on[s.name] = map[string]bool{}
		for _, row := range s.cells {
			for _, c := range row {
				if v, ok := c.Value.(string); ok {
					on[s.name][v] = true
				}
			}
		}
	}
	for _, sh := range site.Sheets() {
		for _, f := range sh.Fields {
			if !on[sh.Name][f.Name] {
				t.Errorf("%s: no field %q", sh.Name, f.Name)
			}
			if !on[sh.Name][f.Meaning] && !on[sh.Name][sentenceOf(f.Meaning)] {
				t.Errorf("%s: the meaning of %q is not told", sh.Name, f.Name)
			}
			if f.Unit != "" && !on[sh.Name][f.Unit] {
				t.Errorf("%s: %q has no unit %q", sh.Name, f.Name, f.Unit)
			}
		}
	}
	write(t, b)
}

// TestUSWorkbookIsTheSameSite: the example in US units reads back to the same metric
// site, to the five digits that it is written with, and no cell is in metric units.
func TestUSWorkbookIsTheSameSite(t *testing.T) {
	values := site.Example("", "")
	b := New(Meta{})
	b.SiteIn(values, quantity.US)
	got, err := site.Read("site.xlsx", bytes.NewReader(write(t, b)))
	if err != nil {
		t.Fatal(err)
	}
	m := New(Meta{})
	m.Site(values)
	want, err := site.Read("site.xlsx", bytes.NewReader(write(t, m)))
	if err != nil {
		t.Fatal(err)
	}
	inEuros := func(v reflect.Value) { // dollars stand for euros, one for one
		for i := range v.Len() {
			p := v.Index(i).Addr().Interface().(*site.Price)
			for _, x := range []*quantity.Known[quantity.Price]{&p.Price, &p.Price2, &p.Price3} {
				x.V.Currency = strings.Replace(x.V.Currency, "USD", "EUR", 1)
				if m, volume := x.V.Holds(); m > 0 {
					x.V.Amount, x.V.Per = x.V.Amount/float64(m), "kg"
				} else if volume > 0 {
					x.V.Amount, x.V.Per = x.V.Amount/float64(volume), "L"
				}
			}
			p.Delivery.V.Currency = strings.Replace(p.Delivery.V.Currency, "USD", "EUR", 1)
		}
	}
	inEuros(reflect.ValueOf(got.Prices))
	inEuros(reflect.ValueOf(want.Prices))
	got.Place.Currency.V = "EUR"
	if got.Place.Units.V != "us" {
		t.Errorf("the US workbook answers in %q, want us", got.Place.Units.V)
	}
	got.Place.Units = want.Place.Units
	got.Pumps[0].Heads, got.Pumps[1].Heads = want.Pumps[0].Heads, want.Pumps[1].Heads
	got.File, want.File, got.Notes, want.Notes = "", "", nil, nil
	places := cmp.FilterPath(func(p cmp.Path) bool {
		return p.Last().Type() != nil && p.Last().Type().Name() == "Place" && strings.HasSuffix(p.Last().Type().PkgPath(), "note")
	}, cmp.Ignore())
	if d := cmp.Diff(want, got, places, cmp.FilterPath(func(p cmp.Path) bool {
		return p.Last().Type() != nil && p.Last().Type().Kind() == reflect.Float64
	}, cmp.Comparer(alikeNumbers))); d != "" {
		t.Errorf("the US workbook reads otherwise:\n%s", d)
	}
	blank := New(Meta{})
	blank.SiteIn(nil, quantity.US)
	for _, s := range append(b.sheets, blank.sheets...) {
		if strings.HasPrefix(s.name, "_") || s.name == "Lists" {
			continue
		}
		for _, row := range s.cells {
			for _, c := range row {
				if v, ok := c.Value.(string); ok && metricCell.MatchString(strings.NewReplacer("hh:mm", "", "t 25 C", "").Replace(v)) {
					t.Errorf("%s: a cell says %q", s.name, v)
				}
			}
		}
	}
	for field, unit := range map[[2]string]string{{"Flow", "average flow"}: "gpm", {"Tanks", "volume"}: "gal", {"Prices", "price"}: "USD/lb", {"Water", "temperature"}: "F",
		{"Pumps", "largest rate"}: "gph", {"Solids", "surface"}: "ft2", {"Prices", "on hand"}: "lb", {"Chemicals", "dose"}: "mg/L"} {
		if _, f := site.Row(field[0], field[1]); f.In(quantity.US).Unit != unit {
			t.Errorf("%v is offered in %s, want %s", field, f.In(quantity.US).Unit, unit)
		}
	}
}

// metricCell finds a metric unit anywhere in a cell; mg/L, g/L and mL are those of US readers too.
var metricCell = regexp.MustCompile(`(?:^|[^\pL\d/])(m3/h|m3|L/h|L/min|L|kg/d|kg/L|kg|g|C|m|mm|cm|m2|m/h|kPa|EUR)(?:$|[^\pL\d/])`)

// alikeNumbers reports that two numbers of any kind agree to the five digits of one of them.
func alikeNumbers(a, b any) bool {
	x, y := reflect.ValueOf(a).Float(), reflect.ValueOf(b).Float()
	return math.Abs(x-y) <= 6e-5*math.Max(math.Abs(x), math.Abs(y))
}

// TestSeldomSheetsAreHidden: what few places have is hidden while it is blank, told so in the guide, and read all the same.
func TestSeldomSheetsAreHidden(t *testing.T) {
	for _, filled := range []bool{false, true} {
		values := site.Example("", "")
		if filled {
			values["Ponds"] = []map[string]string{{"name": "pond", "size": "14 m3"}}
			values["Sludge"] = []map[string]string{{"beds": "40 m2"}}
		}
		b := New(Meta{})
		b.Site(values)
		data := write(t, b)
		f, err := excelize.OpenReader(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		for _, sh := range site.Sheets() {
			if shown, err := f.GetSheetVisible(sh.Name); err != nil || shown != (!sh.Seldom || filled) {
				t.Errorf("%s, filled %v: shown %v %v", sh.Name, filled, shown, err)
			}
		}
		s, err := site.Read("site.xlsx", bytes.NewReader(data))
		if err != nil || len(s.Ponds) > 0 != filled {
			t.Errorf("filled %v: %d ponds read, %v", filled, len(s.Ponds), err)
		}
	}
}
