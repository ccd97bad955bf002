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
