package templates

import (
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// JSON gives the document of the contract.
func (r Read) JSON() any {
	series := []*figure.Object{}
	for _, s := range r.Series {
		series = append(series, readSeries(s))
	}
	return figure.New().Set("schema", "jarwright.read/1").List("series", series).Set("notes", Notes(r.Notes))
}

// readSeries is a series as its object: doses and readings of the jars are plain
// numbers in the units of the chemicals and of the readings' kinds.
func readSeries(s jartest.Series) *figure.Object {
	var chemicals, jars = []*figure.Object{}, []*figure.Object{}
	for _, c := range s.Chemicals {
		chemicals = append(chemicals, figure.New().Set("name", c.Name).Set("basis", c.Basis.String()).Set("unit", "mg/L").Put(figure.Of("stock", c.Stock, "mg/L", 6).If(c.Stock > 0)))
	}
	for _, j := range s.Jars {
		jars = append(jars, readJar(s, j))
	}
	o := figure.New().Set("name", s.Name).Word("sheet", s.Place.Sheet).Word("file", s.Place.File).Word("range", s.Place.Cell).List("chemicals", chemicals)
	raw := figure.New()
	for _, k := range rawKeys(s) {
		if x := s.Raw[k]; x.State == jartest.Number {
			raw.Bare(figure.Written(string(k), x.Value, x.Unit))
		} else {
			raw.Set(string(k), readingData(x))
		}
	}
	o.Part("raw", raw).Put(figure.Of("jar_volume", s.JarVolume, "L", 6).If(s.JarVolume > 0))
	var targets []string
	for _, t := range s.Targets {
		targets = append(targets, t.String())
	}
	if targets != nil {
		o.Set("targets", targets)
	}
	return o.List("jars", jars)
}

func readJar(s jartest.Series, j jartest.Jar) *figure.Object {
	doses, cells, readings, settings := figure.New(), figure.New(), figure.New(), figure.New()
	for i, c := range s.Chemicals {
		if i < len(j.Doses) && j.Doses[i].Known {
			doses.Bare(figure.Of(c.Name, j.Doses[i].Concentration, "mg/L", 6))
			cells.Word(c.Name, j.Doses[i].At.Cell)
		}
	}
	for _, k := range (jartest.Series{Jars: []jartest.Jar{j}}).Keys() {
		readings.Set(string(k), readingData(j.Readings[k]))
	}
	for _, k := range settingKeys(jartest.Series{Jars: []jartest.Jar{j}}) {
		settings.Bare(figure.Written(k, j.Settings[k], ""))
	}
	return figure.New().Set("label", j.Label).Set("doses", doses).Part("dose_cells", cells).Set("readings", readings).Part("settings", settings).Set("control", j.Control)
}

// readingData is one reading with its unit and cell.
func readingData(x jartest.Reading) *figure.Object {
	o := figure.New().Word("unit", x.Unit).Word("cell", x.At.Cell)
	state(o, x)
	o.Bare(figure.Written("sd", x.SD, x.Unit).If(x.SD > 0), figure.Count("n", x.N).If(x.N > 0))
	var list []any
	for _, r := range x.Replicates {
		if one := state(figure.New(), r); r.State == jartest.Number {
			list = append(list, one.Get("value"))
		} else {
			list = append(list, one)
		}
	}
	if list != nil {
		o.Set("replicates", list)
	}
	return o
}

// state puts a reading's number, its limit, or that there is none.
func state(o *figure.Object, x jartest.Reading) *figure.Object {
	key, known := "value", true
	switch x.State {
	case jartest.Number:
	case jartest.Below:
		key, known = "below", x.Limit
	case jartest.Above:
		key, known = "above", x.Limit
	default:
		return o.Set("missing", true)
	}
	if !known {
		return o.Set(key, nil) // a limit that the sheet does not state
	}
	return o.Bare(figure.Written(key, x.Value, x.Unit))
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
