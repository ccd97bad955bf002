package templates

import (
	"jarwright/dosing"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// heardData is what the jars say of a planned dose.
func heardData(h *dosing.Heard) *figure.Object {
	if h == nil {
		return nil
	}
	o := figure.New(figure.Dose("dose", h.Dose, 4)).Word("series", h.Series)
	o.List("readings", objects(h.Readings, func(r dosing.HeardReading) *figure.Object {
		return figure.New(heardReading("value", r.Key, r.V), heardReading("low", r.Key, r.Low), heardReading("high", r.Key, r.High)).
			Set("reading", string(r.Key)).Phrase("set_aside", r.SetAside)
	}))
	o.List("water", objects(h.Waters, func(w dosing.WaterBeside) *figure.Object {
		return figure.New(heardReading("bench", w.Key, w.Bench), heardReading("site", w.Key, w.Site)).Set("reading", string(w.Key)).Set("differs", w.Differs)
	}))
	o.Put(suvaOf("suva", h.SUVA))
	return o.Set("judged", h.Judged).Word("why_not", h.Why)
}

// heardReading is a reading in the unit of its kind; temperature follows the reader.
func heardReading(key string, k jartest.Key, v float64) figure.Figure {
	switch k {
	case jartest.TemperatureKey:
		return figure.Of(key, quantity.Temperature(v), "C", 3)
	case jartest.PH:
		return figure.Of(key, quantity.PH(v), "pH", 3).In(figure.Full)
	}
	unit := k.Info().Unit
	if !k.Known() { // a column of the user's own: what is left of a polymer
		unit = "mg/L"
	}
	return figure.Of(key, figure.Plain{V: v, U: unit}, unit, 3)
}

// heardFacts says it in words: the readings with their range, and the waters side by side.
func heardFacts(l *facts, d *figure.Object) {
	for _, r := range d.Objects("readings") {
		k := jartest.Key(r.Said("reading"))
		l.add("In the jars", figure.Say("%s (%s to %s between the jars beside %s)", r.Fig("value"), unitless(r.Fig("low")), unitless(r.Fig("high")),
			d.Fig("dose").NoBasis().To(3)).If(k != jartest.PH, " "+k.Info().Label).If(k == jartest.PH, " pH").
			If(r.Has("set_aside"), ": %s", r.Get("set_aside")))
	}
	for _, w := range d.Objects("water") {
		k := jartest.Key(w.Said("reading"))
		l.add("Water then", figure.Say("%s on the bench, %s at the site: %s", w.Fig("bench"), w.Fig("site"), k.Info().Label).
			If(w.Get("differs") == true, "; that is other water"))
	}
	l.when(d.Has("suva"), "SUVA", figure.Say("%s in the bench's raw water, UV254 over DOC", d.Fig("suva")))
	if d.Has("why_not") {
		l.add("", figure.Say("pH and alkalinity are computed, not taken from the jars: %s", d.Said("why_not")))
	}
}
