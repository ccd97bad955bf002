package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

var doses = []float64{0, 10, 20, 30, 45, 60}

// turned falls to 30 mg/L and rises again from 45 on.
var turned = []float64{60, 30, 12, 6, 14, 35}

// jars makes a series of alum jars with readings by key; a missing row leaves them out.
func jars(chemical string, b quantity.Basis, rows map[jartest.Key][]float64, raw map[jartest.Key]float64) jartest.Series {
	s := jartest.Series{Name: "made", Chemicals: []jartest.Chemical{{Name: chemical, Basis: b}}, Raw: map[jartest.Key]jartest.Reading{}}
	for k, v := range raw {
		s.Raw[k] = jartest.Num(v, k.Info().Unit)
	}
	for i, d := range doses {
		j := jartest.Jar{Label: fmt.Sprint(i + 1), Control: d == 0, Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d), Known: true}}}
		for k, row := range rows {
			if !math.IsNaN(row[i]) {
				j.Readings.Set(k, jartest.Num(row[i], k.Info().Unit))
			}
		}
		s.Jars = append(s.Jars, j)
	}
	return s
}

// found fits a series and gives what its jars say beyond the dose.
func found(t *testing.T, s jartest.Series, target string) (curve.Result, Findings) {
	t.Helper()
	targets, err := jartest.ParseTargets(target)
	if err != nil {
		t.Fatal(err)
	}
	r := curve.Analyse(s, targets, curve.Options{ForNext: true})
	w := caution.Bench(s, nil, product.Default())
	return r, Of(s, &r, w, product.Default())
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// The causes, each told from what the jars read: acid below pH 5.8 or alkalinity 10, a turned charge
// by its sign. Waters and readings are made up; the judgement is common practice, no source.
func TestWhyItCloudedAgain(t *testing.T) {
	nan := math.NaN()
	type row = map[jartest.Key][]float64
	gone, kept := []float64{25, 20, 15, 10.2, 3, 1}, []float64{125, 120, 115, 110, 102, 95}
	zeta, minus := []float64{-18, -12, -6, -1, 6, 11}, []float64{-18, -14, -11, -9, -8, -7}
	for name, c := range map[string]struct {
		rows  row
		raw   map[jartest.Key]float64
		cause Cause
		tells string
	}{
		"acid by alkalinity":            {row{jartest.AlkalinityKey: gone, jartest.Zeta: minus}, nil, Acid, ""},
		"acid by pH, charge not read":   {row{jartest.PH: {7, 6.8, 6.6, 6.4, 5.5, 5}}, nil, Acid, "zeta streaming_current"},
		"charge by zeta":                {row{jartest.AlkalinityKey: kept, jartest.Zeta: zeta}, nil, Reversal, ""},
		"charge by streaming current":   {row{jartest.PH: {7.6, 7.5, 7.4, 7.3, 7.2, 7.1}, jartest.StreamingCurrent: {-3, -2, -1, -0.2, 0.4, 0.9}}, nil, Reversal, ""},
		"charge, no word of acid":       {row{jartest.Zeta: zeta}, nil, Reversal, "ph alkalinity"},
		"both":                          {row{jartest.AlkalinityKey: gone, jartest.Zeta: zeta}, nil, Both, ""},
		"charge first, acid later":      {row{jartest.PH: {7, 6.8, 6.6, 6.4, 6.1, 5}, jartest.Zeta: zeta}, nil, Both, ""},
		"nothing read":                  {row{}, nil, Untold, "ph alkalinity zeta streaming_current"},
		"not acid, charge not read":     {row{jartest.AlkalinityKey: kept}, nil, Untold, "zeta streaming_current"},
		"neither":                       {row{jartest.AlkalinityKey: kept, jartest.Zeta: minus}, nil, Untold, ""},
		"acid worked out":               {row{}, map[jartest.Key]float64{jartest.AlkalinityKey: 25}, Acid, "zeta streaming_current"},
		"acid worked out with the pH":   {row{}, map[jartest.Key]float64{jartest.AlkalinityKey: 25, jartest.PH: 7.2}, Acid, "zeta streaming_current"},
		"enough alkalinity, worked out": {row{}, map[jartest.Key]float64{jartest.AlkalinityKey: 90, jartest.PH: 7.4}, Untold, "zeta streaming_current"},
		"a jar's pH before the sum":     {row{jartest.PH: {7.4, 7.2, 7, 6.9, 6.7, 6.6}}, map[jartest.Key]float64{jartest.AlkalinityKey: 25}, Untold, "zeta streaming_current"},
		"acid where charge is not read": {row{jartest.AlkalinityKey: gone, jartest.Zeta: {-18, -12, -6, nan, nan, nan}}, nil, Acid, "zeta streaming_current"},
	} {
		c.rows[jartest.Turbidity] = turned
		_, f := found(t, jars("alum", quantity.AsAlum14, c.rows, c.raw), "turbidity <= 3 NTU")
		if f.Again == nil {
			t.Errorf("%s: nothing said", name)
			continue
		}
		var tells []string
		for _, k := range f.Again.Tells {
			tells = append(tells, string(k))
		}
		if a := f.Again; a.Cause != c.cause || strings.Join(tells, " ") != c.tells || !at(a.Best, 30, 6) || !at(a.From, 45, 14) {
			t.Errorf("%s: %s, want %s; would tell %v; best %v, from %v", name, a.Cause, c.cause, tells, a.Best, a.From)
		}
	}
	polymer := row{jartest.Turbidity: turned}
	if _, f := found(t, jars("cationic polymer", quantity.AsActive, polymer, nil), "turbidity <= 3 NTU"); f.Again == nil || f.Again.Cause != Untold ||
		!slices.Equal(f.Again.Tells, []jartest.Key{jartest.Zeta, jartest.StreamingCurrent}) || !strings.HasPrefix(f.Again.Words(), "not acid") {
		t.Errorf("a polymer: %+v", f.Again)
	}
	falling := row{jartest.Turbidity: {60, 30, 12, 6, 5, 4.8}, jartest.AlkalinityKey: gone}
	if _, f := found(t, jars("alum", quantity.AsAlum14, falling, nil), "turbidity <= 7 NTU"); f.Again != nil {
		t.Errorf("said of jars that stay clear: %+v", f.Again)
	}
}

// Alum 14-hydrate takes 0.505 mg CaCO3 a mg: Al2(SO4)3·14H2O (594.36 g/mol) needs three Ca(HCO3)2, which are
// three CaCO3 of 100.087 g/mol (IUPAC weights), another way than by the metal's charges. 25 less 45 of it are 2.3;
// 60 of it and 30 to be left, less 25, are 35.3, as soda ash 105.988/100.087 times that, bicarbonate
// 2·84.006/100.087, hydrated lime 74.092/100.087.
func TestAlkaliOfTheNextJars(t *testing.T) {
	per := 3 * 100.087 / 594.36
	near(t, "alum", per, 0.505, 0.0005)
	s := jars("alum", quantity.AsAlum14, map[jartest.Key][]float64{jartest.Turbidity: turned}, map[jartest.Key]float64{jartest.AlkalinityKey: 25})
	r, f := found(t, s, "turbidity <= 3 NTU")
	a := f.Again
	near(t, "left at 45", float64(a.There.Alkalinity.V), 25-45*per, 0.02)
	near(t, "taken at 45", float64(a.There.Used.V), 45*per, 0.02)
	need := 60*per + 30 - 25
	near(t, "needed", float64(a.Next.Need.V), need, 0.03)
	for i, want := range []struct {
		name   string
		factor float64
	}{{"soda ash", 105.988 / 100.087}, {"sodium bicarbonate", 2 * 84.006 / 100.087}, {"hydrated lime", 74.092 / 100.087}} {
		if got := a.Next.Alkali[i]; got.Name != want.name {
			t.Errorf("alkali %d is %s", i, got.Name)
		} else {
			near(t, want.name, float64(got.Dose), want.factor*need, 0.05)
		}
	}
	if !r.Overdose.Sour.OK || r.Overdose.Sour.V != 45 || !strings.Contains(r.Notes[slices.IndexFunc(r.Notes, codeIs("alkalinity-ran-out"))].Message, "their alkalinity comes to 2.3 mg/L as CaCO3") {
		t.Errorf("the result is not told: %+v %v", r.Overdose, r.Notes)
	}
	if do := r.Notes[slices.IndexFunc(r.Notes, codeIs("not-reached"))].Remedy; !strings.Contains(do, "from 30.0 mg/L on alkali") {
		t.Errorf("%q", do)
	}
	next := r.Next(curve.NextOptions{Jars: 4, Span: a.Span()})
	var list []quantity.Concentration
	for _, d := range next.Doses {
		list = append(list, d.Dose)
	}
	if !slices.Equal(list, []quantity.Concentration{30, 40, 50, 60}) || next.Doses[0].Why != "with alkali" {
		t.Errorf("next %v: %s", list, next.Rule)
	}
	if n := a.Note(); !strings.Contains(n.Remedy, "37 mg/L of soda ash: it leaves 30 mg/L as CaCO3 at 60 mg/L") {
		t.Errorf("%q", n.Remedy)
	}
}

func at(s curve.Spot, dose, reading float64) bool {
	return float64(s.Dose) == dose && math.Abs(s.Reading-reading) < 1e-9
}

func codeIs(code string) func(n note.Note) bool {
	return func(n note.Note) bool { return n.Code == code }
}

// What the doses count decides: FeCl3 takes 3·50.0435/162.2 = 0.926, polyaluminium chloride less by its
// basicity, a polymer none; without a basis the name tells, and a product of unknown strength tells nothing.
func TestAlkaliByWhatIsDosed(t *testing.T) {
	for name, c := range map[string]struct {
		chemical string
		basis    quantity.Basis
		need     float64 // of 60 mg/L with 30 to be left and none in the water; 0 where not told
	}{
		"iron":           {"ferric chloride", quantity.AsFeCl3, 60*3*50.0435/162.2 + 30},
		"by its name":    {"alum", quantity.NotStated, 60*3*100.087/594.36 + 30},
		"product of any": {"alum", quantity.AsProduct, 0},
		"own product":    {"Brightclear", quantity.AsProduct, 0},
	} {
		gone := map[jartest.Key][]float64{jartest.Turbidity: turned, jartest.AlkalinityKey: {25, 20, 15, 10.2, 3, 1}}
		s := jars(c.chemical, c.basis, gone, nil)
		s.Jars[0].Control = false // so that nothing tells of the raw water
		_, f := found(t, s, "turbidity <= 3 NTU")
		if f.Again == nil || f.Again.Cause != Acid {
			t.Errorf("%s: %+v", name, f.Again)
			continue
		}
		n := f.Again.Next
		if n.Need.OK != (c.need > 0) || n.RawMissing != (c.need > 0) {
			t.Errorf("%s: %+v", name, n)
		}
		near(t, name, float64(n.Need.V), c.need, 0.05)
	}
}

// Where the charge has turned, the next jars take smaller steps between the doses beside the best one.
func TestSmallerSteps(t *testing.T) {
	s := jars("alum", quantity.AsAlum14, map[jartest.Key][]float64{jartest.Turbidity: turned, jartest.Zeta: {-18, -12, -6, -1, 6, 11}}, nil)
	r, f := found(t, s, "turbidity <= 3 NTU")
	if n := f.Again.Next; n.Low != 20 || n.High != 45 || n.Need.OK {
		t.Errorf("%+v", n)
	}
	next := r.Next(curve.NextOptions{Jars: 6, Span: f.Again.Span()})
	if a, z := next.Doses[0].Dose, next.Doses[len(next.Doses)-1].Dose; a != 20 || z != 45 || len(next.Doses) != 6 {
		t.Errorf("%v", next.Doses)
	}
	if n := f.Again.Note(); n.Remedy != "take smaller steps between 20 mg/L and 45 mg/L" {
		t.Errorf("%q", n.Remedy)
	}
}

// Both causes plan alkali; a reading below a limit counts as the limit, one without limit or above a meter not at all.
func TestSpanAndLimits(t *testing.T) {
	gone := []float64{25, 20, 15, 10.2, 3, 1}
	s := jars("alum", quantity.AsAlum14, map[jartest.Key][]float64{jartest.Turbidity: turned, jartest.AlkalinityKey: gone, jartest.Zeta: {-18, -12, -6, -1, 6, 11}}, nil)
	_, f := found(t, s, "turbidity <= 3 NTU")
	if a := f.Again; a.Cause != Both || a.Span().Why != "with alkali" || a.Span().Low != 30 || a.Span().High != 60 {
		t.Errorf("%+v", a)
	}
	if (*Again)(nil).Span() != (curve.Span{}) {
		t.Error("a span of nothing")
	}
	x := tested{Series: s}
	for _, c := range []struct {
		read jartest.Reading
		want quantity.Known[float64]
	}{{jartest.Reading{State: jartest.Below, Limit: true, Value: 5}, quantity.Some(5.0)}, {jartest.Reading{State: jartest.Below, Value: 5}, quantity.Known[float64]{}},
		{jartest.Reading{State: jartest.Above, Limit: true, Value: 5}, quantity.Known[float64]{}}, {jartest.Num(7, ""), quantity.Some(7.0)}} {
		x.Jars[4].Readings.Set(jartest.AlkalinityKey, c.read)
		if got := x.at(jartest.AlkalinityKey, 45); got != c.want {
			t.Errorf("%+v: %v", c.read, got)
		}
	}
}

// Water that holds much carbon dioxide sours before its alkalinity is gone. By hand, with pK1 6.42 at 15 C: 40 mg/L CaCO3 at
// pH 6.0 are 0.80 meq/L beside 0.80·10^0.42 = 2.10 mmol/L of CO2; 45 mg/L of alum leave 17.3 (0.346) beside
// 2.10 + 0.454: pH 6.42 + log(0.346/2.56) = 5.55; below 6 some aluminium keeps its acid, which lifts it within what a computed pH is good to.
func TestSourByPH(t *testing.T) {
	s := jars("alum", quantity.AsAlum14, map[jartest.Key][]float64{jartest.Turbidity: turned}, map[jartest.Key]float64{jartest.AlkalinityKey: 40, jartest.PH: 6.0})
	r, f := found(t, s, "turbidity <= 3 NTU")
	if f.Again == nil || f.Again.Cause != Acid || f.Again.There.Read {
		t.Fatalf("%+v", f.Again)
	}
	near(t, "alkalinity", float64(f.Again.There.Alkalinity.V), 17.3, 0.1)
	near(t, "pH", float64(f.Again.There.PH.V), 5.6, 0.05)
	if said := r.Notes[slices.IndexFunc(r.Notes, codeIs("alkalinity-ran-out"))].Message; !strings.Contains(said, "their pH comes to 5.") {
		t.Errorf("%q", said)
	}
}
