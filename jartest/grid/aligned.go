package grid

import (
	"bytes"
	"cmp"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
)

// In text of fixed width a cell belongs to the column over whose characters it stands,
// whatever else its line leaves empty. The columns of a stretch of lines are found by
// trial: the lines with equally many cells say where columns could be, and the columns
// into which the most cells of all lines fall, each into one of its own, are taken.

// stretch is where something stands in a line, in characters; a tab goes on to the next
// eighth.
type stretch struct{ from, to int }

// gapTo counts the characters between two stretches; it is below zero where they overlap.
func (s stretch) gapTo(o stretch) int { return max(s.from-o.to, o.from-s.to) + 1 }

// piece is a cell of a line with its stretch.
type piece struct {
	stretch
	text string
}

// pieces cuts a line at its gaps, as far as a row may go and one beyond.
func pieces(line string, gap *regexp.Regexp) []piece {
	var out []piece
	col, at := 0, 0
	advance := func(to int) int {
		for _, r := range line[at:to] {
			if col++; r == '\t' {
				col = (col + 7) / 8 * 8
			}
		}
		at = to
		return col
	}
	from := len(line) - len(strings.TrimLeft(line, " \t"))
	for _, g := range append(gap.FindAllStringIndex(line, columnNumber.Most()), []int{len(line), len(line)}) {
		if g[0] > from {
			out = append(out, piece{stretch{advance(from), advance(g[0])}, line[from:g[0]]})
		}
		from = max(from, g[1])
	}
	return out
}

// columns are the stretches of the columns of a table, from left to right.
type columns []stretch

// placed says how the pieces of a line lie in the columns.
type placed struct {
	at     []int  // the column of each piece, from left to right
	single int    // pieces over one column alone, or touching it
	across int    // pieces over two columns or more
	torn   *piece // the first that stands over two columns, or between two
	twice  bool   // a column has two pieces
	inward bool   // nothing stands over the first column
}

// place gives the column of each piece of a line. Without columns there is none.
func (cs columns) place(line []piece) placed {
	if len(cs) == 0 || len(line) == 0 {
		return placed{}
	}
	p := placed{inward: line[0].from >= cs[0].to}
	for i := range line {
		c, near, second := cs.under(line[i].stretch)
		switch {
		case second <= 0:
			p.across++
			p.torn = cmp.Or(p.torn, &line[i])
		case near > 0 && second <= near+1: // a near tie
			p.torn = cmp.Or(p.torn, &line[i])
		case near <= 1:
			p.single++
		}
		if i > 0 {
			c = max(c, p.at[i-1])
			p.twice = p.twice || c == p.at[i-1]
		}
		p.at = append(p.at, c)
	}
	return p
}

// whole reports a line each of whose pieces has a column to itself.
func (p placed) whole() bool { return len(p.at) > 0 && p.torn == nil && !p.twice }

// ofTable reports a line of the table: its pieces stand in several columns, and few
// across them; or it begins inside the table as a row of units or of groups does.
func (p placed) ofTable() bool {
	if p.whole() || len(p.at) < 2 {
		return p.whole()
	}
	several := p.at[len(p.at)-1] > p.at[0]
	return several && (p.across == 0 || p.single > 1 && p.single*2 >= len(p.at)) || p.inward && !p.twice
}

// under gives the column over which something stands, or the nearest, with how far off
// it and the next nearest are.
func (cs columns) under(s stretch) (c, near, second int) {
	right, _ := slices.BinarySearchFunc(cs, s.from, func(c stretch, from int) int { return cmp.Compare(c.to, from+1) })
	near, second = math.MaxInt, math.MaxInt
	for k := max(right-2, 0); k < min(right+2, len(cs)); k++ {
		switch gap := cs[k].gapTo(s); {
		case gap < near:
			c, near, second = k, gap, near
		case gap < second:
			second = gap
		}
	}
	return c, near, second
}

// row makes the cells of a line: those of a table in their columns, two in one column
// joined, those of other lines in their order. The piece that it gives could stand in
// another column as well.
func (cs columns) row(line string, gap *regexp.Regexp) (row []Cell, torn *piece) {
	ps := pieces(line, gap)
	p := cs.place(ps)
	if full := p.torn != nil && len(ps) == len(cs); full || !p.ofTable() {
		for _, f := range gap.Split(strings.TrimLeft(line, " "), columnNumber.Most()+1) {
			row = append(row, textCell(f))
		}
		return row, nil
	}
	texts := make([]string, p.at[len(p.at)-1]+1)
	for i, c := range p.at {
		texts[c] = strings.TrimSpace(texts[c] + "  " + ps[i].text)
	}
	for _, t := range texts {
		row = append(row, textCell(t))
	}
	if p.single == 0 { // a heading over several columns
		return row, nil
	}
	return row, p.torn
}

// fit counts the pieces and the lines that fall into columns.
func (cs columns) fit(lines [][]piece) (n, whole int) {
	for _, l := range lines {
		if cs.place(l).whole() {
			n, whole = n+len(l), whole+1
		}
	}
	return n, whole
}

// mostTrials bounds the lines from which columns are grown.
const mostTrials = 12

// columnsOf finds the columns of some lines, with how many pieces and lines fall into
// them: those grown from one line that the most pieces fit. For each number of pieces
// the first line and the last are tried.
func columnsOf(lines [][]piece) (best columns, n, whole int) {
	byCount := map[int][]int{}
	for i, l := range lines {
		byCount[len(l)] = append(byCount[len(l)], i)
	}
	var seeds []int
	for _, count := range slices.SortedFunc(maps.Keys(byCount), func(a, b int) int {
		return cmp.Or(cmp.Compare(len(byCount[b])*b, len(byCount[a])*a), b-a)
	}) {
		is := byCount[count]
		seeds = append(seeds, is[0], is[len(is)-1])
	}
	for _, i := range seeds[:min(len(seeds), mostTrials)] {
		cs := grown(lines[i], lines)
		if k, w := cs.fit(lines); k > n || k == n && len(cs) > len(best) {
			best, n, whole = cs, k, w
		}
	}
	return best, n, whole
}

// grown widens the pieces of a line to the columns of all lines that fit them.
func grown(seed []piece, lines [][]piece) columns {
	cs := make(columns, len(seed))
	for i, p := range seed {
		cs[i] = p.stretch
	}
	for _, l := range lines {
		at := cs.place(l)
		if !at.whole() {
			continue
		}
		wider := slices.Clone(cs)
		for i, c := range at.at {
			wider[c] = stretch{min(cs[c].from, l[i].from), max(cs[c].to, l[i].to)}
		}
		if wider.apart() {
			cs = wider
		}
	}
	return cs
}

// apart reports columns with a gap between each two.
func (cs columns) apart() bool {
	for i := 1; i < len(cs); i++ {
		if cs[i-1].to >= cs[i].from {
			return false
		}
	}
	return true
}

// trialLines is how many lines of a table are looked at to find its columns.
const trialLines = 60

// area is some lines that share their columns.
type area struct {
	from    int       // line
	lines   [][]piece // the first of them
	columns columns
	fitting int // pieces
	whole   int // lines
}

// take tries to add lines to the area: none of them, and none of those it has, may
// fall out of the columns for it.
func (a *area) take(lines [][]piece) bool {
	cs, n, whole := columnsOf(lines)
	if len(a.lines) >= trialLines {
		k, _ := a.columns.fit(lines)
		return k >= n
	}
	all := slices.Concat(a.lines, lines)
	if len(a.lines) > 0 {
		had := a.fitting + n
		if cs, n, whole = columnsOf(all); n < had {
			return false
		}
	}
	a.columns, a.fitting, a.whole, a.lines = cs, n, whole, all
	return true
}

// areas finds the areas of a text; lines that only rule off others part none. One of
// which fewer than half of the lines are whole has no columns.
func areas(lines [][]byte, gap *regexp.Regexp) []area {
	all := []area{{}}
	for i := 0; i < len(lines); i++ {
		from := i
		var block [][]piece
		for ; i < len(lines) && len(bytes.TrimSpace(lines[i])) > 0; i++ {
			if len(block) < trialLines && !dashed(lines[i]) {
				block = append(block, pieces(string(lines[i]), gap))
			}
		}
		if len(block) > 0 && !all[len(all)-1].take(block) {
			all = append(all, area{from: from})
			all[len(all)-1].take(block)
		}
	}
	for i, a := range all {
		if a.whole*2 < len(a.lines) {
			all[i].columns = nil
		}
	}
	return all
}

// evenness is the share of lines each of whose pieces has a column to itself, of the
// first lines of each table.
func (t *Text) evenness(gap *regexp.Regexp) float64 {
	whole, n := 0, 0
	for _, a := range areas(t.firstLines(trialRows), gap) {
		whole, n = whole+a.whole, n+len(a.lines)
	}
	return float64(whole) / float64(max(n, 1))
}

func (t *Text) firstLines(most int) [][]byte {
	var out [][]byte
	for text := range bytes.Lines(t.data) {
		if len(out) >= most {
			break
		}
		out = append(out, bytes.TrimRight(text, " \t\r\n"))
	}
	return out
}

// mostTorn bounds the cells of which it is said that their column is not certain.
const mostTorn = 10

// A table is close where only single blanks part some of its columns: nearly all lines
// are even so, and clearly more than by wide gaps.
const (
	evenEnough  = 0.8
	clearlyMore = 0.2
)

func (t *Text) close() bool {
	even := t.evenness(anyBlank)
	return even >= evenEnough && even-t.evenness(wideGap) >= clearlyMore
}
