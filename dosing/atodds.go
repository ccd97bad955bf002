package dosing

import (
	"math"
	"slices"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// atOdds is what a site gives of its chosen jar where the jars of the bench sheet read something else at the dose.
type atOdds struct {
	Typed float64
	At    note.Place
	Jars  HeardReading
}

// chosenJar are the readings of the chosen jar that a site may give, and how far one may lie outside what the jars beside the dose
// read: what a meter is good for, and what is rounded (common practice, no source).
var chosenJar = []struct {
	key       jartest.Key
	by, share float64
	of        func(site.Water) (float64, note.Place, bool)
}{
	{jartest.PH, 0.1, 0, typed(func(w site.Water) quantity.Known[quantity.PH] { return w.JarPH })},
	{jartest.ResidualAl, 0, 0.05, typed(func(w site.Water) quantity.Known[quantity.Concentration] { return w.ResidualAl })},
	{jartest.ResidualFe, 0, 0.05, typed(func(w site.Water) quantity.Known[quantity.Concentration] { return w.ResidualFe })},
}

func typed[T ~float64](field func(site.Water) quantity.Known[T]) func(site.Water) (float64, note.Place, bool) {
	return func(w site.Water) (float64, note.Place, bool) { k := field(w); return float64(k.V), k.At, k.OK }
}

// atOdds lists the readings of the chosen jar that the jars contradict. What was read in other water, or without a chemical of the plan
// that changes the pH, contradicts nothing.
func (h Heard) atOdds(w site.Water) (out []atOdds) {
	for _, x := range chosenJar {
		v, at, ok := x.of(w)
		i := slices.IndexFunc(h.Readings, func(r HeardReading) bool { return r.Key == x.key })
		if !ok || i < 0 || h.Readings[i].SetAside.String() != "" || x.key == jartest.PH && !h.Judged {
			continue
		}
		r := h.Readings[i]
		near := x.by + x.share*r.V
		if v > r.High+near || v < r.Low-near && !r.Below {
			out = append(out, atOdds{v, at, r})
		}
	}
	return out
}

// worsePH is which of the pH that is typed and that of the jars is farther from what the raw water has: the dose does more to it.
func worsePH(typed, jars, raw quantity.PH) (worse quantity.PH, ofJars bool) {
	if math.Abs(float64(jars-raw)) > math.Abs(float64(typed-raw)) {
		return jars, true
	}
	return typed, false
}

// contradicted says which readings of the chosen jar the jars of a chemical contradict.
func (r Running) contradicted() (out note.List) {
	for _, f := range r.Feeds {
		h, ok := f.Heard(r.Site, f.Dose, r.Feeds)
		if !ok {
			continue
		}
		for _, o := range h.atOdds(r.Site.Water) {
			read := note.Say("%s", spokenReading(o.Jars.Key, o.Jars.V))
			if o.Jars.Low != o.Jars.High {
				read = read.And(" (%s to %s)", spokenReading(o.Jars.Key, o.Jars.Low), spokenReading(o.Jars.Key, o.Jars.High))
			}
			out.Add(note.New(note.Caution, "jar-at-odds", "%s: the site gives %s of the chosen jar as %s, but at the planned dose the jars of the bench sheet read %s: the worse of the two is judged",
				f.Name, o.Jars.Key.Info().Label, spokenReading(o.Jars.Key, o.Typed), read).At(o.At).
				Do("read the jar of the planned dose again, and take out the figure that is wrong").From(ownBounds))
		}
	}
	return out
}
