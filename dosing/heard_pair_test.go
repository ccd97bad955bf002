package dosing

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// gridOfTwo is a test of alum at 10, 20 and 30 mg/L with lime at 0 and 8: pH is 7.4 less
// 0.02 a mg of alum, more 0.05 a mg of lime.
func gridOfTwo() jartest.Series {
	s := jartest.Series{Name: "pair", Place: note.Place{Sheet: "pair"}, Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}, {Name: "lime", Basis: quantity.AsProduct}},
		Raw: map[jartest.Key]jartest.Reading{jartest.PH: jartest.Num(7.4, "")}}
	for _, alum := range []float64{10, 20, 30} {
		for _, lime := range []float64{0, 8} {
			s.Jars = append(s.Jars, jartest.Jar{Label: fmt.Sprintf("%g/%g", alum, lime),
				Doses:    []jartest.JarDose{{Concentration: quantity.Concentration(alum), Known: true}, {Concentration: quantity.Concentration(lime), Known: true}},
				Readings: jartest.Readings{{Key: jartest.PH, Reading: jartest.Num(7.4-0.02*alum+0.05*lime, "")}}})
		}
	}
	return s
}

// TestPairReading: on the straight lines between four jars, with the lowest and the
// highest of them as range; nothing outside the tested doses of either chemical.
func TestPairReading(t *testing.T) {
	s := gridOfTwo()
	alum, lime := JarsOf(s, 0, note.Place{}), JarsOf(s, 1, note.Place{})
	for _, x := range []struct {
		alum, lime quantity.Concentration
		want       string
	}{
		{12, 2, "7.26 7.00 7.60"}, // 7.4 - 0.24 + 0.1; between 20/0 and 10/8
		{20, 8, "7.40 7.40 7.40"},
		{30, 0, "6.80 6.80 6.80"},
		{25, 4, "7.10 6.80 7.40"},
		{9, 4, "-"}, {31, 4, "-"}, {20, 8.1, "-"}, {20, -1, "-"},
	} {
		for who, read := range map[string]func() (JarReading, bool){
			"alum": func() (JarReading, bool) { return alum.pairReading(jartest.PH, x.alum, x.lime) },
			"lime": func() (JarReading, bool) { return lime.pairReading(jartest.PH, x.lime, x.alum) },
		} {
			got := "-"
			if r, ok := read(); ok {
				got = fmt.Sprintf("%.2f %.2f %.2f", r.V, r.Low, r.High)
			}
			if got != x.want {
				t.Errorf("%s: %v of alum beside %v of lime: %s, want %s", who, float64(x.alum), float64(x.lime), got, x.want)
			}
		}
	}
	three := gridOfTwo()
	three.Chemicals = append(three.Chemicals, jartest.Chemical{Name: "polymer"})
	for i := range three.Jars {
		three.Jars[i].Doses = append(three.Jars[i].Doses, jartest.JarDose{Concentration: quantity.Concentration(i), Known: true})
	}
	if JarsOf(three, 0, note.Place{}) != nil {
		t.Error("jars of three chemicals tell of one of them")
	}
}

// TestPairIsHeard: a plan of both chemicals hears the jars at the planned pair; one that
// doses only one of them from the sheet does not.
func TestPairIsHeard(t *testing.T) {
	s := gridOfTwo()
	alum := FeedInput{Name: "alum", Jars: JarsOf(s, 0, note.Place{}), Dose: quantity.Dose{Concentration: 12, Basis: quantity.AsAlum14}}
	lime := FeedInput{Name: "hydrated lime", Jars: JarsOf(s, 1, note.Place{}), Dose: quantity.Dose{Concentration: 2, Basis: quantity.AsProduct}}
	both := []FeedInput{alum, lime}
	h, ok := alum.Heard(site.Site{}, alum.Dose, both)
	if !ok || len(h.Readings) != 1 || fmt.Sprintf("%.2f", h.Readings[0].V) != "7.26" || !h.Judged {
		t.Errorf("heard %+v, %v", h, ok)
	}
	if h, ok := lime.Heard(site.Site{}, lime.Dose, both); !ok || fmt.Sprintf("%.2f", h.Readings[0].V) != "7.26" {
		t.Errorf("heard of lime %+v", h)
	}
	lime.Jars = nil
	if h, _ := alum.Heard(site.Site{}, alum.Dose, []FeedInput{alum, lime}); len(h.Readings) > 0 || h.Judged && !strings.Contains(h.Why, "lime") {
		t.Errorf("heard without the other's jars: %+v", h)
	}
}
