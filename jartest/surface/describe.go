package surface

import (
	"jarwright/jartest/engine"
	"math"
	"sort"
	"strings"

	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// describe adds the slices, the curve at the chosen level, the grid and the method in words.
func (r *Result) describe() {
	b := &r.responses[r.Binding]
	reg := r.region
	level := r.design.point(r.Clearest.Pair).Y
	if r.HasPlanning {
		level = r.design.point(r.Planning.Pair).Y
	}
	levels := append([]float64(nil), reg.Ys...)
	if r.HasPlanning {
		levels = engine.InsertLevel(levels, level)
	}
	for _, y := range levels {
		r.Slices = append(r.Slices, r.slice(y))
	}
	r.Curve = r.along(level)
	r.grid()
	r.Notes.Add(r.advice(b)...)
	sort.SliceStable(r.Notes, func(i, j int) bool { return r.Notes[i].Level > r.Notes[j].Level })
	r.Method = []string{
		"readings are fitted on the scale: " + b.Name,
		"each model is a one-factor curve whose needed dose, floor or over-dose moves with " + r.Second.Name + "; each is weighted by how well it foretold these jars, averaged over all its shapes (integrated likelihood)",
	}
	r.Method = append(r.Method, b.Expected(b.scatter())...)
	r.Method = append(r.Method, b.Given()...)
	r.Method = append(r.Method,
		quantity.Sig(100*b.cloud.Free.Share, 2)+" % of the confidence comes from interpolation between the jars alone, as insurance against a water that follows no model",
		"the target line is where the target is met as likely as not; the planning pair keeps to the side where it is met with "+curve.Confident(r.Asked())+" confidence",
		"nothing is read off outside the tested pairs")
}

// advice is what goes with any surface.
func (r *Result) advice(b *response) (out note.List) {
	for _, says := range [...]func(*response) (note.Note, bool){
		func(*response) (note.Note, bool) { return r.twoLevels(r.OnlyLevelsFirst, r.First) },
		func(*response) (note.Note, bool) { return r.twoLevels(r.OnlyLevelsSecond, r.Second) },
		r.oneAtATime, r.cheapestAtEdge, r.edgeBesideFailing, r.unseenFall, r.removalNearAll, r.noPrices, r.wideInterval,
	} {
		if n, ok := says(b); ok {
			out.Add(n)
		}
	}
	return out
}

func (r *Result) twoLevels(only bool, f Factor) (note.Note, bool) {
	show := make([]string, len(f.Levels))
	for i, v := range f.Levels {
		show[i] = f.Show(v)
	}
	return note.New(note.Caution, "two-levels", "%s was tested at two levels only (%s); two levels show no curve, so only these levels are advised", f.Name, strings.Join(show, " and ")).
		At(r.Place).Do("test a third level"), only
}

func (r *Result) oneAtATime(*response) (note.Note, bool) {
	return note.New(note.Info, "one-at-a-time", "the chemicals were varied one at a time, so the jars show little of how they act together").
		At(r.Place).Do("confirm the chosen pair with a jar"), r.Design == OneAtATime
}

func (r *Result) cheapestAtEdge(*response) (note.Note, bool) {
	top := r.Second.Levels[len(r.Second.Levels)-1]
	return note.New(note.Info, "cheapest-at-edge", "the cheapest pair stands at the highest dose of %s tested; more may be cheaper still", r.Second.Name).
			At(r.Place).Do("test a higher level if the animals can bear it"),
		r.priced() && r.HasPlanning && !r.Second.PH && !r.OnlyLevelsSecond && float64(r.Planning.Pair.Second) > 0.999*top
}

func (r *Result) edgeBesideFailing(b *response) (note.Note, bool) {
	i, ok := r.failingAtEdge(b)
	if !ok {
		return note.Note{}, false
	}
	j := r.Jars[i]
	return note.New(note.Caution, "edge-beside-failing", "the planning pair stands at the edge of what was tested, and the jar beside it, %s, does not meet the target: beyond the edge nothing is known", r.words(j.Pair)).
		At(j.At).Do("run a jar at the planning pair, and one beyond the edge"), true
}

func (r *Result) removalNearAll(b *response) (note.Note, bool) {
	return note.New(note.Caution, "removal-near-all", "the fitted removal comes near 100 %% where no jar stood; trust the jars there, not the curve").At(r.Place),
		b.Scale.Removal() && r.Clearest.Fit > 99.95
}

func (r *Result) noPrices(*response) (note.Note, bool) {
	if r.opt.NotUsed {
		return note.New(note.Info, "no-prices", "the prices given cannot be used as they stand, so the cheapest pair cannot be told; the pair with the least %s is taken", r.Second.Name).
			Do("mend what the caution says of them"), !r.priced() && r.Outcome == curve.Found && !r.Second.PH
	}
	return note.New(note.Info, "no-prices", "without the price of both chemicals the cheapest pair cannot be told; the pair with the least %s is taken", r.Second.Name).
		Do(`give prices in the sheet, the site workbook or by --price "%s=0.42 EUR/kg"`, r.First.Name), !r.priced() && r.Outcome == curve.Found && !r.Second.PH
}

func (r *Result) wideInterval(*response) (note.Note, bool) {
	estimate, planning := r.Estimate.Pair, r.Planning.Pair
	sameSecond := math.Abs(float64(estimate.Second-planning.Second)) < 0.1*math.Max(r.design.scale.y, 1e-9)
	return note.New(note.Caution, "wide-interval", "the planning dose is over 1.5 times the estimate, because the jars leave the surface uncertain there").
			At(r.Place).Do("run the jars that next lists"),
		r.Relative && r.HasEstimate && r.HasPlanning && !r.Second.PH && estimate.First > 0 && float64(planning.First) > 1.5*float64(estimate.First) && sameSecond
}

// nearby is the share of what is read off between jars from which on a pair stands at one
// jar: the neighbours of that jar are then beside the pair.
const nearby = 0.9

// failingAtEdge finds a jar beside the planning pair that misses a target, where
// the pair stands on the border of the tested region and the border is not that of
// doses at all: on one side of the pair nothing is known, on the other a jar fails.
func (r *Result) failingAtEdge(b *response) (jar int, ok bool) {
	q := r.design.point(r.Planning.Pair)
	if !r.HasPlanning || !r.border(q) {
		return 0, false
	}
	mesh := b.cloud.Mesh
	beside := mesh.Corners(q)
	for _, c := range beside {
		if c.Share >= nearby {
			for _, n := range mesh.Neighbours(c.Pair) {
				beside = append(beside, engine.Corner{Pair: n})
			}
		}
	}
	least := math.Inf(1)
	for _, c := range beside {
		at := mesh.At[c.Pair]
		far := math.Hypot(at.X-q.X, at.Y-q.Y)
		for k, y := range b.Obs.Y {
			if b.Obs.At(k) == at && far < least && b.Obs.Limit[k] >= 0 && y > b.goal {
				jar, ok, least = b.Jar[k], true, far
			}
		}
	}
	return jar, ok
}

// atEdge is the share of the tested range within which a pair stands at its edge: the search
// ends a little short of it.
const atEdge = 1e-3

// border reports that more could be tested on one side of a pair: it stands on a
// side of the tested region that is not that of no dose.
func (r *Result) border(q engine.Point) bool {
	h := r.region.Hull
	for i, a := range h {
		b := h[(i+1)%len(h)]
		none := a.X <= engine.Slack && b.X <= engine.Slack || !r.Second.PH && a.Y <= engine.Slack && b.Y <= engine.Slack
		dx, dy := b.X-a.X, b.Y-a.Y
		if long := math.Hypot(dx, dy); !none && math.Abs(dx*(q.Y-a.Y)-dy*(q.X-a.X)) <= atEdge*long {
			return true
		}
	}
	return false
}

// slice finds the needed dose of the first factor at one level of the second.
func (r *Result) slice(y float64) Slice {
	d := &r.design
	reg := r.region
	s := Slice{Level: d.pair(engine.Point{X: 0, Y: y}).level(r.Second.PH), Tested: engine.OnLevel(reg.Ys, y)}
	s.Effective.Confidence = 0.90
	s.Curve = r.along(y)
	sr := search{region: reg, cost: func(q engine.Point) float64 { return q.X }}
	at := func(conf float64) (quantity.Concentration, bool) {
		sr.ok = func(q engine.Point) bool { return r.confidence(q) >= conf }
		f := sr.row(y, math.Inf(-1), math.Inf(1), cellsFirst)
		if math.IsInf(f.cost, 1) {
			return 0, false
		}
		return d.pair(f.at).First, true
	}
	s.Effective.Value, s.Reached = at(0.5)
	if !s.Reached {
		return s
	}
	lo, _, _ := reg.Span(y)
	s.Effective.Low, s.Effective.HasLow = at(0.05)
	if s.Effective.HasLow && float64(s.Effective.Low) <= lo*d.scale.x*(1+1e-9) {
		s.Effective.HasLow = false
	}
	s.Effective.High, s.Effective.HasHigh = at(0.95)
	if _, hi, _ := reg.Span(y); hi-lo < 1e-9 { // the tested region ends in a engine.Point here
		s.Effective.HasLow, s.Effective.HasHigh = false, false
	}
	s.Planning, s.HasPlanning = at(float64(r.Asked()))
	return s
}

// along gives the fitted reading along the first factor at one level of the second.
func (r *Result) along(y float64) []curve.Point {
	b := &r.responses[r.Binding]
	lo, hi, ok := r.region.Span(y)
	if !ok {
		return nil
	}
	const steps = 40
	var out []curve.Point
	for i := 0; i <= steps; i++ {
		q := engine.Point{X: lo + (hi-lo)*float64(i)/steps, Y: y}
		low, high := b.cloud.Cell(q).Of(b.low), b.cloud.Cell(q).Of(b.high)
		p := curve.Point{Dose: quantity.Concentration(q.X * r.design.scale.x), Fit: b.Scale.Reading(b.mean(q)), Low: b.Scale.Reading(low), High: b.Scale.Reading(high)}
		if p.Low > p.High {
			p.Low, p.High = p.High, p.Low
		}
		out = append(out, p)
		if hi-lo < 1e-9 {
			break // the region ends in a engine.Point here
		}
	}
	return out
}

// grid fills the surface for pictures.
func (r *Result) grid() {
	b := &r.responses[r.Binding]
	reg := r.region
	hull := reg
	hull.OnlyXs, hull.OnlyYs = false, false // a picture shows the surface between two levels too
	const nx, ny = 40, 24
	for i := 0; i <= nx; i++ {
		x := reg.Xs[0] + (reg.Xs[len(reg.Xs)-1]-reg.Xs[0])*float64(i)/nx
		r.Grid.First = append(r.Grid.First, x*r.design.scale.x)
	}
	for j := 0; j <= ny; j++ {
		y := reg.Ys[0] + (reg.Ys[len(reg.Ys)-1]-reg.Ys[0])*float64(j)/ny
		r.Grid.Second = append(r.Grid.Second, r.design.scale.y0+y*r.design.scale.y)
		fit, conf := make([]float64, nx+1), make([]float64, nx+1)
		for i := range fit {
			q := engine.Point{X: reg.Xs[0] + (reg.Xs[len(reg.Xs)-1]-reg.Xs[0])*float64(i)/nx, Y: y}
			fit[i], conf[i] = math.NaN(), math.NaN()
			if hull.Contains(q) {
				fit[i], conf[i] = b.Scale.Reading(b.mean(q)), r.confidence(q)
			}
		}
		r.Grid.Fit, r.Grid.Confidence = append(r.Grid.Fit, fit), append(r.Grid.Confidence, conf)
	}
}
