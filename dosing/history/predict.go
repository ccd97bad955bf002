package history

import (
	"maps"
	"math"
	"slices"
	"strings"

	"jarwright/dosing/month"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Prediction is what past tests say of a water.
type Prediction struct {
	Raw Water
	// Model is the law used: the group's own, or the best without a reading that the water lacks.
	Model Model
	// Inside is true where tests had such water: every reading the law goes by lies within theirs.
	Inside bool
	// Unlike are readings that the law does not go by and that lie far from those of its tests.
	Unlike []jartest.Key
	// Outside names the readings that do not.
	Outside []jartest.Key
	// Value is the lowest effective dose by the law; Low and High hold what nine in ten such waters need.
	Value, Low, High quantity.Concentration
	// Planning is the dose enough for the share Sure of such waters. None is given outside the tests.
	Planning quantity.Known[quantity.Concentration]
	Sure     quantity.Fraction
	Notes    note.List
}

// Quantile is the dose that is enough for that share of such waters.
func (p Prediction) Quantile(share float64) (quantity.Concentration, bool) {
	if !p.Inside {
		return 0, false
	}
	return p.Model.at(p.Raw, share), true
}

// Enough is the planning dose of a water by this law: enough for that share of such waters; false outside the tests.
func (m Model) Enough(w Water, sure quantity.Fraction) (quantity.Concentration, bool) {
	for _, k := range append([]jartest.Key{jartest.Turbidity}, m.Terms...) {
		if v, told := w[k]; !told || !m.Range[k].holds(v) {
			return 0, false
		}
	}
	return m.at(w, float64(sure)), true
}

// Nearest is the water within the tests' range that comes nearest to the one asked about.
func (p Prediction) Nearest() Water {
	w := maps.Clone(p.Raw)
	for _, k := range p.Outside {
		s := p.Model.Range[k]
		w[k] = math.Min(math.Max(w[k], s.Low), s.High)
	}
	return w
}

// Confidence is that of the range of a prediction.
const Confidence quantity.Fraction = 0.9

// Predict says what a water needs; false where the group has no law.
func (g Group) Predict(w Water, sure quantity.Fraction) (p Prediction, ok bool) {
	if !g.Model.OK {
		return p, false
	}
	p = Prediction{Raw: w, Model: g.Model.V, Sure: sure}
	if !p.Model.law.knows(w) {
		by, tried, ok := choose(g.Used, func(k jartest.Key) bool { _, known := w[k]; return known })
		if !ok || !by.knows(w) {
			return p, false
		}
		for _, k := range p.Model.Terms {
			if _, known := w[k]; !known {
				p.Notes.Add(note.New(note.Info, "reading-helps", "the law of all tests goes by %s too, which is not told of this water", k.Info().Label).
					Do("give it with --%s", Flags[k]))
			}
		}
		p.Model = modelOf(by, tried, g.Used)
	}
	for _, k := range append([]jartest.Key{jartest.Turbidity}, p.Model.Terms...) {
		if !p.Model.Range[k].holds(w[k]) {
			p.Outside = append(p.Outside, k)
		}
	}
	if p.Inside = len(p.Outside) == 0; !p.Inside {
		return p, true
	}
	p.Low, p.High, _ = p.Model.about(w)
	p.Value = quantity.Concentration(p.Model.law.own(w))
	p.Planning = quantity.Some(p.Model.at(w, float64(sure)))
	if c := p.Model.Clouds; c.OK && p.Planning.V > c.V {
		p.Notes.Add(note.New(note.Caution, "may-cloud", "in one of these tests the water clouded again from %s on, which is less than this dose", quantity.To(c.V, 3)).
			Do("fill a jar at this dose before the pump is set"))
	}
	if most := quantity.Concentration(p.Model.Tested.High); p.Planning.V > most {
		p.Notes.Add(note.New(note.Caution, "beyond-jars", "no jar of these tests had more than %s", quantity.To(most, 3)).Do("fill a jar at this dose before the pump is set"))
	}
	p.near(g)
	p.unlike()
	for _, n := range g.Notes {
		if slices.Contains(ofTheDose, n.Code) {
			p.Notes.Add(n)
		}
	}
	return p, true
}

// ofTheDose are the notes of a law that bear on each dose by it.
var ofTheDose = []string{"law-left", "leans-by-reading", "waters-apart", "odd-test"}

// heeded are the notes of a prediction that come before its dose, and what they ask for first, gravest first.
var heeded = []struct{ code, asks string }{
	{"waters-apart", "Find out first which of the two waters it is, or run a jar test of it"},
	{"odd-test", "Look first at the test in %s: put it away if it holds a slip, and ask again"},
	{"like-water-needed-more", "Look first at the test in %s, and run a jar test of today's water"},
}

// First is what to do before the dose is gone by; false where nothing speaks against it.
func (p Prediction) First() (note.Phrase, bool) {
	for _, h := range heeded {
		if i := slices.IndexFunc(p.Notes, func(n note.Note) bool { return n.Code == h.code }); i >= 0 {
			if strings.Contains(h.asks, "%s") {
				return note.Say(h.asks, p.Notes[i].Place.File), true
			}
			return note.Say(h.asks), true
		}
	}
	return note.Phrase{}, false
}

// apart is how far beyond those of the tests a reading may lie that the law does not go by: more is another water, and a test is to be repeated
// when temperature, pH or UV leaves the tested range. How far is judgement, no source.
var apart = []struct {
	key    jartest.Key
	by     float64 // in its unit,
	share  float64 // or as a share of it
	spoken func(v float64) any
}{
	{jartest.TemperatureKey, 2, 0, func(v float64) any { return quantity.To(quantity.Temperature(v), 3) }},
	{jartest.AlkalinityKey, 0, 0.25, func(v float64) any { return quantity.To(quantity.Alkalinity(v), 3) }},
	{jartest.UV254, 0, 0.25, func(v float64) any { return note.Say("%s 1/cm", quantity.To(quantity.Number(v), 3)) }},
	{jartest.PH, 0.3, 0, func(v float64) any { return quantity.To(quantity.Number(v), 3) }},
}

// spokenOf says a reading of a water.
func spokenOf(k jartest.Key) func(v float64) any {
	for _, x := range apart {
		if x.key == k {
			return x.spoken
		}
	}
	return func(v float64) any { return quantity.To(quantity.Number(v), 3) }
}

// unlike asks about readings of the water that the law does not go by and that lie far from those of its tests, or that no test tells.
func (p *Prediction) unlike() {
	for _, x := range apart {
		v, told := p.Raw[x.key]
		if !told || slices.Contains(p.Model.Terms, x.key) {
			continue
		}
		say := x.spoken
		s, tested := p.Model.Range[x.key]
		label := x.key.Info().Label
		switch {
		case !tested:
			p.Notes.Add(note.New(note.Info, "reading-untested", "none of these tests tells its %s, so that of this water, %s, changes nothing", label, say(v)).Do("write it on the bench sheets"))
		case v < s.Low-x.by-x.share*s.Low || v > s.High+x.by+x.share*s.High:
			p.Unlike = append(p.Unlike, x.key)
			were := note.Say("%s to %s", say(s.Low), say(s.High))
			if s.Low == s.High {
				were = note.Say("%s", say(s.Low))
			}
			p.Notes.Add(note.New(note.Caution, "water-unlike", "the %s of this water is %s, that of the tests was %s: the law does not go by it and may not hold", label, say(v), were).Do("run a jar test of this water before the dose is gone by"))
		}
	}
}

// Age asks about a law whose last test is more than a year old on a day, or still to come.
func (p *Prediction) Age(on month.Date) {
	const year = 365
	var last Test
	for _, t := range p.Model.law.tests {
		if !t.Day.Date.IsZero() && (last.Day.Date.IsZero() || last.Day.Date.Before(t.Day.Date)) {
			last = t
		}
	}
	switch {
	case last.Day.Date.IsZero() || on.IsZero():
		return
	case on.Before(last.Day.Date):
		p.Notes.Add(note.New(note.Caution, "test-to-come", "the last of these tests is of %s, and today is %s: one of the two is not right", last.Day.Date.Spelled(), on.Spelled()).At(last.At).
			Do("look at the day on that sheet, and at the clock of this machine"))
		return
	case last.Day.Date.DaysTo(on) <= year:
		return
	}
	p.Notes.Add(note.New(note.Caution, "tests-old", "the last of these tests is of %s, %s days before %s", last.Day.Date.Spelled(), quantity.To(quantity.Number(last.Day.Date.DaysTo(on)), 4), on.Spelled()).At(last.At).
		Do("test again: water and products change within a year"))
}

// Flags are the names by which a water's readings are told.
var Flags = map[jartest.Key]string{jartest.Turbidity: "raw", jartest.TemperatureKey: "temperature", jartest.AlkalinityKey: "alkalinity", jartest.UV254: "uv254", jartest.PH: "ph"}

// alike reports a test of such water: its turbidity within 15 %, each further reading of the law within 15 % of the tests'
// range of it (a choice of this program).
func (p Prediction) alike(x Test) bool {
	const share = 0.15
	r, ok := x.Raw[jartest.Turbidity]
	t := p.Raw[jartest.Turbidity]
	return ok && r <= t*(1+share) && t <= r*(1+share) && !slices.ContainsFunc(p.Model.Terms, func(k jartest.Key) bool {
		v, told := x.Raw[k]
		s := p.Model.Range[k]
		return !told || math.Abs(v-p.Raw[k]) > share*(s.High-s.Low)
	})
}

// near says where the last test of such water needed more than nine in ten waters like its own should, or more than its jars had.
func (p *Prediction) near(g Group) {
	for _, x := range slices.Backward(g.Tests) {
		r := x.Raw[jartest.Turbidity]
		if p.alike(x) && x.Outcome == curve.StillImproving && x.TestedHigh >= p.Planning.V {
			p.Notes.Add(note.New(note.Caution, "like-water-unreached", "such water, %s at %s, had not cleared at %s", x.Day.Spelled(), quantity.To(quantity.Cloudiness(r), 3), quantity.To(x.TestedHigh, 3)).
				At(x.At).Do("test today's water with more dose"))
			break
		}
	}
	for _, x := range slices.Backward(p.Model.law.tests) {
		if !p.alike(x) {
			continue
		}
		_, most, _ := p.Model.about(x.Raw)
		if d, r := x.Effective.Value, x.Raw[jartest.Turbidity]; d > most {
			p.Notes.Add(note.New(note.Caution, "like-water-needed-more", "the last test of such water, %s at %s, needed %s, more than nine in ten should", x.Day.Spelled(),
				quantity.To(quantity.Cloudiness(r), 3), quantity.To(d, 3)).At(x.At).Do("test today's water"))
		}
		return
	}
}
