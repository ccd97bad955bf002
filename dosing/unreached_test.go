package dosing

import (
	"testing"
	"time"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// limedBy is the example in soft water with 60 mg/L of alum and 22 mg/L of lime from a stock of 20 g/L, at 3.6 m3/h: 22 x 3600 / 20 / 60 = 66 mL/min,
// by a pump that gives so much at most.
func limedBy(most string) func(site.Values) {
	return limedByHand(func(v site.Values) {
		lime := v["Chemicals"][1]
		lime["stock"], lime["pump"] = "lime slurry", "lime pump"
		v["Stocks"] = append(v["Stocks"], map[string]string{"name": "lime slurry", "product in stock": "20 g/L"})
		v["Pumps"] = append(v["Pumps"], map[string]string{"name": "lime pump", "largest rate": most})
		v["Place"][0]["staffed from"], v["Place"][0]["staffed till"] = "", ""
	})
}

// TestNoCoagulantWithoutItsAlkali: 60 mg/L of alum take 30.3 of the 50 mg/L CaCO3, which leaves 19.7, below the 20 at which a plan stops. The lime that
// gives it back takes 66 mL/min: a pump of 20 mL/min cannot feed it, so the plan is stopped, and its water is that without lime; one of 200 can.
func TestNoCoagulantWithoutItsAlkali(t *testing.T) {
	for most, stops := range map[string]bool{"20 mL/min": true, "200 mL/min": false} {
		s := exampleSite(t, limedBy(most))
		p := planOf(t, s, Given{Catalogue: products})
		p, r := p.Reviewed(s, time.Time{})
		n, gone := noted(r.Notes, AlkaliUnreached)
		if r.Stopped != stops || gone != stops || gone && n.Level != note.Caution {
			t.Errorf("%s: stopped %v, %v", most, r.Stopped, r.Notes)
		}
		if left := float64(r.Water.AlkalinityLeft); stops && (left < 19.6 || left > 19.8) || !stops && left < 40 {
			t.Errorf("%s: alkalinity %g is left", most, left)
		}
		month := Running{Site: s, Flow: p.Day.Average(), Peak: p.Day.Peak(), Hours: p.Running}
		feeds, _, err := Chemicals(s, Given{Catalogue: products})
		if err != nil {
			t.Fatal(err)
		}
		month.Feeds = WithPumps(s, feeds) // as a month has them
		if got := month.Review(); got.Stopped != stops {
			t.Errorf("%s: the month is stopped: %v", most, got.Stopped)
		}
	}
}
