package sheet

import (
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// dateFact books, and reports, the day that stands beside a word for it, as the sheet writes it; a
// cell with a date format as 2026-03-02.
func (b *bench) dateFact(base fact, key, val string, x grid.Cell) bool {
	switch s := words.Fold(val); {
	case !layout.ReadHeading(key).Date:
		return false
	case x.Kind == grid.Numeric && x.Date():
		val = layout.DateText(x)
	case !layout.IsDate(s):
		return false
	}
	base.kind, base.text, base.keyed = factDate, val, true
	b.facts = append(b.facts, base)
	return true
}

// dated gives a series its day: that of its rows, where they all have the same, else
// that beside the table.
func (b *bench) dated(s *jartest.Series, t *layout.Table, fs []field, rows []dataRow) {
	for _, f := range fs {
		if !f.Head.Date {
			continue
		}
		day := ""
		for i, d := range rows {
			text := b.label(t, d.r, f.C)
			if x := t.View.At(d.r, f.C); x.Date() {
				text = layout.DateText(x)
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
			s.Meta = append(s.Meta, jartest.Fact{Name: "date", Value: day, At: t.View.PlaceAt(rows[0].r, f.C)})
			return
		}
	}
	if x, ok := b.look(t, factDate, ""); ok {
		s.Meta = append(s.Meta, jartest.Fact{Name: "date", Value: x.text, At: x.at})
	} else if day := dayIn(t.Title); day != "" {
		s.Meta = append(s.Meta, jartest.Fact{Name: "date", Value: day, At: t.TitleAt})
	}
}

// longestDate is of how many words a date is: "3 de mayo de 2026".
const longestDate = 5

// yearIn is the year of a date, in full or as its third number.
var yearIn = words.NewPattern(`(?:19|20)\d\d|\d[-/.]\d{1,2}[-/.]\d\d$`)

// dayIn gives the day that a title names, with its year; "" where it names none, or that of another
// test too.
func dayIn(title string) string {
	fields, found := strings.Fields(title), ""
	for i := 0; i < len(fields); i++ {
		for n := min(longestDate, len(fields)-i); n > 0; n-- {
			day := strings.Trim(strings.Join(fields[i:i+n], " "), " ,.;:()[]")
			if f := words.Fold(day); !layout.IsDate(f) || !yearIn.MatchString(f) {
				continue
			}
			if found != "" {
				return ""
			}
			found, i = day, i+n-1
			break
		}
	}
	if spoken()["formerly"].in(words.Fold(title)) {
		return ""
	}
	return found
}
