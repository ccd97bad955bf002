package caution

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestAcceptanceConcerns: a stop about two chemicals, and one about the water that all
// of them make, is let through by who names one of them, and by nobody who names another.
func TestAcceptanceConcerns(t *testing.T) {
	two := []Dose{dose(t, "alum-liquid", 16, quantity.AsAlum14), dose(t, "apam-dry", 0.1, quantity.AsProduct)}
	two[0].Name, two[1].Name = "alum", "floc aid"
	s := Situation{Water: with(beck(), func(w *Water) { w.Alkalinity = quantity.Some(quantity.Alkalinity(15)) }), Doses: two}
	for chemical, lets := range map[string]bool{"": true, "alum": true, "ALUM ": true, "floc aid": true, "ferric": false, "alum and floc aid": true, "al": false} {
		s.Accepted = []Acceptance{{Code: "alkalinity-gone", Chemical: chemical, By: "A. Keeper", Why: "limed"}}
		if f := Review(s); f.Stopped == lets {
			t.Errorf("%q: stopped %v", chemical, f.Stopped)
		}
	}
	for _, x := range []struct {
		about, own string
		want       bool
	}{{"alum and PACl", "pacl", true}, {"a, b and c", "b", true}, {"a, b and c", "a, b", false}, {"", "a", false}, {"", "", true}} {
		if got := (Acceptance{Chemical: x.own}).concerns(x.about); got != x.want {
			t.Errorf("%q about %q: %v", x.own, x.about, got)
		}
	}
}

// TestStopsSayWhoAccepts: every stop names who may take its risk, and what is no
// stop names nobody; a stop that stands says so.
func TestStopsSayWhoAccepts(t *testing.T) {
	for _, r := range Rules() {
		if (r.Level == note.Stop) != (r.Accepter != "") {
			t.Errorf("%s: level %s, accepted by %q", r.ID, r.Level, r.Accepter)
		}
	}
	s := Situation{Water: with(beck(), func(w *Water) { w.Alkalinity = quantity.Some(quantity.Alkalinity(15)) }), Doses: []Dose{dose(t, "alum-liquid", 16, quantity.AsAlum14)}}
	n := Review(s).Notes[0]
	if want := `enter "alkalinity-gone" in the site under Accepted with who takes the risk and why (it is for whoever answers for the treated water to accept)`; n.Level != note.Stop || !strings.HasSuffix(n.Remedy, want) {
		t.Errorf("%s: %q", n.Level, n.Remedy)
	}
}
