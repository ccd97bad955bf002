package caution

import (
	"slices"
	"testing"

	"jarwright/jartest/note"
)

// TestEveryListIsWorstFirst: stops, then the grave cautions in their order, then others as they
// came, then notes; a grave code that is only a note is one of them.
func TestEveryListIsWorstFirst(t *testing.T) {
	var l note.List
	for _, x := range []struct {
		level note.Level
		code  string
	}{{note.Info, "loop-later"}, {note.Caution, "other"}, {note.Caution, "alkalinity-low"}, {note.Caution, "another"}, {note.Caution, "co2-high"}, {note.Stop, "stop"}, {note.Info, "n"}, {note.Caution, "loop-later"}} {
		l.Add(note.New(x.level, x.code, "said"))
	}
	got := ""
	for _, n := range WorstFirst(l) {
		got += n.Code + " "
	}
	if want := "stop loop-later co2-high alkalinity-low other another loop-later n "; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// TestGraveComesFirst: the soft hall that nobody feeds alkali is stopped on its second day; of the cautions the low alkalinity goes before
// every other (aluminium past the criterion), and notes and stops are none of them. Each code is a rule, but for those of portions by
// hand, which the plan of them and the watch say themselves.
func TestGraveComesFirst(t *testing.T) {
	f := Review(softHall(t))
	level(t, f, "loop-alkalinity-gone", note.Stop)
	if got := f.Grave(); len(got) != 2 || got[0].Code != "alkalinity-low" {
		t.Errorf("%v", got)
	}
	for _, code := range gravest {
		if !slices.Contains([]string{"go-past-stop", passesPH, passedTAN, "watch-passed-ph"}, code) {
			RuleNamed(code)
		}
	}
}
