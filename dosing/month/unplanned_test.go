package month

import (
	"math/rand/v2"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// TestMonthThatNobodyCanPlan: where a stock goes off twelve minutes after it is made no list of the usual day keeps it ready, so that the month
// is one that nobody can run, and says so with the reason; a pump that is too small is told as that, and nothing is said of a site as it should be.
func TestMonthThatNobodyCanPlan(t *testing.T) {
	for name, x := range map[string]struct {
		change                func(*site.Site)
		unplanned, outOfReach bool
	}{
		"as it should be":    {func(*site.Site) {}, false, false},
		"a stock of minutes": {func(s *site.Site) { s.Stocks[0].Life.V = 0.2 }, true, false},
		"a pump too small":   {func(s *site.Site) { s.Pumps[0].Max.V /= 100 }, false, true},
	} {
		s := chainSite(rand.New(rand.NewPCG(1, 3)))
		s.Calendar = nil
		x.change(&s)
		p, notes, err := FromSite(s, Options{Given: catalogued, Month: Month{2026, 6}})
		if err != nil {
			t.Fatal(name, err)
		}
		if p.Unplanned() != x.unplanned || p.OutOfReach != x.outOfReach {
			t.Errorf("%s: not to be planned %v, out of reach %v", name, p.Unplanned(), p.OutOfReach)
		}
		told := false
		for _, n := range notes {
			told = told || n.Code == "no-plan" && n.Level == note.Caution && n.Remedy != "" && strings.HasPrefix(n.Message, "no plan can be made of the usual day: ")
		}
		if told != x.unplanned {
			t.Errorf("%s: said %v, in %v", name, told, notes)
		}
	}
}
