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

// Scaled works the same rules out with given cells and columns multiplied, by name.
func (s *Sheet) Scaled(by map[string]float64) *Sheet {
	factor := func(name string) float64 {
		if f, there := by[name]; there {
			return f
		}
		return 1
	}
	cells, columns := map[string]float64{}, map[string][]float64{}
	for i, c := range s.Table.cells {
		cells[c.Name] = s.cells[i].v * factor(c.Name)
	}
	for i, c := range s.Table.columns {
		for _, x := range s.columns[i] {
			columns[c.Name] = append(columns[c.Name], x.v*factor(c.Name))
		}
	}
	return s.Table.Work(s.Rows, cells, columns)
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
	case Above, Below:
		y, on := x.Shift(row, s.Rows)
		return s.eval(y, on)
	case At, Past, Rank, Pick, Total:
		return s.lookUp(x, row)
	}
	v := s.eval(&x.Args[0], row)
	if len(x.Args) == 1 {
		return operations[x.Op](v, 0)
	}
	for i := range x.Args[1:] {
		v = operations[x.Op](v, s.eval(&x.Args[i+1], row))
	}
	return v
}

// operations work on two numbers, those of one argument on the first.
var operations = [...]func(a, b float64) float64{
	Add:      func(a, b float64) float64 { return a + b },
	Subtract: func(a, b float64) float64 { return a - b },
	Multiply: func(a, b float64) float64 { return a * b },
	Divide:   func(a, b float64) float64 { return a / b },
	Negate:   func(a, _ float64) float64 { return -a },
	Less:     func(a, b float64) float64 { return Truth(a < b) },
	AtMost:   func(a, b float64) float64 { return Truth(a <= b) },
	More:     func(a, b float64) float64 { return Truth(a > b) },
	AtLeast:  func(a, b float64) float64 { return Truth(a >= b) },
	Equal:    func(a, b float64) float64 { return Truth(a == b) },
	And:      func(a, b float64) float64 { return Truth(a != 0 && b != 0) },
	Or:       func(a, b float64) float64 { return Truth(a != 0 || b != 0) },
	Max:      math.Max,
	Min:      math.Min,
	Ceil:     func(a, _ float64) float64 { return math.Ceil(a - Slack) },
	Floor:    func(a, _ float64) float64 { return math.Floor(a + Slack) },
	Known:    func(a, _ float64) float64 { return Truth(!math.IsNaN(a)) },
}

// Shift says which expression an Above or Below stands for on a row, counted from
// 0, of so many, and on which row that one is to be taken.
func (x *Expr) Shift(row, rows int) (*Expr, int) {
	switch {
	case x.Op == Above && row > 0:
		return &x.Args[0], row - 1
	case x.Op == Below && row < rows-1:
		return &x.Args[0], row + 1
	}
	return &x.Args[1], row
}

// lookUp works out the functions that search a column.
func (s *Sheet) lookUp(x *Expr, row int) float64 {
	col := &x.Args[0]
	n := len(s.columns[col.place])
	switch x.Op {
	case At, Past:
		k := s.eval(&x.Args[1], row)
		if !(k >= 1 && k < float64(n+1)) {
			return math.NaN()
		}
		return s.column(col, int(k)-1)
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
