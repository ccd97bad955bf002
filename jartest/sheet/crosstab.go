package sheet

import (
	"regexp"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A cross-tab has doses down its left side and a second thing along its top: doses
// of another chemical, pH, dates or waters. It is rewritten as a long table whose
// cells remember where they stood, and then read like any other.

// crosstab is a cross-tab found in a grid.
type crosstab struct {
	r, c0, c1, last int // header row, label column, last column, last row
	top             int // first row of the headings above
	rowName         string
	colName         string
	reading         string
	byName          bool // the top holds dates, not doses or pH
	sure            bool
	rowAt, colAt    note.Place
}

var (
	axisSign = regexp.MustCompile(`\s*(?:\\|/{1,2}|\||↓|→|⇒|⇓|×|\bvs\.?\b|\bby\b|\bx\b)\s*`)
	downSign = regexp.MustCompile(`([^↓→|\\]+)\s*[↓⇓]`)
	overSign = regexp.MustCompile(`([^↓→|\\]+)\s*[→⇒]`)
	downWord = regexp.MustCompile(`(?i)\b(?:rows?|down)\b\s*[:=]?\s*(?:are|is)?\s*([^,;:]+)`)
	overWord = regexp.MustCompile(`(?i)\b(?:columns?|across)\b\s*[:=]?\s*(?:are|is)?\s*([^,;:]+)`)
)

// crosstabs finds the cross-tabs of a grid.
func (f *finder) crosstabs() []crosstab {
	var out []crosstab
	height, breadth := f.v.height(), f.v.breadth()
	if height > 2000 {
		height = 2000
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
func (f *finder) axisCell(x cell) (float64, bool, bool) {
	if x.Blank() || x.Hollow {
		return 0, false, false
	}
	v := parseValue(x, f.dec)
	switch {
	case v.state == vDate && x.Kind == numeric:
		return x.Num, true, x.Date()
	case v.state == vDate:
		return 0, true, true
	case v.ok() && len(v.list) == 0 && v.sd == 0 && axisUnits[v.unit.Kind]:
		return v.num, false, true
	case v.state == vZero:
		return 0, false, true
	}
	return 0, false, false
}

// crosstabAt tries the cell (r, c) as the first cell of a top axis.
func (f *finder) crosstabAt(r, c int) (crosstab, bool) {
	corner := f.v.at(r, c-1)
	if corner.Kind != empty && corner.Kind != textual || f.dataLike(corner) {
		return crosstab{}, false
	}
	_, dates, ok := f.axisCell(f.v.at(r, c))
	if !ok {
		return crosstab{}, false
	}
	var over, down axis
	end := c
	for k := c; k < f.v.breadth(); k++ {
		n, d, ok := f.axisCell(f.v.at(r, k))
		if !ok || d != dates {
			break
		}
		over.add(n)
		end = k
	}
	if over.n < 2 || !dates && !over.ordered() {
		return crosstab{}, false
	}
	x := crosstab{r: r, c0: c - 1, c1: end, byName: dates, last: r}
	body := 0
	for k := r + 1; k < f.v.height(); k++ {
		v, d, ok := f.axisCell(f.v.at(k, c-1))
		if !ok || d {
			break
		}
		down.add(v)
		x.last = k
		body += f.bodyCells(k, c, end)
	}
	if down.n < 2 || !down.ordered() || body*10 < 7*down.n*(end-c+1) {
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
	last           float64
	falls, repeats bool
	rises          bool
}

func (a *axis) add(v float64) {
	if a.n > 0 {
		a.rises, a.falls, a.repeats = a.rises || v > a.last, a.falls || v < a.last, a.repeats || v == a.last
	}
	a.n, a.last = a.n+1, v
}

// ordered reports numbers that only rise or only fall.
func (a axis) ordered() bool { return !a.repeats && !(a.rises && a.falls) }

// bodyCells counts the cells of a row that hold data or say that there are none.
func (f *finder) bodyCells(r, c0, c1 int) int {
	n := 0
	for c := c0; c <= c1; c++ {
		x := f.v.at(r, c)
		if f.dataLike(x) || !x.Blank() && parseValue(x, f.dec).state == vMissing {
			n++
		}
	}
	return n
}

func (f *finder) headsAbove(r, c0, c1 int) int {
	n := 0
	for c := c0; c <= c1; c++ {
		if x := f.v.at(r, c); x.Kind == textual {
			n++
		}
	}
	return n
}

// nameAxes finds out what stands along each side and what was read.
func (f *finder) nameAxes(x crosstab) (crosstab, bool) {
	corner := text(f.v.at(x.r, x.c0))
	x.rowAt, x.colAt = f.v.placeAt(x.r, x.c0), f.v.placeAt(x.r, x.c0+1)
	x.top = x.r
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
func (f *finder) textsAround(x *crosstab) (above, lines []string) {
	for r := x.r - 1; r >= 0 && r >= x.r-3; r-- {
		blank := true
		for c := max(0, x.c0-1); c <= x.c1; c++ {
			s := text(f.v.at(r, c))
			if s == "" || f.v.at(r, c).Kind != textual {
				continue
			}
			blank = false
			h := f.heading(s)
			if c <= x.c0 {
				lines = append(lines, s)
				if h.core() {
					x.top = r
				}
				continue
			}
			above = append(above, s)
			x.top = r
			if h.doseLike() || h.reading == jartest.PH {
				x.colAt = f.v.placeAt(r, c)
			}
		}
		if blank && len(above)+len(lines) > 0 {
			break
		}
	}
	for r := x.last + 1; r <= x.last+3; r++ {
		if s := text(f.v.at(r, x.c0)); f.heading(s).reading != "" && f.v.at(r, x.c0+1).Blank() {
			lines = append(lines, s)
		}
	}
	return above, lines
}

// textLeft gives the first text left of the labels.
func (f *finder) textLeft(x crosstab) string {
	for r := x.r; x.c0 > 0 && r <= x.last; r++ {
		if c := f.v.at(r, x.c0-1); c.Kind == textual && text(c) != "" {
			return text(c)
		}
	}
	return ""
}

// nameOver finds what the top axis holds in the texts above it.
func (f *finder) nameOver(x *crosstab, above []string) {
	for _, s := range above {
		if h := f.heading(s); x.colName == "" && (h.doseLike() || h.reading == jartest.PH || h.date || h.test) {
			x.colName = s
		}
	}
}

// nameDown finds the dose along the side: beside it or in the corner, else in a line
// of its own.
func (f *finder) nameDown(x *crosstab, beside, lines []string) {
	for _, s := range beside {
		if h := f.heading(s); s != "" && x.rowName == "" && (h.doseLike() || h.unit.Kind == words.Conc && h.reading == "") && s != x.colName {
			x.rowName = s
		}
	}
	for _, s := range lines {
		if h := f.heading(s); x.rowName == "" && h.doseLike() && h.reading == "" && !strings.ContainsAny(s, ",;:") {
			x.rowName = s
		}
	}
}

// nameReading finds what was read; a pH that names an axis is none.
func (f *finder) nameReading(x *crosstab, all []string) {
	for _, s := range all {
		for _, part := range splitAxes(s) {
			h := f.heading(part)
			axis := part == x.colName || part == x.rowName || h.reading == jartest.PH && strings.Contains(x.colName, part)
			if x.reading == "" && h.reading != "" && !axis {
				x.reading = part
			}
		}
	}
}

// fromTitle takes the chemical of the doses, and the unit of the reading, from the
// headings where the axes do not give them: "Settled turbidity, NTU, alum".
func (f *finder) fromTitle(x *crosstab, lines []string) {
	chem := ""
	for _, s := range lines {
		if c := f.heading(s).chem; c != "" && c != f.heading(x.colName).chem {
			if chem != "" && chem != c {
				return
			}
			chem = c
		}
		for _, part := range splitAxes(s) {
			u, ok := words.OnlyUnit(part)
			if ok && x.reading != "" && !f.heading(x.reading).unit.Known() && keyOfUnit(u) == f.heading(x.reading).reading {
				x.reading += " (" + u.Name + ")"
			}
		}
	}
	if h := f.heading(x.rowName); chem != "" && x.rowName != "" && h.chem == "" && h.metal == "" {
		x.rowName = chem + " " + x.rowName
	}
}

// counting reports a top axis of 1, 2, 3 …, which numbers repeats.
func (f *finder) counting(x crosstab) bool {
	for c := x.c0 + 1; c <= x.c1; c++ {
		v := parseValue(f.v.at(x.r, c), f.dec)
		if !v.ok() || v.num != float64(c-x.c0) {
			return false
		}
	}
	return true
}

func splitAxes(s string) []string {
	return regexp.MustCompile(`[;,]| - | – |: |\n`).Split(s, -1)
}

// fromCorner reads "alum \ polymer", "alum (mg/L) ↓ polymer (mg/L) →".
func (f *finder) fromCorner(x *crosstab, corner string) {
	if corner == "" {
		return
	}
	if d, o := downSign.FindStringSubmatch(corner), overSign.FindStringSubmatch(corner); d != nil && o != nil {
		x.rowName, x.colName = strings.TrimSpace(d[1]), strings.TrimSpace(o[1])
		return
	}
	masked := strings.NewReplacer("mg/L", "mg∕L", "mg/l", "mg∕l", "g/L", "g∕L", "g/m3", "g∕m3", "µg/L", "µg∕L", "mL/L", "mL∕L").Replace(corner)
	parts := axisSign.Split(masked, -1)
	var named []string
	for _, p := range parts {
		p = strings.TrimSpace(strings.ReplaceAll(p, "∕", "/"))
		if h := f.heading(p); h.doseLike() || h.reading == jartest.PH {
			named = append(named, p)
		}
	}
	if len(named) == 2 {
		x.rowName, x.colName = named[0], named[1]
		u, w := f.heading(named[0]).unit, f.heading(named[1]).unit
		if w.Known() && !u.Known() {
			x.rowName += " " + w.Name // "alum / polymer, mg/L"
		}
		if u.Known() && !w.Known() && f.heading(named[1]).reading == "" {
			x.colName += " " + u.Name
		}
	}
}

// fromSentence reads "rows alum mg/L, columns polymer mg/L".
func (f *finder) fromSentence(x *crosstab, lines []string) {
	for _, s := range lines {
		d, o := downWord.FindStringSubmatch(s), overWord.FindStringSubmatch(s)
		if d != nil && x.rowName == "" && f.heading(d[1]).doseLike() {
			x.rowName = strings.TrimSpace(d[1])
		}
		if o != nil && x.colName == "" && (f.heading(o[1]).doseLike() || f.heading(o[1]).reading == jartest.PH) {
			x.colName = strings.TrimSpace(o[1])
		}
	}
}

// unfold rewrites a cross-tab as a long table.
func (b *bench) unfold(g *area, x crosstab) *area {
	v := view{area: g}
	col := x.colName
	if readHeading(col).reading == jartest.PH {
		col = "pH set"
	}
	reading := x.reading
	if reading == "" {
		reading = "turbidity"
		b.say(note.Caution, "reading-assumed", g.Place(x.r, x.c0), "the cross-tab does not say what was read; turbidity in NTU is assumed").do(b, `write "Turbidity (NTU)" above it`)
		reading = "turbidity (NTU)"
	}
	head := func(s string, at note.Place) cell { return cell{Kind: textual, Text: s, Home: at.Cell} }
	out := &area{Sheet: rewritten(g), origin: g}
	out.box = span{R0: x.top, C0: x.c0, R1: x.last, C1: x.c1}
	out.Rows = append(out.Rows, []cell{head(col, x.colAt), head(x.rowName, x.rowAt), head(reading, g.Place(x.r, x.c0))})
	for c := x.c0 + 1; c <= x.c1; c++ {
		if g.HiddenCol[c] && !b.opt.Hidden {
			b.say(note.Caution, "hidden-column", g.Place(x.r, c), "a column of the cross-tab is hidden and was left out").do(b, "unhide it if it belongs to the test")
			continue
		}
		for r := x.r + 1; r <= x.last; r++ {
			if g.HiddenRow[r] && !b.opt.Hidden {
				b.say(note.Caution, "hidden-jar", g.Place(r, x.c0), "a row of the cross-tab is hidden and was left out").do(b, "unhide it if it belongs to the test")
				continue
			}
			row := []cell{v.at(x.r, c), v.at(r, x.c0), v.at(r, c)}
			for i, at := range [...]string{g.Address(x.r, c), g.Address(r, x.c0), g.Address(r, c)} {
				row[i].Home = at
			}
			if x.byName {
				row[0] = cell{Kind: textual, Text: dateText(row[0]), Home: row[0].Home}
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
	b.say(note.Info, "cross-tab", g.Place(x.r, x.c0), "a cross-tab: %s down the side, %s along the top, %s in the cells", x.rowName, what, orWord(x.reading, "turbidity"))
	return out
}
