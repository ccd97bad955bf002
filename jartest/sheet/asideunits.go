package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// headed reports a unit that is mg/L, or that of a column: one of readings has another
// spelling for another method.
func (r aside) headed(u words.Unit) bool {
	return u.Kind == words.Conc && u.Factor == 1 || u.Kind == words.Turbidity && u.Factor == 1 || r.hasColumn(func(h layout.Heading) bool {
		return h.Unit.Kind == u.Kind && h.Unit.Factor == u.Factor
	})
}

// hasColumn reports a column of the tables beside with a heading.
func (r aside) hasColumn(with func(layout.Heading) bool) bool {
	return slices.ContainsFunc(r.tables, func(t *layout.Table) bool {
		return slices.ContainsFunc(t.Cols, func(c layout.Column) bool { return with(c.Head) })
	})
}

// bareUnit is a unit without a number, as it is spelt.
type bareUnit struct {
	words.Unit
	spelt string
}

// bareUnits gives the units of a sentence without a number in which the numbers of a table
// can be: those that stand by themselves, and those that "in" stands before.
func (r aside) bareUnits() []bareUnit {
	var out []bareUnit
	for _, u := range words.Units(r.text) {
		named := u.To-u.From == 1 && numberNext.MatchString(r.text[u.To:]) // "T 12 °C" is no tonne
		if _, counted := words.NumberBefore(r.text, u.From); !counted && !named && scaled[u.Kind] {
			out = append(out, bareUnit{u.Unit, r.text[u.From:u.To]})
		}
	}
	if len(out) > 0 {
		return out
	}
	for _, m := range givenIn.FindAllStringSubmatch(r.text, -1) {
		if u, ok := words.OnlyUnit(m[1]); ok && scaled[u.Kind] {
			out = append(out, bareUnit{u, m[1]})
		}
	}
	return out
}

var givenIn = words.NewPattern(`(?:\b(?:in|en|em|i|w|v|dalam|bang|are|sind|son|sao|sont|sono|zijn)|(?:^| )(?:в|у|σε)) ([^\s,.;:]+)`)

// numberNext begins with the number that a name has.
var numberNext = words.NewPattern(`^ ?[=:]? ?\d`)

// otherUnit reports a sentence that gives doses or readings a unit that is not that of their
// heading.
func (r aside) otherUnit() bool {
	us := r.bareUnits()
	if r.unit {
		return false // they are held against the headings
	}
	if len(us) > 1 && us[0].Kind != words.Turbidity && us[1].Kind != words.Turbidity && us[0].Name != us[1].Name && !r.h.Stock {
		return true
	}
	if spoken()["dose"].in(r.text) {
		return slices.ContainsFunc(us, func(u bareUnit) bool { return !r.headed(u.Unit) })
	}
	return r.ofNumbers() && slices.ContainsFunc(us, func(u bareUnit) bool {
		return !r.headed(u.Unit) || r.ofReadings() && (r.otherSpelling(u) || !r.readIn(u.Unit))
	})
}

// ofNumbers reports a sentence on the numbers of a table, and not on a stock or a chemical.
func (r aside) ofNumbers() bool {
	if r.h.Stock || r.h.Strength || r.h.Density || r.h.Chem != "" {
		return false
	}
	return r.h.Dose || r.h.UnitColumn || r.h.Reading != "" || readOff(r.text) || spoken()["subject"].in(r.text)
}

// ofReadings reports a sentence on readings alone.
func (r aside) ofReadings() bool { return readOff(r.text) && !r.h.Dose && !spoken()["dose"].in(r.text) }

// readIn reports a unit of a column of readings, or tables of which none has one.
func (r aside) readIn(u words.Unit) bool {
	read := func(h layout.Heading) bool { return h.Unit.Known() && !h.DoseLike() }
	return !r.hasColumn(read) || r.hasColumn(func(h layout.Heading) bool { return read(h) && h.Unit.Kind == u.Kind })
}

// otherSpelling reports a unit of turbidity where the headings spell another: they tell of
// other meters, though their numbers are near.
func (r aside) otherSpelling(u bareUnit) bool {
	spelt := func(same bool) bool {
		return r.hasColumn(func(h layout.Heading) bool {
			return h.Unit.Kind == words.Turbidity && strings.Contains(" "+plainWords(h.Text)+" ", " "+plainWords(u.spelt)+" ") == same
		})
	}
	return u.Kind == words.Turbidity && spelt(false) && !spelt(true)
}

// plainWords gives the words of a text and nothing between them.
func plainWords(text string) string {
	var out []string
	for _, t := range words.Tokens(words.Fold(text)) {
		out = append(out, t.Text)
	}
	return strings.Join(out, " ")
}

// otherReading reports a sentence that says of the readings that they are of a kind that no
// column is of.
func (r aside) otherReading() bool {
	if !r.ofReadings() || r.h.Reading == "" || r.h.Amount || len(r.bareUnits()) > 0 || !readAs.MatchString(r.text) {
		return false
	}
	return !r.hasColumn(func(h layout.Heading) bool { return h.Reading == r.h.Reading })
}

// readAs stands before what numbers are of.
var readAs = words.NewPattern(`\b(?:as|are|is|were|was|als|sind|ist|como|son|es|comme|sont|sono|sao|zijn|ar|som|jako|sebagai)\b`)
