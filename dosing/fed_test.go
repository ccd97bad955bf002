package dosing

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// TestFedADay: 250 lb/d into 3 MGD is 10 mg/L but for the US gallon and pound:
// 250 x 453.59237 g over 3e6 x 3.785411784 L is 9.98553 mg/L, whatever the hours are
// that the unit runs for.
func TestFedADay(t *testing.T) {
	for fed, want := range map[string]float64{"250 lb/d": 9.98553, "113.398 kg/d": 9.98553} {
		s := exampleSite(t, func(v site.Values) {
			v["Flow"] = []map[string]string{{"average flow": "3 MGD"}}
			v["Chemicals"] = []map[string]string{{"name": "alum", "product": "alum-liquid", "fed a day": fed, "basis": "as alum 14-hydrate"}}
			v["Prices"] = nil
		})
		feeds, _, err := Chemicals(s, Given{Catalogue: products})
		if err != nil || len(feeds) != 1 || math.Abs(float64(feeds[0].Dose.Concentration)-want) > 1e-5 {
			t.Errorf("%s: %+v, %v", fed, feeds, err)
		}
	}
	s := exampleSite(t, func(v site.Values) { v["Chemicals"][0]["fed a day"] = "2 kg/d" })
	if _, _, err := Chemicals(s, Given{Catalogue: products}); err == nil || note.Of(err, "?")[0].Code != "dose-twice" {
		t.Errorf("with a dose too: %v", err)
	}
	v := site.Example("", "")
	v["Chemicals"][0]["dose"] = "120 lb/day"
	var b strings.Builder
	if err := site.WriteYAML(&b, v); err != nil {
		t.Fatal(err)
	}
	if _, err := site.Read("site.yaml", strings.NewReader(b.String())); err == nil || !strings.Contains(err.Error(), `"fed a day"`) {
		t.Errorf("a dose by the day: %v", err)
	}
}
