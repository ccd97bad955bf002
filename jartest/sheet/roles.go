package sheet

import (
	"math"
	"sort"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// role is what a column is used for.
type role uint8

const (
	asIgnored role = iota
	asJar
	asTest
	asChemical
	asReplicate
	asNote
	asDose
	asStock // volume of stock or of neat product
	asReading
	asSetting
	asBefore // the water before treatment, for each jar
	asMean
	asSD
	asN
	asParameter
	asValue
	asUnit
	asQualifier
	asTarget
	asVolume   // water in the jar, by row
	asStrength // of the stock, by row
	asDilution // of the sample that was read, by row
)

// field is a column with its role.
type field struct {
	column
	role role
	key  jartest.Key // of a reading or setting
	chem string      // of a dose or stock: the name to show
	part string      // what sets this reading apart from others of its kind: another water or chemical
	of   int         // the field that a stock, mean, deviation or count belongs to; -1 for none
	rep  bool        // one of several repeat columns of the same reading
	// counts over the data rows
	numbers, texts, blanks int
}

// classify gives every column of a table its role. The steps are in order of
// certainty: names first, then units, then what is left over.
func (b *bench) classify(t *table) []field {
	fs := make([]field, len(t.cols))
	for i, col := range t.cols {
		fs[i] = field{column: col, of: -1}
		for _, r := range t.rows {
			x := t.v.at(r, col.c)
			switch {
			case x.Blank():
				fs[i].blanks++
			case b.finder(t).dataLike(x):
				fs[i].numbers++
			case col.head.dose && b.isDoseText(x.Text, b.dec(t)):
				fs[i].numbers++
			default:
				fs[i].texts++
			}
		}
	}
	b.override(t, fs)
	b.readingFromTitle(t, fs)
	b.readingFromHead(t, fs)
	b.nameRoles(t, fs)
	b.doseRoles(t, fs)
	b.statRoles(t, fs)
	b.readingKeys(t, fs)
	return fs
}

func (b *bench) isDoseText(s string, d decimals) bool {
	_, ok := b.doseText(s, d)
	return ok
}

// readingFromTitle gives the reading that a title names, "Turbidity (NTU) against
// dose", to the columns of a table that names none: its other columns are waters,
// chemicals or repeats.
func (b *bench) readingFromTitle(t *table, fs []field) {
	said := t.title
	h := readHeading(said)
	if h.reading == "" && t.foot != "" { // "Residual turbidity in NTU; raw 46 NTU"
		said = clauseEnd.Split(t.foot, 2)[0]
		h = readHeading(said)
	}
	if h.reading == "" || h.stage == "before" || h.raw || h.amount {
		return
	}
	dose := -1
	for i, f := range fs {
		if f.head.reading != "" || f.head.removal || f.head.logRemoval || f.head.value {
			return
		}
		if dose < 0 && f.numbers > 0 && (f.head.dose || f.head.unit.Kind == words.Conc) {
			dose = i
		}
	}
	if dose < 0 {
		return
	}
	for i := range fs {
		f := &fs[i]
		if i == dose || f.numbers == 0 || f.head.unit.Known() || f.head.dose || f.head.stock || f.head.note || f.head.jar && i < dose {
			continue
		}
		f.head.reading, f.head.unit, f.head.removal, f.head.jar = h.reading, h.unit, h.removal, false
		b.say(note.Info, "reading-from-title", t.titleAt, "%q says what the columns hold", clip(said))
	}
}

// readingFromHead gives the reading named by a heading without figures, "Turbidity
// (NTU)", to the lines of repeats under it, "rep 1" and "rep 2". Only jars across a
// sheet have such lines.
func (b *bench) readingFromHead(t *table, fs []field) {
	if !t.v.turned {
		return
	}
	for i := 0; i < len(fs); i++ {
		over := fs[i].head
		if over.reading == "" || fs[i].numbers+fs[i].texts > 0 {
			continue
		}
		for k := i + 1; k < len(fs); k++ {
			f := &fs[k]
			h := f.head
			bare := h.rest == "" || numberIn.FindString(h.rest) == h.rest
			if f.numbers == 0 || h.reading != "" || h.doseLike() || h.unit.Known() || !bare || !(h.replicate || h.index != "" || h.number || h.stat != "") {
				break
			}
			f.head.reading, f.head.unit, f.head.replicate, f.head.jar = over.reading, over.unit, false, false
			f.head.text = over.text + ", " + h.text
			b.say(note.Info, "reading-from-heading", f.place, "line %q is taken for a repeat under %q", h.text, over.text)
		}
	}
}

// override applies the user's own words: --column "header=reading".
func (b *bench) override(t *table, fs []field) {
	for i := range fs {
		f := &fs[i]
		for _, o := range b.opt.Columns {
			if !sameText(o.Header, f.head.text) && !sameText(o.Header, strings.Join(f.parts, " ")) && !strings.EqualFold(o.Header, grid.ColumnName(f.c)) && !(len(f.parts) > 0 && sameText(o.Header, f.parts[0])) {
				continue
			}
			b.used[o.Header] = true
			f.head = overridden(f.head, o.Meaning)
		}
	}
}

// overridden gives a heading the meaning that the user states.
func overridden(had heading, meaning string) heading {
	h := readHeading(meaning)
	k := jartest.Slug(meaning)
	first, _, _ := strings.Cut(string(k), "_")
	switch {
	case k == "ignore" || k == "none" || k == "skip":
		return heading{text: had.text, old: true}
	case first == "dose" || first == "stock" || k == "jar" || k == "test" || k == "note" || k == "replicate" || k == "chemical":
		u, chem := had.unit, had.chem
		if h.unit.Known() {
			u = h.unit
		}
		if h.chem != "" {
			chem = h.chem
		}
		return heading{text: had.text, unit: u, chem: chem, dose: first == "dose", stock: first == "stock", jar: k == "jar", test: k == "test", note: k == "note", replicate: k == "replicate", chemical: k == "chemical"}
	case k.Known():
		h.reading = k
	}
	h.text, h.said = had.text, true
	if !h.unit.Known() {
		h.unit = had.unit
	}
	return h
}

// plainName gives the words of a heading without brackets, units and "dose".
func plainName(text string) string {
	s := text
	if i := strings.IndexAny(s, "([{,;"); i > 0 {
		s = s[:i]
	}
	var out []string
	for _, w := range strings.Fields(strings.ReplaceAll(s, "_", " ")) {
		if _, ok := words.OnlyUnit(w); ok || words.Means(w, "role:dose") {
			continue
		}
		out = append(out, w)
	}
	return orWord(strings.Join(out, " "), strings.TrimSpace(text))
}

func sameText(a, b string) bool { return a != "" && words.Fold(a) == words.Fold(b) }

// nameRoles gives roles to columns whose heading names one outright.
func (b *bench) nameRoles(t *table, fs []field) {
	jar, test := -1, -1
	labels := b.labelColumn(t, fs)
	for i := range fs {
		f := &fs[i]
		h := f.head
		switch {
		case t.v.columnHidden(f.c):
			f.role = asIgnored
			if h.core() {
				b.say(note.Caution, "hidden-column", f.place, "column %q is hidden and was left out", h.text).do(b, "unhide it if it belongs to the test")
			}
		case h.old:
			f.role = asIgnored
			if f.numbers > 0 {
				if !ownLayout(t) {
					b.say(note.Info, "column-left-out", f.place, "column %q was left out because of its heading", h.text)
				}
			}
		case f.numbers == 0 && f.texts == 0:
			f.role = asIgnored
		case h.parameter && f.texts >= f.numbers && !t.v.turned:
			f.role = asParameter
		case h.parameter && jar < 0:
			f.role, jar = asJar, i
		case h.unitColumn && t.v.turned && jar < 0 && len(f.parts) == 1:
			f.role, jar = asJar, i // the corner over the row labels names the units beside them
		case h.unitColumn && f.texts > 0:
			f.role = asUnit
		case h.volume && h.unit.Kind == words.Volume && !h.dose && !h.stock && h.chem == "" && h.reading == "":
			f.role = asVolume
		case (h.stock || h.strength && (h.unit.Factor >= 1000 || h.unit.Kind == words.Percent)) && !h.dose && h.reading == "" && (h.unit.Kind == words.Conc || h.unit.Kind == words.Percent) && (b.constant(t, f.c) || h.strength && (h.unit.Factor >= 1000 || h.unit.Kind == words.Percent)):
			f.role = asStrength
		case h.dilution && !h.dose && !h.stock && h.reading == "" && h.chem == "" && !h.unit.Known():
			f.role = asDilution
		case h.stock && h.unit.Kind == words.Conc && h.unit.Factor >= 1000 && !h.dose && h.reading == "" && b.volumeFor(fs, i):
			f.role = asStrength
		case h.stage == "after" && !h.dose && !h.stock && h.reading == "" && !h.removal && f.numbers > 0 && h.unit.Known():
			f.role = asReading // what is left in the water is no dose
		case h.target && h.reading != jartest.PH && !h.dose && h.chem == "":
			f.role = asTarget
		case h.reading != "" || h.removal || h.logRemoval:
			f.role = asReading
		case h.qualifier:
			f.role = asQualifier
		case h.replicate && h.chem == "" && !h.dose:
			f.role = asReplicate
		case h.dose || h.stock && !h.jar || h.chem != "" && (h.unit.Known() || f.numbers > 0):
			f.role = asDose // settled in doseRoles
		case h.jar && h.unit.Kind != words.Volume && jar < 0 && !h.chemical && (labels < 0 || i == labels):
			f.role, jar = asJar, i
		case h.jar && h.unit.Kind == "" && labels >= 0 && !h.chemical:
			f.role = asNote // a second label, which tells tests apart if it repeats
			if test < 0 && !b.distinct(t, f.c) {
				f.role, test = asTest, i
			}
		case h.chemical && f.texts > 0 && f.texts >= f.numbers:
			f.role = asChemical
		case h.chemical && f.numbers > 0 && !h.test:
			f.role = asDose
		case h.test && h.unit.Kind == "" && test < 0:
			f.role, test = asTest, i
		case h.note || h.date || h.clock || h.speed || h.operator:
			f.role = asNote
			if f.numbers > 0 && !h.operator && !h.date {
				f.role = asReading // an observation in figures keeps its own name
			}
		case h.stat != "" || h.value:
			f.role = asReading
		case f.texts > f.numbers:
			f.role = asNote
		default:
			f.role = asReading
		}
	}
	if jar >= 0 {
		if test >= 0 && len(t.rows) > 2 && b.distinct(t, fs[test].c) {
			fs[test].role = asNote // a number for every row names no test
		}
		return
	}
	// The first column without a heading, or with an odd one, may hold the labels.
	f := &fs[0]
	switch {
	case len(f.parts) == 0 && f.role != asDose:
		f.role = asJar
	case f.role == asNote && f.head.rest != "" && f.texts > 0 && !f.head.note, f.role == asReading && f.head.reading == "" && !f.head.removal && f.head.stat == "" && !f.head.unit.Known() && !f.head.value && !f.head.logRemoval && b.counts(t, f.c):
		f.role = asJar
	case f.role == asTest && b.distinct(t, f.c):
		f.role = asJar
	case test >= 0 && b.distinct(t, fs[test].c) && len(t.rows) > 1:
		fs[test].role = asJar
	}
}

// volumeFor reports a column of volumes besides a column of stock strengths.
func (b *bench) volumeFor(fs []field, i int) bool {
	for j, o := range fs {
		if j != i && o.numbers > 0 && o.head.unit.Kind == words.Volume && (o.head.chem == fs[i].head.chem || o.head.chem == "" || fs[i].head.chem == "") {
			return true
		}
	}
	return false
}

// labelColumn chooses between several columns that can be jar labels: the one with
// the most different values, then the first. It gives -1 where there is no choice.
func (b *bench) labelColumn(t *table, fs []field) int {
	best, most, n := -1, 0, 0
	for i, f := range fs {
		h := f.head
		if !h.jar || h.core() || h.chemical || h.unit.Kind == words.Volume || f.numbers+f.texts == 0 {
			continue
		}
		n++
		seen := map[string]bool{}
		for _, r := range t.rows {
			seen[words.Fold(t.v.at(r, f.c).Text)] = true
		}
		if len(seen) > most {
			best, most = i, len(seen)
		}
	}
	if n < 2 {
		return -1
	}
	return best
}

// counts reports a column that numbers its rows 1, 2, 3 ….
func (b *bench) counts(t *table, c int) bool {
	last := -1.0
	for _, r := range t.rows {
		v := parseValue(t.v.at(r, c), b.dec(t))
		if !v.ok() || v.num != float64(int(v.num)) || last >= 0 && v.num != last+1 {
			return false
		}
		last = v.num
	}
	return last >= 0
}

// constant reports a column with one and the same number in every filled row.
func (b *bench) constant(t *table, c int) bool {
	n, first := 0, 0.0
	for _, r := range t.rows {
		x := t.v.at(r, c)
		if x.Blank() {
			continue
		}
		v := parseValue(x, b.dec(t))
		if !v.ok() || n > 0 && v.num != first {
			return false
		}
		first, n = v.num, n+1
	}
	return n > 0
}

// distinct reports a column with another text or number in every row.
func (b *bench) distinct(t *table, c int) bool {
	seen := map[string]bool{}
	for _, r := range t.rows {
		x := t.v.at(r, c)
		if x.Blank() || seen[words.Fold(x.Text)] {
			return false
		}
		seen[words.Fold(x.Text)] = true
	}
	return true
}

// doseRoles settles which columns hold doses and which volumes of stock.
func (b *bench) doseRoles(t *table, fs []field) {
	doses := 0
	for i := range fs {
		f := &fs[i]
		if f.role != asDose {
			continue
		}
		if f.numbers == 0 && f.texts > 0 && (f.head.chem == "" && !f.head.dose || otherDose(fs, i)) {
			f.role = asNote
			continue
		}
		f.chem = f.head.chem
		if b.byVolume(t, f) {
			f.role = asStock
		}
		doses++
	}
	firstReading := len(fs)
	for i, f := range fs {
		if f.role == asReading && (f.head.reading != "" || f.head.removal) {
			firstReading = i
			break
		}
	}
	for i := range fs {
		f := &fs[i]
		h := f.head
		if f.role != asReading || h.reading != "" || h.removal || h.logRemoval || f.numbers == 0 || h.stat != "" || h.timed {
			continue
		}
		massive := h.unit.Kind == words.Conc || h.unit.Kind == words.Molar || h.unit.Kind == words.Mass
		switch {
		case h.unit.Kind == words.Conc && h.metal != "" && h.rest == "" && doses > 0:
			f.head.reading = map[string]jartest.Key{"Al": jartest.ResidualAl, "Fe": jartest.ResidualFe}[h.metal]
			b.say(note.Info, "residual-metal", f.place, "column %q is taken for %s left in the water, because the dose has a column of its own", h.text, h.metal)
			continue
		case massive && h.metal != "" && i < firstReading && doses == 0:
			f.role, f.chem = asDose, ""
		case massive && h.rest == "" && h.metal == "" && doses == 0:
			f.role = asDose
		case h.unit.Kind == words.Volume && doses == 0, h.unit.Kind == words.Drops:
			f.role = asStock
		case (massive || h.unit.Kind == words.Volume) && h.rest != "" && h.stage != "after" && i < firstReading && h.metal == "":
			f.role, f.chem = asDose, h.rest
			if h.unit.Kind == words.Volume {
				f.role = asStock
			}
			f.chem = plainName(h.text)
			b.say(note.Caution, "chemical-unknown", f.place, "column %q is taken for the dose of a chemical called %q", h.text, f.chem).do(b, `if it is a reading, say so with --column "%s=…"`, h.text)
		default:
			continue
		}
		doses++
	}
	b.sameDoseTwice(t, fs)
	b.pairStock(fs)
}

// sameDoseTwice leaves out a dose column that gives the doses of another once
// more: as planned, or on another basis.
func (b *bench) sameDoseTwice(t *table, fs []field) {
	for i := range fs {
		if fs[i].role != asDose {
			continue
		}
		for j := i + 1; j < len(fs); j++ {
			if fs[j].role != asDose || fs[i].role != asDose || fs[i].chem != "" && fs[j].chem != "" && fs[i].chem != fs[j].chem {
				continue
			}
			drop, planned := j, false
			if fs[i].head.target || fs[i].head.stage == "set" {
				drop = i
			}
			planned = fs[drop].head.target || fs[drop].head.stage == "set"
			same := fs[i].chem == fs[j].chem && fs[i].chem != ""
			if !b.proportional(t, fs[i].c, fs[j].c) && !planned {
				continue
			}
			if !planned && !same && fs[i].chem == "" && fs[j].chem == "" && fs[i].head.rest != fs[j].head.rest {
				continue
			}
			fs[drop].role = asIgnored
			if fs[i].chem == "" {
				fs[i].chem = fs[j].chem
			}
			if fs[j].chem == "" {
				fs[j].chem = fs[i].chem
			}
			b.say(note.Info, "dose-twice", fs[drop].place, "column %q gives the same dose once more and was left out", fs[drop].head.text)
		}
	}
}

// proportional reports two columns of numbers in a fixed ratio.
func (b *bench) proportional(t *table, c, d int) bool {
	ratio, n := 0.0, 0
	for _, r := range t.rows {
		x, y := parseValue(t.v.at(r, c), b.dec(t)), parseValue(t.v.at(r, d), b.dec(t))
		switch {
		case !x.ok() && !y.ok():
			continue
		case !x.ok() || !y.ok() || (x.num == 0) != (y.num == 0):
			return false
		case x.num == 0:
			continue
		case n == 0:
			ratio = y.num / x.num
		case math.Abs(y.num/x.num-ratio) > 0.03*ratio:
			return false
		}
		n++
	}
	return n >= 2
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

// byVolume reports a dose column that gives millilitres rather than mg/L.
func (b *bench) byVolume(t *table, f *field) bool {
	switch f.head.unit.Kind {
	case "volume", "drops", "volper":
		return true
	case "":
		for _, r := range t.rows { // the unit may stand in the cells
			if v := parseValue(t.v.at(r, f.c), b.dec(t)); v.unit.Kind == words.Volume {
				return true
			}
		}
		return f.head.stock && !f.head.dose
	}
	return false
}

// pairStock joins a column of stock volumes to the dose column that it leads to.
func (b *bench) pairStock(fs []field) {
	doses := 0
	for _, f := range fs {
		if f.role == asDose {
			doses++
		}
	}
	taken := map[int]bool{}
	for i := range fs {
		if fs[i].role != asStock {
			continue
		}
		best := -1
		for j := range fs {
			if fs[j].role != asDose || taken[j] && doses > 1 {
				continue
			}
			same := fs[i].chem == fs[j].chem || fs[i].chem == "" || fs[j].chem == ""
			if same && (best < 0 || abs(i-j) < abs(i-best)) {
				best = j
			}
		}
		if best >= 0 {
			fs[i].of = best
			taken[best] = true
			if fs[best].chem == "" {
				fs[best].chem = fs[i].chem
			}
		}
	}
}

func abs(x int) int {
	if x < 0 {
		return -x
	}
	return x
}

// statRoles ties means, deviations and counts to the reading they belong to.
func (b *bench) statRoles(t *table, fs []field) {
	near := func(i int, key jartest.Key) int {
		for j := i - 1; j >= 0; j-- {
			if fs[j].role == asReading && (key == "" || fs[j].head.reading == key) && fs[j].head.stat != "sd" && fs[j].head.stat != "n" {
				return j
			}
		}
		return -1
	}
	for i := range fs {
		f := &fs[i]
		if f.role != asReading {
			continue
		}
		switch f.head.stat {
		case "mean":
			key := f.head.reading
			if key == "" {
				if j := near(i, ""); j >= 0 {
					key = fs[j].head.reading
					f.head.reading = key
					if !f.head.unit.Known() {
						f.head.unit = fs[j].head.unit
					}
				}
			}
			singles := 0
			for j := range fs {
				if j != i && fs[j].role == asReading && fs[j].head.reading == key && key != "" && fs[j].head.stat == "" && fs[j].head.removal == f.head.removal && fs[j].head.stage == f.head.stage {
					singles++
				}
			}
			if singles > 0 {
				f.role = asMean
				b.say(note.Info, "mean-left-out", f.place, "column %q repeats the single readings and was left out", f.head.text)
			}
		case "sd", "n":
			j := near(i, f.head.reading)
			if j < 0 && f.head.reading != "" {
				j = near(i, "")
			}
			f.of = j
			f.role = asSD
			if f.head.stat == "n" {
				f.role = asN
			}
			if j < 0 {
				f.role = asIgnored
			}
		case "other":
			f.role = asIgnored
			b.say(note.Info, "column-left-out", f.place, "column %q is derived from the readings and was left out", f.head.text)
		case "sum":
			if f.head.reading == "" {
				f.role = asIgnored
			}
		}
	}
}

// readingKeys names the readings and sorts out several columns of one kind.
func (b *bench) readingKeys(t *table, fs []field) {
	for i := range fs {
		f := &fs[i]
		if f.role != asReading {
			continue
		}
		f.key = b.keyOf(fs, f)
		if f.head.stage == "set" && f.head.reading == jartest.PH || f.head.target && f.head.reading == jartest.PH {
			f.role, f.key = asSetting, "ph_target"
		}
	}
	b.unnamedReading(fs)
	byKey := map[jartest.Key][]int{}
	var order []jartest.Key
	for i, f := range fs {
		if f.role == asReading {
			if len(byKey[f.key]) == 0 {
				order = append(order, f.key)
			}
			byKey[f.key] = append(byKey[f.key], i)
		}
	}
	group := groupOf(fs)
	for _, k := range order {
		for g := 0; g <= group[len(fs)-1]; g++ {
			var idx []int
			for _, i := range byKey[k] {
				if group[i] == g {
					idx = append(idx, i)
				}
			}
			if len(idx) > 0 {
				b.several(t, fs, k, idx)
			}
		}
	}
}

// unnamedReading takes a lone column called "result" for turbidity, and says so.
func (b *bench) unnamedReading(fs []field) {
	lone, dosed := -1, false
	for i, f := range fs {
		switch {
		case f.role == asDose || f.role == asStock:
			dosed = true
		case f.role != asReading || f.numbers == 0:
		case f.head.reading != "" || f.head.removal || f.head.logRemoval || f.head.unit.Known() || lone >= 0:
			return
		case f.head.value:
			lone = i
		}
	}
	if lone >= 0 && dosed {
		f := &fs[lone]
		f.key, f.head.reading = jartest.Turbidity, jartest.Turbidity
		b.say(note.Caution, "reading-assumed", f.place, "column %q does not say what was read; turbidity is assumed", f.head.text).do(b, `state it with --column "%s=turbidity NTU"`, f.head.text)
	}
}

// keyOf names one reading.
func (b *bench) keyOf(fs []field, f *field) jartest.Key {
	h := f.head
	own := jartest.Slug(h.text)
	if own == "" {
		own = jartest.Slug(grid.ColumnName(f.c))
	}
	key := h.reading
	switch {
	case h.logRemoval:
		return own
	case h.removal:
		switch h.reading {
		case jartest.Turbidity:
			return jartest.TurbidityRemoval
		case jartest.TSS:
			return jartest.TSSRemoval
		case "":
			for _, o := range fs {
				if o.head.removal || o.role != asReading {
					continue
				}
				if o.head.reading == jartest.Turbidity {
					b.say(note.Info, "removal-of", f.place, "column %q is taken for the removal of turbidity", h.text)
					return jartest.TurbidityRemoval
				}
			}
		}
		return own
	case key == "":
		return own
	case key == jartest.Turbidity && h.unit.Kind == words.Length:
		b.say(note.Info, "tube", f.place, "column %q is a length, read through a tube or with a disc; it keeps its own name and is not turned into NTU", h.text)
		return own
	case !key.Known(), h.change, key == jartest.Colour && h.unit.Kind == words.ADMI:
		return own
	case key == jartest.Turbidity && (h.unit.Kind == words.FAU || h.unit.Kind == words.JTU):
		b.say(note.Caution, "not-ntu", f.place, "column %q is in %s, which is another measurement than NTU; it keeps its own name", h.text, h.unit.Name)
		return own
	case h.note && h.unit.Kind == words.Minutes:
		return own
	}
	return key
}

// several decides about columns that read the same thing.
func (b *bench) several(t *table, fs []field, key jartest.Key, idx []int) {
	if len(idx) < 2 {
		if f := &fs[idx[0]]; f.head.stage == "before" && key.Known() {
			b.before(fs, f)
		}
		return
	}
	// The water before treatment is no reading of a jar.
	var left []int
	for _, i := range idx {
		if fs[i].head.stage == "before" {
			b.before(fs, &fs[i])
			continue
		}
		left = append(left, i)
	}
	if len(left) < 2 {
		return
	}
	if !key.Known() {
		for n, i := range left {
			if n > 0 {
				fs[i].key = jartest.Key(string(key) + "_" + strings.ToLower(grid.ColumnName(fs[i].c)))
			}
		}
		return
	}
	if b.byTime(fs, key, left) || b.byPart(t, fs, key, left) {
		return
	}
	// Filtered and unfiltered, true and apparent: different measurements.
	var plain, other []int
	for _, i := range left {
		if fs[i].head.filtered || strings.Contains(words.Fold(fs[i].head.text), "apparent") {
			other = append(other, i)
		} else {
			plain = append(plain, i)
		}
	}
	if len(plain) > 0 && len(other) > 0 {
		for _, i := range other {
			fs[i].key = jartest.Slug(fs[i].head.text)
		}
		left = plain
	}
	if len(left) < 2 {
		return
	}
	if left = b.alike(fs, key, left); len(left) < 2 {
		return
	}
	if b.unevenNumbers(fs, left) {
		for _, i := range left {
			fs[i].head.timed = true
			fs[i].head.minutes, _ = strconv.ParseFloat(fs[i].head.index, 64)
		}
		b.byTime(fs, key, left)
		return
	}
	if b.apart(t, fs, left) {
		b.say(note.Error, "columns-apart", fs[left[0]].place, "the columns of %s (%s) differ by more than repeat readings do, and nothing says whether they are two waters or one", key.Info().Label, headTexts(fs, left)).
			do(b, `name the waters in the headings, leave one out with --column "%s=ignore", or say that they are repeats with --column "%s=%s" for each`, fs[left[1]].head.text, fs[left[0]].head.text, key)
		return
	}
	numbered := true
	for _, i := range left {
		fs[i].rep = true
		numbered = numbered && (fs[i].head.index != "" || fs[i].head.replicate || fs[i].head.number)
	}
	level, why := note.Info, "repeat readings of each jar"
	if !numbered {
		level, why = note.Caution, "repeat readings of each jar, because nothing tells them apart"
	}
	b.say(level, "replicate-columns", fs[left[0]].place, "%d columns of %s (%s) are taken for %s", len(left), key.Info().Label, headTexts(fs, left), why)
}

// apart reports columns of one reading whose numbers are further from each other than
// two readings of one jar: by half or more in most of the jars (common practice, no
// source: duplicates of turbidity agree within a fifth).
func (b *bench) apart(t *table, fs []field, idx []int) bool {
	const most = 1.5
	var ratios []float64
	for _, i := range idx {
		if fs[i].head.said {
			return false
		}
	}
	for _, r := range t.rows {
		low, high, n := math.Inf(1), 0.0, 0
		for _, i := range idx {
			if v := parseValue(t.v.at(r, fs[i].c), b.dec(t)); v.ok() && v.num > 0 {
				low, high, n = math.Min(low, v.num), math.Max(high, v.num), n+1
			}
		}
		if n > 1 {
			ratios = append(ratios, high/low)
		}
	}
	sort.Float64s(ratios)
	return len(ratios) > 2 && ratios[len(ratios)/2] > most
}

// unevenNumbers reports headings told apart by numbers that do not count 1, 2, 3,
// such as NTU 5, NTU 15, NTU 30: times, not repeats.
func (b *bench) unevenNumbers(fs []field, idx []int) bool {
	uneven := false
	for k, i := range idx {
		n, err := strconv.Atoi(fs[i].head.index)
		if err != nil {
			return false
		}
		uneven = uneven || n != k+1 && n != k
	}
	return uneven
}

// alike keeps the columns whose headings differ in nothing but a number or letter.
// Where others say more, the first that speaks of treated water is the reading and
// the rest keep names of their own.
func (b *bench) alike(fs []field, key jartest.Key, idx []int) []int {
	same := true
	for _, i := range idx {
		same = same && fs[i].head.extra == fs[idx[0]].head.extra
	}
	if same {
		return idx
	}
	main := idx[0]
	for _, i := range idx {
		if fs[i].head.stage == "after" && fs[main].head.stage != "after" {
			main = i
		}
	}
	var keep, left []int
	for _, i := range idx {
		if fs[i].head.extra == fs[main].head.extra {
			keep = append(keep, i)
			continue
		}
		left = append(left, i)
		fs[i].key = jartest.Slug(fs[i].head.text)
		if fs[i].key.Known() {
			fs[i].key += jartest.Key("_" + strings.ToLower(grid.ColumnName(fs[i].c)))
		}
	}
	b.say(note.Caution, "several-of-a-kind", fs[main].place, "several columns read %s; %q is taken for the reading of the jar, %s keep their own names", key.Info().Label, fs[main].head.text, headTexts(fs, left)).
		do(b, `to take another, use --column "%s=%s"`, fs[left[0]].head.text, key)
	return keep
}

func headTexts(fs []field, idx []int) string {
	var s []string
	for _, i := range idx {
		s = append(s, `"`+fs[i].head.text+`"`)
	}
	return strings.Join(s, ", ")
}

// before marks a column that holds the water before treatment.
func (b *bench) before(fs []field, f *field) {
	f.role = asBefore
	b.say(note.Info, "before-treatment", f.place, "column %q is the water before treatment, not a reading of the jar", f.head.text)
}

// byTime keeps the last of several settling times as the reading; the others keep
// names of their own.
func (b *bench) byTime(fs []field, key jartest.Key, idx []int) bool {
	times := map[float64][]int{}
	for _, i := range idx {
		if !fs[i].head.timed {
			return false
		}
		times[fs[i].head.minutes] = append(times[fs[i].head.minutes], i)
	}
	if len(times) < 2 {
		return false
	}
	var ts []float64
	for m := range times {
		ts = append(ts, m)
	}
	sort.Float64s(ts)
	last := ts[len(ts)-1]
	for m, is := range times {
		for _, i := range is {
			if m != last {
				fs[i].key = jartest.Key(string(key) + "_" + trimFloat(m) + "_min")
			}
			fs[i].rep = len(is) > 1
		}
	}
	b.say(note.Caution, "settling-times", fs[times[last][0]].place, "%s was read at several settling times; the last one, %s min, is the reading, the others keep their own names", key.Info().Label, trimFloat(last)).
		do(b, `to take another, use --column "%s=%s"`, fs[idx[0]].head.text, key)
	return true
}

// byPart finds columns that read the same thing for different waters or chemicals.
func (b *bench) byPart(t *table, fs []field, key jartest.Key, idx []int) bool {
	parts := map[string]bool{}
	for _, i := range idx {
		p := partOf(fs[i])
		if p == "" {
			return false
		}
		parts[p] = true
	}
	if len(parts) < 2 {
		return false
	}
	for _, i := range idx {
		fs[i].part = partOf(fs[i])
	}
	return true
}

// partOf names what a reading column belongs to, besides its kind: a chemical, a
// water, a place.
func partOf(f field) string {
	h := f.head
	if h.chem != "" {
		return h.chem
	}
	if h.place != "" && !h.replicate && h.rest == "" {
		if own := strings.Join(f.parts, " "); readHeading(own).reading == "" && readHeading(own).place != "" {
			return own
		}
		return h.place
	}
	if ordinal(h.rest) || numberIn.FindString(h.rest) == h.rest && h.rest != "" {
		return "" // a number tells repeats apart
	}
	if h.rest != "" {
		if len(f.parts) > 0 && readHeading(strings.Join(f.parts, " ")).reading == "" {
			return strings.Join(f.parts, " ")
		}
		return h.rest
	}
	own := readHeading(strings.Join(f.parts, " "))
	if len(f.parts) > 0 && own.reading == "" && !own.unit.Known() && !own.replicate && own.stage == "" && own.stat == "" && !own.timed && (own.test || own.raw) {
		return strings.Join(f.parts, " ")
	}
	if g := strings.TrimSpace(f.group); g != "" {
		gh := readHeading(g)
		if gh.reading == "" && gh.stage == "" && !gh.timed {
			return g
		}
	}
	return ""
}

func ordinal(s string) bool {
	switch s {
	case "first", "second", "third", "fourth", "one", "two", "three", "i", "ii", "iii", "primera", "segunda", "tercera", "top", "bottom":
		return true
	}
	return false
}
