package flow

import (
	"bytes"
	"cmp"
	"fmt"
	"iter"
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// heading is one heading of a log, taken apart.
type heading struct {
	text    string
	is      sense
	unit    words.Unit
	odd     string   // in brackets or beside a unit, and no unit that is known
	strange []string // words that are not in the vocabulary
}

func (h heading) says(s sense) bool { return h.is&s != 0 }

var brackets = regexp.MustCompile(`\(([^()]*)\)|\[([^\[\]]*)\]`)

// squashed are unit spellings of headings without a slash.
var squashed = map[string]string{"m3h": "m3/h", "m3d": "m3/d", "ls": "L/s", "lmin": "L/min", "lh": "L/h", "d": "day"}

// unitOf reads a text that is a unit and nothing else.
func unitOf(text string) (words.Unit, bool) {
	text = strings.TrimSpace(text)
	if u, ok := words.OnlyUnit(text); ok && u.Times == 0 && u.Scale == "" {
		return u, true
	}
	return words.OnlyUnit(squashed[strings.ToLower(text)])
}

// parseHeading takes a heading apart: the unit whole or not at all, the rest in words.
func parseHeading(text string) heading {
	text = strings.ToValidUTF8(text, "")
	h := heading{text: strings.Join(strings.Fields(text), " ")}
	name := "" // in brackets, and no word that is known: a unit, unless there is one elsewhere
	rest := brackets.ReplaceAllStringFunc(text, func(b string) string {
		inside := b[1 : len(b)-1]
		if u, ok := unitOf(inside); ok {
			h.unit = u
			return " "
		}
		if len(words.Units(inside)) > 0 {
			h.odd = cmp.Or(h.odd, strings.TrimSpace(inside))
			return " "
		}
		if !known(inside) {
			name = cmp.Or(name, strings.TrimSpace(inside))
		}
		return " " + inside + " "
	})
	if !h.unit.Known() && h.odd == "" {
		rest = h.bareUnit(rest)
	}
	if !h.unit.Known() {
		h.odd = cmp.Or(h.odd, name)
	}
	for _, p := range layout.Pieces(rest) {
		if p.Factor() {
			h.odd = cmp.Or(h.odd, p.Text)
		}
	}
	for _, t := range words.Tokens(words.Fold(rest)) {
		if s, ok := senses[t.Text]; ok {
			h.is |= s
		} else if !strings.ContainsAny(t.Text, "0123456789") && len([]rune(t.Text)) > 2 {
			h.strange = append(h.strange, t.Text)
		}
	}
	return h
}

// known reports words that are all in the vocabulary.
func known(text string) bool {
	return !slices.ContainsFunc(words.Tokens(words.Fold(text)), func(t words.Token) bool { return senses[t.Text] == 0 })
}

// bareUnit takes the unit out of a heading without brackets: "flow m3/h", "flow_m3h".
func (h *heading) bareUnit(text string) (rest string) {
	at := words.UnitAt{}
	for _, u := range words.Units(text) {
		if !at.Known() || at.Kind != words.Flow {
			at = u
		}
	}
	if at.Known() && (at.Left != "" || at.Times != 0 || at.Scale != "") {
		h.odd = text[at.From:] + at.Left
	}
	if at.Known() {
		h.unit = at.Unit
		if at.Kind == words.Minutes && at.From == 0 { // "hour"
			return text
		}
		return text[:at.From] + " " + text[at.To:]
	}
	if i := strings.LastIndexAny(text, "_ "); i >= 0 {
		if u, ok := words.OnlyUnit(squashed[strings.ToLower(text[i+1:])]); ok {
			h.unit = u
			return text[:i]
		}
	}
	return text
}

// form is how the numbers of a column tell the flow.
type form int

const (
	noForm     form = iota
	rateForm        // a flow
	amountForm      // water of an interval, or a running total
	signalForm      // mA
)

// form gives what the heading's column would be read as, if it is the flow.
func (h heading) form() form {
	switch {
	case h.unit.Kind == words.Flow:
		return rateForm
	case h.unit.Kind == words.Volume:
		return amountForm
	case h.unit.Name == "mA":
		return signalForm
	case h.says(timeSense | dateSense | unitSense | statusSense | tagSense):
		return noForm
	case h.says(counterSense | totalSense | volumeSense):
		return amountForm
	case h.says(flowSense | valueSense):
		return rateForm
	}
	return noForm
}

// votes are what speaks for a column as the flow of the water to be treated, and
// against it. One that has a vote against it is taken only where no other fits,
// and then with a caution.
var votes = []struct {
	weight int
	holds  func(heading) bool
}{
	{4, func(h heading) bool { return h.unit.Kind == words.Flow || h.unit.Kind == words.Volume || h.odd != "" }},
	{3, func(h heading) bool { return h.says(flowSense) }},
	{2, func(h heading) bool {
		return h.says(counterSense|totalSense|volumeSense|valueSense) || h.unit.Name == "mA"
	}},
	{1, func(h heading) bool { return h.says(meanSense) }},
	{-3, func(h heading) bool { return h.says(streamSense) }},
	{-4, func(h heading) bool { return h.says(boundSense) }},
	{-5, func(h heading) bool { return h.says(otherSense) && !h.says(flowSense) }},
	{-5, func(h heading) bool { return h.unit.Known() && !flowing(h.unit) && h.unit.Kind != words.Minutes }},
}

func flowing(u words.Unit) bool {
	return u.Kind == words.Flow || u.Kind == words.Volume || u.Name == "mA"
}

func (h heading) score() (sum int, against bool) {
	for _, v := range votes {
		if v.holds(h) {
			sum += v.weight
			against = against || v.weight < 0
		}
	}
	return sum, against
}

// columns is what the heading tells.
type columns struct {
	row                            int // of the heading; zero when there is none
	heads                          []heading
	line                           [][]byte
	date, time, flow, units, state int     // -1 where there is none
	tag                            int     // of a table with several meters below each other
	rivals                         []int   // columns that fit as well as the one that is the flow
	clocks                         []int   // further columns of time
	elapsed                        float64 // hours in a unit of the time column; zero for dates
	scale                          float64 // to m3/h, or to m3
	form                           form
	unit                           string // as notes show it
}

func (c columns) head() heading {
	if c.flow < len(c.heads) {
		return c.heads[c.flow]
	}
	return heading{}
}

// headings reads a row as one of headings, if it has a time and a flow.
func headings(row int, fields [][]byte, opt Options) (columns, bool) {
	c := columns{row: row, date: -1, time: -1, flow: -1, units: -1, state: -1, tag: -1, heads: make([]heading, len(fields))}
	wantTime, wantFlow := strings.TrimSpace(opt.TimeColumn), strings.TrimSpace(opt.FlowColumn)
	var fits []int
	for i, f := range fields {
		c.line = append(c.line, bytes.Clone(f))
		if len(f) == 0 || len(f) > 200 || numeral(f) {
			continue
		}
		h := parseHeading(string(f))
		c.heads[i] = h
		switch {
		case wantFlow != "" && strings.EqualFold(wantFlow, h.text):
			c.flow = i
		case wantTime != "" && strings.EqualFold(wantTime, h.text):
			c.time = i
		case wantFlow == "" && h.form() != noForm:
			fits = append(fits, i)
		default:
			c.book(i, h, wantTime != "")
		}
	}
	if c.flow < 0 {
		c.choose(fits)
	}
	if c.time < 0 {
		c.time, c.date = c.date, -1
	}
	if c.time < 0 && wantTime == "" { // the end of each interval alone
		c.time = slices.IndexFunc(c.heads, func(h heading) bool { return h.says(endSense) && h.form() == noForm })
	}
	return c, c.flow >= 0 && c.counts()
}

// counts settles what a unit of the time column is worth; false without one.
func (c *columns) counts() bool {
	if c.time < 0 {
		return false
	}
	if h := c.heads[c.time]; h.unit.Kind == words.Minutes && !bytes.EqualFold(c.line[c.time], []byte("clock")) {
		c.elapsed = h.unit.Factor / 60
	}
	return true
}

// roles of columns other than the flow, by the first that fits.
var roles = []struct {
	says, not sense
	clock     bool // not where the user names the time column
	at        func(*columns) *int
}{
	{says: dateSense, not: timeSense | endSense, clock: true, at: func(c *columns) *int { return &c.date }},
	{says: timeSense | startSense, not: endSense, clock: true, at: func(c *columns) *int { return &c.time }},
	{says: unitSense, at: func(c *columns) *int { return &c.units }},
	{says: statusSense, at: func(c *columns) *int { return &c.state }},
	{says: tagSense, at: func(c *columns) *int { return &c.tag }},
}

// book gives a column its role; the first of a kind has it.
func (c *columns) book(i int, h heading, timeNamed bool) {
	for _, r := range roles {
		if !h.says(r.says) || h.says(r.not) || r.clock && timeNamed {
			continue
		}
		if at := r.at(c); *at < 0 {
			*at = i
		} else if at == &c.time && h.says(timeSense) {
			c.clocks = append(c.clocks, i)
		}
		return
	}
}

// choose takes the best of the columns that can be the flow: a flow before a volume
// before a signal, and one with a vote against it last.
func (c *columns) choose(fits []int) {
	type rank struct{ against, form, score, at int }
	var ranks []rank
	for _, i := range fits {
		score, against := c.heads[i].score()
		if score <= 0 && !c.heads[i].says(flowSense) {
			continue
		}
		r := rank{0, int(c.heads[i].form()), -score, i}
		if against {
			r.against = 1
		}
		ranks = append(ranks, r)
	}
	slices.SortStableFunc(ranks, func(a, b rank) int {
		return cmp.Or(a.against-b.against, a.form-b.form, a.score-b.score)
	})
	for i, r := range ranks {
		if i == 0 {
			c.flow = r.at
		} else if best := ranks[0]; r.against == best.against && r.form == best.form && r.score-best.score < 4 {
			c.rivals = append(c.rivals, r.at)
		}
	}
}

// findColumns looks for a heading among the first lines, or for two bare columns.
func findColumns(rows iter.Seq2[int, [][]byte], opt Options) (columns, note.List, error) {
	var c columns
	var seen []string
	var above []words.Unit
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
			if len(seen) < 12 && len(f) > 0 && len(f) < longest && !numeral(f) {
				seen = append(seen, string(f))
				above = append(above, unitsIn(string(f))...)
			}
		}
		if found = bare(fields, opt); found {
			c = columns{date: -1, time: 0, flow: 1, units: -1, state: -1, tag: -1}
			break
		}
	}
	if !found {
		const named = "; or give their headings in the site, as log time column and log flow column"
		e := note.Fault("no-flow-column", "no row has a time and a flow heading")
		if want := opt.FlowColumn; want != "" {
			e = note.Fault("no-flow-column", "no row has the headings asked for (%q)%s", want, note.DidYouMean(want, seen))
		}
		return c, nil, e.Do(`head the columns like "time" and "flow (m3/h)"` + named)
	}
	if c.state < 0 {
		c.state = c.stateBeside(rows)
	}
	return c, c.told(), c.settle(rows, above, opt)
}

// stateBeside finds a column that says in each row how the plant or the reading is.
func (c *columns) stateBeside(rows iter.Seq2[int, [][]byte]) int {
	for i, h := range c.heads {
		if h.text == "" || slices.Contains([]int{c.date, c.time, c.flow, c.units, c.tag}, i) {
			continue
		}
		said, other := 0, 0
		for row, f := range rows {
			if row <= c.row || i >= len(f) || len(f[i]) == 0 {
				continue
			}
			if other > 0 || row > c.row+1000 {
				break
			}
			if numeral(f[i]) || meaning(quoted(f[i]), goodText, badText, offText) == strangeText {
				other++
			}
			said++
		}
		if said > 0 && other == 0 {
			return i
		}
	}
	return -1
}

// longest are the bytes of a text above the table that is looked at: more are no heading and no note on its unit.
const longest = 10_000

// unitsIn gives the units of flow and volume in a text.
func unitsIn(text string) (out []words.Unit) {
	for _, u := range words.Units(text) {
		if flowing(u.Unit) && u.Left == "" && u.Times == 0 {
			out = append(out, u.Unit)
		}
	}
	return out
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
	if c.flow >= len(c.heads) || c.flow >= len(fields) || c.head().unit.Known() || c.head().odd != "" {
		return
	}
	if u, ok := unitOf(strings.Trim(string(fields[c.flow]), "()[] ")); ok && flowing(u) {
		c.heads[c.flow].unit, c.row = u, row
	}
}

// told says which column was taken for what, and asks about a heading that speaks of something else.
func (c columns) told() (out note.List) {
	h := c.head()
	if h.text == "" {
		return nil
	}
	at := note.Place{Cell: cell(c.flow, c.row)}
	if _, against := h.score(); against {
		out.Add(note.New(note.Caution, "flow-heading",
			"%q is taken for the flow of the water to be treated, for want of a better column", h.text).
			Do("name the right column in the site's flow, as log flow column").At(at))
	} else if len(h.strange) > 0 {
		out.Add(note.New(note.Caution, "flow-heading",
			"%q is taken for the flow of the water to be treated; %q in it is not known", h.text, strings.Join(h.strange, " ")).At(at))
	}
	if len(c.clocks) > 0 {
		out.Add(note.New(note.Caution, "time-columns", "%q is taken for the time, not %q", c.heads[c.time].text, c.heads[c.clocks[0]].text).
			Do("name the right column in the site's flow, as log time column").At(note.Place{Cell: cell(c.time, c.row)}))
	}
	var left []string
	for i, o := range c.heads {
		if o.text != "" && !slices.Contains([]int{c.date, c.time, c.flow, c.units, c.state, c.tag}, i) {
			left = append(left, o.text)
		}
	}
	if len(left) > 0 {
		out.Add(note.New(note.Info, "columns-unused", "not used: %s", strings.Join(left, ", ")).At(note.Place{Cell: cell(0, c.row)}))
	}
	return out
}

// small reports a unit of flow of which a plant has hundreds: litres an hour or a day.
func (c columns) small() bool { return c.form == rateForm && c.scale < 0.002 }

// settle finds the unit of the flow column and its scale.
func (c *columns) settle(rows iter.Seq2[int, [][]byte], above []words.Unit, opt Options) error {
	h := c.head()
	at := note.Place{Cell: cell(c.flow, c.row)}
	if len(c.rivals) > 0 && !c.agree(rows) {
		list := []string{fmt.Sprintf("%s %q", cell(c.flow, 0), h.text)}
		for _, r := range c.rivals {
			list = append(list, fmt.Sprintf("%s %q", cell(r, 0), c.heads[r].text))
		}
		return note.Fault("flow-columns", "%d columns can be the flow: %s", len(list), strings.Join(list, ", ")).
			Do("name one in the site's flow, as log flow column").At(at)
	}
	u, err := c.unitFor(rows, above, opt)
	if err != nil {
		return err.At(at)
	}
	c.take(u, opt)
	if c.form == signalForm && opt.Full <= opt.Zero {
		return note.Fault("signal-range", "the column is a signal in mA, and the flow at 20 mA is not given").
			Do("give the flow at 4 and at 20 mA in the site's flow").At(at)
	}
	return nil
}

// unitFor finds the unit: of the heading, of the option, beside the cells, above the table.
func (c *columns) unitFor(rows iter.Seq2[int, [][]byte], above []words.Unit, opt Options) (words.Unit, *note.Note) {
	unknown := func(format, unit string) *note.Note {
		n := note.Fault("unit-unknown", format, unit).Do("use m3/h, L/s, L/min, m3/d, gpm or MGD")
		return &n
	}
	h, told := c.head(), parseHeading(opt.Unit)
	if c.flow < len(c.heads) {
		c.heads[c.flow].is |= told.is & (counterSense | intervalSense)
	}
	u := h.unit
	switch {
	case h.odd != "":
		return u, unknown("the unit %q of the flow column is not known", h.odd)
	case u.Known():
	case told.unit.Known():
		u = told.unit
	case opt.Unit != "":
		return u, unknown("the unit %q of the flow column is not known", opt.Unit)
	default:
		u = c.unitBeside(rows)
		if alike := len(slices.Compact(slices.Clone(above))) == 1; !u.Known() && alike {
			u = above[0]
		}
	}
	if !u.Known() {
		n := note.Fault("unit-missing", "the flow column has no unit").Do(`head it like "flow (m3/h)" or "flow (L/s)"`)
		return u, &n
	}
	if !flowing(u) || u.Left != "" {
		return u, unknown("the unit %q of the flow column is not one of flow", u.Name)
	}
	return u, nil
}

// take sets the scale from a unit: m3/h from L/min, m3 from L, m3/h for each mA.
func (c *columns) take(u words.Unit, opt Options) {
	c.unit = u.Name
	switch {
	case u.Kind == words.Flow:
		c.form, c.scale = rateForm, u.Factor*0.06
	case u.Kind == words.Volume:
		c.form, c.scale = amountForm, u.Factor/1000
	default:
		c.form, c.scale = signalForm, float64(opt.Full-opt.Zero)/16
	}
}

// unitBeside takes the unit from the column of units, or from the flow cells, where all of them have one.
func (c *columns) unitBeside(rows iter.Seq2[int, [][]byte]) (u words.Unit) {
	last := ""
	for row, f := range rows {
		if row <= c.row || blank(f) {
			continue
		}
		tail := ""
		if c.units >= 0 && c.units < len(f) {
			tail = string(f[c.units])
		} else if c.flow < len(f) {
			var digits []byte
			if digits, tail = leading(f[c.flow]); len(digits) == 0 { // a word instead of a number
				continue
			}
		}
		if tail == last && u.Known() {
			continue
		}
		here, _ := unitOf(tail)
		if !here.Known() || u.Known() && here != u {
			return words.Unit{}
		}
		u, last = here, tail
	}
	return u
}

// leading parts a cell into its number and what follows.
func leading(b []byte) (number []byte, tail string) {
	n := 0
	for n < len(b) && (b[n] >= '0' && b[n] <= '9' || n == 0 && (b[n] == '-' || b[n] == '+') || b[n] == '.' || b[n] == ',') {
		n++
	}
	return b[:n], strings.TrimSpace(string(b[n:]))
}

// agree reports that the rival columns tell the same flow in every row, perhaps in another unit.
func (c *columns) agree(rows iter.Seq2[int, [][]byte]) bool {
	all := append([]int{c.flow}, c.rivals...)
	for row, f := range rows {
		if row <= c.row || blank(f) {
			continue
		}
		var want float64
		for k, i := range all {
			u := c.heads[i].unit
			if !u.Known() || i >= len(f) {
				return false
			}
			v, err := number(f[i], true)
			if p, e := number(f[i], false); e == nil {
				v, err = p, nil
			}
			if err != nil {
				return false
			}
			v *= u.Factor
			if k == 0 {
				want = v
			} else if v-want > 0.01*want+1e-9 || want-v > 0.01*want+1e-9 {
				return false
			}
		}
	}
	return true
}

// cell gives the A1 address of a column counted from zero; row 0 is the column's name alone.
func cell(col, row int) string {
	if row == 0 {
		return grid.ColumnName(col)
	}
	return fmt.Sprintf("%s%d", grid.ColumnName(col), row)
}
