package curve

import (
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// What a jar test is held to, by common practice (no source).
const (
	// wideStep is how many times the tested dose below the answer the one above it may be: a usual series around a known dose
	// goes up by a third to a half from jar to jar.
	wideStep = 1.5
	// nearBy is how far from the answer, as a factor, a jar still tells of it; fewNear is how many doses should stand there.
	nearBy, fewNear = 2, 3
	// warmed is how far, in C, the jars may lie off the raw water: the bench warms a jar while it stands.
	warmed = 2
)

// good is what a good jar test has; a row speaks where this one lacks it.
var good = []struct {
	code  string
	lacks func(a *analysis, doses []float64) (note.Phrase, bool)
	do    string
}{
	{"no-control-jar", noControl, "leave one jar without chemical, mixed and sampled as the others"},
	{"no-repeat-jar", noRepeat, "give two jars the dose that you expect to choose"},
	{"doses-apart", apart, "put two or three jars between those doses"},
	{"few-jars-near", fewAround, "put at least three doses from half to twice the answer"},
}

// goodWater is what the water of any good jar test has, whatever was varied.
var goodWater = []struct {
	code  string
	lacks func(s jartest.Series) (note.Phrase, bool)
	do    string
}{
	{"raw-temperature-missing", noTemperature, "measure it at the source, and keep the sample as cold as that until it is dosed"},
	{"jars-not-as-cold", otherTemperature, "stand the jars in raw water, or test where the water is"},
}

// WaterLacks lists what the water of a series lacks of a good jar test.
func WaterLacks(s jartest.Series) (l note.List) {
	for _, g := range goodWater {
		if said, lacks := g.lacks(s); lacks {
			l.Add(note.New(note.Info, g.code, "%s", said).Do("%s", g.do))
		}
	}
	return l
}

// lacks lists what this series lacks of a good jar test, beside what notes of the answer say already (see edges).
func (a *analysis) lacks(doses []float64) (l note.List) {
	for _, g := range good {
		if said, lacks := g.lacks(a, doses); lacks {
			l.Add(note.New(note.Info, g.code, "%s", said).Do("%s", g.do))
		}
	}
	return append(l, WaterLacks(a.s)...)
}

func noControl(a *analysis, doses []float64) (note.Phrase, bool) {
	return note.Say("no jar is without chemical, so nobody sees what mixing and standing do by themselves"), len(doses) > 0 && doses[0] > 0
}

func noRepeat(a *analysis, doses []float64) (note.Phrase, bool) {
	used := 0
	for _, j := range a.r.Jars {
		if j.Used {
			used++
		}
	}
	return note.Say("no dose stands in two jars, so how much two jars of one dose differ is taken from other benches"),
		len(doses) > 0 && used == len(doses) && a.opt.Scatter == nil
}

// answerOf is the lowest effective dose where one was found.
func (a *analysis) answerOf() (float64, bool) {
	return float64(a.r.Effective.Value), a.r.Outcome == Found && a.r.Effective.Value > 0
}

// around are the tested doses beside the answer; false without one, or where none is below it.
func (a *analysis) around(doses []float64) (below, above float64, ok bool) {
	at, found := a.answerOf()
	i, _ := slices.BinarySearch(doses, at)
	if !found || i == 0 || i == len(doses) {
		return 0, 0, false
	}
	return doses[i-1], doses[i], true
}

func apart(a *analysis, doses []float64) (note.Phrase, bool) {
	below, above, ok := a.around(doses)
	return note.Say("the answer lies between the doses %s and %s, and no jar stands between these", a.mgl(below), a.mgl(above)),
		ok && below > 0 && above > wideStep*below*(1+1e-9)
}

func fewAround(a *analysis, doses []float64) (note.Phrase, bool) {
	at, ok := a.answerOf()
	near := 0
	for _, d := range doses {
		if d >= at/nearBy && d <= at*nearBy {
			near++
		}
	}
	return note.Say("only %s of the tested doses lie from half to twice the answer", quantity.Number(near)), ok && near < fewNear
}

// temperatures are those of the raw water and of the jars, as far as the sheet has them.
func temperatures(s jartest.Series) (raw, jars float64, hasRaw, hasJars bool) {
	t := s.Raw[jartest.TemperatureKey]
	n := 0.0
	for _, j := range s.Jars {
		if r := j.Readings.Of(jartest.TemperatureKey); r.State == jartest.Number {
			jars, n = jars+r.Value, n+1
		}
	}
	return t.Value, jars / math.Max(n, 1), t.State == jartest.Number, n > 0
}

func noTemperature(s jartest.Series) (note.Phrase, bool) {
	_, _, raw, _ := temperatures(s)
	return note.Say("the temperature of the raw water is not on the sheet: in cold water flocs form and settle more slowly"), !raw
}

func otherTemperature(s jartest.Series) (note.Phrase, bool) {
	raw, jars, hasRaw, hasJars := temperatures(s)
	return note.Say("the jars stood at %s, the raw water at %s", quantity.Temperature(jars), quantity.Temperature(raw)),
		hasRaw && hasJars && math.Abs(jars-raw) > warmed
}
