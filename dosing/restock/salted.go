package restock

import (
	"time"

	"jarwright/dosing"
	"jarwright/dosing/animal"
	"jarwright/dosing/caution"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// salted is the least salinity at which water is no longer fresh (common practice, no source).
const salted quantity.Salinity = 1

// lives takes what the clean water has to be like beside what is left in it: of the salinity that the animals live in, and that some of
// them moult.
func (a *Answer) lives(s site.Site, today time.Time) {
	var around caution.Situation
	dosing.Surroundings(&around, s, today)
	a.Salinity, a.Moults = s.Water.Salinity, caution.Moulting(around.Stock)
	here := note.Say("").If(a.Salinity.OK, "the water here has %s", a.Salinity.V).If(!a.Salinity.OK, "the salinity of the water here is not given")
	says, needed := here, false
	for _, x := range around.Stock {
		low, high, from := x.Profile.Water.Low, x.Profile.Water.High, "by the kind of water that they are kept in"
		if r, ok := x.Profile.Range(animal.Salinity, x.Stage); ok && r.HasLow {
			low, high, from = r.Low, r.High, r.From()
		}
		if low > 0 {
			needed = true
			says = says.And("; %s live from %s", x.Name, quantity.Salinity(low)).If(high > low, " to %s", quantity.Salinity(high)).And(" (%s)", from)
		}
	}
	a.Salty = needed || a.Salinity.V >= salted
	level, harm := note.Info, "is a shock to what comes back"
	if needed {
		level, harm = note.Caution, "harms what comes back, and fresh water kills it"
	}
	if a.Salty {
		a.Notes.Add(note.New(level, "restock-salinity", "clean water of another salinity than the animals come from "+harm+": %s", says).At(s.Water.Salinity.At).
			Do("measure the salinity of the clean water before it is let in, and mix it to that of theirs"))
	}
}
