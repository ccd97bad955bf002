package sheet

import (
	"fmt"
	"jarwright/jartest/words"
	"strconv"
	"strings"
	"time"
)

// unpivot rewrites a table that has one line for each result (sample, parameter,
// value, unit) as one with a line for each jar. It gives nil for other tables.
func (b *bench) unpivot(t *table) *area {
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
	g := t.v.area
	out := &area{Sheet: rewritten(g), origin: g, box: t.box(), lines: t}
	var ids []int
	for i := range t.cols {
		if i != param && i != val && i != unitCol && i != qual && !t.cols[i].head.note && !t.cols[i].head.date && !t.cols[i].head.clock && !t.cols[i].head.replicate {
			ids = append(ids, i)
		}
	}
	head := make([]cell, len(ids))
	for k, i := range ids {
		head[k] = cell{Kind: textual, Text: strings.Join(t.cols[i].parts, " "), Home: t.cols[i].place.Cell}
	}
	columns := map[string]int{}
	rowOf := map[string]int{}
	out.Rows = append(out.Rows, head)
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
			out.Rows[0] = append(out.Rows[0], cell{Kind: textual, Text: name, Home: t.v.placeAt(r, t.cols[param].c).Cell})
		}
		key := ""
		for _, i := range ids {
			key += "\x00" + words.Fold(text(t.v.at(r, t.cols[i].c)))
		}
		x := t.v.at(r, t.cols[val].c)
		x.Home = t.v.placeAt(r, t.cols[val].c).Cell
		if qual >= 0 {
			if q := text(t.v.at(r, t.cols[qual].c)); q == "<" || q == ">" || q == "≤" || q == "≥" {
				x = cell{Kind: textual, Text: q + x.Text, Home: x.Home}
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
			cells := make([]cell, len(ids))
			for k, i := range ids {
				cells[k] = t.v.at(r, t.cols[i].c)
				cells[k].Home = t.v.placeAt(r, t.cols[i].c).Cell
			}
			out.Rows = append(out.Rows, cells)
		}
		for len(out.Rows[row]) <= c {
			out.Rows[row] = append(out.Rows[row], cell{})
		}
		out.Rows[row][c] = x
	}
	return out
}

// dateText writes a date cell as a name: ISO for stored dates, else as it stands.
func dateText(c cell) string {
	if c.Kind == numeric && c.Date() {
		if c.Num > 0 && c.Num < 200000 {
			d := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(c.Num))
			return d.Format("2006-01-02")
		}
	}
	return fmt.Sprint(c.Text)
}
