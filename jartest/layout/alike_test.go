package layout

import "testing"

// TestRepeatsInOneCell: two numbers of one cell are repeats where they read so; a number with its factor
// is asked about. How near repeats lie is common practice, no source.
func TestRepeatsInOneCell(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64 // of the mean; 0 for none
	}{
		{"34.1 / 35.2 / 33.9", 34.4}, {"41/42", 41.5}, {"4/6", 5}, {"0.4; 0.7", 0.55}, {"7.1, 7.3", 7.2},
		{"4 /20", 0}, {"13.7 /1000", 0}, {"59.12 /100", 0}, {"13 /10", 0}, {"6.2 / 62", 0}, {"4.5 + 45", 0},
	} {
		v := ParseText(c.text, DecimalPoint).AsReading()
		if got := v.OK(); got != (c.want > 0) || got && (v.Num-c.want > 1e-9 || c.want-v.Num > 1e-9) {
			t.Errorf("%q: %v %v, want %v", c.text, v.State, v.Num, c.want)
		}
		if c.want == 0 && (v.State != Unclear || v.Doubt != NotRepeats) {
			t.Errorf("%q: %v with doubt %q", c.text, v.State, v.Doubt)
		}
	}
}

// TestFilledCellsSpeak: a cell with a number in it is read, or says why not.
func TestFilledCellsSpeak(t *testing.T) {
	for text, doubt := range map[string]string{
		"? 12": "has a word for missing and a number", "spilled 5": "has a word for missing and a number", "nicht gemessen 5": "has a word for missing and a number",
		"÷10 4": "has a factor", "/100 14.3": "has a factor", "x10 6.2": "has a factor",
	} {
		if v := ParseText(text, DecimalPoint); v.State != Unclear || v.Doubt != doubt {
			t.Errorf("%q: %v with doubt %q, want %q", text, v.State, v.Doubt, doubt)
		}
	}
	for _, text := range []string{"spilled", "n/a", "-", "nicht gemessen"} { // words that were understood need no number
		if v := ParseText(text, DecimalPoint); v.State != Missing {
			t.Errorf("%q: %v", text, v.State)
		}
	}
}
