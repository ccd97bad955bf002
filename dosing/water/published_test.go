package water

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// row is a line of testdata/check_values.csv: a published figure with its inputs,
// its source and how far a recomputation may lie from it.
type row struct {
	id, what, source                     string
	ph, hardness, doc, temp, sal, carbon float64
	published, tolerance                 float64
	digits                               int // decimals printed
}

func rows(t *testing.T) []row {
	t.Helper()
	f, err := os.Open("testdata/check_values.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	num := func(s string) float64 {
		if s == "" {
			return 0
		}
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	var out []row
	for _, r := range records[1:] {
		_, decimals, _ := strings.Cut(r[8], ".")
		out = append(out, row{r[0], r[1], r[10], num(r[2]), num(r[3]), num(r[4]), num(r[5]), num(r[6]), num(r[7]), num(r[8]), num(r[9]), len(decimals)})
	}
	return out
}

// meqPerMg of the products in the equilibrium-model rows, from formula weights.
const (
	alum14Meq = 6 / 594.34
	fecl3Meq  = 3 / 162.2
)

// classroom are the round constants of the class-room answers.
var classroom = Constants{K1: math.Pow(10, -6.3), K2: math.Pow(10, -10.3), KW: 1e-14, K0: math.Pow(10, -1.5), Density: 1}

func TestPublished(t *testing.T) {
	used := map[string]bool{}
	for _, r := range rows(t) {
		t.Run(r.id, func(t *testing.T) {
			got, ok := recompute(t, r)
			if !ok {
				t.Fatalf("nothing computes %q", r.what)
			}
			used[r.id] = true
			if strings.HasPrefix(r.id, "AL") && r.id < "AL6" {
				if g, w := strconv.FormatFloat(got, 'f', r.digits, 64), strconv.FormatFloat(r.published, 'f', r.digits, 64); g != w {
					t.Errorf("%s: got %s, published %s (%s)", r.what, g, w, r.source)
				}
				return
			}
			if math.Abs(got-r.published) > r.tolerance {
				t.Errorf("%s: got %.6g, published %g ± %g (%s)", r.what, got, r.published, r.tolerance, r.source)
			}
		})
	}
	if len(used) < 110 {
		t.Errorf("only %d published figures were checked", len(used))
	}
}

func recompute(t *testing.T, r row) (float64, bool) {
	c := Conditions{Temperature: quantity.Temperature(r.temp), Salinity: quantity.Salinity(r.sal), Scale: Seawater}
	al := func() AluminiumCriteria {
		return Aluminium(quantity.PH(r.ph), quantity.Alkalinity(r.hardness), quantity.Concentration(r.doc))
	}
	genus := func(list []GenusValue) float64 {
		_, name, _ := strings.Cut(r.id, "_")
		for _, g := range list {
			if g.Genus == name {
				return float64(g.Value) * 1000
			}
		}
		t.Fatalf("no genus %s", name)
		return 0
	}
	kelvin := c.Temperature.In("K")
	k := ConstantsAt(c)
	switch {
	case strings.HasPrefix(r.id, "ALg_"):
		return genus(al().AcuteGenera), true
	case strings.HasPrefix(r.id, "ALc_"):
		return genus(al().ChronicGenera), true
	case r.id == "AL6a":
		return quantity.RoundSig(float64(al().Acute)*1000, 2), true
	case r.id == "AL6b":
		return quantity.RoundSig(float64(al().Chronic)*1000, 2), true
	case strings.HasPrefix(r.what, "EPA 2018 CCC"):
		return float64(al().Chronic) * 1000, true
	case strings.HasPrefix(r.what, "EPA 2018 FAV"):
		return float64(al().FinalAcute) * 1000, true
	case strings.HasPrefix(r.what, "EPA 2018 CMC"):
		return float64(al().Acute) * 1000, true
	case r.id == "FE1":
		limit, known := IronGuideline(quantity.PH(r.ph), quantity.Concentration(r.doc))
		return float64(limit) * 1000, known
	case r.id == "SW3":
		return lnKWTotal(kelvin, r.sal), true
	case r.id == "SW4":
		return lnKBTotal(kelvin, r.sal), true
	case r.id == "SW5":
		return lnK0(kelvin, r.sal), true
	case r.id == "SW8":
		return -math.Log10(k.K1), true
	case r.id == "SW9", r.id == "FW1":
		return -math.Log10(k.K2), true
	case r.id == "FW2":
		return -math.Log10(k.K1 * k.K2), true
	case r.id == "FW3":
		return math.Log10(k.K0), true
	case r.id == "FW4":
		return -math.Log10(k.KW), true
	case strings.HasPrefix(r.id, "UM"):
		alk, ct := map[byte]float64{'0': 5e-4, '1': 1e-4, '2': 5e-5, '3': -1e-3}[r.id[2]], map[byte]float64{'1': 5e-5, '2': 5e-5}[r.id[2]]
		if r.id[3] == 'b' {
			s := classroom.fixedCO2(Conditions{}, classroom.caco3(alk), classroom.K0*math.Pow(10, -3.5), held{})
			return float64(s.PH), true
		}
		h := bisect(func(h float64) float64 { return classroom.alkalinity(h, ct) - alk })
		return -math.Log10(h), true
	case strings.HasPrefix(r.id, "PQ_"):
		c.Scale = Meter
		s, err := fromPHCarbonate(c, quantity.PH(r.ph), quantity.Molarity(r.carbon))
		if err != nil {
			t.Fatal(err)
		}
		// The model waters are sodium bicarbonate, so ionic strength is close to alkalinity.
		c.Conductivity = quantity.Conductance(s.Alkalinity.In("meq/L") / 1000 / ionicStrengthPerConductivity)
		if s, err = fromPHCarbonate(c, quantity.PH(r.ph), quantity.Molarity(r.carbon)); err != nil {
			t.Fatal(err)
		}
		parts := strings.Split(r.id, "_")
		amount, err := strconv.ParseFloat(parts[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		meq := amount * map[string]float64{"acid": 1, "al": alum14Meq, "fe": fecl3Meq}[parts[1]]
		add := Addition{Acid: quantity.Alkalinity(meq * caco3PerMeq)}
		if parts[1] == "al" { // three equivalents a mole
			add.Aluminium = quantity.Molarity(meq / 3)
		} else if parts[1] == "fe" {
			add.Iron = quantity.Molarity(meq / 3)
		}
		closed, _ := Dose(s, add)
		return float64(closed.PH), true
	case strings.HasPrefix(r.id, "NH3_"):
		s := State{Conditions: Conditions{Temperature: quantity.Temperature(r.temp)}, PH: quantity.PH(r.ph)}
		return float64(s.UnionisedFraction()), true
	case r.id == "AM1":
		acute, _ := AmmoniaCriteria(quantity.PH(r.ph), quantity.Temperature(r.temp))
		return float64(acute), true
	case r.id == "AM2":
		_, chronic := AmmoniaCriteria(quantity.PH(r.ph), quantity.Temperature(r.temp))
		return float64(chronic), true
	}
	return 0, false
}

// The grid was computed once with an independent program that reproduces the
// published rows; half a unit of its third decimal is allowed.
func TestAluminiumGrid(t *testing.T) {
	f, err := os.Open("testdata/aluminium2018_grid.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range records[1:] {
		var v [8]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(r[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		c := Aluminium(quantity.PH(v[0]), quantity.Alkalinity(v[1]), quantity.Concentration(v[2]))
		for i, got := range []quantity.Concentration{c.FinalAcute, c.Acute, c.Chronic} {
			if math.Abs(float64(got)*1000-v[3+i]) > 0.0005+1e-9 {
				t.Errorf("pH %g hardness %g DOC %g: got %.4f, want %g", v[0], v[1], v[2], float64(got)*1000, v[3+i])
			}
		}
		lowest := func(g []GenusValue) string {
			return g[0].Genus + "|" + g[1].Genus + "|" + g[2].Genus + "|" + g[3].Genus
		}
		if got := lowest(c.AcuteGenera); got != r[8] {
			t.Errorf("pH %g hardness %g DOC %g: acute genera %s, want %s", v[0], v[1], v[2], got, r[8])
		}
		if got := lowest(c.ChronicGenera); got != r[9] {
			t.Errorf("pH %g hardness %g DOC %g: chronic genera %s, want %s", v[0], v[1], v[2], got, r[9])
		}
	}
}

// Plummer and Busenberg 1982 as read in two sources; the salinity formula must
// run into it as the salt goes to nothing.
func TestFreshWaterAgreesWithPlummerBusenberg(t *testing.T) {
	for c := 0.0; c <= 40; c += 5 {
		k := ConstantsAt(Conditions{Temperature: quantity.Temperature(c)})
		kelvin := c + 273.15
		lg := math.Log10(kelvin)
		for _, x := range []struct {
			name      string
			got, want float64
			within    float64
		}{
			{"pK1", -math.Log10(k.K1), -(-356.3094 - 0.06091964*kelvin + 21834.37/kelvin + 126.8339*lg - 1684915/(kelvin*kelvin)), 0.003},
			{"pK2", -math.Log10(k.K2), -(-107.8871 - 0.03252849*kelvin + 5151.79/kelvin + 38.92561*lg - 563713.9/(kelvin*kelvin)), 0.003},
			{"pKH", -math.Log10(k.K0), -(108.3865 + 0.01985076*kelvin - 6919.53/kelvin - 40.45154*lg + 669365/(kelvin*kelvin)), 0.01},
			{"pKw", -math.Log10(k.KW), 4470.99/kelvin - 6.0875 + 0.01706*kelvin, 0.02},
		} {
			if math.Abs(x.got-x.want) > x.within {
				t.Errorf("%g C %s: %.4f, want %.4f", c, x.name, x.got, x.want)
			}
		}
	}
}

// Sea water density of the 1980 equation of state (UNESCO 1981 tables; from memory).
func TestDensity(t *testing.T) {
	for _, x := range []struct{ c, s, want float64 }{{5, 0, 999.96675}, {5, 35, 1027.67547}, {25, 35, 1023.34306}} {
		if got := density(x.c, x.s) * 1000; math.Abs(got-x.want) > 0.0005 {
			t.Errorf("density(%g, %g) = %.5f, want %.5f", x.c, x.s, got, x.want)
		}
	}
}

// What a meter in ordinary buffers shows in sea water over the seawater scale:
// Takahashi et al. 1982 give fH = 1.2948 - 0.002036 T + (0.0004607 - 0.000001475 T) S² (from memory).
func TestMeterInSeaWater(t *testing.T) {
	for _, s := range []float64{20, 30, 35} {
		for _, c := range []float64{5, 15, 25} {
			kelvin := c + 273.15
			want := -math.Log10(1.2948 - 0.002036*kelvin + (0.0004607-0.000001475*kelvin)*s*s)
			got := ConstantsAt(Conditions{Temperature: quantity.Temperature(c), Salinity: quantity.Salinity(s)}).offset
			if math.Abs(got-want) > 0.03 {
				t.Errorf("S %g, %g C: meter is %.3f above the seawater scale, want %.3f", s, c, got, want)
			}
		}
	}
	// The total scale lies about 0.01 above the seawater scale at S 35, 25 C (Dickson, Sabine and Christian 2007; from memory).
	if got := ConstantsAt(Conditions{Temperature: 25, Salinity: 35, Scale: Total}).offset; math.Abs(got-0.01) > 0.002 {
		t.Errorf("total over seawater scale %.4f, want 0.01", got)
	}
}

// The pH after acid alone, without aluminate, worked out to the third digit by a second computation: the same
// published constants (Millero et al. 2006), written apart from this program, which counts in pH and halves.
func TestAcidBySecondComputation(t *testing.T) {
	for _, x := range []struct {
		name    string
		c       Conditions
		ph      quantity.PH
		alk     quantity.Alkalinity
		meqMg   float64
		doses   []float64
		want    []float64
		allowed float64
	}{
		{"alum fresh", Conditions{Temperature: 15}, 7.8, 60, 0.010095, []float64{0, 10, 20, 40, 60, 80}, []float64{7.800, 7.276, 7.006, 6.648, 6.360, 6.062}, 0.002},
		{"ferric fresh", Conditions{Temperature: 25}, 7.5, 100, 0.018495, []float64{0, 10, 20, 40, 60}, []float64{7.500, 7.082, 6.835, 6.483, 6.178}, 0.002},
		{"alum estuary", Conditions{Temperature: 28, Salinity: 25, Scale: Seawater}, 7.8, 120, 0.010095, []float64{0, 20, 40, 60, 100}, []float64{7.800, 7.192, 6.721, 6.441, 6.063}, 0.002},
	} {
		s, err := FromPHAlkalinity(x.c.WithIonicStrengthOf(x.alk), x.ph, x.alk)
		if err != nil {
			t.Fatal(err)
		}
		for i, d := range x.doses {
			if got := float64(s.AfterAcid(quantity.Alkalinity(d * x.meqMg * caco3PerMeq)).PH); math.Abs(got-x.want[i]) > x.allowed {
				t.Errorf("%s, %g mg/L: pH %.3f, want %.2f", x.name, d, got, x.want[i])
			}
		}
	}
}
