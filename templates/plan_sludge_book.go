package templates

import (
	"fmt"
	"strings"

	"jarwright/dosing"
	effects "jarwright/dosing/day"
	"jarwright/dosing/sludge"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// sludgeSheet writes the sludge line on the live sheet of a plan, where there is one.
type sludgeSheet struct {
	*liveSheet
	u planUnits
	x *dosing.SludgeDay
	// feeds are those of the water whose sludge it is, which have cells of their own on the sheet.
	feeds []dosing.Feed
	// treated is the water of the day; zero of water that stands.
	treated quantity.Volume
	// ofMass parts mg/L in the liquid to a mass, ofCake the liquid that a mass of wet cake fills, ofBed that in a layer on a bed.
	ofMass, ofCake, ofBed float64
	area, length          string
}

// sludge writes the line: what comes to it and what it has, then what follows.
func (l *liveSheet) sludge(x *dosing.SludgeDay, feeds []dosing.Feed, u planUnits, treated quantity.Volume, sys quantity.System) {
	if !x.Known() {
		return
	}
	s := sludgeSheet{l, u, x, feeds, treated, quantity.RoundSig(1/quantity.Mass(1e-6/quantity.Volume(1).In(u.liquid)).In(u.mass), 15), quantity.Volume(1).In(u.liquid) / quantity.Mass(1).In(u.mass), 1000, "m2", "m"}
	if sys == quantity.US {
		s.area, s.length = "ft2", "ft"
		s.ofBed = quantity.Volume(1000).In(u.liquid) / quantity.Area(1).In("ft2") / quantity.Length(1).In("ft")
	}
	l.row++
	l.section("Sludge line")
	l.input("Sludge a day", x.Volume.In(u.liquid), u.liquid+"/d", "Sludge_a_day", 0.001, 1e9)
	l.input("Solids in it", float64(x.Solids), "mg/L", "Sludge_solids_mg_L", 0.001, 1e6)
	if x.Dose > 0 {
		l.input("Polymer in it, as product", float64(x.Dose), "mg/L", "Sludge_polymer_mg_L", 0, 1e5)
	}
	if x.Drains() {
		l.input("Solids that bag or bed keeps", 100*float64(x.Captured), "%", "Sludge_kept_percent", 0.001, 100)
		l.input("Dry solids of the cake", 100*float64(x.Cake), "%", "Cake_percent", 0.001, 100)
	}
	s.drains(x.Line)
	s.follows(x.Line)
	s.land()
}

// drains writes what there is of bags and beds.
func (l sludgeSheet) drains(x sludge.Line) {
	if x.Bag > 0 {
		l.input("A bag holds", x.Bag.In(l.u.liquid), l.u.liquid, "Bag", 0.001, 1e9)
	}
	if x.Bed > 0 {
		l.input("Beds", x.Bed.In(l.area), l.area, "Beds", 0.001, 1e9)
		l.input("Layer on a bed", x.Layer.In(l.length), l.length, "Layer", 0.001, 100)
		l.input("A layer dries in", x.Drying.In("d"), "d", "Dries_in_d", 0.01, 1000)
	}
}

// result writes a worked-out figure under its name.
func (l sludgeSheet) result(label, formula string, v float64, unit, name string) {
	l.line(label, book.Cell{Kind: book.Result, Formula: formula, Value: v, Format: book.Digits(v, 4)}, unit, name)
}

// follows writes what becomes of the sludge.
func (l sludgeSheet) follows(x sludge.Line) {
	u := l.u
	l.result("DRY SOLIDS", fmt.Sprintf("Sludge_a_day*Sludge_solids_mg_L/%.15g", l.ofMass), x.Dry().In(u.mass), u.mass+"/d", "Sludge_dry")
	if x.Dose > 0 {
		per, unit := perTonne{x.PerDry()}.Show(map[bool]quantity.System{true: quantity.US}[l.area == "ft2"])
		l.result("POLYMER FOR THE SLUDGE", fmt.Sprintf("Sludge_a_day*Sludge_polymer_mg_L/%.15g", l.ofMass), x.Polymer().In(u.mass), u.mass+"/d", "Sludge_polymer")
		l.result("of dry solids", fmt.Sprintf("Sludge_polymer_mg_L/Sludge_solids_mg_L*%g", per/float64(x.PerDry())), per, unit, "")
	}
	if !x.Drains() {
		return
	}
	filtrate, lost := x.Filtrate()
	l.result("Cake", fmt.Sprintf("MIN(Sludge_a_day,Sludge_dry*Sludge_kept_percent/Cake_percent*%.15g)", l.ofCake), x.CakeVolume().In(u.liquid), u.liquid+"/d", "Cake")
	if x.Bag > 0 {
		l.result("A BAG IS FULL IN", "Bag/Cake", x.BagLasts().In("d"), "d", "")
	}
	if x.Bed > 0 {
		l.result("Beds are covered in", fmt.Sprintf("24*Beds*Layer*%.15g/Sludge_a_day", l.ofBed), float64(x.BedLasts()), "h", "")
		l.result("BEDS NEEDED", fmt.Sprintf("Sludge_a_day/%.15g/Layer*Dries_in_d", l.ofBed), x.BedNeeds().In(l.area), l.area, "")
	}
	l.result("Filtrate", "Sludge_a_day-Cake", filtrate.In(u.liquid), u.liquid+"/d", "")
	if l.x.Returns && l.x.Brings > 0 {
		treated := fmt.Sprintf("(Flow_%s*Hours_run*%g)", slugUnit(u.flow), quantity.RoundSig(quantity.Flow(1).In("L/h")*quantity.Volume(1).In(u.liquid)/quantity.Flow(1).In(u.flow), 12))
		l.result("Solids that it brings back", fmt.Sprintf("Sludge_dry*(1-Sludge_kept_percent/100)*%.15g/%s", l.ofMass, treated), float64(quantity.Concentration(lost)*1e6/quantity.Concentration(l.treated)), "mg/L", "")
	}
}

// land writes what comes to land: of the dry solids, of the doses and of salt water.
func (l sludgeSheet) land() {
	x := l.x
	if x.Land <= 0 || !x.Nitrogen.OK && !x.Phosphorus.OK && !x.Al.OK && !x.Sodium.OK {
		return
	}
	area, kept := "ha", "Sludge_dry"
	if l.area == "ft2" {
		area = "acre"
	}
	if x.Drains() {
		kept += "*Sludge_kept_percent/100"
	}
	l.input("Land", x.Land.In(area), area, "Land", 0.0001, 1e6)
	for _, of := range []struct {
		name  string
		daily quantity.Known[quantity.Mass]
	}{{"Nitrogen", x.Nitrogen}, {"Phosphorus", x.Phosphorus}} {
		if !of.daily.OK {
			continue
		}
		l.input(of.name+" in the dry solids", 100*float64(of.daily.V/x.Kept()), "%", of.name+"_percent", 0, 100)
		l.toLand(of.name, kept+"*"+of.name+"_percent/100", of.daily.V, area)
	}
	l.aluminium(area)
	if x.Sodium.OK && x.Sodium.V > 0 {
		l.input("Salt in the water", float64(x.Salinity), "g/kg", "Salt_g_kg", 0, 300)
		water := either(x.Drains(), "Cake", "Sludge_a_day")
		l.toLand("Sodium", fmt.Sprintf("MAX(0,%s/%.15g-%s)*Salt_g_kg/1000*%.15g", water, l.ofCake, kept, sludge.SodiumOfSalt), x.Sodium.V, area)
	}
}

// toLand writes what a year of such days brings to land.
func (l sludgeSheet) toLand(name, daily string, v quantity.Mass, area string) {
	l.result(name+" to land in a year", daily+"*365/Land", v.In(l.u.mass)*365/l.x.Land.In(area), l.u.mass+"/"+area, "")
}

// aluminium writes that of the doses, which goes where the solids go.
func (l sludgeSheet) aluminium(area string) {
	x := l.x
	if !x.Al.OK || x.Al.V <= 0 {
		return
	}
	var each []string
	for i, f := range l.feeds {
		if of, _, err := effects.EffectsOf(f.Stock.Product, f.Name, quantity.AsProduct); err == nil && of.Al > 0 && f.Product > 0 {
			name := fmt.Sprintf("Aluminium_percent_%d", i+1)
			l.input("Aluminium in "+f.Name+", as sold", 100*float64(of.Al), "%", name, 0, 100)
			each = append(each, fmt.Sprintf("Product_a_day_%d*%s/100", i+1, name))
		}
	}
	if each == nil {
		return
	}
	daily := "(" + strings.Join(each, "+") + ")"
	if x.Drains() {
		daily += "*Sludge_kept_percent/100"
	}
	if x.Part > 0 { // the line holds only so much of what the unit takes out
		daily += fmt.Sprintf("*%.15g", float64(x.Part))
	}
	l.toLand("Aluminium", daily, x.Al.V, area)
}
