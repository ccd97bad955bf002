package flow

import (
	"fmt"
	"io"
	"iter"
	"math"
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Options say how a meter log is to be read. The zero value finds out by itself.
type Options struct {
	// TimeColumn and FlowColumn are headings; empty means by their usual words.
	TimeColumn, FlowColumn string
	// Unit is that of the flow column, such as "L/s", where the heading has none.
	Unit string
	// Hold is how long a reading stands when none follows; zero means three usual
	// steps, or more where the steps are uneven.
	Hold quantity.Time
	// NegativeAsZero takes readings below zero for no flow instead of refusing them.
	NegativeAsZero bool
	// Sheet is the worksheet of a workbook that holds the log; empty is the first.
	Sheet string
}

// source is a log's rows, whatever file they came from.
type source struct {
	place    note.Place
	size     int                        // rows, about
	rows     iter.Seq2[int, [][]byte]   // from 1; can be walked more than once
	hollow   func(row, column int) bool // a formula without a stored value stands there
	comma    bool                       // parts the fields, so it is no decimal sign
	date1904 bool
	notes    note.List
}

// Read reads a meter log from delimited text or a workbook, by the content of the
// file. Every fault names its cell; up to twenty are listed.
func Read(name string, r io.Reader, opt Options) (Log, error) {
	data, err := grid.ReadAll(name, r)
	if err != nil {
		return Log{}, err
	}
	f, err := grid.Open(name, data, grid.Words{})
	if err != nil {
		return Log{}, err
	}
	if f.Text == nil {
		s, err := pick(name, f.Sheets, opt.Sheet)
		if err != nil {
			return Log{}, err
		}
		return readSheet(s, opt)
	}
	sep := f.Text.Separator()
	rows, err := f.Text.Records(sep)
	if err != nil {
		return Log{}, err
	}
	return read(source{place: note.Place{File: name}, size: f.Text.Lines(), rows: rows, comma: sep == ',', notes: f.Text.Notes,
		hollow: func(int, int) bool { return false }}, opt)
}

// pick gives the worksheet of that name, case ignored, or the first.
func pick(name string, sheets []*grid.Sheet, want string) (*grid.Sheet, error) {
	var tabs []string
	for _, s := range sheets {
		tabs = append(tabs, s.Name)
		if want == "" || strings.EqualFold(strings.TrimSpace(s.Name), strings.TrimSpace(want)) {
			if s.Fault != nil {
				return nil, *s.Fault
			}
			return s, nil
		}
	}
	return nil, note.Fault("sheet-unknown", "there is no sheet %q%s", want, note.DidYouMean(want, tabs)).At(note.Place{File: name}).
		Do("name one of %s", strings.Join(tabs, ", "))
}

// readSheet reads a meter log from a worksheet. Numbers are taken as they are
// stored, so dates are day numbers.
func readSheet(s *grid.Sheet, opt Options) (Log, error) {
	return read(source{place: note.Place{File: s.File, Sheet: s.Name}, size: len(s.Rows), date1904: s.Date1904,
		hollow: func(row, column int) bool { return s.At(row-1, column).Hollow },
		rows: func(yield func(int, [][]byte) bool) {
			var fields [][]byte
			for i, r := range s.Rows {
				fields = fields[:0]
				for _, c := range r {
					fields = append(fields, []byte(c.Text))
				}
				if !yield(i+1, fields) {
					return
				}
			}
		}}, opt)
}

// columns is what the heading tells.
type columns struct {
	row              int // of the heading; zero when there is none
	date, time, flow int // -1 where there is none
	elapsed          float64
	scale            float64 // to m3/h, or to m3 of a counter
	counter          bool
	unit             string
}

var (
	timeWords    = []string{"datetime", "timestamp", "time", "date", "when", "clock", "elapsed", "hour", "hours", "datum", "zeit", "zeitstempel", "fecha", "heure", "logged"}
	flowWords    = []string{"flow", "q", "discharge", "flowrate", "inflow", "influent", "rate", "durchfluss", "debit", "caudal"}
	counterWords = []string{"total", "totaliser", "totalizer", "counter", "index", "volume", "cumulative", "accumulated"}
)

var brackets = regexp.MustCompile(`\(([^()]*)\)|\[([^\[\]]*)\]`)

// words splits a heading into lower-case words without its unit.
func words(h string) (list []string, unit string) {
	h = strings.ToValidUTF8(h, "")
	if m := brackets.FindStringSubmatch(h); m != nil {
		unit = strings.TrimSpace(m[1] + m[2])
		h = brackets.ReplaceAllString(h, " ")
	}
	list = strings.FieldsFunc(strings.ToLower(h), func(r rune) bool { return strings.ContainsRune(" _.,:-&/\t", r) })
	for parts := strings.Fields(h); unit == "" && len(parts) > 1; { // "flow m3/h" and "flow_m3h": the tail may be the unit
		parts = parts[1:]
		tail := strings.Join(parts, " ")
		if can(quantity.Parse[quantity.Flow], tail) || can(quantity.Parse[quantity.Time], tail) || can(quantity.Parse[quantity.Volume], tail) {
			unit = tail
		}
	}
	return list, unit
}

// squashed are unit spellings of headings without a slash.
var squashed = strings.NewReplacer("m3h", "m3/h", "m3d", "m3/d", "ls", "L/s", "lmin", "L/min", "lh", "L/h")

// can reports that a unit is one that a parser reads.
func can[T any](parse func(string) (T, error), unit string) bool {
	_, err := parse("1 " + unit)
	return err == nil
}

func has(list []string, vocabulary []string) bool {
	return slices.ContainsFunc(list, func(w string) bool { return slices.Contains(vocabulary, w) })
}

// heading is one heading of a log, taken apart.
type heading struct {
	text, unit string
	words      []string
}

func (h heading) has(vocabulary []string) bool { return has(h.words, vocabulary) }

// onlyDate reports a day without a time of day.
func (h heading) onlyDate() bool {
	return h.has([]string{"date", "datum", "fecha"}) && !h.has([]string{"time", "zeit"})
}

// role is what a column of a log can be.
type role int

const (
	flowRole role = iota
	counterRole
	dateRole
	timeRole
	roleCount
)

// roles are tried in order; a heading gets the first that fits it and that no
// heading before it has. A heading that the user names goes before all words.
var roles = [roleCount]struct {
	role  role
	asked func(Options) string // the heading that the user names for it, or for its like
	takes bool                 // the named heading gets this role
	fits  func(heading) bool
}{
	{flowRole, Options.flowColumn, true, func(h heading) bool {
		return h.has(flowWords) && !h.has(counterWords) && !can(quantity.Parse[quantity.Volume], h.unit)
	}},
	{counterRole, Options.flowColumn, false, func(h heading) bool { return (h.has(counterWords) || h.has(flowWords)) && !h.has(timeWords) }},
	{dateRole, Options.timeColumn, false, heading.onlyDate},
	{timeRole, Options.timeColumn, true, func(h heading) bool { return h.has(timeWords) && !h.onlyDate() }},
}

func (o Options) flowColumn() string { return strings.TrimSpace(o.FlowColumn) }
func (o Options) timeColumn() string { return strings.TrimSpace(o.TimeColumn) }

// elapsed is how many hours a count of this heading's unit is, 0 where it holds no count.
func (h heading) elapsed() float64 {
	if t, err := quantity.Parse[quantity.Time]("1 " + h.unit); err == nil {
		return float64(t)
	}
	if h.has([]string{"hour", "hours"}) && !h.has([]string{"clock"}) {
		return 1
	}
	return 0
}

// headings reads a row as one of headings, if it has a time and a flow.
func headings(row int, fields [][]byte, opt Options) (columns, bool) {
	at := [roleCount]int{-1, -1, -1, -1}
	heads := make([]heading, len(fields))
	for i, f := range fields {
		if len(f) == 0 || len(f) > 200 || numeral(f) {
			continue
		}
		h := heading{text: string(f)}
		h.words, h.unit = words(h.text)
		heads[i] = h
		for _, r := range roles {
			want := r.asked(opt)
			if at[r.role] >= 0 || want == "" && !r.fits(h) || want != "" && !(r.takes && strings.EqualFold(want, strings.TrimSpace(h.text))) {
				continue
			}
			at[r.role] = i
			break
		}
	}
	c := columns{row: row, date: at[dateRole], time: at[timeRole], flow: at[flowRole]}
	if c.flow < 0 {
		c.flow, c.counter = at[counterRole], at[counterRole] >= 0
	}
	if c.time >= 0 {
		c.elapsed = heads[c.time].elapsed()
	} else {
		c.time, c.date = c.date, -1
	}
	if c.flow < 0 || c.time < 0 {
		return c, false
	}
	c.unit = heads[c.flow].unit
	return c, true
}

// findColumns looks for a heading among the first lines, or for two bare columns.
func findColumns(rows iter.Seq2[int, [][]byte], opt Options) (columns, error) {
	var c columns
	var seen []string
	found := false
	for no, fields := range rows {
		if no > 60 {
			break
		}
		if found {
			c.unitBelow(no, fields)
			break
		}
		if c, found = headings(no, fields, opt); found {
			continue
		}
		for _, f := range fields {
			if len(seen) < 12 && len(f) > 0 && !numeral(f) {
				seen = append(seen, string(f))
			}
		}
		if found = bare(fields, opt); found {
			c = columns{date: -1, time: 0, flow: 1}
			break
		}
	}
	if !found {
		e := note.Fault("no-flow-column", "no row has a time and a flow heading")
		if want := opt.FlowColumn; want != "" {
			e = note.Fault("no-flow-column", "no row has the headings asked for (%q)%s", want, note.DidYouMean(want, seen))
		}
		return c, e.Do(`head the columns like "time" and "flow (m3/h)"`)
	}
	return c, c.settle(opt)
}

// bare reports two columns without headings whose unit the user gives.
func bare(fields [][]byte, opt Options) bool {
	if len(fields) != 2 || len(fields[1]) == 0 || opt.FlowColumn != "" || opt.TimeColumn != "" || opt.Unit == "" {
		return false
	}
	_, err := number(fields[1], false)
	return err == nil
}

// unitBelow takes the unit from a row of units under the heading.
func (c *columns) unitBelow(row int, fields [][]byte) {
	if c.unit != "" || c.flow >= len(fields) {
		return
	}
	u := strings.Trim(string(fields[c.flow]), "()[] ")
	if can(quantity.Parse[quantity.Flow], u) || c.counter && can(quantity.Parse[quantity.Volume], u) {
		c.unit, c.row = u, row
	}
}

// settle finds the scale of the flow column's unit; one of volume makes it a counter.
func (c *columns) settle(opt Options) error {
	if c.unit == "" {
		c.unit = opt.Unit
	}
	at := note.Place{Cell: cell(c.flow, c.row)}
	if c.unit == "" {
		return note.Fault("unit-missing", "the flow column has no unit").Do(`head it like "flow (m3/h)" or "flow (L/s)"`).At(at)
	}
	for _, u := range [...]string{c.unit, squashed.Replace(strings.ToLower(c.unit))} {
		if scale, err := quantity.Parse[quantity.Flow]("1 " + u); err == nil {
			c.scale, c.counter = float64(scale), false
			return nil
		}
	}
	v, err := quantity.Parse[quantity.Volume]("1 " + c.unit)
	if err != nil {
		return note.Fault("unit-unknown", "the unit %q of the flow column is not known", c.unit).Do("use m3/h, L/s, L/min, m3/d, gpm or MGD").At(at)
	}
	c.scale, c.counter = v.In("m3"), true
	return nil
}

// cell gives the A1 address of a column counted from zero; row 0 is the column's name alone.
func cell(col, row int) string {
	if row == 0 {
		return grid.ColumnName(col)
	}
	return fmt.Sprintf("%s%d", grid.ColumnName(col), row)
}

// read is the reader behind every form of log.
func read(src source, opt Options) (Log, error) {
	c, err := findColumns(src.rows, opt)
	if err != nil {
		return Log{}, src.in(err)
	}
	k, decimal, err := evidence(src, c)
	if err != nil {
		return Log{}, src.in(err)
	}
	w := walk{source: src, columns: c, clock: k, decimal: decimal, negativeAsZero: opt.NegativeAsZero,
		log: Log{Place: src.place, column: cell(c.flow, 0), hold: int64(float64(opt.Hold) * ms), points: make([]point, 0, src.size)}}
	w.log.Notes.Add(src.notes...)
	w.log.Notes.Add(k.notes...)
	for row, f := range src.rows {
		if row > c.row && !blank(f) {
			w.row(row, f)
		}
	}
	if w.total > len(w.faults) {
		w.faults.Add(note.Fault("more-faults", "and %d more cells like these", w.total-len(w.faults)).At(src.place))
	}
	if len(w.faults) > 0 {
		return Log{}, w.faults
	}
	w.order()
	if c.counter {
		w.log.differences(w.say)
	}
	if len(w.log.points) == 0 {
		return Log{}, note.Fault("empty-log", "the log has no reading").Do("check the flow column").At(src.place)
	}
	w.log.finish()
	w.log.tellGaps()
	return w.log, nil
}

// in gives faults of cells their file and sheet.
func (src source) in(err error) error {
	l := note.Of(err, "bad-log")
	for i := range l {
		l[i].File, l[i].Sheet = src.place.File, src.place.Sheet
	}
	return l
}

// mostFaults is how many faulty cells are named one by one.
const mostFaults = 20

// walk takes the rows of a log one by one.
type walk struct {
	source
	columns
	clock          *clock
	decimal        bool // the comma is the decimal sign
	negativeAsZero bool
	log            Log
	faults         note.List
	total          int // faults, also those that are not listed
	falls          int // rows earlier than the row before
	missing        tally
	zeroed         tally
	backwards      tally
}

// tally counts cells and keeps the first.
type tally struct {
	n     int
	first string
}

func (t *tally) add(col, row int) {
	if t.n++; t.n == 1 {
		t.first = cell(col, row)
	}
}

func (w *walk) fault(n note.Note, col, row int) {
	if w.total++; w.total <= mostFaults {
		n.Place = w.place
		n.Cell = cell(col, row)
		w.faults.Add(n)
	}
}

func (w *walk) say(n note.Note, cell string) {
	n.Place = w.place
	n.Cell = cell
	w.log.Notes.Add(n)
}

// row takes one row: a time and a flow, or a closing line.
func (w *walk) row(row int, f [][]byte) {
	if w.time >= len(f) {
		w.fault(note.Fault("no-time", "the row has no time"), w.time, row)
		return
	}
	at, err := w.clock.parse(f, w.columns)
	if err != nil {
		if !isFooter(f, w.columns) {
			w.fault(note.Fault("bad-time", "time %q is not understood", quoted(f[w.time])).Do("write it like 2026-03-01 06:15"), w.time, row)
		}
		return
	}
	flow, ok := w.value(row, f)
	if !ok {
		return
	}
	if n := len(w.log.points); n > 0 && at < w.log.points[n-1].at {
		w.falls++
	}
	w.log.points = append(w.log.points, point{at: at, row: int32(row), flow: flow})
}

// value reads the flow of a row, NaN where it is missing; not ok is a fault.
func (w *walk) value(row int, f [][]byte) (float64, bool) {
	if w.hollow(row, w.flow) {
		w.fault(note.Fault("formula-without-value", "the formula has no stored result").Do("open the file in a spreadsheet program, save it, and run again"), w.flow, row)
		return 0, false
	}
	if w.flow >= len(f) || isMissing(f[w.flow]) {
		w.missing.add(w.flow, row)
		return math.NaN(), true
	}
	v, err := number(f[w.flow], w.decimal)
	if err != nil {
		w.fault(note.Fault("bad-flow", "flow %q is no number", quoted(f[w.flow])).Do("correct it, or leave the cell empty where nothing was read"), w.flow, row)
		return 0, false
	}
	if v < 0 && !w.counter {
		if !w.negativeAsZero {
			w.fault(note.Fault("negative-flow", "the flow is %g %s", v, w.unit).
				Do("correct the reading, empty the cell, or let readings below zero count as no flow"), w.flow, row)
			return 0, false
		}
		w.zeroed.add(w.flow, row)
		v = 0
	}
	return v * w.scale, true
}

// order puts the newest last, leaves out times that were there already, and says so.
func (w *walk) order() {
	if w.falls > len(w.log.points)/2 { // newest first
		slices.Reverse(w.log.points)
	}
	kept := w.log.points[:0]
	for _, p := range w.log.points {
		if n := len(kept); n > 0 && p.at <= kept[n-1].at {
			w.backwards.add(w.time, int(p.row))
			continue
		}
		kept = append(kept, p)
	}
	w.log.points = kept
	if t := w.missing; t.n > 0 {
		w.say(note.New(note.Info, "flow-missing", "%d readings are empty and count as gaps", t.n), t.first)
	}
	if t := w.zeroed; t.n > 0 {
		w.say(note.New(note.Caution, "flow-below-zero", "%d readings below zero are taken for no flow", t.n).Do("check the meter's zero"), t.first)
	}
	if t := w.backwards; t.n > 0 {
		w.say(note.New(note.Caution, "clock-back", "%d readings stand at a time that was already there (clock set back, or rows twice) and are left out", t.n), t.first)
	}
}

// tellGaps adds a caution about the gaps of a finished log.
func (l *Log) tellGaps() {
	if len(l.gaps) == 0 {
		return
	}
	var sum quantity.Time
	longest := l.gaps[0]
	for _, g := range l.gaps {
		sum += g.Length()
		if g.Length() > longest.Length() {
			longest = g
		}
	}
	n := note.New(note.Caution, "log-gaps", "%s without reading, %s in all; the longest is %s from %s. Gaps count nothing in averages",
		count(len(l.gaps), "1 gap", "gaps"), sum, longest.Length(), longest.From.Format("2006-01-02 15:04"))
	n.Place = longest.Place
	l.Notes.Add(n)
}

func count(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// differences turns counter readings (m3) into flows that stand until the next one.
func (l *Log) differences(in func(note.Note, string)) {
	resets := 0
	first := int32(0)
	for i := range l.points {
		p := &l.points[i]
		next := math.NaN()
		if i+1 < len(l.points) {
			q := l.points[i+1]
			next = (q.flow - p.flow) / (float64(q.at-p.at) / ms)
		}
		if next < 0 {
			if resets++; resets == 1 {
				first = l.points[i+1].row
			}
			next = math.NaN()
		}
		p.flow = next
	}
	in(note.New(note.Info, "counter", "the column is a running total; flow is its rise between readings"), "")
	if resets > 0 {
		in(note.New(note.Caution, "counter-reset", "the running total falls %s; that step counts as a gap", count(resets, "once", "times")), fmt.Sprintf("%s%d", l.column, first))
	}
}

// quoted is a field as a fault shows it.
func quoted(field []byte) string { return string(field[:min(len(field), 40)]) }

func blank(f [][]byte) bool {
	return !slices.ContainsFunc(f, func(x []byte) bool { return len(x) > 0 })
}

// isFooter tells a closing line such as "end of file" or "total" from a fault.
func isFooter(f [][]byte, c columns) bool {
	return !numeral(f[c.time]) && (c.flow >= len(f) || len(f[c.flow]) == 0 || has(strings.Fields(strings.ToLower(string(f[c.time]))), []string{"total", "mean", "average", "max", "min", "sum"}))
}

var missingWords = []string{"", "-", "--", "---", "nan", "na", "n/a", "null", "none", "bad", "#n/a", "missing", "offline", "no data", "fault", "?"}

func isMissing(b []byte) bool {
	return !numeral(b) && slices.Contains(missingWords, strings.ToLower(string(b)))
}

// numeral reports a field that begins with a digit.
func numeral(b []byte) bool { return len(b) > 0 && b[0] >= '0' && b[0] <= '9' }
