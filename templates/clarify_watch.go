package templates

import (
	"jarwright/dosing/clarify"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// stopRun is what is stopped first where the animals of a tank that is cleaned up pass a line.
func (r ClarifyReport) stopRun() string {
	return either(len(r.Tank().Chemicals) > 0, "dosing off", "the unit off")
}

// watch says what to look at in the animals that stand in the tank, and at what to stop.
func (r ClarifyReport) watch(t *Text, d *figure.Object) {
	if r.Watch == nil || r.Stopped {
		return
	}
	t.Carded("Watch the animals")
	t.Say("Aerators on before the start. Look before it, and %s after it%s: pH, oxygen, total ammonia, nitrite, how they swim and feed, their gills%s.", whenWatched(),
		either(r.Hold != nil && r.Outcome != clarify.NotHeld, ", then every day", ""), either(r.Watch.Moults, ", soft shells", ""))
	t.Facts(stopLines(d.Sub("watch"), "start"))
	for _, s := range onStop(r.Watch, r.stopRun()) {
		t.Item("-", s)
	}
}

// watchCards are the lines to watch of the animals beside the tank.
func (r ClarifyReport) watchCards(o Options) []page.Card {
	if r.Watch == nil || r.Stopped {
		return nil
	}
	c := watchCard(r.tank(), "start", r.Watch, r.stopRun(), watchData(r.Watch), o)
	c.Place, c.When, c.Ask = r.Site, dated(o.Date), ask(r.Keeper)
	return []page.Card{c}
}
