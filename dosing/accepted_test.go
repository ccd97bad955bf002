package dosing

import (
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// floccedPond is the example with a cationic polymer of which the floc was measured to take nothing, whose
// stop its animals call up in the plan, and the tank's in the clean-up.
func floccedPond(accepted ...map[string]string) func(site.Values) {
	return func(v site.Values) {
		c := v["Chemicals"][1]
		c["product"], c["basis"], c["dose"], c["dose in storm water"] = "polyamine", "as active polymer", "0.05 mg/L", "0.5 mg/L"
		c["capture"] = "0 %"
		delete(c, "dose low")
		delete(c, "dose high")
		v["Accepted"] = accepted
	}
}

func accept(code, chemical string) map[string]string {
	return map[string]string{"code": code, "chemical": chemical, "accepted by": "A. Keeper", "reason": "bioassay on file"}
}

// judged is what stands against a site's day and against the clean-up of its tank.
func judged(t *testing.T, s site.Site) (Review, Cleaning) {
	t.Helper()
	g := Given{Catalogue: products}
	p := planOf(t, s, g)
	_, r := p.Reviewed(s, time.Time{})
	tank, err := CleaningFromSite(s, g, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := Clean(tank)
	if err != nil {
		t.Fatal(err)
	}
	return r.AlsoForCleaning(s, g, time.Time{}), c
}

// TestAdviceNeverStopsAnother: an acceptance that the plan needs in storm water only,
// or the clean-up alone, is not called idle by the plan; one that nothing needs is.
// One that names its chemical counts in both. The day is of water that passes once and is stopped at half of what kills half, the clean-up of the
// tank's own water, at a tenth: each by its own name, and the clean-up by that which it had before as well.
func TestAdviceNeverStopsAnother(t *testing.T) {
	for _, x := range []struct {
		code, chemical string
		idle           bool
	}{
		{"cationic-lethal", "", false}, // 0.5 mg/L in storm water is above 0.1355, 0.05 is not
		{"cationic-lethal", "polymer", false},
		{"polymer-stocked", "", false},
		{"polymer-stocked", "polymer", false},
		{"residual-builds-up", "", false}, // in the tank, not in the plan
		{"residual-builds-up", "polymer", false},
		{"residual-builds-up", "alum", true},
		{"ph-too-high", "", true},
	} {
		r, c := judged(t, exampleSite(t, floccedPond(accept(x.code, x.chemical))))
		idle := slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "accepted-unused" })
		if idle != x.idle {
			t.Errorf("%s for %q: called idle %v: %v", x.code, x.chemical, idle, r.Notes)
		}
		lets := (x.code == "polymer-stocked" || x.code == "residual-builds-up") && x.chemical != "alum"
		if c.Stopped == lets {
			t.Errorf("%s for %q: cleaning stopped %v: %v", x.code, x.chemical, c.Stopped, c.Notes.Only(note.Stop))
		}
	}
}

// TestEachRuleIsAccepted: trout have a figure of their own for a cationic polymer (half of 0.271
// mg/L stops it) and sturgeon none, so that what trout die of stops it for them. Whoever takes one risk of the day has not taken the other. The run, in the
// water of both, has one stop for both, at a tenth, which neither name opens.
func TestEachRuleIsAccepted(t *testing.T) {
	for codes, stopped := range map[string]bool{"": true, "cationic-lethal": true, "cationic-borrowed-stop": true, "cationic-lethal cationic-borrowed-stop": false} {
		var accepted []map[string]string
		for _, c := range strings.Fields(codes) {
			accepted = append(accepted, accept(c, "polymer"))
		}
		s := exampleSite(t, func(v site.Values) {
			floccedPond(accepted...)(v)
			v["Chemicals"][1]["dose"] = "0.5 mg/L"
			v["Animals"] = append(v["Animals"], map[string]string{"name": "pond", "species": "sturgeon"})
		})
		r, c := judged(t, s)
		if r.Stopped != stopped || !c.Stopped || !slices.Equal(stopCodes(c.Notes), []string{"polymer-stocked"}) {
			t.Errorf("%q: day stopped %v, want %v, run %v: %v and %v", codes, r.Stopped, stopped, c.Stopped, stopCodes(r.Notes), stopCodes(c.Notes))
		}
	}
}
