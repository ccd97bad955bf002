package templates

import (
	"jarwright/dosing"
	"jarwright/dosing/phosphorus"
	"jarwright/templates/figure"
)

// phosphorusDayData is what the day's metal does to the phosphorus; nothing where that is not known.
func phosphorusDayData(x *dosing.PhosphorusDay) *figure.Object {
	if x == nil || x.Metals <= 0 {
		return nil
	}
	o := figure.New(asP("soluble", x.Soluble).If(!x.OnTotal), asP("total", x.Total.V).If(x.Total.OK), asP("soluble_left", x.Left).If(!x.OnTotal),
		asP("total_left", x.LeftTotal.V).If(x.LeftTotal.OK),
		asP("total_left_low", x.Read.V.Low).If(x.Read.OK), asP("total_left_high", x.Read.V.High).If(x.Read.OK),
		asP("consent", x.Consent.V).If(x.Consent.OK), massRate("consent_allows", x.Allowed.V, 3).If(x.Allowed.OK))
	o.Put(massRate("load_before", x.Before, 3), massRate("load_after", x.After, 3),
		massRate("consent_load", x.ConsentLoad.V, 3).If(x.ConsentLoad.OK))
	o.Bare(moleRatio("metal_to_p", x.Metals), sure("removal", float64(x.Removal))).Set("from_jars", x.FromJars).
		Set("total_from_jars", x.Read.OK).Set("counted_on", either(x.OnTotal, "total phosphorus", "soluble phosphorus"))
	if a := x.Asked.V; x.Asked.OK {
		o.Set("asked", figure.New(figure.Dose("dose", a.Dose.V, 3).If(a.Dose.OK)).
			Bare(worked("removal", float64(a.Removal)*100, "%", 3), moleRatio("metal_to_p", a.Ratio).If(a.Ratio > 0)))
	}
	return o.List("needed", objects(phosphorus.Needs(), func(n phosphorus.Need) *figure.Object {
		return figure.New().Bare(sure("removal", float64(n.Removal)), moleRatio("metal_to_p", n.Ratio))
	}))
}

// solubleAlone is what the usual ratios count.
const solubleAlone = "the soluble phosphorus that the table counts"

// phosphorusDayText writes it, with the consent beside what leaves.
func phosphorusDayText(t *Text, x *dosing.PhosphorusDay, d *figure.Object) {
	if x == nil || x.Metals <= 0 {
		return
	}
	t.Head("Phosphorus")
	var needed []any
	for _, n := range d.Objects("needed") {
		needed = append(needed, figure.Say("%s for %s", n.Fig("metal_to_p"), n.Fig("removal")))
	}
	left := either(x.LeftTotal.OK, d.Fig("total_left"), d.Fig("soluble_left"))
	var l facts
	of := either(x.OnTotal, "total", "soluble")
	l.add("Raw water", figure.Say("").If(!x.OnTotal, "%s soluble", d.Fig("soluble")).If(x.Total.OK && !x.OnTotal, ", ").
		If(x.Total.OK, "%s in all", d.Fig("total")).If(x.OnTotal, "; what of it is soluble is not given"))
	l.add("Metal to phosphorus", figure.Say("%s mol a mol of "+of+" phosphorus in the raw water", d.Fig("metal_to_p")).
		If(x.OnTotal, ", taken for want of the soluble").And("; usually needed %s", figure.And(", ", needed...)).If(x.OnTotal, " of "+solubleAlone))
	l.add("Taken out", figure.Say("%s of the "+of+", "+either(x.FromJars, "as the jars of this dose had it", "as that ratio lets expect"),
		d.Fig("removal")))
	l.add("Left", figure.Say("%s"+either(x.LeftTotal.OK, " in all", " soluble; what clings to solids comes on top"), left).
		If(x.Read.OK, ", as the jars of this dose read it (%s to %s on either side)",
			unitless(d.Fig("total_left_low")), unitless(d.Fig("total_left_high"))).
		If(x.Consent.OK, "; the consent is %s", d.Fig("consent")))
	a := d.Sub("asked")
	l.when(x.Asked.OK, "For the consent", figure.Say(
		"%s of the "+either(x.Total.OK, "total", "soluble")+" phosphorus has to go", a.Fig("removal")).
		If(a.Has("metal_to_p"), "; usually %s mol a mol of that", a.Fig("metal_to_p")).
		If(a.Has("metal_to_p") && x.Total.OK, ", as if it were "+solubleAlone).If(a.Has("dose"), ", %s here", a.Fig("dose")).
		If(!a.Has("metal_to_p"), ", more than the usual ratios reach").
		If(x.Read.OK && a.Has("metal_to_p"), "; what your jars read goes before that"))
	l.add("Load", figure.Say("%s before, %s after", d.Fig("load_before"), d.Fig("load_after")).
		If(x.ConsentLoad.OK, "; the consent is %s", d.Fig("consent_load")).
		If(x.Allowed.OK, "; the consent in mg/L allows %s", d.Fig("consent_allows")))
	l.add("Source", "needed ratios: "+x.Source)
	t.Facts(l)
}
