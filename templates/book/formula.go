package book

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"jarwright/dosing/formula"
	"jarwright/dosing/month"
)

// ruled prints rules that have been worked out as formulas of the sheet on which
// they stand.
type ruled struct {
	sheet *Sheet
	rules *formula.Sheet
	// names are the cells with a name of their own in the workbook, places all other
	// cells and columns that stand in it. What stands nowhere is printed as its number.
	names  map[string]string
	places map[string]Range
	// words are the columns that say yes or no, and none what else is shown for no number.
	words map[string]bool
	none  map[string]string
	empty string // of the rule that is being printed
}

// form is how an operation is printed: a sign between the operands with how
// strongly it binds, or a function.
type form struct {
	sign     string
	binding  int
	function string
}

// Bindings, the weakest first.
const (
	comparing = iota + 1
	adding
	multiplying
	signing
	whole
)

var forms = map[formula.Op]form{
	formula.Less: {"<", comparing, ""}, formula.AtMost: {"<=", comparing, ""}, formula.More: {">", comparing, ""},
	formula.AtLeast: {">=", comparing, ""}, formula.Equal: {"=", comparing, ""},
	formula.Add: {"+", adding, ""}, formula.Subtract: {"-", adding, ""},
	formula.Multiply: {"*", multiplying, ""}, formula.Divide: {"/", multiplying, ""},
	formula.If: {function: "IF"}, formula.And: {function: "AND"}, formula.Or: {function: "OR"},
	formula.Max: {function: "MAX"}, formula.Min: {function: "MIN"},
	formula.Known: {function: "ISNUMBER"},
}

// formula prints the rule of a cell, or of a column on a row counted from 0; it is
// empty for what is given.
func (p *ruled) formula(name string, row int) string {
	x, worked := p.rules.Table.Rule(name)
	if !worked {
		return ""
	}
	p.empty = strconv.Quote(p.none[name])
	s := p.print(x, row, 0)
	if p.words[name] {
		return fmt.Sprintf(`IF(%s,"yes","no")`, s)
	}
	return s
}

// Decimal prints a number as formulas take it: a lower-case exponent is no number to them.
func Decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// print writes an expression for a row, in brackets where it binds more weakly
// than what stands around it.
func (p *ruled) print(x formula.Expr, row, around int) string {
	arg := func(i int) string { return p.print(x.Args[i], row, 0) }
	if f, common := forms[x.Op]; common {
		return p.common(x, f, row, around)
	}
	slack := Decimal(formula.Slack)
	switch x.Op {
	case formula.Number:
		return Decimal(x.Value)
	case formula.None:
		return p.empty
	case formula.Cell:
		return p.cell(x.Name, around)
	case formula.Here:
		return p.here(x.Name, row, around)
	case formula.Negate:
		return bracketed("-"+p.print(x.Args[0], row, signing), signing, around)
	case formula.Ceil:
		return bracketed("-INT(-("+arg(0)+"-"+slack+"))", signing, around)
	case formula.Floor:
		return "INT(" + p.print(x.Args[0], row, adding) + "+" + slack + ")"
	case formula.Above, formula.Below:
		y, on := x.Shift(row, p.rules.Rows)
		return p.print(*y, on, around)
	}
	return p.lookUp(x, row)
}

// common prints a sign between two operands, or a function of numbers.
func (p *ruled) common(x formula.Expr, f form, row, around int) string {
	if f.function != "" {
		var args []string
		for _, a := range x.Args {
			args = append(args, p.print(a, row, 0))
		}
		return f.function + "(" + strings.Join(args, ",") + ")"
	}
	left, right := p.print(x.Args[0], row, f.binding), p.print(x.Args[1], row, f.binding+1)
	switch { // a sum with nothing is its other part
	case right == "0" && f.binding == adding:
		return p.print(x.Args[0], row, around)
	case left == "0" && x.Op == formula.Add:
		return p.print(x.Args[1], row, around)
	}
	return bracketed(left+f.sign+right, f.binding, around)
}

func bracketed(s string, binding, around int) string {
	if binding < around {
		return "(" + s + ")"
	}
	return s
}

// lookUp prints the functions that search a column.
func (p *ruled) lookUp(x formula.Expr, row int) string {
	arg := func(i int) string { return p.print(x.Args[i], row, 0) }
	col := p.column(x.Args[0].Name)
	switch x.Op {
	case formula.At:
		if k := x.Args[1]; k.Op == formula.Number {
			return p.ref(col.down(int(k.Value) - 1))
		}
		return "INDEX(" + p.ref(col) + "," + arg(1) + ")"
	case formula.Past:
		return fmt.Sprintf("INDEX(%s:%s,%s)", cellName(col.Row, col.Col, true), a1(col.Row+row, col.Col), arg(1))
	case formula.Rank:
		return "MATCH(" + arg(1) + "," + p.ref(col) + ",1)"
	case formula.Pick:
		return fmt.Sprintf("IFERROR(INDEX(%s,MATCH(%s,%s,0)),%s)", p.ref(col), arg(2), p.ref(p.column(x.Args[1].Name)), p.empty)
	case formula.Total:
		if len(x.Args) == 2 {
			col = col.first(int(p.rules.Cell(x.Args[1].Name)))
		}
		return "SUM(" + p.ref(col) + ")"
	}
	p.sheet.book.fail("%s: a formula with operation %d cannot be printed", p.sheet.name, x.Op)
	return ""
}

// cell prints a single cell: where it stands, else its rule, else its number.
func (p *ruled) cell(name string, around int) string {
	if n, there := p.names[name]; there {
		return n
	}
	if r, there := p.places[name]; there {
		return p.ref(r)
	}
	if x, worked := p.rules.Table.Rule(name); worked {
		return p.print(x, 0, around)
	}
	return Decimal(p.rules.Cell(name))
}

// here prints a column's cell on a row in the same way.
func (p *ruled) here(name string, row, around int) string {
	r, there := p.places[name]
	if !there {
		if x, worked := p.rules.Table.Rule(name); worked {
			return p.print(x, row, around)
		}
		return Decimal(p.rules.Row(name, row))
	}
	s := r.down(row).Ref()
	if r.Sheet == p.sheet {
		s = r.down(row).A1()
	}
	if p.words[name] {
		s += `="yes"`
	}
	return s
}

// column gives the place of a column, with the row under the last day where it has one.
func (p *ruled) column(name string) Range {
	r, there := p.places[name]
	if !there {
		p.sheet.book.fail("%s: a formula looks into the column %s, which stands nowhere", p.sheet.name, name)
		return Range{p.sheet, 1, 1, 1, 1}
	}
	if p.rules.Table.Longer(name) {
		r.ToRow++
	}
	return r
}

// ref prints a place that does not move.
func (p *ruled) ref(r Range) string {
	if r.Sheet == p.sheet {
		return r.fixed()
	}
	return r.Ref()
}

// shown is a worked-out number as a cell holds it: yes or no, a date, a whole
// number, or for no number what stands for it.
func (p *ruled) shown(name string, v float64, format string) any {
	switch {
	case math.IsNaN(v):
		return p.none[name]
	case p.words[name]:
		return yes(v != 0)
	case format == dateFormat:
		return date(month.SerialDate(v))
	case format == "0":
		return int(v)
	}
	return v
}

// put writes a column's cell on a row: its formula, or its number where it is
// given or its rule is no more than a number there.
func (p *ruled) put(name string, row int, kind Kind, format string) {
	at := p.places[name].down(row)
	v := p.shown(name, p.rules.Row(name, row), format)
	x := p.formula(name, row)
	if _, err := strconv.ParseFloat(x, 64); err == nil || x == "" {
		p.sheet.Put(at.Row, at.Col, Cell{Kind: Value, Value: v, Format: format})
		return
	}
	p.sheet.Put(at.Row, at.Col, Cell{Kind: kind, Formula: x, Value: v, Format: format})
}
