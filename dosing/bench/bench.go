// Package bench says what the jars of a test tell a works of its water beyond the dose: why they
// clouded again, what the rules on organic carbon ask and whether the dose gives it, and how much
// metal a phosphate takes. It joins what was read with what the chemical is; see [Of].
package bench

import (
	"slices"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Findings are what a series says; nil where nothing in it asks for that.
type Findings struct {
	Again      *Again
	Carbon     *Carbon
	SUVA       *SUVA
	Phosphorus *Phosphorus
}

// Of looks at a fitted series of one chemical with the water along its jars. Where the acid that the
// chemical brings explains why they clouded, as worked out and not as read, the result is told so too.
func Of(s jartest.Series, r *curve.Result, w caution.BenchReview, catalogue product.Catalogue) Findings {
	if r.Factor != "dose" {
		return Findings{}
	}
	t, ok := testedIn(s, r, w, catalogue)
	if !ok {
		return Findings{}
	}
	return Findings{t.again(r), t.carbon(r), t.suva(r), t.phosphorus(r)}
}

// Water is the water that the planning doses of a fitted series make (nil for none); see [caution.Bench]. Soft water
// lacks by itself the alkalinity that most waters should have: that is told only where the pH falls too low for the target.
func Water(s jartest.Series, r *curve.Result, planning []quantity.Concentration, catalogue product.Catalogue) caution.BenchReview {
	w := caution.Bench(s, planning, r.Targets, catalogue)
	most := quantity.Alkalinity(caution.RuleNamed("alkalinity-low").Limit)
	if w.HasPlanning && w.Raw.Alkalinity < most && w.Planned.PH() >= r.FlocWater().Stays {
		w.Notes = slices.DeleteFunc(w.Notes, func(n note.Note) bool { return n.Code == "alkalinity-low" })
	}
	return w
}

// tested is the one chemical that differs between the jars of a series.
type tested struct {
	jartest.Series
	water caution.BenchReview
	chem  int
	// made is what it is, where that is known; basis is what its doses count, taken where
	// its name alone lets one think so.
	made  quantity.Known[product.Product]
	basis quantity.Basis
	taken bool
}

// salts are bases that the name of a chemical stands for where the sheet does not state one.
var salts = []struct {
	word  string
	basis quantity.Basis
}{
	{"ferric chloride", quantity.AsFeCl3}, {"fecl3", quantity.AsFeCl3}, {"ferric sul", quantity.AsFe2SO43}, {"alum", quantity.AsAlum14},
}

func testedIn(s jartest.Series, r *curve.Result, w caution.BenchReview, catalogue product.Catalogue) (tested, bool) {
	at := slices.IndexFunc(s.Chemicals, func(c jartest.Chemical) bool { return c.Name == r.Chemical.Name })
	if at < 0 {
		return tested{}, false
	}
	c := s.Chemicals[at]
	t := tested{Series: s, water: w, chem: at, basis: c.Basis}
	if c.Basis == quantity.NotStated {
		for _, x := range salts {
			if strings.HasPrefix(strings.ToLower(c.Name), x.word) {
				t.basis, t.taken = x.basis, true
				break
			}
		}
		c.Basis = t.basis
	}
	several := c.Basis == quantity.AsProduct && len(catalogue.Called(c.Name)) > 1 // of other strengths
	if p, err := caution.ProductFor(c, catalogue); err == nil && !several {
		t.made = quantity.Some(p)
	}
	return t, true
}

// acidPer is the alkalinity that 1 mg/L of the dose takes from the water.
func (t tested) acidPer() (quantity.Ratio, bool) {
	if t.made.OK {
		if a, err := t.made.V.AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: t.basis}); err == nil {
			return quantity.Ratio(a), true
		}
	}
	per, ok := t.basis.AcidPer()
	return quantity.Ratio(per), ok
}

// acidless reports a chemical that is known to take no alkalinity.
func (t tested) acidless() bool {
	per, ok := t.acidPer()
	return t.basis == quantity.AsActive || t.made.OK && (t.made.V.IsPolymer() || ok && per <= 0) // only polymers are counted as active
}

// at gives the mean of what the jars of one dose read of a kind; a reading below a limit counts as that.
func (t tested) at(k jartest.Key, d quantity.Concentration) (mean quantity.Known[float64]) {
	sum, n := 0.0, 0.0
	for _, j := range t.Jars {
		if t.chem >= len(j.Doses) || !j.Doses[t.chem].Known || !same(j.Doses[t.chem].Concentration, d) {
			continue
		}
		if v := j.Readings.Of(k); v.State == jartest.Number || v.State == jartest.Below && v.Limit {
			sum, n = sum+v.Value, n+1
		}
	}
	if n == 0 {
		return mean
	}
	return quantity.Some(sum / n)
}

// same reports doses that differ by rounding alone.
func same(a, b quantity.Concentration) bool {
	return max(a-b, b-a) <= 1e-9*max(a, b)
}
