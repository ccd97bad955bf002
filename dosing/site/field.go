package site

import (
	"strings"

	"jarwright/jartest/note"
)

// Need says whether a field must be filled in.
type Need string

const (
	Needed   Need = "yes"
	Optional Need = "no"
	// Anything else is a condition in words, such as "if diluted".
)

// Field is one row of the field table.
type Field struct {
	Name    string   // as it stands in the workbook; site.yaml joins its words with "_"
	Also    []string // other names that are understood
	Unit    string   // the unit offered; the user may write another of the kind
	Meaning string
	Example string // a value of the demo site
	Need    Need
	Choices []string // the only values, where there is a list
	Numeric bool     // a number belongs here
	put     binder
}

// Key is the field's name in site.yaml.
func (f Field) Key() string { return strings.ReplaceAll(fold(f.Name), " ", "_") }

// DefinedName is the name of the input cell in a workbook; only fields of
// item sheets have one.
func (f Field) DefinedName(s Sheet) string {
	var b strings.Builder
	for _, w := range strings.Fields(fold(s.Name + " " + f.Name)) {
		if b.Len() > 0 {
			b.WriteByte('_')
		}
		b.WriteString(strings.ToUpper(w[:1]) + w[1:])
	}
	return b.String()
}

func (f Field) called(name string) bool {
	n := fold(name)
	if fold(f.Name) == n || f.Key() == strings.ReplaceAll(n, " ", "_") {
		return true
	}
	for _, a := range f.Also {
		if fold(a) == n {
			return true
		}
	}
	return false
}

// Sheet is one sheet of the field table: either a list with one row an item, or
// a column of items with one value each.
type Sheet struct {
	Name    string
	Meaning string
	// List is true where each row is one thing of the same kind; Thing names it.
	List   bool
	Thing  string
	Fields []Field
	// record gives the sheet's only record, or that of a row of a list; where the
	// list is shorter it is nil, or made with grow.
	record func(s *Site, row int, grow bool) any
	place  func(any, note.Place) // tells a list record its row
}

// Key is the sheet's name in site.yaml.
func (s Sheet) Key() string { return strings.ToLower(s.Name) }

// Field finds a field by any of its names.
func (s Sheet) Field(name string) (Field, bool) {
	for _, f := range s.Fields {
		if f.called(name) {
			return f, true
		}
	}
	return Field{}, false
}

func (s Sheet) names() []string {
	var out []string
	for _, f := range s.Fields {
		out = append(out, f.Name)
	}
	return out
}

// unknown makes the error for a name that the sheet does not have.
func (s Sheet) unknown(name string, names []string) note.Note {
	return note.Fault("field-unknown", "%q is not a field of %s%s", name, s.Name, note.DidYouMean(name, names)).
		Do("correct the name, or delete it")
}

func findSheet(name string) (Sheet, bool) {
	for _, s := range Sheets() {
		if fold(s.Name) == fold(name) {
			return s, true
		}
	}
	return Sheet{}, false
}

func sheetNames() []string {
	var out []string
	for _, s := range Sheets() {
		out = append(out, s.Name)
	}
	return out
}

// UnitChoices lists units that may stand beside a value offered in this one; it
// is what a workbook offers in the unit's cell, not all that is understood.
func UnitChoices(unit string) []string {
	for _, kind := range [...][]string{
		{"m3/h", "m3/d", "L/s", "L/min", "gpm", "MGD", "imp gpm"},
		{"L/h", "mL/min", "L/d", "gph", "gpd"},
		{"mL/min", "L/h", "gph"},
		{"L", "m3", "gal", "imp gal"},
		{"mL", "L"},
		{"kg", "g", "lb"},
		{"kg/L", "lb/gal"},
		{"mg/L", "g/L", "ug/L"},
		{"g/L", "mg/L", "% w/v", "lb/gal"},
		{"mg/L CaCO3", "meq/L", "dKH"},
		{"C", "F"},
		{"uS/cm", "mS/cm"},
		{"h", "min", "d"},
		{"min", "h", "s"},
		{"s", "min"},
		{"d", "h"},
		{"EUR/kg", "EUR/L", "EUR/pack", "EUR/t"},
		{"W", "kW", "hp"},
	} {
		if kind[0] == unit {
			return kind
		}
	}
	if unit == "" {
		return nil
	}
	return []string{unit}
}

// Help describes the field in a line, with an example as it may be written.
func (f Field) Help() string {
	help := f.Name + ": " + f.Meaning
	switch {
	case f.Example != "":
		help += `, such as "` + example(f) + `"`
	case f.Unit != "":
		help += ", in " + f.Unit
	}
	if len(f.Choices) > 0 && len(f.Choices) < 8 {
		help += " (" + orList(f.Choices) + ")"
	}
	return help
}
