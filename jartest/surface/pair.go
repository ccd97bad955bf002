package surface

import (
	"fmt"
	"jarwright/jartest/engine"
	"math"
	"sort"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Pair is one combination of the two factors. Where the second is the pH at
// which the jars stood, PH holds it and Second is zero.
type Pair struct {
	First  quantity.Concentration
	Second quantity.Concentration
	PH     float64
}

// Factor is one of the two things that differ between the jars.
type Factor struct {
	Name string
	// Chemical is empty where the factor is pH.
	Chemical jartest.Chemical
	PH       bool
	// Index is the chemical's place in the series, -1 for pH.
	Index int
	// Levels are the tested levels in use, rising: mg/L, or pH.
	Levels []float64
}

// Unit is the unit that levels are written in; empty for pH.
func (f Factor) Unit() string {
	if f.PH {
		return ""
	}
	return "mg/L"
}

// Show writes a level with its unit.
func (f Factor) Show(v float64) string {
	if f.PH {
		return "pH " + quantity.Sig(v, 2)
	}
	return quantity.Concentration(v).String()
}

// Kind is how the jars are laid out over the two factors.
type Kind string

const (
	// FullGrid: every level of one with every level of the other.
	FullGrid Kind = "full grid"
	// PartialGrid: at least half of the combinations.
	PartialGrid Kind = "partial grid"
	// OneAtATime: one factor was varied at a single level of the other, then the other.
	OneAtATime Kind = "one at a time"
	// Scattered: anything else.
	Scattered Kind = "scattered"
)

// JarUse is a jar as the fit saw it.
type JarUse struct {
	Label   string
	Pair    Pair
	State   jartest.State
	Reading float64 // of the binding target's key, in its unit
	Used    bool
	Why     string // why it was left out
	Fit     float64
	At      note.Place
}

// design is a series as two factors and a list of pairs.
type design struct {
	series        jartest.Series
	first, second Factor
	kind          Kind
	jars          []JarUse // as the series, in order
	scale         frame
	ph            func(jartest.Jar) (float64, bool)
	notes         note.List
}

// frame scales a pair: each factor divided by its highest tested level, pH by
// its tested range.
type frame struct{ x, y0, y float64 }

func (f frame) point(p Pair, ph bool) engine.Point {
	if ph {
		return engine.Point{X: float64(p.First) / f.x, Y: (p.PH - f.y0) / f.y}
	}
	return engine.Point{X: float64(p.First) / f.x, Y: (float64(p.Second) - f.y0) / f.y}
}

func (d design) point(p Pair) engine.Point { return d.scale.point(p, d.second.PH) }

func (d design) pair(q engine.Point) Pair {
	p := Pair{First: quantity.Concentration(q.X * d.scale.x)}
	if v := d.scale.y0 + q.Y*d.scale.y; d.second.PH {
		p.PH = v
	} else {
		p.Second = quantity.Concentration(v)
	}
	return p
}

// Level gives the second factor's level of a pair: mg/L, or pH.
func (p Pair) level(ph bool) float64 {
	if ph {
		return p.PH
	}
	return float64(p.Second)
}

// TwoFactors reports that a series varies two chemicals, or one chemical and the
// pH that the jars were set to, so that this package can take it. Jars without
// either chemical do not count: a control beside jars that all got the same polymer
// does not make the polymer a factor. Two chemicals that never meet in a jar are
// two tests beside each other, and no pair.
func TwoFactors(s jartest.Series) bool {
	f := s.Factors()
	if len(f) == 1 {
		return len(setPH(s)) > 1
	}
	if len(f) != 2 {
		return false
	}
	levels := [2]map[quantity.Concentration]bool{{}, {}}
	together := false
	for _, j := range s.Jars {
		var d [2]jartest.JarDose
		for k, c := range f {
			if c < len(j.Doses) {
				d[k] = j.Doses[c]
			}
		}
		if !d[0].Known || !d[1].Known || d[0].Concentration == 0 && d[1].Concentration == 0 {
			continue
		}
		levels[0][d[0].Concentration], levels[1][d[1].Concentration] = true, true
		together = together || d[0].Concentration > 0 && d[1].Concentration > 0
	}
	return together && len(levels[0]) > 1 && len(levels[1]) > 1
}

// setPH gives the different pH values that the jars were set to on purpose.
func setPH(s jartest.Series) map[float64]bool {
	out := map[float64]bool{}
	ph := phOf(s)
	for _, j := range s.Jars {
		if v, ok := ph(j); ok {
			out[v] = true
		}
	}
	return out
}

// spreadOfOneDose is how far the pH of jars with one dose may differ before it
// must have been set: one water with one dose has one pH.
const spreadOfOneDose = 0.5

// phOf gives what a jar's pH was set to. A pH that was only read is an answer of
// the water and no factor, unless jars with the same doses differ in it by more
// than water can: then somebody set it.
func phOf(s jartest.Series) func(jartest.Jar) (float64, bool) {
	set := func(j jartest.Jar) (float64, bool) {
		for _, k := range [...]string{"ph_target", "ph"} {
			if v, ok := j.Settings[k]; ok {
				return v, true
			}
		}
		return 0, false
	}
	read := func(j jartest.Jar) (float64, bool) {
		r := j.Readings.Of(jartest.PH)
		return r.Value, r.State == jartest.Number
	}
	ranges := map[string][2]float64{}
	for _, j := range s.Jars {
		if _, ok := set(j); ok {
			return set
		}
		v, ok := read(j)
		if !ok {
			continue
		}
		id := ""
		for _, d := range j.Doses {
			id += fmt.Sprintf("%g|", float64(d.Concentration))
		}
		r, seen := ranges[id]
		if !seen {
			r = [2]float64{v, v}
		}
		ranges[id] = [2]float64{math.Min(r[0], v), math.Max(r[1], v)}
	}
	for _, r := range ranges {
		if r[1]-r[0] > spreadOfOneDose {
			return read
		}
	}
	return set
}

// coagulantFirst says which of two chemicals is the first factor: the one dosed
// as a metal or its salt, else the one with the higher top dose.
func coagulantFirst(s jartest.Series, a, b int) (int, int) {
	metal := func(c int) bool { return s.Chemicals[c].Basis.Metal() != "" }
	switch ma, mb := metal(a), metal(b); {
	case ma && !mb:
		return a, b
	case mb && !ma:
		return b, a
	}
	top := func(c int) (t float64) {
		for _, j := range s.Jars {
			if c < len(j.Doses) && j.Doses[c].Known {
				t = math.Max(t, float64(j.Doses[c].Concentration))
			}
		}
		return t
	}
	if top(b) > top(a) {
		return b, a
	}
	return a, b
}

// newDesign lays a series out over its two factors. usable says whether a jar
// has a reading to fit.
func newDesign(s jartest.Series, usable func(jartest.Jar) (string, bool)) design {
	d := design{series: s, ph: phOf(s)}
	f := s.Factors()
	if len(f) >= 2 {
		a, b := coagulantFirst(s, f[0], f[1])
		d.first = Factor{Name: s.Chemicals[a].Name, Chemical: s.Chemicals[a], Index: a}
		d.second = Factor{Name: s.Chemicals[b].Name, Chemical: s.Chemicals[b], Index: b}
	} else {
		d.first = Factor{Name: s.Chemicals[f[0]].Name, Chemical: s.Chemicals[f[0]], Index: f[0]}
		d.second = Factor{Name: "pH", PH: true, Index: -1}
		if len(s.Jars) > 0 && len(s.Jars[0].Settings) == 0 {
			d.notes.Add(note.New(note.Info, "ph-was-set", "jars with the same dose stand at different pH, so the pH is taken as set, not as read").At(s.Place))
		}
	}
	for _, j := range s.Jars {
		use := JarUse{Label: j.Label, At: j.At}
		use.Pair, use.Used, use.Why = d.pairOf(j)
		if use.Used {
			use.Why, use.Used = usable(j)
		}
		d.jars = append(d.jars, use)
	}
	d.dropLoneControl()
	d.levels()
	return d
}

// pairOf reads a jar's two levels.
func (d *design) pairOf(j jartest.Jar) (p Pair, ok bool, why string) {
	dose := func(f Factor) (quantity.Concentration, bool) {
		if f.Index >= len(j.Doses) || !j.Doses[f.Index].Known {
			return 0, false
		}
		return j.Doses[f.Index].Concentration, true
	}
	if p.First, ok = dose(d.first); !ok {
		return p, false, "dose of " + d.first.Name + " not known"
	}
	if d.second.PH {
		if p.PH, ok = d.ph(j); !ok {
			return p, false, "pH not known"
		}
		return p, true, ""
	}
	if p.Second, ok = dose(d.second); !ok {
		return p, false, "dose of " + d.second.Name + " not known"
	}
	return p, true, ""
}

// dropLoneControl leaves out jars without either chemical that stand on no line
// of the design: no jar has one of the two alone, so the control is the zero
// point of neither and its difference from the rest is that of two chemicals at once.
func (d *design) dropLoneControl() {
	if d.second.PH {
		return
	}
	var controls []int
	onLine := false
	for i, j := range d.jars {
		if !j.Used {
			continue
		}
		a, b := j.Pair.First, j.Pair.Second
		if a == 0 && b == 0 {
			controls = append(controls, i)
		}
		onLine = onLine || (a == 0) != (b == 0)
	}
	if onLine || len(controls) == 0 {
		return
	}
	for _, i := range controls {
		d.jars[i].Used = false
		d.jars[i].Why = "lacks both chemicals, so it is the zero point of neither"
	}
	d.notes.Add(note.New(note.Info, "control-lacks-both", "%d control jar(s) lack both %s and %s; no jar has one of them alone, so they are the zero point of neither and are left out of the surface", len(controls), d.first.Name, d.second.Name).
		At(d.series.Place).Do("run a jar with %s alone to see what %s adds", d.first.Name, d.second.Name))
}

// levels collects the tested levels, the scale and the kind of the design.
func (d *design) levels() {
	var xs, ys []float64
	distinct := map[[2]float64]bool{}
	for _, j := range d.jars {
		if !j.Used {
			continue
		}
		x, y := float64(j.Pair.First), j.Pair.level(d.second.PH)
		xs, ys = addLevel(xs, x), addLevel(ys, y)
		distinct[[2]float64{x, y}] = true
	}
	d.first.Levels, d.second.Levels = xs, ys
	d.scale = frame{x: 1, y: 1}
	if n := len(xs); n > 0 && xs[n-1] > 0 {
		d.scale.x = xs[n-1]
	}
	if n := len(ys); n > 0 {
		if d.second.PH {
			d.scale.y0 = ys[0]
			d.scale.y = math.Max(ys[n-1]-ys[0], 1e-9)
		} else if ys[n-1] > 0 {
			d.scale.y = ys[n-1]
		}
	}
	d.kind = kindOf(distinct, xs, ys)
}

// kindOf tells how pairs are laid out over the levels of the two factors.
func kindOf(distinct map[[2]float64]bool, xs, ys []float64) Kind {
	switch n, full := len(distinct), len(xs)*len(ys); {
	case n == full && len(xs) > 1 && len(ys) > 1:
		return FullGrid
	case onCross(distinct, xs, ys):
		return OneAtATime
	case 2*n >= full:
		return PartialGrid
	}
	return Scattered
}

// onCross reports pairs that all share a level with one of them.
func onCross(distinct map[[2]float64]bool, xs, ys []float64) bool {
	for _, x := range xs {
		for _, y := range ys {
			all := true
			for k := range distinct {
				all = all && (k[0] == x || k[1] == y)
			}
			if all {
				return true
			}
		}
	}
	return false
}

func addLevel(levels []float64, v float64) []float64 {
	i := sort.SearchFloat64s(levels, v)
	if i < len(levels) && levels[i] == v {
		return levels
	}
	levels = append(levels, 0)
	copy(levels[i+1:], levels[i:])
	levels[i] = v
	return levels
}

// Join puts series together that share their water and their chemicals and
// differ in a dose that each held fixed, such as one series of jars for each
// dose of polymer. Shared water is what the sheet shows: at least one raw-water
// reading stated for both, and none that differs; and the same file. Series that
// vary two chemicals already, and all others, come back as they were.
func Join(series []jartest.Series) []jartest.Series {
	var out []jartest.Series
	taken := make([]bool, len(series))
	for i, s := range series {
		if taken[i] {
			continue
		}
		group := []jartest.Series{s}
		for j := i + 1; j < len(series); j++ {
			if !taken[j] && joinable(s, series[j]) {
				taken[j] = true
				group = append(group, series[j])
			}
		}
		joined := merge(group)
		if len(group) == 1 || len(joined.Factors()) != 2 {
			out = append(out, s)
			for j := i + 1; j < len(series); j++ { // give the others their place back
				for _, g := range group[1:] {
					if series[j].Name == g.Name && series[j].Place == g.Place {
						taken[j] = false
					}
				}
			}
			continue
		}
		out = append(out, joined)
	}
	return out
}

func joinable(a, b jartest.Series) bool {
	if a.Place.File != b.Place.File || len(a.Chemicals) != len(b.Chemicals) || len(a.Chemicals) < 2 || len(a.Factors()) != 1 || len(b.Factors()) != 1 || a.Factors()[0] != b.Factors()[0] {
		return false
	}
	for i := range a.Chemicals {
		if !strings.EqualFold(a.Chemicals[i].Name, b.Chemicals[i].Name) || a.Chemicals[i].Basis != b.Chemicals[i].Basis {
			return false
		}
	}
	shared := 0
	for k, x := range a.Raw {
		y, ok := b.Raw[k]
		if !ok || x.State != jartest.Number || y.State != jartest.Number {
			continue
		}
		if x.Value != y.Value {
			return false
		}
		shared++
	}
	return shared > 0
}

// merge puts the jars of several series into one.
func merge(group []jartest.Series) jartest.Series {
	s := group[0]
	if len(group) == 1 {
		return s
	}
	s.Jars = nil
	var names []string
	for _, g := range group {
		names = append(names, g.Name)
		for _, j := range g.Jars {
			j.Label = strings.TrimSpace(g.Name + " " + j.Label)
			s.Jars = append(s.Jars, j)
		}
	}
	s.Name = strings.Join(names, " + ")
	s.Notes = append(note.List(nil), s.Notes...)
	s.Notes.Add(note.New(note.Info, "series-joined", "%s", fmt.Sprintf("%d series share their water and differ in a fixed dose; they are taken together: %s", len(group), strings.Join(names, ", "))).At(s.Place))
	return s
}

// Order gives the places of the first and the second chemical in a series of two
// factors, as the fit takes them; the second is -1 where it is the pH.
func Order(s jartest.Series) ([2]int, bool) {
	if !TwoFactors(s) {
		return [2]int{}, false
	}
	f := s.Factors()
	if len(f) == 1 {
		return [2]int{f[0], -1}, true
	}
	a, b := coagulantFirst(s, f[0], f[1])
	return [2]int{a, b}, true
}
