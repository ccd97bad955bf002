package sheet

import (
	"jarwright/jartest"
	"jarwright/jartest/words"
)

// evidence is what is known of one column when its role is decided: the column, its
// neighbours as far as they are decided, and what holds for the whole table.
type evidence struct {
	*field
	b  *bench
	t  *table
	fs []field
	i  int

	labels       int // the column of labels where several could be; -1 where there is no choice
	jar, test    int // columns that label jars and tests, found so far; -1 for none
	doses        int // columns of doses and stock volumes, found so far
	firstReading int
}

// isMass reports a unit of a dose by weight.
func isMass(u words.Unit) bool {
	return u.Kind == words.Conc || u.Kind == words.Molar || u.Kind == words.Mass
}

// isStrong reports a unit that only a stock or a product has.
func isStrong(u words.Unit) bool { return u.Factor >= 1000 || u.Kind == words.Percent }

// columnTests are the tests that rules for columns name.
var columnTests = map[string]func(*evidence) bool{
	// Words of the heading.
	"hidden":       func(e *evidence) bool { return e.t.v.columnHidden(e.c) },
	"old":          func(e *evidence) bool { return e.head.old },
	"parameter":    func(e *evidence) bool { return e.head.parameter },
	"unit-column":  func(e *evidence) bool { return e.head.unitColumn },
	"volume":       func(e *evidence) bool { return e.head.volume },
	"strength":     func(e *evidence) bool { return e.head.strength },
	"dilution":     func(e *evidence) bool { return e.head.dilution },
	"dose":         func(e *evidence) bool { return e.head.dose },
	"stock":        func(e *evidence) bool { return e.head.stock },
	"chem":         func(e *evidence) bool { return e.head.chem != "" },
	"change":       func(e *evidence) bool { return e.head.change },
	"metal":        func(e *evidence) bool { return e.head.metal != "" },
	"after":        func(e *evidence) bool { return e.head.stage == "after" },
	"before":       func(e *evidence) bool { return e.head.stage == "before" },
	"set":          func(e *evidence) bool { return e.head.stage == "set" },
	"target":       func(e *evidence) bool { return e.head.target },
	"reading":      func(e *evidence) bool { return e.head.reading != "" },
	"ph":           func(e *evidence) bool { return e.head.reading == jartest.PH },
	"removal":      func(e *evidence) bool { return e.head.removal },
	"log-removal":  func(e *evidence) bool { return e.head.logRemoval },
	"qualifier":    func(e *evidence) bool { return e.head.qualifier },
	"replicate":    func(e *evidence) bool { return e.head.replicate },
	"jar":          func(e *evidence) bool { return e.head.jar },
	"chemical":     func(e *evidence) bool { return e.head.chemical },
	"test":         func(e *evidence) bool { return e.head.test },
	"note":         func(e *evidence) bool { return e.head.note },
	"date":         func(e *evidence) bool { return e.head.date },
	"operator":     func(e *evidence) bool { return e.head.operator },
	"aside":        func(e *evidence) bool { h := e.head; return h.note || h.date || h.clock || h.speed || h.operator },
	"value":        func(e *evidence) bool { return e.head.value },
	"timed":        func(e *evidence) bool { return e.head.timed },
	"stat":         func(e *evidence) bool { return e.head.stat != "" },
	"mean":         func(e *evidence) bool { return e.head.stat == "mean" },
	"sd":           func(e *evidence) bool { return e.head.stat == "sd" },
	"count":        func(e *evidence) bool { return e.head.stat == "n" },
	"derived":      func(e *evidence) bool { return e.head.stat == "other" },
	"sum":          func(e *evidence) bool { return e.head.stat == "sum" },
	"core":         func(e *evidence) bool { return e.head.core() },
	"said":         func(e *evidence) bool { return e.head.said },
	"unknown-word": func(e *evidence) bool { return e.head.rest != "" },

	// Its unit.
	"unit":            func(e *evidence) bool { return e.head.unit.Known() },
	"unit-conc":       func(e *evidence) bool { return e.head.unit.Kind == words.Conc },
	"unit-mass":       func(e *evidence) bool { return isMass(e.head.unit) },
	"unit-volume":     func(e *evidence) bool { return e.head.unit.Kind == words.Volume },
	"unit-drops":      func(e *evidence) bool { return e.head.unit.Kind == words.Drops },
	"unit-of-stock":   func(e *evidence) bool { return e.head.unit.Kind == words.Conc || e.head.unit.Kind == words.Percent },
	"unit-strong":     func(e *evidence) bool { return isStrong(e.head.unit) },
	"factor-strong":   func(e *evidence) bool { return e.head.unit.Factor >= 1000 },
	"by-volume":       func(e *evidence) bool { return e.b.byVolume(e.t, e.field) },
	"volumes-besides": func(e *evidence) bool { return volumeFor(e.fs, e.i) },

	// Its cells.
	"figures":      func(e *evidence) bool { return e.numbers > 0 },
	"texts":        func(e *evidence) bool { return e.texts > 0 },
	"texts-half":   func(e *evidence) bool { return e.texts >= e.numbers },
	"texts-mostly": func(e *evidence) bool { return e.texts > e.numbers },
	"constant":     func(e *evidence) bool { return e.b.constant(e.t, e.c) },
	"distinct":     func(e *evidence) bool { return e.b.distinct(e.t, e.c) },
	"counting":     func(e *evidence) bool { return e.b.counts(e.t, e.c) },
	"varies":       func(e *evidence) bool { return e.b.varies(e.t, e.c) },

	// Its place, its neighbours and its table.
	"turned":          func(e *evidence) bool { return e.t.v.turned },
	"own-layout":      func(e *evidence) bool { return ownLayout(e.t) },
	"first":           func(e *evidence) bool { return e.i == 0 },
	"no-heading":      func(e *evidence) bool { return len(e.parts) == 0 },
	"one-part":        func(e *evidence) bool { return len(e.parts) == 1 },
	"jar-known":       func(e *evidence) bool { return e.jar >= 0 },
	"test-known":      func(e *evidence) bool { return e.test >= 0 },
	"two-labels":      func(e *evidence) bool { return e.labels >= 0 },
	"label-elsewhere": func(e *evidence) bool { return e.labels >= 0 && e.labels != e.i },
	"two-rows":        func(e *evidence) bool { return len(e.t.rows) > 1 },
	"three-rows":      func(e *evidence) bool { return len(e.t.rows) > 2 },
	"dose-besides":    func(e *evidence) bool { return otherDose(e.fs, e.i) },
	"dosed":           func(e *evidence) bool { return e.doses > 0 },
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
		h := e.head
		return e.role == asReading && h.reading == "" && !h.removal && !h.logRemoval && e.numbers > 0 && h.stat == "" && !h.timed
	},
	"is-reading": func(e *evidence) bool { return e.role == asReading },
	"is-dose":    func(e *evidence) bool { return e.role == asDose },
	"is-note":    func(e *evidence) bool { return e.role == asNote },
	"is-test":    func(e *evidence) bool { return e.role == asTest },
}

// volumeFor reports a column of volumes besides a column of stock strengths.
func volumeFor(fs []field, i int) bool {
	for j, o := range fs {
		if j != i && o.numbers > 0 && o.head.unit.Kind == words.Volume && (o.head.chem == fs[i].head.chem || o.head.chem == "" || fs[i].head.chem == "") {
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

// doseByUnit reports another column that is taken for a dose by nothing but its unit.
func doseByUnit(fs []field, i int) bool {
	for j, f := range fs {
		if j != i && f.role == asDose && !f.head.doseLike() && f.head.rest == "" && f.head.unit == fs[i].head.unit {
			return true
		}
	}
	return false
}

// doseNamed reports another column whose heading says that it holds doses.
func doseNamed(fs []field, i int) bool {
	for j, f := range fs {
		if j != i && f.numbers > 0 && f.head.doseLike() {
			return true
		}
	}
	return false
}

// readingOf finds the reading left of a mean, a deviation or a count; one of the same
// kind before any other. It gives -1 for none.
func readingOf(fs []field, i int) int {
	other := -1
	for j := i - 1; j >= 0; j-- {
		h := fs[j].head
		if fs[j].role != asReading || h.stat == "sd" || h.stat == "n" {
			continue
		}
		if fs[i].head.reading == "" || h.reading == fs[i].head.reading {
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
	h := fs[i].head
	for j, f := range fs {
		if j != i && f.role == asReading && h.reading != "" && f.head.reading == h.reading && f.head.stat == "" && f.head.removal == h.removal && f.head.stage == h.stage {
			return true
		}
	}
	return false
}

// readBesides reports another column of readings that are known.
func readBesides(fs []field, i int) bool {
	for j, f := range fs {
		if j != i && f.role == asReading && f.numbers > 0 && f.key.Known() && f.head.stage != "before" {
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
