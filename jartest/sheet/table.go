package sheet

import (
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// column is one column of a table with everything its header cells say.
type column struct {
	c     int // in the view
	head  heading
	parts []string // the header texts from top to bottom
	group string   // the heading above the main one, merged or filled to the right
	place note.Place
}

// table is a block of a grid that has headings on one side and jars under them.
// Rows and columns are those of the view: a table with jars across is seen
// turned, so that its jars are rows here too.
type table struct {
	v             view
	headTop, head int // first header row, main header row
	first, last   int // data rows
	c0, c1        int
	cols          []column
	rows          []int          // the data rows that are filled
	sections      map[int]string // a line of text between jars, by the row it stands before
	sectionRow    map[int]bool   // such lines between the header and the first jar
	title         string
	foot          string // the line right below it
	titleAt       note.Place
	score         int
}

// box is the whole table with its header, in the grid's own terms.
func (t *table) box() span {
	if t.v.origin != nil {
		return t.v.area.box
	}
	return t.v.upright(span{R0: t.headTop, C0: t.c0, R1: t.last, C1: t.c1})
}

// sheetOf is the grid that the table stands on, also where it was rewritten.
func (t *table) sheetOf() *area {
	if t.v.origin != nil {
		return t.v.origin
	}
	return t.v.area
}

// rangeName gives the cells of the table.
func (t *table) rangeName() string { return t.sheetOf().RangeName(t.box()) }

// finder looks for tables in one view. It remembers what each text says.
type finder struct {
	v     view
	dec   decimals
	heads map[string]heading
	data  map[string]bool // what dataLike says of a text
	said  []Override      // what the user says of headings
}

func newFinder(v view, d decimals, said []Override) *finder {
	return &finder{v: v, dec: d, heads: map[string]heading{}, data: map[string]bool{}, said: said}
}

func (f *finder) heading(text string) heading {
	h, ok := f.heads[text]
	if !ok {
		h = readHeading(text)
		for _, o := range f.said {
			if sameText(o.Header, text) {
				h = overridden(h, o.Meaning)
			}
		}
		if len(f.heads) < 20000 {
			f.heads[text] = h
		}
	}
	return h
}

// dataLike reports a cell that holds a number, a limit or a formula.
func (f *finder) dataLike(c cell) bool {
	switch {
	case c.Hollow || c.Kind == numeric || c.Kind == faulty:
		return true
	case c.Kind != textual || len(c.Text) > longText:
		return false
	}
	data, ok := f.data[c.Text]
	if !ok {
		data = dataText(c.Text, f.dec)
		f.data[c.Text] = data
	}
	return data
}

func dataText(text string, d decimals) bool {
	v := parseText(text, d)
	switch v.state {
	case vNumber:
		return v.unit.Kind != words.Minutes // "5 min" is a heading
	case vDate:
		return true
	case vBelow, vAbove:
		return v.limit
	case vUnclear:
		return strings.HasPrefix(v.doubt, "can be")
	}
	return false
}

// tables gives every block that may hold jars, best first.
func (f *finder) tables() []*table {
	var out []*table
	height, breadth := f.v.height(), f.v.breadth()
	for r := 0; r < height; r++ {
		if !f.hasText(r, breadth) {
			continue
		}
		segments, n := f.segments(r, breadth), len(out)
		for _, s := range segments {
			if t := f.tableAt(r, s[0], s[1]); t != nil {
				out = append(out, t)
			}
		}
		if n == len(out) && len(segments) > 1 { // empty columns between those of one table
			if t := f.tableAt(r, segments[0][0], segments[len(segments)-1][1]); t != nil {
				out = append(out, t)
			}
		}
	}
	return out
}

func (f *finder) hasText(r, breadth int) bool {
	n := 0
	for c := 0; c < breadth; c++ {
		if x := f.v.at(r, c); x.Kind == textual && f.heading(x.Text).strong() {
			n++
		}
	}
	return n > 0
}

// numberedHead reports a number in a header row: it stands under a heading for a
// reading that reaches over it, as settling times and repeats do.
func (f *finder) numberedHead(r, c int) bool {
	if r == 0 || !f.dataLike(f.v.at(r+1, c)) {
		return false
	}
	for k := c; k >= 0 && k > c-8; k-- {
		x := f.v.at(r-1, k)
		if x.Blank() {
			continue
		}
		return x.Kind == textual && f.heading(x.Text).reading != "" && !f.dataLike(x)
	}
	return false
}

func (f *finder) emptyBelow(r, c int) bool {
	for k := 1; k <= 4; k++ {
		if !f.v.at(r+k, c).Blank() {
			if m, ok := f.v.merged(r, c); ok && m.C0 < c {
				return false
			}
			return false
		}
	}
	m, ok := f.v.merged(r, c)
	return !ok || m.C0 == c && m.C1 == c
}

// tableAt tries row r as main header over the columns c0 to c1.
func (f *finder) tableAt(r, c0, c1 int) *table {
	strong, core, n := 0, 0, 0
	for c := c0; c <= c1; c++ {
		if x := f.v.at(r, c); x.Kind == textual {
			n++
			if h := f.heading(x.Text); h.strong() {
				strong++
				if h.core() {
					core++
				}
			}
		}
	}
	if core == 0 || n < 2 {
		return nil
	}
	first := f.firstData(r, c0, c1)
	if first < 0 {
		return nil
	}
	// A row further down that names more is the main header; this one is then its group row.
	for k := r + 1; k < first; k++ {
		n := 0
		for c := c0; c <= c1 || !f.v.at(k, c).Blank(); c++ {
			if x := f.v.at(k, c); x.Kind == textual && f.heading(x.Text).strong() {
				n++
			}
		}
		if n > strong {
			return nil
		}
	}
	t := &table{v: f.v, headTop: r, head: r, first: first, c0: c0, c1: c1, sections: map[int]string{}, sectionRow: map[int]bool{}}
	f.sectionRows(t)
	t.headTop = f.groupRows(r, c0, c1)
	f.extendRight(t)
	f.extendLeft(t)
	f.readRows(t)
	if len(t.rows) == 0 {
		return nil
	}
	f.trimLeading(t)
	f.readColumns(t)
	if !f.plausible(t) {
		return nil
	}
	f.readTitle(t)
	return t
}

// sectionRows finds lines such as "Alum" between the header and the first jar:
// one text in the first column, where a heading stands above it.
func (f *finder) sectionRows(t *table) {
	if f.v.turned {
		return
	}
	for r := t.head + 1; r < t.first; r++ {
		n := 0
		for c := t.c0; c <= t.c1; c++ {
			if !f.v.at(r, c).Blank() {
				n++
			}
		}
		x := f.v.at(r, t.c0)
		if n != 1 || x.Kind != textual || f.v.at(t.head, t.c0).Blank() {
			continue
		}
		if h := f.heading(x.Text); t.c1-t.c0 < 2 && !(h.amount && h.chem != "") {
			continue // under two headings only a dose is surely no part of them
		}
		if _, ok := words.OnlyUnit(x.Text); ok || f.heading(x.Text).jar {
			continue
		}
		t.sectionRow[r] = true
		t.sections[t.first] = strings.TrimSpace(x.Text)
	}
}

// firstData finds the first data row at most four rows below a header, past rows
// of units or sub-headings and one blank row.
func (f *finder) firstData(r, c0, c1 int) int {
	for k := r + 1; k <= r+4 && k < f.v.height(); k++ {
		for c := c0; c <= c1; c++ {
			if x := f.v.at(k, c); f.dataLike(x) {
				if k == r+1 && f.numberRow(r, k, c0, c1) {
					break
				}
				return k
			}
		}
	}
	return -1
}

// numberRow reports a second header row of numbers, such as settling times: they
// rise, they all stand under one heading of a reading, and nothing else is filled.
func (f *finder) numberRow(head, r, c0, c1 int) bool {
	last, n := math.Inf(-1), 0
	for c := c0; c <= c1+8; c++ {
		x := f.v.at(r, c)
		if x.Blank() {
			if c > c1 {
				break
			}
			continue
		}
		v := parseValue(x, f.dec)
		if !v.ok() || v.num <= last || c < c1 && !f.v.at(head, c).Blank() && f.heading(f.v.at(head, c).Text).reading == "" {
			return false
		}
		last = v.num
		n++
	}
	return n >= 2 && f.v.at(r, c0).Blank() && f.dataLike(f.v.at(r+1, c0+1))
}

// groupRows gives the first header row: rows above the main one whose cells stand
// over several columns, such as "Before" and "After".
func (f *finder) groupRows(r, c0, c1 int) int {
	top := r
	for k := r - 1; k >= 0 && k >= r-2 && f.groupRow(k, r, c0, c1); k-- {
		top = k
	}
	return top
}

// groupRow reports a row k of headings over those of row r.
func (f *finder) groupRow(k, r, c0, c1 int) bool {
	n, right, wide, known := 0, false, false, false
	for c := c0; c <= c1; c++ {
		x := f.v.at(k, c)
		if x.Blank() {
			continue
		}
		h := f.heading(x.Text)
		if x.Kind != textual || f.dataLike(x) || h.amount { // "stock 10 g/L" is a fact
			return false
		}
		n++
		right = right || c > c0
		if m, ok := f.v.merged(k, c); ok && m.C1 > m.C0 {
			wide = wide || m.C0 > c0 || m.C1 < c1
		}
		known = known || h.strong() || h.stage != "" || h.timed
	}
	return n > 0 && right && (wide || n >= 2 || known) && !f.keyed(k, r, c0, c1, n == 2 && !wide)
}

// keyed reports a row above the headings that is a fact: "Date: | 3 May", or, where it
// has two narrow cells, "Coagulant | alum" above "Jar | Dose | Turbidity".
func (f *finder) keyed(k, r, c0, c1 int, pair bool) bool {
	first := f.v.at(k, c0)
	if first.Blank() || f.v.at(k, c0+1).Blank() {
		return false
	}
	if strings.HasSuffix(first.Text, ":") || f.heading(first.Text).isMetaKey() {
		return true
	}
	return pair && c1-c0 >= 2 && f.heading(f.v.at(r, c0).Text).jar && !f.heading(first.Text).jar
}

// isMetaKey reports the words that stand before a fact, as "Coagulant | alum".
func (h heading) isMetaKey() bool {
	return (basisKey.MatchString(words.Fold(h.text)) || h.target || h.volume || h.strength || h.density || h.date || h.operator || h.test || h.speed || h.next || h.recycle || h.stage == "before") && !h.jar
}

// extendRight takes in columns without a heading that hold data beside the table.
func (f *finder) extendRight(t *table) {
	for c := t.c1 + 1; c <= t.c1+1; c++ {
		if x := f.v.at(t.head, c); !x.Blank() {
			return
		}
		if t.first == t.head+2 && f.dataLike(f.v.at(t.head+1, c)) && f.dataLike(f.v.at(t.first, c)) {
			t.c1 = c // under a number of the second header row
			continue
		}
		filled := false
		for k := t.first; k < t.first+4; k++ {
			if x := f.v.at(k, c); !x.Blank() {
				if x.Kind == textual && f.heading(x.Text).isMetaKey() {
					return
				}
				filled = true
			}
		}
		if !filled {
			return
		}
		t.c1 = c
	}
}

// trimLeading drops lines without any data from the front of a table with jars
// across: titles that touch it.
func (f *finder) trimLeading(t *table) {
	for f.v.turned && t.c0 < t.c1 {
		for _, r := range t.rows {
			if !f.v.at(r, t.c0).Blank() {
				return
			}
		}
		t.c0++
	}
}

// extendLeft takes in a column of labels without a heading before the table.
func (f *finder) extendLeft(t *table) {
	c := t.c0 - 1
	if c < 0 || !f.v.at(t.head, c).Blank() {
		return
	}
	filled, keys := 0, 0
	for k := t.first; k < t.first+4; k++ {
		if x := f.v.at(k, c); !x.Blank() {
			filled++
			if h := f.heading(x.Text); x.Kind == textual && h.isMetaKey() && !h.raw && !h.control {
				keys++
			}
		}
	}
	if filled >= 2 && keys == 0 {
		t.c0 = c
	}
}

// headerAgain reports the header repeated between jars, as at a page break: the
// same texts, and labels below that go on rather than begin again.
func (f *finder) headerAgain(t *table, r int) bool {
	for c := t.c0; c <= t.c1; c++ {
		if f.v.at(r, c).Text != f.v.at(t.head, c).Text {
			return false
		}
	}
	for c := t.c0; c <= t.c1; c++ {
		h := f.heading(f.v.at(t.head, c).Text)
		if !h.jar || h.core() {
			continue
		}
		next := f.v.at(r+1, c).Text
		for _, k := range t.rows {
			if f.v.at(k, c).Text == next {
				return false
			}
		}
		return next != "" && len(t.rows) > 0
	}
	return false
}

// headerLike reports a row without numbers that names a dose or a reading.
func (f *finder) headerLike(t *table, r int) bool {
	strong, core := 0, 0
	for c := t.c0; c <= t.c1; c++ {
		if x := f.v.at(r, c); x.Kind == textual {
			h := f.heading(x.Text)
			if h.strong() {
				strong++
				if h.core() && (h.unit.Known() || h.reading != "" || h.dose) {
					core++
				}
			}
		}
	}
	return strong >= 2 && core >= 1
}

// keyRow reports a row below the jars that is a fact, such as "Next test | 45361".
func (f *finder) keyRow(t *table, r, n int) bool {
	x := f.v.at(r, t.c0)
	if x.Kind != textual || n > 2 || t.c1-t.c0 < 2 {
		return false
	}
	h := f.heading(x.Text)
	return h.isMetaKey() && !h.control && !h.raw && !h.summary && h.stage != "before"
}

// goesOn reports that the table continues at row r: numbers in at least two
// columns, or in one of two.
func (f *finder) goesOn(t *table, r int) bool {
	if r >= f.v.height() || f.headerLike(t, r) {
		return false
	}
	data, n, labelled := 0, 0, false
	for c := t.c0; c <= t.c1; c++ {
		x := f.v.at(r, c)
		if x.Blank() {
			continue
		}
		n++
		if f.dataLike(x) {
			data++
		}
		if c == t.c0 && x.Kind == textual && f.heading(x.Text).isMetaKey() {
			labelled = true
		}
	}
	return !labelled && (data >= 2 || data == 1 && (n >= 2 || t.c1-t.c0 <= 1))
}

// readColumns joins the header cells above each column.
func (f *finder) readColumns(t *table) {
	for c := t.c0; c <= t.c1; c++ {
		col := column{c: c, place: f.v.placeAt(t.head, c)}
		var group []string
		for r := t.headTop; r < t.first; r++ {
			text, own := f.headerText(t, r, c)
			if text == "" || t.sectionRow[r] {
				continue
			}
			if r < t.head {
				group = append(group, text)
				if own && f.v.at(t.head, c).Blank() {
					col.place = f.v.placeAt(r, c)
				}
			} else {
				col.parts = append(col.parts, text)
			}
		}
		col.group = strings.Join(group, " ")
		col.head = f.joined(col)
		t.cols = append(t.cols, col)
	}
}

// headerText gives the text over a column in a header row: its own cell, or in a
// group row the cell that reaches over it.
func (f *finder) headerText(t *table, r, c int) (string, bool) {
	x := f.v.at(r, c)
	if x.Kind == textual {
		return strings.TrimSpace(x.Text), true
	}
	if x.Kind == numeric || x.Kind == boolean {
		return x.Text, true
	}
	if m, ok := f.v.merged(r, c); ok {
		if top := f.v.at(m.R0, m.C0); top.Kind == textual {
			if m.R0 != r && m.C0 == c {
				return "", false // the upper part of a cell merged downwards has been read
			}
			return strings.TrimSpace(top.Text), false
		}
		return "", false
	}
	if r >= t.head && !(r == t.head && t.first == t.head+2 && f.dataLike(f.v.at(r+1, c))) {
		return "", false
	}
	for k := c - 1; k >= t.c0; k-- {
		y := f.v.at(r, k)
		if y.Blank() {
			continue
		}
		if m, ok := f.v.merged(r, k); ok && m.C1 < c {
			return "", false
		}
		if f.heading(y.Text).jar && !f.heading(y.Text).core() {
			return "", false
		}
		return strings.TrimSpace(y.Text), false
	}
	return "", false
}

var minuteWord = regexp.MustCompile(`\b(?:min|mins|minutes?|minuten|minutos)\b`)

// joined reads the header cells of a column as one heading; what the main cells
// leave open is taken from the group above.
func (f *finder) joined(col column) heading {
	if n := len(col.parts); n == 2 && col.group == "" {
		if _, err := strconv.ParseFloat(col.parts[1], 64); err == nil { // a number under the main heading
			col.group, col.parts = col.parts[0], col.parts[1:]
		}
	}
	if len(col.parts) == 0 {
		g := f.heading(col.group)
		g.text = col.group
		return g
	}
	h := f.ownHeading(col.parts)
	if col.group == "" {
		return h
	}
	h.takeFrom(f.heading(col.group))
	if x, err := strconv.ParseFloat(strings.Join(col.parts, ""), 64); err == nil && minuteWord.MatchString(words.Fold(col.group)) {
		h.timed, h.minutes = true, x
	}
	h.settle()
	return h
}

// ownHeading reads the main header cells of a column. A unit in a row of its own is
// clearer by itself.
func (f *finder) ownHeading(parts []string) heading {
	h := f.heading(strings.Join(parts, " "))
	for i, p := range parts[1:] {
		u, ok := words.OnlyUnit(p)
		if !ok {
			continue
		}
		main := f.heading(strings.Join(parts[:i+1], " "))
		if !main.unit.Known() || main.unit.Kind == words.NoUnit || u.Kind != words.NoUnit {
			main.unit = u
		}
		main.text = h.text
		main.settle()
		return main
	}
	return h
}

// takeFrom gives a heading what it leaves open and the group above it says.
func (h *heading) takeFrom(g heading) {
	if h.stage == "" {
		h.stage = g.stage
	}
	h.takeReading(g)
	h.takeDose(g)
	if !h.unit.Known() && g.unit.Known() && !h.jar && g.unit.Kind != words.Minutes {
		h.unit = g.unit
	}
	if !h.timed && g.timed {
		h.timed, h.minutes = true, g.minutes
	}
	h.old = h.old || g.old
}

// takeReading gives a heading the reading of its group, unless it is something else.
func (h *heading) takeReading(g heading) {
	if h.reading == "" && !h.jar && !h.doseLike() && !h.note && !h.test && !h.chemical {
		h.reading = g.reading
		h.removal = h.removal || g.removal
	}
	h.removal = h.removal || g.removal && h.reading != ""
}

// takeDose gives a heading the chemical of its group, and that it is dosed.
func (h *heading) takeDose(g heading) {
	dosed := h.dose || h.stock || h.unit.Kind == words.Conc && h.reading == "" || h.unit.Kind == words.Volume
	if h.chem == "" && (dosed || h.reading != "" && g.reading == "") {
		h.chem = g.chem
	}
	h.dose = h.dose || g.dose && h.reading == ""
}

// plausible throws out blocks that only look like tables, and scores the others.
func (f *finder) plausible(t *table) bool {
	dose, reading, cells, body := 0, 0, 0, 0
	seen := map[string]bool{}
	for _, col := range t.cols {
		n, heads := f.bodyOf(t, col)
		if heads >= 2 || heads == 1 && len(t.rows) <= 2 {
			body += heads
		}
		h, key := col.head, strings.ToLower(strings.Join(col.parts, " ")+col.group)
		if n == 0 || seen[key] && h.reading == "" {
			continue
		}
		seen[key] = true
		switch {
		case h.doseLike() || h.reading == "" && (isMass(h.unit) || h.unit.Kind == words.Volume):
			dose++
			cells += n
		case h.reading != "" || h.removal:
			reading++
			cells += n
		}
	}
	switch {
	case body > 0 && body*4 >= len(t.rows), dose+reading == 0, f.factBlock(t), t.v.turned && len(t.rows) < 2:
		return false
	}
	t.score = cells
	if dose > 0 && reading > 0 {
		t.score += cells + 20
	}
	if !t.v.turned {
		t.score++
	}
	return true
}

// bodyOf counts the data of a column, and the cells among them that read like headings.
func (f *finder) bodyOf(t *table, col column) (data, heads int) {
	named := col.head.parameter || col.head.unitColumn || col.head.note
	for _, r := range t.rows {
		x := f.v.at(r, col.c)
		if f.dataLike(x) {
			data++
			continue
		}
		if x.Kind != textual || named {
			continue
		}
		if h := f.heading(x.Text); h.strong() && (h.reading != "" || h.unit.Known() || h.dose || h.stock) {
			heads++
		}
	}
	return data, heads
}

// factBlock reports a list of facts, "Stock strength | 10 %", that looks like a table.
func (f *finder) factBlock(t *table) bool {
	keys := 0
	for _, r := range t.rows {
		x := f.v.at(r, t.c0)
		if x.Kind != textual || f.dataLike(x) {
			continue
		}
		h := f.heading(x.Text)
		if (h.isMetaKey() || h.stock || h.strength || h.volume && h.jar || h.reading != "") && !h.control && !h.raw && !h.summary && !h.amount {
			keys++
		}
	}
	return keys > 0 && keys*2 >= len(t.rows) && t.c1-t.c0 <= 2
}

// readTitle looks for a line of text right above the table, at most three rows up.
func (f *finder) readTitle(t *table) {
	box, v := t.box(), view{area: f.v.area, only: f.v.only}
	if v.origin != nil {
		return
	}
	if x := v.at(box.R1+1, box.C0); x.Kind == textual {
		t.foot = strings.TrimSpace(x.Text)
	}
	for r := box.R0 - 1; r >= 0 && r >= box.R0-3; r-- {
		text, n := "", 0
		var at note.Place
		for c := box.C0; c <= box.C1; c++ {
			if x := v.at(r, c); !x.Blank() {
				n++
				if text == "" && x.Kind == textual {
					text, at = strings.TrimSpace(x.Text), v.placeAt(r, c)
				}
			}
		}
		if n == 0 {
			continue
		}
		if n == 1 && colonKey.MatchString(text) && !strings.HasSuffix(text, ":") {
			continue // a fact, not a title
		}
		if n == 1 && text != "" && len(text) < 120 && !f.dataLike(cell{Kind: textual, Text: text}) {
			t.title, t.titleAt = text, at
		}
		return
	}
}

// choose keeps the best tables that do not overlap, in reading order.
func choose(all []*table) []*table {
	sort.SliceStable(all, func(i, j int) bool { return all[i].score > all[j].score })
	var out []*table
	for _, t := range all {
		free := true
		for _, o := range out {
			free = free && !t.box().Overlaps(o.box())
		}
		if free {
			out = append(out, t)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i].box(), out[j].box()
		if a.R0 != b.R0 {
			return a.R0 < b.R0
		}
		return a.C0 < b.C0
	})
	return out
}
