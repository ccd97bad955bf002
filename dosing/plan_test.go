package dosing

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// products is the catalogue, read once for all tests.
var products = product.Default()

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance || math.IsNaN(got) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, tolerance)
	}
}

// planOf is the plan of a site that has to have one.
func planOf(t *testing.T, s site.Site, g Given) Plan {
	t.Helper()
	in, err := FromSite(s, g)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// oneFeed plans a site of one chemical, fed neat, from fields of the table in words.
func oneFeed(t *testing.T, fields map[string]string) Plan {
	t.Helper()
	var s site.Site
	for name, text := range fields {
		sheet, field, _ := strings.Cut(name, ": ")
		if err := s.Put(sheet, 0, field, text, "", note.Place{Cell: name}); err != nil {
			t.Fatal(err)
		}
	}
	if _, _, err := Identify(&s.Chemicals[0], false, products); err != nil {
		t.Fatal(err)
	}
	s.Chemicals[0].Pump.OK = len(s.Pumps) > 0 // the first pump, which has no name
	return planOf(t, s, Given{Catalogue: products})
}

// A hand calculation: 3.6 m3/h × 12.5 mg/L = 45 g/h of 14-hydrate; ÷ 0.485 =
// 92.7835 g/h of product; ÷ 1335 g/L = 0.0695008 L/h = 1.158346 mL/min. A day takes
// 24 × 45 g = 1.08 kg of 14-hydrate, 2.22680 kg or 1.66802 L of product.
func TestOneFeedByHand(t *testing.T) {
	p := oneFeed(t, map[string]string{"Flow: average flow": "3.6 m3/h", "Chemicals: dose": "12.5 mg/L", "Chemicals: basis": "as alum 14-hydrate",
		"Chemicals: strength": "48.5 %", "Chemicals: density": "1.335 kg/L", "Pumps: largest rate": "10 L/h"})
	f := p.Feeds[0]
	near(t, "feed, mL/min", float64(f.Rate), 45/0.485/1335*1000/60, 1e-9)
	near(t, "feed, mL/min", float64(f.Rate), 1.158346, 0.00001)
	near(t, "14-hydrate, kg/d", float64(f.Active), 1.08, 1e-12)
	near(t, "product, kg/d", float64(f.Product), 2.22680, 0.00001)
	near(t, "product, L/d", float64(f.Volume), 1.66802, 0.00001)
	near(t, "setting, %", float64(f.Setting.Average.Exact.Setting), 1.158346/(10000.0/60)*100, 0.00001)
}

// A trap (common practice, no source): a dose as product must not be divided by the
// active strength. 45 mg/L as product × 120 m3/h ÷ 1430 g/L is 3.78 L/h, not 9.44.
func TestAsProductNeverMeetsStrength(t *testing.T) {
	fields := map[string]string{"Flow: average flow": "120 m3/h", "Chemicals: dose": "45 mg/L", "Chemicals: basis": "as product", "Chemicals: density": "1.43 kg/L"}
	without := oneFeed(t, fields).Feeds[0]
	fields["Chemicals: name"], fields["Chemicals: strength"] = "ferric chloride", "40 %"
	f := oneFeed(t, fields).Feeds[0]
	near(t, "feed, L/h", f.Rate.In("L/h"), 3.7762, 0.0001)
	near(t, "active FeCl3, kg/d", float64(f.Active), 129.6*0.4, 1e-9)
	if without.Rate != f.Rate || without.HasActive {
		t.Errorf("without strength: %v, active %v", without.Rate, without.HasActive)
	}
}
