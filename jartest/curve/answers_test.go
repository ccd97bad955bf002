package curve

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// targets parses what is asked, parted by semicolons.
func targets(t testing.TB, text string) []jartest.Target {
	t.Helper()
	var out []jartest.Target
	for _, s := range strings.Split(text, ";") {
		g, err := jartest.ParseTargets(s)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, g...)
	}
	return out
}

// noteOf gives a note's sentence and what to do; empty where there is none.
func noteOf(r Result, code string) string {
	for _, n := range r.Notes {
		if n.Code == code {
			return n.Message + ". " + n.Remedy
		}
	}
	return ""
}

// with adds a reading that follows the dose to every jar of a series.
func with(s jartest.Series, k jartest.Key, f func(dose float64) float64) jartest.Series {
	for i := range s.Jars {
		s.Jars[i].Readings.Set(k, jartest.Num(f(float64(s.Jars[i].Doses[0].Concentration)), k.Info().Unit))
	}
	return s
}

// TestWindow: between the dose that a target needs and the one that another allows, or
// at which the jars cloud again, lies the window.
func TestWindow(t *testing.T) {
	needs := math.Log(40.0/4) / 0.08 // of 6 NTU, by the formula of smooth
	for _, c := range []struct {
		name, ask string
		s         jartest.Series
		low, high float64 // zero for no window
	}{
		{"two targets", "turbidity <= 6 NTU; alkalinity >= 55 mg/L CaCO3",
			with(smoothSeries(jartest.Turbidity, eight...), jartest.AlkalinityKey, func(d float64) float64 { return 80 - 0.5*d }), needs, 50},
		{"between", "zeta between -5 and 5 mV", with(jarSeries("z", jartest.Turbidity, eight, eight), jartest.Zeta, func(d float64) float64 { return d - 30 }), 25, 35},
		{"over-dose", "turbidity <= 7 NTU", davisAlum(), 8.3, 15.6},
		{"no upper end", "turbidity <= 6 NTU", smoothSeries(jartest.Turbidity, eight...), 0, 0},
	} {
		r := Analyse(c.s, targets(t, c.ask), Options{})
		if r.Outcome != Found || r.Window.Seen != (c.high > 0) {
			t.Errorf("%s: %s, window %+v", c.name, r.Outcome, r.Window)
			continue
		}
		if c.high == 0 {
			continue
		}
		w := r.Window
		within(t, c.name+": low", float64(w.Low.Value), 0.95*c.low, 1.05*c.low)
		within(t, c.name+": high", float64(w.High.Value), 0.95*c.high, 1.05*c.high)
		if w.Low != r.Effective || !w.High.HasLow || w.High.Low >= w.High.Value || w.High.HasHigh && w.High.High <= w.High.Value {
			t.Errorf("%s: %+v", c.name, w)
		}
		for _, d := range []quantity.Concentration{w.Low.Value, w.High.Value} {
			within(t, c.name+": even odds at the ends", float64(r.Confidence(d)), 0.3, 0.7)
		}
	}
	// Met from the first jar on, until the jars cloud again.
	r := Analyse(jarSeries("x", jartest.Turbidity, []float64{0, 10, 20, 30, 40, 50}, []float64{4, 3.1, 3, 4.2, 8, 16}), targets(t, "turbidity <= 6 NTU"), Options{})
	if r.Outcome != UntreatedPasses || !r.Window.Seen || r.Window.Low.Value != 0 {
		t.Errorf("%s, window %+v", r.Outcome, r.Window)
	}
	within(t, "upper end of what the untreated jar passes", float64(r.Window.High.Value), 33, 38)
}

// TestOpposed: a target that needs more than another allows is answered with both
// bounds and the nearest jar, whichever readings they are of.
func TestOpposed(t *testing.T) {
	base := func() jartest.Series { return smoothSeries(jartest.Turbidity, eight...) }
	needs := "28." // mg/L for 6 NTU
	for _, c := range []struct{ name, ask, allows, jar string }{
		{"alkalinity", "turbidity <= 6 NTU; alkalinity >= 70 mg/L CaCO3", "20.0", "jar 4 (20.0 mg/L)"},
		{"residual", "turbidity <= 6 NTU; residual al <= 0.1 mg/L", "20.0", "jar 4 (20.0 mg/L)"},
		{"volume", "settled volume <= 40 mL/L; turbidity <= 6 NTU", "20.0", "jar 4 (20.0 mg/L)"},
	} {
		s := with(base(), jartest.AlkalinityKey, func(d float64) float64 { return 80 - 0.5*d })
		s = with(s, jartest.ResidualAl, func(d float64) float64 { return 0.005 * d })
		s = with(s, jartest.SettledVolume, func(d float64) float64 { return 2 * d })
		r := Analyse(s, targets(t, c.ask), Options{})
		said := noteOf(r, "targets-opposed")
		if r.Outcome != NotReached || said == "" {
			t.Errorf("%s: %s %v", c.name, r.Outcome, r.Notes)
			continue
		}
		at := func(word string) string { _, after, _ := strings.Cut(said, word); return after }
		if !strings.HasPrefix(at("needs at least "), needs) || !strings.HasPrefix(at("allows at most "), c.allows[:2]) && !strings.HasPrefix(at("allows at most "), "19") {
			t.Errorf("%s: bounds in %q", c.name, said)
		}
		if strings.Contains(said, "chemical") || !strings.Contains(said, "comes closest is jar ") {
			t.Errorf("%s: %q", c.name, said)
		}
	}
	// Only one of them cannot be met: that one is told, not a conflict.
	if r := Analyse(base(), targets(t, "turbidity <= 1 NTU; turbidity <= 6 NTU"), Options{}); noteOf(r, "targets-opposed") != "" {
		t.Errorf("an unreachable target was told as opposed: %v", r.Notes)
	}
}

// TestSlopes: a slope keeps its basis, and is refused where the curve never falls so
// fast or still does at the end.
func TestSlopes(t *testing.T) {
	point := func(slope float64) float64 { return math.Log(0.08*40/slope) / 0.08 }
	for _, c := range []struct {
		ask   string
		basis quantity.Basis
		want  float64 // mg/L, or zero for none
		code  string
	}{
		{"toc slope 0.3 mg/L per 10 mg/L", quantity.NotStated, point(0.03), ""},
		{"toc slope 0.3 mg/L per 10 mg/L as alum 14-hydrate", quantity.AsAlum14, point(0.03), ""},
		{"toc slope 0.5 mg/L per mg/L as Al", quantity.AsAlum14, point(0.5 * 0.0908), ""},
		{"toc slope 300 ug/L per 10 mg/L of alum", quantity.AsAlum14, point(0.03), ""},
		{"toc slope 0.5 mg/L per mg/L as Al", quantity.NotStated, 0, "slope-basis"},
		{"toc slope 0.5 mg/L per mg/L as Fe", quantity.AsAlum14, 0, "slope-basis"},
		{"toc slope 60 mg/L per 10 mg/L", quantity.NotStated, 0, "slope-never"},
		{"toc slope 0.0001", quantity.NotStated, 0, "still-improving"},
	} {
		s := smoothSeries(jartest.TOC, eight...)
		s.Chemicals[0].Basis = c.basis
		r := Analyse(s, targets(t, c.ask), Options{})
		if c.want == 0 {
			if r.Outcome == Found || noteOf(r, c.code) == "" {
				t.Errorf("%s: %s %v", c.ask, r.Outcome, r.Notes)
			}
			continue
		}
		if r.Outcome != Found {
			t.Errorf("%s: %s %v", c.ask, r.Outcome, r.Notes)
			continue
		}
		within(t, c.ask, float64(r.Effective.Value), 0.92*c.want, 1.08*c.want)
	}
}

// TestAcid: jars that cloud again without alkalinity had too much acid, and the next
// need so much alkali; 60 mg/L of alum take 0.505 x 60 = 30.3, and 30 are to be left.
func TestAcid(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 45, 60}
	turned, fallen := []float64{60, 30, 12, 6, 14, 35}, []float64{60, 30, 12, 6, 4, 3.5}
	gone, kept := []float64{25, 20, 15, 10.2, 3, 1}, []float64{125, 120, 115, 110, 103, 97}
	for _, c := range []struct {
		name     string
		ntu, alk []float64
		ph       float64 // of the jars from 45 mg/L on
		basis    quantity.Basis
		says     string
	}{
		{"alkalinity gone", turned, gone, 6.4, quantity.AsAlum14, "their alkalinity is 3.0"},
		{"the same by the chemical's name", turned, gone, 6.4, quantity.NotStated, "their alkalinity is 3.0"},
		{"pH alone", turned, nil, 5.4, quantity.AsAlum14, "their pH is 5.4"},
		{"the same pH with iron, which bears more acid", turned, nil, 5.4, quantity.AsFeCl3, ""},
		{"iron, sourer still", turned, nil, 4.9, quantity.AsFeCl3, "their pH is 4.9"},
		{"a product", turned, gone, 6.4, quantity.AsProduct, "so that about 30 mg/L as CaCO3 is left"},
		{"over-dose in alkaline water", turned, kept, 6.9, quantity.AsAlum14, ""},
		{"acid that does no harm", fallen, gone, 5.4, quantity.AsAlum14, ""},
	} {
		s := jarSeries("acid", jartest.Turbidity, doses, c.ntu)
		s.Chemicals[0].Basis = c.basis
		for i := range s.Jars {
			j := &s.Jars[i]
			if c.alk != nil {
				j.Readings.Set(jartest.AlkalinityKey, jartest.Num(c.alk[i], "mg/L CaCO3"))
			}
			ph := 7.1
			if doses[i] >= 45 {
				ph = c.ph
			}
			j.Readings.Set(jartest.PH, jartest.Num(ph, ""))
		}
		r := Analyse(s, targets(t, "turbidity <= 3 NTU"), Options{})
		said := noteOf(r, "alkalinity-ran-out")
		if (said == "") != (c.says == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s: %q, want %q", c.name, said, c.says)
		}
		if c.says != "" && !strings.Contains(said, "from 45.0 mg/L on") {
			t.Errorf("%s: %q does not say from where", c.name, said)
		}
		if miss := noteOf(r, "not-reached"); miss != "" && (c.says == "") == strings.Contains(miss, "alkali before") {
			t.Errorf("%s: %q", c.name, miss)
		}
	}
}

// TestEdgeAndAdvice: an answer at the end of the range, and one not reached, are told
// what to test next.
func TestEdgeAndAdvice(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 40, 50}
	for _, c := range []struct {
		name       string
		ntu        []float64
		ask        string
		outcome    Outcome
		code, says string
		not        string
	}{
		{"only the top jar", []float64{60, 40, 25, 14, 8, 4}, "turbidity <= 5 NTU", Found, "edge-of-range", "the jar below it, 40.0 mg/L, fails", ""},
		{"inside", []float64{60, 40, 25, 14, 4, 3}, "turbidity <= 5 NTU", Found, "", "", "edge-of-range"},
		{"still falling", []float64{60, 50, 41, 33, 27, 22}, "turbidity <= 5 NTU", StillImproving, "still-improving", "test higher", "not-reached"},
		{"still falling, the last jar a little off", []float64{60, 48, 39, 26, 20.5, 21}, "turbidity <= 5 NTU", "", "", "", "no-response"},
		{"levelled off", []float64{60, 30, 20, 18, 18, 18.2}, "turbidity <= 5 NTU", NotReached, "not-reached", "change the pH", ""},
		{"nothing, but least at the top", []float64{60, 61, 58, 60, 59, 57}, "turbidity <= 5 NTU", NoResponse, "no-response", "higher first", ""},
	} {
		r := Analyse(jarSeries(c.name, jartest.Turbidity, doses, c.ntu), targets(t, c.ask), Options{})
		if c.outcome != "" && r.Outcome != c.outcome {
			t.Errorf("%s: %s %v", c.name, r.Outcome, r.Notes)
		}
		if c.code != "" && !strings.Contains(noteOf(r, c.code), c.says) {
			t.Errorf("%s: %v", c.name, r.Notes)
		}
		if c.not != "" && noteOf(r, c.not) != "" {
			t.Errorf("%s: %q", c.name, noteOf(r, c.not))
		}
	}
}

// TestUsualScatter: the scatter that is expected goes by the reading, and is told.
func TestUsualScatter(t *testing.T) {
	width := func(k jartest.Key, ask string) (float64, string) {
		r := Analyse(smoothSeries(k, eight...), targets(t, ask), Options{})
		return float64(r.Effective.High - r.Effective.Low), strings.Join(r.Method, "\n")
	}
	ntu, said := width(jartest.Turbidity, "turbidity <= 6 NTU")
	if !strings.Contains(said, "expected near 8 %") {
		t.Errorf("turbidity: %s", said)
	}
	toc, said := width(jartest.TOC, "toc <= 6 mg/L")
	if !(toc < 0.8*ntu) || !strings.Contains(said, "expected near 2 %") || !strings.Contains(said, "no source") {
		t.Errorf("TOC: %.2f wide against %.2f; %s", toc, ntu, said)
	}
	s := with(smoothSeries(jartest.Turbidity, eight...), jartest.PH, func(d float64) float64 { return 7.4 - 0.02*d })
	r := Analyse(s, targets(t, "ph >= 6.5"), Options{})
	if said = strings.Join(r.Method, "\n"); !strings.Contains(said, "expected near 0.05 (") {
		t.Errorf("pH: %s", said)
	}
}
