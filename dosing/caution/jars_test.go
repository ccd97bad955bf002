package caution

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// alumSeries is an invented beck, 15 C, pH 7.8, alkalinity 60; the pH read is that of a second
// computation, apart from this program, which counts in pH and with aluminate too, plus a shift.
func alumSeries(shift float64) jartest.Series {
	s := jartest.Series{Name: "beck", Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}},
		Raw: map[jartest.Key]jartest.Reading{jartest.PH: jartest.Num(7.8, ""), jartest.AlkalinityKey: jartest.Num(60, "mg/L CaCO3"), jartest.TemperatureKey: jartest.Num(15, "C")}}
	for i, ph := range []float64{7.80, 7.24, 6.99, 6.64, 6.36, 6.06} {
		d := []float64{0, 10, 20, 40, 60, 80}[i]
		s.Jars = append(s.Jars, jartest.Jar{Label: string(rune('1' + i)), Control: d == 0, Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d), Known: true}},
			Readings: jartest.Readings{{Key: jartest.PH, Reading: jartest.Num(ph+shift, "")}}})
	}
	return s
}

func TestJarsAlongTheCurve(t *testing.T) {
	b, err := Jars(alumSeries(0), product.Default())
	if err != nil {
		t.Fatal(err)
	}
	left := []float64{60, 54.9, 49.9, 39.8, 29.7, 19.6}
	for i, j := range b.Jars {
		if math.Abs(float64(j.PH-j.ReadPH.V)) > 0.015 || math.Abs(float64(j.Alkalinity)-left[i]) > 0.06 {
			t.Errorf("jar %s: pH %v read %v, alkalinity %v want %g", j.Label, j.PH, j.ReadPH.V, j.Alkalinity, left[i])
		}
	}
	if b.Read != 6 || math.Abs(b.WorstGap) > 0.015 || len(b.Notes) != 0 {
		t.Errorf("%d read, worst gap %g, notes %v", b.Read, b.WorstGap, b.Notes)
	}
}

func TestJarsThatDisagreeAreSaidSo(t *testing.T) {
	b, err := Jars(alumSeries(0.5), product.Default())
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Notes) != 1 || b.Notes[0].Code != "jar-ph-differs" || math.Abs(b.MeanGap-0.5) > 0.02 {
		t.Errorf("gap %g, notes %v", b.MeanGap, b.Notes)
	}
}

func TestJarsSayWhatIsMissing(t *testing.T) {
	s := alumSeries(0)
	delete(s.Raw, jartest.AlkalinityKey)
	if _, err := Jars(s, product.Default()); note.Of(err, "")[0].Code != "bench-water-not-computed" {
		t.Errorf("without alkalinity: %v", err)
	}
	s = alumSeries(0)
	s.Chemicals[0].Basis = quantity.NotStated
	if _, err := Jars(s, product.Default()); err == nil {
		t.Error("without a basis")
	}
	s = alumSeries(0)
	s.Chemicals[0] = jartest.Chemical{Name: "mystery", Basis: quantity.AsProduct}
	if _, err := Jars(s, product.Default()); err == nil {
		t.Error("an unknown chemical as product")
	}
	s = alumSeries(0)
	delete(s.Raw, jartest.PH) // the control jar has one
	delete(s.Raw, jartest.TemperatureKey)
	if b, err := Jars(s, product.Default()); err != nil || len(b.Notes) != 1 || b.Notes[0].Code != "temperature-assumed" {
		t.Errorf("pH of the control jar: %v, notes %v", err, b.Notes)
	}
}

// Where the jars read residual aluminium, no more of it counts as dissolved, as in a plan. By hand: at 20 mg/L of alum 49.9 mg/L
// CaCO3 (0.997 meq/L) are left beside what the raw water had of CO2, pK1 6.42 at 15 C: 1.199·10^-1.38 = 0.050, and 0.202 freed:
// pH 6.42 + log(0.997/0.252) = 7.02, where fresh floc alone gives 6.99; between two jars the reading is on the straight line.
func TestResidualAluminiumOfTheJars(t *testing.T) {
	s := alumSeries(0)
	for i, al := range []float64{0, 0.1, 0.1, 0.2, 0.4, 0.8} {
		s.Jars[i].Readings.Set(jartest.ResidualAl, jartest.Num(al, "mg/L"))
	}
	b, err := Jars(s, product.Default())
	if err != nil {
		t.Fatal(err)
	}
	if got := float64(b.Jars[2].PH); math.Abs(got-7.02) > 0.03 || got <= 6.995 {
		t.Errorf("pH %g", got)
	}
	for d, want := range map[quantity.Concentration]float64{30: 0.15, 50: 0.3, 80: 0.8, 10: 0.1, 0: 0} {
		if x := residualAl(s, []quantity.Concentration{d}); !x.OK || math.Abs(float64(x.V)-want) > 1e-9 {
			t.Errorf("at %v %v, want %g", d, x, want)
		}
	}
	if residualAl(s, []quantity.Concentration{81}).OK || residualAl(alumSeries(0), []quantity.Concentration{20}).OK || residualAl(s, nil).OK {
		t.Error("a reading where there is none")
	}
	s.Jars[5].Readings.Set(jartest.ResidualAl, jartest.Reading{State: jartest.Below, Value: 0.6, Limit: true, Unit: "mg/L"})
	if x := residualAl(s, []quantity.Concentration{70}); math.Abs(float64(x.V)-0.5) > 1e-9 {
		t.Errorf("below a limit: %v", x)
	}
}

// A planning dose says what the pH would be without the aluminium of fresh floc where that moves it by 0.05, and nothing where it does
// not or the jars read aluminium. 26 C, pH 7.8, alkalinity 95: 10 mg/L of alum leave 89.9 (1.798 meq/L); pK1 6.35 and what the raw
// water had, 1.900·10^-1.45 = 0.067, with 0.101 freed give 6.35 + log(1.798/0.168) = 7.38.
func TestPHWithoutDissolvedAluminium(t *testing.T) {
	s := alumSeries(0)
	s.Raw[jartest.PH], s.Raw[jartest.AlkalinityKey], s.Raw[jartest.TemperatureKey] = jartest.Num(7.8, ""), jartest.Num(95, "mg/L CaCO3"), jartest.Num(26, "C")
	at := func(d quantity.Concentration) BenchReview {
		return Bench(s, []quantity.Concentration{d}, product.Default())
	}
	if r := at(10); !r.Settled.OK || math.Abs(float64(r.Settled.V)-7.38) > 0.04 || r.Settled.V < r.AtPlanning.PH+0.05 {
		t.Errorf("%v beside %v", r.Settled, r.AtPlanning.PH)
	}
	if r := at(60); r.Settled.OK {
		t.Errorf("at pH %v: %v", r.AtPlanning.PH, r.Settled)
	}
	for i := range s.Jars {
		s.Jars[i].Readings.Set(jartest.ResidualAl, jartest.Num(0.08, "mg/L"))
	}
	if r := at(10); r.Settled.OK || math.Abs(float64(r.AtPlanning.PH)-7.37) > 0.04 {
		t.Errorf("as read: %v, pH %v", r.Settled, r.AtPlanning.PH)
	}
}
