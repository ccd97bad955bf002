package templates

import (
	"sort"
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
	if len(r.Series) == 0 {
		t.Para("No jars were read.")
	}
	for _, s := range r.Series {
		t.Head(s.Name)
		t.Facts(readFacts(s))
		t.Blank()
		readTable(t, s)
		t.Blank()
		t.Para("Cells: " + strings.Join(readCells(s), "; ") + ".")
		t.Notes(s.Notes)
	}
	var rest note.List
	for _, n := range r.Notes {
		if n.Level != note.Error { // errors go to the error stream
			rest.Add(n)
		}
	}
	if len(rest) > 0 {
		t.Blank()
		t.Notes(rest)
	}
	if c := r.Notes.Only(note.Caution); len(c) > 0 {
		t.Blank()
		t.Para("Check the cautions before relying on these numbers; 'jarwright read --help' lists the flags that override what was inferred.")
	}
}

func readFacts(s jartest.Series) []Fact {
	out := []Fact{{"from", s.Place.String()}}
	for _, c := range s.Chemicals {
		v := any(c.Name + ", dose in mg/L, basis " + c.Basis.String())
		if c.Stock > 0 {
			v = figure.Say("%s, stock %s", v, figure.Of("stock", c.Stock, "mg/L", 6))
		}
		out = append(out, Fact{"chemical", v})
	}
	if s.JarVolume > 0 {
		out = append(out, Fact{"jar volume", figure.Of("jar_volume", s.JarVolume, "L", 6)})
	}
	if len(s.Raw) > 0 {
		var parts []any
		for _, k := range rawKeys(s) {
			parts = append(parts, figure.Say("%s %s%s", readLabel(k), readValue(s.Raw[k]), unitAfter(s.Raw[k].Unit)))
		}
		out = append(out, Fact{"raw water", figure.And(", ", parts...)})
	}
	for _, tg := range s.Targets {
		out = append(out, Fact{"target", tg.String()})
	}
	return out
}

func unitAfter(u string) string {
	if u == "" {
		return ""
	}
	return " " + u
}

func rawKeys(s jartest.Series) []jartest.Key {
	return jartest.Series{Jars: []jartest.Jar{{Readings: s.Raw}}}.Keys()
}

func readLabel(k jartest.Key) string { return k.Info().Label }

// readValue is a reading in short: number, limit, mean of n, or a dash.
func readValue(r jartest.Reading) any {
	value := figure.Written("", r.Value, "")
	switch {
	case r.State == jartest.Number:
		n := max(len(r.Replicates), r.N)
		switch sd := figure.Written("", r.SD, ""); {
		case r.SD > 0 && n > 1:
			return figure.Say("%s ± %s (%s)", value, sd, n)
		case r.SD > 0:
			return figure.Say("%s ± %s", value, sd)
		case n > 1:
			return figure.Say("%s (%s)", value, n)
		}
		return value
	case r.State == jartest.Below && r.Limit:
		return figure.Say("<%s", value)
	case r.State == jartest.Below:
		return "<?"
	case r.State == jartest.Above && r.Limit:
		return figure.Say(">%s", value)
	case r.State == jartest.Above:
		return ">?"
	}
	return figure.Unknown
}

func readTable(t *Text, s jartest.Series) {
	cols := []Col{{Head: "jar"}}
	for _, c := range s.Chemicals {
		cols = append(cols, Col{Head: c.Name + " mg/L", Right: true})
	}
	settings := settingKeys(s)
	for _, k := range settings {
		cols = append(cols, Col{Head: strings.ReplaceAll(k, "_", " "), Right: true})
	}
	keys := s.Keys()
	for _, k := range keys {
		cols = append(cols, Col{Head: readLabel(k) + unitAfter(k.Info().Unit), Right: true})
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
			row = append(row, readValue(j.Readings[k]))
		}
		rows = append(rows, row)
	}
	t.Grid(cols, rows)
}

func readDose(j jartest.Jar, i int) any {
	if i >= len(j.Doses) || !j.Doses[i].Known {
		return "?"
	}
	return figure.Written("dose", float64(j.Doses[i].Concentration), "")
}

func settingKeys(s jartest.Series) []string {
	seen := map[string]bool{}
	var out []string
	for _, j := range s.Jars {
		for k := range j.Settings {
			if !seen[k] {
				seen[k] = true
				out = append(out, k)
			}
		}
	}
	sort.Strings(out)
	return out
}

// readCells names the first and last cell of each column of a series.
func readCells(s jartest.Series) []string {
	span := func(name string, cells []string) string {
		if len(cells) == 0 {
			return ""
		}
		first, last := cells[0], cells[len(cells)-1]
		if first == last {
			return name + " " + first
		}
		return name + " " + first + " to " + last
	}
	var out []string
	add := func(s string) {
		if s != "" {
			out = append(out, s)
		}
	}
	for i, c := range s.Chemicals {
		var cells []string
		for _, j := range s.Jars {
			if i < len(j.Doses) && j.Doses[i].At.Cell != "" {
				cells = append(cells, j.Doses[i].At.Cell)
			}
		}
		add(span(c.Name+" dose", cells))
	}
	for _, k := range s.Keys() {
		var cells []string
		for _, j := range s.Jars {
			if x, ok := j.Readings[k]; ok && x.At.Cell != "" {
				cells = append(cells, x.At.Cell)
			}
		}
		add(span(readLabel(k), cells))
	}
	return out
}
