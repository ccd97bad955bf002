package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/site"
)

// upland is a works on soft coloured water, made up.
const upland = `
Place: {name: Upper works, purpose: drinking water, water passes: once through, currency: EUR}
Water: {temperature: 9 C, pH: 7.0, alkalinity: 15 mg/L CaCO3, suspended solids: 5 mg/L}
Flow: {average flow: 100 m3/h}
Chemicals:
  - {name: alum, product: alum-liquid, dose: 40 mg/L, basis: as alum 14-hydrate, dose in storm water: 20 mg/L}
Solids: {unit: settler}
`

// What acid keeps of the metal makes no solids. By a balance of all charges (Plummer and Busenberg 1982, phreeqc.dat) 40 mg/L of alum in
// water of 15 mg/L CaCO3, pH 7.0 and 9 C end at pH 5.53 with fresh floc, of 3.632 mg/L Al some 1.8 dissolved: 1.8 mg/L make
// 132.05/26.982 times as much, 9.0, beside 5 of suspended solids: 2400 m3 give some 33 kg, where all of the metal would make 54.7. 20
// mg/L leave 4.9 mg/L CaCO3 and nearly all of the metal as floc. What a jar read goes before: 0.2 mg/L is too little to be told.
func TestDissolvedMetalMakesNoSolids(t *testing.T) {
	s := siteOf(t, upland)
	p := planOf(t, s, Given{Catalogue: products})
	d := p.Solids(s)
	within(t, "solids", float64(d.Dry.Likely), 33, 1)
	within(t, "the same in the account", float64(p.Record(s).Account().Dry.Likely), float64(d.Dry.Likely), 1e-9)
	f := p.Feeds[0].FeedInput
	within(t, "dissolved, mg/L", float64(f.Dissolved(f.Dose))*40, 1.8, 0.05)
	within(t, "of a storm's dose", float64(f.Dissolved(f.DoseIn(site.StormWater))), 0, 1e-12)
	said := ""
	for _, part := range d.Parts {
		said += part.Working.String() + "\n"
	}
	if !strings.Contains(said, "1.8 mg/L that stays dissolved") {
		t.Error(said)
	}
	read := siteOf(t, strings.Replace(upland, "suspended solids: 5 mg/L", "suspended solids: 5 mg/L, residual aluminium: 0.2 mg/L", 1))
	within(t, "as read", float64(planOf(t, read, Given{Catalogue: products}).Solids(read).Dry.Likely), 2.4*(5+40*2*132.049/594.36), 0.1)
	pink := siteOf(t, strings.Replace(upland, "alkalinity: 15", "alkalinity: 80", 1))
	within(t, "at pH 6.7", float64(planOf(t, pink, Given{Catalogue: products}).Solids(pink).Dry.Likely), 2.4*(5+40*2*132.049/594.36), 0.1)
}
