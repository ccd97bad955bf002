package templates

import (
	"jarwright/jartest/surface"
	"jarwright/templates/figure"
)

// besideData lists what a pair needs beside its chemicals.
func besideData(list []surface.Beside) []*figure.Object {
	return objects(list, func(b surface.Beside) *figure.Object {
		d := figure.New().Set("chemical", b.Name).Set("for", string(b.For)).Set("basis", b.Dose.Basis.String()).
			Bare(doseOf("dose", b.Dose.Concentration, b.Dose.Basis, 3))
		if b.Taken {
			d.Set("taken", true)
		}
		return d.Put(namedCost("cost_per_1000m3", b.Cost).If(b.Cost.Currency != ""))
	})
}

// besideLabels are what a line calls it that something beside a pair does.
var besideLabels = map[string]string{string(surface.SetsPH): "To set the pH", string(surface.Restores): "Once the floc is out"}

// needs adds what a pair needs beside its chemicals, each with its cost.
func (l *facts) needs(list []*figure.Object) {
	for _, d := range list {
		cost := d.Fig("cost_per_1000m3")
		p := figure.Say("%s, %s", d.Get("chemical"), d.Fig("dose")).If(d.Has("taken"), ", if that is what is used").
			If(!cost.Known(), ", its price not known")
		name, _ := d.Get("for").(string)
		l.add(besideLabels[name], withCost(p, cost))
	}
}
