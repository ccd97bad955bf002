package templates

import (
	"strings"
	"testing"

	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/surface"
)

// TestUnitInDoubtIsAskedFirst: where the doses of a sheet are such that their unit is in doubt, the question stands in the place of
// the dose, with what the dose would be under it, and no order to dose it; another sheet keeps its own answer.
func TestUnitInDoubtIsAskedFirst(t *testing.T) {
	ask := note.New(note.Caution, "very-high-dose", "doses in column %q go beyond 5 g/L of water", "Alum (g/L)").At(note.Place{File: "beck.csv", Sheet: "Tue", Cell: "B1"}).Do("check the unit and the stock")
	r := FitReport{Results: []curve.Result{madeFit()}, Notes: note.List{ask}}
	text := oneLine(shownText(t, r, Options{}))
	asked, said, jars := strings.Index(text, "Is the unit right?"), strings.Index(text, "go beyond 5 g/L of water"), strings.Index(text, "Lowest effective dose")
	if asked < 0 || said < asked || jars < said || strings.Count(text, "go beyond 5 g/L of water") != 1 {
		t.Errorf("asked at %d, said at %d, the dose at %d", asked, said, jars)
	}
	for want, there := range map[string]bool{"as it stands the planning dose is 13.4 mg/L": true, "Dose nothing before the unit of the doses is settled.": true, "look at the water, then test again": false, "9 times in 10": false} {
		if strings.Contains(text, want) != there {
			t.Errorf("%q there is %v in %s", want, !there, text[:min(len(text), 900)])
		}
	}
	other := ask
	other.Place.Sheet = "Wed"
	r.Notes = note.List{other}
	if text := oneLine(shownText(t, r, Options{})); strings.Contains(text, "Is the unit right?") || !strings.Contains(text, "look at the water, then test again") {
		t.Error("a question to one sheet is asked of another")
	}
	r = FitReport{Results: []curve.Result{madeFit(), madeFit()}, Surfaces: []surface.Result{}, Notes: note.List{ask}}
	if a := r.doubted().several(Options{}, 2); !strings.HasPrefix(a.Order, "Dose nothing by a test whose unit is in doubt") {
		t.Error(a.Order)
	}
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// TestNoMarkOfNothing: a day that has no list of jobs has no numbers of them on its board, and no times in its title.
func TestNoMarkOfNothing(t *testing.T) {
	p := sitePlan(t, nil)
	p.todo, p.Feeds = p.todo[:1], p.Feeds[:1]
	for i := range p.Hours {
		p.Hours[i].Feeds = p.Hours[i].Feeds[:1]
	}
	if d := p.Drawing(Options{}); strings.Contains(d.Title, "Be there") || len(p.jobTimes()) != 0 {
		t.Errorf("%s, %v", d.Title, p.jobTimes())
	}
}
