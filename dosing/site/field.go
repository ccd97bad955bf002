package site

import (
	"slices"
	"strings"

	"jarwright/jartest/note"
)

// Need says whether a field must be filled in: [Needed], "no", or a condition in
// words, such as "if diluted".
type Need string

const Needed Need = "yes"

// Optional is the need of a field that nothing asks for.
const Optional Need = "no"

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

	told   string // the meaning with the braces of its figures
	member string // of the record, which the value goes into
	hour   int    // of a member that has one of each hour
	zero   bool   // stands for none
	feeds  bool   // what is fed rests on it
	into   binder
	span   span // what is plausible; only of a field that takes a number
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

// Sheet is one sheet of the field table: either a list with one row an item, or
// a column of items with one value each.
type Sheet struct {
	Name    string
	Meaning string
	// List is true where each row is one thing of the same kind; Thing names it.
	List   bool
	Thing  string
	Fields []Field
	// Seldom is true of what few places have: a workbook hides it until it is filled in.
	Seldom bool

	names map[string]int // where a field stands, by each of its names
}

// Key is the sheet's name in site.yaml.
func (s Sheet) Key() string { return strings.ToLower(s.Name) }

// Field finds a field by any of its names.
func (s Sheet) Field(name string) (Field, bool) {
	i, ok := s.names[fold(name)]
	if !ok {
		return Field{}, false
	}
	return s.Fields[i], true
}

// unknown makes the error for a name that the sheet does not have; call is how the
// file calls its fields.
func (s Sheet) unknown(name string, call func(Field) string) note.Note {
	return note.Fault("field-unknown", "%q is not a field of %s%s", name, s.Name, note.DidYouMean(name, each(s.Fields, call))).
		Do("correct the name, or delete it")
}

func findSheet(name string) (Sheet, bool) {
	i := slices.IndexFunc(Sheets(), func(s Sheet) bool { return fold(s.Name) == fold(name) })
	if i < 0 {
		return Sheet{}, false
	}
	return Sheets()[i], true
}

// each gives what a function says of every member of a list.
func each[T, U any](list []T, say func(T) U) []U {
	out := make([]U, len(list))
	for i, x := range list {
		out[i] = say(x)
	}
	return out
}

func title(s Sheet) string  { return s.Name }
func nameOf(f Field) string { return f.Name }

// otherUnits are those that a workbook offers beside the unit of a field; not all
// that is understood.
var otherUnits = map[string][]string{
	"m3/h":       {"m3/d", "L/s", "L/min", "gpm", "MGD", "imp gpm"},
	"L/h":        {"mL/min", "L/d", "gph", "gpd"},
	"mL/min":     {"L/h", "gph"},
	"L":          {"m3", "gal", "imp gal"},
	"mL":         {"L"},
	"kg":         {"g", "lb"},
	"kg/L":       {"lb/gal", "kg/m3"},
	"mg/L":       {"g/L", "ug/L", "lb/MG", "gpg"},
	"g/L":        {"mg/L", "% w/v", "% w/w", "lb/gal"},
	"mg/L CaCO3": {"meq/L", "dKH"},
	"C":          {"F"},
	"uS/cm":      {"mS/cm"},
	"h":          {"min", "d"},
	"min":        {"h", "s"},
	"s":          {"min"},
	"d":          {"h"},
	"L/min":      {"m3/h", "cfm"},
	"EUR/kg":     {"EUR/L", "EUR/pack", "EUR/t"},
	"W":          {"kW", "hp"},
	"kg/d":       {"g/d", "lb/d"},
	// of US workbooks
	"gpm":    {"MGD", "gph", "gpd", "m3/h", "L/s"},
	"MGD":    {"gpm", "m3/h"},
	"gph":    {"gpd", "gpm", "mL/min", "L/h"},
	"gal":    {"kgal", "MG", "L", "ft3"},
	"lb":     {"oz", "short ton", "kg"},
	"lb/d":   {"lb/h", "kg/d"},
	"lb/gal": {"g/L", "kg/L"},
	"F":      {"C"},
	"ft":     {"in", "m"},
	"in":     {"ft", "mm"},
	"ft2":    {"m2"},
	"oz":     {"g", "lb"},
	"cfm":    {"L/min", "m3/h"},
	"psi":    {"kPa", "bar"},
	"USD/lb": {"USD/gal", "USD/pack", "USD/short ton", "USD/1000 gal"},
}

// UnitChoices lists units that may stand beside a value offered in this one.
func UnitChoices(unit string) []string {
	if unit == "" {
		return nil
	}
	return append([]string{unit}, otherUnits[unit]...)
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
