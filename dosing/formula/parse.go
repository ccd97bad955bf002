package formula

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// function is a name with the operation that it stands for. The first so many
// arguments are columns; least and most count all of them, most 0 is any number.
type function struct {
	op                   Op
	columns, least, most int
}

var functions = map[string]function{
	"if": {If, 0, 3, 3}, "and": {And, 0, 2, 0}, "or": {Or, 0, 2, 0}, "max": {Max, 0, 2, 0}, "min": {Min, 0, 2, 0},
	"ceil": {Ceil, 0, 1, 1}, "floor": {Floor, 0, 1, 1}, "known": {Known, 0, 1, 1},
	"above": {Above, 0, 2, 2}, "below": {Below, 0, 2, 2}, "at": {At, 1, 2, 2}, "past": {Past, 1, 2, 2},
	"rank": {Rank, 1, 2, 2}, "pick": {Pick, 2, 3, 3}, "total": {Total, 1, 1, 2},
}

// operators by how strongly they bind, the weakest first.
var operators = []map[string]Op{
	{"<=": AtMost, ">=": AtLeast, "<": Less, ">": More, "=": Equal},
	{"+": Add, "-": Subtract},
	{"*": Multiply, "/": Divide},
}

// reader reads one rule from left to right.
type reader struct {
	table *Table
	name  string
	left  []string // tokens to come
}

func (t *Table) parse(name, text string) Expr {
	r := &reader{table: t, name: name, left: tokens(text)}
	x := r.binary(0)
	if r.next() != "" {
		r.fail("%q is left over", r.next())
	}
	return x
}

// tokens cuts a rule into names, numbers and signs.
func tokens(text string) []string {
	var out []string
	for i := 0; i < len(text); {
		c := rune(text[i])
		n := 1
		switch {
		case unicode.IsSpace(c):
			i++
			continue
		case unicode.IsLetter(c) || unicode.IsDigit(c):
			n = strings.IndexFunc(text[i:]+" ", func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) && c != '_' && c != '.' })
		case strings.HasPrefix(text[i+1:], "=") && (c == '<' || c == '>'):
			n = 2
		}
		out = append(out, text[i:i+n])
		i += n
	}
	return out
}

func (r *reader) fail(format string, args ...any) {
	panic(fmt.Sprintf("formula: %s: ", r.name) + fmt.Sprintf(format, args...))
}

// next looks at the next token, "" at the end.
func (r *reader) next() string {
	if len(r.left) == 0 {
		return ""
	}
	return r.left[0]
}

// take reads the next token; want is what it must be, "" for anything.
func (r *reader) take(want string) string {
	s := r.next()
	if s == "" || want != "" && s != want {
		r.fail("%q stands where %q should", s, want)
	}
	r.left = r.left[1:]
	return s
}

// binary reads operators of a level and stronger ones; equal ones from left to right.
func (r *reader) binary(level int) Expr {
	if level == len(operators) {
		return r.unary()
	}
	x := r.binary(level + 1)
	for {
		op, ok := operators[level][r.next()]
		if !ok {
			return x
		}
		r.take("")
		x = Expr{Op: op, Args: []Expr{x, r.binary(level + 1)}}
	}
}

func (r *reader) unary() Expr {
	switch s := r.take(""); {
	case s == "-":
		return Expr{Op: Negate, Args: []Expr{r.unary()}}
	case s == "(":
		x := r.binary(0)
		r.take(")")
		return x
	case s == "none":
		return Expr{Op: None}
	case s == "slack":
		return Expr{Op: Number, Value: Slack}
	case r.next() == "(":
		return r.call(s)
	case unicode.IsDigit(rune(s[0])):
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			r.fail("%q is no number", s)
		}
		return Expr{Op: Number, Value: v}
	default:
		x, there := r.table.index[s]
		if !there {
			r.fail("nothing is called %q", s)
		}
		return x
	}
}

func (r *reader) call(name string) Expr {
	f, there := functions[name]
	if !there {
		r.fail("there is no function %q", name)
	}
	x := Expr{Op: f.op}
	for r.take(""); ; r.take(",") {
		x.Args = append(x.Args, r.binary(0))
		if r.next() == ")" {
			break
		}
	}
	r.take(")")
	if n := len(x.Args); n < f.least || f.most > 0 && n > f.most {
		r.fail("%s has %d arguments", name, n)
	}
	for _, a := range x.Args[:f.columns] {
		if a.Op != Here {
			r.fail("%s is asked of something that is not a column", name)
		}
	}
	return x
}
