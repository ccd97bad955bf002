package sheet

import "testing"

// The words that void a jar void a reading of any table; one that asks or tells of a fault leaves it in doubt.
func TestRemarked(t *testing.T) {
	for _, x := range []struct {
		text        string
		void, doubt bool
	}{
		{"spoiled, do not use", true, false}, {"discard", true, false}, {"ignore", true, false}, {"nothing to discard", false, false},
		{"meter misread", false, true}, {"dirty?", false, true}, {"foam thin", false, false}, {"", false, false},
	} {
		if void, doubt := Remarked(x.text); void != x.void || doubt != x.doubt {
			t.Errorf("%q: %v %v", x.text, void, doubt)
		}
	}
}
