package templates

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
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
		t.Pairs(readFacts(s, o))
		t.Blank()
		readTable(t, s, o)
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

func readFacts(s jartest.Series, o Options) [][2]string {
	out := [][2]string{{"from", s.Place.String()}}
	for _, c := range s.Chemicals {
		v := c.Name + ", dose in mg/L, basis " + c.Basis.String()
		if c.Stock > 0 {
			x, u := c.Stock.Show(o.Units)
			v += ", stock " + readNumber(x, o) + " " + u
		}
		out = append(out, [2]string{"chemical", v})
	}
	if s.JarVolume > 0 {
		x, u := s.JarVolume.Show(o.Units)
		out = append(out, [2]string{"jar volume", readNumber(x, o) + " " + u})
	}
	if len(s.Raw) > 0 {
		var parts []string
		for _, k := range rawKeys(s) {
			parts = append(parts, readLabel(k)+" "+readValue(s.Raw[k], o)+unitAfter(s.Raw[k].Unit))
		}
		out = append(out, [2]string{"raw water", strings.Join(parts, ", ")})
	}
	for _, tg := range s.Targets {
		out = append(out, [2]string{"target", tg.String()})
	}
	return out
}

// readNumber writes a number as the sheet had it, without needless digits.
func readNumber(v float64, o Options) string {
	s := strconv.FormatFloat(quantity.RoundSig(v, 6), 'f', -1, 64)
	if o.DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
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

// readValue writes a reading short: number, limit, mean of n, or a dash.
func readValue(r jartest.Reading, o Options) string {
	switch r.State {
	case jartest.Number:
		s := readNumber(r.Value, o)
		if r.SD > 0 {
			s += " ± " + readNumber(r.SD, o)
		}
		if n := max(len(r.Replicates), r.N); n > 1 {
			s += fmt.Sprintf(" (%d)", n)
		}
		return s
	case jartest.Below:
		if !r.Limit {
			return "<?"
		}
		return "<" + readNumber(r.Value, o)
	case jartest.Above:
		if !r.Limit {
			return ">?"
		}
		return ">" + readNumber(r.Value, o)
	}
	return "-"
}

func readTable(t *Text, s jartest.Series, o Options) {
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
	var rows [][]string
	for _, j := range s.Jars {
		label := j.Label
		if j.Control && !strings.Contains(strings.ToLower(label), "control") {
			label += " (control)"
		}
		row := []string{label}
		for i := range s.Chemicals {
			row = append(row, doseText(j, i, o))
		}
		for _, k := range settings {
			row = append(row, settingText(j, k, o))
		}
		for _, k := range keys {
			if x, ok := j.Readings[k]; ok {
				row = append(row, readValue(x, o))
			} else {
				row = append(row, "-")
			}
		}
		rows = append(rows, row)
	}
	t.Table(cols, rows)
}

func doseText(j jartest.Jar, i int, o Options) string {
	if i >= len(j.Doses) || !j.Doses[i].Known {
		return "?"
	}
	return readNumber(float64(j.Doses[i].Concentration), o)
}

func settingText(j jartest.Jar, k string, o Options) string {
	if v, ok := j.Settings[k]; ok {
		return readNumber(v, o)
	}
	return "-"
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

type readDoc struct {
	Schema string       `json:"schema"`
	Series []readSeries `json:"series"`
	Notes  note.List    `json:"notes"`
}

type readSeries struct {
	Name      string         `json:"name"`
	Sheet     string         `json:"sheet,omitempty"`
	File      string         `json:"file,omitempty"`
	Range     string         `json:"range,omitempty"`
	Chemicals []readChemical `json:"chemicals"`
	Raw       map[string]any `json:"raw,omitempty"`
	JarVolume *JSONQuantity  `json:"jar_volume,omitempty"`
	Targets   []string       `json:"targets,omitempty"`
	Jars      []readJar      `json:"jars"`
	Notes     note.List      `json:"notes,omitempty"`
}

type readChemical struct {
	Name  string        `json:"name"`
	Basis string        `json:"basis"`
	Stock *JSONQuantity `json:"stock,omitempty"`
}

type readJar struct {
	Label     string             `json:"label"`
	Doses     map[string]float64 `json:"doses"`
	DoseCells map[string]string  `json:"dose_cells,omitempty"`
	Readings  map[string]any     `json:"readings"`
	Settings  map[string]float64 `json:"settings,omitempty"`
	Control   bool               `json:"control"`
}

// JSON gives the document of the contract.
func (r Read) JSON() any {
	doc := readDoc{Schema: "jarwright.read/1", Series: []readSeries{}, Notes: Notes(r.Notes)}
	for _, s := range r.Series {
		doc.Series = append(doc.Series, readSeriesDoc(s))
	}
	return doc
}

func readSeriesDoc(s jartest.Series) readSeries {
	d := readSeries{Name: s.Name, Sheet: s.Place.Sheet, File: s.Place.File, Range: s.Place.Cell, Jars: []readJar{}, Chemicals: []readChemical{}, Notes: s.Notes}
	for _, c := range s.Chemicals {
		one := readChemical{Name: c.Name, Basis: c.Basis.String()}
		if c.Stock > 0 {
			one.Stock = QIn(float64(c.Stock), "mg/L")
		}
		d.Chemicals = append(d.Chemicals, one)
	}
	if s.JarVolume > 0 {
		d.JarVolume = QIn(float64(s.JarVolume), "L")
	}
	for _, t := range s.Targets {
		d.Targets = append(d.Targets, t.String())
	}
	if len(s.Raw) > 0 {
		d.Raw = map[string]any{}
		for k, x := range s.Raw {
			if x.State == jartest.Number {
				d.Raw[string(k)] = x.Value
			} else {
				d.Raw[string(k)] = readingDoc(x)
			}
		}
	}
	for _, j := range s.Jars {
		one := readJar{Label: j.Label, Doses: map[string]float64{}, DoseCells: map[string]string{}, Readings: map[string]any{}, Settings: j.Settings, Control: j.Control}
		for i, c := range s.Chemicals {
			if i < len(j.Doses) && j.Doses[i].Known {
				one.Doses[c.Name] = float64(j.Doses[i].Concentration)
				if j.Doses[i].At.Cell != "" {
					one.DoseCells[c.Name] = j.Doses[i].At.Cell
				}
			}
		}
		for k, x := range j.Readings {
			one.Readings[string(k)] = readingDoc(x)
		}
		d.Jars = append(d.Jars, one)
	}
	return d
}

// readingDoc gives one reading with its unit and cell.
func readingDoc(x jartest.Reading) map[string]any {
	m := map[string]any{}
	if x.Unit != "" {
		m["unit"] = x.Unit
	}
	if x.At.Cell != "" {
		m["cell"] = x.At.Cell
	}
	stateInto(m, x)
	if x.SD > 0 {
		m["sd"] = x.SD
	}
	if x.N > 0 {
		m["n"] = x.N
	}
	if len(x.Replicates) > 0 {
		var list []any
		for _, r := range x.Replicates {
			if r.State == jartest.Number {
				list = append(list, r.Value)
				continue
			}
			one := map[string]any{}
			stateInto(one, r)
			list = append(list, one)
		}
		m["replicates"] = list
	}
	return m
}

func stateInto(m map[string]any, x jartest.Reading) {
	limit := any(nil) // a limit that the sheet does not state
	if x.Limit {
		limit = x.Value
	}
	switch x.State {
	case jartest.Number:
		m["value"] = x.Value
	case jartest.Below:
		m["below"] = limit
	case jartest.Above:
		m["above"] = limit
	default:
		m["missing"] = true
	}
}

// Rows gives the jars as one tidy table, which the reader reads back.
func (r Read) Rows() [][]string {
	var chems []string
	var keys []jartest.Key
	var settings []string
	seen := map[string]bool{}
	once := func(s string) bool { had := seen[s]; seen[s] = true; return !had }
	for _, s := range r.Series {
		for _, c := range s.Chemicals {
			if h := csvChemical(c); once("c" + h) {
				chems = append(chems, h)
			}
		}
		for _, k := range settingKeys(s) {
			if once("s" + k) {
				settings = append(settings, k)
			}
		}
		for _, k := range s.Keys() {
			if once("k" + string(k)) {
				keys = append(keys, k)
			}
		}
	}
	head := append([]string{"test", "jar"}, chems...)
	for _, k := range settings {
		head = append(head, strings.ReplaceAll(k, "_", " "))
	}
	for _, k := range keys {
		h := readLabel(k)
		if u := k.Info().Unit; u != "" {
			h += " (" + u + ")"
		}
		head = append(head, h)
	}
	rows := [][]string{head}
	for _, s := range r.Series {
		for _, j := range s.Jars {
			rows = append(rows, readRow(s, j, chems, settings, keys))
		}
	}
	return rows
}

func csvChemical(c jartest.Chemical) string {
	unit := "mg/L"
	if c.Basis != quantity.NotStated {
		unit += " " + string(c.Basis)
	}
	return c.Name + " dose (" + unit + ")"
}

func readRow(s jartest.Series, j jartest.Jar, chems, settings []string, keys []jartest.Key) []string {
	plain := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	row := []string{s.Name, j.Label}
	for _, h := range chems {
		v := ""
		for i, c := range s.Chemicals {
			if csvChemical(c) == h && i < len(j.Doses) && j.Doses[i].Known {
				v = plain(float64(j.Doses[i].Concentration))
			}
		}
		row = append(row, v)
	}
	for _, k := range settings {
		v := ""
		if x, ok := j.Settings[k]; ok {
			v = plain(x)
		}
		row = append(row, v)
	}
	for _, k := range keys {
		v := ""
		switch x := j.Readings[k]; {
		case x.State == jartest.Number:
			v = plain(x.Value)
		case x.State == jartest.Below && x.Limit:
			v = "<" + plain(x.Value)
		case x.State == jartest.Above && x.Limit:
			v = ">" + plain(x.Value)
		case x.State == jartest.Below:
			v = "ND"
		case x.State == jartest.Above:
			v = "over range"
		}
		row = append(row, v)
	}
	return row
}
