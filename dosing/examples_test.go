package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// Sources of the worked examples. What names no author is common practice without a
// source: it checks arithmetic, not practice.
const (
	voutchkov  = "Voutchkov, Pretreatment for Reverse Osmosis Desalination (2017), s. 6.8.2, p. 134-135"
	davis54    = "Davis, Water and Wastewater Engineering (2010), Ex. 5-4, p. 5-16 (answer computed here)"
	hendricksF = "Hendricks, Fundamentals of Water Treatment Unit Processes (2011), app. F, p. 840-844"
	spellman   = "Spellman, The Science of Water (2nd ed. 2008), ch. 10, p. 342-343"
	spellman2  = "Spellman & Whiting, Handbook of Mathematics and Statistics for the Environment, Ex. 23.33-23.35"
	alvord     = "Alvord & Blasberg, Advanced Waterworks Mathematics (2019), answer key p. 310"
	ufc        = "UFC 3-280-03 (US DoD, 2003), design example 2"
	canada     = "Water plant operator training program (Canada), OIT math 13o"
	vccs       = "Virginia community-college water operator course, Chemical Dosages (2012)"
	kansas     = "Kansas Dept. of Health and Environment, disinfecting with household bleach, Ex. 1-2"
	handbook   = "civil engineering calculations handbook, sizing a polymer feed system (answer computed here)"
	separation = "Solid/liquid separation handbook, ch. 2, s. 2.3.2.1, p. 53"
	labSheet   = "university lab sheet, jar test"
	rural      = "rural water association magazine, summer 2013, p. 43 (answer computed here)"
	epaM       = "Appendix M, Chemical feed guidelines, p. 237 (EPA/625/6-91/027, document identity from memory)"
	supplier   = "common practice, no source: dosing equations"
	practice   = "common practice, no source: operator course"
	memory     = "from memory"
)

// operator is how far texts that reckon with 8.34 lb per US gallon of water and
// mg/L stray from the exact 8.3454 (0.065 %).
const operator = 0.0007

func flowOf(t *testing.T, s string) quantity.Flow {
	t.Helper()
	f, err := quantity.Parse[quantity.Flow](s)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func volumeOf(t *testing.T, s string) quantity.Volume {
	t.Helper()
	v, err := quantity.Parse[quantity.Volume](s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func massOf(t *testing.T, s string) quantity.Mass {
	t.Helper()
	v, err := quantity.Parse[quantity.Mass](s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func concentrationOf(t *testing.T, s string) quantity.Concentration {
	t.Helper()
	v, err := quantity.Parse[quantity.Concentration](s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func catalogued(t *testing.T, name string) product.Product {
	t.Helper()
	p, err := products.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// holding gives a liquid that holds a share of a substance at a density.
func holding(share quantity.Fraction, b quantity.Basis, d quantity.Density) product.Product {
	return product.Product{Name: "the product", Form: product.Liquid, Basis: b, Strength: product.Given(share, "example"), Density: product.Given(d, "example")}
}

// The way back through our own functions, which are in proportion: a concentration
// is a mass over that of 1 mg/L, and so on.
func concentrationIn(m quantity.Mass, v quantity.Volume) quantity.Concentration {
	return quantity.Concentration(m / Mass(1, v))
}

func volumeWith(m quantity.Mass, c quantity.Concentration) quantity.Volume {
	return quantity.Volume(m / Mass(c, 1))
}

func doseOf(m quantity.MassRate, f quantity.Flow, hours quantity.Time) quantity.Concentration {
	return quantity.Concentration(m / Use(1, f, hours))
}

// strengthOf is the substance of a basis per litre of stock.
func strengthOf(s Stock, b quantity.Basis) (quantity.Concentration, error) {
	per, err := s.ProductPerLitre()
	if err != nil {
		return 0, err
	}
	share, err := s.Product.StrengthAs(b)
	return per * quantity.Concentration(share), err
}

func doseFed(r quantity.FeedRate, f quantity.Flow, strength quantity.Concentration) quantity.Concentration {
	return quantity.Concentration(r / RateFor(1, f, strength))
}

// TestWorkedExamples holds our functions against printed answers. Where the
// printed answer is wrong, Want is the right one and wrong is what was printed:
// ours must differ from it.
func TestWorkedExamples(t *testing.T) {
	use := func(c quantity.Concentration, flow string) quantity.MassRate { return Use(c, flowOf(t, flow), 24) }
	ferric40 := func(rho quantity.Density) Stock { return Stock{Product: holding(0.40, quantity.AsFeCl3, rho)} }
	strength := func(s Stock, b quantity.Basis) quantity.Concentration {
		c, err := strengthOf(s, b)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	diluting := func(final quantity.Mass, from, to quantity.Fraction) Dilution {
		d, err := Dilute(final, from, to)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	onSample := func(stock, added, sample string) float64 {
		return float64(concentrationIn(Mass(concentrationOf(t, stock), volumeOf(t, added)), volumeOf(t, sample)))
	}
	diluted := func(stock, added, sample string) float64 {
		return float64(concentrationIn(Mass(concentrationOf(t, stock), volumeOf(t, added)), volumeOf(t, sample)+volumeOf(t, added)))
	}
	inProduct := func(active quantity.MassRate, share quantity.Fraction) quantity.MassRate {
		d, err := product.Convert(quantity.Dose{Concentration: quantity.Concentration(active), Basis: quantity.AsFeCl3}, holding(share, quantity.AsFeCl3, 1), quantity.AsProduct)
		if err != nil {
			t.Fatal(err)
		}
		return quantity.MassRate(d.Concentration)
	}
	stirred := func(dry, water string) float64 { // % by mass of the stock that it makes
		m, v := massOf(t, dry), volumeOf(t, water)
		s := Stock{Product: product.Product{Form: product.Dry}, PerLitre: concentrationIn(m, v+quantity.Volume(m))}
		return s.PercentByMass().In("%")
	}
	alk := func(id string, c quantity.Concentration, b quantity.Basis) float64 {
		a, err := catalogued(t, id).AlkalinityUsed(quantity.Dose{Concentration: c, Basis: b})
		if err != nil {
			t.Fatal(err)
		}
		return float64(a)
	}
	converted := func(id string, c quantity.Concentration, from, to quantity.Basis) float64 {
		d, err := product.Convert(quantity.Dose{Concentration: c, Basis: from}, catalogued(t, id), to)
		if err != nil {
			t.Fatal(err)
		}
		return float64(d.Concentration)
	}
	rate := func(text string) quantity.MassRate {
		r, err := quantity.Parse[quantity.MassRate](text)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	feed := func(text string) quantity.FeedRate {
		r, err := quantity.Parse[quantity.FeedRate](text)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	recipe := func(s Stock, v quantity.Volume) Recipe {
		r, err := s.Recipe(v)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	perGallon := func(c quantity.Concentration) float64 { return c.In("lb/gal") }
	mass := func(c quantity.Concentration, volume string) float64 { return Mass(c, volumeOf(t, volume)).In("lb") }
	treats := func(m string, c quantity.Concentration, unit string) float64 {
		return volumeWith(massOf(t, m), c).In(unit)
	}
	oneTenth := Stock{Product: holding(0.485, quantity.AsAlum14, 1.335), PerLitre: 133500}

	for _, x := range []struct {
		what, source string
		got          float64
		want         float64
		tolerance    float64 // half a unit of the last printed digit, wider where said
		wrong        float64 // what was printed, where that is wrong; else zero
	}{
		// 1 feed rate: books, manuals and courses first
		{"FeCl3 at average dose, kg/d", voutchkov, float64(use(15, "127910 m3/d")), 1919, 0.5, 0},
		{"FeCl3 at top dose, kg/d (truncated in print)", voutchkov, float64(use(50, "127910 m3/d")), 6395.5, 0.5, 0},
		{"40 % ferric at top dose, L/h: strength forgotten in print", voutchkov, RateFor(50, flowOf(t, "127910 m3/d"), strength(ferric40(1.42), quantity.AsFeCl3)).In("L/h"), 469.12, 0.05, 188},
		{"water to bring 40 % to 5 %, kg/h", voutchkov, float64(diluting(1919/0.05, 0.40, 0.05).Water) / 24, 1399.27, 0.01, 583},
		{"FeCl3 at top dose, kg/d", davis54, float64(use(50, "38000 m3/d")), 1900, 1e-9, 0},
		{"15 % alum, lb/d of product", alvord, inProduct(use(65, "8 MGD"), 0.15).In("lb/d"), 28912, 0.5 + 28912*operator, 0},
		{"45 % product for a volume, lb", alvord, float64(inProduct(quantity.MassRate(Mass(100, volumeOf(t, "0.37 Mgal")).In("lb")), 0.45)), 685.73, 0.005 + 686*operator, 0},
		{"chlorine, kg/d", canada, float64(use(15, "8500 m3/d")), 127.5, 0.05, 0},
		{"dose from feed, mg/L", canada, float64(doseOf(94.8, flowOf(t, "7900 m3/d"), 24)), 12, 0.5, 0},
		{"lb/h as lb/min", vccs, rate("93.8 lb/h").In("lb/min"), 1.56, 0.005, 0},
		{"9 gal/d as mL/min", spellman, float64(feed("9 gpd")), 24, 0.5, 0},
		{"25 gal/d as mL/min", spellman, float64(feed("25 gpd")), 65.7, 0.05, 0},
		{"liquid alum 48.5 % at 1.335, g/L", hendricksF, product.Active(0.485, 1.335).In("g/L"), 647, 1, 0},
		{"12.5 % hypochlorite at 1.03, gal/d", rural, liquid(inProduct(use(3, "1.5 MGD"), 0.125), 1.03).In("gal"), 34.95, 0.005, 0},
		{"45 mg/L at 120 m3/h, kg/h", supplier, use(45, "120 m3/h").In("kg/h"), 5.4, 0.05, 0},
		{"the same a day, kg", supplier, float64(use(45, "120 m3/h")), 130, 0.5, 0},
		{"40 % ferric at 1.43, g/L", supplier, strength(ferric40(1.43), quantity.AsFeCl3).In("g/L"), 572, 0.5, 0},
		{"45 mg/L as FeCl3, L/h", supplier, RateFor(45, 120, strength(ferric40(1.43), quantity.AsFeCl3)).In("L/h"), 9.44, 0.005, 0},
		{"45 mg/L as product, L/h: divided by active strength in print", supplier, RateFor(45, 120, strength(ferric40(1.43), quantity.AsProduct)).In("L/h"), 3.776, 0.001, 9.4},
		{"stock per water, L/m3", supplier, RateFor(45, 1, strength(ferric40(1.43), quantity.AsFeCl3)).In("L/h"), 0.0787, 0.0001, 0},
		{"10 % Al2O3 as Al, %", supplier, converted("pacl-10", 10, quantity.AsAl2O3, quantity.AsAl), 5.29, 0.005, 0},
		{"demand and residual, lb/d", practice, use(5.8, "2 MGD").In("lb/d"), 96.74, 0.005 + 97*operator, 0},
		{"alum for a volume, lb", practice, mass(34, "20 Mgal"), 5671, 0.5 + 5671*operator, 0},
		{"polymer for a volume, lb", practice, mass(0.75, "16 Mgal"), 100, 0.5, 0},
		{"dose of ferric sulfate, mg/L", practice, float64(concentrationIn(massOf(t, "2450 lb"), volumeOf(t, "12.5 Mgal"))), 23.5, 0.05, 0},
		{"water that alum treats, gal", practice, treats("3835 lb", 65, "gal"), 7074341, 0.5 + 7074341*operator, 0},
		{"water that ferric sulfate treats, Mgal", practice, treats("5000 lb", 40, "Mgal"), 15, 0.5, 0},
		{"water that caustic treats, Mgal", practice, treats("825 lb", 15, "Mgal"), 6.6, 0.05, 0},
		{"lime for a volume, lb", practice, mass(5, "10 Mgal"), 417, 0.5, 0},
		{"dose of caustic, mg/L", practice, float64(concentrationIn(massOf(t, "1000 lb"), volumeOf(t, "10 Mgal"))), 12, 0.5, 0},
		{"caustic for a volume, lb", practice, mass(17, "25 Mgal"), 3544.5, 0.05 + 3545*operator, 0},
		{"lime for a volume, lb", practice, mass(3.5, "19 Mgal"), 555, 0.5, 0},
		{"water that alum treats, Mgal", practice, treats("3000 lb", 45, "Mgal"), 8, 0.5, 0},
		{"12 % at 1.41, lb/gal", practice, perGallon(product.Active(0.12, 1.41)), 1.41, 0.005, 0},
		{"65 % at 1.21, lb/gal", practice, perGallon(product.Active(0.65, 1.21)), 6.56, 0.005, 0},
		{"30 % alum at 1.16, lb/gal", practice, perGallon(product.Active(0.30, 1.16)), 2.90, 0.005, 0},
		{"pure chlorine, lb/d", practice, use(2.5, "1.5 MGD").In("lb/d"), 31.28, 0.005 + 31.3*operator, 0},
		{"alum for 30 days, kg", practice, float64(use(25, "35 m3/min")) * 30, 37800, 1e-6, 0},
		{"alum 49 % at 1.29, mg/L", practice, float64(product.Active(0.49, 1.29)), 632100, 1e-6, 0},
		{"1 mg/L in a million imperial gallons, lb", memory, mass(1, "1e6 imp gal"), 10.02, 0.005, 8.345},
		{"alum 14 mg/L at 18 ML/d, kg/d", memory, float64(use(14, "18 ML/d")), 252, 0.5, 0},

		// 2 jar-test stock and dilution
		{"64.7 g/L of alum in 10 L, neat part in L", hendricksF, float64(recipe(oneTenth, 10).ProductVolume), 1.000, 0.0005, 0},
		{"the same, g of 14-hydrate", hendricksF, Mass(strength(oneTenth, quantity.AsAlum14), 10).In("g"), 647, 0.5, 0},
		{"10 oz of dry polymer in 15 gal, %", spellman, stirred("10 oz", "15 gal"), 0.5, 0.05, 0},
		{"90 g of dry polymer in 6 gal, %: ten times too much in print", spellman, stirred("90 g", "6 gal"), 0.394, 0.001, 4},
		{"12 % polymer for 120 lb of 0.5 %, lb", spellman2, float64(diluting(120, 0.12, 0.005).Strong), 5, 0.5, 0},
		{"0.5 % dry polymer: 2.5 g in 500 mL, % w/v", separation, concentrationIn(massOf(t, "2.5 g"), volumeOf(t, "500 mL")).In("% w/v"), 0.5, 0.05, 0},
		{"40 % active emulsion for 2.5 g, cm3 at 1.0", separation, liquid(inProduct(2.5, 0.40), 1).In("mL") / 1000, 6.25, 0.005, 0},
		{"1.5 mL of 10 g/L in 1 L", labSheet, onSample("10 g/L", "1.5 mL", "1 L"), 15, 0.05, 0},
		{"2 mL", labSheet, onSample("10 g/L", "2 mL", "1 L"), 20, 0.05, 0},
		{"2.5 mL", labSheet, onSample("10 g/L", "2.5 mL", "1 L"), 25, 0.05, 0},
		{"3 mL", labSheet, onSample("10 g/L", "3 mL", "1 L"), 30, 0.05, 0},
		{"3.5 mL", labSheet, onSample("10 g/L", "3.5 mL", "1 L"), 35, 0.05, 0},
		{"4 mL", labSheet, onSample("10 g/L", "4 mL", "1 L"), 40, 0.05, 0},
		{"2 mL in 500 mL", practice, onSample("10 g/L", "2 mL", "500 mL"), 40, 0.5, 0},
		{"12 mL in 500 mL, on the sample", practice, onSample("10 g/L", "12 mL", "500 mL"), 240, 0.5, 0},
		{"12 mL in 500 mL, as it stands in the jar", practice, diluted("10 g/L", "12 mL", "500 mL"), 234.4, 0.05, 240},
		{"1 g of dry polymer in 1000 mL, % w/v", practice, concentrationIn(massOf(t, "1 g"), volumeOf(t, "1000 mL")).In("% w/v"), 0.1, 0.05, 0},
		{"the same, % w/w, in water of 1 kg/L in print and 0.9982 here", practice, stirred("1 g", "1000 mL"), 0.0999, 0.0002, 0},
		{"0.5 g in 200 mL, % w/v", supplier, concentrationIn(massOf(t, "0.5 g"), volumeOf(t, "200 mL")).In("% w/v"), 0.25, 0.005, 0},

		// 4 storage and dilution
		{"10 % lime slurry, L/d", ufc, float64(liquid(inProduct(280, 0.10), 1)), 2800, 0.5, 0},
		{"5 % polymer solution, L/d", ufc, float64(liquid(inProduct(112, 0.05), 1)), 2240, 0.5, 0},
		{"5.25 % bleach, 1 fl oz in a gallon, mg/L", kansas, onSample("5.25 % w/v", "0.0078125 gal", "1 gal"), 410, 0.5, 0},
		{"50 mg/L in 1,000 gal, fl oz", kansas, volumeWith(Mass(50, volumeOf(t, "1000 gal")), concentrationOf(t, "5.25 % w/v")).In("gal") * 128, 122, 0.5, 0},
		{"410 mg/L in 10,000 gal, gal", kansas, volumeWith(Mass(410, volumeOf(t, "10000 gal")), concentrationOf(t, "5.25 % w/v")).In("gal"), 78, 0.5, 0},
		{"12.5 % to 50 gal of 1 %, gal", practice, float64(diluting(50, 0.125, 0.01).Strong), 4, 0.5, 0},
		{"12.5 % to 30 gal of 6 %, gal", practice, float64(diluting(30, 0.125, 0.06).Strong), 14.4, 0.05, 0},
		{"32 % to 8 oz of 6 %, oz", practice, float64(diluting(8, 0.32, 0.06).Strong), 1.5, 0.05, 0},
		{"35 % to 100 mL of 3 %, mL (truncated in print)", practice, float64(diluting(100, 0.35, 0.03).Strong), 8.57, 0.005, 0},
		{"concentrate in 4000 gal at 0.5 %, gal", practice, float64(diluting(4000, 1, 0.005).Strong), 20, 1e-9, 0},
		{"0.1 % polymer in 30 gal, lb", practice, Mass(concentrationOf(t, "0.1 % w/v"), volumeOf(t, "30 gal")).In("lb"), 0.25, 0.005, 0},
		{"0.11 % bleach, 1 gal from 5.25 %, cups", practice, volumeWith(Mass(concentrationOf(t, "0.11 % w/v"), volumeOf(t, "1 gal")), concentrationOf(t, "5.25 % w/v")).In("gal") * 16, 0.335, 0.0005, 0.77},

		// 5 polymer make-up
		{"active polymer, 2 ppm by volume in 1 MGD, gal/d", handbook, liquid(use(2, "1 MGD"), 1).In("gal"), 2, 1e-9, 0},
		{"as 0.5 % solution, gal/h", handbook, liquid(inProduct(use(2, "1 MGD"), 0.005), 1).In("gal") / 24, 16.7, 0.05, 0},
		{"as neat emulsion of 30 %, gal/h", handbook, liquid(inProduct(use(2, "1 MGD"), 0.30), 1).In("gal") / 24, 0.28, 0.005, 0},

		// 6 alkalinity
		{"30 mg/L of alum, mg/L CaCO3", practice, alk("alum-liquid", 30, quantity.AsAlum14), 15, 0.5, 0},
		{"18 mg/L of 18-hydrate, mg/L CaCO3", practice, alk("alum-liquid", 18, quantity.AsAlum18), 8.1, 0.05, 0},
		{"33 mg/L of 14-hydrate, mg/L CaCO3", practice, alk("alum-liquid", 33, quantity.AsAlum14), 16.67, 0.03, 0},
		{"20 mg/L of FeCl3, mg/L CaCO3", practice, alk("ferric-chloride", 20, quantity.AsFeCl3), 18.5, 0.05, 0},
		{"13 mg/L of 18-hydrate: taken as Al in print", practice, alk("alum-liquid", 13, quantity.AsAlum18), 5.86, 0.01, 72.22},
		{"caustic for 1 mg/L CaCO3, mg/L", epaM, -1 / alk("caustic-50", 1, quantity.AsNaOH), 0.80, 0.005, 0},
		{"95 % hydrated lime for 1 mg/L CaCO3, mg/L", epaM, -1 / alk("lime", 0.95, quantity.AsCaOH2), 0.78, 0.005, 0},
		{"soda ash for 1 mg/L CaCO3, pure, mg/L (1.08 in print fits 98 %)", epaM, -1 / alk("soda-ash", 1, quantity.AsNa2CO3), 1.059, 0.001, 0},
		{"bicarbonate for 1 mg/L CaCO3, mg/L", epaM, -1 / alk("bicarbonate", 1, quantity.AsNaHCO3), 1.679, 0.001, 1.52},

		// 12 properties: strength × density of tables
		{"alum 48.18 % at 1.3303, g/L", supplier, product.Active(0.4818, 1.3303).In("g/L"), 640.938, 0.005, 0},
		{"alum 30.53 % at 1.1983, g/L", supplier, product.Active(0.3053, 1.1983).In("g/L"), 365.84, 0.005, 385.841},
		{"alum 12.18 % at 1.0741, lb/gal", supplier, perGallon(product.Active(0.1218, 1.0741)), 1.09, 0.005, 1.9},
		{"alum 8.41 % at 1.0507, g/L", supplier, product.Active(0.0841, 1.0507).In("g/L"), 88.36, 0.01, 0},
		{"alum 40.65 % at 1.2719, g/L", supplier, product.Active(0.4065, 1.2719).In("g/L"), 517.03, 0.01, 0},
		{"alum 53.00 % at 1.3679, g/L", supplier, product.Active(0.53, 1.3679).In("g/L"), 724.99, 0.01, 0},
		{"FeCl3 40 % at 1.415, g/L", supplier, product.Active(0.40, 1.415).In("g/L"), 566, 0.5, 0},
		{"NaOH 50 % at 1.5253, g/L", supplier, product.Active(0.50, 1.5253).In("g/L"), 762.65, 0.05, 0},
	} {
		if math.IsNaN(x.got) || math.Abs(x.got-x.want) > x.tolerance {
			t.Errorf("%s (%s): got %v, want %v ± %v", x.what, x.source, x.got, x.want, x.tolerance)
		}
		if x.wrong != 0 && math.Abs(x.got-x.wrong) <= math.Abs(x.wrong)*0.01 {
			t.Errorf("%s (%s): got the misprint %v", x.what, x.source, x.wrong)
		}
	}
}

// liquid is a daily mass of a liquid as volume.
func liquid(m quantity.MassRate, d quantity.Density) quantity.Volume {
	return product.LiquidVolume(quantity.Mass(m), d)
}
