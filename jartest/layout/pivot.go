package layout

import (
	"fmt"
	"slices"
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
		case f.takes(t, i):
		case f.value >= 0 && !h.UnitColumn && !h.labels() && !h.Core(): // the limit or the method of the result
		case !h.Note && !h.Date && !h.Clock && !h.Replicate:
			f.ids = append(f.ids, i)
		}
	}
	if ok = f.parameter >= 0 && f.value >= 0 && !t.View.Turned; ok {
		f.dropNumbers(t)
	}
	return f, ok
}

// dropNumbers takes the columns out of what tells jars apart that number the samples: no cell of one
// is there twice, though another column says that lines of several results are of one jar.
func (f *longForm) dropNumbers(t *Table) {
	text := func(r, i int) string { return words.Fold(Text(t.View.At(r, t.Cols[i].C))) }
	lone := func(i int) bool {
		seen := map[string]bool{}
		for _, r := range t.Rows {
			x := text(r, i)
			if x == "" || seen[x] {
				return false
			}
			seen[x] = true
		}
		return true
	}
	shared := func(i int) bool { // by several results, and each of them once
		results, shares := map[string]string{}, false
		for _, r := range t.Rows {
			x, p := text(r, i), text(r, f.parameter)
			shares = shares || results[x] != "" && results[x] != p
			results[x] = p
		}
		return shares
	}
	if !slices.ContainsFunc(f.ids, shared) {
		return
	}
	f.ids = slices.DeleteFunc(f.ids, lone)
}

// takes takes column i for a part of such a table.
func (f *longForm) takes(t *Table, i int) bool {
	switch h := t.Cols[i].Head; {
	case h.Parameter && f.parameter < 0:
		f.parameter = i
	case h.UnitColumn && f.unitAt(t, i):
		f.unit = i
	case h.Qualifier && f.qualifier < 0:
		f.qualifier = i
	case h.Value && h.Reading == "" && f.value < 0:
		f.value = i
	default:
		return false
	}
	return true
}

// unitAt reports that a column of units is that of the results; a dose may have its own.
func (f *longForm) unitAt(t *Table, i int) bool {
	ofDose := t.Cols[i].Head.Dose && i > 0 && t.Cols[i-1].Head.DoseLike()
	return f.value >= 0 && f.value == i-1 || f.unit < 0 && !ofDose
}

// lists reports headings of a table with one line for each result, none of which names a
// dose or a reading: a value, what it is of, and whose it is.
func (f *Finder) lists(r, c0, c1 int) bool {
	value, other := false, 0
	for c := c0; c <= c1; c++ {
		if x := f.v.At(r, c); !x.Blank() {
			h := f.heading(x.Text)
			value = value || h.Value
			if !h.Value && !h.UnitColumn && !h.Note && !h.Date {
				other++
			}
		}
	}
	return value && other >= 2 && !f.v.Turned
}

// findParameter finds, in a table of results whose columns name no parameter ("Sample, Test,
// Result"), the column whose cells name readings and doses; a table without a dose whose lines
// are each of another jar, or of none, has none.
func (f *Finder) findParameter(t *Table) {
	if f.v.Turned || !slices.ContainsFunc(t.Cols, func(c Column) bool { return c.Head.Value && c.Head.Reading == "" }) {
		return
	}
	for i := range t.Cols {
		if h := &t.Cols[i].Head; !h.labels() && !h.Core() && f.namesUnits(t, t.Cols[i].C) {
			h.UnitColumn = true
		}
	}
	named := slices.ContainsFunc(t.Cols, func(c Column) bool { return c.Head.Parameter })
	for i := range t.Cols {
		if h := &t.Cols[i].Head; !named && !h.Value && !h.UnitColumn && !h.Chemical && f.namesResults(t, t.Cols[i].C) {
			h.Parameter, h.Test, h.Jar, h.Note = true, false, false, false
			break
		}
	}
	core := slices.ContainsFunc(t.Cols, func(c Column) bool { return c.Head.Core() })
	if form, ok := longFormOf(t); ok && !core && !form.shared(t) {
		for i := range t.Cols {
			t.Cols[i].Head.Parameter = false
		}
	}
}

// namesResults reports a column that names a reading or a dose on nearly every line, and
// one of them again.
func (f *Finder) namesResults(t *Table, c int) bool {
	named, again := 0, false
	seen := map[string]bool{}
	for _, r := range t.Rows {
		x := f.v.At(r, c)
		if h := f.heading(x.Text); x.Kind == grid.Textual && !f.DataLike(x) && h.Core() && !h.Jar {
			named++
			again, seen[words.Fold(x.Text)] = again || seen[words.Fold(x.Text)], true
		}
	}
	return again && named*3 >= 2*len(t.Rows)
}

// namesUnits reports a column that holds units and nothing else.
func (f *Finder) namesUnits(t *Table, c int) bool {
	n := 0
	for _, r := range t.Rows {
		x := f.v.At(r, c)
		if x.Blank() {
			continue
		}
		if _, ok := words.OnlyUnit(Text(x)); !ok {
			return false
		}
		n++
	}
	return n > 0
}

// shared reports that some lines of a table of results are of one jar.
func (f longForm) shared(t *Table) bool {
	if len(f.ids) == 0 {
		return false
	}
	u, seen := unpivoting{t: t, longForm: f}, map[string]bool{}
	for _, r := range t.Rows {
		key := u.key(u.owner(r))
		if seen[key] {
			return true
		}
		seen[key] = true
	}
	return false
}

// unpivoting is the rewriting of one table.
type unpivoting struct {
	t *Table
	longForm
	out     *Area
	columns map[string]int // by the name of what was read
	units   []string       // of each of them
	rows    map[string]int // by the labels of the jar and the number of the repeat
}

// Unpivot rewrites a table that has one line for each result (sample, parameter,
// value, unit) as one with a line for each jar, without its hidden rows. It gives nil for other
// tables.
func Unpivot(t *Table) *Area {
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
		if name := Text(u.at(r, u.parameter)); name != "" && !t.View.RowHidden(r) {
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

// column gives the new column of what was read, with its heading: the name and the first
// unit that it stands with.
func (u *unpivoting) column(r int, name string) int {
	key := words.Fold(name)
	c, ok := u.columns[key]
	if !ok {
		c = len(u.ids) + len(u.columns)
		unit := Text(u.at(r, u.unit))
		u.columns[key], u.units = c, append(u.units, unit)
		if unit != "" {
			name += " (" + unit + ")"
		}
		u.out.Rows[0] = append(u.out.Rows[0], grid.Cell{Kind: grid.Textual, Text: name, Home: u.at(r, u.parameter).Home})
	}
	return c
}

// put puts the result of a line into the row of its jar; the same result again is a
// repeat, which has a row of its own.
func (u *unpivoting) put(r, c int) {
	owner := u.owner(r)
	key := u.key(owner)
	for n := 1; ; n++ {
		again := fmt.Sprintf("%s\x01%d", key, n)
		row, ok := u.rows[again]
		if !ok {
			row = len(u.out.Rows)
			u.rows[again] = row
			labels := make([]grid.Cell, len(u.ids))
			for k, i := range u.ids {
				labels[k] = u.at(owner, i)
			}
			u.out.Rows = append(u.out.Rows, labels)
		}
		cells := &u.out.Rows[row]
		for len(*cells) <= c {
			*cells = append(*cells, grid.Cell{})
		}
		if (*cells)[c].Blank() {
			(*cells)[c] = u.result(r, u.units[c-len(u.ids)])
			return
		}
	}
}

// key tells the jar of a line from others.
func (u *unpivoting) key(r int) string {
	key := ""
	for _, i := range u.ids {
		key += "\x00" + words.Fold(Text(u.at(r, i)))
	}
	return key
}

// owner gives the line that names the jar of a line: itself, or the last above it that does.
func (u *unpivoting) owner(r int) int {
	for k := r; k >= u.t.First; k-- {
		if strings.Trim(u.key(k), "\x00") != "" {
			return k
		}
	}
	return r
}

// result gives the value of a line with its qualifier before it, and its unit after it
// where the heading has another.
func (u *unpivoting) result(r int, unit string) grid.Cell {
	x := u.at(r, u.value)
	text := x.Text
	switch q := Text(u.at(r, u.qualifier)); q {
	case "<", ">", "≤", "≥":
		text = q + text
	}
	if own := Text(u.at(r, u.unit)); own != "" && !SameText(own, unit) {
		text += " " + own
	}
	if text == x.Text {
		return x
	}
	return grid.Cell{Kind: grid.Textual, Text: text, Home: x.Home}
}
