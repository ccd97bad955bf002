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
	// Doubt is how far the computed pH, that with fresh floc, is good; Aged is it once the floc has aged.
	Doubt, Aged quantity.PH
	may         reach
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
	Read int
	// noMetal is true where no metal counts as dissolved.
	noMetal           bool
	MeanGap, WorstGap float64
	Notes             note.List
}

// ProductFor finds what a series' chemical is: by all that its sheet calls it, by name, else by the basis of its dose. Of
// several that go by its name the first counts where they differ in strength alone; where they
// do not, as iron(II) and iron(III) or polymers of other charge, the name says nothing.
func ProductFor(c jartest.Chemical, catalogue product.Catalogue) (product.Product, error) {
	if full := catalogue.Called(c.Said); len(full) == 1 {
		return full[0], nil
	}
	p, err := catalogue.Find(c.Name)
	may := catalogue.Called(c.Name)
	if len(may) > 1 && product.Alike(may) {
		p, err = may[0], nil
	}
	if err == nil {
		return p, nil
	}
	guess, gerr := catalogue.GuessFor(c.Basis)
	if !guess.Comes(c.Form) { // a powder is no solution, whatever its dose counts
		return p, err
	}
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

// WithoutMetal is the same water with none of the metal dissolved, to tell what that does.
func (b BenchWater) WithoutMetal() BenchWater { b.noMetal = true; return b }

// addition is what those doses bring into it, of metal no more than the jars read there.
func (b BenchWater) addition(s jartest.Series, doses []quantity.Concentration) (sum water.Addition, err error) {
	for i, d := range doses {
		one, err := AdditionOf(b.Products[i], quantity.Dose{Concentration: d, Basis: s.Chemicals[i].Basis})
		if err != nil {
			return sum, err
		}
		sum = sum.Plus(one)
	}
	if b.noMetal {
		sum.Aluminium, sum.Iron = 0, 0
	}
	return Water{}.asJars(s, doses).asRead(sum), nil
}

// readAt is what the jars of a series in which one dose varies read of a kind at it, on the straight line between two.
func readAt(s jartest.Series, k jartest.Key, doses []quantity.Concentration) (at quantity.Known[float64]) {
	varied := s.Factors()
	if len(varied) != 1 || varied[0] >= len(doses) {
		return at
	}
	x, ok := s.ReadAt(varied[0], k, doses[varied[0]])
	return quantity.Known[float64]{V: x.V, OK: ok}
}

// asJars fills in the metals, the pH and the alkalinity that the jars read at doses: they go before what is worked out, as a plan
// has it. The pH of jars that was set by hand is none of that.
func (w Water) asJars(s jartest.Series, doses []quantity.Concentration) Water {
	metal := func(k jartest.Key) quantity.Known[quantity.Concentration] {
		x := readAt(s, k, doses)
		return quantity.Known[quantity.Concentration]{V: quantity.Concentration(x.V), OK: x.OK}
	}
	w.ResidualAl, w.ResidualFe = metal(jartest.ResidualAl), metal(jartest.ResidualFe)
	if slices.ContainsFunc(s.Jars, func(j jartest.Jar) bool { return len(j.Settings) > 0 }) {
		return w
	}
	if x := readAt(s, jartest.PH, doses); x.OK {
		w.JarPH, w.FromJars = quantity.Some(quantity.PH(x.V)), true
	}
	if x := readAt(s, jartest.AlkalinityKey, doses); x.OK && w.Alkalinity.OK {
		w.JarAlkalinityUsed = quantity.Some(w.Alkalinity.V - quantity.Alkalinity(x.V))
	}
	return w
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
	add, err := b.addition(s, w.Doses)
	if err != nil {
		return w, false, err
	}
	state, _ := water.Dose(b.Raw, add)
	spread := water.SpreadOf(b.Raw, add)
	w.PH, w.Alkalinity, w.CO2, w.Doubt, w.Aged = state.PH, state.Alkalinity, state.CO2, spread.Most(state), spread.Aged.PH
	w.may = mayRead(b.Raw, add)
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
	b.tellApart()
}
