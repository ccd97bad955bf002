package caution

import (
	"math"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func fixed(v float64, places int) quantity.Rounded {
	return quantity.Places(quantity.Number(v), places)
}

// carbonMass is mg of carbon per mmol.
const carbonMass = 12.011

// AdditionOf is what a dose of a product brings into the water.
func AdditionOf(p product.Product, d quantity.Dose) (water.Addition, error) {
	used, err := p.AlkalinityUsed(d)
	if err != nil {
		return water.Addition{}, err
	}
	carbon, err := p.CarbonAdded(d)
	return water.Addition{Acid: used, Carbonate: quantity.Molarity(float64(carbon) / carbonMass)}, err
}

// addition is what all doses together bring, and whether one of them takes
// alkalinity; false where one is not known.
func (v *reviewer) addition() (sum water.Addition, takes, ok bool) {
	for _, d := range v.s.Doses {
		one, err := AdditionOf(d.Product, d.Dose)
		if err != nil {
			v.skip("alkalinity and pH: " + err.Error())
			return sum, takes, false
		}
		sum, takes = sum.Plus(one), takes || one.Acid > 0
	}
	return sum, takes, true
}

// before gives the raw water's state, as far as two of its amounts are known.
func (v *reviewer) before() (water.State, bool) {
	w := v.s.Water
	c := water.Conditions{Temperature: w.Temperature.Or(quantity.Temperature(v.rule("temperature-assumed").Limit)),
		Salinity: w.Salinity.Or(0), Conductivity: w.Conductivity.Or(0)}.WithIonicStrengthOf(w.Alkalinity.Or(0))
	var s water.State
	var err error
	switch {
	case w.PH.OK && w.Alkalinity.OK:
		s, err = water.FromPHAlkalinity(c, w.PH.V, w.Alkalinity.V)
	case w.Alkalinity.OK && w.CO2.OK:
		s, err = water.FromAlkalinityCO2(c, w.Alkalinity.V, w.CO2.V)
	case w.PH.OK && w.CO2.OK:
		s, err = water.FromPHCO2(c, w.PH.V, w.CO2.V)
	default:
		return s, false
	}
	if err != nil {
		v.skip("pH and carbon dioxide: " + err.Error())
		return s, false
	}
	return s, true
}

// chemistry works out the water after dosing and judges it.
func (v *reviewer) chemistry() {
	w := v.s.Water
	before, hasState := v.before()
	if !w.Alkalinity.OK && !hasState {
		v.skip("alkalinity left, pH and carbon dioxide: the raw water's alkalinity is not given")
		return
	}
	add, takes, ok := v.addition()
	if !ok {
		return
	}
	c := &Chemistry{AlkalinityBefore: w.Alkalinity.V, AlkalinityUsed: add.Acid, Takes: takes, MeasuredPH: w.JarPH, FromJars: w.FromJars}
	if hasState {
		c.AlkalinityBefore = before.Alkalinity
	}
	c.AlkalinityLeft = c.AlkalinityBefore - w.JarAlkalinityUsed.Or(add.Acid)
	c.FreedCO2 = max(0, water.FreedCO2(min(add.Acid, max(c.AlkalinityBefore, 0))))
	v.out.Water = c
	v.alkalinityLeft(c)
	if !hasState {
		if !w.PH.OK && !w.CO2.OK {
			v.skip("pH, carbon dioxide and free ammonia: the raw water's pH is not given")
		}
		return
	}
	c.HasPH = true
	c.Before = before
	c.Closed, c.Open = water.Dose(before, add)
	if !w.Temperature.OK {
		v.say("temperature-assumed", nil, "", note.Place{})
	}
	if w.Salinity.Or(0) > 0 {
		v.say("sea-meter", Words{"above": fixed(float64(before.MeterAbove()), 2)}, "", note.Place{})
	}
	if !c.MeasuredPH.OK && add.Acid != 0 {
		v.say("ph-from-model", nil, "", note.Place{})
	}
	v.pH(c)
	v.carbonDioxide(c)
	v.ammonia(c)
}

// alkalinityLeft judges what the doses leave. Where one of them takes alkalinity, what
// is left after all of them has to do, whether another gives some or not.
func (v *reviewer) alkalinityLeft(c *Chemistry) {
	left := float64(c.AlkalinityLeft)
	uses := c.AlkalinityUsed > 0
	gone := v.rule("alkalinity-gone")
	stops := c.Takes && left < gone.Limit
	words := Words{"before": amount(float64(c.AlkalinityBefore)), "left": amount(left)}
	if words["goes"], words["feed"] = "falls", "feed alkali first"; !uses {
		words["goes"], words["feed"] = "comes only", "feed more alkali"
	}
	v.judge("alkalinity-gone", "", counted(amount(left), gone.Unit), counted(amount(gone.Limit), gone.Unit), stops, words, note.Place{})
	if stops {
		return
	}
	floor, who, source, at := v.alkalinityFloor()
	words["limit"], words["who"], words["source"] = amount(floor), who, source
	v.judge("alkalinity-low", who, counted(amount(left), gone.Unit), counted(amount(floor), gone.Unit), uses && left < floor, words, at)
}

// alkalinityFloor is the highest of what the animals should have, who wants it
// and where that figure comes from.
func (v *reviewer) alkalinityFloor() (floor float64, who, source string, at note.Place) {
	general := v.rule("alkalinity-low")
	floor, who, source = general.Limit, "most waters", general.Source
	for i, a := range v.s.Stock {
		own, from := general.Limit, general.Source
		if r, ok := a.Profile.Range(animal.Alkalinity, a.Stage); ok && r.HasLow {
			own, from = r.Low, r.From()
		}
		if a.AlkalinityLow.OK {
			own, from = float64(a.AlkalinityLow.V), siteItself
		}
		if i == 0 || own > floor {
			floor, who, source, at = own, a.who(), from, a.At
		}
	}
	return floor, who, source, at
}

// siteItself is the source of what the site's keeper stated.
const siteItself = "the site workbook"

// pH judges the treated water's pH.
func (v *reviewer) pH(c *Chemistry) {
	after, start := c.PH(), c.Before.PH
	uses, gives := c.AlkalinityUsed > 0, c.AlkalinityUsed < 0
	words := Words{"before": ph(start), "after": ph(after)}
	low, high := v.rule("ph-too-low"), v.rule("ph-too-high")
	tooLow, tooHigh := uses && float64(after) < low.Limit, gives && float64(after) > high.Limit
	v.judge("ph-too-low", "", note.Say("pH %s", ph(after)), note.Say("pH %s", amount(low.Limit)), tooLow, words, note.Place{})
	v.judge("ph-too-high", "", note.Say("pH %s", ph(after)), note.Say("pH %s", amount(high.Limit)), tooHigh, words, note.Place{})
	if tooLow || tooHigh {
		return
	}
	for _, a := range v.s.Stock {
		r, source := v.phRange(a)
		lo, hi := quantity.PH(r.Low), quantity.PH(r.High)
		v.judge("ph-outside-range", a.who(), note.Say("pH %s", ph(after)), note.Say("%s to %s", ph(lo), ph(hi)), after < lo || after > hi,
			Words{"after": ph(after), "low": amount(r.Low), "high": amount(r.High), "who": a.who(), "source": source}, a.At)
	}
	if v.forAnimals() {
		id := "ph-step"
		if !v.fresh() {
			id = "ph-step-sea"
		}
		step := math.Abs(float64(after - start))
		v.judge(id, "", counted(fixed(step, 2), "pH"), counted(amount(v.rule(id).Limit), "pH"), step > v.rule(id).Limit,
			Words{"step": fixed(step, 2)}, note.Place{})
	}
}

// most is the highest that an animal should have, else a rule's limit, whose source
// is then the rule's.
func (v *reviewer) most(a Animal, q animal.Parameter, id string) (limit float64, source string) {
	if r, ok := a.Profile.Range(q, a.Stage); ok && r.HasHigh {
		return r.High, r.From()
	}
	return v.rule(id).Limit, ""
}

// carbonDioxide judges what acid frees.
func (v *reviewer) carbonDioxide(c *Chemistry) {
	for _, a := range v.s.Stock {
		limit, source := v.most(a, animal.CO2, "co2-high")
		v.judge("co2-high", a.who(), counted(mgL(c.Closed.CO2), "mg/L"), counted(amount(limit), "mg/L"),
			float64(c.Closed.CO2) > limit && c.Closed.CO2 > c.Before.CO2,
			Words{"after": mgL(c.Closed.CO2), "limit": amount(limit), "who": a.who(), "source": source}, a.At)
	}
}

// ammonia judges free ammonia before aeration and after, whichever is more. Only
// a dose that makes it deadly is a stop: a water that is deadly as it comes, or
// that becomes so by aeration alone, is a caution. Both are held against the same
// water without the dose, aerated where that is the worse: what stands there anyway,
// and kills nothing, is a note.
func (v *reviewer) ammonia(c *Chemistry) {
	w := v.s.Water
	if !v.forAnimals() {
		return
	}
	if !w.Ammonia.OK || !w.Temperature.OK {
		v.skip("free ammonia: total ammonia or temperature is not given")
		return
	}
	c.HasNH3 = true
	c.NH3Before, c.NH3Closed, c.NH3Open = c.Before.NH3(w.Ammonia.V), c.Closed.NH3(w.Ammonia.V), c.Open.NH3(w.Ammonia.V)
	c.NH3BeforeOpen = c.Before.Aerated(water.Air).NH3(w.Ammonia.V)
	worst, without, at, aerated := c.NH3Closed, c.NH3Before, c.Closed.PH, ""
	if c.NH3Open > worst {
		worst, without, at, aerated = c.NH3Open, c.NH3BeforeOpen, c.Open.PH, " once aerated"
	}
	if v.fresh() {
		_, chronic := water.AmmoniaCriteria(c.PH(), w.Temperature.V)
		limit := quantity.RoundSig(float64(chronic), 2)
		v.judge("tan-criterion", "", counted(mgL(w.Ammonia.V), "mg/L as N"), counted(amount(limit), "mg/L as N"), float64(w.Ammonia.V) > limit,
			Words{"value": mgL(w.Ammonia.V), "limit": amount(limit), "ph": ph(c.PH()), "temperature": degrees(w.Temperature.V)}, note.Place{})
	}
	for _, a := range v.s.Stock {
		deadly := false
		words := Words{"before": mgL(without), "after": mgL(worst), "ph": note.Say("%s%s", ph(at), aerated), "who": a.who()}
		if r, ok := a.Profile.Range(animal.NH3Lethal, a.Stage); ok {
			words["limit"], words["source"] = amount(r.Low), r.From()
			lethal := quantity.Concentration(r.Low)
			kills := c.NH3Closed >= lethal && c.NH3Before < lethal || c.NH3Open >= lethal && c.NH3BeforeOpen < lethal
			v.judge("nh3-lethal", a.who(), counted(mgL(worst), "mg/L NH3"), counted(amount(r.Low), "mg/L NH3"), kills, words, a.At)
			if kills {
				continue
			}
			deadly = worst >= lethal
		}
		limit, source := v.most(a, animal.NH3, "nh3-high")
		words["limit"], words["source"] = amount(limit), source
		high := float64(worst) > limit
		raised := deadly || worst > without*raises
		v.judge("nh3-high", a.who(), counted(mgL(worst), "mg/L NH3"), counted(amount(limit), "mg/L NH3"), high && raised, words, a.At)
		if high && !raised {
			v.say("nh3-stands", words, a.who(), a.At)
		}
	}
}

// raises is how many times over a dose must bring free ammonia up to be said to raise it.
const raises = 1.02
