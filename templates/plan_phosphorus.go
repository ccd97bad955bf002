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
	o := figure.New(asP("soluble", x.Soluble), asP("total", x.Total.V).If(x.Total.OK), asP("soluble_left", x.Left),
		asP("total_left", x.LeftTotal.V).If(x.LeftTotal.OK),
		asP("consent", x.Consent.V).If(x.Consent.OK))
	o.Put(massRate("load_before", x.Before, 3), massRate("load_after", x.After, 3),
		massRate("consent_load", x.ConsentLoad.V, 3).If(x.ConsentLoad.OK))
	o.Bare(moleRatio("metal_to_p", x.Metals), sure("removal", float64(x.Removal))).Set("from_jars", x.FromJars)
	return o.List("needed", objects(phosphorus.Needs(), func(n phosphorus.Need) *figure.Object {
		return figure.New().Bare(sure("removal", float64(n.Removal)), moleRatio("metal_to_p", n.Ratio))
	}))
}

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
	l.add("Raw water", figure.Say("%s soluble", d.Fig("soluble")).If(x.Total.OK, ", %s in all", d.Fig("total")))
	l.add("Metal to phosphorus", figure.Say("%s mol a mol; usually needed %s", d.Fig("metal_to_p"), figure.And(", ", needed...)))
	l.add("Taken out", figure.Say("%s of the soluble, "+either(x.FromJars, "as the jars of this dose had it", "as that ratio lets expect"),
		d.Fig("removal")))
	l.add("Left", figure.Say("%s"+either(x.LeftTotal.OK, " in all", " soluble; what clings to solids comes on top"), left).
		If(x.Consent.OK, "; the consent is %s", d.Fig("consent")))
	l.add("Load", figure.Say("%s before, %s after", d.Fig("load_before"), d.Fig("load_after")).
		If(x.ConsentLoad.OK, "; the consent is %s", d.Fig("consent_load")))
	l.add("Source", "needed ratios: "+x.Source)
	t.Facts(l)
}
