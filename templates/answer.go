package templates

import (
	"strings"

	"jarwright/jartest/note"
	"jarwright/templates/figure"
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

// Answer starts a report with its answer.
func (t *Text) Answer(a Answer) {
	if t.keep(Block{Kind: AnswerBlock, Answer: a}) {
		return
	}
	if t.begun {
		t.line("")
	}
	t.apart(t.paint("1", a.Title), columns(a.Title), a.Place)
	t.line(strings.Repeat("=", t.width))
	if len(a.Numbers) == 1 {
		n := a.Numbers[0]
		t.apart(n.For, columns(n.For), a.When)
		t.line("")
		t.lines(Wrap(Visible(strings.TrimSpace(n.said(t.opt)+" "+n.Under)), t.width)...)
		t.line("")
	} else {
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
	if len(a.Numbers) == 1 && len(a.Numbers[0].Beside) > 0 {
		t.Facts(a.Numbers[0].Beside)
	}
}

// numbers writes several numbers as a table: what each is of, the number, what goes with it.
func (t *Text) numbers(list []Number) {
	heads, at := cols("", ">"), map[string]int{}
	for _, n := range list {
		for _, f := range n.Beside {
			if at[f.Label] == 0 {
				at[f.Label] = len(heads)
				heads = append(heads, Col{Head: f.Label})
			}
		}
	}
	var rows [][]any
	for _, n := range list {
		row := make([]any, len(heads))
		for i := range row {
			row[i] = ""
		}
		row[0], row[1] = n.For, strings.TrimSpace(n.said(t.opt)+" "+n.Under)
		for _, f := range n.Beside {
			row[at[f.Label]] = f.Value
		}
		rows = append(rows, row)
	}
	t.Grid(heads, rows)
	t.line("")
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
