package bench

import (
	"math"
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// What the rule on enhanced coagulation counts with: steps of 10 mg/L of alum (14-hydrate), the fall of
// TOC in such a step below which more no longer pays, and the specific absorbance at or below which water
// meets the rule without; 40 CFR 141.135(a) and (b), from memory.
const (
	alumStep  = 10  // mg/L
	leastFall = 0.3 // mg/L as C
	LowSUVA   = 2.0 // L/mg-m
)

// endPH is the pH down to which the steps go, by the raw water's alkalinity up to each bound:
// 40 CFR 141.135(b)(4), from memory.
var endPH = [...]struct {
	upTo quantity.Alkalinity
	ph   quantity.PH
}{{60, 5.5}, {120, 6.3}, {240, 7.0}, {quantity.Alkalinity(math.Inf(1)), 7.5}}

func endPHOf(a quantity.Alkalinity) quantity.PH {
	return endPH[slices.IndexFunc(endPH[:], func(r struct {
		upTo quantity.Alkalinity
		ph   quantity.PH
	}) bool {
		return a <= r.upTo
	})].ph
}

// Carbon is what the rule on enhanced coagulation says of a series.
type Carbon struct {
	TOC        quantity.Concentration // of the raw water
	Alkalinity quantity.Known[quantity.Alkalinity]
	SUVA
	// AlumStep is the metal of 10 mg/L of alum, mg/L as Al.
	AlumStep quantity.Concentration
	// Required is step 1: the removal that the rule asks, a share; none of raw water that meets the rule as it is, which is then all
	// that is told.
	Required quantity.Fraction
	// Dose is the planning dose, where there is one, and Achieved what it takes out.
	Dose     quantity.Known[quantity.Concentration]
	Achieved quantity.Fraction
	// Low is the lowest dose at which the fitted curve is below the TOC that meets the rule by itself.
	Low   quantity.Known[quantity.Concentration]
	Step2 StepTwo
}

// Met reports that the planning dose takes out what step 1 asks.
func (c Carbon) Met() bool { return c.Dose.OK && c.Achieved >= c.Required }

// StepTwo is the rule's second way: steps of alum, or as much of the metal, down to a pH.
type StepTwo struct {
	EndPH quantity.PH
	// PerStep is the dose, on the series' basis, that has the metal of 10 mg/L of alum.
	PerStep quantity.Concentration
	Steps   []CarbonStep
	// Ended is true where the last step has come to the end pH.
	Ended bool
	// At is the step after which no further one takes 0.3 mg/L, where the jars show it; Removal what it takes out.
	At      quantity.Known[CarbonStep]
	Removal quantity.Fraction
	// Never is true where no step takes as much: the rule counts such carbon as none that coagulation takes out.
	Never bool
}

// CarbonStep is a dose in the rule's steps: as alum and on the series' basis, with the TOC left there on the
// fitted curve and how much less that is than one step before.
type CarbonStep struct {
	Alum, Dose quantity.Concentration
	Left, Fall quantity.Concentration
	PH         quantity.Known[quantity.PH]
}

// carbon judges a series by the rule, where a target asks for it; nil where none does.
func (t tested) carbon(r *curve.Result) *Carbon {
	asked := slices.ContainsFunc(r.Targets, func(g jartest.Target) bool { return g.ByRule && g.Value > 0 })
	toc, okTOC := t.RawReading(jartest.TOC)
	alk, okAlk := t.RawReading(jartest.AlkalinityKey)
	left := readingCurve(r, jartest.TOC)
	if !asked || !okTOC || left == nil {
		return nil
	}
	c := &Carbon{TOC: quantity.Concentration(toc), Alkalinity: quantity.Known[quantity.Alkalinity]{V: quantity.Alkalinity(alk), OK: okAlk}}
	if c.TOC <= jartest.LowTOC {
		c.SUVA = t.absorbance(r)
		return c
	}
	percent, _ := jartest.RequiredTOC(c.TOC, c.Alkalinity.V)
	c.Required = quantity.Fraction(percent / 100)
	share, _ := quantity.AsAlum14.As(quantity.AsAl)
	c.SUVA, c.AlumStep = t.absorbance(r), quantity.Concentration(alumStep*share)
	if r.HasPlanning {
		d := r.Planning.Concentration
		if p := curve.At(left, d); p != nil {
			c.Dose, c.Achieved = quantity.Some(d), quantity.Fraction(1-p.Fit/toc)
		}
	}
	if i := slices.IndexFunc(left, func(p curve.Point) bool { return quantity.Concentration(p.Fit) < jartest.LowTOC }); i >= 0 {
		c.Low = quantity.Some(left[i].Dose)
	}
	t.stepTwo(c, r, left)
	return c
}

// SUVA is UV254 over DOC, in L/mg-m, of the raw water and at the planning dose.
type SUVA struct{ Raw, Left quantity.Known[float64] }

// kinds of dissolved organic matter by SUVA down to each bound, L/mg-m: Edzwald and Tobiason 1999, from memory.
var kinds = []struct {
	from float64
	says string
}{{4, "large coloured matter, most of which floc takes"}, {2, "a mixture, of which floc takes a part"},
	{0, "small colourless matter, of which floc takes little"}}

// Says is what organic matter of the raw water's SUVA is like.
func (s SUVA) Says() string {
	return kinds[slices.IndexFunc(kinds, func(k struct {
		from float64
		says string
	}) bool {
		return s.Raw.V >= k.from
	})].says
}

// suva is that of a series with a target on what colours the water; nil where the raw water's is not known, or the rule on
// enhanced coagulation tells it.
func (t tested) suva(r *curve.Result) *SUVA {
	s := t.absorbance(r)
	if !r.ForOrganics() || !s.Raw.OK || t.carbon(r) != nil {
		return nil
	}
	return &s
}

func (t tested) absorbance(r *curve.Result) (s SUVA) {
	s.Raw = t.RawSUVA()
	if !r.HasPlanning {
		return s
	}
	d := r.Planning.Concentration
	if a, b := curve.At(readingCurve(r, jartest.UV254), d), curve.At(readingCurve(r, jartest.DOC), d); a != nil && b != nil {
		s.Left = jartest.SUVA(a.Fit, b.Fit)
	}
	return s
}

// readingCurve is the fitted curve of a kind; nil where it was not read.
func readingCurve(r *curve.Result, k jartest.Key) []curve.Point {
	for _, q := range r.Readings {
		if q.Key == k {
			return q.Curve
		}
	}
	return nil
}

// metal gives what a dose holds of its metal, in mmol/L; false for what has none or is not known.
func (t tested) metal(d quantity.Concentration) (symbol string, amount quantity.Molarity, ok bool) {
	for symbol, as := range map[string]quantity.Basis{"Al": quantity.AsAl, "Fe": quantity.AsFe} {
		mass, counts := t.basis.As(as)
		if t.made.OK && t.made.V.Metal() == symbol {
			x, err := product.Convert(quantity.Dose{Concentration: 1, Basis: t.basis}, t.made.V, as)
			mass, counts = float64(x.Concentration), err == nil
		}
		if counts {
			return symbol, quantity.Molarity(mass * float64(d) / quantity.AtomicMass[symbol]), true
		}
	}
	return "", 0, false
}

// perAlumStep is the dose that has as much metal, by moles, as a step of alum.
func (t tested) perAlumStep() (quantity.Concentration, bool) {
	share, _ := quantity.AsAlum14.As(quantity.AsAl)
	_, per, ok := t.metal(1)
	if !ok || per <= 0 {
		return 0, false
	}
	return quantity.Concentration(alumStep * share / quantity.AtomicMass["Al"] / float64(per)), true
}

// stepTwo walks down the fitted curve in the rule's steps.
func (t tested) stepTwo(c *Carbon, r *curve.Result, left []curve.Point) {
	s := &c.Step2
	s.EndPH = endPHOf(c.Alkalinity.V)
	per, ok := t.perAlumStep()
	if !ok {
		return
	}
	s.PerStep = per
	before, from := c.TOC, 0.0
	for i := 1.0; !s.Ended; i++ {
		d := per * quantity.Concentration(i)
		p := curve.At(left, d)
		if p == nil && d > r.TestedHigh {
			break
		}
		if p == nil { // below the lowest dose tested
			continue
		}
		step := CarbonStep{Alum: quantity.Concentration(alumStep * i), Dose: d, Left: quantity.Concentration(p.Fit), PH: t.phAt(d)}
		step.Fall = (before - step.Left) / quantity.Concentration(i-from)
		before, from = step.Left, i
		s.Steps = append(s.Steps, step)
		s.Ended = step.PH.OK && step.PH.V <= s.EndPH
	}
	last := -1
	for i, x := range s.Steps {
		if float64(x.Fall) >= leastFall-1e-9 {
			last = i
		}
	}
	switch {
	case last < 0:
		s.Never = len(s.Steps) > 0
	case last < len(s.Steps)-1, s.Ended:
		s.At = quantity.Some(s.Steps[last])
		s.Removal = quantity.Fraction(1 - float64(s.Steps[last].Left/c.TOC))
	}
}

// phAt is the pH at a dose: between jars that were read, else as worked out where one chemical is dosed.
func (t tested) phAt(d quantity.Concentration) quantity.Known[quantity.PH] {
	if x, ok := dosing.JarsOf(t.Series, t.chem, note.Place{}).Reading(jartest.PH, d); ok {
		return quantity.Some(quantity.PH(x.V))
	}
	if t.water.Computed && len(t.Chemicals) == 1 {
		if w, err := t.water.At(t.Series, []quantity.Concentration{d}); err == nil {
			return quantity.Some(w.PH)
		}
	}
	return quantity.Known[quantity.PH]{}
}
