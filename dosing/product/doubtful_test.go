package product

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// A name that several products bear is asked about, and a label decides.
func TestDoubtfulNames(t *testing.T) {
	c := Default()
	for _, name := range []string{"alum", "Alum", "aluminium sulfate", "aluminum sulfate"} {
		p, err := c.Find(name)
		if err == nil || p.ID != "" {
			t.Fatalf("%s is %s", name, p.ID)
		}
		for _, want := range []string{"liquid alum (alum-liquid)", "dry alum (alum-dry)", "(alum-18)", "a kg of one does as much as 2.0 kg of another"} { // 99 % against 48.5 % of the 14-hydrate
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %v, without %q", name, err, want)
			}
		}
		if strings.Contains(err.Error(), "potash") != strings.EqualFold(name, "alum") { // only the plain word is also that of a market's crystals
			t.Errorf("%s: %v", name, err)
		}
	}
	some := func(percent float64) quantity.Known[quantity.Fraction] {
		return quantity.Some(quantity.Fraction(percent / 100))
	}
	liquid := quantity.Some(quantity.Density(1.33))
	for _, x := range []struct {
		name     string
		strength quantity.Known[quantity.Fraction]
		basis    quantity.Basis
		density  quantity.Known[quantity.Density]
		want     string // empty where it stays doubtful
	}{
		{"alum", some(48.5), quantity.AsAlum14, liquid, "alum-liquid"},
		{"alum", some(48.5), quantity.AsAlum14, quantity.Known[quantity.Density]{}, "alum-liquid"},
		{"alum", some(8.3), quantity.AsAl2O3, quantity.Known[quantity.Density]{}, "alum-liquid"},
		{"alum", some(30), quantity.AsAlum14, liquid, "alum-liquid"}, // only a liquid has a density; its strength is asked about elsewhere
		{"alum", some(17), quantity.AsAl2O3, quantity.Known[quantity.Density]{}, "alum-dry"},
		{"alum", some(10.7), quantity.AsAl2O3, quantity.Known[quantity.Density]{}, "potash-alum"}, // 10.75 % of Al2O3 in KAl(SO4)2.12H2O
		{"alum", quantity.Known[quantity.Fraction]{}, quantity.AsProduct, liquid, "alum-liquid"},
		{"alum", some(30), quantity.AsAlum14, quantity.Known[quantity.Density]{}, ""},
		{"alum", quantity.Known[quantity.Fraction]{}, quantity.AsAlum14, quantity.Known[quantity.Density]{}, ""},
		{"tawas", quantity.Known[quantity.Fraction]{}, quantity.AsProduct, quantity.Known[quantity.Density]{}, "potash-alum"},
		{"liquid alum", some(90), quantity.AsAlum14, quantity.Known[quantity.Density]{}, "alum-liquid"}, // a plain name stands, whatever its label says
	} {
		p, err := c.Labelled(x.name, x.strength, x.basis, x.density)
		if p.ID != x.want || (err == nil) != (x.want != "") {
			t.Errorf("%s of %v %s, %v: %q, %v", x.name, x.strength.V, x.basis, x.density.V, p.ID, err)
		}
	}
}

// Names that several bear are nobody's own, and at least two bear them.
func TestPerhapsIsShared(t *testing.T) {
	for _, p := range Default().All() {
		for _, name := range p.Perhaps {
			if found := Default().Called(name); len(found) < 2 {
				t.Errorf("%q of %s means %d products", name, p.ID, len(found))
			}
		}
	}
}

// What salts, thiosulfates and clays do, by IUPAC masses (gypsum 172.17, CaCl2 110.98, thiosulfate 248.17 and 158.10,
// chlorine 70.90 g/mol): hardness as CaCO3 of 100.086, and mg a mg of chlorine, 7.00 and 0.88, 4.46 and 0.56.
func TestSaltsThiosulfatesAndClays(t *testing.T) {
	for _, x := range []struct {
		id                   string
		basis                quantity.Basis
		hardness, sure, most float64 // of 1 mg/L
	}{
		{"gypsum", quantity.AsGypsum, 0.581, 0, 0},
		{"calcium-chloride", quantity.AsCaCl2, 0.902, 0, 0},
		{"lime", quantity.AsCaOH2, 1.351, 0, 0},
		{"ag-lime", quantity.AsLimestone, 1.000, 0, 0},
		{"dolomite", quantity.AsDolomite, 1.086, 0, 0},
		{"magnesia", quantity.AsMgOH2, 1.716, 0, 0},
		{"thiosulfate", quantity.AsThiosulfate, 0, 1 / 7.00, 1 / 0.875},
		{"thiosulfate-dry", quantity.AsThiosulfate0, 0, 1 / 4.46, 1 / 0.5575},
		{"bentonite", quantity.AsProduct, 0, 0, 0},
		{"zeolite", quantity.AsProduct, 0, 0, 0},
		{"moringa", quantity.AsProduct, 0, 0, 0},
		{"caustic-50", quantity.AsNaOH, 0, 0, 0},
	} {
		p, err := Default().Find(x.id)
		if err != nil {
			t.Fatal(err)
		}
		d := quantity.Dose{Concentration: 1, Basis: x.basis}
		h, err := p.HardnessAdded(d)
		if err != nil {
			t.Error(err)
		}
		sure, most, err := p.ChlorineBound(d)
		if err != nil {
			t.Error(err)
		}
		near(t, x.id+" hardness", float64(h), x.hardness, 0.001)
		near(t, x.id+" chlorine for sure", float64(sure), x.sure, 0.0005)
		near(t, x.id+" chlorine at most", float64(most), x.most, 0.003)
		if used, err := p.AlkalinityUsed(d); p.Group != Alkali && (err != nil || used != 0) {
			t.Errorf("%s takes %v of alkalinity, %v", x.id, used, err)
		}
	}
}

// Names that goods of different strength or kind bear are asked about, others are known; hypo is a fish keeper's thiosulfate
// and a water works' hypochlorite. PAC is sold as a liquid of 10 % Al2O3 and as a powder of 30: three times as much.
func TestNamesOfTheTrade(t *testing.T) {
	c := Default()
	for name, want := range map[string]string{"PAC": "a kg of one does as much as 3.0 kg", "poly aluminium chloride": "PACl powder (pacl-dry)", "PAM": "(npam-dry)",
		"anionic polymer": "(apam-emulsion)", "iron sulfate": "(ferrous-sulfate)", "clay": "(zeolite)", "hypo": "or hypochlorite, which the catalogue does not have"} {
		if p, err := c.Find(name); err == nil || !strings.Contains(err.Error(), "may be") || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "NaN") || strings.Contains(err.Error(), "Inf") {
			t.Errorf("%s: %q, %v", name, p.ID, err)
		}
	}
	for name, id := range map[string]string{"nonionic polymer": "npam-dry", "non-ionic polymer": "npam-dry", "polyaluminium chloride powder": "pacl-dry", "green vitriol": "ferrous-sulfate",
		"Fe2(SO4)3": "ferric-sulfate", "NaAlO2": "aluminate-liquid", "quick lime": "quicklime", "poly-dadmac": "pdadmac", "PACl": "pacl-10", "liquid PAC": "pacl-10"} {
		if p, err := c.Find(name); err != nil || p.ID != id {
			t.Errorf("%s: %q, %v", name, p.ID, err)
		}
	}
	// A double alum's dose is told as aluminium too: 10 mg/L of potash alum hold 10 x 0.995 x 26.982/474.37 = 0.566.
	for id, al := range map[string]float64{"potash-alum": 0.566, "ammonium-alum": 0.589, "alcl3-liquid": 0.607} {
		p, _ := c.Find(id)
		d, err := Convert(quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}, p, quantity.AsAl)
		if err != nil || !slices.Contains(p.Bases(), quantity.AsAl) || math.Abs(float64(d.Concentration)-al) > 0.002 {
			t.Errorf("%s: %v, %v, %v", id, d, p.Bases(), err)
		}
	}
	if p, _ := c.Find("ferric-chloride"); slices.Contains(p.Bases(), quantity.AsAl) {
		t.Error("ferric chloride holds no aluminium")
	}
}
