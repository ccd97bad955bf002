package templates

import (
	"fmt"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/pond"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// Live adds a sheet on which the water, the doses and the buckets may be changed, and what is weighed out follows.
func (p Standing) Live(b *book.Book, o Options) error {
	if len(p.Open()) == 0 {
		return nil
	}
	l := &pondSheet{newLive(b, "Change it", "Change an input, see what to weigh out",
		"Pale cells with a dark border may be changed; all else follows. Times, pH, carbon dioxide with how it is stripped, and cautions stand as they were for the inputs at writing.",
		4, 2, 3, 44, 14, 14, 16), sheetUnits[o.Units], o.Units, 0}
	for i, x := range p.Open() {
		l.pond(i+1, x)
	}
	l.sludge(p.Sludge, nil, Plan{}.sheetUnits(o.Units), 0, o.Units)
	l.end(3, "CAUTION: a changed dose or depth has not been checked against animals, alkalinity, pH or carbon dioxide. Run the program again on the changed site before using it.")
	return nil
}

// pondSheet writes the live sheet of ponds.
type pondSheet struct {
	liveSheet
	u    sheetUnit
	sys  quantity.System
	used int // chemicals so far, by which cells are named
}

// area and length are the units of the surface and the depth.
func (l *pondSheet) area() (unit, depth string, per float64) {
	if l.sys == quantity.US {
		return "ft2", "ft", quantity.Volume(quantity.Area(1).In("m2") * 1000 / quantity.Area(1).In("ft2") / quantity.Length(1).In("ft")).In("gal")
	}
	return "m2", "m", 1
}

func (l *pondSheet) pond(n int, x dosing.PondPlan) {
	l.section(upperFirst(x.Name))
	area, depth, per := l.area()
	water := fmt.Sprintf("Water_%d", n)
	surface := ""
	if x.Surface.OK {
		surface = fmt.Sprintf("Surface_%d", n)
		mean := quantity.Length(x.Volume.In("m3") / float64(x.Surface.V)) // of sloping sides too
		l.input("Surface", x.Surface.V.In(area), area, surface, 0.01, 1e9)
		l.input("Depth on average (water over surface)", mean.In(depth), depth, fmt.Sprintf("Depth_%d", n), 0.01, 1000)
		l.line("Water", book.Calc(fmt.Sprintf("%s*Depth_%d*%.15g", surface, n, per), x.Volume.In(l.u.volume), book.Digits(x.Volume.In(l.u.volume), 4)), l.u.volume, water)
	} else {
		l.input("Water", x.Volume.In(l.u.volume), l.u.volume, water, 0.001, 1e9)
	}
	goes := fmt.Sprintf("Goes_%d", n)
	l.Number(l.At(l.row, l.value), 1, 100, "Goes", "A whole number.")
	l.line("Goes", book.In(float64(x.Portions), "0"), "", goes)
	for _, h := range x.Goods {
		if h.Use.Product > 0 { // what its row leaves out has no figure to change
			l.good(water, surface, goes, area, x, h)
		}
	}
	l.row++
}

// asWritten is a dose as its site has it, with the unit, and what it is told of: the water, the surface or the pond, by the name of its cell.
func (l *pondSheet) asWritten(h dosing.ByHand, water, surface string) (dose float64, unit, of string) {
	basis := strings.TrimPrefix(h.Dose.Basis.String(), "as ")
	w, said, err := quantity.Split(h.Written)
	if err != nil || w <= 0 || said == "" {
		return float64(h.Dose.Concentration), strings.TrimSpace("mg/L " + basis), water
	}
	said, _, _ = strings.Cut(said, " as ")
	switch d, hand := pond.ParseDose(h.Written); {
	case hand != nil || d.Water > 0:
		of = water
	case d.Area > 0 && surface != "":
		of = surface
	case d.Area == 0:
		of = ""
	default: // of an area that no cell has
		return float64(h.Dose.Concentration), strings.TrimSpace("mg/L " + basis), water
	}
	return w, strings.TrimSpace(said + " " + basis), of
}

// pondMeasure is what a chemical of a pond is counted in: its unit, and how much of it a mass of product is.
type pondMeasure struct {
	unit string
	of   func(quantity.Mass) float64
}

// measureOf is that of a chemical: volume of a liquid that is measured out by the jug, else mass.
func (l *pondSheet) measureOf(h dosing.ByHand) pondMeasure {
	if !byVolume(h) {
		return pondMeasure{l.u.mass, func(m quantity.Mass) float64 { return m.In(l.u.mass) }}
	}
	_, unit := pouredVolume{h.Use.Volume}.Show(l.sys)
	if l.sys == quantity.Metric {
		unit = "L"
	}
	perMass := h.Use.Volume / quantity.Volume(h.Use.Product)
	return pondMeasure{unit, func(m quantity.Mass) float64 { return (quantity.Volume(m) * perMass).In(unit) }}
}

// good writes one chemical: its dose and measures, and what follows.
func (l *pondSheet) good(water, surface, goes, area string, x dosing.PondPlan, h dosing.ByHand) {
	l.used++
	name := func(s string) string { return fmt.Sprintf("%s_%d", s, l.used) }
	l.heads(1, upperFirst(h.Name), "", "")
	dose, unit, of := l.asWritten(h, water, surface)
	l.input("Dose", dose, unit, name("Dose"), 0, 1e6)
	share := 100.0
	if h.AsProduct.Concentration > 0 {
		share = 100 * float64(h.Dose.Concentration/h.AsProduct.Concentration)
	}
	l.input("Content of that in the product", share, "%", name("Content"), 0.001, 1e5)
	measure := l.measureOf(h)
	product := measure.of(h.Use.Product)
	told := 1.0
	switch of {
	case water:
		told = x.Volume.In(l.u.volume)
	case surface:
		if of != "" {
			told = x.Surface.V.In(area)
		}
	}
	given := name("Dose") + "*100/" + name("Content") + "*" + book.Decimal(quantity.RoundSig(product*share/100/(dose*told), 12))
	if of != "" {
		given = of + "*" + given
	}
	l.line("PRODUCT FOR THE POND", l.result(given, product), measure.unit, name("Product"))
	if byVolume(h) {
		kilos := h.Use.Product.In(l.u.mass)
		l.line("by the scales", l.result(name("Product")+"*"+book.Decimal(quantity.RoundSig(kilos/product, 12)), kilos), l.u.mass, "")
	}
	portions := goes
	if h.Ahead {
		l.input("Goes of it, ahead of the rest", float64(h.Portions), "", name("Goes_ahead"), 1, 100)
		portions = name("Goes_ahead")
	}
	l.line("in each go", l.result(name("Product")+"/"+portions, product/float64(h.Portions)), measure.unit, name("Each"))
	for _, m := range []struct {
		what, key string
		holds     quantity.Known[quantity.Mass]
	}{{"bag", "Bag", h.Bag}, {"bucket", "Bucket", h.Bucket}, {"level scoop", "Scoop", h.Scoop}} {
		if !m.holds.OK || m.holds.V <= 0 {
			continue
		}
		one := quantity.RoundSig(measure.of(m.holds.V), 12)
		if m.key == "Bag" && h.BagVolume.OK {
			m.what = "can"
		}
		l.input("A "+m.what+" holds", one, measure.unit, name(m.key), 1e-6, 1e5)
		l.line(upperFirst(m.what)+"s", l.result(name("Product")+"/"+name(m.key), product/one), "", name(m.key+"s"))
		if surface != "" && m.key != "Bag" { // no more than there is, where a go is less than one
			all := x.Surface.V.In(area)
			v := min(all, all/(product/one)*float64(h.Portions))
			l.line("each covers, in a go", l.result(fmt.Sprintf("IF(%[1]s>0,MIN(%[2]s,%[2]s*%[3]s*%[4]s/%[1]s),0)", name("Product"), surface, portions, name(m.key)), v), area, "")
		}
	}
	if used := float64(x.Record.Account().Per(h.Use.Alkalinity)); used != 0 && h.Dose.Concentration > 0 {
		label := either(used > 0, "Alkalinity that it takes", "Alkalinity that it gives")
		used = max(used, -used)
		per := used / (product * share / x.Volume.In(l.u.volume))
		l.line(label, l.result(name("Product")+"*"+name("Content")+"/"+water+"*"+book.Decimal(quantity.RoundSig(per, 12)), used), "mg/L CaCO3", "")
	}
}

// result is a cell with a live formula.
func (l *pondSheet) result(formula string, v float64) book.Cell {
	return book.Cell{Kind: book.Result, Formula: formula, Value: v, Format: book.Digits(v, 4)}
}
