package templates

import "testing"

// TestBlockDigits: digits in three lines; the unit's own digits and words stay small.
func TestBlockDigits(t *testing.T) {
	for _, c := range []struct {
		said string
		rows [3]string
		any  bool
	}{
		{"13.4 mg/L", [3]string{" \u2584\u2588  \u2580\u2580\u2580\u2588   \u2588  \u2588     ", "  \u2588   \u2580\u2580\u2588   \u2580\u2580\u2580\u2588     ", " \u2584\u2588\u2584 \u2584\u2584\u2584\u2588 \u2584    \u2588 mg/L"}, true},
		{"7 m3", [3]string{"\u2580\u2580\u2580\u2588   ", "   \u2588   ", "   \u2588 m3"}, true},
		{"none", [3]string{"    ", "    ", "none"}, false},
	} {
		rows, ok := blockDigits(c.said)
		if ok != c.any || rows != c.rows {
			t.Errorf("%s: %v\n%q\n%q\n%q", c.said, ok, rows[0], rows[1], rows[2])
		}
		if columns(rows[0]) != columns(rows[2]) || columns(rows[1]) != columns(rows[2]) {
			t.Errorf("%s: lines of %d, %d and %d columns", c.said, columns(rows[0]), columns(rows[1]), columns(rows[2]))
		}
	}
}
