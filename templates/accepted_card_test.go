package templates

import (
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/jartest/note"
)

// TestCardsTellAcceptedStops: a card tells the risk that somebody took of its chemical, or of all, and none of another's.
func TestCardsTellAcceptedStops(t *testing.T) {
	var p Plan
	for _, x := range [][2]string{{"", "pH falls"}, {"Alum", "alkalinity falls"}, {"polymer", "it kills"}} {
		p.Findings.Taken = append(p.Findings.Taken, caution.Taken{Stop: note.New(note.Stop, "x", "%s", x[1]), By: caution.Acceptance{By: "A. Keeper", Why: "limed", Chemical: x[0]}})
	}
	var f dosing.Feed
	f.Name = "alum"
	got := strings.Join(p.acceptedFor(f, Options{}), "|")
	if want := "A stop, the risk accepted by A. Keeper (limed): pH falls.|A stop, the risk accepted by A. Keeper (limed): alkalinity falls."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
