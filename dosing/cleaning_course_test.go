package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestRunMakesEveryCheckOfAPlan: the water is judged at the worst moment of the run, by all
// that it got until then. 12.5 mg/L of alum at each of 3.37 turnovers (ln(89/4)/0.92, 21.6 m3
// at 3.6 m3/h) is 42.2 mg/L, which takes 21.3 mg/L as CaCO3 of 85 and frees 18.7 mg/L of
// carbon dioxide on top of 7 to 8 at pH 7.4; one pass frees 5.6, which trout (15) would bear.
func TestRunMakesEveryCheckOfAPlan(t *testing.T) {
	lime := map[string]string{"name": "lime", "product": "lime", "dose": "25 mg/L", "basis": "as Ca(OH)2"}
	for name, x := range map[string]struct {
		change    func(site.Values)
		says, not []string
		stopped   bool
	}{
		"carbon dioxide adds up": {func(v site.Values) { v["Water"][0]["ph"] = "7.4" }, []string{"co2-high"}, []string{"ph-too-low", "alkalinity-low"}, false},
		"well buffered": {func(v site.Values) {
			v["Animals"][0]["species"], v["Water"][0]["ph"], v["Water"][0]["alkalinity"] = "tilapia", "8.0", "150 mg/L CaCO3"
		},
			nil, []string{"co2-high", "alkalinity-low", "ph-outside-range", "ph-step", "ph-step-some"}, false},
		"soft water of shrimp": {func(v site.Values) { v["Animals"][0]["species"] = "whiteleg shrimp" }, []string{"alkalinity-low"}, nil, false},
		"too much lime": {func(v site.Values) {
			v["Chemicals"] = append(v["Chemicals"], lime)
			v["Water"][0]["total ammonia"] = "3 mg/L"
		}, []string{"ph-too-high", "nh3-lethal"}, nil, true},
		"acid in soft water":               {func(v site.Values) { v["Water"][0]["alkalinity"], v["Water"][0]["ph"] = "24 mg/L CaCO3", "7.0" }, []string{"alkalinity-gone", "ph-too-low"}, nil, true},
		"ammonia that aeration would free": {func(v site.Values) { v["Water"][0]["total ammonia"], v["Water"][0]["ph"] = "4 mg/L", "8.4" }, []string{"nh3-aerated"}, []string{"nh3-high"}, false},
		"crab in fresh water": {func(v site.Values) { v["Animals"][0]["species"], v["Water"][0]["salinity"] = "mud crab", "0 g/kg" },
			[]string{"salinity-outside"}, nil, false},
	} {
		c := cleaned(t, x.change)
		for _, code := range x.says {
			if n, ok := noted(c.Notes, code); !ok || strings.ContainsAny(n.Message+n.Remedy, "{}") {
				t.Errorf("%s: %s was not said, or not whole: %v", name, code, c.Notes)
			}
		}
		for _, code := range x.not {
			if _, ok := noted(c.Notes, code); ok {
				t.Errorf("%s: %s was said", name, code)
			}
		}
		if c.Stopped != x.stopped {
			t.Errorf("%s: stopped %v: %v", name, c.Stopped, c.Notes.Only(note.Stop))
		}
	}
	c := cleaned(t, func(v site.Values) { v["Water"][0]["ph"] = "7.4" })
	alum := 12.5 * float64(c.Turnovers) // 14-hydrate: 594.35 g with two of aluminium, part of which stays dissolved
	closed, _ := water.Dose(c.Before, water.Addition{Acid: quantity.Alkalinity(alum * 0.5051), Aluminium: quantity.Molarity(alum * 2 / 594.35)})
	worst := closed.CO2
	n, _ := noted(c.Notes, "co2-high")
	if show := quantity.To(quantity.Number(float64(worst)), 3).String(); !strings.Contains(n.Message, "to "+show+" mg/L") {
		t.Errorf("%q does not say %s", n.Message, show)
	}
}
