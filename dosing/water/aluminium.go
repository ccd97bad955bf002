package water

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"sync"

	"jarwright/jartest/quantity"
)

// aluminiumCSV holds the toxicity tests behind the US EPA 2018 fresh-water
// aluminium criteria (EPA-822-R-18-001, appendices A and C; US government data).
// Rows with an exclusion code are not used by the criteria.
//
//go:embed aluminium2018.csv
var aluminiumCSV []byte

// AluminiumCriteria are the US EPA 2018 criteria for total recoverable aluminium
// in one fresh water. They protect aquatic life in surface waters; they are not a
// limit for drinking water, for a discharge permit or for sea water.
type AluminiumCriteria struct {
	// FinalAcute is the final acute value; Acute half of it, a one-hour average;
	// Chronic a four-day average. Neither to be passed more than once in three
	// years. None is rounded; the published criteria carry two significant digits.
	FinalAcute, Acute, Chronic quantity.Concentration
	// AcuteGenera and ChronicGenera are the genus means in this water, most sensitive first.
	AcuteGenera, ChronicGenera []GenusValue
	// Capped is true where pH, hardness or DOC lay outside what the criteria
	// allow and was set to the nearest allowed value.
	Capped bool
	// At is the pH that they were computed at: of a water beyond the bounds, the nearest allowed.
	At quantity.PH
	// Extrapolated is true where the pH lies outside 6.0 to 8.7, allowed by the
	// criteria but beyond the tests that they were fitted to (8.7 read in DeForest
	// et al. 2020; 6.0 from memory).
	Extrapolated bool
}

// GenusValue is the geometric mean effect concentration of a genus.
type GenusValue struct {
	Genus string
	Value quantity.Concentration
}

// Aluminium evaluates the criteria for the water that the animals get: pH,
// hardness and dissolved organic carbon after treatment. It is always computed
// from the tests themselves and never interpolated, because the chronic
// criterion does not rise steadily with organic carbon.
func Aluminium(ph quantity.PH, hardness quantity.Alkalinity, doc quantity.Concentration) AluminiumCriteria {
	p, h, d := float64(ph), float64(hardness), float64(doc)
	c := AluminiumCriteria{
		Capped:       p < 5 || p > 10.5 || h > 430 || d > 12,
		Extrapolated: p < 6 || p > 8.7,
	}
	if d <= 0 {
		d = 0.08
	}
	p, h, d = clamp(p, 5, 10.5), clamp(h, 0.01, 430), clamp(d, 0.08, 12)
	c.At = quantity.PH(p)

	rows := aluminiumTests()
	c.AcuteGenera = genusMeans(rows, "acute", p, h, d)
	c.ChronicGenera = genusMeans(rows, "chronic", p, h, d)
	c.FinalAcute = finalValue(c.AcuteGenera)
	c.Acute = c.FinalAcute / 2
	c.Chronic = finalValue(c.ChronicGenera)
	return c
}

// aluminiumTest is one row of the data: effect concentration in ug/L.
type aluminiumTest struct {
	set, genus, species       string
	vertebrate                bool
	ph, hardness, doc, effect float64
}

// aluminiumTests reads the embedded table, which a test holds to be sound.
var aluminiumTests = sync.OnceValue(func() []aluminiumTest {
	records, err := csv.NewReader(bytes.NewReader(aluminiumCSV)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("embedded aluminium table: %v", err))
	}
	var out []aluminiumTest
	for _, r := range records[1:] {
		if r[9] != "" {
			continue
		}
		t := aluminiumTest{set: r[0], genus: r[1], species: r[2], vertebrate: r[3] == "vertebrate"}
		for i, at := range map[int]*float64{4: &t.hardness, 5: &t.ph, 6: &t.doc, 8: &t.effect} {
			if *at, err = strconv.ParseFloat(r[i], 64); err != nil {
				panic(fmt.Sprintf("embedded aluminium table: %v", err))
			}
		}
		out = append(out, t)
	}
	return out
})

// normalised gives ln of the effect concentration moved from the test's water to
// the site's, by the multiple regressions of the criteria document.
func (t aluminiumTest) normalised(p, h, d float64) float64 {
	lnH, lnHt, lnD, lnDt := math.Log(h), math.Log(t.hardness), math.Log(d), math.Log(t.doc)
	if t.vertebrate {
		return math.Log(t.effect) - 2.209*(lnDt-lnD) - 2.041*(t.ph-p) - 1.862*(lnHt-lnH) +
			0.232*(t.ph*lnHt-p*lnH) + 0.261*(t.ph*lnDt-p*lnD)
	}
	return math.Log(t.effect) - 0.597*(lnDt-lnD) - 8.802*(t.ph-p) - 2.089*(lnHt-lnH) +
		0.491*(t.ph*t.ph-p*p) + 0.230*(t.ph*lnHt-p*lnH)
}

type mean struct {
	sum float64
	n   int
}

func (m mean) with(v float64) mean { return mean{m.sum + v, m.n + 1} }
func (m mean) value() float64      { return m.sum / float64(m.n) }

// genusMeans are geometric means of species means, lowest first.
func genusMeans(rows []aluminiumTest, set string, p, h, d float64) []GenusValue {
	type name struct{ genus, species string }
	species := map[name]mean{}
	for _, r := range rows {
		if r.set == set {
			n := name{r.genus, r.species}
			species[n] = species[n].with(r.normalised(p, h, d))
		}
	}
	genera := map[string]mean{}
	byName := func(a, b name) int { return cmp.Or(cmp.Compare(a.genus, b.genus), cmp.Compare(a.species, b.species)) }
	for _, n := range slices.SortedFunc(maps.Keys(species), byName) { // a fixed order keeps the sums the same on every run
		genera[n.genus] = genera[n.genus].with(species[n].value())
	}
	var out []GenusValue
	for _, g := range slices.Sorted(maps.Keys(genera)) {
		out = append(out, GenusValue{g, quantity.Concentration(math.Exp(genera[g].value()) / 1000)})
	}
	slices.SortStableFunc(out, func(a, b GenusValue) int { return cmp.Compare(a.Value, b.Value) })
	return out
}

// finalValue is the fifth percentile of the genera from the four most sensitive
// (Stephan et al. 1985, the method that the criteria use).
func finalValue(genera []GenusValue) quantity.Concentration {
	var lnG, lnG2, p, rootP float64
	for i, g := range genera[:4] {
		ln := math.Log(float64(g.Value))
		pk := float64(i+1) / float64(len(genera)+1)
		lnG, lnG2, p, rootP = lnG+ln, lnG2+ln*ln, p+pk, rootP+math.Sqrt(pk)
	}
	s := math.Sqrt((lnG2 - lnG*lnG/4) / (p - rootP*rootP/4))
	l := (lnG - s*rootP) / 4
	return quantity.Concentration(math.Exp(s*math.Sqrt(0.05) + l))
}

func clamp(v, lo, hi float64) float64 { return min(max(v, lo), hi) }
