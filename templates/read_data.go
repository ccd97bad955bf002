package templates

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// JSON gives the document of the contract.
func (r Read) JSON() any {
	return figure.New().Set("schema", "jarwright.read/1").Set("series", lazily(r.Series, readSeries)).Set("notes", Notes(r.Notes))
}

// readSeries is a series as its object: doses and readings of the jars are plain
// numbers in the units of the chemicals and of the readings' kinds.
func readSeries(s jartest.Series) *figure.Object {
	chemical := func(c jartest.Chemical) *figure.Object {
		return figure.New().Set("name", c.Name).Set("basis", c.Basis.String()).Set("unit", "mg/L").
			Put(figure.Of("stock", c.Stock, "mg/L", 6).If(c.Stock > 0))
	}
	o := figure.New().Set("name", s.Name).Word("sheet", s.Place.Sheet).Word("file", s.Place.File).Word("range", s.Place.Cell).
		List("chemicals", objects(s.Chemicals, chemical))
	raw := figure.New()
	for _, k := range rawKeys(s) {
		if x := s.Raw[k]; x.State == jartest.Number {
			raw.Bare(figure.Written(string(k), x.Value, x.Unit))
		} else {
			raw.Set(string(k), readingData(x))
		}
	}
	o.Part("raw", raw).Put(litres("jar_volume", s.JarVolume, 6).If(s.JarVolume > 0)).Part("bench", protocolData(s))
	if len(s.Targets) > 0 {
		o.Set("targets", targetWords(s.Targets))
	}
	keys, settings := s.Keys(), settingKeys(s)
	return o.Set("jars", lazily(s.Jars, func(j jartest.Jar) *figure.Object { return readJar(s, j, keys, settings) }))
}

// readJar is a jar of a series with those kinds of readings and settings.
func readJar(s jartest.Series, j jartest.Jar, keys []jartest.Key, set []string) *figure.Object {
	doses, cells, readings, settings := figure.New(), figure.New(), figure.New(), figure.New()
	for i, c := range s.Chemicals {
		if i < len(j.Doses) && j.Doses[i].Known {
			doses.Bare(figure.Of(c.Name, j.Doses[i].Concentration, "mg/L", 6))
			cells.Word(c.Name, j.Doses[i].At.Cell)
		}
	}
	for _, k := range keys {
		if x, read := j.Readings.Get(k); read {
			readings.Set(string(k), readingData(x))
		}
	}
	for _, k := range set {
		if v, is := j.Settings[k]; is {
			settings.Bare(figure.Written(k, v, ""))
		}
	}
	return figure.New().Set("label", j.Label).Set("doses", doses).Part("dose_cells", cells).Set("readings", readings).Part("settings", settings).Set("control", j.Control)
}

// readingData is one reading with its unit and cell.
func readingData(x jartest.Reading) *figure.Object {
	o := figure.New().Word("unit", x.Unit).Word("cell", x.At.Cell)
	state(o, x)
	o.Bare(figure.Written("as_read", x.Read.V, x.Unit).If(x.Read.OK))
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

// state puts a reading's number, its limit, or that there is none. A limit that nothing states, as of "ND",
// is null: something was read, and less than what nobody wrote; missing is what was not read at all.
func state(o *figure.Object, x jartest.Reading) *figure.Object {
	b, bound := bounds[x.State]
	switch key := cmp.Or(b.key, "value"); {
	case !bound && x.State != jartest.Number:
		return o.Set("missing", true)
	case bound && !x.Limit:
		return o.Set(key, nil) // a limit that the sheet does not state
	default:
		return o.Bare(figure.Written(key, x.Value, x.Unit))
	}
}

// Table gives the jars as one tidy table, which the reader reads back.
func (r Read) Table() figure.Table {
	var doses, settings, readings []figure.Column
	once := func(cols *[]figure.Column, heading, path string) {
		if c := (figure.Column{Name: heading, Path: path}); !slices.Contains(*cols, c) {
			*cols = append(*cols, c)
		}
	}
	t := figure.Table{Cols: figure.Columns("test", "jar")}
	for _, s := range r.Series {
		for _, c := range s.Chemicals {
			once(&doses, doseHeading(c), doseHeading(c))
		}
		for _, k := range settingKeys(s) {
			once(&settings, strings.ReplaceAll(k, "_", " "), "setting "+k)
		}
		for _, k := range s.Keys() {
			if k == jartest.RecycleKey { // its share is out of the readings
				continue
			}
			once(&readings, bracketed(readLabel(k), k.Info().Unit), "reading "+string(k))
		}
		for _, j := range s.Jars {
			row := figure.New().Set("test", s.Name).Set("jar", j.Label)
			for i, c := range s.Chemicals {
				if i < len(j.Doses) && j.Doses[i].Known {
					row.Set(doseHeading(c), float64(j.Doses[i].Concentration))
				}
			}
			for k, v := range j.Settings {
				row.Set("setting "+k, v)
			}
			for _, x := range j.Readings {
				row.Set("reading "+string(x.Key), sheetReading(x.Reading))
			}
			t.Rows = append(t.Rows, row)
		}
	}
	t.Cols = slices.Concat(t.Cols, doses, settings, readings)
	return t
}

// doseHeading heads a column of doses as a bench sheet would.
func doseHeading(c jartest.Chemical) string {
	unit := "mg/L"
	if c.Basis != quantity.NotStated {
		unit += " " + string(c.Basis)
	}
	return bracketed(c.Name+" dose", unit)
}

// sheetReading is a reading as a bench sheet would have it.
func sheetReading(x jartest.Reading) any {
	b, bound := bounds[x.State]
	switch {
	case x.State == jartest.Number:
		return x.Value
	case bound && x.Limit:
		return b.sign + strconv.FormatFloat(x.Value, 'g', -1, 64)
	}
	return b.word
}
