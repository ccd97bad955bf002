package figure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Column is a column of a table for programs: its name without the unit, where
// its value stands in the objects, and the unit of its numbers.
type Column struct {
	Name, Path, Unit string
}

// Heading is the name with the unit: "stock_rate_ml_per_min".
func (c Column) Heading() string {
	if c.Unit == "" {
		return c.Name
	}
	return c.Name + "_" + unitSlug(c.Unit)
}

// unitSlug writes a unit in the letters that a heading may have.
func unitSlug(unit string) string {
	u := strings.NewReplacer("%", "percent", "/", "_per_", " ", "_").Replace(unit)
	return strings.ToLower(u)
}

// Columns makes columns from lines "name path unit"; a path of "=" is the name,
// and the unit may be absent and may have blanks.
func Columns(lines ...string) []Column {
	var out []Column
	for _, l := range lines {
		f := strings.Fields(l)
		c := Column{Name: f[0], Path: f[0]}
		if len(f) > 1 && f[1] != "=" {
			c.Path = f[1]
		}
		if len(f) > 2 {
			c.Unit = strings.Join(f[2:], " ")
		}
		out = append(out, c)
	}
	return out
}

// Table is an answer for programs: one row an object.
type Table struct {
	Cols []Column
	Rows []*Object
}

// Only is the object without what no column looks at.
func (o *Object) Only(cols []Column) *Object {
	out := New()
	for _, c := range cols {
		key, _, _ := strings.Cut(c.Path, ".")
		if v, ok := o.vals[key]; ok {
			out.Set(key, v)
		}
	}
	return out
}

// Cell gives what stands in a row and a column: a number, words, a truth value,
// or nil for nothing. A number stands in the unit of its column.
func (t Table) Cell(row, col int) any {
	c := t.Cols[col]
	switch v := t.Rows[row].Get(c.Path).(type) {
	case nil:
		return nil
	case Worded:
		return v(func(l note.List) note.List { return l })
	case Figure, Bare, Interval:
		f := t.Rows[row].Fig(c.Path)
		f.Unit = strings.TrimSuffix(c.Unit, "/"+f.Per)
		if f.Per == "" {
			f.Unit = c.Unit
		}
		n, unit := f.Document()
		if unit != c.Unit && c.Unit != "" || math.IsNaN(n) {
			return nil // a unit that the kind does not know is never passed off as the column's
		}
		return n
	case []string:
		return strings.Join(v, "; ")
	case fmt.Stringer:
		return v.String()
	case int:
		return float64(v)
	default:
		return v
	}
}

// inUS is the unit that a column has for readers of US units. What is mixed and dosed stays in mg/L and g/L, as they read it on labels
// and in jars; the volume of a measuring column stays in mL.
var inUS = map[string]string{"m3/h": "gpm", "m3/d": "gal/d", "L/d": "gal/d", "L/h": "gph", "mL/min": "gph", "m3": "gal", "L": "gal", "kg": "lb", "kg/d": "lb/d", "g/h": "lb/h", "m2": "ft2"}

// For gives the table in the units of its readers: the heading of a column tells which. A column stays as it is where a number in it
// has no such unit.
func (t Table) For(s quantity.System) Table {
	if s != quantity.US {
		return t
	}
	out := Table{Cols: slices.Clone(t.Cols), Rows: t.Rows}
	for i, c := range out.Cols {
		if out.Cols[i].Unit = cmp.Or(inUS[c.Unit], c.Unit); out.Cols[i] == c {
			continue
		}
		for row := range t.Rows {
			if (out.Cell(row, i) == nil) != (t.Cell(row, i) == nil) {
				out.Cols[i] = c
				break
			}
		}
	}
	return out
}

// Worded is a cell that tells notes in words; show gives the notes as their reader has them.
type Worded func(show func(note.List) note.List) string

// Strings gives the heading and the rows as text, numbers with every digit that counts.
func (t Table) Strings() [][]string {
	head := make([]string, len(t.Cols))
	for i, c := range t.Cols {
		head[i] = c.Heading()
	}
	out := [][]string{head}
	for r := range t.Rows {
		row := make([]string, len(t.Cols))
		for i := range t.Cols {
			switch v := t.Cell(r, i).(type) {
			case float64:
				row[i] = strconv.FormatFloat(v, 'g', -1, 64)
			case bool:
				row[i] = strconv.FormatBool(v)
			case string:
				row[i] = v
			}
		}
		out = append(out, row)
	}
	return out
}
