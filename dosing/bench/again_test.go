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
	w := caution.Bench(s, nil, targets, product.Default())
	return r, Of(s, &r, w, product.Default())
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// The causes, each told from what the jars read: acid below pH 5.8 or alkalinity 5, a turned charge
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
// three CaCO3 of 100.087 g/mol (IUPAC weights), another way than by the metal's charges: 25 are used up at 49.5. 25 less 45 of
// it are 2.3; 30 to be left less 25 and the 30 or 60 of the dose are 20.2 and 35.3, as soda ash 105.988/100.087 times that,
// bicarbonate 2·84.006/100.087, hydrated lime 74.092/100.087. Nothing tells the raw water's pH, so none is told.
func TestAlkaliOfTheNextJars(t *testing.T) {
	per := 3 * 100.087 / 594.36
	near(t, "alum", per, 0.505, 0.0005)
	s := jars("alum", quantity.AsAlum14, map[jartest.Key][]float64{jartest.Turbidity: turned}, map[jartest.Key]float64{jartest.AlkalinityKey: 25})
	r, f := found(t, s, "turbidity <= 3 NTU")
	a := f.Again
	near(t, "left at 45", float64(a.There.Alkalinity.V), 25-45*per, 0.02)
	near(t, "taken at 45", float64(a.There.Used.V), 45*per, 0.02)
	near(t, "a mg takes", float64(a.Next.PerDose.V), per, 0.0005)
	near(t, "used up at", float64(a.Next.UsedUp.V), 25/per, 0.03)
	for i, want := range []struct {
		name   string
		factor float64
	}{{"soda ash", 105.988 / 100.087}, {"sodium bicarbonate", 2 * 84.006 / 100.087}, {"hydrated lime", 74.092 / 100.087}} {
		if got := a.Next.Alkali[i]; got.Name != want.name || got.Low.PH.OK || got.High.PH.OK {
			t.Errorf("alkali %d is %+v", i, got)
		} else {
			near(t, want.name, float64(got.Low.Dose), want.factor*(30*per+30-25), 0.05)
			near(t, want.name, float64(got.High.Dose), want.factor*(60*per+30-25), 0.05)
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
	if n := a.Note(); !strings.Contains(n.Remedy, "21 mg/L of soda ash with 30 mg/L of dose, 37 mg/L with 60 mg/L; each leaves 30 mg/L as CaCO3") ||
		strings.Contains(n.Remedy, "pH") || strings.Contains(n.Remedy, "take off") {
		t.Errorf("%q", n.Remedy)
	}
}

// With the raw water's pH the jars' own is told, before gas passes. By hand, at 15 C (pK1 6.42): 25 mg/L CaCO3 at pH 7.0 are
// 0.500 meq/L beside 0.500·10^-0.58 = 0.131 mmol/L of CO2, 0.631 of carbon. Lime brings none: 0.600 meq/L (30 mg/L) of it leave
// 0.031, of which the aluminate of fresh floc, 10^-12.27/10^-7.5 = 0.017 mmol/L, takes some: pH 6.42 + log(0.583/0.048) = 7.50,
// whatever the dose. Soda ash for 35.3 of need brings 0.353 mmol/L: 0.600 beside
// 0.384, pH 6.61. In water of pH 8.6 with next to no carbon dioxide the lime leaves more alkalinity than carbon, so that
// it goes above pH 8, where floc dissolves, and is left out.
func TestPHOfTheNextJars(t *testing.T) {
	water := func(alk, ph float64) NextJars {
		s := jars("alum", quantity.AsAlum14, map[jartest.Key][]float64{jartest.Turbidity: turned},
			map[jartest.Key]float64{jartest.AlkalinityKey: alk, jartest.PH: ph, jartest.TemperatureKey: 15})
		_, f := found(t, s, "turbidity <= 3 NTU")
		if f.Again == nil || !f.Again.Next.WithAlkali {
			t.Fatalf("%+v", f.Again)
		}
		if n := f.Again.Note(); !strings.Contains(n.Remedy, ", at pH 6.") && !strings.Contains(n.Remedy, ", at pH 7.") {
			t.Errorf("%q", n.Remedy)
		}
		return f.Again.Next
	}
	n := water(25, 7.0)
	if len(n.Alkali) != 3 || len(n.Harsh) != 0 {
		t.Fatalf("%+v", n)
	}
	near(t, "soda ash", float64(n.Alkali[0].High.PH.V), 6.61, 0.06)
	near(t, "lime at the highest", float64(n.Alkali[2].High.PH.V), 7.50, 0.06)
	near(t, "lime at the lowest", float64(n.Alkali[2].Low.PH.V), 7.50, 0.06)
	if n = water(20, 8.6); len(n.Alkali) != 2 || !slices.Equal(n.Harsh, []string{"hydrated lime"}) || n.Most != 8 {
		t.Errorf("%+v", n)
	}
}

// Soft coloured water at pH 6.06 is where colour goes best (pH 5 to 6.5, common practice): its charge is turned, its
// alkalinity of 8.9 is not used up, and no alkali is advised; without zeta it is not told, but never acid.
func TestColouredWater(t *testing.T) {
	colour, ph, alk := []float64{118, 71, 28, 9, 34, 62}, []float64{6.4, 6.32, 6.26, 6.2, 6.06, 5.97}, []float64{14, 12.4, 11.6, 10.8, 8.9, 7.7}
	zeta := []float64{-19, -14, -8, -2.5, 10, 15}
	rows := map[jartest.Key][]float64{jartest.Colour: colour, jartest.PH: ph, jartest.AlkalinityKey: alk, jartest.Zeta: zeta}
	raw := map[jartest.Key]float64{jartest.AlkalinityKey: 14, jartest.PH: 6.4}
	r, f := found(t, jars("PACl", quantity.AsProduct, rows, raw), "colour <= 15 Pt-Co")
	a := f.Again
	if a == nil || a.Cause != Reversal || a.Next.WithAlkali || a.Next.Low != 20 || a.Next.High != 45 || r.Overdose.Sour.OK {
		t.Fatalf("%+v %v", a, r.Overdose)
	}
	near(t, "the charge turns", float64(a.Turns.V), 30+15*2.5/12.5, 1e-9)
	delete(rows, jartest.Zeta)
	if _, f = found(t, jars("PACl", quantity.AsProduct, rows, raw), "colour <= 15 Pt-Co"); f.Again == nil || f.Again.Cause != Untold || f.Again.Turns.OK ||
		!slices.Equal(f.Again.Tells, []jartest.Key{jartest.Zeta, jartest.StreamingCurrent}) {
		t.Errorf("%+v", f.Again)
	}
	rows[jartest.PH] = []float64{6.4, 6.1, 5.8, 5.3, 4.9, 4.6}
	delete(rows, jartest.AlkalinityKey)
	if r, f = found(t, jars("PACl", quantity.AsProduct, rows, raw), "colour <= 5 Pt-Co"); f.Again == nil || f.Again.Cause != Acid || f.Again.Next.Kept != 10 ||
		!strings.Contains(r.Notes[slices.IndexFunc(r.Notes, codeIs("alkalinity-ran-out"))].Remedy, "pH stays above 5.5") {
		t.Errorf("%+v", f.Again)
	}
}

// Where a dose was found well below the clouding, the next jars tell it better without alkali, whatever clouded the others, and
// next keeps its doses inside that. Close below, jars that acid spoilt get alkali and those of a turned charge smaller steps.
func TestNextOfAFoundDose(t *testing.T) {
	gone := []float64{25, 20, 15, 10.2, 3, 1}
	s := jars("alum", quantity.AsAlum14, map[jartest.Key][]float64{jartest.Turbidity: turned, jartest.AlkalinityKey: gone}, map[jartest.Key]float64{jartest.AlkalinityKey: 25})
	r, f := found(t, s, "turbidity <= 20 NTU")
	a := f.Again
	if r.Outcome != curve.Found || a == nil || a.Cause != Acid || a.Next.WithAlkali || !a.Next.Clear || a.Span() != (curve.Span{High: 45}) ||
		!strings.HasPrefix(a.Note().Remedy, "keep the next jars below that") { // 20 NTU is met near 15 mg/L, well below the best jar, 30
		t.Fatalf("%s %+v", r.Outcome, a)
	}
	near6, f := found(t, s, "turbidity <= 7 NTU") // which hardly any dose meets before it clouds again
	if a = f.Again; near6.Outcome != curve.Found || a.Next.Clear || !a.Next.WithAlkali || a.Next.Low != 20 || a.Next.High != 45 {
		t.Fatalf("%s %+v", near6.Outcome, a)
	}
	per, soda := 3*100.087/594.36, 105.988/100.087 // as in TestAlkaliOfTheNextJars
	near(t, "soda ash at 20", float64(a.Next.Alkali[0].Low.Dose), soda*(20*per+30-25), 0.05)
	near(t, "soda ash at 45", float64(a.Next.Alkali[0].High.Dose), soda*(45*per+30-25), 0.05)
	limed := near6.Next(curve.NextOptions{Jars: 6, Span: a.Span()})
	if len(limed.Doses) != 6 || limed.Doses[0].Dose != 20 || limed.Doses[5].Dose != 45 || limed.Doses[0].Why != "with alkali" ||
		len(limed.Choices) != 0 || !strings.Contains(limed.Rule, "every jar with alkali first") || strings.Contains(a.Note().Remedy, "smaller steps") {
		t.Errorf("%+v %q", limed, a.Note().Remedy)
	}
	kept := []float64{125, 120, 115, 110, 102, 95}
	s = jars("alum", quantity.AsAlum14, map[jartest.Key][]float64{jartest.Turbidity: turned, jartest.AlkalinityKey: kept,
		jartest.Zeta: {-18, -12, -6, -1, 6, 11}}, nil)
	near6, f = found(t, s, "turbidity <= 7 NTU")
	a = f.Again
	if near6.Outcome != curve.Found || a == nil || a.Next.Clear || a.Next.Low != 20 || a.Next.High != 45 || !a.Span().Steps {
		t.Fatalf("%s %+v", near6.Outcome, a)
	}
	planned := near6.Next(curve.NextOptions{Jars: 6, Span: a.Span()}) // 20 to 45 in six equal steps, as fit says
	for i, d := range planned.Doses {
		if near(t, "a step", float64(d.Dose), 20+5*float64(i), 0.5); d.Jars != 1 || d.Why != a.Span().Why {
			t.Errorf("%+v", d)
		}
	}
	if len(planned.Doses) != 6 {
		t.Errorf("%d doses", len(planned.Doses))
	}
	if n := a.Note(); n.Remedy != "take smaller steps between 20 mg/L and 45 mg/L" || a.Span().Why != "before it clouds again" {
		t.Errorf("%q %q", n.Remedy, a.Span().Why)
	}
	next := r.Next(curve.NextOptions{Jars: 6, Span: curve.Span{High: 14}})
	for _, d := range next.Doses {
		if d.Dose > 14 {
			t.Errorf("%v goes above 14", d.Dose)
		}
	}
	for _, c := range next.Choices {
		if c.Name == "the same doses again" {
			t.Error("doses above are offered again")
		}
	}
}

// A jar far above the dose that acid makes a little worse, and that meets the target all the same, is a note: 14 NTU after 6,
// of 20 that are allowed. Above the target it is a caution.
func TestWorseAndStillGood(t *testing.T) {
	for _, c := range []struct {
		last  float64
		level note.Level
	}{{14, note.Info}, {35, note.Caution}} {
		rows := map[jartest.Key][]float64{jartest.Turbidity: {60, 30, 12, 7, 6, c.last}, jartest.PH: {7.3, 6.9, 6.6, 6.4, 6.1, 5.6}}
		r, f := found(t, jars("alum", quantity.AsAlum14, rows, nil), "turbidity <= 20 NTU")
		n := r.Notes[slices.IndexFunc(r.Notes, codeIs("alkalinity-ran-out"))]
		if fine := c.level == note.Info; n.Level != c.level || (f.Again == nil) != fine || strings.Contains(n.Message, "they still meet the target") != fine ||
			(n.Remedy == "") != fine || r.Outcome != curve.Found || !r.Overdose.Sour.OK {
			t.Errorf("%g NTU: %s %s: %s; %+v", c.last, r.Outcome, n.Level, n.Message, f.Again)
		}
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
		gone := map[jartest.Key][]float64{jartest.Turbidity: turned, jartest.AlkalinityKey: {25, 20, 15, 10.2, 1.5, 0.5}}
		s := jars(c.chemical, c.basis, gone, nil)
		s.Jars[0].Control = false // so that nothing tells of the raw water
		_, f := found(t, s, "turbidity <= 3 NTU")
		if f.Again == nil || f.Again.Cause != Acid {
			t.Errorf("%s: %+v", name, f.Again)
			continue
		}
		n := f.Again.Next
		if !n.WithAlkali || n.PerDose.OK != (c.need > 0) || n.RawMissing != (c.need > 0) || n.UsedUp.OK || (len(n.Alkali) > 0) != (c.need > 0) {
			t.Errorf("%s: %+v", name, n)
		}
		said := f.Again.Note().Remedy
		if c.need == 0 {
			if said != "give every jar alkali first, so that 30 mg/L as CaCO3 is left" {
				t.Errorf("%s: %q", name, said)
			}
			continue
		}
		near(t, name, float64(n.Alkali[0].High.Dose), c.need*105.988/100.087, 0.06)
		if !strings.Contains(said, "less what the raw water's own alkalinity is worth") {
			t.Errorf("%s: %q", name, said)
		}
	}
}

// Where the charge has turned, the next jars take smaller steps between the doses beside the best one.
func TestSmallerSteps(t *testing.T) {
	s := jars("alum", quantity.AsAlum14, map[jartest.Key][]float64{jartest.Turbidity: turned, jartest.Zeta: {-18, -12, -6, -1, 6, 11}}, nil)
	r, f := found(t, s, "turbidity <= 3 NTU")
	if n := f.Again.Next; n.Low != 20 || n.High != 45 || n.WithAlkali {
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
