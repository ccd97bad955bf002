package templates

import (
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// watches reports a plan with animals to look at, which gives something to begin with.
func (p Plan) watches() bool { return p.Watch != nil && !p.Findings.Stopped }

// watchText says what to look at in animals whose water is dosed by hand, and at what to stop.
func (p Plan) watchText(t *Text, d *figure.Object) {
	if !p.watches() {
		return
	}
	t.Carded("Watch the animals")
	t.Say("Aerators on before the first portion. Look before it, and %s after it, and so again after every change of dose or water: pH, oxygen, total ammonia, how they swim and feed, their gills%s.",
		whenWatched(), either(p.Watch.Moults, ", soft shells", ""))
	t.Facts(stopLines(d.Sub("watch"), "start"))
	for _, s := range onStop(p.Watch, "dosing off") {
		t.Item("-", s)
	}
}

// watchCards are the lines to watch, to hang up where the animals are.
func (p Plan) watchCards(o Options) []page.Card {
	if !p.watches() {
		return nil
	}
	return []page.Card{watchCard("the animals", "start", p.Watch, "dosing off", watchData(p.Watch), o)}
}
