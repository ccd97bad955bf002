package templates

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"
)

// leastFormulas is how many formulas the live sheets of a report have at least.
var leastFormulas = map[string]int{"plan": 20, "plan-settler": 15, "plan-stopped": 6, "clarify": 50, "clarify-never": 49, "clarify-hold": 53, "clarify-cone": 49, "compare": 10, "fit": 12, "ponds": 20}

// asWritten is a formula that compares two cells, which the library cannot read.
var asWritten = regexp.MustCompile(`^IF\(ABS\((\w+)-(\w+)\)<=0\.000001\*ABS\((\w+)\),"as written","CHANGED"\)$`)

// workOutAgain works every formula of a workbook out with the spreadsheet library:
// a program that does not calculate shows the same as one that does.
func workOutAgain(t *testing.T, f *excelize.File, list []bookCell, least int) {
	t.Helper()
	n := 0
	for _, c := range list {
		if c.formula == "" {
			continue
		}
		n++
		value := func(at string) string {
			v, err := f.CalcCellValue(c.sheet, at, excelize.Options{RawCellValue: true})
			if err != nil {
				t.Errorf("%s!%s: %v", c.sheet, at, err)
			}
			return v
		}
		if m := asWritten.FindStringSubmatch(c.formula); m != nil {
			if now, then := value(m[1]), value(m[2]); m[2] != m[3] || !agree(now, then) || c.value != "as written" {
				t.Errorf("%s!%s: %q against %s as written, %q is stored", c.sheet, c.at, now, then, c.value)
			}
		} else if got := value(c.at); !agree(got, c.value) {
			t.Errorf("%s!%s gives %q, %q is stored", c.sheet, c.at, got, c.value)
		}
	}
	if n < least {
		t.Errorf("%d formulas, at least %d should stand in the workbook", n, least)
	}
}

// agree compares numbers to 1e-9 and words as they are.
func agree(a, b string) bool {
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	if errX != nil || errY != nil {
		return a == b
	}
	return math.Abs(x-y) <= 1e-9*math.Max(1, math.Abs(y))
}
