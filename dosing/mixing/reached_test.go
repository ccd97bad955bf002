package mixing

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestReached: a curve of 300 1/s at 250 rpm in water of 20 C makes 300·1.2^1.5 = 394.4 1/s at 300 rpm; a plant of 600 1/s for 1 min
// takes 250·2^(2/3) = 396.9 rpm, and at 300 rpm 600/394.4 = 1.521 min. Within reach the plant's own G and time stand.
func TestReached(t *testing.T) {
	s := Stirrer{At: 20, Points: []StirrerPoint{{250, 300}}}
	jar := Stage{Rapid, 200, 1.0 / 60}
	for _, c := range []struct {
		plant Stage
		says  string
	}{
		{Stage{Rapid, 600, 1.0 / 60}, "stir the jar at 300 rpm for 1.52 min: the plant's G of 600 1/s would take 400 rpm"},
		{Stage{Rapid, 250, 3.0 / 60}, "stir the jar for 3 min at the plant's G of 250 1/s"},
		{Stage{Rapid, 600, 1.0 / 600}, "stir the jar at 300 rpm for 9.13 s"},
	} {
		step, err := s.Mimic(c.plant, 20)
		if err != nil {
			t.Fatal(err)
		}
		got := step.Reached(Compare(jar, c.plant, false).Notes).Only(note.Caution)
		if len(got) != 1 || !strings.HasPrefix(got[0].Remedy, c.says) {
			t.Errorf("%v: %v, want %q", c.plant, got, c.says)
		}
	}
	// What is as it should be stays as it is.
	step, _ := s.Mimic(Stage{Rapid, 600, 20.0 / 3600}, 20)
	if got := step.Reached(Compare(jar, step.Plant, false).Notes); len(got) == 0 || len(got.Only(note.Caution)) != 0 || got[0].Remedy != "" {
		t.Errorf("%v", got)
	}
}
