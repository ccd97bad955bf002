package templates

import (
	"strings"

	"jarwright/jartest/note"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// Answer is what the reader came for: the first thing on every form. It takes the
// place of a report's title.
type Answer struct {
	// Title names the form: "Lowest dose that works".
	Title string
	// Place is the site or the water, When the day or days for which it holds.
	Place, When string
	// Numbers come large, one under the other.
	Numbers []Number
	// Sure says in one line how sure the first number is.
	Sure string
	// Chances are how often doses meet the target, the surest first.
	Chances []Chance
	// Order is the one thing to do, Detail what goes with it.
	Order, Detail string
	// Stops stand against doing it, directly under the answer.
	Stops note.List
}

// Number is one figure that a form shows large.
type Number struct {
	// For says what it is: "Planning dose of alum for turbidity of 5 NTU at most".
	For string
	// Value is the figure; where there is none, Words stand in its size: "No dose".
	Value figure.Figure
	Words string
	// Under stands below: a basis, or what a setting gives.
	Under string
	// Beside are figures to read with it.
	Beside []Fact
	// Ruler tells the number for other figures, on paper; it may be absent.
	Ruler *page.Ruler
}

// Chance is how often a dose meets the target.
type Chance struct {
	Dose figure.Figure
	// Of is the share of the times that it does.
	Of figure.Figure
}

// heading is the title with its place, for documents that have one line for it.
func (a Answer) heading() string { return joined(": ", a.Title, a.Place) }

// said is the number with its unit, or the words in its place.
func (n Number) said(o Options) string {
	if n.Words != "" {
		return n.Words
	}
	return o.Show(n.Value.NoBasis())
}

// counts reports a number under which stands only what it counts, which reads on from it.
func (n Number) counts() bool {
	return strings.HasPrefix(n.Under, "as ") || strings.HasPrefix(n.Under, "(")
}

// whole is the number with what stands under it, in one line.
func (n Number) whole(o Options) string {
	return joined(either(n.counts(), " ", ", "), n.said(o), n.Under)
}

// Answer starts a report with its answer, or a part of it that has one of its own.
func (t *Text) Answer(a Answer) {
	if t.keep(Block{Kind: AnswerBlock, Answer: a}) {
		return
	}
	if t.begun {
		t.line("")
	}
	t.apart(t.paint("1", a.Title), columns(a.Title), a.Place)
	t.line(strings.Repeat(either(t.opt.Blocks, "━", "="), t.width))
	switch {
	case len(a.Numbers) == 1 || t.opt.Blocks && len(a.Numbers) <= mostLarge:
		for i, n := range a.Numbers {
			t.apart(n.For, columns(Visible(n.For)), either(i == 0, a.When, ""))
			t.line("")
			t.large(n)
			t.line("")
		}
	default:
		t.apart("", 0, a.When)
		t.numbers(a.Numbers)
	}
	if a.Sure != "" {
		t.Para(a.Sure)
	}
	if a.Order != "" {
		t.item(t.paint("1", ">"), 1, strings.TrimSpace(a.Order+" "+a.Detail))
	}
	t.Notes(a.Stops)
	switch {
	case len(a.Numbers) == 1 && len(a.Numbers[0].Beside) > 0:
		t.gap = true
		t.Facts(a.Numbers[0].Beside)
	case t.opt.Blocks && len(a.Numbers) > 1 && len(a.Numbers) <= mostLarge:
		t.gap = true
		t.beside(a.Numbers)
	}
	t.gap = true
}

// mostLarge is how many numbers stand one under the other in large digits; more come as a table.
const mostLarge = 3

// large writes a number by itself: in digits of three lines where the terminal has the
// characters for them, with its unit and what goes with it on the last.
func (t *Text) large(n Number) {
	said := Visible(n.said(t.opt))
	rows, ok := blockDigits(said)
	const pad = "   "
	beside := either(n.counts(), " "+n.Under, "")
	if !t.opt.Blocks || n.Words != "" || !ok || columns(pad+rows[0]+Visible(beside)) > t.width {
		rows = [3]string{"", "", said}
	}
	rows[2] += Visible(beside)
	for i, r := range rows {
		if r != "" {
			t.lines(either(rows[0] == "", Wrap(r, t.width), []string{pad + rows[i]})...)
		}
	}
	if beside == "" && n.Under != "" {
		t.lines(Wrap(Visible(n.Under), t.width)...)
	}
}

// digitBlocks are digits of half blocks, four columns wide; what is no digit stands on the last line as it is.
var digitBlocks = map[rune][3]string{
	'0': {"█▀▀█", "█  █", "█▄▄█"}, '1': {" ▄█ ", "  █ ", " ▄█▄"}, '2': {"▀▀▀█", "█▀▀▀", "█▄▄▄"}, '3': {"▀▀▀█", " ▀▀█", "▄▄▄█"},
	'4': {"█  █", "▀▀▀█", "   █"}, '5': {"█▀▀▀", "▀▀▀█", "▄▄▄█"}, '6': {"█▀▀▀", "█▀▀█", "█▄▄█"}, '7': {"▀▀▀█", "   █", "   █"},
	'8': {"█▀▀█", "█▀▀█", "█▄▄█"}, '9': {"█▀▀█", "▀▀▀█", "▄▄▄█"}, '.': {" ", " ", "▄"}, ',': {" ", " ", "▟"},
}

// blockDigits writes a number with its unit in such digits; false where it has none.
func blockDigits(s string) (rows [3]string, any bool) {
	large := true // until the unit begins, whose own digits (m3) stay small
	for i, r := range s {
		block, digit := digitBlocks[r]
		switch {
		case r == ' ':
			large = i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9'
		case !digit:
			large = false
		}
		if !digit || !large {
			block = [3]string{strings.Repeat(" ", columns(string(r))), strings.Repeat(" ", columns(string(r))), string(r)}
		}
		for k := range rows {
			rows[k] += either(i > 0 && digit && large, " ", "") + block[k]
		}
		any = any || digit && large
	}
	return rows, any
}

// beside writes what is to be read with each of several numbers.
func (t *Text) beside(list []Number) {
	heads, rows := besideTable(list, 1)
	for i, n := range list {
		rows[i][0] = n.For
	}
	if len(heads) > 1 {
		t.Grid(heads, rows)
	}
}

// besideTable is the columns of what goes with several numbers, after so many of their own.
func besideTable(list []Number, own int) (heads []Col, rows [][]any) {
	heads, at := make([]Col, own), map[string]int{}
	for _, n := range list {
		for _, f := range n.Beside {
			if at[f.Label] == 0 {
				at[f.Label] = len(heads)
				heads = append(heads, Col{Head: f.Label})
			}
		}
	}
	for _, n := range list {
		row := make([]any, len(heads))
		for i := range row {
			row[i] = ""
		}
		for _, f := range n.Beside {
			row[at[f.Label]] = f.Value
		}
		rows = append(rows, row)
	}
	return heads, rows
}

// numbers writes several numbers as a table: what each is of, the number, what goes with it.
func (t *Text) numbers(list []Number) {
	heads, rows := besideTable(list, 2)
	of, wide := 0, 0
	for i, n := range list {
		rows[i][0], rows[i][1] = n.For, n.whole(t.opt)
		of, wide = max(of, columns(n.For)), max(wide, columns(Visible(n.whole(t.opt))))
	}
	heads[1].Right = of+2+wide <= t.width // else it gives way, not what the number is of
	t.Grid(heads, rows)
	t.gap = true
}

// apart writes words at both ends of a line, or under each other where it is too short for both.
func (t *Text) apart(left string, wide int, right string) {
	right = Visible(right)
	if gap := t.width - wide - columns(right); right != "" && left != "" && gap >= 2 {
		t.line(left + strings.Repeat(" ", gap) + right)
		return
	}
	if left != "" {
		t.lines(Wrap(left, t.width)...)
	}
	if right != "" {
		t.lines(Wrap(right, t.width)...)
	}
}
