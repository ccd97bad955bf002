package clearing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/dosing/flow"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const (
	// mostSettings is how many values a column has at most that parts its rows into runs, fewestOfSetting how many rows each has at least.
	mostSettings, fewestOfSetting = 6, 2
	// fewestOfRun is how many rows a run has at least that is told by times that begin again: fewer are a slip.
	fewestOfRun = 3
)

// part is the run that a row is of: what it is called, by the column of runs and by its settings, and which of those that are called
// so it is, since times that begin again begin another.
type part struct {
	name string
	nth  int
}

// parted gives the run of each row of a block. Rows are parted by the column of runs, by every column that stays the same within a run and differs between runs, and
// where the times begin again. Times that go back and begin no run are a fault; what differs and is not understood names its run.
func (x *reader) parted(b block, at []quantity.Known[quantity.Time]) (rows []part, ok bool) {
	rows = make([]part, len(at))
	last := ""
	for n := range at {
		if b.run != nil {
			last = cmp.Or(layout.Text(x.v.At(b.row+1+n, b.run.at)), last)
		}
		rows[n].name = last
	}
	for _, c := range b.others {
		x.divide(b, c, at, rows)
	}
	x.resume(b, at, rows)
	ok = x.cut(b, at, rows)
	return rows, ok
}

// divide parts rows by what a column says of them.
func (x *reader) divide(b block, c column, at []quantity.Known[quantity.Time], rows []part) {
	t := toldOf(c)
	if t == nil && c.role == beside || t != nil && t.says == nil {
		return
	}
	said, values := x.saidBy(b, c, t, len(at))
	within := map[string]string{}
	varies := false
	for n, p := range rows {
		before, is := within[p.name]
		varies = varies || is && before != said[n]
		within[p.name] = said[n]
	}
	apart := values > 1 && values <= mostSettings
	switch {
	case !varies && (t != nil || c.role == running), t != nil && !apart: // it is a figure of each run
		return
	case t != nil && t.chosen, apart && (!varies || x.beginsWith(b, at, rows, said)):
	default:
		if c.role == noRole {
			x.Notes.Add(note.New(note.Info, "column-not-used", "the column %q is not used", c.text).At(x.v.PlaceAt(b.row, c.at)))
		}
		return
	}
	if varies {
		code, what := "runs-by-column", "values"
		if t != nil && (t.role == polymered || t.role == coagulated) {
			code, what = "runs-by-dose", "doses"
		}
		x.Notes.Add(note.New(note.Info, code, "%q has %d %s, and the rows of each are a run of their own", c.text, values, what).At(x.v.PlaceAt(b.row, c.at)))
	}
	for n := range rows {
		if said[n] != "" {
			rows[n].name = strings.TrimPrefix(rows[n].name+", "+said[n], ", ")
		}
	}
}

// saidBy is what a column says of each row, as a run is named by it, and how many values it has that are apart; none where it has too few rows of one. A row in which it says
// nothing goes with the row above it.
func (x *reader) saidBy(b block, c column, t *told, rows int) (out []string, values int) {
	count := map[string]int{}
	var numbers []float64
	last, enough := "", true
	for n := range rows {
		cell := x.v.At(b.row+1+n, c.at)
		v := layout.ParseValue(cell, x.dec)
		said := ""
		switch {
		case t == nil && !cell.Blank():
			said = layout.Text(cell)
			if v.State == layout.Number { // a number alone names nothing
				said = headed(c, said)
			}
		case t != nil:
			if value, number, ok := t.value(c, v, cell.Text); ok {
				said = t.says(value)
				if count[said] == 0 {
					numbers = append(numbers, number)
				}
			}
		}
		if last = cmp.Or(said, last); said != "" && x.reads(b, b.row+1+n) {
			count[said]++
		} else if said != "" && count[said] == 0 {
			count[said] = 0
		}
		out = append(out, last)
	}
	for _, n := range count {
		enough = enough && n >= fewestOfSetting
	}
	slices.Sort(numbers)
	for i := 1; i < len(numbers); i++ {
		enough = enough && numbers[i]-numbers[i-1] >= t.drifts*numbers[i]
	}
	if !enough {
		return out, 0
	}
	return out, len(count)
}

// headed is a number with what its column is called, "pressure 5 bar".
func headed(c column, number string) string {
	unit := unitOf(c.text)
	name := c.text
	if unit != "" {
		name = strings.NewReplacer("("+unit+")", "", "["+unit+"]", "", unit, "").Replace(name)
	}
	return strings.Join(strings.Fields(name+" "+number+" "+unit), " ")
}

// reads reports a row with something in a column of readings.
func (x *reader) reads(b block, r int) bool {
	return slices.ContainsFunc(slices.Concat(b.tanks, b.inlets, b.outlets), func(c column) bool { return c.at >= 0 && !x.v.At(r, c.at).Blank() })
}

// beginsWith reports a column whose values begin runs: the times of all rows stand still or go back, those of the rows of one value less often, and each begins with its first time.
func (x *reader) beginsWith(b block, at []quantity.Known[quantity.Time], rows []part, said []string) bool {
	type course struct {
		first, last quantity.Time
		back        int
	}
	before, after, begun := 0, 0, true
	all, own := map[[2]string]*course{}, map[[2]string]*course{}
	step := func(of map[[2]string]*course, key [2]string, t quantity.Time) *course {
		c := of[key]
		if c == nil {
			c = &course{first: t, last: t - 1}
			of[key] = c
		}
		if t <= c.last {
			c.back++
		}
		c.last = t
		return c
	}
	for n, t := range at {
		if t.OK {
			step(all, [2]string{rows[n].name}, t.V)
			begun = t.V >= step(own, [2]string{rows[n].name, said[n]}, t.V).first && begun
		}
	}
	for _, c := range all {
		before += c.back
	}
	for _, c := range own {
		after += c.back
	}
	return begun && after < before
}

const (
	// longPause is how many times the longest of all other pauses one is that parts two runs of one setting, and backUp the share of the reading at its start that the tank is back at then.
	// Judgement, no source.
	longPause = 2
	backUp    = 2.0 / 3
)

// resume parts rows of one setting that were run at different times, as with, without, without, with by their dates: other rows stand between, or the tank is back at about its first
// reading after the longest pause. It looks only at rows that settings set apart.
func (x *reader) resume(b block, at []quantity.Known[quantity.Time], rows []part) {
	if !slices.ContainsFunc(rows, func(p part) bool { return p.name != rows[0].name }) || len(b.tanks) == 0 {
		return
	}
	var read []int // rows with a time and a reading
	for n, t := range at {
		if v := layout.ParseValue(x.v.At(b.row+1+n, b.tanks[0].at), x.dec); t.OK && v.State == layout.Number {
			read = append(read, n)
		}
	}
	var stretches [][]int
	for i, n := range read {
		if i == 0 || rows[n].name != rows[read[i-1]].name {
			stretches = append(stretches, nil)
		}
		last := len(stretches) - 1
		stretches[last] = append(stretches[last], n)
	}
	if slices.ContainsFunc(stretches, func(s []int) bool { return len(s) < fewestOfRun }) { // rows of runs that lie among each other
		return
	}
	seen := map[string]int{}
	for _, s := range stretches {
		for _, run := range x.apart(b, at, s) {
			name := rows[run[0]].name
			seen[name]++
			if nth := seen[name]; nth > 1 {
				for n := run[0]; n < len(rows) && (n <= run[len(run)-1] || rows[n].name == name && !at[n].OK); n++ {
					rows[n].name = fmt.Sprintf("%s (%d)", name, nth)
				}
				x.Notes.Add(note.New(note.Info, "run-begins", "the rows from %q on are another run of the same setting", clockText(x.v.At(b.row+1+run[0], b.clock().at))).At(x.v.PlaceAt(b.row+1+run[0], b.clock().at)))
			}
		}
	}
}

// apart parts a stretch of rows where the tank is back at about its first reading after the longest pause of them.
func (x *reader) apart(b block, at []quantity.Known[quantity.Time], s []int) [][]int {
	read := func(i int) float64 { return layout.ParseValue(x.v.At(b.row+1+s[i], b.tanks[0].at), x.dec).Num }
	for i := fewestOfRun; i <= len(s)-fewestOfRun; i++ {
		pause, longest := at[s[i]].V-at[s[i-1]].V, quantity.Time(0)
		for k := 1; k < len(s); k++ {
			if k != i {
				longest = max(longest, at[s[k]].V-at[s[k-1]].V)
			}
		}
		if pause >= longPause*longest && read(i) >= backUp*read(0) && read(i-1) < backUp*backUp*read(0) {
			return append([][]int{s[:i]}, x.apart(b, at, s[i:])...)
		}
	}
	return [][]int{s}
}

// cut parts the rows of one name where their times begin again, and says of times that go back otherwise. Rows that all go back are written from the last to the first.
func (x *reader) cut(b block, at []quantity.Known[quantity.Time], rows []part) bool {
	of := map[string][]int{}
	var order []string
	for n, t := range at {
		if name := rows[n].name; t.OK {
			if of[name] == nil {
				order = append(order, name)
			}
			of[name] = append(of[name], n)
		}
	}
	for _, name := range order {
		list := of[name]
		if upward(at, list) {
			x.Notes.Add(note.New(note.Info, "latest-first", "the rows stand from the latest to the first, and are read from below").At(x.v.PlaceAt(b.row+1+list[0], b.clock().at)))
			continue
		}
		if !x.cutOne(b, at, rows, list) {
			return false
		}
	}
	return true
}

// upward reports rows whose times all go back.
func upward(at []quantity.Known[quantity.Time], list []int) bool {
	return len(list) >= fewestOfRun && at[list[0]].V > at[list[len(list)-1]].V &&
		slices.IsSortedFunc(list, func(i, j int) int { return cmp.Compare(at[j].V, at[i].V) })
}

// cutOne parts the rows of one name.
func (x *reader) cutOne(b block, at []quantity.Known[quantity.Time], rows []part, list []int) bool {
	first, since, nth := 0, 0, 0
	for k, n := range list {
		place := x.v.PlaceAt(b.row+1+n, b.clock().at)
		if k > 0 && at[n].V < at[list[k-1]].V {
			again := at[n].V <= at[list[first]].V
			if x.ofClock(b, at, list, k) {
				x.faults.Add(note.Fault("hours-of-what", "%q: the hours begin again on another day", b.clock().text).At(place).
					Do("write hours since the start, 24 and more on the second day, or clock times such as 06:30"))
				return false
			}
			if !again || k-since < fewestOfRun || goesOn(at, list[k:]) < fewestOfRun {
				x.faults.Add(note.Fault("time-back", "%q goes back behind %q of the row above", clockText(x.v.At(b.row+1+n, b.clock().at)), clockText(x.v.At(b.row+1+list[k-1], b.clock().at))).At(place).
					Do("correct it, or put the rows in the order of their times; another run begins again at its first time, with three readings or more"))
				return false
			}
			first, since, nth = k, k, nth+1
			x.Notes.Add(note.New(note.Info, "run-begins", "the times begin again at %q: another run", clockText(x.v.At(b.row+1+n, b.clock().at))).At(place))
		}
		rows[n].nth = nth
		x.nextDay(b, at, list, k)
	}
	for n := range rows { // a row without a time goes with the one above it
		if !at[n].OK && n > 0 && rows[n].name == rows[n-1].name {
			rows[n].nth = rows[n-1].nth
		}
	}
	return true
}

// goesOn is how many of the rows go on before the times go back again.
func goesOn(at []quantity.Known[quantity.Time], list []int) int {
	n := 1
	for n < len(list) && at[list[n]].V >= at[list[n-1]].V {
		n++
	}
	return n
}

// ofClock reports hours beside another day that may be those of a clock: none of them is beyond a day.
func (x *reader) ofClock(b block, at []quantity.Known[quantity.Time], list []int, k int) bool {
	if b.date == nil || b.time == nil {
		return false
	}
	day := func(k int) string {
		for ; k >= 0; k-- {
			if said := layout.Text(x.v.At(b.row+1+list[k], b.date.at)); said != "" {
				return said
			}
		}
		return ""
	}
	return day(k) != day(k-1) && !slices.ContainsFunc(list, func(n int) bool { return at[n].V >= 24 })
}

// longNight is how long after the row above a time of the next day stands at most before it is asked about. Judgement, no source.
const longNight = 12

// nextDay says of times of a clock that stand behind the row above and are counted as the next day.
func (x *reader) nextDay(b block, at []quantity.Known[quantity.Time], list []int, k int) {
	if k == 0 {
		return
	}
	cell, above := x.v.At(b.row+1+list[k], b.clock().at), x.v.At(b.row+1+list[k-1], b.clock().at)
	clocked := b.date == nil && (cell.Kind == grid.Numeric && cell.Clock() && !cell.Date() ||
		cell.Kind == grid.Textual && len(strings.TrimSpace(cell.Text)) <= len("12:59 p.m.") && (strings.Contains(cell.Text, ":") || flow.HourMarked(cell.Text)))
	t, before := at[list[k]].V, at[list[k-1]].V
	if !clocked || math.Mod(float64(t), 24) >= math.Mod(float64(before), 24) {
		return
	}
	n := note.New(note.Info, "next-day", "%q stands behind %q and is counted as the next day, %s later", clockText(cell), clockText(above), quantity.To(t-before, 3)).At(x.v.PlaceAt(b.row+1+list[k], b.clock().at))
	if t-before > longNight {
		n.Level, n.Code = note.Caution, "time-back"
		n = n.Do("look whether it was written right, or write the day beside it")
	}
	x.Notes.Add(n)
}

// clockText is a time as somebody reads it in its cell.
func clockText(v grid.Cell) string {
	if v.Kind == grid.Numeric && v.Clock() && !v.Date() {
		return flow.Clock(quantity.Wrapped(quantity.Time(v.Num*24), 24))
	}
	return layout.Text(v)
}
