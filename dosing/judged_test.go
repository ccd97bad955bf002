package dosing

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// clears is a test in which 10 mg/L leave 20 NTU of 50, 20 mg/L leave 8 and 30 mg/L leave 4.
func clears() jartest.Series {
	s := tried(quantity.AsAlum14, map[jartest.Key]float64{jartest.PH: 7.4, jartest.AlkalinityKey: 80, jartest.Turbidity: 50},
		[4]float64{0, 7.4, 80, -1}, [4]float64{10, 7.2, 75, -1}, [4]float64{20, 7.0, 69, -1}, [4]float64{30, 6.9, 65, -1})
	for i, ntu := range []float64{50, 20, 8, 4} {
		s.Jars[i].Readings.Set(jartest.Turbidity, jartest.Num(ntu, "NTU"))
	}
	return s
}

// TestJarsJudgeTheStatedDose: on the straight line between the jars 15 mg/L leave 20 - 12 x 5/10 = 14 NTU and take
// out 72 %; 25 mg/L leave 6; above 30 mg/L no jar tells, and five times that is asked about as a slip of the pen.
func TestJarsJudgeTheStatedDose(t *testing.T) {
	for _, x := range []struct {
		what, dose, target string
		change             func(site.Values, *jartest.Series)
		code, says         string // no code: nothing is said
	}{
		{"below its target", "15 mg/L", "turbidity <= 6 NTU", nil, "dose-misses-target",
			"alum: the jars of bench show the dose missing its target: at 15 mg/L as alum 14-hydrate they read turbidity 14 NTU (8 to 20 between jars 2 and 3), and the target is turbidity <= 6 NTU"},
		{"a jar's own", "20 mg/L", "turbidity <= 6 NTU", nil, "dose-misses-target", "they read turbidity 8 NTU in jar 3,"},
		{"it is met on the line", "25 mg/L", "turbidity <= 6 NTU", nil, "", ""},
		{"too little removed", "15 mg/L", "turbidity removal >= 90 %", nil, "dose-misses-target",
			"they read turbidity 72 % less (60 to 84 between jars 2 and 3), and the target is turbidity removal >= 90 %"},
		{"enough removed", "25 mg/L", "turbidity removal >= 85 %", nil, "", ""},
		{"above all jars", "40 mg/L", "turbidity <= 6 NTU", nil, "dose-beyond-jars", "the dose, 40 mg/L as alum 14-hydrate, is above all that the jars of bench had, 10 mg/L to 30 mg/L"},
		{"far above, which is asked as a slip", "151 mg/L", "turbidity <= 6 NTU", nil, "", ""},
		{"the most of the jars", "30 mg/L", "turbidity <= 6 NTU", nil, "", ""},
		{"other water does not judge", "15 mg/L", "turbidity <= 6 NTU", func(v site.Values, s *jartest.Series) {
			s.Raw[jartest.Turbidity] = jartest.Num(180, "NTU")
		}, "", ""},
		{"a polymer that no jar had", "15 mg/L", "turbidity <= 6 NTU", func(v site.Values, _ *jartest.Series) {
			v["Chemicals"] = append(v["Chemicals"], map[string]string{"name": "aid", "product": "apam-dry", "dose": "0.1 mg/L", "basis": "as product"})
		}, "dose-misses-target", "; they had no aid"},
		{"no target", "15 mg/L", "", nil, "", ""},
	} {
		series := clears()
		s, r := heardSite(t, func(v site.Values) {
			v["Chemicals"][0]["dose"] = x.dose
			if x.change != nil {
				x.change(v, &series)
			}
		})
		r.Feeds[0].Jars = JarsOf(series, 0, note.Place{})
		if x.target != "" {
			g, err := jartest.ParseTarget(x.target)
			if err != nil {
				t.Fatal(err)
			}
			r.Feeds[0].Jars.Targets = []jartest.Target{g}
		}
		var p Plan
		for _, f := range r.Feeds {
			p.Feeds = append(p.Feeds, Feed{FeedInput: f})
		}
		said := p.judged(s)
		found := slices.ContainsFunc(said, func(n note.Note) bool {
			return n.Level == note.Caution && n.Code == x.code && strings.Contains(n.Message, x.says)
		})
		if x.code == "" && len(said) > 0 || x.code != "" && (!found || len(said) != 1) {
			t.Errorf("%s: %v", x.what, said)
		}
		h, _ := r.Feeds[0].Heard(s, r.Feeds[0].Dose, r.Feeds)
		reads := slices.ContainsFunc(h.Readings, func(k HeardReading) bool { return k.Key == jartest.Turbidity && k.V == 14 })
		if want := x.target != "" && x.dose == "15 mg/L"; reads != want {
			t.Errorf("%s: the reading of the target among those of the jars: %t", x.what, reads)
		}
		p.Feeds[0].Tested = true
		if said := p.judged(s); len(said) > 0 {
			t.Errorf("%s: the bench's own dose: %v", x.what, said)
		}
	}
}
