// Package formula holds rules that the program works out and a spreadsheet can
// work out again. A rule is written once, as text such as "max(0, full - wanted)",
// and read into a tree; a Sheet works the tree out, and whoever writes a workbook
// prints the same tree with the addresses of its cells.
//
// A table of rules has single cells and columns with a row for each day. Names
// stand for them; a column's name means its cell on the same row. Values are
// numbers; a condition is 1 or 0, "none" is no number (an empty text in a
// spreadsheet) and "slack" is Slack. Operators are + - * / and < <= > >= =; the functions are
//
//	if(c, x, y)      x where c is not 0, else y
//	and(…) or(…)     of conditions
//	max(…) min(…)    of numbers
//	ceil(x) floor(x) the whole number above and below, but for Slack
//	known(x)         whether x is a number
//	above(x, y)      x as it stands on the row above, y on the first row
//	below(x, y)      x as it stands on the row below, y on the last row
//	at(col, k)       the k-th cell of a column, from 1; none where there is no such cell
//	past(col, k)     the same, among the rows up to this one
//	rank(col, x)     how many cells of a rising column are x at most
//	pick(a, b, x)    column a on the first row on which column b is x, else none
//	total(a), total(a, n)  the sum of a column, or of its first n cells; n is a given cell
package formula

// Slack keeps a rounding error in the last digits from counting as a whole more.
const Slack = 1e-9

// Op is what an expression does with its operands.
type Op int

const (
	// Number is Value.
	Number Op = iota
	// None is no number.
	None
	// Cell is the single cell Name, Here the column Name on the row.
	Cell
	Here
	Add
	Subtract
	Multiply
	Divide
	Negate
	Less
	AtMost
	More
	AtLeast
	Equal
	If
	And
	Or
	Max
	Min
	Ceil
	Floor
	Known
	// The functions that follow look at other rows; their first arguments are
	// columns where the package says so.
	Above
	Below
	At
	Past
	Rank
	Pick
	Total
)

// Expr is an expression: an operation on Args. Value belongs to Number, Name and
// its place in the table to Cell and Here.
type Expr struct {
	Op    Op
	Args  []Expr
	Value float64
	Name  string
	place int
}

// Rule is the rule of one cell or column; an empty Text is given and not worked out.
type Rule struct {
	Name, Text string
	// Longer columns have one row under the last day.
	Longer bool
}

// Table is a set of rules that has been read.
type Table struct {
	cells, columns []entry
	index          map[string]Expr // Cell or Here
}

type entry struct {
	Rule
	expr Expr
}

// New reads rules. It panics where one is miswritten: rules are part of the program.
func New(cells, columns []Rule) *Table {
	t := &Table{index: map[string]Expr{}}
	enter := func(op Op, rules []Rule, into *[]entry) {
		for i, r := range rules {
			if _, there := t.index[r.Name]; there {
				panic("formula: two rules for " + r.Name)
			}
			t.index[r.Name] = Expr{Op: op, Name: r.Name, place: i}
			*into = append(*into, entry{Rule: r})
		}
	}
	enter(Cell, cells, &t.cells)
	enter(Here, columns, &t.columns)
	for _, list := range [][]entry{t.cells, t.columns} {
		for i := range list {
			if list[i].Text != "" {
				list[i].expr = t.parse(list[i].Name, list[i].Text)
			}
		}
	}
	return t
}

// Rule gives the expression of a cell or column; false where it is given.
func (t *Table) Rule(name string) (Expr, bool) {
	e := t.entry(name)
	return e.expr, e.Text != ""
}

// Longer reports that a column has a row under the last day.
func (t *Table) Longer(name string) bool { return t.entry(name).Longer }

func (t *Table) entry(name string) entry {
	if x := t.index[name]; x.Op == Cell {
		return t.cells[t.place(name, Cell)]
	}
	return t.columns[t.place(name, Here)]
}

// place finds a cell or column. It panics where there is none: names are part of the program.
func (t *Table) place(name string, op Op) int {
	x, there := t.index[name]
	if !there || x.Op != op {
		panic("formula: nothing of that kind is called " + name)
	}
	return x.place
}

// Truth is a condition as a number.
func Truth(c bool) float64 {
	if c {
		return 1
	}
	return 0
}
