package month

import (
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// byPast says which raw water each day of the month is counted at, of a chemical whose dose comes from past tests.
func (a *adapter) byPast(f dosing.FeedInput, p *Plan) {
	if f.Past == nil {
		return
	}
	w := a.site.Water
	said := note.Say("%s by past tests: usual days are counted at %s, for water of %s", f.Name, f.Dose.Concentration, f.Past.Raw)
	for _, x := range []struct {
		class string
		ntu   quantity.Known[quantity.Cloudiness]
	}{{site.ClearWater, w.ClearTurbidity}, {site.StormWater, w.StormTurbidity}} {
		if x.ntu.OK && p.counts(x.class) {
			said = said.And("; %s days at %s, for %s", x.class, f.DoseIn(x.class).Concentration, x.ntu.V)
		}
	}
	a.notes.Add(note.New(note.Info, "past-waters", "%s", said).At(f.DoseAt))
}

// counts reports that the month has days of water of a class.
func (p Plan) counts(class string) bool {
	return slices.ContainsFunc(p.Classes, func(c Class) bool { return c.Name == class && c.Share > 0 }) ||
		slices.ContainsFunc(p.Calendar.Exceptions, func(e Exception) bool { return e.Class == class && MonthOf(e.Date) == p.Calendar.Month })
}
