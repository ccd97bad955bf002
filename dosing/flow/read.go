package flow

import (
	"bytes"
	"cmp"
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
	// Zero and Full are the flow at 4 and at 20 mA, for a log of the meter's signal.
	Zero, Full quantity.Flow
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

// read is the reader behind every form of log.
func read(src source, opt Options) (Log, error) {
	c, told, err := findColumns(src.rows, opt)
	if err != nil {
		return Log{}, src.in(err)
	}
	k, decimal, err := evidence(src, c)
	if err != nil {
		return Log{}, src.in(err)
	}
	w := walk{source: src, columns: c, clock: k, decimal: decimal, zero: float64(opt.Zero), texts: map[string]text{},
		log: Log{Place: src.place, column: cell(c.flow, 0), hold: int64(float64(opt.Hold) * ms), points: make([]point, 0, src.size)}}
	w.log.Notes.Add(src.notes...)
	w.log.Notes.Add(note.Of(src.in(told), "")...)
	w.log.Notes.Add(k.notes...)
	for row, f := range src.rows {
		if row > c.row && !blank(f) {
			w.row(row, f)
		}
	}
	w.order()
	if err := w.flows(); err != nil {
		return Log{}, err
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

// walk takes the rows of a log one by one.
type walk struct {
	source
	columns
	clock   *clock
	decimal bool    // the comma is the decimal sign
	zero    float64 // m3/h at 4 mA
	log     Log
	texts   map[string]text // of flow cells that are no plain number
	doubts  doubts
	rows    int   // with a time
	falls   int   // rows earlier than the row before
	days    int64 // ms, added where clock times alone begin anew
	tags    []string
	missing, off, below, apart, clash, unread,
	unsorted, backwards, differing tally
}

func (w *walk) say(n note.Note, cell string) {
	n.Place = w.place
	n.Cell = cell
	w.log.Notes.Add(n)
}

// row takes one row: a time and a flow, or a closing line, or the heading once more.
func (w *walk) row(row int, f [][]byte) {
	if w.time >= len(f) {
		w.doubts.never(w.place, note.Fault("no-time", "the row has no time"), cell(w.time, row))
		return
	}
	at, err := w.clock.parse(f, w.columns)
	if err != nil {
		w.noTime(row, f)
		return
	}
	w.rows++
	if w.tag >= 0 && w.tag < len(f) && !slices.Contains(w.tags, string(f[w.tag])) && len(w.tags) < 3 {
		w.tags = append(w.tags, string(f[w.tag]))
	}
	flow, ok := w.value(row, f)
	if !ok {
		return
	}
	w.log.points = append(w.log.points, point{at: at, row: int32(row), flow: w.status(row, f, flow)})
}

// noTime takes a row whose time is none.
func (w *walk) noTime(row int, f [][]byte) {
	if slices.EqualFunc(f, w.line, bytes.Equal) || isFooter(f, w.columns) {
		return
	}
	bad := note.Fault("bad-time", "time %q is not understood", quoted(f[w.time])).Do("write it like 2026-03-01 06:15")
	if w.doubts.total < mostFaults {
		if h, again := headings(row, f, Options{}); again {
			w.doubts.never(w.place, note.Fault("heading-again", "the row is a heading unlike the first: %q", h.head().text).
				Do("put each table into a file of its own"), cell(h.flow, row))
			return
		}
	}
	if numeral(f[w.time]) || len(f[w.time]) == 0 {
		w.rows++
		w.doubts.add(w.place, bad, cell(w.time, row))
		return
	}
	w.doubts.never(w.place, bad, cell(w.time, row))
}

// value reads the flow of a row, NaN where it is missing; not ok is a fault.
func (w *walk) value(row int, f [][]byte) (float64, bool) {
	if w.hollow(row, w.flow) {
		w.doubts.never(w.place, note.Fault("formula-without-value", "the formula has no stored result").
			Do("open the file in a spreadsheet program, save it, and run again"), cell(w.flow, row))
		return 0, false
	}
	if w.flow >= len(f) || len(f[w.flow]) == 0 {
		w.missing.add(w.flow, row, "")
		return math.NaN(), true
	}
	v, err := number(f[w.flow], w.decimal)
	if err != nil {
		return w.odd(row, f[w.flow]), true
	}
	return w.scaled(v, row), true
}

// scaled turns a number of the flow column into m3/h, or m3.
func (w *walk) scaled(v float64, row int) float64 {
	if w.form != signalForm {
		return v * w.scale
	}
	if v < leastSignal || v > mostSignal {
		w.doubts.add(w.place, note.Fault("signal-fault", "a signal of %g mA is outside %g to %g mA", v, leastSignal,
			mostSignal), cell(w.flow, row))
		return math.NaN()
	}
	return w.zero + (min(max(v, 4), 20)-4)*w.scale
}

// A 4-20 mA signal outside these limits tells a fault, not a reading: NAMUR NE 43, from memory.
const leastSignal, mostSignal = 3.6, 21.0

// order puts the newest last, leaves out times that were there already, and says so.
func (w *walk) order() {
	l := &w.log
	for i := 1; i < len(l.points); i++ {
		if l.points[i].at < l.points[i-1].at {
			w.falls++
			w.unsorted.add(w.time, int(l.points[i].row), "")
		}
	}
	switch {
	case w.falls > len(l.points)/2: // newest first
		slices.Reverse(l.points)
	case w.clock.dayless && w.falls > 0:
		w.unwrap()
	case w.falls > 0:
		w.say(note.New(note.Caution, "rows-unsorted", "rows earlier than the row above them, put in order of time: %s",
			w.unsorted.where()), w.unsorted.first())
	}
	slices.SortStableFunc(l.points, func(a, b point) int { return cmp.Compare(a.at, b.at) })
	kept := l.points[:0]
	for _, p := range l.points {
		if n := len(kept); n > 0 && p.at == kept[n-1].at {
			w.backwards.add(w.time, int(p.row), "")
			if p.flow != kept[n-1].flow {
				w.differing.add(w.time, int(p.row), "")
			}
			continue
		}
		kept = append(kept, p)
	}
	l.points = kept
	if t := w.backwards; t.n > 0 {
		w.say(note.New(note.Caution, "clock-back",
			"left out, because their time was already there (clock set back, or rows twice): %s", t.where()), t.first())
	}
}

// unwrap counts a day where times of day begin anew.
func (w *walk) unwrap() {
	points, last := w.log.points, int64(0)
	for i := range points {
		at := points[i].at
		if i > 0 && last-at > 12*3600e3 {
			w.days += 24 * 3600e3
		}
		last = at
		points[i].at += w.days
	}
	if w.days > 0 {
		w.say(note.New(note.Info, "days-counted", "the times have no date; where they begin anew, a day is counted: %d days",
			w.days/(24*3600e3)+1), cell(w.time, 0))
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

// quoted is a field as a fault shows it.
func quoted(field []byte) string { return string(field[:min(len(field), 40)]) }

func blank(f [][]byte) bool {
	return !slices.ContainsFunc(f, func(x []byte) bool { return len(x) > 0 })
}

// isFooter tells a closing line such as "end of file" or "total" from a fault.
func isFooter(f [][]byte, c columns) bool {
	return !numeral(f[c.time]) && (c.flow >= len(f) || len(f[c.flow]) == 0 || footerWords.MatchString(string(f[c.time])))
}

var footerWords = regexp.MustCompile(`(?i)\b(totals?|mean|average|max|min|sum)\b`)

// numeral reports a field that begins with a digit.
func numeral(b []byte) bool { return len(b) > 0 && b[0] >= '0' && b[0] <= '9' }
