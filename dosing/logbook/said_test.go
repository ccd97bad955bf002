package logbook

import "testing"

// The words of plain talk in the languages of the table, and what denies them.
func TestWhatLogsSay(t *testing.T) {
	type says func(string) bool
	for _, x := range []struct {
		of   says
		text string
		is   bool
	}{
		{Stood, "off", true}, {Stood, "Stopped", true}, {Stood, "standing", true}, {Stood, "unit off", true}, {Stood, "none", true}, {Stood, "aus", true}, {Stood, "arrêtée", true},
		{Stood, "not stopped", false}, {Stood, "off 2 h", false}, {Stood, "12", false}, {Stood, "fast", false}, {Stood, "", false},
		{Halted, "pump tripped at 14:00", true}, {Halted, "did not stop", false}, {Halted, "thick foam", false},
		{Altered, "fed 2 kg", true}, {Altered, "new water", true}, {Altered, "refilled", true}, {Altered, "gefüttert", true}, {Altered, "not fed", false}, {Altered, "clear", false},
	} {
		if got := x.of(x.text); got != x.is {
			t.Errorf("%q: %v", x.text, got)
		}
	}
}
