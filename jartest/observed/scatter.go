package observed

import (
	"math"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

// Scatter is what a bench's own replicates say of its scatter, to be used in
// place of the default.
type Scatter struct {
	CV    quantity.Fraction
	Worth float64 // in jars
}

// usual is the scatter between jars of one water that is expected of a kind of reading
// before looking: a share of the reading on the logarithmic scale, else an amount.
var usual = map[jartest.Key]struct {
	share, amount float64
	source        string
}{
	jartest.Turbidity: {engine.UsualScatter.SD, 0, "duplicate jars in published sets scatter by 4 to 13 %"},
	jartest.TOC:       {0.02, 0, "analysers repeat within some 2 %; common practice, no source"},
	jartest.DOC:       {0.02, 0, "analysers repeat within some 2 %; common practice, no source"},
	jartest.UV254:     {0.02, 0, "own choice"},
	jartest.PH:        {0, 0.05, "two meters' digits; common practice, no source"},
	jartest.Zeta:      {0, 0.9, "jars of one published sheet"},
}

// particles are the readings of what coagulants can take out nearly all of.
var particles = map[jartest.Key]bool{jartest.Turbidity: true, jartest.TSS: true, jartest.Colour: true, jartest.Phosphate: true, jartest.TotalPhosphorus: true,
	jartest.TurbidityRemoval: true, jartest.TSSRemoval: true, jartest.ResidualAl: true, jartest.ResidualFe: true}

// Partly reports a reading of which coagulants may take no more than a part: organic matter, of
// which what is small and uncharged stays in the water, and what a column of the user's own tells.
func (r *Reading) Partly() bool { return !particles[r.Key.Base()] }

// expect sets the scatter that is expected. What the user says of the bench goes before
// the table.
func (r *Reading) expect(own *Scatter) {
	u, o := usual[r.Key.Base()], &r.Obs
	o.Scatter = engine.UsualScatter
	switch {
	case r.Scale.Log() && own != nil:
		o.Scatter, r.Usual = engine.ScatterPrior{SD: float64(own.CV), Worth: own.Worth}, "from the bench's own repeats"
	case r.Scale.kind == logarithm && u.share > 0:
		o.Scatter.SD, r.Usual = u.share, u.source
	case r.Scale.Log():
		r.Usual = "as for turbidity; own choice"
	case u.amount > 0:
		o.Scatter.SD, r.Usual = u.amount/r.Scale.Width(), u.source
	default:
		low, high := math.Inf(1), math.Inf(-1)
		for _, y := range o.Y {
			low, high = math.Min(low, y), math.Max(high, y)
		}
		o.Scatter.SD, r.Usual = math.Max(0.05*(high-low), 1e-9), "a twentieth of the range read; own choice"
	}
}

// betweenBeakers is the share of the usual variance that no repeat reading of one jar
// can take away. Own choice; of one published sheet it is nine tenths.
const betweenBeakers = 0.5

// weighRepeats turns the standard deviations and the numbers of repeats that a sheet
// gives beside a mean into weights: the variance of a jar is what lies between beakers
// and that of its own readings, over their number.
func (r *Reading) weighRepeats(s jartest.Series) {
	o := &r.Obs
	usual := o.Scatter.SD * o.Scatter.SD
	type given struct{ sd, n float64 }
	all := make([]given, len(o.U))
	for i := range o.U {
		x := s.Jars[r.Jar[i]].Readings.Of(r.Key)
		if len(x.Replicates) > 0 || o.Limit[i] != 0 {
			continue // repeat readings stand there one by one: they tell the meter's scatter
		}
		all[i] = given{r.onScale(x.SD, x.Value), float64(x.N)}
		r.Repeats = r.Repeats || x.SD > 0 || x.N > 1
	}
	if !r.Repeats {
		return
	}
	for i, g := range all {
		own := (1 - betweenBeakers) * usual
		if g.sd > 0 {
			own = g.sd * g.sd
		}
		o.W[i] *= usual / (betweenBeakers*usual + own/math.Max(g.n, 1))
	}
}

// onScale is what a small spread of a reading is on the fitted scale.
func (r *Reading) onScale(sd, v float64) float64 {
	if !r.Scale.Log() {
		return sd / r.Scale.Width()
	}
	if left := r.Scale.Left(v); left > 0 {
		return sd / left
	}
	return 0
}

// Expected says what scatter between jars was expected, what these jars made of it
// (sigma, on the fitted scale), and whether spreads in the sheet weighed.
func (r *Reading) Expected(sigma float64) []string {
	factor, unit := 100.0, "%"
	if !r.Scale.Log() {
		factor, unit = r.Scale.Width(), r.Key.Base().Info().Unit
	}
	show := func(number string) string { return strings.TrimSpace(number + " " + unit) }
	out := []string{"scatter between jars is expected near " + show(quantity.Brief(factor*r.Obs.Scatter.SD, 3)) + " (" + r.Usual + "; worth " + quantity.Brief(r.Obs.Scatter.Worth, 3) +
		" jars) and corrected by what these jars show: about " + show(quantity.Sig(factor*sigma, 2))}
	if r.Repeats {
		out = append(out, "standard deviations and numbers of repeats given in the sheet weigh the jars: half of the usual scatter is taken to lie between beakers, the rest is that of a jar's own readings, less with more of them")
	}
	return out
}

// Given says how far the doses that the jars got are taken to be off; nothing where they are not.
func (r *Reading) Given() []string {
	if r.Obs.DoseError == 0 {
		return nil
	}
	return []string{"a jar may have got a little more or less than is written, so every curve is drawn with the doses off by some " +
		quantity.Brief(100*r.Obs.DoseError, 3) + " % either way, as pipettes and syringes measure (common practice, no source)"}
}
