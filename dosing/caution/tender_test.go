package caution

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/animal"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// saidOf lists the notes of those codes, by code.
func saidOf(f Findings, codes ...string) map[string]note.Note {
	out := map[string]note.Note{}
	for _, n := range f.Notes {
		if slices.Contains(codes, n.Code) {
			out[n.Code] = n
		}
	}
	return out
}

// TestMoult: animals that cast their shell are told of where a dose that harms as an overdose meets them at once as a caution, where it comes round to them as a note,
// and not where the water passes once, where nothing of that kind is dosed, or of fish.
func TestMoult(t *testing.T) {
	prawns := loopOfTrout(t)
	prawns.Stock = stock(t, "giant freshwater prawn")
	pond := prawns
	pond.Loop, pond.Pond = nil, true
	once := prawns
	once.Loop = nil
	fish := loopOfTrout(t)
	soda := prawns
	soda.Doses = []Dose{dose(t, "bicarbonate", 20, quantity.AsProduct)}
	for what, x := range map[string]struct {
		Situation
		want string
	}{"a loop": {prawns, "moult-around"}, "a pond": {pond, "moult-at-once"}, "water that passes once": {once, ""}, "trout": {fish, ""}, "bicarbonate": {soda, ""}} {
		got := saidOf(Review(x.Situation), "moult-at-once", "moult-around")
		if _, ok := got[x.want]; len(got) > 1 || x.want != "" && !ok || x.want == "" && len(got) > 0 {
			t.Errorf("%s: %v, want %q", what, got, x.want)
		}
	}
	if n := saidOf(Review(pond), "moult-at-once")["moult-at-once"]; n.Level != note.Caution || !strings.Contains(n.Message, "giant freshwater prawn moult") {
		t.Errorf("%+v", n)
	}
}

// TestUntested: of crabs a search found no test with any of it; the site's own test is one, and an alkali is none of it. Shrimp, trout and tilapia have some.
func TestUntested(t *testing.T) {
	var none []string
	for _, p := range animal.Profiles() {
		if animal.NothingOf(p.Group) && !slices.Contains(none, p.Group) {
			none = append(none, p.Group)
		}
	}
	if !slices.Equal(none, []string{"crab"}) {
		t.Errorf("nothing is known of %v", none)
	}
	s := loopOfTrout(t)
	s.Stock = stock(t, "mud crab")
	n, ok := saidOf(Review(s), "untested")["untested"]
	if !ok || n.Level != note.Caution || !strings.Contains(n.Message, "with crabs was found") || !strings.Contains(n.Remedy, "a few of them first") {
		t.Errorf("%+v", n)
	}
	if w, _ := WatchOf(s); len(w.Untested) != 1 || w.Untested[0].Message != n.Message {
		t.Errorf("the watch says %v", w.Untested)
	}
	s.Stock[0].Tests = []Bioassay{{Chemical: s.Doses[0].name(), LC50: 40, Hours: 96}}
	if got := saidOf(Review(s), "untested"); len(got) > 0 {
		t.Errorf("tested: %v", got)
	}
	s.Stock[0].Tests, s.Doses = nil, []Dose{dose(t, "bicarbonate", 20, quantity.AsProduct)}
	if got := saidOf(Review(s), "untested"); len(got) > 0 {
		t.Errorf("bicarbonate: %v", got)
	}
}

// TestNitrifiersOfACleanUp: a run of coagulant through a tank with animals is told of them, a plan of it is not.
func TestNitrifiersOfACleanUp(t *testing.T) {
	s := loopOfTrout(t)
	if got := saidOf(Review(s), "clean-nitrifiers"); len(got) > 0 {
		t.Errorf("a plan: %v", got)
	}
	s.Loop, s.Tank, s.Once = nil, 60000, s.Doses
	if n, ok := saidOf(Review(s), "clean-nitrifiers")["clean-nitrifiers"]; !ok || n.Level != note.Info {
		t.Errorf("a clean-up: %+v", n)
	}
}
