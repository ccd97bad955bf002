package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// arith works out an arithmetic expression such as "12.5*3.6*24/0.485/1000":
// numbers, + - * / ^ and parentheses, functions, and names, whose values look
// gives. A name is a path (feeds[alum].dose); the rest is school arithmetic: ^
// binds before a sign, a sign before * and /, and ^ goes from the right.
type arith struct {
	text string
	at   int
	look func(name string) (float64, error)
}

// evaluate works out text.
func evaluate(text string, look func(name string) (float64, error)) (v float64, err error) {
	a := &arith{text: text, look: look}
	defer func() {
		if fault, is := recover().(arithError); is {
			err = fmt.Errorf("%q, character %d: %s", text, a.at+1, string(fault))
		}
	}()
	v = a.sum()
	if a.next() != 0 {
		a.fail("%q is not expected here", string(a.next()))
	}
	return v, nil
}

type arithError string

func (a *arith) fail(format string, args ...any) { panic(arithError(fmt.Sprintf(format, args...))) }

// next is the coming character that is not white space, 0 at the end.
func (a *arith) next() byte {
	for a.at < len(a.text) && (a.text[a.at] == ' ' || a.text[a.at] == '\n') {
		a.at++
	}
	if a.at == len(a.text) {
		return 0
	}
	return a.text[a.at]
}

// take passes over c if it comes next.
func (a *arith) take(c byte) bool {
	if a.next() != c {
		return false
	}
	a.at++
	return true
}

func (a *arith) must(c byte) {
	if !a.take(c) {
		a.fail("%q is missing", string(c))
	}
}

func (a *arith) sum() float64 {
	v := a.product()
	for {
		switch {
		case a.take('+'):
			v += a.product()
		case a.take('-'):
			v -= a.product()
		default:
			return v
		}
	}
}

func (a *arith) product() float64 {
	v := a.signed()
	for {
		switch {
		case a.take('*'):
			v *= a.signed()
		case a.take('/'):
			v /= a.signed()
		default:
			return v
		}
	}
}

func (a *arith) signed() float64 {
	if a.take('-') {
		return -a.signed()
	}
	v := a.operand()
	if a.take('^') {
		return math.Pow(v, a.signed())
	}
	return v
}

// operand is a number, a name, a function of its arguments, or a sum in parentheses.
func (a *arith) operand() float64 {
	if a.take('(') {
		v := a.sum()
		a.must(')')
		return v
	}
	if c := a.next(); unicode.IsDigit(rune(c)) {
		return a.number()
	}
	name := a.name()
	if a.take('(') {
		return a.call(name)
	}
	v, err := a.look(name)
	if err != nil {
		a.fail("%v", err)
	}
	return v
}

func (a *arith) number() float64 {
	from := a.at
	for a.at < len(a.text) && strings.IndexByte("0123456789.eE", a.text[a.at]) >= 0 {
		exponent := a.text[a.at] == 'e' || a.text[a.at] == 'E'
		a.at++
		if exponent && a.at < len(a.text) && (a.text[a.at] == '-' || a.text[a.at] == '+') {
			a.at++
		}
	}
	v, err := strconv.ParseFloat(a.text[from:a.at], 64)
	if err != nil {
		a.fail("%q is no number", a.text[from:a.at])
	}
	return v
}

// name reads a path: letters, digits, _ and points, and anything within brackets.
func (a *arith) name() string {
	a.next()
	from, inside := a.at, false
	for ; a.at < len(a.text); a.at++ {
		c := a.text[a.at]
		if inside {
			inside = c != ']'
			continue
		}
		if inside = c == '['; !inside && c != '_' && c != '.' && !unicode.IsLetter(rune(c)) && !unicode.IsDigit(rune(c)) {
			break
		}
	}
	if a.at == from || inside {
		a.fail("a number or a name is missing")
	}
	return a.text[from:a.at]
}

func (a *arith) call(name string) float64 {
	args := []float64{a.sum()}
	for a.take(',') {
		args = append(args, a.sum())
	}
	a.must(')')
	f, known := arithFunctions[name]
	if !known {
		f, known = chemistryFunctions[name]
	}
	if !known {
		a.fail("%s is no function", name)
	}
	if f.args >= 0 && f.args != len(args) {
		a.fail("%s takes %d numbers, not %d", name, f.args, len(args))
	}
	return f.of(args)
}

// arithFunction is a function that expressions may use; args below 0 takes any number of them.
type arithFunction struct {
	args int
	of   func(x []float64) float64
}

func one(f func(float64) float64) arithFunction {
	return arithFunction{1, func(x []float64) float64 { return f(x[0]) }}
}

var arithFunctions = map[string]arithFunction{
	"exp": one(math.Exp), "ln": one(math.Log), "log10": one(math.Log10), "sqrt": one(math.Sqrt), "abs": one(math.Abs),
	"floor": one(math.Floor), "ceil": one(math.Ceil), "round": one(math.Round),
	"min": {-1, func(x []float64) float64 {
		v := x[0]
		for _, y := range x {
			v = math.Min(v, y)
		}
		return v
	}},
	"max": {-1, func(x []float64) float64 {
		v := x[0]
		for _, y := range x {
			v = math.Max(v, y)
		}
		return v
	}},
	// mod is what is left of the first number after whole seconds.
	"mod": {2, func(x []float64) float64 { return x[0] - x[1]*math.Floor(x[0]/x[1]) }},
	// step is 1 from its second number on and 0 before.
	"step": {2, func(x []float64) float64 {
		if x[0] > x[1]-1e-8 {
			return 1
		}
		return 0
	}},
	// pick takes the number whose place, from 0, is the first argument.
	"pick": {-1, func(x []float64) float64 { return x[1+int(x[0])] }},
	"sum":  {-1, sumOf},
	"mean": {-1, func(x []float64) float64 { return sumOf(x) / float64(len(x)) }},
}

func sumOf(x []float64) float64 {
	v := 0.0
	for _, y := range x {
		v += y
	}
	return v
}

// TestArith holds the arithmetic that judges the figures against values worked out by head.
func TestArith(t *testing.T) {
	names := map[string]float64{"feeds[alum].dose": 13.4, "x": 2}
	look := func(name string) (float64, error) {
		if v, ok := names[name]; ok {
			return v, nil
		}
		return 0, fmt.Errorf("%s is not known", name)
	}
	for text, want := range map[string]float64{
		"1+2*3": 7, "(1+2)*3": 9, "2^3^2": 512, "-2^2": -4, "2*10^-3": 0.002, "12/4/3": 1, "7-2-1": 4,
		"1e3+1.5E-1": 1000.15, "x*feeds[alum].dose": 26.8, "max(1,x,-3)": 2, "min(3, 1, 2)": 1, "sqrt(16)+ln(exp(2))": 6,
		"mod(31,12)": 7, "step(2,3)+step(3,3)+step(4,3)": 2, "pick(1,10,20,30)": 20, "mean(1,2,6)": 3,
		"sum(1,2,6)": 9, "round(2.4)+ceil(0.1)-floor(1.9)": 2,
	} {
		if got, err := evaluate(text, look); err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%s = %v, %v, want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "1+", "2 3", "(1", "y", "sin(1)", "sqrt(1,2)", "1..2", "feeds[alum"} {
		if got, err := evaluate(text, look); err == nil {
			t.Errorf("%q gives %v, want an error", text, got)
		}
	}
}
