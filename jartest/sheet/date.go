package sheet

import (
	"jarwright/jartest"
	"jarwright/jartest/words"
)

// dateFact books the day that stands beside a word for it, as the sheet writes it; a
// cell with a date format as 2026-03-02.
func (b *bench) dateFact(base fact, key, val string, x cell) {
	switch s := words.Fold(val); {
	case !readHeading(key).date:
		return
	case x.Kind == numeric && x.Date():
		val = dateText(x)
	case !isoDate.MatchString(s) && !dayDate.MatchString(s) && !namedDate.MatchString(s):
		return
	}
	base.kind, base.text, base.keyed = factDate, val, true
	b.facts = append(b.facts, base)
}

// dated gives a series its day: that of its rows, where they all have the same, else
// that beside the table.
func (b *bench) dated(s *jartest.Series, t *table, fs []field, rows []dataRow) {
	for _, f := range fs {
		if !f.head.date {
			continue
		}
		day := ""
		for i, d := range rows {
			text := b.label(t, d.r, f.c)
			if x := t.v.at(d.r, f.c); x.Date() {
				text = dateText(x)
			}
			if i == 0 {
				day = text
			}
			if text != day {
				day = ""
				break
			}
		}
		if day != "" {
			s.Meta = append(s.Meta, jartest.Fact{Name: "date", Value: day, At: t.v.placeAt(rows[0].r, f.c)})
			return
		}
	}
	if x, ok := b.look(t, factDate, ""); ok {
		s.Meta = append(s.Meta, jartest.Fact{Name: "date", Value: x.text, At: x.at})
	}
}
