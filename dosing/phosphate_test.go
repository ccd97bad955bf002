package dosing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// effluent is a works that takes phosphorus out of 2400 m3 a day with iron, made up.
const effluent = `
Place: {name: Lower works, purpose: wastewater, water passes: once through, currency: EUR}
Water: {temperature: 14 C, pH: 7.3, alkalinity: 210 mg/L CaCO3, suspended solids: 25 mg/L, phosphate: 5 mg/L, total phosphorus: 6 mg/L,
  consent for phosphorus: 1 mg/L, consent for phosphorus a day: 2 kg/d}
Flow: {average flow: 100 m3/h}
Chemicals:
  - {name: ferric, product: ferric-chloride, dose: 45 mg/L, basis: as FeCl3}
Solids: {unit: settler, solids caught: 90 %}
`

func siteOf(t *testing.T, yaml string) site.Site {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(yaml))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// By hand: 45 mg/L FeCl3 is 45/162.20 = 0.27744 mmol/L, 5 mg/L P 5/30.974 = 0.16143: 1.7187 mol a mol, between 1.38 for
// 75 % and 1.72 for 85 %: 75 + 10·(0.3387/0.34) = 84.96 %. 4.248 mg/L go, 0.752 stay, and a tenth of the 1 mg/L
// that clings to solids: 0.852 in all; 2400 m3 bring 14.4 kg and leave with 2.04, over the 2 allowed.
// Solids: 22.5 mg/L caught; 0.13715 mmol/L FePO4 of 150.816 are 20.68; the iron that is left, 15.494 less
// 7.659, makes 7.835·160.912/55.845 = 22.57 of hydroxide: 65.76 mg/L, 157.8 kg a day.
func TestPhosphorusOfTheDay(t *testing.T) {
	s := siteOf(t, effluent)
	p := planOf(t, s, Given{Catalogue: products})
	x := p.Phosphorus(s)
	if x == nil {
		t.Fatal("nothing said")
	}
	removal := 0.75 + 0.10*(45/162.20/(5/30.974)-1.38)/(1.72-1.38)
	within(t, "ratio", x.Metals, 45/162.20/(5/30.974), 0.001)
	within(t, "removal", float64(x.Removal), removal, 0.0005)
	within(t, "left", float64(x.Left), 5*(1-removal), 0.003)
	within(t, "total left", float64(x.LeftTotal.V), 5*(1-removal)+0.1, 0.003)
	within(t, "load before", float64(x.Before), 14.4, 1e-9)
	within(t, "load after", float64(x.After), 2.4*(5*(1-removal)+0.1), 0.007)
	codes := fmt.Sprint(x.Notes)
	if len(x.Notes) != 1 || x.Notes[0].Code != "consent-phosphorus-load" || x.FromJars {
		t.Errorf("%v", codes)
	}
	d := p.Solids(s)
	within(t, "solids", float64(d.Dry.Likely), 157.8, 0.1)
	within(t, "the same in the account", float64(p.Record(s).Account().Dry.Likely), float64(d.Dry.Likely), 1e-9)
	sum := 0.0
	for _, part := range d.Parts {
		sum += float64(part.Range.Likely)
	}
	within(t, "parts", sum*2.4, float64(d.Dry.Likely), 1e-6)
}

// A consent that cannot be checked is told, and nothing where nothing is asked; of two coagulants each takes its share of the phosphorus,
// and what the jars of the dose read goes before the ratio.
func TestPhosphorusKnownOtherwise(t *testing.T) {
	for name, c := range map[string]struct{ from, to, says string }{
		"no phosphate": {"phosphate: 5 mg/L, ", "", "the raw water's phosphate is not given"},
		"no metal":     {"product: ferric-chloride, dose: 45 mg/L, basis: as FeCl3", "product: soda-ash, dose: 20 mg/L, basis: as Na2CO3", "no metal is dosed"},
	} {
		s := siteOf(t, strings.Replace(effluent, c.from, c.to, 1))
		x := planOf(t, s, Given{Catalogue: products}).Phosphorus(s)
		if x == nil || x.Metals != 0 || len(x.Notes) != 1 || x.Notes[0].Code != "phosphorus-not-checked" || !strings.Contains(x.Notes[0].Message, c.says) {
			t.Errorf("%s: %+v", name, x)
		}
		s.Water.ConsentP, s.Water.ConsentPLoad = quantity.Known[quantity.Concentration]{}, quantity.Known[quantity.MassRate]{}
		if x := planOf(t, s, Given{Catalogue: products}).Phosphorus(s); x != nil {
			t.Errorf("%s, nothing asked: %+v", name, x)
		}
	}
	halves := siteOf(t, strings.Replace(effluent, "  - {name: ferric, product: ferric-chloride, dose: 45 mg/L, basis: as FeCl3}",
		"  - {name: ferric, product: ferric-chloride, dose: 22.5 mg/L, basis: as FeCl3}\n  - {name: more, product: ferric-chloride, dose: 22.5 mg/L, basis: as FeCl3}", 1))
	p := planOf(t, halves, Given{Catalogue: products})
	x := p.Phosphorus(halves)
	within(t, "two halves", float64(x.Removal), 0.8496, 0.0005)
	within(t, "their solids", float64(p.Solids(halves).Dry.Likely), 157.8, 0.1)

	s := jartest.Series{Name: "jars", Chemicals: []jartest.Chemical{{Name: "ferric", Basis: quantity.AsFeCl3}}, Raw: map[jartest.Key]jartest.Reading{jartest.Phosphate: jartest.Num(5, "mg/L as P")}}
	for i, left := range []float64{5, 2, 0.4} { // at 45 mg/L midway between 2 and 0.4 of 5: 76 % taken out
		s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(30 * i), Known: true}},
			Readings: jartest.Readings{{Key: jartest.Phosphate, Reading: jartest.Num(left, "mg/L as P")}}})
	}
	own := siteOf(t, effluent)
	x = planOf(t, own, Given{Catalogue: products, Jars: map[int]*Jars{0: JarsOf(s, 0, note.Place{})}}).Phosphorus(own)
	if within(t, "by the jars", float64(x.Removal), 0.76, 1e-9); !x.FromJars || len(x.Notes) != 2 {
		t.Errorf("%+v", x)
	}
}
