package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// evidence is what is known of one column when its role is decided: the column, its
// neighbours as far as they are decided, and what holds for the whole table.
type evidence struct {
	*field
	b  *bench
	t  *layout.Table
	fs []field
	i  int

	labels       int // the column of labels where several could be; -1 where there is no choice
	jar, test    int // columns that label jars and tests, found so far; -1 for none
	doses        int // columns of doses and stock volumes, found so far
	firstReading int
}

// isStrong reports a unit that only a stock or a product has.
func isStrong(u words.Unit) bool { return u.Factor >= 1000 || u.Kind == words.Percent }

// columnTests are the tests that rules for columns name.
var columnTests = map[string]func(*evidence) bool{
	// Words of the heading.
	"hidden":      func(e *evidence) bool { return e.t.View.ColumnHidden(e.C) && !e.told },
	"old":         func(e *evidence) bool { return e.Head.Old },
	"parameter":   func(e *evidence) bool { return e.Head.Parameter },
	"unit-column": func(e *evidence) bool { return e.Head.UnitColumn },
	"volume":      func(e *evidence) bool { return e.Head.Volume },
	"strength":    func(e *evidence) bool { return e.Head.Strength },
	"dilution":    func(e *evidence) bool { return e.Head.Dilution },
	"dose":        func(e *evidence) bool { return e.Head.Dose },
	"stock":       func(e *evidence) bool { return e.Head.Stock },
	"chem":        func(e *evidence) bool { return e.Head.Chem != "" },
	"change":      func(e *evidence) bool { return e.Head.Change },
	"metal":       func(e *evidence) bool { return e.Head.Metal != "" },
	"after":       func(e *evidence) bool { return e.Head.Stage == "after" },
	"before":      func(e *evidence) bool { return e.Head.Stage == "before" },
	"set":         func(e *evidence) bool { return e.Head.Stage == "set" },
	"target":      func(e *evidence) bool { return e.Head.Target },
	"reading":     func(e *evidence) bool { return e.Head.Reading != "" },
	"ph":          func(e *evidence) bool { return e.Head.Reading == jartest.PH },
	"removal":     func(e *evidence) bool { return e.Head.Removal },
	"log-removal": func(e *evidence) bool { return e.Head.LogRemoval },
	"qualifier":   func(e *evidence) bool { return e.Head.Qualifier },
	"replicate":   func(e *evidence) bool { return e.Head.Replicate },
	"jar":         func(e *evidence) bool { return e.Head.Jar || strings.HasPrefix(e.Head.Unit.Dimensions, "vessel/") },
	"chemical":    func(e *evidence) bool { return e.Head.Chemical },
	"test":        func(e *evidence) bool { return e.Head.Test },
	"note":        func(e *evidence) bool { return e.Head.Note },
	"date":        func(e *evidence) bool { return e.Head.Date },
	"operator":    func(e *evidence) bool { return e.Head.Operator },
	"aside":       func(e *evidence) bool { h := e.Head; return h.Note || h.Date || h.Clock || h.Speed || h.Operator },
	"value":       func(e *evidence) bool { return e.Head.Value },
	"timed":       func(e *evidence) bool { return e.Head.Timed },
	"stat":        func(e *evidence) bool { return e.Head.Stat != "" },
	"mean":        func(e *evidence) bool { return e.Head.Stat == "mean" },
	// by a word, and not by a unit alone
	"reading-worded": func(e *evidence) bool {
		return slices.ContainsFunc(layout.Pieces(e.Head.Text), func(p layout.Piece) bool { return strings.HasPrefix(p.Concept, "reading:") })
	},
	"sd":           func(e *evidence) bool { return e.Head.Stat == "sd" && !e.spread },
	"count":        func(e *evidence) bool { return e.Head.Stat == "n" },
	"counts":       (*evidence).counts,
	"statistic":    func(e *evidence) bool { return e.statistic() != "" },
	"only-dose":    (*evidence).onlyDose,
	"derived":      func(e *evidence) bool { return e.Head.Stat == "other" },
	"sum":          func(e *evidence) bool { return e.Head.Stat == "sum" },
	"core":         func(e *evidence) bool { return e.Head.Core() },
	"said":         func(e *evidence) bool { return e.Head.Said },
	"cost":         func(e *evidence) bool { return says(e.Head.Text, "role:cost") },
	"operation":    func(e *evidence) bool { return says(e.Head.Text, "operation") },
	"weighed":      func(e *evidence) bool { return weighed(e.Head) },
	"idle":         func(e *evidence) bool { return idleHeading(e.Head.Text) },
	"unknown-word": func(e *evidence) bool { return e.Head.Rest != "" },

	// Its unit.
	"unit":            func(e *evidence) bool { return e.Head.Unit.Known() },
	"unit-conc":       func(e *evidence) bool { return e.Head.Unit.Kind == words.Conc },
	"unit-mass":       func(e *evidence) bool { return layout.IsMass(e.Head.Unit) },
	"unit-volume":     func(e *evidence) bool { return e.Head.Unit.Kind == words.Volume },
	"sized":           func(e *evidence) bool { return jarSizedHead(e.Head) },
	"unit-volper":     func(e *evidence) bool { return e.Head.Unit.Kind == words.Volper },
	"unit-length":     func(e *evidence) bool { return e.Head.Unit.Kind == words.Length },
	"lettered":        func(e *evidence) bool { return e.b.lettered(e.t, e.C) },
	"unit-household":  func(e *evidence) bool { return e.Head.Unit.Kind == words.Household },
	"unit-drops":      func(e *evidence) bool { return e.Head.Unit.Kind == words.Drops },
	"unit-of-stock":   func(e *evidence) bool { return e.Head.Unit.Kind == words.Conc || e.Head.Unit.Kind == words.Percent },
	"unit-strong":     func(e *evidence) bool { return isStrong(e.Head.Unit) },
	"factor-strong":   func(e *evidence) bool { return e.Head.Unit.Factor >= 1000 },
	"by-volume":       func(e *evidence) bool { return e.b.byVolume(e.t, e.field) },
	"volumes-besides": func(e *evidence) bool { return volumeFor(e.fs, e.i) },

	// Its cells.
	"figures":      func(e *evidence) bool { return e.numbers > 0 },
	"texts":        func(e *evidence) bool { return e.texts > 0 },
	"texts-half":   func(e *evidence) bool { return e.texts >= e.numbers },
	"texts-mostly": func(e *evidence) bool { return e.texts > e.numbers },
	"constant":     func(e *evidence) bool { return e.b.constant(e.t, e.C) },
	"distinct":     func(e *evidence) bool { return e.b.distinct(e.t, e.C) },
	"counting":     func(e *evidence) bool { return e.b.counts(e.t, e.C, true) },
	"numbering":    func(e *evidence) bool { return e.b.counts(e.t, e.C, false) && !e.b.zeroAt(e.t, e.C) },
	"varies":       func(e *evidence) bool { return e.b.varies(e.t, e.C) },

	// Its place, its neighbours and its table.
	"turned":          func(e *evidence) bool { return e.t.View.Turned },
	"own-layout":      func(e *evidence) bool { return ownLayout(e.t) },
	"first":           func(e *evidence) bool { return e.i == 0 },
	"no-heading":      func(e *evidence) bool { return len(e.Parts) == 0 },
	"one-part":        func(e *evidence) bool { return len(e.Parts) == 1 },
	"jar-known":       func(e *evidence) bool { return e.jar >= 0 },
	"test-known":      func(e *evidence) bool { return e.test >= 0 },
	"two-labels":      func(e *evidence) bool { return e.labels >= 0 },
	"label-elsewhere": func(e *evidence) bool { return e.labels >= 0 && e.labels != e.i },
	"two-rows":        func(e *evidence) bool { return len(e.t.Rows) > 1 },
	"three-rows":      func(e *evidence) bool { return len(e.t.Rows) > 2 },
	"dose-besides":    func(e *evidence) bool { return otherDose(e.fs, e.i) },
	"dosed":           func(e *evidence) bool { return e.doses > 0 },
	"dosed-alike":     (*evidence).dosedAlike,
	"undosed":         func(e *evidence) bool { _, ok := e.undosed(); return ok },
	"dose-by-unit":    func(e *evidence) bool { return doseByUnit(e.fs, e.i) },
	"before-readings": func(e *evidence) bool { return e.i < e.firstReading },
	"reading-left":    func(e *evidence) bool { return readingOf(e.fs, e.i) >= 0 },
	"singles":         func(e *evidence) bool { return singles(e.fs, e.i) },
	"read-besides":    func(e *evidence) bool { return readBesides(e.fs, e.i) },
	"dose-named":      func(e *evidence) bool { return doseNamed(e.fs, e.i) },
	"alike-besides":   func(e *evidence) bool { return sameKey(e.fs, e.i) },
	"key-known":       func(e *evidence) bool { return e.key.Known() },

	// What it is taken for so far. Bare is a column of figures that names no reading.
	"bare": func(e *evidence) bool {
		h := e.Head
		return e.role == asReading && h.Reading == "" && !h.Removal && !h.LogRemoval && e.numbers > 0 && h.Stat == "" && !h.Timed
	},
	"is-reading": func(e *evidence) bool { return e.role == asReading },
	"is-dose":    func(e *evidence) bool { return e.role == asDose },
	"is-note":    func(e *evidence) bool { return e.role == asNote },
	"is-test":    func(e *evidence) bool { return e.role == asTest },
}

// undosed gives the chemical that the sheet names by itself, where no column of the table doses it.
func (e *evidence) undosed() (fact, bool) {
	x, ok := e.b.look(e.t, factChemical, "")
	if !ok || !x.keyed || x.naming != nil && x.naming.open() || x.chem == "" {
		return fact{}, false
	}
	return x, !slices.ContainsFunc(e.fs, func(f field) bool { return f.dosed() && (f.chem == "" || related(f.chem, x.chem)) })
}

// says reports a text of which a piece has the concept.
func says(text, concept string) bool {
	return slices.ContainsFunc(layout.Pieces(text), func(p layout.Piece) bool { return p.Concept == concept })
}

// volumeFor reports a column of volumes besides a column of stock strengths.
func volumeFor(fs []field, i int) bool {
	for j, o := range fs {
		if j != i && o.numbers > 0 && o.Head.Unit.Kind == words.Volume && (o.Head.Chem == fs[i].Head.Chem || o.Head.Chem == "" || fs[i].Head.Chem == "") {
			return true
		}
	}
	return false
}

// otherDose reports a dose column in figures besides column i.
func otherDose(fs []field, i int) bool {
	for j, f := range fs {
		if j != i && f.role == asDose && f.numbers > 0 {
			return true
		}
	}
	return false
}

// dosedAlike reports that every column whose heading names a dose gives all jars the same: what was
// tested is another.
func (e *evidence) dosedAlike() bool {
	named := 0
	for i, f := range e.fs {
		if i == e.i || f.role != asDose && f.role != asStock || !f.Head.DoseLike() {
			continue
		}
		if !e.b.constant(e.t, f.C) {
			return false
		}
		named++
	}
	return named > 0
}

// doseByUnit reports another column that is taken for a dose by nothing but its unit.
func doseByUnit(fs []field, i int) bool {
	for j, f := range fs {
		if j != i && f.role == asDose && !f.Head.DoseLike() && f.Head.Rest == "" && f.Head.Unit == fs[i].Head.Unit {
			return true
		}
	}
	return false
}

// doseNamed reports another column whose heading says that it holds doses.
func doseNamed(fs []field, i int) bool {
	for j, f := range fs {
		if j != i && f.numbers > 0 && f.Head.DoseLike() {
			return true
		}
	}
	return false
}

// asMeant are the words for a dose as it was meant to be; what else is old does not count.
var asMeant = words.NewPattern(`\b(?:nominal|intended|planned|proposed)\b`)

// onlyDose reports the doses as they were meant, where no column of the page has them as
// they were: what was meant was dosed.
func (e *evidence) onlyDose() bool {
	if !e.Head.DoseLike() || !asMeant.MatchString(words.Fold(e.Head.Text)) {
		return false
	}
	return !slices.ContainsFunc(e.b.tables, func(t *layout.Table) bool {
		return t.Area() == e.t.Area() && slices.ContainsFunc(t.Cols, func(c layout.Column) bool {
			return (t != e.t || c.C != e.C) && (c.Head.DoseLike() || c.Head.Reading == "" && layout.IsMass(c.Head.Unit))
		})
	})
}

// counts reports whole numbers under a heading that says what they count, or under a
// bare n beside a mean or a deviation.
func (e *evidence) counts() bool {
	beside := slices.ContainsFunc(e.fs, func(f field) bool { return f.Head.Stat == "sd" || f.Head.Stat == "mean" })
	if said := len([]rune(e.Head.Text)) > 2 && e.Head.Rest == "" && e.Head.Index == ""; !said && !beside {
		return false
	}
	return !slices.ContainsFunc(e.t.Rows, func(r int) bool {
		v := layout.ParseValue(e.t.View.At(r, e.C), e.b.dec(e.t))
		return v.OK() && (v.Num < 1 || v.Num != float64(int(v.Num)))
	})
}

// readingOf finds the reading left of a mean, a deviation or a count; one of the same
// kind before any other. It gives -1 for none.
func readingOf(fs []field, i int) int {
	other := -1
	for j := i - 1; j >= 0; j-- {
		h := fs[j].Head
		if fs[j].role != asReading || h.Stat == "sd" || h.Stat == "n" {
			continue
		}
		if fs[i].Head.Reading == "" || h.Reading == fs[i].Head.Reading {
			return j
		}
		if other < 0 {
			other = j
		}
	}
	return other
}

// singles reports single readings of what column i gives the means of.
func singles(fs []field, i int) bool {
	h := fs[i].Head
	for j, f := range fs {
		if j != i && f.role == asReading && h.Reading != "" && f.Head.Reading == h.Reading && f.Head.Stat == "" && f.Head.Removal == h.Removal && f.Head.Stage == h.Stage {
			return true
		}
	}
	return false
}

// readBesides reports another column of readings that are known.
func readBesides(fs []field, i int) bool {
	for j, f := range fs {
		if j != i && f.role == asReading && f.numbers > 0 && f.key.Known() && f.Head.Stage != "before" {
			return true
		}
	}
	return false
}

// sameKey reports another column that reads the same thing in the same group.
func sameKey(fs []field, i int) bool {
	group := groupOf(fs)
	for j, f := range fs {
		if j != i && (f.role == asReading || f.role == asBefore) && f.key == fs[i].key && group[j] == group[i] {
			return true
		}
	}
	return false
}
