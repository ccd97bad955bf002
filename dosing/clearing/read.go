package clearing

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/dosing/flow"
	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/jartest/words"
)

// NoTrial is the code of a file that holds no log of a tank.
const NoTrial = "no-clearing-trial"

// Read reads the runs of a workbook or a text table: our own sheets, and any table with a column of times and one of readings.
// Several runs stand in columns, in blocks, on sheets or under a column of names; times may lie across. What stands beside a
// table, flow, volume, polymer, skimming, is of its runs; what columns say of it, and times that begin again, part them (see settings.go). Every fault names its cell, and what is not understood is said.
func Read(name string, r io.Reader) (Trial, error) {
	data, err := grid.ReadAll(name, r)
	if err != nil {
		return Trial{}, err
	}
	areas, notes, err := layout.Open(name, data)
	if err != nil {
		return Trial{}, err
	}
	x := reader{file: name, several: len(areas) > 1, spoke: map[note.Place]bool{}}
	x.Notes = notes
	for _, a := range areas {
		if a.Fault != nil {
			x.faults.Add(*a.Fault)
			continue
		}
		x.sheet(a)
	}
	switch {
	case len(x.Runs) == 0 && len(x.faults) == 0 && len(x.empty) > 0:
		return x.Trial, note.Fault("not-filled", "the log has times and no readings").At(x.empty[0].Place).Do("write what the tank read beside each time")
	case len(x.Runs) == 0 && len(x.faults) == 0:
		return x.Trial, note.Fault(NoTrial, "holds no log of a tank: no row of headings names a time and a reading").At(note.Place{File: name}).
			Do(`write columns such as Time (h), Turbidity (NTU), with Flow and Volume above them, or begin with "jarwright new trial FILE.xlsx --of unit"`)
	}
	x.Notes.Add(x.empty...)
	for _, r := range x.Runs {
		if x.Goal.OK && r.Key != x.goalKey {
			x.faults.Add(note.Fault("goal-unit", "the goal is not in the unit of the readings of %s, %s", r.Name, r.Key.Info().Unit).At(x.Goal.At).Do("give it in that unit"))
			break
		}
	}
	x.share()
	return x.Trial, x.faults.Err()
}

// reader takes a file apart.
type reader struct {
	Trial
	file    string
	several bool  // sheets
	common  facts // what sheets without a table say
	goalKey jartest.Key
	empty   note.List // logs that nobody has filled in
	faults  note.List
	v       layout.View
	dec     layout.Decimals
	// marks is how the sheet's own numbers show that fractions are written, which may be unknown.
	marks layout.Decimals
	// spoke are the cells that were spoken of, since runs beside each other share their rows.
	spoke map[note.Place]bool
}

// sheet reads one sheet, upright, and turned where it holds no table so.
func (x *reader) sheet(a *layout.Area) {
	x.marks = layout.DecimalsOf(a)
	x.dec = x.marks
	if x.dec == layout.DecimalsUnknown {
		x.dec = layout.DecimalPoint
	}
	for _, turned := range []bool{false, true} {
		x.v = layout.View{Area: a, Turned: turned}
		if x.tables() {
			return
		}
		if len(a.Rows) > layout.MostLines {
			return
		}
	}
	x.v = layout.View{Area: a}
	x.beside()
}

// beside reads a sheet without a table: volume, flow and goal of all runs may stand there. What else it says is for people.
func (x *reader) beside() {
	said, faults := x.Notes, x.faults
	a := x.facts(0, x.height(), nil)
	x.Notes, x.faults = said, faults
	x.common.merge(&a.facts)
	if a.goal.OK && !x.Goal.OK {
		x.Goal, x.goalKey = a.goal, a.goalKey
	}
}

func (x *reader) height() int {
	if x.v.Turned {
		return x.v.Area.Width()
	}
	return len(x.v.Rows)
}

func (x *reader) width() int {
	if x.v.Turned {
		return len(x.v.Rows)
	}
	return x.v.Area.Width()
}

// tables reads the tables of the view from top to bottom; false where there is none.
func (x *reader) tables() bool {
	from, any := 0, false
	for r := 0; r < x.height(); r++ {
		blocks := blocksOf(x.v, r)
		if len(blocks) == 0 || !x.numbersUnder(r, blocks) {
			continue
		}
		any = true
		own := x.facts(from, r, blocks)
		end := x.end(blocks[0].row, blocks)
		for x.headedAgain(r, end, blocks) {
			end = x.end(blocks[0].row, blocks)
		}
		for i, b := range blocks {
			x.block(b, end, own, i)
		}
		r, from = end-1, end
	}
	if any {
		x.facts(from, x.height(), nil) // what stands below the last table says something, or is quoted
	}
	return any
}

// headedAgain takes out a row of headings that says the same as those of the table above it, as at the head of a page, where nothing stands between and the times go on. It reports that it did.
func (x *reader) headedAgain(r, end int, blocks []block) bool {
	k, last := end, blocks[0].row
	for k < x.height() && x.blankRow(k) {
		k++
	}
	under := k + 1 + last - r
	if x.v.Turned || under >= x.height() {
		return false
	}
	for i := 0; i <= last-r; i++ {
		for c := range x.width() {
			if layout.Text(x.v.At(r+i, c)) != layout.Text(x.v.At(k+i, c)) {
				return false
			}
		}
	}
	c := blocks[0].clock().at
	above := end - 1
	for above > last && x.v.At(above, c).Blank() {
		above--
	}
	from, to := layout.ParseValue(x.v.At(above, c), x.dec), layout.ParseValue(x.v.At(under, c), x.dec)
	at := x.v.PlaceAt(k, c)
	if from.State != to.State || from.State != layout.Number && from.State != layout.Dated || to.Num <= from.Num {
		x.Notes.Add(note.New(note.Info, "headings-again", "the headings stand again, and the times begin again below them: another run").At(at))
		return false
	}
	x.Notes.Add(note.New(note.Info, "headings-again", "the headings stand again, and the times go on below them: the same run").At(at))
	for i := k; i < under; i++ {
		clear(x.v.Area.Rows[i])
	}
	return true
}

// numbersUnder reports that numbers stand below a row of headings, in one of its columns of readings.
func (x *reader) numbersUnder(r int, blocks []block) bool {
	for _, b := range blocks {
		for k := r + 1; k < min(r+4, x.height()); k++ {
			for _, c := range slices.Concat(b.tanks, b.inlets, b.outlets) {
				if v := layout.ParseValue(x.v.At(k, c.at), x.dec); v.State == layout.Number || v.Limit {
					return true
				}
			}
		}
	}
	return x.blankSheet(r, blocks)
}

// blankSheet reports a log that nobody has filled in: planned times, and no reading.
func (x *reader) blankSheet(r int, blocks []block) bool {
	return slices.ContainsFunc(blocks, func(b block) bool {
		v := layout.ParseValue(x.v.At(r+1, b.clock().at), x.dec)
		return len(b.tanks) > 0 && (v.State == layout.Number || v.State == layout.Dated)
	})
}

// end is the row after the last of a table: the next headings end it, or a row without a time and without a reading, unless all of
// that row is blank and the table goes on below it. What looks like a row of it further down and is none is told.
func (x *reader) end(r int, blocks []block) int {
	last, gap := r, false
	for k := r + 1; k < x.height(); k++ {
		if len(blocksOf(x.v, k)) > 0 {
			return k
		}
		switch {
		case x.filled(k, blocks) && gap && !x.isRow(k, blocks):
			return x.below(last+1, blocks)
		case x.filled(k, blocks) || k == r+1:
			last, gap = k, false
		case x.blankRow(k):
			gap = true
		default:
			return x.below(last+1, blocks)
		}
	}
	return min(last+1, x.height())
}

// filled reports a row with a time or a reading.
func (x *reader) filled(k int, blocks []block) (filled bool) {
	for _, b := range blocks {
		clock := x.v.At(k, b.clock().at)
		for _, c := range slices.Concat([]column{b.clock()}, b.tanks, b.inlets, b.outlets) {
			v := x.v.At(k, c.at)
			filled = filled || !v.Blank() && (c.at == b.clock().at || layout.ParseValue(v, x.dec).State != layout.Unclear)
		}
		if filled && factFor(layout.Text(clock)) != nil && layout.ParseValue(clock, x.dec).State == layout.Unclear {
			filled = false
		}
	}
	return filled
}

// isRow reports a row with a time, or none at all, and a reading.
func (x *reader) isRow(k int, blocks []block) bool {
	return slices.ContainsFunc(blocks, func(b block) bool {
		text := layout.Text(x.v.At(k, b.clock().at))
		return (text == "" || text[0] >= '0' && text[0] <= '9') && slices.ContainsFunc(slices.Concat(b.tanks, b.inlets, b.outlets), func(c column) bool {
			v := layout.ParseValue(x.v.At(k, c.at), x.dec)
			return v.State == layout.Number || v.Limit
		})
	})
}

// blankRow reports a row with nothing in it.
func (x *reader) blankRow(k int) bool {
	for c := range x.width() {
		if !x.v.At(k, c).Blank() {
			return false
		}
	}
	return true
}

// below tells of rows with times and readings that stand below a line of words, up to the next headings, and are of no table. It gives where it began.
func (x *reader) below(from int, blocks []block) int {
	for k := from; k < x.height() && len(blocksOf(x.v, k)) == 0; k++ {
		if c := blocks[0].clock().at; x.isRow(k, blocks) && !x.v.At(k, c).Blank() {
			x.Notes.Add(note.New(note.Caution, "rows-below", "readings stand below a line of words, from %q on, and are not counted", layout.Text(x.v.At(k, c))).At(x.v.PlaceAt(k, c)).
				Do("write them on without such a line, or as a run of their own with its headings"))
			break
		}
	}
	return from
}

// setting is what stands over a table: facts of all its runs, and those of single columns.
type setting struct {
	facts
	title   string
	form    bool // our own sheet
	columns map[int]*facts
	unit    words.Unit // that a line names, where no heading does
}

// facts reads the lines between two tables: a label with its value beside it, "label: value", or a title. A line under whose label
// stand values in the columns of several runs is of those.
func (x *reader) facts(from, to int, blocks []block) *setting {
	a := &setting{columns: map[int]*facts{}}
	var runs []int
	for _, b := range blocks {
		if len(b.tanks) > 1 {
			for _, c := range b.tanks {
				runs = append(runs, c.at)
			}
		} else if len(blocks) > 1 && len(b.tanks) > 0 {
			runs = append(runs, b.tanks[0].at)
		}
	}
	for r := from; r < to; r++ {
		x.line(a, r, runs)
	}
	return a
}

// line reads one line beside a table.
func (x *reader) line(a *setting, r int, runs []int) {
	for c := 0; c < x.width(); c++ {
		text := layout.Text(x.v.At(r, c))
		if text == "" {
			continue
		}
		if formTitle(text) {
			a.form = true
			continue
		}
		at := x.v.PlaceAt(r, c)
		f := factFor(strings.TrimSuffix(text, ":"))
		if u := words.Units(text); len(u) > 0 && readKey(u[len(u)-1].Unit) != "" && !a.unit.Known() && f == nil {
			a.unit = u[len(u)-1].Unit
		}
		if label, value, keyed := layout.Keyed(text); keyed && value != "" && factFor(label) != nil {
			x.put(factFor(label), &a.facts, label, value, at)
			continue
		}
		if f != nil && x.inOne(a, f, text, at) {
			continue
		}
		if f != nil {
			last, ofRuns := x.labelled(a, f, text, r, c, runs)
			if ofRuns {
				return
			}
			c = last
			continue
		}
		switch value := x.unknownLabel(r, c, text); {
		case a.form, dosesNone(text): // what else stands on our own sheet is its labels and hints
		case value != "" && !sumsUp(text):
			x.Notes.Add(note.New(note.Caution, "line-not-used", "%q with %q is not understood and not used", strings.TrimSuffix(text, ":"), value).At(at))
			return
		case a.title == "" || x.lonely(r, c) && !strings.Contains(text, ": "):
			a.title = text
		case strings.ContainsAny(text, "0123456789") && len(text) < longestHeading:
			x.Notes.Add(note.New(note.Info, "line-not-used", "%q is not understood and not used", text).At(at))
		}
	}
}

// unknownLabel is the amount that stands beside a text of a line, or behind its colon, which is then a label and no title; empty for none.
func (x *reader) unknownLabel(r, c int, text string) string {
	amount := func(said string) string {
		if v := layout.ParseText(said, x.dec); v.OK() || v.Limit || v.Approx {
			return said
		}
		return ""
	}
	if layout.IsData(text, x.dec) {
		return ""
	}
	if label, value, keyed := layout.Keyed(text); keyed && label != "" {
		return amount(value)
	}
	if k, ok := layout.Beside(x.v, r, c); ok && k > c {
		return amount(written(x.v.At(r, k)))
	}
	return ""
}

// formTitle reports the heading of our own sheet, which names no trial.
func formTitle(text string) bool { return strings.HasSuffix(words.Fold(text), "log of a run") }

// inOne takes a fact that a cell tells alone, "Tank volume 60 m3": a label, and one amount at its end.
func (x *reader) inOne(a *setting, f *fact, text string, at note.Place) bool {
	all := words.Amounts(text)
	if f.unit == nil || len(all) != 1 || f.key != "volume" && f.key != "flow" {
		return false
	}
	m := all[0]
	from := strings.LastIndex(text[:m.From], m.Number)
	if from <= 0 || strings.TrimSpace(text[m.To:]) != "" {
		return false
	}
	x.put(f, &a.facts, strings.TrimSpace(text[:from]), strings.TrimSpace(text[from:]), at)
	return true
}

// labelled takes what stands right of a label: one value of all runs, or one under each column of a run. It gives the last
// column that it has taken.
func (x *reader) labelled(a *setting, f *fact, label string, r, c int, runs []int) (last int, ofRuns bool) {
	if per := x.perRun(r, c, runs); len(per) > 1 || len(per) == 1 && f.weighs() {
		for _, k := range per {
			if a.columns[k] == nil {
				a.columns[k] = &facts{}
			}
			x.put(f, a.columns[k], label, written(x.v.At(r, k)), x.v.PlaceAt(r, k))
		}
		return c, true
	}
	if f.key == "place" && x.lonely(r, c) && len(words.TokensIn(label)) > 1 { // "Rearing tank" alone, where "Tank" is a label that nobody has filled in
		a.title = label
	}
	k, ok := layout.Beside(x.v, r, c)
	value, unit := written(x.v.At(r, k)), layout.Text(x.v.At(r, k+1))
	isUnit := func(text string) bool {
		_, is := words.OnlyUnit(text)
		return (is || slices.Contains(f.unit, text)) && !dosesNone(text)
	}
	ok = ok && (!a.form || k == c+1)                                                                                                     // on our own sheet a value stands beside its label, and a hint behind
	if !ok || k <= c || value == "" || isUnit(value) || factFor(value) != nil && f.unit != nil && !startsWithFigure.MatchString(value) { // nothing was filled in
		return c, false
	}
	last = k
	if unit != "" && isUnit(unit) { // "Flow | 12 | m3/h"
		last++
		if isNumber.MatchString(value) && unitOf(label) == "" {
			value += " " + unit
		}
	}
	x.put(f, &a.facts, label, value, x.v.PlaceAt(r, k))
	return last, false
}

// lonely reports a text that stands alone in its line.
func (x *reader) lonely(r, c int) bool {
	for k := range x.width() {
		if k != c && !x.v.At(r, k).Blank() {
			return false
		}
	}
	return true
}

// perRun are the columns of runs under which a line has a value.
func (x *reader) perRun(r, c int, runs []int) (out []int) {
	for _, k := range runs {
		if k > c && !x.v.At(r, k).Blank() {
			out = append(out, k)
		}
	}
	return out
}

// written is a cell as a fact takes it: a number with the sign of percent that it is shown with, a day as a day.
func written(c grid.Cell) string {
	switch {
	case c.Kind == grid.Numeric && c.Date():
		return layout.DateText(c)
	case c.Kind == grid.Numeric && c.Percent():
		return strconv.FormatFloat(quantity.RoundSig(c.Num*100, 12), 'g', -1, 64) + " %"
	case c.Kind == grid.Numeric && c.Suffix() != "":
		return c.Text + " " + c.Suffix()
	}
	return layout.Text(c)
}

func (x *reader) put(f *fact, to *facts, label, value string, at note.Place) {
	if f.unit != nil {
		plain, err := unmarked(value, x.marks)
		if err != nil {
			x.faults.Add(note.Of(err, "bad-fact")[0].At(at))
			return
		}
		value = plain
	}
	if f.unit != nil && f.key != "temperature" && negative.MatchString(value) || f.key == "volume" && zeroAmount.MatchString(value) {
		x.faults.Add(impossible(strings.TrimSpace(strings.TrimSuffix(label, ":")), value).At(at))
		return
	}
	before, twice := to.said[f.key]
	if err := f.take(to, label, value, at); err != nil {
		x.faults.Add(note.Of(err, "bad-fact")[0].At(at))
		return
	}
	if f.key == "volume" || f.key == "flow" {
		x.Written = append(x.Written, to.said[f.key].value)
	}
	if now, ok := to.said[f.key]; twice && ok && f.unit != nil && words.Fold(before.value) != words.Fold(now.value) {
		x.Notes.Add(note.New(note.Caution, "said-twice", "the file says %q and %q of the same run under %q; the latter is taken", before.value, now.value, strings.TrimSpace(strings.TrimSuffix(label, ":"))).At(at).
			Do("correct the one that is wrong, and write what is of one run alone beside that run"))
	}
}

// startsWithFigure is an amount, whatever it is of: "12 mg/L as alum 14-hydrate".
var startsWithFigure = regexp.MustCompile(`^\s*[<>~]?\s*\d`)

// negative and zeroAmount are amounts that cannot be.
var (
	negative   = regexp.MustCompile(`^\s*[-−]\s*\d`)
	zeroAmount = regexp.MustCompile(`^\s*0+(?:\.0*)?(?:\s|$)`)
)

// markedNumber is a number with marks of fractions or of thousands.
var markedNumber = regexp.MustCompile(`\d+(?:[.,']\d+)+|\d{1,3}(?: \d{3})+\b`)

// unmarked writes the numbers of a value with no mark but a decimal point, as the cells of the sheet are read. A comma before three
// digits that nothing in the sheet settles is asked about.
func unmarked(value string, d layout.Decimals) (string, error) {
	var doubt error
	plain := markedNumber.ReplaceAllStringFunc(value, func(n string) string {
		v := layout.Numeral(n, d)
		if v.State != layout.Number {
			doubt = note.Fault("thousands-or-fraction", "%q %s", value, v.Doubt).Do("write it without a mark between its thousands, such as 18000")
			return n
		}
		return strconv.FormatFloat(v.Num, 'f', -1, 64)
	})
	return plain, doubt
}

// block reads the runs of one time column.
func (x *reader) block(b block, end int, a *setting, nth int) {
	for _, c := range slices.Concat(b.tanks, b.inlets, b.outlets) {
		if no := c.refused(x.v.PlaceAt(b.row, c.at)); no != nil {
			x.faults.Add(*no)
			return
		}
	}
	for _, c := range b.others {
		if unit := unitOf(c.text); unit != "" && (c.role == flowing || c.role == holding) {
			x.Written = append(x.Written, "1 "+unit)
		}
	}
	for _, c := range slices.Concat(b.tanks, b.inlets, b.outlets) {
		if c.unit.Kind == words.FNU {
			x.Notes.Add(note.New(note.Info, "fnu", "%q: FNU counts as NTU; keep to one meter for all readings of a tank", c.text).At(x.v.PlaceAt(b.row, c.at)))
		}
	}
	key := b.kind()
	if key == "" {
		if key = cmp.Or(x.unitInCells(b, end), readKey(a.unit)); key == "" {
			c := b.clock()
			if len(b.tanks) > 0 {
				c = b.tanks[0]
			}
			x.faults.Add(note.Fault("reading-unit", "%q does not say what was read", c.text).At(x.v.PlaceAt(b.row, c.at)).
				Do(`write the unit into the heading, such as "Tank (NTU)" or "Tank (mg/L)"`))
			return
		}
	}
	at, ok := x.timesOf(b, end)
	if !ok {
		return
	}
	rows, ok := x.parted(b, at)
	if !ok {
		return
	}
	if a.goal.OK {
		x.Goal, x.goalKey = a.goal, a.goalKey
	}
	x.Name = cmp.Or(x.Name, a.trial, a.title)
	if len(b.tanks) == 0 {
		b.tanks = []column{{at: -1}}
	}
	b.tanks = x.readTwice(b)
	for i, tank := range b.tanks {
		if tank.at >= 0 && tank.key != "" && tank.key != key {
			x.Notes.Add(note.New(note.Info, "column-not-used", "the column %q is not used: the other readings are %s", tank.text, key.Info().Label).At(x.v.PlaceAt(b.row, tank.at)))
			continue
		}
		x.runs(b, tank, key, at, rows, a, i, nth)
	}
}

// unitInCells is what the readings of a block are of where each has its unit beside it, "80 NTU".
func (x *reader) unitInCells(b block, end int) (key jartest.Key) {
	for r := b.row + 1; r < end; r++ {
		for _, c := range slices.Concat(b.tanks, b.inlets, b.outlets) {
			if v := layout.ParseValue(x.v.At(r, c.at), x.dec); v.State == layout.Number {
				if key = readKey(v.Unit); key == "" {
					return ""
				}
			}
		}
	}
	return key
}

// numbered is a heading that ends with a number of its own.
var numbered = regexp.MustCompile(`^(.*\S)\s*\b\d$`)

// readTwice puts columns that are the same water read again, "Tank NTU 1" and "Tank NTU 2" or "Reading 1 (NTU)", into one run, and says so: a number
// behind the unit counts readings, one before it may count runs.
func (x *reader) readTwice(b block) (out []column) {
	base := func(c column) string {
		text := c.text
		if ends := strings.TrimRight(text, ")] "); !numbered.MatchString(text) && ends != "" { // "Reading 1 (NTU)"
			text = without(text)
		}
		m := numbered.FindStringSubmatch(text)
		if m == nil {
			return ""
		}
		said := words.TokensIn(m[1])
		again := slices.ContainsFunc([]string{"reading", "repeat", "replicate", "duplicate", "sample"}, func(w string) bool { return slices.Contains(said, w) })
		if u := words.Units(m[1]); again || len(u) > 0 && strings.Trim(m[1][u[len(u)-1].To:], ")] ") == "" {
			return words.Fold(m[1])
		}
		return ""
	}
	for _, c := range b.tanks {
		is := base(c)
		first := slices.IndexFunc(out, func(o column) bool { return is != "" && base(o) == is })
		if first < 0 {
			out = append(out, c)
			continue
		}
		out[first].again = append(out[first].again, c.at)
		x.Notes.Add(note.New(note.Info, "read-twice", "%q is taken for the same water as %q, read again; two runs have names of their own, such as \"with polymer (NTU)\"", c.text, out[first].text).At(x.v.PlaceAt(b.row, c.at)))
	}
	return out
}

// runs reads the runs of one column of readings: one, or one for each part of its rows.
func (x *reader) runs(b block, tank column, key jartest.Key, at []quantity.Known[quantity.Time], rows []part, a *setting, i, nth int) {
	var order []part
	of := map[part]*facts{}
	sums := map[part]*means{}
	several := slices.ContainsFunc(rows, func(p part) bool { return p != rows[0] })
	for n, t := range at {
		p := rows[n]
		f := of[p]
		if f == nil {
			f = x.start(b, tank, key, a, p.name, i, nth, several)
			of[p], sums[p] = f, &means{of: map[role][]float64{}}
			order = append(order, p)
		}
		x.row(f, b, tank, b.row+1+n, t, sums[p], i)
	}
	for _, p := range order {
		f := of[p]
		sums[p].into(x, b, f)
		f.Off = f.Off || f.Flow.OK && f.Flow.V == 0 // whatever tells it
		f.begin()
		if len(f.Readings) > 0 {
			x.Runs = append(x.Runs, f.Run)
			continue
		}
		x.empty = append(x.empty, note.New(note.Info, "not-filled", "a log of times and no readings").At(f.At))
	}
}

// start is a run with what is said of it, before its readings. The title of a table is the name of its run where it has one alone.
func (x *reader) start(b block, tank column, key jartest.Key, a *setting, name string, i, nth int, several bool) *facts {
	f := a.facts
	f.Key, f.At = key, x.v.PlaceAt(b.row, b.clock().at)
	if own := a.columns[tank.at]; own != nil {
		f.merge(own)
	}
	heading := ""
	if tank.at >= 0 && (len(b.tanks) > 1 || b.apart || len(words.Amounts(tank.text)) > 0) {
		heading = without(tank.text)
	}
	wide := len(b.tanks) > 1
	f.Name = strings.TrimSpace(cmp.Or(name, f.Name))
	switch {
	case f.Name != "" && wide:
		f.Name = strings.TrimSpace(f.Name + ", " + heading)
	case f.Name == "" && heading != "":
		f.Name = heading
	case f.Name != "" || several:
	case a.title != "" && nth == 0:
		f.Name = a.title
	case x.several && nth == 0:
		f.Name = x.v.Area.Sheet.Name
	}
	for _, said := range []string{name, heading, f.Name} {
		f.byName(said, f.At)
	}
	return &f
}

// merge puts what was said of a run alone over what was said of all, the very way it was put before.
func (f *facts) merge(own *facts) {
	f.said = maps.Clone(f.said)
	for _, s := range own.said {
		_ = s.row.put(f, s.value, s.at) // it was told when it was read
		f.note(s)
	}
}

// without is a heading without its unit and what reads.
func without(text string) string {
	for _, u := range slices.Backward(words.Units(text)) {
		if _, counted := words.NumberBefore(text, u.From); !counted && readKey(u.Unit) != "" {
			text = text[:u.From] + text[u.To:]
		}
	}
	text = strings.NewReplacer("()", "", "[]", "").Replace(text)
	return strings.Trim(strings.Join(strings.Fields(text), " "), " ,;:-–")
}

// row reads one row of a run.
func (x *reader) row(f *facts, b block, tank column, r int, t quantity.Known[quantity.Time], m *means, i int) {
	got := Reading{At: t.V}
	read := func(c int) (quantity.Known[float64], float64) {
		if c < 0 {
			return quantity.Known[float64]{}, 0
		}
		return x.reading(f, r, c)
	}
	got.Tank, got.Step = read(tank.at)
	if tank.at >= 0 && t.OK && t.V >= 0 {
		if v := layout.ParseValue(x.v.At(r, tank.at), x.dec); v.State == layout.Below && v.Limit && v.Num > 0 {
			f.Below = append(f.Below, Below{t.V, quantity.Known[float64]{V: v.Num, OK: true, At: x.v.PlaceAt(r, tank.at)}})
		}
	}
	pair := func(list []column) int {
		if i < len(list) {
			return list[i].at
		}
		return -1
	}
	got.In, _ = read(pair(b.inlets))
	got.Out, _ = read(pair(b.outlets))
	if len(b.outlets) > 0 && len(b.inlets) == 0 { // the tank is what comes in
		got.In = got.Tank
	}
	for _, c := range tank.again {
		if again, step := read(c); again.OK && !got.Tank.OK {
			got.Tank, got.Step = again, step
		} else if again.OK && t.OK && t.V >= 0 {
			f.Readings = append(f.Readings, Reading{At: t.V, Tank: again, Step: step})
		}
	}
	if t.OK && t.V >= 0 && (!f.begun.OK || t.V < f.begun.V) && slices.ContainsFunc(slices.Concat([]column{tank}, b.inlets, b.outlets), func(c column) bool { return c.at >= 0 && !x.v.At(r, c.at).Blank() }) {
		f.begun = t // by a reading that is left out too, such as "> 100"
	}
	if t.OK && t.V >= 0 {
		m.add(x, b, r, t.V)
	}
	some := got.Tank.OK || got.In.OK || got.Out.OK
	if x.remarked(f, b, r, t, some) || !some {
		return
	}
	if t.V < 0 {
		return
	}
	if clock := layout.Text(x.v.At(r, b.clock().at)); !t.OK && sumsUp(clock) {
		x.Notes.Add(note.New(note.Info, "line-not-used", "%q is no reading and not counted", clock).At(x.v.PlaceAt(r, b.clock().at)))
		return
	}
	if !t.OK {
		x.faults.Add(note.Fault("bad-time", "a reading without a time that is understood: %q", layout.Text(x.v.At(r, b.clock().at))).At(x.v.PlaceAt(r, b.clock().at)).
			Do(`write hours since the start, a clock time such as 06:30, or a day with its time`))
		return
	}
	f.Readings = append(f.Readings, got)
}

// sumsUp reports the label of a row that is worked out of the others.
func sumsUp(label string) bool {
	all := strings.Fields("average avg mean median sum total minimum maximum mittel mittelwert durchschnitt summe moyenne promedio media somme gemiddelde")
	said := words.TokensIn(label)
	return len(said) > 0 && slices.Contains(all, said[0])
}

// reading reads a cell of readings.
func (x *reader) reading(f *facts, r, c int) (k quantity.Known[float64], step float64) {
	cell := x.v.At(r, c)
	v := layout.ParseValue(cell, x.dec).Middle()
	at := x.v.PlaceAt(r, c)
	k.At = at
	info := f.Key.Info()
	void, _ := sheet.Remarked(cell.Text)
	switch {
	case void && v.State == layout.Unclear:
		x.Notes.Add(note.New(note.Caution, "reading-voided", "the reading %q is left out, as it says itself", layout.Text(cell)).At(at))
	case v.State == layout.Number && v.Percent:
		x.faults.Add(note.Fault("reading-unit", "%q is a share and no reading", layout.Text(cell)).At(at).Do("give all readings of a run in one unit"))
	case v.State == layout.Number && v.Unit.Known() && readKey(v.Unit) != f.Key:
		x.faults.Add(note.Fault("reading-unit", "%q is not in the unit of its column", cell.Text).At(at).Do("give all readings of a run in one unit"))
	case v.State == layout.Number && (v.Num < info.Least || v.Num > info.Most):
		x.faults.Add(note.Fault("bad-reading", "%q is no %s", cell.Text, info.Label).At(at).Do("correct it"))
	case v.State == layout.Number && v.Num == 0:
		f.Notes.Add(note.New(note.Caution, "reading-zero", "a reading of 0 is left out: no water is that clear, and a course has no 0").At(at).Do("write what the meter can tell, such as 0.1, or leave it empty"))
	case v.State == layout.Number:
		k.V, k.OK = v.Num, true
		step = stepOf(figure.FindString(cell.Text))
		if !x.spoke[at] {
			x.spoke[at] = true
			x.marked(v, layout.Text(cell), at)
		}
	case v.Limit:
		limit := note.New(note.Caution, "reading-limit", "%q is left out: only what was read in numbers is fitted", cell.Text).At(at)
		if v.State == layout.Below {
			limit.Message += ", and the course of the others is held against it"
			f.Notes.Add(limit.Do("use a finer meter where you need to know how clear the water gets"))
		} else {
			f.Notes.Add(limit.Do("dilute what is above the meter's range, and multiply"))
		}
	case v.State == layout.Missing || v.Blank:
	default:
		n := note.Fault("bad-reading", "%q is no reading", cell.Text)
		if v.Doubt != "" {
			n = note.Fault("bad-reading", "%q is no reading: it %s", cell.Text, v.Doubt)
		}
		x.faults.Add(n.At(at).Do("correct it, or leave the cell empty where nothing was read"))
	}
	return k, step
}

// figure is the first number of a cell.
var figure = regexp.MustCompile(`\d*[.,]?\d+`)

// stepOf is the step in which a number is written: 0.1 of "4.6", 1 of "80".
func stepOf(text string) float64 {
	_, after, ok := strings.Cut(strings.Replace(strings.TrimSpace(text), ",", ".", 1), ".")
	if !ok {
		return 1
	}
	n := 0
	for n < len(after) && after[n] >= '0' && after[n] <= '9' {
		n++
	}
	return math.Pow(10, -float64(n))
}

// begin puts a run's readings in order and lets its time begin with the first. The finest step that a column is written in is
// that of all its readings: a meter that shows 4.6 shows 80.0, which a sheet keeps as 80.
func (f *facts) begin() {
	slices.SortStableFunc(f.Readings, func(a, b Reading) int { return cmp.Compare(a.At, b.At) })
	if len(f.Readings) == 0 {
		return
	}
	first, step := min(f.begun.V, f.Readings[0].At), math.Inf(1)
	for _, r := range f.Readings {
		if r.Tank.OK {
			step = math.Min(step, r.Step)
		}
	}
	for i := range f.Below {
		f.Below[i].At -= first
	}
	for i := range f.Remarks {
		f.Remarks[i].At.V -= first
	}
	slices.SortStableFunc(f.Flows, func(a, b FlowAt) int { return cmp.Compare(a.At, b.At) })
	for i := range f.Flows {
		f.Flows[i].At -= first
	}
	for i := range f.Readings {
		f.Readings[i].At -= first
		f.Readings[i].Step = step
	}
}

// timesOf reads the times of a block's rows in hours.
func (x *reader) timesOf(b block, end int) (out []quantity.Known[quantity.Time], ok bool) {
	c := b.clock()
	var cells []grid.Cell
	for r := b.row + 1; r < end; r++ {
		cells = append(cells, x.v.At(r, c.at))
	}
	plain, clocks, filled := 0, 0, 0
	for _, v := range cells {
		if !v.Blank() {
			filled++
		}
		switch p := layout.ParseValue(v, x.dec); {
		case p.State == layout.Number:
			plain++
		case v.Kind == grid.Numeric && v.Clock() && !v.Date():
			clocks++
		}
	}
	hourMarked := false
	for _, v := range cells {
		hourMarked = hourMarked || v.Kind == grid.Textual && flow.HourMarked(v.Text)
	}
	if out, ok := x.countedDays(b, end); ok {
		return out, true
	}
	if b.date == nil && spans(c, cells) {
		for _, v := range cells {
			h, err := clockSpan(v)
			out = append(out, quantity.Known[quantity.Time]{V: h, OK: err == nil})
		}
		return out, true
	}
	switch {
	case plain > 0 && plain >= filled/2 && c.role == timed && !hourMarked:
		return x.elapsed(c, b.row, cells)
	case clocks > 0 && b.date == nil:
		last, days := 0.0, 0.0
		for _, v := range cells {
			h := v.Num * 24
			if v.Kind != grid.Numeric {
				out = append(out, quantity.Known[quantity.Time]{})
				continue
			}
			if h+days < last {
				days += 24
			}
			last = h + days
			out = append(out, quantity.Some(quantity.Time(last)))
		}
		return out, true
	}
	text := func(r, at int) string {
		v := x.v.At(r, at)
		if v.Kind == grid.Numeric {
			return v.Text
		}
		return strings.TrimSpace(v.Text)
	}
	var dates, times []string
	for r := b.row + 1; r < end; r++ {
		times = append(times, text(r, c.at))
		if b.date != nil && b.time != nil {
			dates = append(dates, text(r, b.date.at))
		}
	}
	got, notes, err := flow.Moments(dates, times)
	if err != nil {
		x.faults.Add(note.Of(err, "bad-time")[0].At(x.v.PlaceAt(b.row, c.at)))
		return nil, false
	}
	for _, n := range notes {
		x.Notes.Add(n.At(x.v.PlaceAt(b.row, c.at)))
	}
	return got, true
}

// dayNumber is a day that is counted: "2", "Day 2".
var dayNumber = regexp.MustCompile(`^(?:day|tag|jour|dia|giorno|dag)?\s*(\d{1,2})$`)

// countedDays reads clock times beside days that are counted, 1, 1, 2; false where the days are dates.
func (x *reader) countedDays(b block, end int) (out []quantity.Known[quantity.Time], ok bool) {
	if b.date == nil || b.time == nil {
		return nil, false
	}
	day := 0
	for r := b.row + 1; r < end; r++ {
		d, t := x.v.At(r, b.date.at), x.v.At(r, b.time.at)
		if t.Blank() {
			out = append(out, quantity.Known[quantity.Time]{})
			continue
		}
		if m := dayNumber.FindStringSubmatch(words.Fold(layout.Text(d))); m != nil && !d.Date() {
			day, _ = strconv.Atoi(m[1])
		} else if !d.Blank() || day == 0 {
			return nil, false
		}
		clock, err := clockSpan(t)
		if t.Kind == grid.Numeric && t.Clock() && !t.Date() {
			clock, err = quantity.Time(24*t.Num), nil
		}
		if err != nil || clock >= 24 {
			return nil, false
		}
		out = append(out, quantity.Some(24*quantity.Time(day)+clock))
	}
	return out, len(out) > 0
}

// spans reports times that are lengths written as a watch shows them, "30:15": where the heading says so, or one is beyond a day.
func spans(c column, cells []grid.Cell) bool {
	said := words.TokensIn(c.text)
	is := slices.ContainsFunc([]string{"elapsed", "since", "after", "duration"}, func(w string) bool { return slices.Contains(said, w) })
	some := false
	for _, v := range cells {
		if v.Blank() {
			continue
		}
		h, err := clockSpan(v)
		if err != nil {
			return false
		}
		some, is = true, is || h >= 24
	}
	return some && is
}

// watched is a length as a watch or a hand shows it: "30:15", "30h15", "30 h".
var watched = regexp.MustCompile(`^(\d+)(?:[:h]([0-5]?\d)(?::\d\d)?|\s?h)$`)

// clockSpan reads "30:15" as hours.
func clockSpan(v grid.Cell) (quantity.Time, error) {
	at := watched.FindStringSubmatch(strings.TrimSpace(v.Text))
	if v.Kind != grid.Textual || at == nil {
		return 0, note.Fault("bad-time", "%q is no time", v.Text)
	}
	h, _ := strconv.Atoi(at[1])
	m, _ := strconv.Atoi(at[2])
	return quantity.Time(h) + quantity.Time(m)/60, nil
}

// elapsed reads hours, minutes or days since the start by the unit of the heading.
func (x *reader) elapsed(c column, row int, cells []grid.Cell) (out []quantity.Known[quantity.Time], ok bool) {
	minutes := c.unit.Factor
	own := !slices.ContainsFunc(cells, func(v grid.Cell) bool {
		p := layout.ParseValue(v, x.dec)
		return p.State == layout.Number && p.Unit.Kind != words.Minutes
	})
	if !own && (c.unit.Kind != words.Minutes || minutes == 0) {
		said := words.TokensIn(c.text)
		switch {
		case slices.ContainsFunc([]string{"h", "hr", "hrs", "hour", "hours", "stunden", "t", "timer", "timmar", "uur", "horas", "heures", "godz", "jam", "gio"}, func(w string) bool { return slices.Contains(said, w) }):
			minutes = 60
		case slices.ContainsFunc([]string{"min", "mins", "minutes"}, func(w string) bool { return slices.Contains(said, w) }):
			minutes = 1
		default:
			x.faults.Add(note.Fault("time-unit", "%q does not say what its numbers count", c.text).At(x.v.PlaceAt(row, c.at)).Do(`write the unit into the heading, such as "Time (h)" or "Time (min)"`))
			return nil, false
		}
	}
	for i, v := range cells {
		p := layout.ParseValue(v, x.dec)
		per := minutes
		if p.Unit.Kind == words.Minutes {
			per = p.Unit.Factor
		}
		t := quantity.Known[quantity.Time]{V: quantity.Time(p.Num * per / 60), OK: p.State == layout.Number}
		if t.OK && t.V < 0 {
			x.Notes.Add(note.New(note.Info, "before-start", "what was read at %s before the start is not used", quantity.To(-t.V, 3)).At(x.v.PlaceAt(row+1+i, c.at)))
			t.OK = false
		}
		out = append(out, t)
	}
	return out, true
}

// share gives runs that say nothing of volume and flow those of the run before, and says so; runs without a name get one.
func (x *reader) share() {
	for i := range x.Runs {
		r := &x.Runs[i]
		if r.Named = r.Name != ""; !r.Named {
			r.Name = fmt.Sprintf("run %d", i+1)
		}
		if isNumber.MatchString(r.Name) { // a number alone names nothing in a sentence
			r.Name = "run " + r.Name
		}
		p := Run{Name: "another sheet", Settings: x.common.Settings}
		if i > 0 && !(x.common.Volume.OK && x.common.Flow.OK) {
			p = x.Runs[i-1]
		}
		if !r.Volume.OK && p.Volume.OK {
			r.Volume, r.VolumeUnsure = p.Volume, p.VolumeUnsure
			x.Notes.Add(note.New(note.Info, "volume-taken", "%s says no volume: that of %s is taken, %s", r.Name, p.Name, quantity.To(p.Volume.V, 4)).At(r.At))
		}
		if !r.Flow.OK && p.Flow.OK {
			r.Flow, r.FlowUnsure = p.Flow, p.FlowUnsure
			x.Notes.Add(note.New(note.Info, "flow-taken", "%s says no flow: that of %s is taken, %s", r.Name, p.Name, quantity.To(p.Flow.V, 4)).At(r.At))
		}
	}
	x.nameTwice()
}

// nameTwice numbers runs of one name.
func (x *reader) nameTwice() {
	seen := map[string]int{}
	for i := range x.Runs {
		name := x.Runs[i].Name
		if seen[name]++; seen[name] > 1 {
			x.Runs[i].Name = fmt.Sprintf("%s (%d)", name, seen[name])
		}
	}
}
