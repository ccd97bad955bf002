package layout

import (
	"strconv"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/words"
)

// Unpivot rewrites a table that has one line for each result (sample, parameter,
// value, unit) as one with a line for each jar, hidden rows among them only if asked
// for. It gives nil for other tables.
func Unpivot(t *Table, hidden bool) *Area {
	param, val, unitCol, qual := -1, -1, -1, -1
	for i, c := range t.Cols {
		switch h := c.Head; {
		case h.Parameter && param < 0:
			param = i
		case h.UnitColumn && unitCol < 0:
			unitCol = i
		case h.Qualifier && qual < 0:
			qual = i
		case h.Value && h.Reading == "" && val < 0:
			val = i
		}
	}
	if param < 0 || val < 0 || t.View.Turned {
		return nil
	}
	g := t.View.Area
	out := &Area{Sheet: rewritten(g), Origin: g, Box: t.Box(), Lines: t}
	var ids []int
	for i := range t.Cols {
		if i != param && i != val && i != unitCol && i != qual && !t.Cols[i].Head.Note && !t.Cols[i].Head.Date && !t.Cols[i].Head.Clock && !t.Cols[i].Head.Replicate {
			ids = append(ids, i)
		}
	}
	head := make([]grid.Cell, len(ids))
	for k, i := range ids {
		head[k] = grid.Cell{Kind: grid.Textual, Text: strings.Join(t.Cols[i].Parts, " "), Home: t.Cols[i].Place.Cell}
	}
	columns := map[string]int{}
	rowOf := map[string]int{}
	out.Rows = append(out.Rows, head)
	for _, r := range t.Rows {
		if t.View.RowHidden(r) && !hidden {
			continue
		}
		name := Text(t.View.At(r, t.Cols[param].C))
		if name == "" {
			continue
		}
		if unitCol >= 0 {
			if u := Text(t.View.At(r, t.Cols[unitCol].C)); u != "" {
				name += " (" + u + ")"
			}
		}
		c, ok := columns[name]
		if !ok {
			c = len(ids) + len(columns)
			columns[name] = c
			out.Rows[0] = append(out.Rows[0], grid.Cell{Kind: grid.Textual, Text: name, Home: t.View.PlaceAt(r, t.Cols[param].C).Cell})
		}
		key := ""
		for _, i := range ids {
			key += "\x00" + words.Fold(Text(t.View.At(r, t.Cols[i].C)))
		}
		x := t.View.At(r, t.Cols[val].C)
		x.Home = t.View.PlaceAt(r, t.Cols[val].C).Cell
		if qual >= 0 {
			if q := Text(t.View.At(r, t.Cols[qual].C)); q == "<" || q == ">" || q == "≤" || q == "≥" {
				x = grid.Cell{Kind: grid.Textual, Text: q + x.Text, Home: x.Home}
			}
		}
		row, ok := rowOf[key]
		if ok && c < len(out.Rows[row]) && !out.Rows[row][c].Blank() {
			ok = false // the same result again is a repeat reading
			for n := 2; ; n++ {
				again := key + "\x01" + strconv.Itoa(n)
				if k, had := rowOf[again]; !had {
					key = again
					break
				} else if c >= len(out.Rows[k]) || out.Rows[k][c].Blank() {
					key, row, ok = again, k, true
					break
				}
			}
		}
		if !ok {
			row = len(out.Rows)
			rowOf[key] = row
			cells := make([]grid.Cell, len(ids))
			for k, i := range ids {
				cells[k] = t.View.At(r, t.Cols[i].C)
				cells[k].Home = t.View.PlaceAt(r, t.Cols[i].C).Cell
			}
			out.Rows = append(out.Rows, cells)
		}
		for len(out.Rows[row]) <= c {
			out.Rows[row] = append(out.Rows[row], grid.Cell{})
		}
		out.Rows[row][c] = x
	}
	return out
}
