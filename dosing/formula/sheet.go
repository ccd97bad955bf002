package formula

import "math"

// Sheet is a table of rules worked out for given numbers.
type Sheet struct {
	Table *Table
	// Rows is the number of days.
	Rows    int
	cells   []value
	columns [][]value
}

// value is a number, and how far its working is.
type value struct {
	v     float64
	state state
}

type state uint8

const (
	open state = iota
	working
	done
)

// Work works a table out for the given cells and columns, each given column with
// a number for each row; what is left out is none. Rules may stand in any order
// and look at any row: what one needs is worked out first.
func (t *Table) Work(rows int, cells map[string]float64, columns map[string][]float64) *Sheet {
	s := &Sheet{Table: t, Rows: rows, cells: make([]value, len(t.cells)), columns: make([][]value, len(t.columns))}
	for i, c := range t.cells {
		if c.Text != "" {
			continue
		}
		v, there := cells[c.Name]
		if !there {
			v = math.NaN()
		}
		s.cells[i] = value{v, done}
	}
	for i, c := range t.columns {
		n := rows
		if c.Longer {
			n++
		}
		s.columns[i] = make([]value, n)
		if c.Text != "" {
			continue
		}
		given := columns[c.Name]
		for r := range s.columns[i] {
			s.columns[i][r] = value{math.NaN(), done}
			if r < len(given) {
				s.columns[i][r].v = given[r]
			}
		}
	}
	for i := range t.cells {
		s.settle(&s.cells[i], &t.cells[i], 0)
	}
	for i := range t.columns {
		for r := range s.columns[i] {
			s.settle(&s.columns[i][r], &t.columns[i], r)
		}
	}
	return s
}

// Cell gives a single cell; NaN is none.
func (s *Sheet) Cell(name string) float64 { return s.cells[s.Table.place(name, Cell)].v }

// Row gives a column's number on a row, counted from 0; NaN is none.
func (s *Sheet) Row(name string, row int) float64 {
	return s.columns[s.Table.place(name, Here)][row].v
}

// settle works one value out, once.
func (s *Sheet) settle(v *value, e *entry, row int) float64 {
	switch v.state {
	case working:
		panic("formula: the rule of " + e.Name + " runs in a circle")
	case open:
		v.state = working
		v.v = s.eval(&e.expr, row)
		v.state = done
	}
	return v.v
}

// column gives a column's number on a row.
func (s *Sheet) column(x *Expr, row int) float64 {
	return s.settle(&s.columns[x.place][row], &s.Table.columns[x.place], row)
}

// eval works an expression out on a row.
func (s *Sheet) eval(x *Expr, row int) float64 {
	switch x.Op {
	case Number:
		return x.Value
	case None:
		return math.NaN()
	case Cell:
		return s.settle(&s.cells[x.place], &s.Table.cells[x.place], 0)
	case Here:
		return s.column(x, row)
	case If:
		if s.eval(&x.Args[0], row) != 0 {
			return s.eval(&x.Args[1], row)
		}
		return s.eval(&x.Args[2], row)
	case Above:
		if row == 0 {
			return s.eval(&x.Args[1], row)
		}
		return s.eval(&x.Args[0], row-1)
	case Below:
		if row == s.Rows-1 {
			return s.eval(&x.Args[1], row)
		}
		return s.eval(&x.Args[0], row+1)
	case At, Past, Rank, Pick, Total:
		return s.lookUp(x, row)
	}
	v := s.eval(&x.Args[0], row)
	for i := range x.Args[1:] {
		v = apply(x.Op, v, s.eval(&x.Args[i+1], row))
	}
	if len(x.Args) == 1 {
		v = apply(x.Op, v, 0)
	}
	return v
}

// apply is an operation on two numbers, or on the first alone.
func apply(op Op, a, b float64) float64 {
	switch op {
	case Add:
		return a + b
	case Subtract:
		return a - b
	case Multiply:
		return a * b
	case Divide:
		return a / b
	case Negate:
		return -a
	case Less:
		return Truth(a < b)
	case AtMost:
		return Truth(a <= b)
	case More:
		return Truth(a > b)
	case AtLeast:
		return Truth(a >= b)
	case Equal:
		return Truth(a == b)
	case And:
		return Truth(a != 0 && b != 0)
	case Or:
		return Truth(a != 0 || b != 0)
	case Max:
		return math.Max(a, b)
	case Min:
		return math.Min(a, b)
	case Ceil:
		return math.Ceil(a - Slack)
	case Floor:
		return math.Floor(a + Slack)
	case Known:
		return Truth(!math.IsNaN(a))
	}
	panic("formula: no such operation")
}

// lookUp works out the functions that search a column.
func (s *Sheet) lookUp(x *Expr, row int) float64 {
	col := &x.Args[0]
	n := len(s.columns[col.place])
	switch x.Op {
	case At, Past:
		return s.column(col, int(s.eval(&x.Args[1], row))-1)
	case Rank:
		v, k := s.eval(&x.Args[1], row), 0
		for k < n && s.column(col, k) <= v {
			k++
		}
		return float64(k)
	case Pick:
		v := s.eval(&x.Args[2], row)
		for i := range n {
			if s.column(&x.Args[1], i) == v {
				return s.column(col, i)
			}
		}
		return math.NaN()
	}
	if len(x.Args) == 2 {
		n = min(n, int(s.eval(&x.Args[1], row)))
	}
	sum := 0.0
	for i := range n {
		sum += s.column(col, i)
	}
	return sum
}
