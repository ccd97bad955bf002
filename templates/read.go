package templates

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/templates/figure"
)

// Read is the answer of "read": what was understood of bench sheets.
type Read struct {
	Series []jartest.Series
	Notes  note.List
}

// Text shows each series as a small table with the cells that its columns came
// from, so that a person can check it at a glance.
func (r Read) Text(t *Text, o Options) {
	t.Answer(r.answer())
	for _, s := range r.Series {
		t.Head(s.Name)
		t.Facts(readFacts(t, s))
		t.Blank()
		readTable(t, s)
		t.Blank()
		t.Para("Cells: " + strings.Join(readCells(s), "; ") + ".")
		t.Notes(s.Notes)
	}
	t.aside(slices.DeleteFunc(slices.Clone(r.Notes), func(n note.Note) bool { return n.Level == note.Error })) // those go to the error stream
	if len(r.Notes.Only(note.Caution)) > 0 {
		t.Blank()
		t.Para("Check the cautions before relying on these numbers; 'jarwright read --help' lists the flags that override what was inferred.")
	}
}

// answer is how much was understood, the questions first.
func (r Read) answer() Answer {
	jars, files := 0, []string{}
	all := r.Notes.Only(note.Caution)
	for _, s := range r.Series {
		jars += len(s.Jars)
		all = append(all, s.Notes.Only(note.Caution)...)
		if !slices.Contains(files, s.Place.File) {
			files = append(files, s.Place.File)
		}
	}
	n := Number{For: "Understood", Words: fmt.Sprintf("%d jar tests, %d jars", len(r.Series), jars)}
	a := Answer{Title: "What was read", Place: listed(files), Order: "Hold the tables against your sheet before you rely on them."}
	switch {
	case len(r.Series) == 0:
		n.Words, n.Under, a.Order = "No jars", "no jar test was found", "Give the doses in one column and the readings in others, a jar a row, and read it again."
	case len(all) > 0:
		a.Order = fmt.Sprintf("Answer the %s below first, with a flag or in the sheet.", either(len(all) == 1, "question", fmt.Sprintf("%d questions", len(all))))
	}
	if len(r.Series) == 1 {
		n.Words = fmt.Sprintf("1 jar test, %d jars", jars)
	}
	a.Numbers = []Number{n}
	return a
}

func readFacts(t *Text, s jartest.Series) []Fact {
	out := []Fact{{"from", s.Place.String()}}
	for _, c := range s.Chemicals {
		out = append(out, Fact{"chemical", figure.Say("%s, dose in mg/L, basis %s", c.Name, c.Basis.String()).
			If(c.Stock > 0, ", stock %s", figure.Of("stock", c.Stock, "mg/L", 6))})
	}
	if s.JarVolume > 0 {
		out = append(out, Fact{"jar volume", litres("jar_volume", s.JarVolume, 6)})
	}
	if len(s.Raw) > 0 {
		var parts []any
		for _, k := range rawKeys(s) {
			parts = append(parts, figure.And(" ", readLabel(k), readValue(k, s.Raw[k]), either(k == jartest.TemperatureKey, t.opt.readUnit(k), s.Raw[k].Unit)))
		}
		out = append(out, Fact{"raw water", figure.And(", ", parts...)})
	}
	for _, tg := range s.Targets {
		out = append(out, Fact{"target", targetPhrase(tg)})
	}
	return append(out, protocolFacts(s)...)
}

func rawKeys(s jartest.Series) []jartest.Key {
	return jartest.KindsOf(s.Raw)
}

func readLabel(k jartest.Key) string { return k.Info().Label }

// readValue is a reading in short, without its unit: number, limit, mean of n, or a dash.
func readValue(k jartest.Key, r jartest.Reading) any {
	value := any(unitless(read("", k, r.Value)))
	n := max(len(r.Replicates), r.N)
	b, bound := bounds[r.State]
	switch {
	case bound:
		return figure.Say(b.sign+"%s", either(r.Limit, value, "?"))
	case r.State != jartest.Number:
		return figure.Unknown
	case r.SD <= 0 && n <= 1:
		return value
	}
	spread := figure.Written("", r.SD, either(k == jartest.TemperatureKey, "C", "")) // a difference: no zero of a scale
	return figure.Say("%s", value).If(r.SD > 0, " ± %s", spread).If(n > 1, " (%s)", n)
}

func readTable(t *Text, s jartest.Series) {
	heads, settings, keys := []string{"jar"}, settingKeys(s), s.Keys()
	for _, c := range s.Chemicals {
		heads = append(heads, ">"+c.Name+" mg/L")
	}
	for _, k := range settings {
		heads = append(heads, ">"+strings.ReplaceAll(k, "_", " "))
	}
	for _, k := range keys {
		heads = append(heads, ">"+joined(" ", readLabel(k), t.opt.readUnit(k)))
	}
	var rows [][]any
	for _, j := range s.Jars {
		label := j.Label
		if j.Control && !strings.Contains(strings.ToLower(label), "control") {
			label += " (control)"
		}
		row := []any{label}
		for i := range s.Chemicals {
			row = append(row, readDose(j, i))
		}
		for _, k := range settings {
			v, ok := j.Settings[k]
			row = append(row, figure.Written(k, v, "").If(ok))
		}
		for _, k := range keys {
			row = append(row, readValue(k, j.Readings.Of(k)))
		}
		rows = append(rows, row)
	}
	t.Grid(cols(heads...), rows)
}

func readDose(j jartest.Jar, i int) any {
	if i >= len(j.Doses) || !j.Doses[i].Known {
		return "?"
	}
	return figure.Written("dose", float64(j.Doses[i].Concentration), "")
}

func settingKeys(s jartest.Series) []string {
	seen := map[string]bool{}
	for _, j := range s.Jars {
		for k := range j.Settings {
			seen[k] = true
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// readCells names the first and last cell of each column of a series.
func readCells(s jartest.Series) []string {
	var out []string
	span := func(name string, at func(jartest.Jar) string) {
		var cells []string
		for _, j := range s.Jars {
			if c := at(j); c != "" {
				cells = append(cells, c)
			}
		}
		if len(cells) == 0 {
			return
		}
		name += " " + cells[0]
		if last := cells[len(cells)-1]; last != cells[0] {
			name += " to " + last
		}
		out = append(out, name)
	}
	for i, c := range s.Chemicals {
		span(c.Name+" dose", func(j jartest.Jar) string {
			if i < len(j.Doses) {
				return j.Doses[i].At.Cell
			}
			return ""
		})
	}
	for _, k := range s.Keys() {
		span(readLabel(k), func(j jartest.Jar) string { return j.Readings.Of(k).At.Cell })
	}
	return out
}
