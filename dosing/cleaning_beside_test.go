package dosing

import (
	"testing"

	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/jartest/note"
)

// TestBesideDay: aluminium in acid water that stops the site's day by one pass stops the run, which is many of them, about the chemical that the day says; no other stop
// of the day does, no caution, and nothing where the day is that of holding the tank.
func TestBesideDay(t *testing.T) {
	tank := clarify.Tank{Chemicals: []clarify.Chemical{{Name: "alum"}, {Name: "aid"}}}
	acid := note.New(note.Stop, "al-acid", "in acid water aluminium kills on the gills")
	for _, x := range []struct {
		name    string
		day     note.Note
		holding *caution.Findings
		about   string // empty where it is not said
	}{
		{"of the alum", acid.Concerning("alum"), nil, "alum"},
		{"of nobody knows which", acid, nil, "alum, aid"},
		{"a caution", note.New(note.Caution, "al-acid", "accepted"), nil, ""},
		{"another stop", note.New(note.Stop, "alkalinity-gone", "gone").Concerning("alum"), nil, ""},
		{"held", acid.Concerning("alum"), &caution.Findings{}, ""},
	} {
		c := Cleaning{CleaningInput: CleaningInput{Tank: tank, Day: note.List{x.day}}, Holding: x.holding}
		got := c.besideDay(nil)
		if (len(got) == 1) != (x.about != "") || x.about != "" && (got[0].Chemical != x.about || got[0].Code != "al-acid" || got[0].Level != note.Stop) {
			t.Errorf("%s: %v", x.name, got)
		}
	}
}
