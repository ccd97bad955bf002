package caution

import "testing"

// TestGraveComesFirst: in the soft hall that nobody feeds alkali the stop of the second day
// goes before the low alkalinity, and this before every other caution (aluminium past the criterion); notes and every stop stay where they are. Each code is a rule.
func TestGraveComesFirst(t *testing.T) {
	got := Review(softHall(t)).Grave()
	if len(got) != 3 || got[0].Code != "loop-later" || got[1].Code != "alkalinity-low" {
		t.Errorf("%v", got)
	}
	for _, code := range gravest {
		RuleNamed(code)
	}
}
