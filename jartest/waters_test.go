package jartest

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// scan is a series of jars at these doses of alum, each turned by what is given.
func scan(doses []float64, turn func(i int, j *Jar)) Series {
	s := Series{Name: "bench", Chemicals: []Chemical{{Name: "alum"}}}
	for i, d := range doses {
		j := Jar{Doses: []JarDose{{Concentration: quantity.Concentration(d), Known: true}}, Control: d == 0,
			Readings: Readings{{Key: Turbidity, Reading: Num(50-d+float64(i), "NTU")}}}
		turn(i, &j)
		s.Jars = append(s.Jars, j)
	}
	return s
}

var twice = []float64{0, 10, 20, 30, 0, 10, 20, 30}

// TestWaters: jars of several waters become series of their own, each named by its
// water; what follows the dose, or drifts, does not part them.
func TestWaters(t *testing.T) {
	raw := func(k Key, unit string, v ...float64) func(int, *Jar) {
		return func(i int, j *Jar) { j.Raw = map[Key]Reading{k: Num(v[i*len(v)/len(twice)], unit)} }
	}
	read := func(k Key, v ...float64) func(int, *Jar) {
		return func(i int, j *Jar) { j.Readings.Set(k, Num(v[i*len(v)/len(twice)], k.Info().Unit)) }
	}
	said := func(name string, v ...string) func(int, *Jar) {
		return func(i int, j *Jar) { j.Said = []Fact{{Name: name, Value: v[i*len(v)/len(twice)]}} }
	}
	for _, c := range []struct {
		name  string
		turn  func(int, *Jar)
		names string // of the parts
		note  string
	}{
		{"raw turbidity", raw(Turbidity, "NTU", 60, 160), "bench, raw turbidity 60 NTU; bench, raw turbidity 160 NTU", "waters-parted"},
		{"raw turbidity as it was read", raw(Turbidity, "NTU", 60, 63), "bench", ""},
		{"raw pH", raw(PH, "", 6.5, 7.5), "bench, raw pH 6.5; bench, raw pH 7.5", "waters-parted"},
		{"temperature", read(TemperatureKey, 8, 18), "bench, temperature 8 C; bench, temperature 18 C", "waters-parted"},
		{"temperature that drifts", read(TemperatureKey, 15, 15.5, 16, 16.5, 17, 17.5, 18, 18.5), "bench", ""},
		{"pond", said("pond", "north", "south"), "bench, pond north; bench, pond south", "waters-parted"},
		{"a remark", said("floc", "pin", "pin", "big", "big", "pin", "big", "big", "big"), "bench", ""},
		{"a condition", read("rpm", 30, 60), "bench, rpm 30; bench, rpm 60", "factor-parted"},
		{"a response", read("floc_size", 1, 2, 3, 4, 1, 2, 3, 5), "bench", ""},
		{"a reading of a known kind", read(Colour, 20, 30), "bench", ""},
		{"ponds, each jar from one", said("source", "1", "2", "3", "4", "5", "6", "7", "8"), "bench", "waters-mixed"},
		{"a number of rows", said("source record", "1", "2", "3", "4", "5", "6", "7", "8"), "bench", ""},
		{"a number of rows that is read", read("source_record", 1, 2, 3, 4, 5, 6, 7, 8), "bench", ""},
		{"a number of rows, of the raw water", raw("source_record", "", 1, 2, 3, 4, 5, 6, 7, 8), "bench", ""},
		{"too few of each", raw("humic_acid", "mg/L", 0, 0, 2, 2, 4, 4, 6, 6), "bench", "waters-mixed"},
	} {
		parts, notes := scan(twice, c.turn).Waters()
		var names []string
		jars := 0
		for _, p := range parts {
			names = append(names, p.Name)
			jars += len(p.Jars)
		}
		if got := strings.Join(names, "; "); got != c.names || jars != len(twice) {
			t.Errorf("%s: %q with %d jars, want %q", c.name, got, jars, c.names)
		}
		if c.note == "" && len(notes) > 0 || c.note != "" && (len(notes) != 1 || notes[0].Code != c.note) {
			t.Errorf("%s: notes %v, want %s", c.name, notes, c.note)
		}
	}
}

// TestConstituents: humic acid beside alum is no chemical to advise on, and goes to
// the raw water with its value; alone it stays what was dosed.
func TestConstituents(t *testing.T) {
	s := scan(twice, func(i int, j *Jar) {
		j.Doses = append(j.Doses, JarDose{Concentration: quantity.Concentration(9 * (i / 4)), Known: true})
		j.Control = i == 0
	})
	s.Chemicals = append(s.Chemicals, Chemical{Name: "humic acid"})
	parts, _ := s.Waters()
	if len(parts) != 2 || parts[1].Name != "bench, humic acid 9 mg/L" {
		t.Fatalf("%d parts: %+v", len(parts), parts)
	}
	for _, p := range parts {
		if len(p.Chemicals) != 1 || len(p.Jars) != 4 || len(p.Jars[0].Doses) != 1 || !p.Jars[0].Control {
			t.Errorf("%s: %d chemicals, %d jars, control %v", p.Name, len(p.Chemicals), len(p.Jars), p.Jars[0].Control)
		}
	}
	if parts[0].Raw["humic_acid"].Value != 0 || parts[1].Raw["humic_acid"].Value != 9 {
		t.Errorf("raw waters %v and %v", parts[0].Raw, parts[1].Raw)
	}
	if len(s.Chemicals) != 2 || len(s.Jars[0].Doses) != 2 {
		t.Error("the series given was changed")
	}
	s.Chemicals[0].Name = "kaolin"
	if parts, _ = s.Waters(); len(parts[0].Chemicals) != 1 || parts[0].Chemicals[0].Name != "humic acid" {
		t.Errorf("of two constituents one is left as what was varied: %+v", parts[0].Chemicals)
	}
}
