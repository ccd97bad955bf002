package formula

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// work works one rule out beside a few given figures: x is 7, y 2, nothing is
// none; the column n is 10, 20, 30, 40 and up is 1, 3, 3, 8.
func work(t *testing.T, text string) *Sheet {
	t.Helper()
	table := New([]Rule{{Name: "x"}, {Name: "y"}, {Name: "nothing"}, {Name: "rows"}, {Name: "answer", Text: text}},
		[]Rule{{Name: "n"}, {Name: "up"}, {Name: "sum", Text: "above(sum + n, 0)", Longer: true}, {Name: "left", Text: "below(1 + left, 0)"}})
	return table.Work(4, map[string]float64{"x": 7, "y": 2, "rows": 2}, map[string][]float64{"n": {10, 20, 30, 40}, "up": {1, 3, 3, 8}})
}

// TestRules: what each operator and function comes to, by hand.
func TestRules(t *testing.T) {
	none := math.NaN()
	for text, want := range map[string]float64{
		"1.5": 1.5, "x": 7, "none": none, "nothing": none, "slack": 1e-9,
		"x + y * 3": 13, "(x + y) * 3": 27, "x - y - 1": 4, "x - (y - 1)": 6, "x / y / 2": 1.75, "x / (y / 2)": 7, "-x + y": -5, "-(x + y)": -9, "x - -y": 9, "- - x": 7,
		"x < y": 0, "y < x": 1, "x < x": 0, "x <= x": 1, "x <= y": 0, "x > y": 1, "y > x": 0, "x > x": 0, "x >= x": 1, "y >= x": 0, "x = 7": 1, "x = y": 0, "x+1 = y*4": 1,
		"if(x > y, 5, 6)": 5, "if(x < y, 5, 6)": 6, "if(0, none, 6)": 6, "if(2, 5, 6)": 5,
		"and(1, 1)": 1, "and(1, 0)": 0, "and(0, 1)": 0, "and(1, 1, 0)": 0, "or(0, 0)": 0, "or(0, 1)": 1, "or(1, 0)": 1, "or(0, 0, 2)": 1,
		"max(x, y, 9)": 9, "max(x, y)": 7, "min(x, y, 1)": 1, "min(x, y)": 2,
		"ceil(x / y)": 4, "floor(x / y)": 3, "ceil(4)": 4, "floor(4)": 4, "ceil(-3.5)": -3, "floor(-3.5)": -4,
		"ceil(4 + slack / 2)": 4, "ceil(4 + 3 * slack)": 5, "floor(4 - slack / 2)": 4, "floor(4 - 3 * slack)": 3,
		"known(x)": 1, "known(nothing)": 0,
		"at(n, 1)": 10, "at(n, 4)": 40, "at(n, y + 1)": 30, "past(n, 1)": 10, "at(sum, 5)": 100, "at(sum, 1)": 0, "at(n, 0)": none, "at(n, 5)": none, "at(n, nothing)": none, "at(n, 4.9)": 40, "past(n, 0)": none, "at(left, 1)": 3, "at(left, 4)": 0,
		"rank(up, 0)": 0, "rank(up, 1)": 1, "rank(up, 3)": 3, "rank(up, 7)": 3, "rank(up, 8)": 4, "rank(up, 99)": 4, "rank(sum, 100)": 5,
		"pick(n, up, 3)": 20, "pick(n, up, 8)": 40, "pick(n, up, 5)": none,
		"total(n)": 100, "total(n, rows)": 30, "total(sum)": 0 + 10 + 30 + 60 + 100,
	} {
		got := work(t, text).Cell("answer")
		if math.Abs(got-want) > 1e-15 || math.IsNaN(got) != math.IsNaN(want) {
			t.Errorf("%s is %g, want %g", text, got, want)
		}
	}
}

// TestColumns: a column is worked out row by row, from the rows above, below and
// beside it, whatever the order in which the rules stand.
func TestColumns(t *testing.T) {
	table := New([]Rule{{Name: "opening"}}, []Rule{
		{Name: "end", Text: "max(0, start - out)"},
		{Name: "start", Text: "above(end, opening)"},
		{Name: "before", Text: "above(before + out, 0)", Longer: true},
		{Name: "late", Text: "past(before, 1 + above(0 * out + 1, 0))"},
		{Name: "next", Text: "below(out, -1)"},
		{Name: "out"},
	})
	s := table.Work(3, map[string]float64{"opening": 10}, map[string][]float64{"out": {4, 5, 6}})
	for name, want := range map[string][]float64{
		"out": {4, 5, 6}, "start": {10, 6, 1}, "end": {6, 1, 0}, "before": {0, 4, 9, 15}, "late": {0, 4, 4}, "next": {5, 6, -1},
	} {
		for i, w := range want {
			if got := s.Row(name, i); got != w {
				t.Errorf("%s on row %d is %g, want %g", name, i, got, w)
			}
		}
	}
	if x, worked := table.Rule("start"); !worked || x.Op != Above || x.Args[0].Name != "end" || x.Args[0].Op != Here || x.Args[1].Op != Cell {
		t.Errorf("the rule of start is %+v, %t", x, worked)
	}
	if _, worked := table.Rule("out"); worked || table.Longer("out") || !table.Longer("before") {
		t.Error("out is given and not longer, before is longer")
	}
	// A given column with fewer numbers than rows is none on the others.
	if got := table.Work(3, nil, map[string][]float64{"out": {4}}).Row("out", 1); !math.IsNaN(got) {
		t.Errorf("what is not given is %g", got)
	}
}

// TestMiswrittenRules: a slip in a rule stops the program at once and names the rule.
func TestMiswrittenRules(t *testing.T) {
	said := func(f func()) (said string) {
		defer func() { said = fmt.Sprint(recover()) }()
		f()
		return ""
	}
	for text, want := range map[string]string{
		"x +": `answer: "" stands`, "x y": `answer: "y" is left over`, "(x": `answer: "" stands where ")"`, "z": `answer: nothing is called "z"`, "mean(x, y)": `no function "mean"`,
		"max(x)": "max has 1 arguments", "if(x, y)": "if has 2 arguments", "if(1, 2, 3, 4)": "if has 4 arguments", "total(n, rows, 1)": "total has 3 arguments",
		"at(x, 1)": "not a column", "pick(n, x, 1)": "not a column", "max(x y)": `"y" stands where ","`, "1.2.3": `"1.2.3" is no number`, "answer": "circle", "": "",
	} {
		if got := said(func() { work(t, text) }); !strings.Contains(got, want) {
			t.Errorf("%q says %q, want %q", text, got, want)
		}
	}
	for want, f := range map[string]func(){
		"two rules for x":          func() { New([]Rule{{Name: "x"}}, []Rule{{Name: "x"}}) },
		"is called n":              func() { work(t, "1").Cell("n") },
		"of that kind is called x": func() { work(t, "1").Row("x", 0) },
		"is called w":              func() { work(t, "1").Table.Rule("w") },
	} {
		if got := said(f); !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
