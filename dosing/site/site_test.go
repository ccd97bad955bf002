package site

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func workbook(t *testing.T, v Values) *bytes.Buffer {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, v); err != nil {
		t.Fatal(err)
	}
	return &b
}

// withoutPlaces blanks cells, so that a workbook and a YAML file can be compared.
func withoutPlaces(s Site) Site {
	s.File, s.Notes = "", nil
	return s
}

var noPlaces = cmp.FilterPath(func(p cmp.Path) bool {
	return p.Last().Type() == nil || p.Last().Type().Name() == "Place" && strings.HasSuffix(p.Last().Type().PkgPath(), "note")
}, cmp.Ignore())

func TestBothFormsReadTheSame(t *testing.T) {
	v := Example("", "")
	a, err := Read("site.xlsx", workbook(t, v))
	if err != nil {
		t.Fatal(err)
	}
	var y bytes.Buffer
	if err := WriteYAML(&y, v); err != nil {
		t.Fatal(err)
	}
	b, err := Read("site.yaml", bytes.NewReader(y.Bytes()))
	if err != nil {
		t.Fatalf("%v\n%s", err, y.String())
	}
	if d := cmp.Diff(withoutPlaces(a), withoutPlaces(b), noPlaces); d != "" {
		t.Errorf("workbook and YAML differ: %s", d)
	}
	if got := a.Flow.Average.V; got != 3.6 {
		t.Errorf("average flow %v", got)
	}
	if a.Flow.Average.At.Sheet != "Flow" || a.Flow.Average.At.Cell != "B5" {
		t.Errorf("average flow stands at %s", a.Flow.Average.At)
	}
	if len(a.Chemicals) != 2 || a.Chemicals[0].Strength.V != 0.485 || a.Chemicals[0].Basis.V != quantity.AsAlum14 {
		t.Errorf("chemicals: %+v", a.Chemicals)
	}
	if len(a.Drawdown) != 5 || len(a.Tanks) != 5 || !a.Place.Examples.V {
		t.Errorf("lists: %d readings, %d tanks", len(a.Drawdown), len(a.Tanks))
	}
}

// Every field of the table can be written and comes back: no field lacks a home,
// and no two share one.
func TestEveryFieldRoundTrips(t *testing.T) {
	sample := func(s Sheet, f Field) string {
		switch {
		case len(f.Choices) > 0:
			return f.Choices[0]
		case f.Example != "":
			return example(f)
		case f.span.usual[0] != "":
			return strings.TrimSpace(f.span.usual[0] + " " + f.span.unit)
		case f.span.usual[1] != "":
			return strings.TrimSpace(f.span.usual[1] + " " + f.span.unit)
		case f.Unit != "":
			return "7 " + f.Unit
		case f.Numeric:
			return "7"
		case f.Name == "cleaning hours":
			return "06:00-22:00"
		case f.Name == "jar stirrer curve":
			return "30 rpm=16 1/s; 100 rpm=100 1/s"
		case s.Name == "Ponds" && f.Name == "size":
			return "5000 m2 x 1.2 m"
		case f.Name == "cone pairs":
			return "10 mL/L=150 mg/L; 20 mL/L=260 mg/L"
		case f.Name == "tube pairs":
			return "20 cm=45 NTU; 30 cm=25 NTU"
		case strings.Contains(f.Meaning, "hh:mm"):
			return "06:00"
		case strings.Contains(f.Meaning, "year-month-day") || strings.Contains(f.Meaning, "last day"):
			return "2026-03-04"
		}
		return "word"
	}
	for _, s := range Sheets() {
		for _, f := range s.Fields {
			rec := s.record(&Site{}, 0, true)
			e := entry{text: sample(s, f), at: note.Place{Cell: "Z9"}}
			before := rec
			if err := f.put(rec, e); err != nil {
				t.Errorf("%s %s: %v", s.Name, f.Name, err)
				continue
			}
			if cmp.Equal(before, s.record(&Site{}, 0, true), cmp.AllowUnexported()) {
				t.Errorf("%s %s: went nowhere", s.Name, f.Name)
			}
			others := 0
			for _, g := range s.Fields {
				r1, r2 := s.record(&Site{}, 0, true), s.record(&Site{}, 0, true)
				_ = f.put(r1, e)
				_ = f.put(r2, e)
				_ = g.put(r2, entry{text: sample(s, g), at: note.Place{Cell: "Z1"}})
				_ = f.put(r2, e)
				if cmp.Equal(r1, r2) {
					others++ // g writes where f does
				}
			}
			if others != 1 {
				t.Errorf("%s %s: %d fields share its home", s.Name, f.Name, others)
			}
			if f.Meaning == "" || f.Need == "" {
				t.Errorf("%s %s: no meaning or need", s.Name, f.Name)
			}
		}
	}
}

func TestFieldNamesAreTold(t *testing.T) {
	names := map[string]string{}
	for _, s := range Sheets() {
		for _, f := range s.Fields {
			for _, n := range append([]string{f.Name}, f.Also...) {
				k := s.Name + "/" + fold(n)
				if o, ok := names[k]; ok && o != f.Name {
					t.Errorf("%s: %q means both %q and %q", s.Name, n, o, f.Name)
				}
				names[k] = f.Name
			}
		}
	}
}

func TestFaults(t *testing.T) {
	change := func(sheet string, row int, field, value string) Values {
		v := Example("", "")
		v[sheet][row][field] = value
		return v
	}
	for _, x := range []struct {
		name   string
		v      Values
		code   string
		cell   string
		inText string
	}{
		{"a mass for a dose", change("Chemicals", 0, "dose", "25 kg"), "unit-unknown", "Chemicals!D9", `for water that stands also "25 g/m3", "25 g/t", "20 kg per pond", "300 kg/ha", "5 mL per 10 L bucket", "2 scoops per pond" or "2 buckets per pond"`},
		{"text for a dose", change("Chemicals", 0, "dose", "plenty"), "bad-dose", "Chemicals!D9", "plenty"},
		{"negative dose", change("Chemicals", 0, "dose", "-3 mg/L"), "negative-dose", "Chemicals!D9", "negative"},
		{"zero flow", change("Flow", 0, "average flow", "0 m3/h"), "not-positive", "Flow!B5", "above zero"},
		{"unknown unit", change("Flow", 0, "average flow", "2 m3/fortnight"), "unit-unknown", "Flow!B5", "fortnight"},
		{"strength over 100", change("Chemicals", 0, "strength", "485 %"), "bad-percentage", "Chemicals!K9", "485"},
		{"unknown pump", change("Chemicals", 0, "pump", "pmup 1"), "name-unknown", "Chemicals!Q9", `did you mean "pump 1"`},
		{"unknown basis", change("Chemicals", 0, "basis", "as alum 14-hydrat"), "basis-unknown", "Chemicals!E9", "did you mean"},
		{"no name", change("Pumps", 0, "name", ""), "value-missing", "Pumps!B9", "name"},
		{"name twice", change("Tanks", 1, "name", "Alum tank"), "name-twice", "Tanks!B10", "twice"},
		{"two meanings of a comma", change("Flow", 0, "average flow", "1,234 m3/h"), "bad-flow", "Flow!B5", "comma"},
		{"25 hours", change("Flow", 0, "hours a day", "25 h"), "bad-hours", "Flow!B10", "24 h"},
	} {
		_, err := Read("site.xlsx", workbook(t, x.v))
		l := note.Of(err, "?")
		if len(l) == 0 {
			t.Errorf("%s: no fault", x.name)
			continue
		}
		n := l[0]
		if n.Code != x.code || n.Sheet+"!"+n.Cell != x.cell || !strings.Contains(n.Error(), x.inText) || n.File != "site.xlsx" {
			t.Errorf("%s: %s (%s), want %s at %s", x.name, n.Error(), n.Code, x.code, x.cell)
		}
		if strings.Contains(n.Error(), "\n") {
			t.Errorf("%s: more than one line", x.name)
		}
	}
}

func TestYAMLFaults(t *testing.T) {
	for _, x := range []struct{ text, code, cell, inText string }{
		{"flow:\n  average_flwo: 3.6 m3/h\n", "field-unknown", "line 2, column 3", `did you mean "average_flow"`},
		{"flow:\n  average_flow: 3.6\n", "unit-missing", "line 2, column 17", "no unit"},
		{"solids:\n  turbidity_coming_in: 5 NTU\n", "bad-rise", "line 2, column 24", "no rise"},
		{"solids:\n  tank_turbidity: 0 mg/L\n", "not-positive", "line 2, column 19", "above zero"},
		{"solids:\n  outlet_at_best: 5 FAU\n", "bad-reading", "line 2, column 19", "neither turbidity (NTU) nor suspended solids (mg/L)"},
		{"pumps:\n  - name: p\n    turndown: 0.5\n", "bad-number", "line 3, column 15", "1 or more"},
		{"flow:\n  average_flow: 3.6 m3/h\n  average_flow: 5.4 m3/h\n", "", "line 3, column 3", ""},
		{"flwo:\n  average_flow: 3.6 m3/h\n", "sheet-unknown", "line 1, column 1", `did you mean "flow"`},
		{"chemicals: alum\n", "bad-yaml", "line 1, column 1", "list"},
		{"chemicals:\n  - name: alum\n    basis: as Al\n    dose: [1, 2]\n", "bad-yaml", "line 4, column 5", "one value"},
		{"flow: {average_flow: \"3.6 m3/h\"\n", "bad-yaml", "", "not YAML"},
		{"", "not-a-site", "", "no part"},
		{"\ufeff\n", "not-a-site", "", "no part"},
		{"flow:\n  average_flow: 3.6 m3/h\n---\nflow:\n  average_flow: 3 m3/h\n", "second-document", "line 3, column 1", "a second document"},
		{"flow: &f\n  average_flow: 3.6 m3/h\n", "bad-yaml", "line 1, column 7", "anchors"},
		{"flow:\n  average_flow: 2\x00 m3/h\n", "nul-byte", "line 2", "zero byte"},
		{"flow: " + strings.Repeat("[", 30), "too-large", "line 1, column 26", "nested more than 20 deep"},
	} {
		_, err := Read("site.yaml", strings.NewReader(x.text))
		l := note.Of(err, "?")
		found := false
		for _, n := range l {
			found = found || (x.code == "" || n.Code == x.code) && (x.cell == "" || n.Cell == x.cell) && strings.Contains(n.Error(), x.inText)
		}
		if !found {
			t.Errorf("%q: %v, want %s at %s", x.text, err, x.code, x.cell)
		}
	}
}

func TestWrongFiles(t *testing.T) {
	for _, x := range []struct{ name, data, code string }{
		{"site.xlsx", "", "empty-file"},
		{"site.xlsx", "\xD0\xCF\x11\xE0rest", "old-xls"},
		{"site.xlsx", "a,b,c\n1,2,3\n", "not-a-workbook"},
		{"site.xlsx", "<html>", "html"},
		{"site.xlsx", "PK\x03\x04nonsense", "damaged-file"},
		{"site.doc", "x", "site-format"},
	} {
		_, err := Read(x.name, strings.NewReader(x.data))
		if l := note.Of(err, "?"); len(l) != 1 || l[0].Code != x.code || l[0].Remedy == "" {
			t.Errorf("%s %q: %v, want %s", x.name, x.data, err, x.code)
		}
	}
}

func TestClock(t *testing.T) {
	for _, x := range []struct {
		text string
		want float64
		ok   bool
	}{{"06:00", 6, true}, {"6:30", 6.5, true}, {"24:00", 24, true}, {"24:30", 0, false}, {"6.30", 0, false}, {"07:61", 0, false}} {
		v, err := parseClock(x.text)
		if (err == nil) != x.ok || float64(v) != x.want {
			t.Errorf("%q: %v %v", x.text, v, err)
		}
	}
}
