package curve

import (
	"math"

	"jarwright/jartest"
	"jarwright/jartest/engine"
)

// usual is the scatter between jars of one water that is expected of a kind of reading
// before looking: a share of the reading on the logarithmic scale, else an amount.
var usual = map[jartest.Key]struct {
	share, amount float64
	source        string
}{
	jartest.Turbidity: {engine.UsualScatter.SD, 0, "duplicate jars in published sets scatter by 4 to 13 %"},
	jartest.TOC:       {0.04, 0, "analysers repeat within some 3 %; common practice, no source"},
	jartest.DOC:       {0.04, 0, "analysers repeat within some 3 %; common practice, no source"},
	jartest.UV254:     {0.03, 0, "own choice"},
	jartest.PH:        {0, 0.05, "two meters' digits; common practice, no source"},
	jartest.Zeta:      {0, 0.9, "jars of one published sheet"},
}

// usualScatter is that expectation for a reading whose values reach over a span, with
// where it comes from. What the user says of the bench goes before the table.
func usualScatter(k jartest.Key, s scale, span float64, own *Scatter) (engine.ScatterPrior, string) {
	u := usual[k.Base()]
	switch {
	case s != additiveScale && own != nil:
		return engine.ScatterPrior{SD: float64(own.CV), Worth: own.Worth}, "from the bench's own repeats"
	case s == logScale && u.share > 0:
		return engine.ScatterPrior{SD: u.share, Worth: engine.UsualScatter.Worth}, u.source
	case s != additiveScale:
		return engine.ScatterPrior{SD: engine.UsualScatter.SD, Worth: engine.UsualScatter.Worth}, "as for turbidity; own choice"
	case u.amount > 0:
		return engine.ScatterPrior{SD: u.amount, Worth: engine.UsualScatter.Worth}, u.source
	}
	return engine.ScatterPrior{SD: math.Max(0.05*span, 1e-9), Worth: engine.UsualScatter.Worth}, "a twentieth of the range read; own choice"
}

// betweenBeakers is the share of the usual variance that no repeat reading of one jar
// can take away. Own choice; of one published sheet it is nine tenths.
const betweenBeakers = 0.5

// weighRepeats turns the standard deviations and the numbers of repeats that a sheet
// gives beside a mean into weights: the variance of a jar is what lies between beakers
// and that of its own readings, over their number.
func (p *prepared) weighRepeats(s jartest.Series) {
	o := &p.obs
	usual := o.Scatter.SD * o.Scatter.SD
	type given struct{ sd, n float64 }
	all := make([]given, len(o.U))
	for i := range o.U {
		r := s.Jars[p.index[i]].Readings.Of(p.key)
		if len(r.Replicates) > 0 || o.Limit[i] != 0 {
			continue // repeat readings stand there one by one: they tell the meter's scatter
		}
		all[i] = given{p.onScale(r.SD, r.Value), float64(r.N)}
		p.repeats = p.repeats || r.SD > 0 || r.N > 1
	}
	if !p.repeats {
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

// onScale is what a small spread of a reading is on the working scale.
func (p *prepared) onScale(sd, v float64) float64 {
	if p.scale == additiveScale {
		return sd
	}
	if left := p.left(v); left > 0 {
		return sd / left
	}
	return 0
}
