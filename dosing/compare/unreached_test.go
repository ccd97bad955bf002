package compare

import (
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestAnAlkaliThatIsNotFed: 60 mg/L of alum 14-hydrate take 30.3 of the 50 mg/L CaCO3, which leaves less than the 20 at which trout fry stop. The 22 mg/L
// of lime of the jars give it back at 3.6 m3/h from 20 g/L by 66 mL/min: where the site's pump gives 20 the option may not be dosed, as its plan
// may not; a pump of 200 can.
func TestAnAlkaliThatIsNotFed(t *testing.T) {
	const text = `
place: {name: hatchery, purpose: animals, water_passes: once through}
water: {turbidity: "60 NTU", ph: "7.4", alkalinity: "50 mg/L CaCO3", temperature: "10 C"}
flow: {average_flow: "3.6 m3/h"}
chemicals:
  - {name: alum, product: alum-liquid, dose: "60 mg/L", basis: as alum 14-hydrate, strength: "48.5 %", density: "1.335 kg/L"}
  - {name: lime, product: hydrated-lime, dose: "22 mg/L", basis: as product, stock: slurry, pump: lime pump}
stocks: [{name: slurry, product_in_stock: "20 g/L"}]
pumps: [{name: lime pump, largest_rate: "MOST"}]
animals: [{name: troughs, species: "rainbow trout", stage: fry, reached: always}]
`
	jars := jartest.Series{Name: "a", Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}, {Name: "lime", Basis: quantity.AsProduct}}}
	for _, d := range []quantity.Concentration{20, 40, 60, 80} {
		jars.Jars = append(jars.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: d, Known: true}, {Concentration: 22, Known: true}}})
	}
	for most, stops := range map[string]bool{"20 mL/min": true, "200 mL/min": false} {
		s, err := site.Read("site.yaml", strings.NewReader(strings.Replace(text, "MOST", most, 1)))
		if err != nil {
			t.Fatal(err)
		}
		o := one(t, Facts{Site: &s}, answer("a", note.Place{}, 60), jars)
		var alkalinity bool
		for _, n := range o.Notes.Only(note.Stop) {
			alkalinity = alkalinity || strings.HasPrefix(strings.ToLower(n.Message), "a: alkalinity")
		}
		if o.Refused || len(o.Parts) != 2 || alkalinity != stops {
			t.Errorf("%s: stopped for its alkalinity %t, want %t: %+v", most, alkalinity, stops, o.Notes)
		}
	}
}
