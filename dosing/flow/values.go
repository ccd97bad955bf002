package flow

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// mostFaults is how many faulty cells are named one by one.
const mostFaults = 20

// doubts are readings that cannot be right. A few in a log are left out, with their
// cells named; where there are more, the log is refused.
type doubts struct {
	list  note.List
	total int
	fatal bool // one of them cannot be left out
}

func (d *doubts) add(place note.Place, n note.Note, cell string) {
	if d.total++; d.total <= mostFaults {
		n.Place, n.Cell = place, cell
		d.list.Add(n)
	}
}

func (d *doubts) never(place note.Place, n note.Note, cell string) {
	d.fatal = true
	d.add(place, n, cell)
}

// settle gives the doubts as an error, or as cautions where they are few: at most
// one row in ten of five rows or more.
func (d *doubts) settle(rows int) (note.List, error) {
	if d.fatal || d.total > 0 && (rows < 5 || d.total > max(1, rows/10)) {
		out := d.list
		if d.total > len(out) {
			out.Add(note.Fault("more-faults", "and %d more cells like these", d.total-len(out)).At(note.Place{File: out[0].File,
				Sheet: out[0].Sheet}))
		}
		return nil, out
	}
	for i := range d.list {
		d.list[i].Level = note.Caution
		d.list[i].Message += "; it is left out"
	}
	if d.total > len(d.list) {
		d.list.Add(note.New(note.Caution, "more-faults", "%d more readings like these are left out", d.total-len(d.list)).
			At(note.Place{File: d.list[0].File}))
	}
	return d.list, nil
}

// tally counts cells, and keeps the first few and what they say.
type tally struct {
	n     int
	cells []string
	texts []string
}

func (t *tally) add(col, row int, text string) {
	if t.n++; len(t.cells) < 5 {
		t.cells = append(t.cells, cell(col, row))
	}
	if text != "" && len(t.texts) < 5 && !slices.Contains(t.texts, text) {
		t.texts = append(t.texts, text)
	}
}

func (t tally) first() string {
	if t.n == 0 {
		return ""
	}
	return t.cells[0]
}

// where lists the cells for a note.
func (t tally) where() string {
	s := strings.Join(t.cells, ", ")
	if more := t.n - len(t.cells); more > 0 {
		s += fmt.Sprintf(" and %d more", more)
	}
	return s
}

func (t tally) quoted() string {
	var out []string
	for _, s := range t.texts {
		out = append(out, strconv.Quote(s))
	}
	return strings.Join(out, ", ")
}

// text is what a flow or status cell says that is no plain number.
type text int

const (
	strangeText text = iota
	missingText      // no reading
	offText          // no flow
	badText          // the reading is not to be used
	goodText
)

var textWords = map[text]string{
	missingText: "- -- --- ---- * ** ? na nan n/a #n/a nil null none missing offline nodata no_data err error fault " +
		"bad failed fail comm comms over range overrange over-range ovr or fehler ausfall falla erreur " +
		"#div/0! #value! #ref! invalid",
	offText: "off stopped stop closed shut idle standby shutdown aus arret parado apagado detenido cerrado zero " +
		"noflow no_flow dry down",
	badText: "bad fault error err invalid suspect uncertain failed fail ignore wrong discard calibration " +
		"calibrating test spike drift fehler falla erreur alarm maintenance",
	goodText: "good ok okay on run running runs auto automatic man manual normal valid open remote local true yes 1 " +
		"192 gut ein marche bueno encendido measured",
}

var textSenses = func() map[string][]text {
	all := map[string][]text{}
	for s, list := range textWords {
		for _, w := range strings.Fields(list) {
			all[w] = append(all[w], s)
		}
	}
	return all
}()

// subjects are what a text says it of: "pump stopped".
var subjects = map[string]bool{"pump": true, "plant": true, "meter": true, "unit": true, "sensor": true, "flow": true, "is": true,
	"was": true}

// meaning reads a text by its words, of which all must tell the same.
func meaning(s string, among ...text) text {
	s = words.Fold(s)
	for _, whole := range []string{s, strings.ReplaceAll(s, " ", ""), strings.ReplaceAll(s, " ", "_")} {
		for _, m := range among {
			if slices.Contains(textSenses[whole], m) {
				return m
			}
		}
	}
	for _, m := range among {
		all, one := true, false
		for _, w := range strings.Fields(s) {
			w = strings.Trim(w, ".,;:!()")
			is := slices.Contains(textSenses[w], m)
			all, one = all && (is || subjects[w]), one || is
		}
		if all && one {
			return m
		}
	}
	return strangeText
}

// odd reads a flow cell that is no number: a word, or a number with its unit.
func (w *walk) odd(row int, b []byte) float64 {
	said, ok := w.texts[string(b)]
	if !ok {
		said = meaning(string(b), missingText, offText)
		w.texts[string(b)] = said
	}
	switch said {
	case missingText:
		w.missing.add(w.flow, row, quoted(b))
		return math.NaN()
	case offText:
		w.off.add(w.flow, row, quoted(b))
		if w.form == amountForm {
			w.doubts.add(w.place, note.Fault("bad-flow", "flow %q is no volume", quoted(b)), cell(w.flow, row))
			return math.NaN()
		}
		return 0
	}
	digits, tail := leading(b)
	v, err := number(digits, w.decimal)
	if u, is := unitOf(tail); err == nil && is && (u.Kind == words.Flow && w.form == rateForm ||
		u.Kind == words.Volume && w.form == amountForm || u.Name == w.unit) {
		if u.Name != w.unit {
			w.apart.add(w.flow, row, u.Name)
			switch w.form {
			case rateForm:
				return v * u.Factor * 0.06
			case amountForm:
				return v * u.Factor / 1000
			}
		}
		return w.scaled(v, row)
	}
	w.doubts.add(w.place, note.Fault("bad-flow", "flow %q is no number", quoted(b)).
		Do("correct it, or leave the cell empty where nothing was read"), cell(w.flow, row))
	return math.NaN()
}

// status corrects a reading by what the row says of its state.
func (w *walk) status(row int, f [][]byte, flow float64) float64 {
	if w.state < 0 || w.state >= len(f) || len(f[w.state]) == 0 {
		return flow
	}
	says := quoted(f[w.state])
	switch meaning(says, goodText, badText, offText) {
	case goodText:
	case badText:
		if !math.IsNaN(flow) {
			w.doubts.add(w.place, note.Fault("status-bad", "the row says %q of its reading", says), cell(w.state, row))
		}
		return math.NaN()
	case offText:
		if math.IsNaN(flow) && w.form != amountForm {
			w.off.add(w.state, row, says)
			w.missing.n--
			return 0
		}
		if flow > 0 && w.form == rateForm {
			w.clash.add(w.state, row, says)
		}
	default:
		w.unread.add(w.state, row, says)
	}
	return flow
}

// flows turns what the cells hold into flows that can be, and says what was done.
func (w *walk) flows() error {
	if len(w.tags) > 1 && w.backwards.n > 0 {
		return w.ask("meters-mixed", w.tag, "the rows are of several meters: %s", "keep the rows of one", strings.Join(w.tags, ", "))
	}
	if t := w.differing; t.n > 1 && t.n*10 > w.rows {
		return w.ask("times-twice", w.time, "rows stand at a time that was already there, with another flow: %s",
			"keep one row for each time", t.where())
	}
	if w.form == amountForm {
		if err := w.amounts(); err != nil {
			return err
		}
	}
	w.unlikely()
	w.stuck()
	left, err := w.doubts.settle(w.rows)
	if err != nil {
		return err
	}
	w.log.Notes.Add(left...)
	for _, x := range []struct {
		t      tally
		level  note.Level
		code   string
		format string
	}{
		{w.off, note.Caution, "flow-off", "cells that say %s count as no flow: %s"},
		{w.apart, note.Caution, "unit-of-cell", "cells with a unit of their own (%s) are read in it: %s"},
		{w.clash, note.Caution, "status-clash", "rows that say %s have a flow, which is taken: %s"},
		{w.unread, note.Caution, "status-unread", "rows say %s, which is not understood; their flow is taken: %s"},
	} {
		if x.t.n > 0 {
			w.say(note.New(x.level, x.code, x.format, x.t.quoted(), x.t.where()), x.t.first())
		}
	}
	if t := w.missing; t.n > 0 && len(t.texts) > 0 {
		w.say(note.New(note.Info, "flow-missing", "readings that are empty or say %s count as gaps: %s", t.quoted(), t.where()), t.first())
	} else if t.n > 0 {
		w.say(note.New(note.Info, "flow-missing", "empty readings count as gaps: %s", t.where()), t.first())
	}
	if t := w.below; t.n > 0 {
		w.say(note.New(note.Caution, "flow-below-zero", "readings a little below zero are taken for no flow: %s", t.where()).
			Do("check the meter's zero"), t.first())
	}
	return nil
}

// ask is a fault that only the user can settle.
func (w *walk) ask(code string, col int, format, remedy string, args ...any) error {
	p := w.place
	p.Cell = cell(col, 0)
	return note.Fault(code, format, args...).Do("%s", remedy).At(p)
}

// A reading is a spike above so many times what nine in ten keep to; below zero by less
// than this share of it, it is the meter's zero. One that stands alone, as a slipped
// decimal point does, is spoken of above fewer times the middle. Common practice, no source.
const spikeTimes, loneTimes, zeroShare = 10, 7, 0.02

// stuckRun is how many equal readings in a row are doubted where the others change.
const stuckRun = 12

// unlikely takes out readings below zero and single ones far above all others.
func (w *walk) unlikely() {
	points := w.log.points
	usual, middle := w.log.usual()
	long := tally{}
	for i := 0; i < len(points); i++ {
		p := &points[i]
		at := w.log.placeOf(p.row).Cell
		if p.flow < 0 {
			if !math.IsInf(usual, 0) && -p.flow <= zeroShare*usual {
				w.below.add(w.flow, int(p.row), "")
				p.flow = 0
				continue
			}
			w.doubts.add(w.place, note.Fault("negative-flow", "the flow is %s", w.shown(p.flow)).
				Do("correct the reading, or empty the cell"), at)
			p.flow = math.NaN()
			continue
		}
		n := i
		for n < len(points) && points[n].flow > spikeTimes*usual {
			n++
		}
		alone := (i == 0 || points[i-1].flow <= usual) && (i+1 == len(points) || points[i+1].flow <= usual)
		switch {
		case n > i && n-i <= 2, w.nines(p.flow) && p.flow > 3*usual:
			w.doubts.add(w.place, note.Fault("flow-spike", "the flow is %s, far above all others", w.shown(p.flow)).
				Do("correct the reading, or empty the cell"), at)
			p.flow = math.NaN()
		case p.flow > spikeTimes*middle, alone && p.flow > loneTimes*middle:
			long.add(w.flow, int(p.row), "")
			for i+1 < n {
				i++
				long.add(w.flow, int(points[i].row), "")
			}
		}
	}
	if long.n > 0 {
		w.say(note.New(note.Caution, "flow-jump", "readings far above the middle one are taken as they stand: %s",
			long.where()).Do("correct them, or empty their cells, if they slipped"), long.first())
	}
}

// stuck speaks of a long run of equal readings in a log whose flow changes otherwise.
func (w *walk) stuck() {
	points := w.log.points
	best, at, equal := 0, 0, 0
	for i := 0; i < len(points); {
		n := i + 1
		for n < len(points) && points[n].flow == points[i].flow {
			n++
		}
		if points[i].flow > 0 && n-i > best {
			best, at = n-i, i
		}
		equal += n - i - 1
		i = n
	}
	if others := len(points) - best; best < stuckRun || others < stuckRun || (equal-best+1)*5 > others {
		return
	}
	w.say(note.New(note.Caution, "flow-stuck", "%d readings in a row are the same, %s, where the others change; they are taken as they stand", best, w.shown(points[at].flow)).
		Do("see whether the meter stuck; empty the cells if it did"), w.log.placeOf(points[at].row).Cell)
}

// usual gives what nine in ten readings above zero keep to, and the middle one; without bound where there are too few.
func (l Log) usual() (usual, middle float64) {
	var above []float64
	for _, p := range l.points {
		if p.flow > 0 {
			above = append(above, p.flow)
		}
	}
	n := len(above)
	if n < 5 {
		return math.Inf(1), math.Inf(1)
	}
	slices.Sort(above)
	return above[min((n-1)*9/10, n-2)], above[n/2]
}

// shown gives a flow as the cell had it.
func (w *walk) shown(flow float64) string {
	if w.form == rateForm {
		return fmt.Sprintf("%.6g %s", flow/w.scale, w.unit)
	}
	return fmt.Sprintf("%.6g m3/h", flow)
}

// nines reports what loggers write where there is no reading: 999.9, 9999.
func (w *walk) nines(flow float64) bool {
	if w.form != rateForm || math.IsNaN(flow) {
		return false
	}
	s := strings.Replace(strconv.FormatFloat(flow/w.scale, 'g', 7, 64), ".", "", 1)
	return len(s) >= 3 && strings.Trim(s, "9") == ""
}
