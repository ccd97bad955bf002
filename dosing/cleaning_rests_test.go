package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestRunRestsOnAGuess: what stops the site's day by what a polymer leaves stops the run too, where all that it doses passes the same line and
// nobody measured what is caught: 3.5 turnovers of 0.4 mg/L are 1.4 mg/L of active polymer, ten times 0.136, half of the 0.271 mg/L that killed
// half of rainbow trout (Goodrich et al. 1991, abstract). A measured capture, a smaller dose or a stop of something else leave it a caution; what a stop is of
// is told by the note, not by how its words begin.
func TestRunRestsOnAGuess(t *testing.T) {
	line := clarify.Bound{Rule: "cationic-lethal", At: 0.136}
	for _, x := range []struct {
		name     string
		worst    float64
		measured bool
		day      note.Note
		stops    bool
	}{
		{"past the line", 1.4, false, note.New(note.Stop, "cationic-lethal", "2.88 mg/L of it may stay").Concerning("polymer"), true},
		{"below it", 0.1, false, note.New(note.Stop, "cationic-lethal", "2.88 mg/L of it may stay").Concerning("polymer"), false},
		{"measured", 1.4, true, note.New(note.Stop, "cationic-lethal", "2.88 mg/L of it may stay").Concerning("polymer"), false},
		{"of another chemical", 1.4, false, note.New(note.Stop, "cationic-lethal", "polymer: 2.88 mg/L may stay").Concerning("aid"), false},
		{"a day that goes on", 1.4, false, note.New(note.Caution, "cationic-near", "2.88 mg/L of it may stay").Concerning("polymer"), false},
	} {
		tank := clarify.Tank{Chemicals: []clarify.Chemical{{Name: "polymer", Stops: []clarify.Bound{line}, HasCapture: x.measured}}}
		c := Cleaning{CleaningInput: CleaningInput{Tank: tank, Day: note.List{x.day}}}
		c.Result.Tank, c.Result.Final.Residuals = tank, []clarify.Residual{{Bound: 1.4, Worst: quantity.Concentration(x.worst)}}
		rises := caution.Said{Note: note.New(note.Caution, clarify.Rises, "polymer builds up"), Chemical: "polymer"}
		got := c.besideDay([]caution.Said{rises})
		if stops := len(got) == 1 && got[0].Level == note.Stop; stops != x.stops || !x.stops && (len(got) != 1 || got[0].Code != clarify.Rises) {
			t.Errorf("%s: %v", x.name, got)
		} else if stops && !strings.Contains(got[0].Message, "the day plan of this site is stopped by the same") {
			t.Errorf("%q", got[0].Message)
		}
	}
}
