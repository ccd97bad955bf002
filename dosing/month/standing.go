package month

import (
	"maps"
	"math"
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// StandingOn gives a site whose water stands as its calendar has it on a date: in the raw water that the date's row tells, with the
// dose of that. A day on which nothing is done is a fault that says so; a date without a row of its own is told.
func StandingOn(s site.Site, g dosing.Given, on Date) (site.Site, dosing.Given, error) {
	if len(s.Calendar) == 0 {
		return s, g, nil
	}
	s.Notes = slices.Clone(s.Notes)
	row := rowOf(s, on)
	switch {
	case row == nil:
		s.Notes.Add(note.New(note.Info, "date-without-row", "the calendar has no row for %s: the usual day is planned", on))
		return s, g, nil
	case closed(row):
		return s, g, nothingRuns(on, row, "a day on which nothing is done")
	case !row.Water.OK || row.Water.V == site.UsualWater:
		return s, g, nil
	}
	s.Chemicals, g.Bench = slices.Clone(s.Chemicals), maps.Clone(g.Bench)
	for i := range s.Chemicals {
		c := &s.Chemicals[i]
		own := map[string]quantity.Known[quantity.Concentration]{site.ClearWater: c.Clear, site.StormWater: c.Storm}[row.Water.V]
		if own.OK && !c.Hand.OK {
			c.Dose, c.Written, c.DoseLow.OK, c.DoseHigh.OK = own, "", false, false
			delete(g.Bench, i)
		}
	}
	if t := dosing.TurbidityOf(s, row.Water.V); t.OK {
		s.Water.Turbidity = t
	}
	s.Notes.Add(note.New(note.Info, "date-row", "%s is planned by its row of the calendar: %s water", on, row.Water.V).At(row.At))
	return s, g, nil
}

// closed reports a row of a day on which nothing is done.
func closed(row *site.Day) bool { return row != nil && row.Runs.OK && !row.Runs.V }

// ClosedGoes are cautions of the goes that fall on a day on which the calendar says that nothing is done, where the first
// day is that date.
func ClosedGoes(s site.Site, p dosing.Standing, on Date) (out note.List) {
	for _, x := range p.Ponds {
		for _, g := range x.Goes {
			day := on.AddDays(int(math.Floor(float64(g.At) / 24)))
			if row := rowOf(s, day); day != on && closed(row) && !x.Review.Stopped {
				n := note.New(note.Caution, "go-on-closed-day", "%s: go %d of %s falls on %s, on which the calendar says that nothing is done%s", x.Name, g.Number, x.Goods[g.Feed].Name, day,
					note.Say("").If(row.Note.OK, " (%s)", row.Note.V)).At(row.At).Do("begin on another day, or give the goes fewer hours between them")
				if !slices.ContainsFunc(out, func(o note.Note) bool { return o.Message == n.Message }) {
					out.Add(n)
				}
			}
		}
	}
	return out
}
