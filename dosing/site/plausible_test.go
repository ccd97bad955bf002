package site

import (
	"bytes"
	_ "embed"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
)

//go:embed testdata/slips.txt
var slipTable string

// changed reads the example with one value written otherwise.
func changed(t *testing.T, sheet string, row int, field, value string) (Site, note.List) {
	t.Helper()
	v := Example("", "")
	v[sheet][row][field] = value
	var b bytes.Buffer
	if err := WriteYAML(&b, v); err != nil {
		t.Fatal(err)
	}
	s, err := Read("site.yaml", &b)
	return s, append(note.Of(err, "?"), s.Notes...)
}

// TestSlips: each slip is met as the table says, names its field, file and place,
// and asks for what was meant.
func TestSlips(t *testing.T) {
	rows := table.Rows(slipTable)
	if len(rows) < 60 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, r := range rows {
		row, _ := strconv.Atoi(r[1])
		_, said := changed(t, r[0], row, r[2], r[3])
		want, code, _ := strings.Cut(r[4], ": ")
		level := map[string]note.Level{"ask": note.Caution, "error": note.Error}[want]
		what := strings.Join(r[:4], " | ")
		if want == "quiet" {
			if len(said) > 0 {
				t.Errorf("%s: %v", what, said)
			}
			continue
		}
		i := slices.IndexFunc(said, func(n note.Note) bool { return n.Code == code })
		if i < 0 {
			t.Errorf("%s: %v, want %s", what, said, code)
			continue
		}
		n := said[i]
		if n.Level != level || n.File != "site.yaml" || !strings.HasPrefix(n.Cell, "line ") || n.Remedy == "" || !strings.Contains(n.Message, r[5]) {
			t.Errorf("%s: %s: %s, want %s about %s", what, n.Level, n.Error(), want, r[5])
		}
		if code != "values-disagree" && !strings.HasPrefix(n.Message, r[2]) {
			t.Errorf("%s: the field is not named: %s", what, n.Message)
		}
		if strings.Contains(n.Message, "did you mean") != (strings.HasPrefix(r[5], `"`)) {
			t.Errorf("%s: asks otherwise: %s", what, n.Message)
		}
		if len(said) != 1 && code != "values-disagree" {
			t.Errorf("%s: %d things are said: %v", what, len(said), said)
		}
	}
}

// TestRangesAreWhole: every field that takes a number has a row with a physical high
// and a source, the example lies within what is usual, and every row and pair is of a field.
func TestRangesAreWhole(t *testing.T) {
	fields := map[[2]string]bool{}
	for _, sh := range Sheets() {
		for _, f := range sh.Fields {
			if !f.Numeric {
				continue
			}
			name := f.Name
			if strings.HasPrefix(name, "flow at ") && strings.HasSuffix(name, ":00") {
				name = "flow at HH:00"
			}
			fields[[2]string{sh.Name, name}] = true
			if f.span.physical[1] == "" || f.span.source == "" {
				t.Errorf("%s %s: no physical high or no source", sh.Name, f.Name)
				continue
			}
			unit := strings.TrimSpace(" " + f.span.unit)
			for _, high := range []string{"9e99", "1e308", "1.7e308"} {
				e := entry{text: strings.TrimSpace(high + " " + unit), at: note.Place{Cell: "B7"}}
				record := sh.record(&Site{}, 0, true)
				n := note.Of(f.put(record, e), "?")
				if v, _ := f.known(record); len(n) != 1 || n[0].Level != note.Error || v != nil {
					t.Errorf("%s %s: %s gives %v, %v", sh.Name, f.Name, e.text, v, n)
				}
			}
			for _, none := range []string{"Inf", "+Inf", "-Inf", "NaN", "1e309", "1e999"} {
				record := sh.record(&Site{}, 0, true)
				err := f.put(record, entry{text: strings.TrimSpace(none + " " + unit), at: note.Place{Cell: "B7"}})
				if v, _ := f.known(record); err == nil || v != nil {
					t.Errorf("%s %s: %s gives %v", sh.Name, f.Name, none, v)
				}
			}
		}
	}
	for at := range plausibles().spans {
		if !fields[at] {
			t.Errorf("a range of no field: %v", at)
		}
	}
	for _, p := range plausibles().pairs {
		Row(p.sheet, p.field) // panics where there is none
		Row(p.sheet, p.other)
		if p.times <= 0 || p.level < note.Caution || p.means == "" {
			t.Errorf("pair %+v", p)
		}
	}
	if s := exampleSite(); len(s.Notes) > 0 || s.Flow.Average.V != 3.6 {
		t.Errorf("the example: %v", s.Notes)
	}
}

// TestRangeEnds: a range holds its ends, and says which side is left.
func TestRangeEnds(t *testing.T) {
	for _, x := range []struct{ value, code, says string }{
		{"0.5 C", "", ""}, {"38 C", "", ""}, {"0.4 C", "value-unusual", "less than is usual (0.5 C to 38 C)"},
		{"38.5 C", "value-unusual", "more than is usual (0.5 C to 38 C)"}, {"60 C", "value-unusual", "more"}, {"-2.5 C", "value-unusual", "less"},
		{"60.1 C", "value-impossible", "beyond what can be (-2.5 C to 60 C)"}, {"-2.6 C", "value-impossible", "beyond"}, {"0 C", "", ""},
	} {
		s, said := changed(t, "Water", 0, "temperature", x.value)
		got := ""
		if len(said) > 0 {
			got = said[0].Code
		}
		if got != x.code || len(said) > 0 && (!strings.Contains(said[0].Message, x.says) || said[0].Source == "") {
			t.Errorf("%s: %v", x.value, said)
		}
		if kept := s.Water.Temperature.OK; kept != (x.code != "value-impossible") {
			t.Errorf("%s: kept %v", x.value, kept)
		}
	}
}

// TestPairEnds: a pair speaks just above its times, and not where one side is not given.
func TestPairEnds(t *testing.T) {
	v := func(peak string) int {
		_, said := changed(t, "Flow", 0, "peak flow", peak)
		n := 0
		for _, x := range said {
			if x.Code == "values-disagree" && strings.HasPrefix(x.Message, "peak flow ") && strings.Contains(x.Message, "12 times the average flow 3.6 m3/h") {
				n++
			}
		}
		return n
	}
	if v("43.2 m3/h") != 0 || v("43.3 m3/h") != 1 || v("") != 0 {
		t.Errorf("at 12 times %d, above %d, without %d", v("43.2 m3/h"), v("43.3 m3/h"), v(""))
	}
}

// TestLeftovers: what stands of the example is named in a site that says it is its own.
func TestLeftovers(t *testing.T) {
	read := func(change func(Values)) (note.Note, bool) {
		v := Example("", "")
		v["Place"][0]["example values"] = "no"
		change(v)
		var b bytes.Buffer
		if err := WriteYAML(&b, v); err != nil {
			t.Fatal(err)
		}
		s, err := Read("site.yaml", &b)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(s.Notes, func(n note.Note) bool { return n.Code == "example-left" })
		if i < 0 {
			return note.Note{}, false
		}
		return s.Notes[i], true
	}
	only := func(sheets ...string) func(Values) {
		return func(v Values) {
			for name := range v {
				if name != "Place" && !slices.Contains(sheets, name) {
					delete(v, name)
				}
			}
			v["Place"][0]["name"] = "Ours"
		}
	}
	for _, x := range []struct {
		what   string
		change func(Values)
		says   []string // nil: nothing
	}{
		{"all of it", func(Values) {}, []string{"name (line", "pH (line", "more"}},
		{"the name alone", func(v Values) { only()(v); v["Place"][0]["name"] = "Beckside trout hatchery (example)" }, []string{"example: name (line"}},
		{"nothing", only(), nil},
		{"a row of animals", only("Animals"), []string{`a row of Animals, "fry troughs"`}},
		{"a row with one figure of its own", func(v Values) { only("Animals")(v); v["Animals"][0]["stage"] = "adult" }, nil},
		{"two telling figures", func(v Values) {
			only()(v)
			v["Water"] = []map[string]string{{"pH": "7.6", "alkalinity": "85 mg/L CaCO3"}}
		}, nil},
		{"three telling figures", func(v Values) {
			only()(v)
			v["Water"] = []map[string]string{{"pH": "7.6", "alkalinity": "85 mg/L CaCO3", "hardness": "95 mg/L"}}
		}, []string{"pH (line", "alkalinity (line", "hardness (line"}},
		{"round figures", func(v Values) {
			only()(v)
			v["Water"] = []map[string]string{{"temperature": "9 C", "turbidity": "60 NTU", "alkalinity to leave": "50 mg/L CaCO3", "salinity": "0 g/kg"}}
		}, nil},
		{"a price", func(v Values) {
			only()(v)
			v["Prices"] = []map[string]string{{"chemical": "make-up water", "price": "1.9 EUR/m3"}, {"chemical": "electricity", "price": "0.3 EUR/kWh"}}
		}, []string{`example: a row of Prices, "make-up water" (line`}},
	} {
		n, said := read(x.change)
		if said != (x.says != nil) {
			t.Errorf("%s: said %v: %s", x.what, said, n.Message)
		}
		for _, w := range x.says {
			if !strings.Contains(n.Message, w) || n.Level != note.Caution || n.Cell == "" || n.Remedy == "" {
				t.Errorf("%s: %s, want %q", x.what, n.Error(), w)
			}
		}
	}
}
