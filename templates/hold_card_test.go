package templates

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestHoldCardSaysHowManyMore: the card of a hold has its first two cautions and how many stand on the first sheet beside them; of three, all.
func TestHoldCardSaysHowManyMore(t *testing.T) {
	for n, want := range map[int]string{3: "Caution 2.", 4: "2 more on the first sheet: read them first.", 6: "4 more on the first sheet: read them first."} {
		r := heldLoop(t)
		r.Cleaning.Notes = nil
		for i := range n {
			r.Cleaning.Notes.Add(note.New(note.Caution, fmt.Sprint("c", i), "caution %s", fmt.Sprint(i)))
		}
		c := r.Cards(Options{})[0]
		if len(c.Cautions) != 3 || c.Cautions[0] != "Caution 0." || strings.ReplaceAll(c.Cautions[2], "\u00a0", " ") != want {
			t.Errorf("%d cautions: %q", n, c.Cautions)
		}
	}
}
