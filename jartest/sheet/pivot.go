package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// unpivot rewrites a table that has one line for each result (sample, parameter,
// value, unit) as one with a line for each jar. It gives nil for other tables.
func (b *bench) unpivot(t *table) *grid {
	param, val, unitCol, qual := -1, -1, -1, -1
	for i, c := range t.cols {
		switch h := c.head; {
		case h.parameter && param < 0:
			param = i
		case h.unitColumn && unitCol < 0:
			unitCol = i
		case h.qualifier && qual < 0:
			qual = i
		case h.value && h.reading == "" && val < 0:
			val = i
		}
	}
	if param < 0 || val < 0 || t.v.turned {
		return nil
	}
	g := t.v.grid
	out := &grid{file: g.file, sheet: g.sheet, hiddenRow: map[int]bool{}, hiddenCol: map[int]bool{}, origin: g, box: t.box()}
	var ids []int
	for i := range t.cols {
		if i != param && i != val && i != unitCol && i != qual && !t.cols[i].head.note && !t.cols[i].head.date && !t.cols[i].head.clock && !t.cols[i].head.replicate {
			ids = append(ids, i)
		}
	}
	head := make([]cell, len(ids))
	for k, i := range ids {
		head[k] = cell{kind: textual, text: strings.Join(t.cols[i].parts, " "), home: t.cols[i].place.Cell}
	}
	columns := map[string]int{}
	rowOf := map[string]int{}
	out.rows = append(out.rows, head)
	for _, r := range t.rows {
		if t.v.rowHidden(r) && !b.opt.Hidden {
			continue
		}
		name := text(t.v.at(r, t.cols[param].c))
		if name == "" {
			continue
		}
		if unitCol >= 0 {
			if u := text(t.v.at(r, t.cols[unitCol].c)); u != "" {
				name += " (" + u + ")"
			}
		}
		c, ok := columns[name]
		if !ok {
			c = len(ids) + len(columns)
			columns[name] = c
			out.rows[0] = append(out.rows[0], cell{kind: textual, text: name, home: t.v.placeAt(r, t.cols[param].c).Cell})
		}
		key := ""
		for _, i := range ids {
			key += "\x00" + fold(text(t.v.at(r, t.cols[i].c)))
		}
		x := t.v.at(r, t.cols[val].c)
		x.home = t.v.placeAt(r, t.cols[val].c).Cell
		if qual >= 0 {
			if q := text(t.v.at(r, t.cols[qual].c)); q == "<" || q == ">" || q == "≤" || q == "≥" {
				x = cell{kind: textual, text: q + x.text, home: x.home}
			}
		}
		row, ok := rowOf[key]
		if ok && c < len(out.rows[row]) && !out.rows[row][c].blank() {
			ok = false // the same result again is a repeat reading
			for n := 2; ; n++ {
				again := key + "\x01" + strconv.Itoa(n)
				if k, had := rowOf[again]; !had {
					key = again
					break
				} else if c >= len(out.rows[k]) || out.rows[k][c].blank() {
					key, row, ok = again, k, true
					break
				}
			}
		}
		if !ok {
			row = len(out.rows)
			rowOf[key] = row
			cells := make([]cell, len(ids))
			for k, i := range ids {
				cells[k] = t.v.at(r, t.cols[i].c)
				cells[k].home = t.v.placeAt(r, t.cols[i].c).Cell
			}
			out.rows = append(out.rows, cells)
		}
		for len(out.rows[row]) <= c {
			out.rows[row] = append(out.rows[row], cell{})
		}
		out.rows[row][c] = x
	}
	return out
}

// dateText writes a date cell as a name: ISO for stored dates, else as it stands.
func dateText(c cell) string {
	if c.kind == numeric && c.date {
		if c.num > 0 && c.num < 200000 {
			d := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(c.num))
			return d.Format("2006-01-02")
		}
	}
	return fmt.Sprint(c.text)
}
