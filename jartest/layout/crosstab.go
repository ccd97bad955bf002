package layout

import (
	"cmp"
	"math"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A cross-tab has doses down its left side and a second thing along its top: doses
// of another chemical, pH, dates or waters. It is rewritten as a long table whose
// cells remember where they stood, and then read like any other.

// Crosstab is a cross-tab found in a grid.
type Crosstab struct {
	r, c0, c1, last int // header row, label column, last column, last row
	top             int // first row of the headings above
	rowName         string
	colName         string
	overName        string // what every cell along the top says, "pH" of "pH 6.0"
	downName        string
	reading         string
	byName          bool // the top holds dates, not doses or pH
	sure            bool
	rowAt, colAt    note.Place
}

var (
	axisSign = words.NewPattern(`\s*(?:\\|/{1,2}|\||↓|→|⇒|⇓|×|\bvs\.?\b|\bby\b|\bx\b)\s*`)
	downSign = words.NewPattern(`([^↓→|\\]+)\s*[↓⇓]`)
	overSign = words.NewPattern(`([^↓→|\\]+)\s*[→⇒]`)
	downWord = words.NewPattern(`(?i)\b(?:rows?|down)\b\s*[:=]?\s*(?:are|is)?\s*([^,;:]+)`)
	overWord = words.NewPattern(`(?i)\b(?:columns?|across)\b\s*[:=]?\s*(?:are|is)?\s*([^,;:]+)`)
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

// axisUnits are the units that doses along the side of a cross-tab can have.
var axisUnits = map[words.Kind]bool{"": true, words.Conc: true, words.Volume: true, words.NoUnit: true}

// axisCell gives the number along an axis, and whether it is a date.
func (f *Finder) axisCell(x grid.Cell) (float64, bool, bool) {
	if x.Blank() || x.Hollow {
		return 0, false, false
	}
	v := ParseValue(x, f.dec)
	switch {
	case v.State == Dated && x.Kind == grid.Numeric:
		return x.Num, true, x.Date()
	case v.State == Dated:
		return 0, true, true
	case v.OK() && len(v.List) == 0 && v.SD == 0 && axisUnits[v.Unit.Kind]:
		return v.Num, false, true
	case v.State == Zero:
		return 0, false, true
	}
	return 0, false, false
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
	dose := h.DoseLike() && h.Unit.Kind == words.Conc && h.Rest == "" && !h.Stock
	return v.Num, name, v.OK() && (dose || isPH(h) && v.Num >= leastSet && v.Num <= mostSet)
}

// nameWithNumber is one number among words.
var nameWithNumber = words.NewPattern(`^(\D*?)(\d+(?:[.,]\d+)?)(\D*)$`)

const (
	leastSet, mostSet = 3.5, 12 // pH that a jar is set to
	mostSetStep       = 2       // between one and the next; minutes are further apart
)

// along gives the numbers of an axis from a cell on, in steps of (dr, dc), and the name
// that the cells carry. Dates do not mix with numbers, nor one name with another.
func (f *Finder) along(r, c, dr, dc int) (a axis, name string, dates bool) {
	for ; r < f.v.height() && c < f.v.breadth(); r, c = r+dr, c+dc {
		x := f.v.At(r, c)
		d := false
		n, own, ok := f.namedCell(x)
		if !ok {
			own = ""
			n, d, ok = f.axisCell(x)
		}
		if !ok || a.n > 0 && (d != dates || !SameText(own, name) && own != name) {
			break
		}
		name, dates = own, d
		a.add(n)
	}
	if isPH(f.heading(name)) && a.step > mostSetStep {
		return axis{}, "", false
	}
	return a, name, dates
}

// crosstabAt tries the cell (r, c) as the first cell of a top axis.
func (f *Finder) crosstabAt(r, c int) (Crosstab, bool) {
	corner := f.v.At(r, c-1)
	if corner.Kind != grid.Empty && corner.Kind != grid.Textual || f.DataLike(corner) {
		return Crosstab{}, false
	}
	over, overName, dates := f.along(r, c, 0, 1)
	if over.n < 2 || !dates && !over.ordered() {
		return Crosstab{}, false
	}
	down, downName, byDate := f.along(r+1, c-1, 1, 0)
	end := c + over.n - 1
	x := Crosstab{r: r, c0: c - 1, c1: end, byName: dates, last: r + down.n, overName: overName, downName: downName}
	body := 0
	for k := r + 1; k <= x.last; k++ {
		body += f.bodyCells(k, c, end)
	}
	if byDate || down.n < 2 || !down.ordered() || body*10 < 7*down.n*over.n {
		return x, false
	}
	if f.headsAbove(r-1, c, end) > 1 { // headings over several columns mean an ordinary table
		return x, false
	}
	return f.nameAxes(x)
}

// axis is a run of numbers along a side.
type axis struct {
	n              int
	last, step     float64 // step is the largest between neighbours
	falls, repeats bool
	rises          bool
}

func (a *axis) add(v float64) {
	if a.n > 0 {
		a.rises, a.falls, a.repeats = a.rises || v > a.last, a.falls || v < a.last, a.repeats || v == a.last
		a.step = max(a.step, math.Abs(v-a.last))
	}
	a.n, a.last = a.n+1, v
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
	corner := Text(f.v.At(x.r, x.c0))
	x.rowAt, x.colAt = f.v.PlaceAt(x.r, x.c0), f.v.PlaceAt(x.r, x.c0+1)
	x.top = x.r
	x.colName, x.rowName = x.overName, x.downName
	above, lines := f.textsAround(&x)
	f.fromCorner(&x, corner)
	f.nameOver(&x, above)
	f.nameDown(&x, []string{f.textLeft(x), corner}, lines)
	all := append(append([]string{corner}, above...), lines...)
	f.nameReading(&x, all)
	f.fromSentence(&x, all)
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
		if h := f.heading(s); x.colName == "" && (h.DoseLike() || h.Reading == jartest.PH || h.Date || h.Test) {
			x.colName = s
		}
	}
}

// nameDown finds the dose along the side, or the pH beside doses along the top: beside
// it or in the corner, else in a line of its own.
func (f *Finder) nameDown(x *Crosstab, beside, lines []string) {
	dosesOver := f.heading(x.colName).DoseLike()
	for _, s := range beside {
		h := f.heading(s)
		dose := h.DoseLike() || h.Unit.Kind == words.Conc && h.Reading == ""
		if s != "" && x.rowName == "" && (dose || dosesOver && h.Reading == jartest.PH) && s != x.colName {
			x.rowName = s
		}
	}
	for _, s := range lines {
		h := f.heading(s)
		dose := h.DoseLike() && h.Reading == ""
		if x.rowName == "" && (dose || dosesOver && isPH(h)) && !strings.ContainsAny(s, ",;:") {
			x.rowName = s
		}
	}
}

// isPH reports a heading that says pH and nothing more.
func isPH(h Heading) bool { return h.Reading == jartest.PH && h.Rest == "" && !h.Amount && !h.Number }

// nameReading finds what was read; a pH that names an axis is none.
func (f *Finder) nameReading(x *Crosstab, all []string) {
	for _, s := range all {
		for _, part := range splitAxes(s) {
			h := f.heading(part)
			axis := part == x.colName || part == x.rowName || h.Reading == jartest.PH && x.hasPH(f)
			if x.reading == "" && h.Reading != "" && !axis && !h.Raw && !h.Amount {
				x.reading = part
			}
		}
	}
}

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
	if h := f.heading(x.rowName); chem != "" && x.rowName != "" && h.Chem == "" && h.Metal == "" {
		x.rowName = chem + " " + x.rowName
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
		if inner := strings.Trim(corner[at:], "()[] "); f.heading(inner).Reading != "" && f.heading(inner).Reading != jartest.PH {
			x.reading, corner = inner, corner[:at]
		}
	}
	masked := strings.NewReplacer("mg/L", "mg∕L", "mg/l", "mg∕l", "g/L", "g∕L", "g/m3", "g∕m3", "µg/L", "µg∕L", "mL/L", "mL∕L").Replace(corner)
	parts := axisSign.Split(masked, -1)
	var named []string
	for _, p := range parts {
		p = strings.TrimSpace(strings.ReplaceAll(p, "∕", "/"))
		if h := f.heading(p); h.DoseLike() || h.Reading == jartest.PH {
			named = append(named, p)
		}
	}
	if len(named) == 2 {
		x.rowName, x.colName = named[0], named[1]
		u, w := f.heading(named[0]).Unit, f.heading(named[1]).Unit
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
		d, o := downWord.FindStringSubmatch(s), overWord.FindStringSubmatch(s)
		if d != nil && x.rowName == "" && f.heading(d[1]).DoseLike() {
			x.rowName = strings.TrimSpace(d[1])
		}
		if o != nil && x.colName == "" && (f.heading(o[1]).DoseLike() || f.heading(o[1]).Reading == jartest.PH) {
			x.colName = strings.TrimSpace(o[1])
		}
	}
}

// bare gives the number of a cell that carries the name of its axis.
func bare(x grid.Cell, name string) grid.Cell {
	if m := nameWithNumber.FindStringSubmatch(strings.TrimSpace(x.Text)); name != "" && m != nil {
		x.Text = m[2]
	}
	return x
}

// axisHeads gives the headings that the axes have in a long table: a pH was set.
func (x Crosstab) axisHeads() (col, row string) {
	set := func(name string) string {
		if ReadHeading(name).Reading == jartest.PH {
			return "pH set"
		}
		return name
	}
	return set(x.colName), set(x.rowName)
}

// Unfold rewrites a cross-tab as a long table, hidden rows and columns among it only
// if asked for, and says what it took it for.
func Unfold(g *Area, x Crosstab, hidden bool) (*Area, note.List) {
	var notes note.List
	say := func(l note.Level, code string, at note.Place, remedy, format string, args ...any) {
		n := note.New(l, code, format, args...).At(at)
		n.Remedy = remedy
		notes.Add(n)
	}
	v := View{Area: g}
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
	out.Rows = append(out.Rows, []grid.Cell{head(col, x.colAt), head(row, x.rowAt), head(reading, g.Place(x.r, x.c0))})
	for c := x.c0 + 1; c <= x.c1; c++ {
		if g.HiddenCol[c] && !hidden {
			say(note.Caution, "hidden-column", g.Place(x.r, c), "unhide it if it belongs to the test", "a column of the cross-tab is hidden and was left out")
			continue
		}
		for r := x.r + 1; r <= x.last; r++ {
			if g.HiddenRow[r] && !hidden {
				say(note.Caution, "hidden-jar", g.Place(r, x.c0), "unhide it if it belongs to the test", "a row of the cross-tab is hidden and was left out")
				continue
			}
			row := []grid.Cell{bare(v.At(x.r, c), x.overName), bare(v.At(r, x.c0), x.downName), v.At(r, c)}
			for i, at := range [...]string{g.Address(x.r, c), g.Address(r, x.c0), g.Address(r, c)} {
				row[i].Home = at
			}
			if x.byName {
				row[0] = grid.Cell{Kind: grid.Textual, Text: DateText(row[0]), Home: row[0].Home}
			}
			out.Rows = append(out.Rows, row)
		}
	}
	what := "doses of " + x.colName
	if x.byName {
		what = "dates, each a series of its own"
	} else if col == "pH set" {
		what = "pH"
	} else if col == "rep" {
		what = "repeats"
	}
	say(note.Info, "cross-tab", g.Place(x.r, x.c0), "", "a cross-tab: %s down the side, %s along the top, %s in the cells", x.rowName, what, cmp.Or(x.reading, "turbidity"))
	return out, notes
}
