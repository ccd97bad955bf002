package layout

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A cross-tab has doses along one side and a second thing along the other: doses of
// another chemical, pH, settling times, dates or waters. It is rewritten as a long table whose
// cells remember where they stood, and then read like any other.

// Crosstab is a cross-tab found in a grid.
type Crosstab struct {
	r, c0, c1, last int   // header row, label column, last column, last row
	first           int   // first row of numbers; the name of their axis, and raw water, may stand before it
	raw             []int // rows of the raw water of each column
	corner          string
	top             int // first row of the headings above
	rowName         string
	colName         string
	overName        string // what every cell along the top says, "pH" of "pH 6.0"
	downName        string
	over, down      words.Unit // the unit that every cell of a side has
	reading         string
	byName          bool // the top holds dates, not doses or pH
	byHeat          bool // the top holds temperatures: each is a test of its own
	sure            bool
	rowAt, colAt    note.Place
	noRow, noCol    []int   // lines without a number on their side
	left            []apart // what stands there
}

var (
	axisSign  = words.NewPattern(`\s*(?:\\|/{1,2}|\||↓|→|⇒|⇓|×|\bvs\.?\b|\bby\b|\bx\b)\s*`)
	downSign  = words.NewPattern(`([^↓→|\\]+)\s*[↓⇓]`)
	overSign  = words.NewPattern(`([^↓→|\\]+)\s*[→⇒]`)
	downWord  = words.Jointed(`(?i)(?:^|\PL)(?:{rows})(?:$|[^\pL\d])\s*[:=]?\s*(?:are|is)?\s*([^,;:]+)`)
	downAfter = words.Jointed(`(?i)([^,;:]+?)\s+(?:{down})\s*(?:[,;]|(?:{and})\s|$)`)
	overAfter = words.Jointed(`(?i).*(?:[,;:]|\s(?:{and})\s)\s*([^,;:]+?)\s+(?:{across})\s*(?:[,;.)]|(?:{and})\s|$)`)
	overWord  = words.Jointed(`(?i)(?:^|\PL)(?:{columns})(?:$|[^\pL\d])\s*[:=]?\s*(?:are|is)?\s*([^,;:]+)`)
)

// Crosstabs finds the cross-tabs of a grid.
func (f *Finder) Crosstabs() []Crosstab {
	var out []Crosstab
	height, breadth := f.v.height(), f.v.breadth()
	if height > MostLines {
		height = MostLines
	}
	for r := 0; r < height; r++ {
		for c := 1; c < breadth; c++ {
			x, ok := f.crosstabAt(r, c)
			if !ok {
				continue
			}
			out = append(out, x)
			c = x.c1
		}
	}
	return out
}

// axisUnits are the units that doses and times along the side of a cross-tab can have.
var axisUnits = map[words.Kind]bool{"": true, words.Conc: true, words.Volume: true, words.NoUnit: true, words.Minutes: true,
	words.Temp: true, words.TempF: true}

// mark is what a cell along an axis says.
type mark struct {
	num  float64
	unit words.Unit
	date bool
	name string // "pH" of "pH 6.0"
}

// axisCell gives what a cell along an axis says.
func (f *Finder) axisCell(x grid.Cell) (m mark, ok bool) {
	if x.Blank() || x.Hollow {
		return m, false
	}
	v := ParseValue(x, f.dec)
	switch {
	case v.State == Dated && x.Kind == grid.Numeric:
		return mark{num: x.Num, date: true}, x.Date()
	case v.State == Dated:
		return mark{date: true}, true
	case bareTemperature.MatchString(strings.TrimSpace(x.Text)): // "5 C"
		return degreesOf(x.Text, f.dec)
	case v.OK() && len(v.List) == 0 && v.SD == 0 && axisUnits[v.Unit.Kind]:
		return mark{num: v.Num, unit: v.Unit}, true
	}
	return m, v.State == Zero
}

// degreesOf reads a bare temperature.
func degreesOf(text string, d Decimals) (mark, bool) {
	at := strings.LastIndexAny(text, "0123456789") + 1
	v, kind := ParseText(strings.TrimSpace(text[:at]), d), words.Temp
	if strings.HasSuffix(text, "F") {
		kind = words.TempF
	}
	return mark{num: v.Num, unit: words.Unit{Kind: kind, Factor: 1, Name: text[len(text)-1:]}}, v.OK()
}

// namedCell gives the number along an axis whose cells name it each for themselves, "pH
// 6.0", "Polymer 0.2 mg/L", and the name.
func (f *Finder) namedCell(x grid.Cell) (n float64, name string, ok bool) {
	m := nameWithNumber.FindStringSubmatch(strings.TrimSpace(x.Text))
	if x.Kind != grid.Textual || m == nil || len(x.Text) > 40 {
		return 0, "", false
	}
	v := Numeral(m[2], f.dec)
	name = strings.TrimSpace(strings.TrimRight(m[1], " =:") + " " + strings.TrimSpace(m[3]))
	h := f.heading(name)
	dose := h.DoseLike() && (h.Unit.Kind == words.Conc || h.Chem != "" && !h.Unit.Known()) && h.Rest == "" && !h.Stock
	return v.Num, name, v.OK() && (dose || isPH(h) && v.Num >= leastSet && v.Num <= mostSet)
}

// nameWithNumber is one number among words.
var nameWithNumber = words.NewPattern(`^(\D*?)(\d+(?:[.,]\d+)?)(\D*)$`)

const (
	leastSet, mostSet = 3.5, 12 // pH that a jar is set to
	mostSetStep       = 2       // between one and the next; minutes are further apart
)

// along reads an axis from a cell on, down or along the top. Dates do not mix with numbers, nor one name
// or unit with another. A line of the body that has no number on this side is passed over.
func (f *Finder) along(x *Crosstab, r, c int, down bool) (a axis) {
	var passed []int
	for ; r < f.v.height() && c < f.v.breadth(); r, c = step(r, c, down) {
		at := c
		if down {
			at = r
		}
		cell := f.v.At(r, c)
		n, name, ok := f.namedCell(cell)
		m := mark{num: n, name: name}
		if !ok {
			m, ok = f.axisCell(cell)
		}
		ok = ok && (down || m.unit.Kind != words.Minutes) && (a.n == 0 || a.goesOn(m)) // "5 min" along the top heads a column
		if !ok && len(passed) < mostPassed && f.canSkip(cell) && f.crossed(x, at, down) {
			passed = append(passed, at)
			continue
		}
		if !ok {
			break
		}
		a.add(m)
		a.end, a.passed = at, append(a.passed, passed...)
		passed = nil
	}
	named := f.heading(a.name)
	if isPH(named) && a.step > mostSetStep || named.Chem != "" && !named.Unit.Known() && a.counts { // "Alum 1", "Alum 2": numbered
		return axis{}
	}
	return a
}

// mostPassed is how many lines in a row may have no number on their side.
const mostPassed = 2

func step(r, c int, down bool) (int, int) {
	if down {
		return r + 1, c
	}
	return r, c + 1
}

// crosstabAt tries the cell (r, c) as the first cell of a top axis.
func (f *Finder) crosstabAt(r, c int) (Crosstab, bool) {
	corner := f.v.At(r, c-1)
	if corner.Kind != grid.Empty && corner.Kind != grid.Textual || f.DataLike(corner) {
		return Crosstab{}, false
	}
	x := Crosstab{r: r, c0: c - 1, first: r + 1, corner: Text(corner)}
	over := f.along(&x, r, c, false)
	if over.n < 2 || !over.dates && !over.ordered() {
		return Crosstab{}, false
	}
	end := over.end
	x.c1, x.byName, x.overName, x.over = end, over.dates, over.name, over.unit
	for f.rawRow(x, x.first) || f.namesDown(&x, x.first) {
		x.first++
	}
	down := f.along(&x, x.first, c-1, true)
	x.last, x.downName, x.down = down.end, down.name, down.unit
	if down.n < 2 {
		return Crosstab{}, false
	}
	for _, k := range over.passed {
		x.leave(f, r, k, false)
	}
	for _, k := range down.passed {
		if !f.rawRow(x, k) {
			x.leave(f, k, c-1, true)
		}
	}
	for k := r + 1; k <= x.last+1; k++ {
		if f.rawRow(x, k) {
			x.raw = append(x.raw, k)
		}
	}
	body := 0
	for k := x.first; k <= x.last; k++ {
		body += f.bodyCells(k, c, end)
	}
	if down.dates || down.n < 2 || !down.ordered() || body*10 < 7*down.n*over.n {
		return x, false
	}
	if as, _ := crossRuled.Decide(crossEvidence{f, &x}); as == crossTable {
		return x, false
	}
	f.beside(&x)
	return f.nameAxes(x)
}

// rawRow reports a row of numbers that its label says are of the raw water.
func (f *Finder) rawRow(x Crosstab, r int) bool {
	label := f.v.At(r, x.c0)
	h := f.heading(label.Text)
	return label.Kind == grid.Textual && (h.Raw || h.Stage == "before") && !h.Core() && !f.DataLike(label) && f.bodyCells(r, x.c0+1, x.c1) > 0
}

// namesDown takes the name of the axis down from a row of its own under the top axis.
func (f *Finder) namesDown(x *Crosstab, r int) bool {
	label := f.v.At(r, x.c0)
	if x.corner != "" || label.Kind != grid.Textual || f.DataLike(label) || !f.heading(label.Text).Strong() {
		return false
	}
	for c := x.c0 + 1; c <= x.c1; c++ {
		if !f.v.At(r, c).Blank() {
			return false
		}
	}
	x.corner = Text(label)
	return true
}

// axis is a run of numbers along a side.
type axis struct {
	n, end         int     // how many numbers, and where the last one stands
	passed         []int   // lines between them that have none
	last, step     float64 // step is the largest between neighbours
	falls, repeats bool
	rises          bool
	counts         bool // 1, 2, 3
	dates          bool
	name           string
	unit           words.Unit
}

// goesOn reports a cell that can follow those of an axis.
func (a *axis) goesOn(m mark) bool {
	one := m.unit == a.unit || !m.unit.Known() || !a.unit.Known()
	return m.date == a.dates && one && (m.name == a.name || SameText(m.name, a.name))
}

func (a *axis) add(m mark) {
	if a.n > 0 {
		a.rises, a.falls, a.repeats = a.rises || m.num > a.last, a.falls || m.num < a.last, a.repeats || m.num == a.last
		a.step = max(a.step, math.Abs(m.num-a.last))
	}
	if m.unit.Known() {
		a.unit = m.unit
	}
	a.counts = (a.n == 0 || a.counts) && m.num == float64(a.n+1)
	a.n, a.last, a.name, a.dates = a.n+1, m.num, m.name, m.date
}

// ordered reports numbers that only rise or only fall.
func (a axis) ordered() bool { return !a.repeats && !(a.rises && a.falls) }

// bodyCells counts the cells of a row that hold data or say that there are none.
func (f *Finder) bodyCells(r, c0, c1 int) int {
	n := 0
	for c := c0; c <= c1; c++ {
		x := f.v.At(r, c)
		if f.DataLike(x) || !x.Blank() && ParseValue(x, f.dec).State == Missing {
			n++
		}
	}
	return n
}

func (f *Finder) headsAbove(r, c0, c1 int) int {
	n := 0
	for c := c0; c <= c1; c++ {
		if x := f.v.At(r, c); x.Kind == grid.Textual {
			n++
		}
	}
	return n
}

// nameAxes finds out what stands along each side and what was read.
func (f *Finder) nameAxes(x Crosstab) (Crosstab, bool) {
	corner := x.corner
	x.rowAt, x.colAt = f.v.PlaceAt(x.r, x.c0), f.v.PlaceAt(x.r, x.c0+1)
	x.top = x.r
	x.colName, x.rowName = x.overName, x.downName
	above, lines := f.textsAround(&x)
	f.fromCorner(&x, corner)
	f.nameOver(&x, above)
	f.againstDose(&x, lines)
	if x.colName == "" && isTime(f.heading(corner)) { // times down the side: the dose is along the top, wherever it is named
		if i := slices.IndexFunc(lines, func(s string) bool { return f.heading(s).DoseLike() }); i >= 0 {
			x.colName = lines[i]
		}
	}
	x.colName = cmp.Or(x.colName, nameOfUnit[x.over.Kind])
	f.nameDown(&x, []string{f.textLeft(x), corner}, lines)
	all := append(append([]string{corner}, above...), lines...)
	x.rowName = cmp.Or(x.rowName, nameOfUnit[x.down.Kind])
	f.fromSentence(&x, all)
	f.overFromTitle(&x, all)
	f.nameReading(&x, all)
	f.fromTitle(&x, all)
	switch {
	case x.byName:
		x.colName = "test"
		return x, x.rowName != ""
	case x.colName == "" && x.rowName != "" && x.reading != "" && f.counting(x):
		x.colName = "rep"
		return x, true
	case x.rowName == "" || x.colName == "" || x.rowName == x.colName:
		return x, false
	case isTemperature(f.heading(x.colName)):
		if !f.heading(x.rowName).DoseLike() {
			return x, false
		}
		x.byHeat = true
	}
	x.sure = true
	return x, true
}

// textsAround gives the texts above the top axis, and those that stand in lines of
// their own: above the labels, or under the numbers ("values: turbidity NTU").
func (f *Finder) textsAround(x *Crosstab) (above, lines []string) {
	far := false // past an empty row stands no more than what was read
	for r := x.r - 1; r >= 0 && r >= x.r-5; r-- {
		blank := true
		for c := max(0, x.c0-1); c <= x.c1; c++ {
			s := Text(f.v.At(r, c))
			if s == "" || f.v.At(r, c).Kind != grid.Textual {
				continue
			}
			blank = false
			h := f.heading(s)
			if far {
				lines = append(lines, s)
				continue
			}
			if c <= x.c0 {
				lines = append(lines, s)
				if h.Core() {
					x.top = r
				}
				continue
			}
			above = append(above, s)
			x.top = r
			if h.DoseLike() || h.Reading == jartest.PH {
				x.colAt = f.v.PlaceAt(r, c)
			}
		}
		far = far || r < x.r-2 || blank && len(above)+len(lines) > 0
	}
	for r := x.last + 1; r <= x.last+3; r++ {
		if s := Text(f.v.At(r, x.c0)); f.heading(s).Reading != "" && f.v.At(r, x.c0+1).Blank() {
			lines = append(lines, s)
		}
	}
	return above, lines
}

// textLeft gives the first text left of the labels.
func (f *Finder) textLeft(x Crosstab) string {
	for r := x.r; x.c0 > 0 && r <= x.last; r++ {
		if c := f.v.At(r, x.c0-1); c.Kind == grid.Textual && Text(c) != "" {
			return Text(c)
		}
	}
	return ""
}

// nameOver finds what the top axis holds in the texts above it.
func (f *Finder) nameOver(x *Crosstab, above []string) {
	for _, s := range above {
		if h := f.heading(s); x.colName == "" && (h.DoseLike() || h.Reading == jartest.PH || h.Date || h.Test || isTime(h) || isTemperature(h)) {
			x.colName = s
		}
	}
}

// nameDown finds the dose along the side, or the pH or the times beside doses along the
// top: beside it or in the corner, else in a line of its own.
func (f *Finder) nameDown(x *Crosstab, beside, lines []string) {
	dosesOver := f.heading(x.colName).DoseLike()
	for _, s := range beside {
		h := f.heading(s)
		dose := h.DoseLike() || h.Unit.Kind == words.Conc && h.Reading == ""
		if s != "" && x.rowName == "" && (dose || dosesOver && (h.Reading == jartest.PH || isTime(h))) && s != x.colName {
			x.rowName = s
		}
	}
	for _, s := range lines {
		h := f.heading(s)
		dose := h.DoseLike() && h.Reading == ""
		if x.rowName == "" && (dose || dosesOver && (isPH(h) || isTime(h))) && !strings.ContainsAny(s, ",;:") {
			x.rowName = s
		}
	}
}

// againstSign stands in a title between what is along the sides, "pH against dose (mg/L)".
var againstSign = words.NewPattern(`(?i)\s+(?:against|versus|vs\.?|by|gegen|contra|contre|tegen|mot|×|x)\s+`)

// againstDose takes the names of both sides from a title that gives a pH and a dose, where nothing beside
// the numbers names the doses: pH is down the side where the corner says so, or else along the only side
// whose numbers can be pH.
func (f *Finder) againstDose(x *Crosstab, lines []string) {
	if x.colName != "" || f.heading(x.rowName).DoseLike() || x.byName {
		return
	}
	for _, s := range lines {
		for _, part := range splitAxes(s) {
			ends := againstSign.Split(strings.TrimSpace(part), -1)
			if len(ends) != 2 {
				continue
			}
			if f.heading(ends[0]).DoseLike() {
				slices.Reverse(ends)
			}
			dose := f.heading(ends[1])
			if !isPH(f.heading(ends[0])) || !dose.DoseLike() || dose.Reading != "" || dose.Amount {
				continue
			}
			corner := f.heading(x.corner)
			down, over := f.canBePH(x.first, x.c0, x.last, x.c0), f.canBePH(x.r, x.c0+1, x.r, x.c1)
			switch named := x.corner != ""; {
			case down && (named && isPH(corner) || !named && !over):
				x.rowName, x.colName = "pH", ends[1]
			case over && !named && !down:
				x.rowName, x.colName = ends[1], "pH"
			}
			return
		}
	}
}

// canBePH reports cells whose numbers are all such as a jar is set to.
func (f *Finder) canBePH(r0, c0, r1, c1 int) bool {
	for r := r0; r <= r1; r++ {
		for c := c0; c <= c1; c++ {
			if n := ParseValue(f.v.At(r, c), f.dec); n.OK() && (n.Num < leastSet || n.Num > mostSet) {
				return false
			}
		}
	}
	return true
}

// isTime reports a heading of times that jars settled for.
func isTime(h Heading) bool {
	span := h.Unit.Kind == words.Minutes && h.Unit.Factor < 24*60
	return (span || h.Clock && !h.Unit.Known()) && h.Reading == "" && !h.DoseLike() && !h.Amount && !h.Timed
}

// isTemperature reports a heading of temperatures and nothing more.
func isTemperature(h Heading) bool {
	return h.Reading == jartest.TemperatureKey && h.Rest == "" && !h.Amount && !h.Number && !h.Raw && h.Stage == "" && h.Stat == ""
}

// nameOfUnit names an axis whose cells have a unit and that nothing else names.
var nameOfUnit = map[words.Kind]string{words.Conc: "dose", words.Minutes: "settling time (min)", words.Temp: "temperature (C)", words.TempF: "temperature (F)"}

// overFromTitle finds in a title what the top axis holds, where nothing above it says so:
// "alum by pH", "turbidity (NTU) against settling time (min)".
func (f *Finder) overFromTitle(x *Crosstab, lines []string) {
	if x.colName != "" || !f.heading(x.rowName).DoseLike() || x.byName {
		return
	}
	first, last := ParseValue(f.v.At(x.r, x.c0+1), f.dec).Num, ParseValue(f.v.At(x.r, x.c1), f.dec).Num
	for _, s := range lines {
		for _, part := range axisSign.Split(s, -1) {
			ends := axesEnd.Split(part, -1)
			if isPH(f.heading(ends[0])) && min(first, last) >= leastSet && max(first, last) <= mostSet {
				x.colName = "pH"
			}
		}
		h := f.heading(s)
		if h.Reading != "" && h.Clock && !h.Timed && minuteWord.MatchString(words.Fold(s)) {
			x.colName = "settling time (min)"
		}
	}
}

// isPH reports a heading that says pH and nothing more.
func isPH(h Heading) bool { return h.Reading == jartest.PH && h.Rest == "" && !h.Amount && !h.Number }

// nameReading finds what was read; a pH that names an axis is none.
func (f *Finder) nameReading(x *Crosstab, all []string) {
	for _, s := range all {
		parts := splitAxes(s)
		if f.heading(s).Untreated.OK { // "Turbidity (NTU) - raw water 52 NTU"
			parts = []string{s}
		}
		for _, part := range parts {
			h := f.heading(part)
			axis := part == x.colName || part == x.rowName || h.Reading == jartest.PH && x.hasPH(f) || isTemperature(h) && isTemperature(f.heading(x.colName))
			if x.reading == "" && h.Reading != "" && !axis && !h.Raw && !h.Amount {
				x.reading = strings.TrimSpace(part)
				if f.namesAxes(h) {
					x.reading = strings.TrimSpace(h.Reading.Info().Label + " " + h.Unit.Name)
				}
			}
		}
	}
}

// namesAxes reports a heading of a reading that names what stands along the sides too, and
// nothing else: "turbidity (NTU) over time", "turbidity vs pH and alum".
func (f *Finder) namesAxes(h Heading) bool {
	axes := h.Clock || h.Chem != "" || h.Dose || len(h.Readings) > 1
	return axes && joining.MatchString(h.Rest) && !h.Filtered && !h.Raw && h.Stage != "before" && h.Stat == "" && h.Scale == "" && !h.Removal && !h.LogRemoval
}

// joining are words between what was read and what it is shown against.
var joining = words.NewPattern(`^(?:(?:vs|versus|segun|según|nach|selon|secondo|conforme|segundo|enligt|volgens|wg|podle|against|over|each|every|at|with|con|com|avec|mit|gegen|uber|über|por|par|pro|longo|ao|tempo|temps|tiempo|and) ?)*$`)

// hasPH reports an axis of pH.
func (x *Crosstab) hasPH(f *Finder) bool {
	return f.heading(x.colName).Reading == jartest.PH || f.heading(x.rowName).Reading == jartest.PH
}

// fromTitle takes the chemical of the doses, and the unit of the reading, from the
// headings where the axes do not give them: "Settled turbidity, NTU, alum".
func (f *Finder) fromTitle(x *Crosstab, lines []string) {
	chem := ""
	for _, s := range lines {
		if c := f.heading(s).Chem; c != "" && c != f.heading(x.colName).Chem {
			if chem != "" && chem != c {
				return
			}
			chem = c
		}
		for _, part := range splitAxes(s) {
			u, ok := words.OnlyUnit(part)
			if ok && x.reading != "" && !f.heading(x.reading).Unit.Known() && KeyOfUnit(u) == f.heading(x.reading).Reading {
				x.reading += " (" + u.Name + ")"
			}
		}
	}
	dosed := &x.rowName
	if !f.heading(x.rowName).DoseLike() && f.heading(x.colName).DoseLike() {
		dosed = &x.colName
	}
	if h := f.heading(*dosed); chem != "" && *dosed != "" && h.Chem == "" && h.Metal == "" {
		*dosed = chem + " " + *dosed
	}
}

// counting reports a top axis of 1, 2, 3 …, which numbers repeats.
func (f *Finder) counting(x Crosstab) bool {
	for c := x.c0 + 1; c <= x.c1; c++ {
		v := ParseValue(f.v.At(x.r, c), f.dec)
		if !v.OK() || v.Num != float64(c-x.c0) {
			return false
		}
	}
	return true
}

var axesEnd = words.NewPattern(`[;,]| - | – |: |\n`)

func splitAxes(s string) []string { return axesEnd.Split(s, -1) }

// fromCorner reads "alum \ polymer", "alum (mg/L) ↓ polymer (mg/L) →".
func (f *Finder) fromCorner(x *Crosstab, corner string) {
	if corner == "" {
		return
	}
	if d, o := downSign.FindStringSubmatch(corner), overSign.FindStringSubmatch(corner); d != nil && o != nil {
		x.rowName, x.colName = strings.TrimSpace(d[1]), strings.TrimSpace(o[1])
		return
	}
	if at := strings.LastIndexAny(corner, "(["); at > 0 { // "alum \\ polymer (turbidity, NTU)"
		if inner := strings.Trim(corner[at:], "()[] "); f.heading(inner).Reading != "" && f.heading(inner).Reading != jartest.PH && !isTemperature(f.heading(inner)) {
			x.reading, corner = inner, corner[:at]
		}
	}
	masked := strings.NewReplacer("mg/L", "mg∕L", "mg/l", "mg∕l", "g/L", "g∕L", "g/m3", "g∕m3", "µg/L", "µg∕L", "mL/L", "mL∕L").Replace(corner)
	parts := axisSign.Split(masked, -1)
	var named []string
	for _, p := range parts {
		p = strings.TrimSpace(strings.ReplaceAll(p, "∕", "/"))
		if h := f.heading(p); h.DoseLike() || h.Reading == jartest.PH || isTime(h) || isTemperature(h) {
			named = append(named, p)
		}
	}
	if len(named) == 2 {
		x.rowName, x.colName = named[0], named[1]
		u, w := f.heading(named[0]).Unit, f.heading(named[1]).Unit
		if other := func(h Heading) bool { return isTime(h) || isTemperature(h) }; other(f.heading(named[0])) || other(f.heading(named[1])) {
			return // "alum / time (min)": minutes and degrees are no unit of the doses
		}
		if w.Known() && !u.Known() && f.heading(named[0]).Reading == "" {
			x.rowName += " " + w.Name // "alum / polymer, mg/L"
		}
		if u.Known() && !w.Known() && f.heading(named[1]).Reading == "" {
			x.colName += " " + u.Name
		}
	}
}

// fromSentence reads "rows alum mg/L, columns polymer mg/L".
func (f *Finder) fromSentence(x *Crosstab, lines []string) {
	for _, s := range lines {
		d, o := downAfter.FindStringSubmatch(s), overAfter.FindStringSubmatch(s) // "alum down and polymer across"
		if d == nil || o == nil {
			d, o = downWord.FindStringSubmatch(s), overWord.FindStringSubmatch(s)
		}
		if d != nil && x.rowName == "" && f.heading(d[1]).DoseLike() {
			x.rowName = strings.TrimSpace(d[1])
		}
		if o != nil && x.colName == "" && (f.heading(o[1]).DoseLike() || f.heading(o[1]).Reading == jartest.PH) {
			x.colName = strings.TrimSpace(o[1])
		}
	}
}

// bare gives the number of a cell that carries the name of its axis, or of a time with its
// unit, in minutes.
func (f *Finder) bare(x grid.Cell, name string, u words.Unit) grid.Cell {
	if v := ParseValue(x, f.dec); u.Kind == words.Minutes && v.OK() {
		if !v.Unit.Known() {
			v.Unit = u
		}
		x.Kind, x.Num, x.Text = grid.Numeric, v.Num*v.Unit.Factor, strconv.FormatFloat(v.Num*v.Unit.Factor, 'g', -1, 64)
		return x
	}
	if m := nameWithNumber.FindStringSubmatch(strings.TrimSpace(x.Text)); name != "" && m != nil {
		x.Text = m[2]
	}
	return x
}

// degrees names a test by its temperature, "5 C".
func (x Crosstab) degrees(f *Finder, cell grid.Cell) string {
	if bareTemperature.MatchString(strings.TrimSpace(cell.Text)) {
		return strings.TrimSpace(cell.Text)
	}
	v := ParseValue(cell, f.dec)
	unit := cmp.Or(v.Unit.Name, x.over.Name, f.heading(x.colName).Unit.Name)
	return strings.TrimSpace(strconv.FormatFloat(v.Num, 'g', -1, 64) + " " + unit)
}

// plainTime is the name of a time without its unit.
var plainTime = words.NewPattern(`^[^(\[,]*[^(\[, ]`)

// axisHeads gives the headings that the axes have in a long table: a pH was set, and
// times in cells with a unit are in minutes.
func (x Crosstab) axisHeads() (col, row string) {
	set := func(name string, u words.Unit) string {
		h := ReadHeading(name)
		switch {
		case h.Reading == jartest.PH:
			return "pH set"
		case isTime(h) && u.Kind == words.Minutes:
			return cmp.Or(plainTime.FindString(name), "settling time") + " (min)"
		}
		return name
	}
	return set(x.colName, x.over), set(x.rowName, x.down)
}

// Unfold rewrites a cross-tab as a long table without its hidden rows and columns, and says what it
// took it for.
func (f *Finder) Unfold(x Crosstab) (*Area, note.List) {
	g := f.v.Area
	var notes note.List
	say := func(l note.Level, code string, at note.Place, remedy, format string, args ...any) {
		n := note.New(l, code, format, args...).At(at)
		n.Remedy = remedy
		notes.Add(n)
	}
	v := View{Area: g}
	for _, n := range f.leftOut(x) {
		notes.Add(n)
	}
	col, row := x.axisHeads()
	reading := x.reading
	if reading == "" {
		reading = "turbidity"
		say(note.Caution, "reading-assumed", g.Place(x.r, x.c0), `write "Turbidity (NTU)" above it`, "the cross-tab does not say what was read; turbidity in NTU is assumed")
		reading = "turbidity (NTU)"
	}
	head := func(s string, at note.Place) grid.Cell { return grid.Cell{Kind: grid.Textual, Text: s, Home: at.Cell} }
	out := &Area{Sheet: rewritten(g), Origin: g}
	out.Box = grid.Span{R0: x.top, C0: x.c0, R1: x.last, C1: x.c1}
	heads := []grid.Cell{head(col, x.colAt), head(row, x.rowAt), head(reading, g.Place(x.r, x.c0))}
	if x.byHeat {
		heads[0] = head("test", x.colAt)
	}
	if len(x.raw) > 0 {
		out.Box.R1 = max(out.Box.R1, slices.Max(x.raw))
		heads = append(heads, head("sample", g.Place(x.r, x.c0)))
	}
	out.Rows = append(out.Rows, heads)
	for c := x.c0 + 1; c <= x.c1; c++ {
		if slices.Contains(x.noCol, c) {
			continue
		}
		if g.HiddenCol[c] {
			say(note.Caution, "hidden-column", g.Place(x.r, c), OpenHidden, "a column of the cross-tab is hidden and was left out")
			continue
		}
		for r := x.r + 1; r <= out.Box.R1; r++ {
			raw := slices.Contains(x.raw, r)
			if r < x.first && !raw || slices.Contains(x.noRow, r) {
				continue
			}
			if g.HiddenRow[r] {
				say(note.Caution, "hidden-jar", g.Place(r, x.c0), OpenHidden, "a row of the cross-tab is hidden and was left out")
				continue
			}
			row := []grid.Cell{f.bare(v.At(x.r, c), x.overName, x.over), f.bare(v.At(r, x.c0), x.downName, x.down), v.At(r, c)}
			for i, at := range [...]string{g.Address(x.r, c), g.Address(r, x.c0), g.Address(r, c)} {
				row[i].Home = at
			}
			if raw {
				row = append(row, row[1])
				row[1] = grid.Cell{Home: row[1].Home}
			}
			if x.byName {
				row[0] = grid.Cell{Kind: grid.Textual, Text: DateText(row[0]), Home: row[0].Home}
			}
			if x.byHeat {
				row[0] = grid.Cell{Kind: grid.Textual, Text: x.degrees(f, v.At(x.r, c)), Home: row[0].Home}
			}
			out.Rows = append(out.Rows, row)
		}
	}
	what := "doses of " + strings.TrimSuffix(x.colName, " dose")
	if x.byName {
		what = "dates, each a series of its own"
	} else if col == "pH set" {
		what = "pH"
	} else if col == "rep" {
		what = "repeats"
	} else if isTime(ReadHeading(col)) {
		what = col
	} else if x.byHeat {
		what = "temperatures, each a series of its own"
	}
	say(note.Info, "cross-tab", g.Place(x.r, x.c0), "", "a cross-tab: %s down the side, %s along the top, %s in the cells", x.rowName, what, cmp.Or(x.reading, "turbidity"))
	return out, notes
}
