package caution

import (
	"math"
	"slices"

	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// JarWater is the water in one jar after dosing, as computed and as read. A jar
// is closed water: little gas passes in the minutes of a test.
type JarWater struct {
	Label      string
	Doses      []quantity.Concentration
	PH         quantity.PH
	Alkalinity quantity.Alkalinity
	CO2        quantity.Concentration
	// Doubt is how far the computed pH is good.
	Doubt quantity.PH
	// ReadPH and ReadAlkalinity are those of the sheet.
	ReadPH         quantity.Known[quantity.PH]
	ReadAlkalinity quantity.Known[quantity.Alkalinity]
}

// BenchWater is pH and alkalinity along a series.
type BenchWater struct {
	Raw  water.State
	Jars []JarWater
	// Products are what the series' chemicals were taken for.
	Products []product.Product
	// MeanGap and WorstGap compare pH read with pH computed, where jars were read:
	// the mean difference and the largest, read less computed.
	Read              int
	MeanGap, WorstGap float64
	Notes             note.List
}

// ProductFor finds what a series' chemical is: by name, else by the basis of its dose. Of
// several that go by its name the first counts where they differ in strength alone; where they
// do not, as iron(II) and iron(III) or polymers of other charge, the name says nothing.
func ProductFor(c jartest.Chemical, catalogue product.Catalogue) (product.Product, error) {
	p, err := catalogue.Find(c.Name)
	may := catalogue.Called(c.Name)
	if len(may) > 1 && product.Alike(may) {
		p, err = may[0], nil
	}
	if err == nil {
		return p, nil
	}
	guess, gerr := catalogue.GuessFor(c.Basis)
	if named := slices.ContainsFunc(may, func(x product.Product) bool { return x.ID == guess.ID }); gerr == nil && (named || len(may) == 0) {
		return guess, nil
	}
	return p, err
}

// Jars computes the water along a series. It needs the raw water's pH and
// alkalinity (from the sheet, or read on a jar without chemical), the chemicals
// and the basis of their doses; where one is missing the error says which.
func Jars(s jartest.Series, catalogue product.Catalogue) (BenchWater, error) {
	var b BenchWater
	for _, c := range s.Chemicals {
		if c.Basis == quantity.NotStated {
			return b, notComputed("the basis of " + c.Name + " is not stated")
		}
		if c.Basis == quantity.AsProduct && len(catalogue.Called(c.Name)) > 1 {
			return b, notComputed("what goes as " + c.Name + " may be one of several products, and the dose counts product")
		}
		p, err := ProductFor(c, catalogue)
		if err != nil {
			return b, notComputed(c.Name + " is not in the catalogue")
		}
		b.Products = append(b.Products, p)
	}
	ph, hasPH := s.RawReading(jartest.PH)
	alk, hasAlk := s.RawReading(jartest.AlkalinityKey)
	if !hasPH || !hasAlk {
		return b, notComputed("the sheet lacks the raw water's pH or alkalinity")
	}
	assumed := RuleNamed("temperature-assumed")
	temp, hasTemp := s.RawReading(jartest.TemperatureKey)
	if !hasTemp {
		temp = assumed.Limit
		b.Notes.Add(assumed.note(nil))
	}
	cond, _ := s.RawReading(jartest.Conductivity)
	c := water.Conditions{Temperature: quantity.Temperature(temp), Conductivity: quantity.Conductance(cond)}
	var err error
	if b.Raw, err = water.FromPHAlkalinity(c.WithIonicStrengthOf(quantity.Alkalinity(alk)), quantity.PH(ph), quantity.Alkalinity(alk)); err != nil {
		return b, err
	}
	for _, j := range s.Jars {
		w, ok, err := b.jar(s, j)
		if err != nil {
			return b, err
		}
		if ok {
			b.Jars = append(b.Jars, w)
		}
	}
	b.compare()
	return b, nil
}

func notComputed(why string) note.Note { return Note("bench-water-not-computed", Words{"why": why}) }

// At computes the water at doses of the series' chemicals, in their order.
func (b BenchWater) At(s jartest.Series, doses []quantity.Concentration) (water.State, error) {
	add, err := b.addition(s, doses)
	if err != nil {
		return water.State{}, err
	}
	closed, _ := water.Dose(b.Raw, add)
	return closed, nil
}

// doubt is how far the pH of that water is good.
func (b BenchWater) doubt(s jartest.Series, doses []quantity.Concentration) quantity.PH {
	add, err := b.addition(s, doses)
	if err != nil {
		return water.Uncertainty
	}
	closed, _ := water.Dose(b.Raw, add)
	return water.SpreadOf(b.Raw, add).Most(closed)
}

// addition is what those doses bring into it, of aluminium no more than the jars read there.
func (b BenchWater) addition(s jartest.Series, doses []quantity.Concentration) (sum water.Addition, err error) {
	for i, d := range doses {
		one, err := AdditionOf(b.Products[i], quantity.Dose{Concentration: d, Basis: s.Chemicals[i].Basis})
		if err != nil {
			return sum, err
		}
		sum = sum.Plus(one)
	}
	return Water{ResidualAl: residualAl(s, doses)}.asRead(sum), nil
}

// residualAl is the aluminium that the jars of a series in which one dose varies read at it, on the straight line between two.
func residualAl(s jartest.Series, doses []quantity.Concentration) (at quantity.Known[quantity.Concentration]) {
	varied := s.Factors()
	if len(varied) != 1 || varied[0] >= len(doses) {
		return at
	}
	var low, high struct {
		dose quantity.Concentration
		read quantity.Known[float64]
	}
	d := doses[varied[0]]
	for _, j := range s.Jars {
		r := j.Readings.Of(jartest.ResidualAl)
		if r.State != jartest.Number && (r.State != jartest.Below || !r.Limit) || varied[0] >= len(j.Doses) || !j.Doses[varied[0]].Known {
			continue
		}
		x := j.Doses[varied[0]].Concentration
		if x <= d && (!low.read.OK || x > low.dose) {
			low.dose, low.read = x, quantity.Some(r.Value)
		}
		if x >= d && (!high.read.OK || x < high.dose) {
			high.dose, high.read = x, quantity.Some(r.Value)
		}
	}
	if !low.read.OK || !high.read.OK {
		return at
	}
	part := 0.0
	if high.dose > low.dose {
		part = float64((d - low.dose) / (high.dose - low.dose))
	}
	return quantity.Some(quantity.Concentration(low.read.V + part*(high.read.V-low.read.V)))
}

func (b BenchWater) jar(s jartest.Series, j jartest.Jar) (JarWater, bool, error) {
	w := JarWater{Label: j.Label}
	for i := range s.Chemicals {
		switch {
		case i < len(j.Doses) && j.Doses[i].Known:
			w.Doses = append(w.Doses, j.Doses[i].Concentration)
		case j.Control:
			w.Doses = append(w.Doses, 0)
		default:
			return w, false, nil
		}
	}
	if len(j.Settings) > 0 { // the pH was set by hand
		return w, false, nil
	}
	state, err := b.At(s, w.Doses)
	if err != nil {
		return w, false, err
	}
	w.PH, w.Alkalinity, w.CO2, w.Doubt = state.PH, state.Alkalinity, state.CO2, b.doubt(s, w.Doses)
	if r := j.Readings.Of(jartest.PH); r.State == jartest.Number {
		w.ReadPH = quantity.Some(quantity.PH(r.Value))
	}
	if r := j.Readings.Of(jartest.AlkalinityKey); r.State == jartest.Number {
		w.ReadAlkalinity = quantity.Some(quantity.Alkalinity(r.Value))
	}
	return w, true, nil
}

// compare holds the computed pH against the jars that were read.
func (b *BenchWater) compare() {
	sum := 0.0
	for _, j := range b.Jars {
		if !j.ReadPH.OK {
			continue
		}
		gap := float64(j.ReadPH.V - j.PH)
		b.Read++
		sum += gap
		if math.Abs(gap) > math.Abs(b.WorstGap) {
			b.WorstGap = gap
		}
	}
	if b.Read == 0 {
		return
	}
	b.MeanGap = sum / float64(b.Read)
	if r := RuleNamed("jar-ph-differs"); math.Abs(b.WorstGap) > r.Limit {
		b.Notes.Add(r.note(Words{"gap": fixed(math.Abs(b.WorstGap), 2), "side": map[bool]string{true: "above", false: "below"}[b.WorstGap > 0]}))
	}
}
