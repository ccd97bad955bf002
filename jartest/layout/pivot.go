package layout

import (
	"fmt"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/words"
)

// longForm is where a table with one line for each result (sample, parameter, value,
// unit) has its parts: indices of columns, -1 for none. What tells jars apart is ids.
type longForm struct {
	parameter, value, unit, qualifier int
	ids                               []int
}

// longFormOf gives the parts of such a table; ok is false for others.
func longFormOf(t *Table) (f longForm, ok bool) {
	f = longForm{-1, -1, -1, -1, nil}
	for i, c := range t.Cols {
		switch h := c.Head; {
		case h.Parameter && f.parameter < 0:
			f.parameter = i
		case h.UnitColumn && f.unit < 0:
			f.unit = i
		case h.Qualifier && f.qualifier < 0:
			f.qualifier = i
		case h.Value && h.Reading == "" && f.value < 0:
			f.value = i
		case !h.Note && !h.Date && !h.Clock && !h.Replicate:
			f.ids = append(f.ids, i)
		}
	}
	return f, f.parameter >= 0 && f.value >= 0 && !t.View.Turned
}

// unpivoting is the rewriting of one table.
type unpivoting struct {
	t *Table
	longForm
	out     *Area
	columns map[string]int // by the name of what was read
	rows    map[string]int // by the labels of the jar and the number of the repeat
}

// Unpivot rewrites a table that has one line for each result (sample, parameter,
// value, unit) as one with a line for each jar, hidden rows among them only if asked
// for. It gives nil for other tables.
func Unpivot(t *Table, hidden bool) *Area {
	f, ok := longFormOf(t)
	if !ok {
		return nil
	}
	g := t.View.Area
	u := unpivoting{t: t, longForm: f, columns: map[string]int{}, rows: map[string]int{},
		out: &Area{Sheet: rewritten(g), Origin: g, Box: t.Box(), Lines: t}}
	head := make([]grid.Cell, len(f.ids))
	for k, i := range f.ids {
		head[k] = grid.Cell{Kind: grid.Textual, Text: strings.Join(t.Cols[i].Parts, " "), Home: t.Cols[i].Place.Cell}
	}
	u.out.Rows = append(u.out.Rows, head)
	for _, r := range t.Rows {
		if name := u.name(r); name != "" && (hidden || !t.View.RowHidden(r)) {
			u.put(r, u.column(r, name))
		}
	}
	return u.out
}

// at gives the cell of a line in the column with index i, with its place; none for -1.
func (u *unpivoting) at(r, i int) grid.Cell {
	if i < 0 {
		return grid.Cell{}
	}
	x := u.t.View.At(r, u.t.Cols[i].C)
	x.Home = u.t.View.PlaceAt(r, u.t.Cols[i].C).Cell
	return x
}

// name gives what was read in a line, with its unit.
func (u *unpivoting) name(r int) string {
	name, unit := Text(u.at(r, u.parameter)), Text(u.at(r, u.unit))
	if name != "" && unit != "" {
		name += " (" + unit + ")"
	}
	return name
}

// column gives the new column of what was read, with its heading.
func (u *unpivoting) column(r int, name string) int {
	c, ok := u.columns[name]
	if !ok {
		c = len(u.ids) + len(u.columns)
		u.columns[name] = c
		u.out.Rows[0] = append(u.out.Rows[0], grid.Cell{Kind: grid.Textual, Text: name, Home: u.at(r, u.parameter).Home})
	}
	return c
}

// put puts the result of a line into the row of its jar; the same result again is a
// repeat, which has a row of its own.
func (u *unpivoting) put(r, c int) {
	key := ""
	for _, i := range u.ids {
		key += "\x00" + words.Fold(Text(u.at(r, i)))
	}
	for n := 1; ; n++ {
		again := fmt.Sprintf("%s\x01%d", key, n)
		row, ok := u.rows[again]
		if !ok {
			row = len(u.out.Rows)
			u.rows[again] = row
			labels := make([]grid.Cell, len(u.ids))
			for k, i := range u.ids {
				labels[k] = u.at(r, i)
			}
			u.out.Rows = append(u.out.Rows, labels)
		}
		cells := &u.out.Rows[row]
		for len(*cells) <= c {
			*cells = append(*cells, grid.Cell{})
		}
		if (*cells)[c].Blank() {
			(*cells)[c] = u.result(r)
			return
		}
	}
}

// result gives the value of a line with its qualifier before it.
func (u *unpivoting) result(r int) grid.Cell {
	x := u.at(r, u.value)
	switch q := Text(u.at(r, u.qualifier)); q {
	case "<", ">", "≤", "≥":
		return grid.Cell{Kind: grid.Textual, Text: q + x.Text, Home: x.Home}
	}
	return x
}
