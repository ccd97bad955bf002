package dosing

import (
	"cmp"
	"math"
	"slices"

	"jarwright/dosing/flow"
	"jarwright/dosing/mixing"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Asked lists what every command asks about in the figures of a site: values that are
// not usual by themselves, and figures that do not go together, by the day where it
// can be planned.
func Asked(s site.Site, g Given) note.List {
	out := ofItself(s)
	in, err := FromSite(s, g)
	if err == nil {
		var p Plan
		if p, err = Make(in); err == nil {
			return append(out, p.Slips(s, true)...)
		}
	}
	if slices.ContainsFunc(out, AsksFigure) {
		return out
	}
	return append(out, crossed(s)...)
}

// ofItself lists what was noted when the site was read, whether it is still the example, and what no row of it names.
func ofItself(s site.Site) note.List {
	out := slices.Clone(s.Notes)
	if s.Place.Examples.OK && s.Place.Examples.V {
		out.Add(note.New(note.Caution, "example-values", "the site still says that it holds example values").At(s.Place.Examples.At).
			Do(`put your own figures in, then change this to "no"`))
	}
	if len(s.Ponds) > 0 && !IsStanding(s) {
		out.Add(note.New(note.Caution, "ponds-left-out", "%d of Ponds are described, and the water of this site is not said to stand: they are left out", len(s.Ponds)).At(s.Ponds[0].At).
			Do(`write "standing" under water passes to have them treated by hand`))
	}
	return slices.Concat(out, unnamed(s), otherSlips(s), otherCurrency(s))
}

// crossed asks about figures of a site that do not go together, whatever is planned.
func crossed(s site.Site) (out note.List) {
	for _, c := range crosses {
		for _, x := range c.of(s) {
			if c.outside(x.value) {
				out.Add(c.asks(x))
			}
		}
	}
	return append(out, noShift(s)...)
}

// longShift is the longest shift over midnight that begins in the morning and is not asked about: who is there from eight till five
// means the afternoon (common practice, no source).
const longShift = 16

// noShift asks about a shift that ends when it begins; from midnight till midnight is the whole day. It asks too whether a
// morning is meant where the shift would last until then.
func noShift(s site.Site) note.List {
	from, till := s.Place.From, s.Place.Till
	if from.OK && till.OK && till.V > 0 && till.V < from.V && from.V <= 12 && till.V+24-from.V > longShift {
		return note.List{note.New(note.Caution, "long-shift", "somebody is there from %s till %s the morning after, as it stands: or is %s meant?", flow.Clock(from.V), flow.Clock(till.V), flow.Clock(till.V+12)).
			At(till.At).Do("write times from 00:00 to 24:00")}
	}
	if !from.OK || !till.OK || from.V != till.V || from.V == 0 {
		return nil
	}
	return note.List{note.New(note.Caution, "no-shift", "somebody is there from %s till %s: is that round the clock, as is taken here, or is one of them wrong?",
		flow.Clock(from.V), flow.Clock(till.V)).At(till.At).Do("leave both empty where somebody is there round the clock")}
}

// cross is what a proportion of figures on any sheets usually lies between.
type cross struct {
	apartRule
	of func(site.Site) []proportion
}

// crosses is the table of them. All bounds are common practice, without a source, and wide.
var crosses = []cross{
	{apartRule{low: 0.1, high: 1000, look: "the tank's volume and the flow"}, func(s site.Site) []proportion {
		t, ok := TankToClean(s)
		if !ok || !s.Solids.TankStop.OK || !s.Flow.Average.OK {
			return nil
		}
		turn := mixing.Stay(t.Volume.V, s.Flow.Average.V)
		return []proportion{{float64(turn), note.Say("%s through the tank to clean up, %s, is a turnover in %s", s.Flow.Average.V, t.Volume.V, turn), t.Volume.At}}
	}},
	{apartRule{low: 0.02, high: 3000, look: "the water in the system and the flow"}, func(s site.Site) []proportion {
		w := s.Water.System
		if !w.OK || !s.Flow.Average.OK {
			return nil
		}
		turn := mixing.Stay(w.V, s.Flow.Average.V)
		return []proportion{{float64(turn), note.Say("%s of a system of %s is a turnover in %s", s.Flow.Average.V, w.V, turn), w.At}}
	}},
	{apartRule{high: 4, look: "the feed eaten and the water of the animals"}, func(s site.Site) []proportion {
		w := s.Water.System.Or(tanksOfAnimals(s))
		var fed quantity.MassRate
		var at note.Place
		for _, a := range s.Animals {
			if fed += a.Feed.V; a.Feed.OK {
				at = a.Feed.At
			}
		}
		if fed <= 0 || w <= 0 {
			return nil
		}
		per := fed.In("kg/d") / w.In("m3")
		return []proportion{{per, note.Say("%s of feed in %s of water is %s kg/m3 a day", fed, w, quantity.Number(per)), at}}
	}},
	{apartRule{high: 8, look: "the water in the system and the tanks' volumes"}, func(s site.Site) []proportion {
		w, tanks := s.Water.System, tanksOfAnimals(s)
		if !w.OK || tanks <= 0 {
			return nil
		}
		times := float64(w.V / tanks)
		return []proportion{{times, note.Say("water in the system, %s, is %s times that of the tanks of animals, %s", w.V, quantity.Number(times), tanks), w.At}}
	}},
	{apartRule{low: 0.95, high: math.Inf(1), look: "the water in the system and the tank's volume: the water of a loop is that of its tanks and pipes"}, func(s site.Site) []proportion {
		w := s.Water.System
		t, ok := TankToClean(s)
		if !ok || !w.OK || !s.Solids.TankStop.OK {
			return nil
		}
		times := float64(w.V / t.Volume.V)
		return []proportion{{times, note.Say("water in the system, %s, is %s times the tank to clean up, %s", w.V, quantity.Number(times), t.Volume.V), w.At}}
	}},
	{apartRule{high: 15, look: "the total ammonia and its unit"}, func(s site.Site) []proportion {
		if a := s.Water.TAN; a.OK && s.Place.Purpose.V == site.ForAnimals {
			return []proportion{{a.V.In("mg/L"), note.Say("total ammonia of %s as N in water of animals", a.V), a.At}}
		}
		return nil
	}},
	{apartRule{high: 5, look: "the flow of that hour"}, func(s site.Site) []proportion { return oddHour(s.Flow.ByHour) }},
	{apartRule{low: 0.3, high: 3, look: "the feed per turn, the knob at full and the largest rate"}, func(s site.Site) (out []proportion) {
		for _, p := range s.Pumps {
			if !p.PerTurn.OK || !p.Max.OK || p.Scale.V.Unit != "rpm" {
				continue
			}
			at := quantity.FeedRate(p.PerTurn.V.In("mL") * p.Scale.V.V)
			out = append(out, proportion{float64(at / p.Max.V), note.Say("%s: %s a turn at %s rpm is %s, and its largest rate is stated as %s",
				p.Name.V, p.PerTurn.V, quantity.Number(p.Scale.V.V), at, p.Max.V), p.PerTurn.At})
		}
		return out
	}},
	{apartRule{low: 0.2, high: 3, look: "the readings, their units and the largest rate"}, func(s site.Site) (out []proportion) {
		for _, p := range s.Pumps {
			list, err := ReadingsOf(s.Readings(p.Name.V), p.Scale)
			if err != nil || len(list) == 0 || !p.Max.OK {
				continue
			}
			top := list[0]
			for _, r := range list {
				if r.Rate > top.Rate {
					top = r
				}
			}
			full := p.Max.V * quantity.FeedRate(top.Position.Setting) / 100 // what the plate gives there
			if top.HasStroke {
				full *= quantity.FeedRate(top.Position.Stroke) / 100
			}
			if full <= 0 {
				continue
			}
			out = append(out, proportion{float64(top.Rate / full), note.Say("%s: the drawdown gave %s at %s, and its largest rate is stated as %s",
				p.Name.V, top.Rate, top.Position.Setting, p.Max.V), p.Max.At})
		}
		return out
	}},
	{apartRule{low: 0.25, high: 4, look: "volume, time and the knobs of that reading"}, func(s site.Site) (out []proportion) {
		for _, p := range s.Pumps {
			if list, err := ReadingsOf(s.Readings(p.Name.V), p.Scale); err == nil {
				out = append(out, oddReadings(p.Name.V, list)...)
			}
		}
		return out
	}},
	{apartRule{high: 6, look: "how often is skimmed, and its unit"}, func(s site.Site) []proportion {
		every := s.Solids.SkimEvery
		if !every.OK || !Floats(s) {
			return nil
		}
		return []proportion{{float64(every.V), note.Say("the float is skimmed every %s, and falls back into the water before", every.V), every.At}}
	}},
	{apartRule{low: 0.2, high: 15, look: "suspended solids and turbidity"}, func(s site.Site) []proportion {
		w := s.Water
		if !w.TSS.OK || w.Turbidity.V <= 0 {
			return nil
		}
		return []proportion{{float64(w.TSS.V) / float64(w.Turbidity.V), note.Say("suspended solids of %s at %s", w.TSS.V, w.Turbidity.V), w.TSS.At}}
	}},
	{apartRule{low: 0.3, high: 3, look: "salinity and conductivity"}, func(s site.Site) []proportion {
		w := s.Water
		if w.Salinity.V < 1 || !w.Conductivity.OK { // of thinner water other salts decide
			return nil
		}
		const perSalt = 1600 // uS/cm to a g/kg, between brackish and sea water (from memory)
		return []proportion{{w.Conductivity.V.In("uS/cm") / perSalt / w.Salinity.V.In("g/kg"),
			note.Say("a conductivity of %s at a salinity of %s", w.Conductivity.V, w.Salinity.V), w.Conductivity.At}}
	}},
	{apartRule{low: 0.5, high: 50000, look: "the power drawn and the flow"}, func(s site.Site) []proportion {
		if !s.Flow.Power.OK || s.Flow.Average.V <= 0 {
			return nil
		}
		per := float64(s.Flow.Power.V) / float64(s.Flow.Average.V) // Wh/m3
		return []proportion{{per, note.Say("%s for %s", s.Flow.Power.V, s.Flow.Average.V), s.Flow.Power.At}}
	}},
	{apartRule{low: 0.03, high: 1, look: "the price of electricity and its unit"}, charged(site.PriceElectricity, "kWh")},
	{apartRule{low: 0.05, high: 15, look: "the price of water and its unit"}, charged(site.PriceWater, "m3")},
	{apartRule{low: 2, high: 250, look: disposalLook}, charged(site.PriceDisposal, "m3")},
	{apartRule{low: 2, high: 250, look: disposalLook}, charged(site.PriceDisposal, "t")},
	{apartRule{low: 40, high: 2500, look: disposalLook}, charged(site.PriceDisposal, "t dry")},
	{apartRule{low: 0.04, high: 2.5, look: disposalLook}, charged(site.PriceDisposal, "kg dry")},
}

const disposalLook = "the price of disposal and its unit"

// charged is a price of what is no chemical, in a currency of which a unit buys about the same.
func charged(name, per string) func(site.Site) []proportion {
	return func(s site.Site) []proportion {
		row, ok := priceRow(s, name)
		p := row.Price.V
		if bulk, volume := p.PerM3(); volume && per == "m3" {
			p = bulk
		}
		if !ok || p.Per != per || !product.HardMoney(p.Currency) {
			return nil
		}
		return []proportion{{p.Amount, note.Say("the price of %s is %s", name, row.Price.V), row.Price.At}}
	}
}

// leastKnob is the share of full speed, or of stroke, below which a pump's feed may fall away from its line.
const leastKnob = 20

// oddReadings holds each drawdown of a pump against the others: what it gave for its speed and stroke, over the median of all.
func oddReadings(name string, list []pump.Reading) (out []proportion) {
	var per []float64
	list = slices.DeleteFunc(list, func(r pump.Reading) bool {
		return r.Position.Setting < leastKnob || r.HasStroke && r.Position.Stroke < leastKnob || r.Rate <= 0
	})
	for _, r := range list {
		v := float64(r.Rate) / float64(r.Position.Setting)
		if r.HasStroke {
			v /= float64(r.Position.Stroke) / 100
		}
		per = append(per, v)
	}
	if few := 3; len(per) < few {
		return nil
	}
	sorted := slices.Sorted(slices.Values(per))
	median := sorted[len(sorted)/2]
	for i, r := range list {
		stands := note.Say("%s", r.Position.Setting).If(r.HasStroke, " and stroke %s", r.Position.Stroke)
		out = append(out, proportion{per[i] / median, note.Say("%s: the drawdown gave %s at %s, %s times what the other readings let expect", name, r.Rate, stands,
			quantity.Number(per[i]/median)), r.At})
	}
	return out
}

// tanksOfAnimals is the volume of all of them.
func tanksOfAnimals(s site.Site) (out quantity.Volume) {
	for _, t := range s.Tanks {
		if t.Use.V == site.TankAnimals {
			out += t.Volume.V
		}
	}
	return out
}

// oddHour holds the largest and the least flow of a table against those of all other hours that run.
func oddHour(hours [24]quantity.Known[quantity.Flow]) (out []proportion) {
	var run []int
	for h, q := range hours {
		if q.V > 0 {
			run = append(run, h)
		}
	}
	if few := 4; len(run) < few {
		return nil
	}
	slices.SortStableFunc(run, func(a, b int) int { return cmp.Compare(hours[a].V, hours[b].V) })
	odd := func(hour, next int, far string) {
		q, other := hours[hour], hours[next].V
		out = append(out, proportion{float64(max(q.V, other) / min(q.V, other)),
			note.Say("the hour from %s has %s, and no other has "+far+" than %s", flow.Clock(quantity.Time(hour)), q.V, other), q.At})
	}
	odd(run[0], run[1], "less")
	odd(run[len(run)-1], run[len(run)-2], "more")
	return out
}

// TankToClean is the tank that a site has cleaned up: the one it names, else the first of animals.
func TankToClean(s site.Site) (site.Tank, bool) {
	if t, ok := s.Tank(s.Solids.Tank.V); ok {
		return t, true
	}
	i := slices.IndexFunc(s.Tanks, func(t site.Tank) bool { return t.Use.V == site.TankAnimals })
	if i < 0 {
		return site.Tank{}, false
	}
	return s.Tanks[i], true
}
