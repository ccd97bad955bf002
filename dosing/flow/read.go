package flow

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

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
	// Date1904 tells that day numbers count from 1904, as some workbooks do.
	Date1904 bool
}

// maxLog bounds a log file; a year of minutes is about 15 MB.
const maxLog = 256 << 20

// ReadCSV reads a meter log from delimited text. Every fault names its cell; up
// to twenty are listed.
func ReadCSV(name string, r io.Reader, opt Options) (Log, error) {
	place := note.Place{File: name}
	raw, err := io.ReadAll(io.LimitReader(r, maxLog+1))
	if err != nil {
		return Log{}, note.Fault("unreadable", "the log cannot be read: %v", err).At(place)
	}
	if len(raw) > maxLog {
		return Log{}, note.Fault("too-large", "the log is larger than %d MB", maxLog>>20).Do("cut it into years").At(place)
	}
	switch {
	case bytes.HasPrefix(raw, []byte("PK\x03\x04")):
		return Log{}, note.Fault("not-text", "the file is a workbook, not delimited text").Do("name it .xlsx, or save it as CSV").At(place)
	case bytes.HasPrefix(raw, []byte{0xff, 0xfe}), bytes.HasPrefix(raw, []byte{0xfe, 0xff}):
		raw = fromUTF16(raw)
	case bytes.IndexByte(raw[:min(len(raw), 4096)], 0) >= 0:
		return Log{}, note.Fault("not-text", "the file is not delimited text").Do("save the log as CSV").At(place)
	}
	raw = bytes.TrimPrefix(raw, []byte("\xef\xbb\xbf"))
	sep := separator(raw)
	return read(place, bytes.Count(raw, []byte("\n"))+1, func() iter.Seq2[int, [][]byte] { return lines(raw, sep) }, sep == ',', opt)
}

// ReadRows reads a meter log from the rows of a sheet, numbered from 1.
func ReadRows(name, sheet string, rows [][]string, opt Options) (Log, error) {
	return read(note.Place{File: name, Sheet: sheet}, len(rows), func() iter.Seq2[int, [][]byte] {
		return func(yield func(int, [][]byte) bool) {
			var fields [][]byte
			for i, r := range rows {
				fields = fields[:0]
				for _, c := range r {
					fields = append(fields, []byte(c))
				}
				if !yield(i+1, fields) {
					return
				}
			}
		}
	}, false, opt)
}

func fromUTF16(raw []byte) []byte {
	big := raw[0] == 0xfe
	u := make([]uint16, 0, len(raw)/2)
	for i := 2; i+1 < len(raw); i += 2 {
		a, b := uint16(raw[i]), uint16(raw[i+1])
		if big {
			a, b = b, a
		}
		u = append(u, a|b<<8)
	}
	return []byte(string(utf16.Decode(u)))
}

// separator picks the delimiter that gives the first lines the most even fields.
func separator(raw []byte) byte {
	head := raw[:min(len(raw), 1<<16)]
	best, score := byte(','), -1
	for _, sep := range [...]byte{';', '\t', ',', '|'} {
		counts := map[int]int{}
		for i, line := range bytes.Split(head, []byte("\n")) {
			if i == 200 {
				break
			}
			if n := bytes.Count(line, []byte{sep}); n > 0 {
				counts[n]++
			}
		}
		for _, n := range counts {
			if n > score {
				best, score = sep, n
			}
		}
	}
	return best
}

// lines yields line number and fields of delimited text. The slices are only
// good until the next line.
func lines(raw []byte, sep byte) iter.Seq2[int, [][]byte] {
	return func(yield func(int, [][]byte) bool) {
		var fields [][]byte
		for no := 1; len(raw) > 0; no++ {
			line := raw
			if i := bytes.IndexByte(raw, '\n'); i >= 0 {
				line, raw = raw[:i], raw[i+1:]
			} else {
				raw = nil
			}
			line = bytes.TrimSuffix(line, []byte("\r"))
			fields = fields[:0]
			if bytes.IndexByte(line, '"') >= 0 {
				c := csv.NewReader(bytes.NewReader(line))
				c.Comma, c.LazyQuotes, c.FieldsPerRecord = rune(sep), true, -1
				rec, err := c.Read()
				if err != nil {
					rec = nil
				}
				for _, f := range rec {
					fields = append(fields, bytes.TrimSpace([]byte(f)))
				}
			} else {
				for rest, more := line, true; more; {
					var f []byte
					f, rest, more = bytes.Cut(rest, []byte{sep})
					fields = append(fields, bytes.TrimSpace(f))
				}
			}
			if !yield(no, fields) {
				return
			}
		}
	}
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

// words splits a heading into lower-case words without its unit.
func words(h string) (list []string, unit string) {
	h = strings.TrimSpace(h)
	if !utf8.ValidString(h) {
		h = strings.ToValidUTF8(h, "")
	}
	for _, b := range [...]string{"()", "[]"} {
		if i := strings.IndexByte(h, b[0]); i >= 0 {
			if j := strings.IndexByte(h[i:], b[1]); j > 0 {
				unit = strings.TrimSpace(h[i+1 : i+j])
				h = h[:i] + " " + h[i+j+1:]
			}
		}
	}
	list = strings.FieldsFunc(strings.ToLower(h), func(r rune) bool {
		return r == ' ' || r == '_' || r == '.' || r == ',' || r == ':' || r == '-' || r == '&' || r == '/'
	})
	if unit == "" {
		// "flow m3/h" and "flow_m3h": the tail may be the unit
		for n := 1; n < len(strings.Fields(h)); n++ {
			tail := strings.Join(strings.Fields(h)[n:], " ")
			if _, ok := flowScale(tail); ok || isSpan(tail) || isVolume(tail) {
				unit = tail
				break
			}
		}
	}
	return list, unit
}

// squashed are unit spellings of headings without a slash.
var squashed = strings.NewReplacer("m3h", "m3/h", "m3d", "m3/d", "ls", "L/s", "lmin", "L/min", "lh", "L/h")

func flowScale(unit string) (float64, bool) {
	f, err := quantity.ParseFlow("1 " + unit)
	return float64(f), err == nil
}
func isSpan(u string) bool { _, err := quantity.ParseTime("1 " + u); return err == nil }
func isVolume(u string) bool {
	_, err := quantity.ParseVolume("1 " + u)
	return err == nil
}

func has(list []string, vocabulary []string) bool {
	for _, w := range list {
		for _, v := range vocabulary {
			if w == v {
				return true
			}
		}
	}
	return false
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
			// a row of units under the heading
			if c.unit == "" && c.flow < len(fields) {
				u := strings.Trim(string(fields[c.flow]), "()[] ")
				if _, ok := flowScale(u); ok || c.counter && isVolume(u) {
					c.unit, c.row = u, no
				}
			}
			break
		}
		h := columns{row: no, date: -1, time: -1, flow: -1}
		counter := -1
		units := make([]string, len(fields))
		for i, f := range fields {
			if len(f) == 0 || len(f) > 200 {
				continue
			}
			text := string(f)
			list, unit := words(text)
			units[i] = unit
			if c := f[0]; c >= '0' && c <= '9' {
				continue
			}
			match := func(want string, vocabulary []string) bool {
				if want != "" {
					return strings.EqualFold(strings.TrimSpace(want), strings.TrimSpace(text))
				}
				return has(list, vocabulary)
			}
			switch {
			case match(opt.FlowColumn, flowWords) && h.flow < 0 && !(opt.FlowColumn == "" && (has(list, counterWords) || isVolume(unit))):
				h.flow = i
			case opt.FlowColumn == "" && counter < 0 && (has(list, counterWords) || has(list, flowWords)) && !has(list, timeWords):
				counter = i
			case match(opt.TimeColumn, timeWords):
				switch {
				case opt.TimeColumn == "" && has(list, []string{"date", "datum", "fecha"}) && !has(list, []string{"time", "zeit"}):
					if h.date < 0 {
						h.date = i
					}
				case h.time < 0:
					h.time = i
					if t, err := quantity.ParseTime("1 " + unit); err == nil {
						h.elapsed = float64(t)
					} else if has(list, []string{"hour", "hours"}) && !has(list, []string{"clock"}) {
						h.elapsed = 1
					}
				}
			}
		}
		if h.flow < 0 && counter >= 0 {
			h.flow, h.counter = counter, true
		}
		if h.time < 0 && h.date >= 0 {
			h.time, h.date = h.date, -1
		}
		if h.flow >= 0 && h.time >= 0 {
			h.unit = units[h.flow]
			c, found = h, true
			continue
		}
		for _, f := range fields {
			if len(seen) < 12 && len(f) > 0 && (f[0] < '0' || f[0] > '9') {
				seen = append(seen, string(f))
			}
		}
		if len(fields) == 2 && len(fields[1]) > 0 && opt.FlowColumn == "" && opt.TimeColumn == "" && opt.Unit != "" {
			if _, err := number(fields[1], false); err == nil {
				c, found = columns{date: -1, time: 0, flow: 1}, true
				break
			}
		}
	}
	if !found {
		e := note.Fault("no-flow-column", "no row has a time and a flow heading")
		if want := opt.FlowColumn; want != "" {
			e = note.Fault("no-flow-column", "no row has the headings asked for (%q)%s", want, note.DidYouMean(want, seen))
		}
		return c, e.Do(`head the columns like "time" and "flow (m3/h)"`)
	}
	unit := opt.Unit
	if c.unit != "" {
		unit = c.unit
	}
	if unit == "" {
		return c, note.Fault("unit-missing", "the flow column has no unit").Do(`head it like "flow (m3/h)" or "flow (L/s)"`).At(note.Place{Cell: cell(c.flow, c.row)})
	}
	scale, ok := flowScale(unit)
	if !ok {
		scale, ok = flowScale(squashed.Replace(strings.ToLower(unit)))
	}
	if !ok && (c.counter || isVolume(unit)) {
		if v, err := quantity.ParseVolume("1 " + unit); err == nil {
			scale, ok, c.counter = v.In("m3"), true, true
		}
	} else if ok {
		c.counter = false
	}
	if !ok {
		return c, note.Fault("unit-unknown", "the unit %q of the flow column is not known", unit).Do("use m3/h, L/s, L/min, m3/d, gpm or MGD").At(note.Place{Cell: cell(c.flow, c.row)})
	}
	c.scale, c.unit = scale, unit
	return c, nil
}

// cell gives the A1 address of a column counted from zero.
func cell(col, row int) string {
	s := ""
	for col++; col > 0; col = (col - 1) / 26 {
		s = string(rune('A'+(col-1)%26)) + s
	}
	if row == 0 {
		return s
	}
	return fmt.Sprintf("%s%d", s, row)
}

// read is the reader behind every form of log; rows can be walked more than once.
func read(place note.Place, size int, rows func() iter.Seq2[int, [][]byte], comma bool, opt Options) (Log, error) {
	c, err := findColumns(rows(), opt)
	if err != nil {
		l := note.Of(err, "bad-log")
		for i := range l {
			l[i].File, l[i].Sheet = place.File, place.Sheet
		}
		return Log{}, l
	}
	log := Log{Place: place, column: cell(c.flow, 0), hold: int64(float64(opt.Hold) * ms), points: make([]point, 0, size)}
	clock, decimal, err := evidence(rows(), c, comma, opt)
	if err != nil {
		l := note.Of(err, "bad-log")
		for i := range l {
			l[i].File, l[i].Sheet = place.File, place.Sheet
		}
		return Log{}, l
	}
	log.Notes.Add(clock.notes...)
	var faults note.List
	total := 0
	fault := func(n note.Note, col, row int) {
		if total++; total <= 20 {
			n.Place = place
			n.Cell = cell(col, row)
			faults.Add(n)
		}
	}
	var missing, backwards, falls, zeroed int
	var firstMissing, firstBack, firstZero string
	for row, f := range rows() {
		if row <= c.row || blank(f) {
			continue
		}
		if c.time >= len(f) {
			fault(note.Fault("no-time", "the row has no time"), c.time, row)
			continue
		}
		at, err := clock.parse(f, c)
		if err != nil {
			if isFooter(f, c) {
				continue
			}
			fault(note.Fault("bad-time", "time %q is not understood", field(f, c.time)).Do("write it like 2026-03-01 06:15"), c.time, row)
			continue
		}
		p := point{at: at, row: int32(row), flow: math.NaN()}
		text := f[min(c.flow, len(f)-1):]
		switch {
		case c.flow >= len(f) || isMissing(text[0]):
			if missing++; missing == 1 {
				firstMissing = cell(c.flow, row)
			}
		default:
			v, err := number(text[0], decimal)
			if err != nil {
				fault(note.Fault("bad-flow", "flow %q is no number", field(f, c.flow)).Do("correct it, or leave the cell empty where nothing was read"), c.flow, row)
				continue
			}
			if v < 0 && !c.counter {
				if !opt.NegativeAsZero {
					fault(note.Fault("negative-flow", "the flow is %g %s", v, c.unit).
						Do("correct the reading, empty the cell, or let readings below zero count as no flow"), c.flow, row)
					continue
				}
				if zeroed++; zeroed == 1 {
					firstZero = cell(c.flow, row)
				}
				v = 0
			}
			p.flow = v * c.scale
		}
		if n := len(log.points); n > 0 && p.at < log.points[n-1].at {
			falls++
		}
		log.points = append(log.points, p)
	}
	if total > len(faults) {
		faults.Add(note.Fault("more-faults", "and %d more cells like these", total-len(faults)).At(place))
	}
	if len(faults) > 0 {
		return Log{}, faults
	}
	if falls > len(log.points)/2 { // newest first
		slices.Reverse(log.points)
	}
	kept := log.points[:0]
	for _, p := range log.points {
		if n := len(kept); n > 0 && p.at <= kept[n-1].at {
			if backwards++; backwards == 1 {
				firstBack = cell(c.time, int(p.row))
			}
			continue
		}
		kept = append(kept, p)
	}
	log.points = kept
	in := func(n note.Note, cell string) { n.Place = place; n.Cell = cell; log.Notes.Add(n) }
	if missing > 0 {
		in(note.New(note.Info, "flow-missing", "%d readings are empty and count as gaps", missing), firstMissing)
	}
	if zeroed > 0 {
		in(note.New(note.Caution, "flow-below-zero", "%d readings below zero are taken for no flow", zeroed).Do("check the meter's zero"), firstZero)
	}
	if backwards > 0 {
		in(note.New(note.Caution, "clock-back", "%d readings stand at a time that was already there (clock set back, or rows twice) and are left out", backwards), firstBack)
	}
	if c.counter {
		log.differences(in)
	}
	if len(log.points) == 0 {
		return Log{}, note.Fault("empty-log", "the log has no reading").Do("check the flow column").At(place)
	}
	log.finish()
	if n := len(log.gaps); n > 0 {
		var sum quantity.Time
		longest := log.gaps[0]
		for _, g := range log.gaps {
			sum += g.Length()
			if g.Length() > longest.Length() {
				longest = g
			}
		}
		n := note.New(note.Caution, "log-gaps", "%s without reading, %s in all; the longest is %s from %s. Gaps count nothing in averages",
			plural(n, "gap"), sum, longest.Length(), longest.From.Format("2006-01-02 15:04"))
		n.Place = longest.Place
		log.Notes.Add(n)
	}
	return log, nil
}

func plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
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
		in(note.New(note.Caution, "counter-reset", "the running total falls %s; that step counts as a gap", times(resets)), fmt.Sprintf("%s%d", l.column, first))
	}
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

func field(f [][]byte, i int) string {
	if i >= len(f) {
		return ""
	}
	return string(f[i][:min(len(f[i]), 40)])
}

func blank(f [][]byte) bool {
	for _, x := range f {
		if len(x) > 0 {
			return false
		}
	}
	return true
}

// isFooter tells a closing line such as "end of file" or "total" from a fault.
func isFooter(f [][]byte, c columns) bool {
	if len(f[c.time]) > 0 && f[c.time][0] >= '0' && f[c.time][0] <= '9' {
		return false
	}
	return c.flow >= len(f) || len(f[c.flow]) == 0 || has(strings.Fields(strings.ToLower(string(f[c.time]))), []string{"total", "mean", "average", "max", "min", "sum"})
}

var missingWords = []string{"", "-", "--", "---", "nan", "na", "n/a", "null", "none", "bad", "#n/a", "missing", "offline", "no data", "fault", "?"}

func isMissing(b []byte) bool {
	if len(b) > 0 && b[0] >= '0' && b[0] <= '9' {
		return false
	}
	s := strings.ToLower(string(b))
	for _, w := range missingWords {
		if s == w {
			return true
		}
	}
	return false
}
