package dosing

import (
	"strings"
	"testing"
	"time"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// limedByHand is the example round the clock in soft water, with 60 mg/L of alum from its pump and as much lime, by hand, as gives back
// what that takes: 60 x 6 x 50.0435/594.34 = 30.3 mg/L as CaCO3.
func limedByHand(change func(site.Values)) func(site.Values) {
	return func(v site.Values) {
		v["Chemicals"] = append(v["Chemicals"][:1:1], map[string]string{"name": "lime", "product": "lime", "dose": "22 mg/L", "basis": "as product"})
		v["Prices"], v["Calendar"] = nil, nil
		alum := v["Chemicals"][0]
		for _, f := range []string{"dose low", "dose high", "dose in storm water", "dose in clear water"} {
			delete(alum, f)
		}
		alum["dose"], alum["basis"] = "60 mg/L", "as alum 14-hydrate"
		w := v["Water"][0]
		w["pH"], w["alkalinity"] = "7.4", "50 mg/L CaCO3"
		delete(w, "pH of the chosen jar")
		v["Place"][0]["staffed from"], v["Place"][0]["staffed till"] = "06:00", "20:00"
		if change != nil {
			change(v)
		}
	}
}

// TestWhileNobodyFeedsAlkali: in the ten hours from 20 to 6 the pump doses on and nobody feeds lime: 50 less 30.3 leaves 19.7, below the
// 20 at which a plan stops; the day itself has lime and goes on. With more alkalinity, or lime from a pump, or somebody there all day, nothing stops.
func TestWhileNobodyFeedsAlkali(t *testing.T) {
	for name, x := range map[string]struct {
		change func(site.Values)
		left   string
		stops  bool
	}{
		"soft": {nil, "alkalinity is then 19.7 mg/L CaCO3", true},
		"harder": {func(v site.Values) { v["Water"][0]["alkalinity"] = "120 mg/L CaCO3" },
			"alkalinity is then 89.7 mg/L CaCO3", false},
		"somebody is there": {func(v site.Values) { delete(v["Place"][0], "staffed from"); delete(v["Place"][0], "staffed till") }, "", false},
		"no lime at all":    {func(v site.Values) { v["Chemicals"] = v["Chemicals"][:1]; v["Chemicals"][0]["dose"] = "20 mg/L" }, "", false},
	} {
		s := exampleSite(t, limedByHand(x.change))
		p := planOf(t, s, Given{Catalogue: products})
		_, r := p.Reviewed(s, time.Time{})
		said, gone := "", false
		for _, n := range r.Notes {
			if n.Code == "alkali-unfed" {
				said = n.Message
			}
			gone = gone || n.Code == "alkalinity-gone" && n.Level == note.Stop && strings.HasPrefix(n.Message, "while nobody feeds lime: ")
		}
		if (said == "") != (x.left == "") || !strings.Contains(said, x.left) || gone != x.stops || r.Stopped != x.stops {
			t.Errorf("%s: %q, stops %v %v:\n%v", name, said, gone, r.Stopped, r.Notes)
		}
	}
	s := exampleSite(t, limedByHand(func(v site.Values) {
		v["Accepted"] = []map[string]string{accept("alkalinity-gone", "")}
	}))
	if _, r := planOf(t, s, Given{Catalogue: products}).Reviewed(s, time.Time{}); r.Stopped || len(r.Taken) != 1 {
		t.Errorf("accepted: stopped %v, taken %v", r.Stopped, r.Taken)
	}
}
