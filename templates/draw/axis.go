package draw

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// scale maps values of an axis to 0..1 and knows its ticks.
type scale struct {
	axis   Axis
	lo, hi float64
	step   float64 // of the ticks of a linear scale
	ticks  []tick
}

type tick struct {
	at   float64
	text string
}

// at gives the share of the way along the axis; NaN where the value has no place.
func (s scale) at(v float64) float64 {
	if s.axis.Log {
		if v <= 0 {
			return math.NaN()
		}
		return (math.Log10(v) - math.Log10(s.lo)) / (math.Log10(s.hi) - math.Log10(s.lo))
	}
	return (v - s.lo) / (s.hi - s.lo)
}

// value is the inverse of at.
func (s scale) value(f float64) float64 {
	if s.axis.Log {
		return s.lo * math.Pow(s.hi/s.lo, f)
	}
	return s.lo + f*(s.hi-s.lo)
}

// newScale chooses ends and about n ticks for the values.
func newScale(a Axis, values []float64, n int, comma bool) scale {
	if len(a.Labels) > 0 {
		return labelled(a, n)
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) && (!a.Log || v > 0) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	shown := lo <= hi
	switch {
	case a.Log && shown:
		return logScale(a, lo, hi, comma)
	case a.Log:
		return logScale(a, 1, 10, comma)
	case !shown:
		lo, hi = 0, 1
	}
	return linearScale(a, lo, hi, n, comma)
}

func linearScale(a Axis, lo, hi float64, n int, comma bool) scale {
	if a.Zero {
		lo, hi = math.Min(lo, 0), math.Max(hi, 0)
	}
	lo, hi = ends(a, lo, hi)
	if lo == hi {
		d := math.Abs(lo) / 2
		if d == 0 {
			d = 1
		}
		hi += d
		if a.Least == nil && !(a.Zero && lo >= 0) {
			lo -= d
		}
	}
	step := a.Step
	if step <= 0 || (hi-lo)/step > 60 {
		step = niceStep((hi - lo) / float64(max(n, 2)))
	}
	if a.Least == nil {
		lo = math.Floor(lo/step+1e-9) * step
	}
	if a.Most == nil {
		hi = math.Ceil(hi/step-1e-9) * step
	}
	decimals := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	if p := step * math.Pow10(decimals); p != math.Round(p) && a.Step > 0 {
		decimals++
	}
	s := scale{axis: a, lo: lo, hi: hi, step: step}
	for i := math.Ceil(lo/step - 1e-9); i*step <= hi+step*1e-9; i++ {
		v := i*step + 0 // no minus zero
		text := number(v, decimals, comma)
		if a.Clock {
			text = fmt.Sprintf("%02.0f:%02.0f", math.Floor(math.Mod(v, 24)), math.Mod(v, 1)*60)
		}
		s.ticks = append(s.ticks, tick{v, text})
	}
	if a.Ends {
		s.nameEnds(decimals, comma)
	}
	return s
}

// nameEnds gives both ends a number; a tick that stands too near to one goes.
func (s *scale) nameEnds(decimals int, comma bool) {
	for _, v := range [...]float64{s.lo, s.hi} {
		near := func(t tick) bool { return math.Abs(t.at-v) < 0.04*(s.hi-s.lo) }
		s.ticks = append(slices.DeleteFunc(s.ticks, near), tick{v, number(v, max(decimals, decimalsOf(v)), comma)})
	}
	slices.SortFunc(s.ticks, func(a, b tick) int { return cmp.Compare(a.at, b.at) })
}

func ends(a Axis, lo, hi float64) (float64, float64) {
	if a.Least != nil {
		lo = *a.Least
	}
	if a.Most != nil {
		hi = *a.Most
	}
	if hi < lo {
		lo, hi = hi, lo
	}
	return lo, hi
}

func labelled(a Axis, n int) scale {
	s := scale{axis: a, lo: -0.5, hi: float64(len(a.Labels)) - 0.5}
	every := 1
	for (len(a.Labels)+every-1)/every > max(n, 2) {
		every++
	}
	for i, l := range a.Labels {
		if i%every == 0 {
			s.ticks = append(s.ticks, tick{float64(i), l})
		}
	}
	return s
}

func logScale(a Axis, lo, hi float64, comma bool) scale {
	lo, hi = ends(a, lo, hi)
	if lo <= 0 {
		lo = hi / 1000
	}
	mults := []float64{1}
	if math.Log10(hi/lo) < 2.5 {
		mults = []float64{1, 2, 5}
	}
	if a.Least != nil && a.Most != nil && hi < 8*lo { // a close-up
		mults = []float64{1, 1.5, 2, 3, 4, 5, 7}
	}
	if a.Least == nil {
		lo = logEdge(lo, mults, -1)
	}
	if a.Most == nil {
		hi = logEdge(hi, mults, 1)
	}
	if lo >= hi {
		hi = lo * 10
	}
	s := scale{axis: a, lo: lo, hi: hi}
	for e := math.Floor(math.Log10(lo)) - 1; e <= math.Ceil(math.Log10(hi)); e++ {
		for _, m := range mults {
			v := m * math.Pow(10, e)
			if v >= lo*(1-1e-9) && v <= hi*(1+1e-9) {
				s.ticks = append(s.ticks, tick{v, number(v, max(0, -int(e), decimalsOf(v)), comma)})
			}
		}
	}
	return s
}

// logEdge moves v outwards to the next multiple; dir is -1 or 1.
func logEdge(v float64, mults []float64, dir int) float64 {
	e := math.Floor(math.Log10(v))
	best := math.NaN()
	for d := e - 1; d <= e+1; d++ {
		for _, m := range mults {
			c := m * math.Pow(10, d)
			if dir < 0 && c <= v*(1+1e-9) || dir > 0 && c >= v*(1-1e-9) {
				if math.IsNaN(best) || dir < 0 && c > best || dir > 0 && c < best {
					best = c
				}
			}
		}
	}
	return best
}

// niceStep rounds up to 1, 2 or 5 times a power of ten.
func niceStep(raw float64) float64 {
	if raw <= 0 || math.IsNaN(raw) || math.IsInf(raw, 0) {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range [...]float64{1, 2, 5, 10} {
		if raw <= m*p*(1+1e-9) {
			return m * p
		}
	}
	return 10 * p
}

func number(v float64, decimals int, comma bool) string {
	if v == 0 {
		v = 0 // no minus zero
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if comma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// extent lists every x and y that the layers of a panel want to show.
func (p Panel) extent() (xs, ys []float64) {
	for _, l := range p.Layers {
		l.ends(p, func(x, y float64) { xs, ys = append(xs, x), append(ys, y) })
	}
	return xs, ys
}

// nowhere leaves an axis as it is.
var nowhere = math.NaN()

func (l Points) ends(p Panel, add func(x, y float64)) {
	for _, a := range l.At {
		low, high, _ := a.bar()
		add(a.X, low)
		add(a.X, high)
		if a.Censor == Under && p.Y.Log { // room for the arrow
			add(a.X, a.Y/1.5)
		}
	}
}

func (l Line) ends(_ Panel, add func(x, y float64)) {
	for _, a := range l.At {
		add(a.X, a.Y)
	}
}

func (l Steps) ends(_ Panel, add func(x, y float64)) {
	for _, a := range l.At {
		add(a.X, a.Y)
	}
	if l.Filled {
		add(nowhere, 0)
	}
}

func (l Band) ends(_ Panel, add func(x, y float64)) {
	for _, a := range l.At {
		add(a.X, a.Low)
		add(a.X, a.High)
	}
}

func (l Bars) ends(_ Panel, add func(x, y float64)) {
	for _, a := range l.At {
		add(a.X-l.width()/2, a.Y)
		add(a.X+l.width()/2, a.Base)
		if a.High > a.Low {
			add(a.X, a.Low)
			add(a.X, a.High)
		}
	}
}

func (l Marker) ends(_ Panel, add func(x, y float64)) {
	if l.Vertical {
		add(l.At, nowhere)
	} else {
		add(nowhere, l.At)
	}
}

func (l Riser) ends(_ Panel, add func(x, y float64)) {
	add(l.X, l.From)
	add(l.X, l.To)
}

func (l Interval) ends(_ Panel, add func(x, y float64)) {
	add(l.Low, nowhere)
	add(l.High, nowhere)
}

func (l Jars) ends(_ Panel, add func(x, y float64)) {
	for _, j := range l.At {
		add(j.X, nowhere)
	}
}

func (l Stack) ends(_ Panel, add func(x, y float64)) {
	add(0, nowhere)
	add(math.Max(l.whole(), l.High), nowhere)
}

func (g Grid) ends(add func(x, y float64)) {
	for _, x := range g.X {
		add(x, nowhere)
	}
	for _, y := range g.Y {
		add(nowhere, y)
	}
}

func (l Mark) ends(_ Panel, add func(x, y float64))     { add(l.At, nowhere) }
func (l Contours) ends(_ Panel, add func(x, y float64)) { l.Grid.ends(add) }
func (l Hatched) ends(_ Panel, add func(x, y float64))  { l.Grid.ends(add) }
func (Gap) ends(Panel, func(x, y float64))              {}
func (Stops) ends(Panel, func(x, y float64))            {}
func (Remark) ends(Panel, func(x, y float64))           {}

func (b Bars) width() float64 {
	if b.Width > 0 {
		return b.Width
	}
	return 0.7
}

// Frame is the part of the plane that a plot shows, and how far its ticks along x lie apart; 0 where they have no step.
type Frame struct{ X0, X1, Y0, Y1, Step float64 }

// Frame gives the ends of both axes, as every rendering of the panel has them.
func (p Panel) Frame() Frame {
	xs, ys := p.extent()
	x, y := newScale(p.X, xs, 8, false), newScale(p.Y, ys, 7, false)
	return Frame{x.lo, x.hi, y.lo, y.hi, x.step}
}
