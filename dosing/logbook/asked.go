package logbook

import (
	"math"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// asked is a dose that past tests ask of the water since a reading of a chart, while the pump feeds what it did.
type asked struct {
	since         int // the first such reading
	size          quantity.Fraction
	from, to, fed quantity.Concentration
}

// asksAnew finds that the water moved what is planned, and not the pump what is fed: of the two parts of a move of the one against the
// other, that of the plan is the greater, and the feed is as before. A dose that never was as planned is held against itself first.
func (j Judged) asksAnew(c Chart) (a asked, ok bool) {
	if c.What != OfDose || c.Own || !c.Off || j.Plan.Law == nil {
		return a, false
	}
	if c.Since < fewestMoved {
		own := Chart{What: c.What, Own: true, Days: c.Days, Ratio: slices.Clone(c.Ratio)}
		own.First = j.first(own)
		if own.run(j.center(&own)); !own.Off {
			return a, false
		}
		c = own
	}
	wasFed, wasAsked := j.feeds(c.Days[:c.Since])
	fed, planned := j.feeds(c.Days[c.Since:])
	if !(wasFed > 0 && fed > 0 && wasAsked > 0 && planned > 0) {
		return a, false
	}
	ofPlan, ofFeed := math.Log(float64(planned/wasAsked)), math.Log(float64(fed/wasFed))
	a = asked{since: c.Since, size: c.Size(), from: wasAsked, to: planned, fed: fed}
	return a, ofPlan/(ofPlan-ofFeed) > 0.5 && math.Abs(ofFeed) < asBefore
}

// says is what the water asks, and what it gets.
func (a asked) says() note.Phrase {
	return note.Say("the water asks %s by past tests in place of %s, and the pump still feeds %s", quantity.To(a.to, 3), quantity.To(a.from, 3), quantity.To(a.fed, 3))
}

// feeds is the product fed over some days by their water, and what was planned of it.
func (j Judged) feeds(days []int) (fed, planned quantity.Concentration) {
	water := 0.0
	for _, i := range days {
		if d := j.Days[i]; d.Fed.OK && d.Planned.OK {
			w := float64(d.Gone.V)
			water += w
			fed, planned = fed+d.Fed.V*quantity.Concentration(w), planned+d.Planned.V*quantity.Concentration(w)
		}
	}
	if water <= 0 {
		return 0, 0
	}
	return fed / quantity.Concentration(water), planned / quantity.Concentration(water)
}
