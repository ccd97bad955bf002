package dosing

import (
	"strings"
	"time"

	"jarwright/dosing/animal"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Situation is what the cautions look at on a planned day: the doses of the plan
// with the water, animals, loop and acceptances of the site. Today decides
// whether an acceptance still holds; the zero time takes any.
func (p Plan) Situation(s site.Site, today time.Time) caution.Situation {
	c := caution.Situation{Flow: quantity.Some(p.Day.Average()), Hours: p.Running}
	Surroundings(&c, s, today)
	for _, f := range p.Feeds {
		d := caution.Dose{Name: f.Name, Product: f.Stock.Product, Dose: f.Dose, At: f.At}
		for _, x := range s.Chemicals {
			if x.Name.V == f.Name {
				d.Capture, d.Monomer = x.Capture, x.Monomer
			}
		}
		c.Doses = append(c.Doses, d)
	}
	return c
}

// belowStop keeps an advised dose clear of the one that stops a plan.
const belowStop = 0.99

// PolymerCeiling gives the most of a site's polymer, counted on that basis, that
// its animals allow, and why; false where nothing limits it. The flow of a loop is
// the average of the sheet Flow.
func PolymerCeiling(s site.Site, row site.Chemical, basis quantity.Basis, catalogue product.Catalogue, today time.Time) (quantity.Concentration, string, bool) {
	p, _, err := ProductOf(row, basis, catalogue)
	if err != nil {
		return 0, "", false
	}
	c := caution.Situation{Flow: s.Flow.Average, Hours: s.Flow.Hours.V}
	Surroundings(&c, s, today)
	most, why, ok := c.PolymerCeiling(caution.Dose{Name: row.Name.V, Product: p, Dose: quantity.Dose{Basis: basis}, Capture: row.Capture, At: row.At})
	return most * belowStop, why, ok
}

// Surroundings fills in what a site says of water, animals, loop, other chemicals
// and acceptances.
func Surroundings(c *caution.Situation, s site.Site, today time.Time) {
	w := s.Water
	c.Purpose = caution.Purpose(s.Place.Purpose.V)
	c.Today = today
	c.Water = caution.Water{
		Temperature: w.Temperature, PH: w.PH, Alkalinity: w.Alkalinity, CO2: w.CO2, Hardness: w.Hardness,
		Salinity: w.Salinity, Conductivity: w.Conductivity, DOC: w.DOC, Ammonia: w.TAN, JarPH: w.JarPH,
		ResidualAl: w.ResidualAl, ResidualFe: w.ResidualFe, Floor: w.AlkFloor, Hold: w.PHTarget,
		Turbidity: quantity.Known[float64]{V: float64(w.Turbidity.V), OK: w.Turbidity.OK},
	}
	if s.Place.Passes.V == site.Recirculating || s.Place.Passes.V == site.Batch {
		c.Loop = &caution.Loop{Volume: w.System.V}
		if w.Exchange.OK && w.System.OK {
			c.Loop.Exchange = quantity.Some(quantity.Flow(float64(w.Exchange.V) * w.System.V.In("m3") / 24))
		}
	}
	for _, a := range s.Animals {
		if a.Reached.V == site.ReachedNever {
			continue
		}
		x := caution.Animal{Name: a.Name.V, PHLow: a.PHLow, PHHigh: a.PHHigh, AlkalinityLow: a.AlkLow, At: a.At}
		if x.At.Cell == "" {
			x.At = a.Name.At
		}
		species := a.Species.V
		if species == "" {
			species = a.Name.V
		}
		if profile, err := animal.Find(species); err == nil {
			x.Profile = profile
		}
		if !strings.Contains(strings.ToLower(x.Name), strings.ToLower(species)) {
			x.Name = strings.TrimSpace(x.Name + " (" + species + ")")
		}
		c.Stock = append(c.Stock, x)
	}
	c.Also = alsoKept(s)
	for _, a := range s.Accepted {
		x := caution.Acceptance{Code: a.Code.V, Chemical: a.Chemical.V, By: a.By.V, Why: a.Reason.V, Date: a.Date.V, Until: a.Until.V, At: a.At}
		if x.At.Cell == "" {
			x.At = a.Code.At
		}
		c.Accepted = append(c.Accepted, x)
	}
}

// alsoKept lists the other chemicals of the site.
func alsoKept(s site.Site) []string {
	var out []string
	for _, name := range strings.FieldsFunc(s.Place.Stored.V, func(r rune) bool { return r == ';' || r == ',' }) {
		if name = strings.TrimSpace(name); name != "" {
			out = append(out, name)
		}
	}
	return out
}

// Buying is [caution.Buying] for the chemicals of a site. A chemical that cannot
// be made out is left to those who need its figures.
func Buying(s site.Site, catalogue product.Catalogue) note.List {
	var list []product.Product
	for _, c := range s.Chemicals {
		if p, _, err := ProductOf(c, c.Basis.V, catalogue); err == nil {
			list = append(list, p)
		}
	}
	return caution.Buying(list, alsoKept(s))
}

// Withheld gives the plan without anything that a pump could be set by: rates,
// settings, batches and the hour table. Doses and the day's use stay, because
// they say what the stop is about.
func (p Plan) Withheld() Plan {
	p.Feeds = append([]Feed(nil), p.Feeds...)
	for i := range p.Feeds {
		f := &p.Feeds[i]
		f.Fed, f.Setting, f.Range, f.Batches, f.Every, f.Working = false, nil, Range{}, nil, 0, nil
		f.Rate, f.Least, f.Peak, f.StockUse, f.Lasts, f.HasEmpty = 0, 0, 0, 0, 0, false
		f.Notes = notOfPumps(f.Notes)
	}
	p.Notes = notOfPumps(p.Notes)
	p.Tasks, p.Hours = nil, nil
	return p
}

// notOfPumps leaves out what speaks of rates and knobs.
func notOfPumps(l note.List) note.List {
	var kept note.List
	for _, n := range l {
		about := strings.Contains(n.Message+n.Remedy, "mL/min") || strings.Contains(n.Message+n.Remedy, "setting")
		for _, start := range []string{"pump-", "feed-too-", "range-too-", "knob-", "line-", "drawdown-", "outside-drawdown", "not-calibrated", "recalibrate", "check-", "speed-"} {
			about = about || strings.HasPrefix(n.Code, start)
		}
		if !about {
			kept.Add(n)
		}
	}
	return kept
}
