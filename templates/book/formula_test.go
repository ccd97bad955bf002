package book

import (
	"bytes"
	"math"
	"strconv"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"jarwright/dosing/formula"
	"jarwright/dosing/month"
)

// TestPrintedRules: how rules stand in a workbook, and that a spreadsheet works
// out of each what the program does. Figures: x 7 in Inputs!B2, named; y 2 in B3
// of the sheet; z 5 nowhere; n 10, 20, 30 in A5:A7; up 1, 3, 8 on another sheet;
// ok yes, no, yes in C5:C7; sum with a row more in D5:D8. The rules are on row 2.
func TestPrintedRules(t *testing.T) {
	for _, c := range []struct{ rule, want string }{
		{"x + y * z", "X_here+$B$3*5"}, {"(x + y) * z", "(X_here+$B$3)*5"}, {"x - (y - z)", "X_here-($B$3-5)"}, {"x - y - z", "X_here-$B$3-5"},
		{"x / (y * z)", "X_here/($B$3*5)"}, {"x / y * z", "X_here/$B$3*5"}, {"-(x + y)", "-(X_here+$B$3)"}, {"-x + y", "-X_here+$B$3"}, {"x + 0", "X_here"}, {"0 + x", "X_here"},
		{"x - 0", "X_here"}, {"x * 0", "X_here*0"}, {"1.5", "1.5"}, {"1000000000 + x", "1000000000+X_here"}, {"x * 0.000001", "X_here*0.000001"},
		{"if(x >= y, 1, 2)", "IF(X_here>=$B$3,1,2)"}, {"if(x < y, 1, none)", `IF(X_here<$B$3,1,"?")`}, {"if(and(x > y, x <= 7), 1, 2)", "IF(AND(X_here>$B$3,X_here<=7),1,2)"},
		{"if(or(x = y, ok), 1, 2)", `IF(OR(X_here=$B$3,C6="yes"),1,2)`}, {"max(x, y + 1, z)", "MAX(X_here,$B$3+1,5)"}, {"min(x, y)", "MIN(X_here,$B$3)"},
		{"ceil(x / y)", "-INT(-(X_here/$B$3-0.000000001))"}, {"y * ceil(x / y)", "$B$3*-INT(-(X_here/$B$3-0.000000001))"}, {"floor(x / y)", "INT(X_here/$B$3+0.000000001)"}, {"floor(x - y)", "INT(X_here-$B$3+0.000000001)"},
		{"known(x) + slack", "ISNUMBER(X_here)+0.000000001"},
		{"n * 2", "A6*2"}, {"up + n", "'Other'!$B$3+A6"}, {"above(n, 5)", "A5"}, {"below(n + 1, 5)", "A7+1"}, {"2 * above(n + up, 0)", "2*(A5+'Other'!$B$2)"}, {"above(above(n, x), 0)", "X_here"},
		{"at(n, 1)", "$A$5"}, {"at(n, y + 1)", "INDEX($A$5:$A$7,$B$3+1)"}, {"at(sum, 4)", "$D$8"}, {"at(up, y)", "INDEX('Other'!$B$2:$B$4,$B$3)"}, {"past(n, y)", "INDEX($A$5:A6,$B$3)"},
		{"rank(up, y)", "MATCH($B$3,'Other'!$B$2:$B$4,1)"}, {"pick(n, up, 3)", `IFERROR(INDEX($A$5:$A$7,MATCH(3,'Other'!$B$2:$B$4,0)),"?")`}, {"total(n)", "SUM($A$5:$A$7)"}, {"total(n, y)", "SUM($A$5:$A$6)"},
		{"total(sum)", "SUM($D$5:$D$8)"}, {"2 * double", "2*(X_here*2)"}, {"1 + double", "1+X_here*2"}, {"2 - far", "2-(A6+1)"},
	} {
		table := formula.New([]formula.Rule{{Name: "x"}, {Name: "y"}, {Name: "z"}, {Name: "double", Text: "x * 2"}},
			[]formula.Rule{{Name: "n"}, {Name: "up"}, {Name: "ok"}, {Name: "sum", Text: "above(sum + n, 0)", Longer: true}, {Name: "far", Text: "n + 1"}, {Name: "answer", Text: c.rule}})
		b := New(Meta{Title: "rules"})
		s, other, inputs := b.Sheet("Rules"), b.Sheet("Other"), b.Sheet("Inputs")
		p := &ruled{sheet: s, rules: table.Work(3, map[string]float64{"x": 7, "y": 2, "z": 5}, map[string][]float64{"n": {10, 20, 30}, "up": {1, 3, 8}, "ok": {1, 0, 1}}),
			names: map[string]string{"x": "X_here"}, words: map[string]bool{"ok": true}, none: map[string]string{"answer": "?"},
			places: map[string]Range{"y": s.At(3, 2), "n": s.Block(5, 1, 7, 1), "ok": s.Block(5, 3, 7, 3), "sum": s.Block(5, 4, 7, 4), "up": other.Block(2, 2, 4, 2), "answer": s.Block(5, 5, 7, 5)}}
		if got := p.formula("answer", 1); got != c.want {
			t.Errorf("%s is printed as %s, want %s", c.rule, got, c.want)
			continue
		}
		inputs.Put(2, 2, Num(7, ""))
		b.Name("X_here", inputs.At(2, 2))
		s.Put(3, 2, Num(2, ""))
		for i := range 3 {
			for _, name := range []string{"n", "ok", "sum"} {
				p.put(name, i, Worked, "")
			}
			other.Put(2+i, 2, Num(p.rules.Row("up", i), ""))
		}
		p.put("sum", 3, Worked, "")
		p.put("answer", 1, Worked, "")
		// A spreadsheet's own working of the cell.
		var out bytes.Buffer
		if err := b.Write(&out); err != nil {
			t.Fatal(err)
		}
		f, err := excelize.OpenReader(&out)
		if err != nil {
			t.Fatal(err)
		}
		got, err := f.CalcCellValue("Rules", "E6", excelize.Options{RawCellValue: true})
		f.Close()
		want := p.rules.Row("answer", 1)
		if v, bad := strconv.ParseFloat(got, 64); err != nil || math.IsNaN(want) && got != "?" || !math.IsNaN(want) && (bad != nil || math.Abs(v-want) > 1e-12) {
			t.Errorf("%s is %g, in the sheet =%s %q %v", c.rule, want, c.want, got, err)
		}
	}
}

// TestRuledCells: a rule that is only a number on a row is written as one, words
// and no number as their text, dates and whole numbers as such.
func TestRuledCells(t *testing.T) {
	table := formula.New(nil, []formula.Rule{{Name: "sum", Text: "above(sum + 2, 3)"}, {Name: "ok", Text: "sum > 3"}, {Name: "day", Text: "sum + 45290"}, {Name: "gap", Text: "if(ok, sum, none)"}, {Name: "given"}})
	b := New(Meta{Title: "rules"})
	s := b.Sheet("Rules")
	p := &ruled{sheet: s, rules: table.Work(2, nil, map[string][]float64{"given": {1.5, 2.5}}), words: map[string]bool{"ok": true}, places: map[string]Range{}}
	formats := map[string]string{"sum": "0", "day": dateFormat}
	for i, name := range []string{"sum", "ok", "day", "gap", "given"} {
		p.places[name] = s.Block(1, i+1, 2, i+1)
	}
	for name := range p.places {
		for row := range 2 {
			p.put(name, row, Result, formats[name])
		}
	}
	for at, want := range map[[2]int]Cell{
		{1, 1}: {Kind: Value, Value: 3, Format: "0"}, {2, 1}: {Kind: Result, Formula: "A1+2", Value: 5, Format: "0"},
		{1, 2}: {Kind: Result, Formula: `IF(A1>3,"yes","no")`, Value: "no"}, {2, 2}: {Kind: Result, Formula: `IF(A2>3,"yes","no")`, Value: "yes"},
		{1, 4}: {Kind: Result, Formula: `IF(B1="yes",A1,"")`, Value: ""}, {2, 4}: {Kind: Result, Formula: `IF(B2="yes",A2,"")`, Value: 5.0},
		{1, 5}: {Kind: Value, Value: 1.5}, {2, 5}: {Kind: Value, Value: 2.5},
	} {
		if got := s.cells[at[0]][at[1]]; got != want {
			t.Errorf("row %d, column %d: %+v, want %+v", at[0], at[1], got, want)
		}
	}
	// 45293 is 2 January 2024.
	if got := s.cells[1][3]; got.Formula != "A1+45290" || got.Value != date(month.Date{Year: 2024, Month: time.January, Day: 2}) {
		t.Errorf("%+v", got)
	}
}
