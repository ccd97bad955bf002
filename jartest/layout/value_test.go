package layout

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"jarwright/jartest/grid"
	"jarwright/jartest/words"
)

// FuzzValue: no text makes the value parser fail, and what it calls a number is one.
func FuzzValue(f *testing.F) {
	for _, s := range []string{"12.5", "12,5", "1 200 mg/L", "<0.5", "> 1000", "ND (<0.02)", "142 ± 6", "142±6 (n=3)", "~35", "12.5*", "10-12", "4.4 / 4.6", "1.250,5", "12,500", "2024-05-01", "1:30", "over range", "-", "1e5", "1.2 x 10^3", "½", "١٢", "=1", "+-", "n/a", "%", "1/2", ".", "1..2"} {
		for d := range 4 {
			f.Add(s, uint8(d))
		}
	}
	f.Fuzz(func(t *testing.T, s string, d uint8) {
		v := ParseValue(grid.Cell{Kind: grid.Textual, Text: s}, Decimals(d%4))
		if v.OK() && (math.IsNaN(v.Num) || math.IsInf(v.Num, 0)) {
			t.Fatalf("%q is read as %v", s, v.Num)
		}
		if v.OK() && !strings.ContainsAny(words.Fold(s), "0123456789") {
			t.Fatalf("%q holds no digit and is read as %v", s, v.Num)
		}
		if (v.State == Below || v.State == Above) && v.Limit && !strings.ContainsAny(words.Fold(s), "0123456789") {
			t.Fatalf("%q holds no digit and has the limit %v", s, v.Num)
		}
		ReadHeading(s)
	})
}

// Commas part thousands where the figures of a column are in order only so, and fractions
// where they are in order only so; else nothing is settled.
func TestDecimalsByOrder(t *testing.T) {
	for column, want := range map[string]Decimals{
		"12,450 3,120 640 95 48": DecimalPoint,
		"48 95 640 3,120 12,450": DecimalPoint,
		"1,250 2,500 5 10":       DecimalComma,
		"1,250 2,500 3,750":      DecimalsUnknown, // in order both ways
		"1,250 640 2,500 95":     DecimalsUnknown, // in order neither way
		"12,450 640 95":          DecimalsUnknown, // one cell may be a slip
		"12,450 3,120 640":       DecimalsUnknown,
		"12450 3120 640 95":      DecimalsUnknown,
	} {
		if got := orderSays(strings.Fields(column)); got != want {
			t.Errorf("%s says %d, want %d", column, got, want)
		}
	}
	for text, want := range map[string]Decimals{
		"a;12,450\nb;3,120\nc;640\nd;95\n":                                   DecimalPoint,
		"a;12,450;1,250\nb;3,120;2,500\nc;640;5\nd;95;10\n":                  DecimalsUnknown, // two columns disagree
		"a;12,450\nb;3,120\nc;\nd;640\nd;95\n":                               DecimalsUnknown, // two runs
		"a;x\nb;12,450\nb;3,120\nc;640\nd;95\n;\nb;8,900\nc;9,100\nd;1\ne;2": DecimalPoint,
	} {
		grids, _, err := Open("t.csv", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if got, _, _ := DecimalsByOrder(grids[0]); got != want {
			t.Errorf("%q says %d, want %d", text, got, want)
		}
	}
}

// Arabic digits have marks of their own for fractions and thousands.
func TestArabicMarks(t *testing.T) {
	for text, want := range map[string]float64{"٥٫٥": 5.5, "١٢": 12, "٠٫٣": 0.3, "١٬٢٠٠٫٥": 1200.5} {
		if v := ParseText(text, DecimalsUnknown); !v.OK() || v.Num != want {
			t.Errorf("%s is %v (%s), want %v", text, v.Num, v.Doubt, want)
		}
	}
}

// TestPlainFigures: what is read of a figure without the search for words is what the search finds, and
// such a figure is never a heading by itself.
func TestPlainFigures(t *testing.T) {
	for _, s := range []string{"0", "12", "007", "1980", "2026", "1234567", "3.14", "1.250", "12.05", "45350.2", "5.", ".5", "0.0001", "99999.9"} {
		if !plainFigure(s) {
			t.Errorf("%q is not plain", s)
		}
		for _, d := range []Decimals{DecimalsUnknown, DecimalPoint, DecimalComma, DecimalsMixed} {
			if short, long := takeValue(s, d), takeValue(" "+s, d); !reflect.DeepEqual(short, long) {
				t.Errorf("%q with %v: %+v, searched for words %+v", s, d, short, long)
			}
		}
		if h := ColumnHeading(s); h.Strong() || h.Bounded {
			t.Errorf("%q heads a column: %+v", s, h)
		}
	}
	for _, s := range []string{"", ".", "1.2.3", "20260302", "1,5", "-3", "+3", "5 ", "1e3", "5a", "½"} {
		if plainFigure(s) {
			t.Errorf("%q is plain", s)
		}
	}
}
