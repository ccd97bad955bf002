package curve

import (
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/observed"
	"jarwright/jartest/quantity"
)

// goal is a target made ready for the curves of its reading.
type goal struct {
	target jartest.Target
	key    jartest.Key // of the reading that is fitted
	// fixed working-scale level, for an absolute target.
	level float64
	// high is true where the working-scale value must be at least the level.
	high bool
	// reference of a removal target.
	ref     float64 // its reading
	fromRaw bool
}

// aim makes a goal of a target for its prepared reading. For removal it looks for
// what the removal is counted from: the raw water's reading, else the control jar.
func aim(s jartest.Series, t jartest.Target, p *prepared) (goal, *note.Note) {
	g := goal{target: t, key: t.Key}
	switch t.Kind {
	case jartest.Absolute:
		g.high = t.AtLeast
		v := t.Value
		if p.Scale.Log() && p.Scale.Left(v) <= 0 {
			if p.Scale.Removal() {
				n := note.New(note.Caution, "target-unreachable", "target %q asks for everything to be removed", t.String()).
					Do("ask for less than 100 %%")
				return g, &n
			}
			n := note.New(note.Caution, "target-unreachable", "target %q asks for nothing to be left", t.String()).
				Do("ask for a reading that the meter can show")
			return g, &n
		}
		g.level = p.Scale.Work(v)
		if p.Scale.Flips() {
			g.high = !g.high
		}
	case jartest.Removal:
		g.high = false
		if r, ok := s.Raw[t.Key.Base()]; ok && r.State == jartest.Number && r.Value > 0 {
			g.ref, g.fromRaw = observed.Mean(r, true), true
			break
		}
		if len(p.Obs.U) > 0 && p.Obs.U[0] == 0 {
			_, mean, _, _ := p.Obs.Groups()
			g.ref = p.Scale.Reading(mean[0])
			break
		}
		n := note.New(note.Caution, "no-reference", "removal of %s is counted from the raw water or from a jar without chemical, and the sheet gives neither", t.Key.Info().Label).
			At(s.Place).Do("add the raw water's %s to the sheet, run a control jar, or state the target as a reading", t.Key.Info().Label)
		return g, &n
	}
	return g, nil
}

// thresholds gives, for every curve of the cloud, the working-scale level that it
// must get to; NaN where the target is not a level (slope).
func (g *goal) thresholds(c *engine.Cloud, p *prepared, e *engine.Engine) []float64 {
	out := make([]float64, len(c.F))
	for k := range out {
		switch g.target.Kind {
		case jartest.Removal:
			out[k] = g.removalLevel(c, p, e, k)
		case jartest.WithinBest:
			out[k] = g.bestLevel(c.F[k], p)
		case jartest.Slope:
			out[k] = math.NaN()
		default:
			out[k] = g.level
		}
	}
	return out
}

// removalLevel is what curve k may leave of what removal is counted from.
func (g *goal) removalLevel(c *engine.Cloud, p *prepared, e *engine.Engine, k int) float64 {
	keep := 1 - g.target.Value/100
	switch {
	case !p.Scale.Log():
		return keep * g.ref
	case keep <= 0:
		return math.Inf(-1)
	case g.fromRaw: // the raw reading scatters like a jar's
		return math.Log(keep*g.ref) + c.Sigma[k]*e.Rough[(k*31+7)%len(e.Rough)]
	}
	return c.F[k][0] + math.Log(keep)
}

// bestLevel is as far from a curve's best as the target allows.
func (g *goal) bestLevel(row []float64, p *prepared) float64 {
	x := g.target.Value / 100
	switch {
	case p.Scale.Log() && g.high:
		return slices.Max(row) + math.Log1p(x)
	case p.Scale.Log():
		return slices.Min(row) + math.Log1p(x)
	case g.high:
		best := slices.Max(row)
		return best - x*math.Abs(best)
	}
	best := slices.Min(row)
	return best + x*math.Abs(best)
}

// margins gives, for curve k, how far it is from meeting the goal at every grid
// dose: zero or less is met. Levels are linear in the working scale between grid
// doses, so that the first zero is found by interpolation.
func (g *goal) margins(c *engine.Cloud, p *prepared, k int, level float64, out []float64) {
	row := c.F[k]
	if g.target.Kind != jartest.Slope {
		for j, v := range row {
			if g.high {
				out[j] = level - v
			} else {
				out[j] = v - level
			}
		}
		return
	}
	// Diminishing returns: from the steepest part on, the first dose at which a
	// further mg/L takes off less than the slope.
	want := g.target.Value * p.dmax
	steep := 0
	for j := range row {
		out[j] = g.fall(c, p, row, j)
		if out[j] > out[steep] {
			steep = j
		}
	}
	never := out[steep] < want // then there is nothing that diminishes
	for j := range out {
		if never {
			out[j] = 1
		} else if j < steep {
			out[j] = math.Max(out[j]-want, 1e-9)
		} else {
			out[j] -= want
		}
	}
}

// perOwnDose puts a slope on the basis that the series' doses have.
func perOwnDose(s jartest.Series, t jartest.Target, own quantity.Basis) (jartest.Target, error) {
	if t.Kind != jartest.Slope || t.Basis == quantity.NotStated || t.Basis == own {
		return t, nil
	}
	f, ok := own.As(t.Basis)
	if !ok {
		return t, note.Fault("slope-basis", "target %q counts the dose %s, and the doses of %s are given %s", t.String(), t.Basis, quoted(s.Name), own).
			At(s.Place).Do("say what the doses count with --basis, or state the slope on their basis")
	}
	t.Value *= f
	t.Basis = own
	return t, nil
}

// fall is how fast the reading gets better at grid point j, per unit of scaled dose.
func (g *goal) fall(c *engine.Cloud, p *prepared, row []float64, j int) float64 {
	a, b := max(j-1, 0), min(j+1, len(row)-1)
	d := (p.Scale.Reading(row[b]) - p.Scale.Reading(row[a])) / (c.U[b] - c.U[a])
	if g.target.AtLeast || p.Scale.Removal() || g.key.Known() && !g.key.Info().LowIsGood {
		return d
	}
	return -d
}
