package layout

import (
	"math"
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
