package templates

import (
	"fmt"
	"math"
	"strings"

	"jarwright/dosing/clarify"
	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
	"jarwright/templates/draw"
)

// Live adds a sheet on which the tank, the flow, the removal and the readings may
// be changed. It has the closed form of the well-mixed tank: one removal at every
// pass, the unit running without pause.
func (r ClarifyReport) Live(b *book.Book, o Options) error {
	if r.Outcome == clarify.ClearAlready || r.Stopped {
		return nil
	}
	l := &tankSheet{ClarifyReport: r, u: sheetUnits[o.Units], liveSheet: newLive(b, "Change it", "Change the tank, see how long it takes",
		"An ESTIMATE by the closed form of a well-mixed tank: the same share is taken out at every pass, and what comes in while the unit stands counts in its running hours. The program's own run, which follows doses and hours, is on the sheet Summary and stands below for comparison.",
		4, 2, 3, 40, 13, 12, 16, 4, 13, 13)}
	l.OnePage()
	l.estimate()
	l.inputs()
	l.answers()
	l.course()
	return nil
}

// tankSheet writes the live sheet of a tank.
type tankSheet struct {
	ClarifyReport
	liveSheet
	u sheetUnit
	// What the sheet's formulas give by the closed form C = P + (C0 − P)·exp(−λt): λ,
	// P, the hours until the tank is clear, and those that the unit runs a day.
	rate, plateau, hours, daily float64
	clears                      bool
}

func slugUnit(u string) string { return strings.ReplaceAll(u, "/", "_") }

// sheetUnit is the units of the sheet: how much of the volume's unit a unit of flow
// is in an hour, and the mass that 1 mg/L makes in a unit of volume.
type sheetUnit struct {
	volume, flow, mass string
	perHour, perVolume float64
}

var sheetUnits = map[quantity.System]sheetUnit{
	quantity.Metric: {"m3", "m3/h", "kg", 1, 1e-3},
	quantity.US:     {"gal", "gpm", "lb", 60, quantity.Mass(1e-6 / quantity.Volume(1).In("gal")).In("lb")},
}

// rename puts the sheet's own units into a formula written with those of metric sheets.
func (u sheetUnit) rename(formula string) string {
	if u.volume == "m3" {
		return formula
	}
	return strings.NewReplacer("Flow_m3_h", fmt.Sprintf("(Flow_%s*%g)", u.flow, u.perHour), "New_water_m3_h", fmt.Sprintf("(New_water_%s*%g)", u.flow, u.perHour), "Tank_m3", "Tank_"+u.volume).Replace(formula)
}

// calc is a worked-out cell whose formula is written with the names of metric sheets.
func (l *tankSheet) calc(formula string, v float64, digits int) book.Cell {
	return book.Calc(l.u.rename(formula), v, book.Digits(v, digits))
}

// estimate works the closed form out.
func (l *tankSheet) estimate() {
	k := l.Tank()
	l.daily = 24
	if len(k.Hours) > 0 {
		l.daily = 0
	}
	for _, s := range k.Hours {
		l.daily += float64(s.To - s.From)
	}
	removal := k.Removal
	if l.undosed() {
		removal = k.Bare
	}
	l.rate = (float64(removal)*float64(k.Flow) + float64(k.Exchange)*24/l.daily) / k.Volume.In("m3")
	l.plateau = k.Plateau(removal * quantity.Fraction(l.daily/24))
	if l.clears = l.plateau < k.Stop; l.clears {
		l.hours = math.Log((k.Start-l.plateau)/(k.Stop-l.plateau)) / l.rate
	}
}

// undosed reports that chemicals are named and none of them is dosed.
func (l *tankSheet) undosed() bool {
	for i := range l.Tank().Chemicals {
		if l.meanDose(i) > 0 {
			return false
		}
	}
	return len(l.Tank().Chemicals) > 0
}

// taken is the formula of what a pass takes out, in per cent: the capture, or what is caught undosed where no dose is left.
func (l *tankSheet) taken() string {
	var doses []string
	for i := range l.Tank().Chemicals {
		doses = append(doses, doseName(i))
	}
	if len(doses) == 0 {
		return "Capture_percent"
	}
	return "IF(" + strings.Join(doses, "+") + ">0,Capture_percent,Bare_percent)"
}

func doseName(i int) string { return fmt.Sprintf("Dose_%d_mg_L", i+1) }

func (l *tankSheet) inputs() {
	k := l.Tank()
	const little = 0.001 // where nothing follows from none of it
	l.section("The tank and the unit")
	for _, x := range []struct {
		label       string
		v           float64
		unit, name  string
		least, most float64
	}{
		{"Water in the tank", k.Volume.In(l.u.volume), l.u.volume, "Tank_" + l.u.volume, little, 1e7},
		{"Flow through the unit and back", k.Flow.In(l.u.flow), l.u.flow, "Flow_" + slugUnit(l.u.flow), little, 1e7},
		{"Taken out at each pass (capture)", k.Removal.In("%"), "%", "Capture_percent", little, 100},
		{"Reading now", k.Start, k.Unit(), "Start_reading", little, 1e6},
		{"Clear enough at", k.Stop, k.Unit(), "Stop_reading", little, 1e6},
		{"The unit's outlet at best", k.Floor, k.Unit(), "Outlet_at_best", 0, 1e6},
		{"New water in, old water out", k.Exchange.In(l.u.flow), l.u.flow, "New_water_" + slugUnit(l.u.flow), 0, 1e7},
		{"Reading of the new water", k.New, k.Unit(), "New_reading", 0, 1e6},
	} {
		l.input(x.label, x.v, x.unit, x.name, x.least, x.most)
	}
	l.rises()
	l.input("Hours run a day", l.daily, "h", "Hours_run", little, 24)
	for i, c := range k.Chemicals {
		l.input("Dose of "+c.Name+", mean", float64(l.meanDose(i)), "mg/L "+string(c.Basis), doseName(i), 0, 1e5)
	}
	if len(k.Chemicals) > 0 {
		l.input("Taken out at a pass that is not dosed", k.Bare.In("%"), "%", "Bare_percent", 0, 100)
	}
	l.row++
}

// rises is what comes in: a rise that was read, or what a day's feed makes.
func (l *tankSheet) rises() {
	k := l.Tank()
	_, idle := l.idle()
	if !l.held() && !idle || l.Load == nil || l.Load.Share <= 0 {
		l.input("Rise with the unit off", k.Rise, k.Unit()+"/h", "Rise_per_h", 0, 1e6)
	} else {
		l.input("Feed eaten a day", l.Load.Eaten.In(l.u.mass+"/d"), l.u.mass+"/d", "Feed_a_day", 0, 1e6)
		l.input("Of it becomes suspended solids", l.Load.Share.In("%"), "%", "Feed_solids_percent", 0, 100)
		l.line("Rise with the unit off", l.calc("Feed_a_day*Feed_solids_percent/100/24/Tank_m3/"+book.Decimal(l.u.perVolume)+"/"+book.Decimal(k.SolidsPerUnit()), k.Rise, 4),
			k.Unit()+"/h", "Rise_per_h")
	}
	if l.held() || idle {
		l.input("Hold at", k.Level, k.Unit(), "Hold_at", 0.001, 1e6)
	}
}

// holds is what holds the tank at a level.
func (l *tankSheet) holds() {
	h := l.Hold
	if settles, ok := l.idle(); ok {
		l.row++
		l.section("To hold it")
		k := l.Tank()
		if k.Exchange > 0 {
			l.line("With the unit off it settles at", l.calc("(New_water_m3_h*New_reading+Rise_per_h*Tank_m3)/New_water_m3_h", settles, 3), k.Unit(), "Unit_off_settles_at")
			l.line("So the unit is", book.Calc(`IF(Unit_off_settles_at>Hold_at,"NEEDED","not needed")`, "not needed", ""), "", "")
		} else {
			l.line("With the unit off it stays at", shownTo(settles, 3), k.Unit(), "")
		}
		return
	}
	if !l.held() || !h.Needs.OK {
		return
	}
	l.row++
	l.section("To hold it")
	const needs = "(New_water_m3_h*(New_reading-Hold_at)+Rise_per_h*Tank_m3)/(Capture_percent/100*(Hold_at-Outlet_at_best))"
	formula := func(of string, v float64) book.Cell {
		c := l.calc(`IF(Hold_at>Outlet_at_best,MAX(0,`+of+`),"never")`, v, 3)
		c.Kind = book.Result
		return c
	}
	l.line("THROUGH THE UNIT A DAY", formula("24*"+needs, 24*h.Needs.V.In(l.u.flow)*l.u.perHour), l.u.volume, "Held_by_a_day")
	l.line("HOURS A DAY TO HOLD IT", formula("24*"+needs+"/Flow_m3_h", 24*float64(h.Needs.V/l.Tank().Flow)), "h", "Hours_to_hold")
	l.line("Run all its hours it settles at", l.calc("(Capture_percent/100*Flow_m3_h*Hours_run/24*Outlet_at_best+New_water_m3_h*New_reading+Rise_per_h*Tank_m3)/(Capture_percent/100*Flow_m3_h*Hours_run/24+New_water_m3_h)",
		h.Settles, 3), l.Tank().Unit(), "")
}

// meanDose is what the run dosed over the water that passed.
func (l *tankSheet) meanDose(i int) quantity.Concentration {
	if v := l.Treated.In("m3"); v > 0 && i < len(l.Uses) {
		return quantity.Concentration(float64(l.Uses[i].Dosed) * 1000 / v)
	}
	return l.Tank().Chemicals[i].Rule.At(l.Tank().Start)
}

// when makes a formula that has a number only where the tank clears.
func (l *tankSheet) when(formula string, v float64, digits int) book.Cell {
	c := book.Cell{Kind: book.Worked, Formula: `IF(Settles_at<Stop_reading,` + l.u.rename(formula) + `,"never")`, Value: v, Format: book.Digits(v, digits)}
	if !l.clears {
		c.Value = "never"
	}
	return c
}

func (l *tankSheet) answers() {
	k := l.Tank()
	l.section("What follows")
	taken := l.taken() + "/100*Flow_m3_h"
	l.line("Share of the excess taken away in an hour", l.calc("("+taken+"+New_water_m3_h*24/Hours_run)/Tank_m3", l.rate, 4), "per h",
		"Rate_per_h")
	settles := l.calc(`IF(Rate_per_h>0,(`+taken+`*Hours_run/24*Outlet_at_best+New_water_m3_h*New_reading+Rise_per_h*Tank_m3)/(`+taken+`*Hours_run/24+New_water_m3_h),`+
		`IF(Rise_per_h>0,"`+unending+`",Start_reading))`, l.plateau, 3)
	if math.IsInf(l.plateau, 1) {
		settles.Value = unending
	}
	l.line("Reading at which it settles", settles, k.Unit(), "Settles_at")
	l.Flag(l.At(l.row, 2), fmt.Sprintf(`$B$%d="DOES NOT CLEAR"`, l.row), book.Stop)
	late := fmt.Sprintf("not within %g d", k.Within().In("d"))
	l.line("Verdict", book.Calc(fmt.Sprintf(`IF(Settles_at<Stop_reading,IF(Days>%g,"%s","clears"),"DOES NOT CLEAR")`, k.Within().In("d"), late),
		either(!l.clears, "DOES NOT CLEAR", either(l.hours/l.daily > k.Within().In("d"), late, "clears")), ""), "", "")
	c := l.when("MAX(0,LN((Start_reading-Settles_at)/(Stop_reading-Settles_at))/Rate_per_h)", l.hours, 4)
	c.Kind = book.Result
	l.line("RUNNING TIME UNTIL CLEAR", c, "h", "Running_h")
	water := l.hours * k.Flow.In(l.u.flow) * l.u.perHour
	l.line("Turnovers of the tank", l.when("Running_h*Flow_m3_h/Tank_m3", l.hours*float64(k.Flow)/k.Volume.In("m3"), 3), "", "Turnovers")
	l.line("Days at the hours run a day", l.when("Running_h/Hours_run", l.hours/l.daily, 3), "d", "Days")
	l.line("Water through the unit", l.when("Running_h*Flow_m3_h", water, 4), l.u.volume, "")
	for i, x := range k.Chemicals {
		mass := float64(l.meanDose(i)) * water * l.u.perVolume
		l.line("Dosed in all, "+x.Name, l.when(doseName(i)+"*Running_h*Flow_m3_h*"+book.Decimal(l.u.perVolume), mass, 3),
			l.u.mass+" "+string(x.Basis), fmt.Sprintf("Dosed_%d_%s", i+1, l.u.mass))
	}
	l.holds()
	l.row++
	l.section("As the program's own run gave it")
	if l.held() && l.Outcome != clarify.Cleared {
		l.line("Outcome", book.T(book.Value, either(l.Hold.Fails, "cannot be held", "held")), "", "")
		if low, high := l.Hold.Lowest, l.Hold.Highest; low.OK {
			l.line("Lowest of each day, at "+flow.Clock(low.V.At), shownTo(low.V.Reading, 3), k.Unit(), "")
			l.line("Highest of each day, at "+flow.Clock(high.V.At), shownTo(high.V.Reading, 3), k.Unit(), "")
		}
		return
	}
	if l.Outcome != clarify.Cleared {
		l.line("Outcome", book.T(book.Value, "does not clear"), "", "")
		return
	}
	l.line("Running time until clear", shownTo(float64(l.Running), 4), "h", "")
	l.line("By the clock", shownTo(float64(l.Time), 4), "h", "")
	l.line("Turnovers", shownTo(l.Turnovers, 3), "", "")
}

// unending stands for the reading at which a tank settles that only rises.
const unending = "never: it rises"

// tankSteps is how many points the estimate's course has.
const tankSteps = 20

// course is the fall of the reading, in equal steps of time, with its chart.
func (l *tankSheet) course() {
	k := l.Tank()
	const head, col = 4, 6
	l.Put(head, col, book.T(book.Head, "Running (h)"))
	l.Put(head, col+1, book.T(book.Head, "Reading (%s)", k.Unit()))
	span := 24.0 // a tank of which nothing is taken is followed for a day, another that does not clear for five time constants
	if l.rate > 0 {
		span = either(l.clears, l.hours, 5/l.rate)
	}
	for i := range tankSteps + 1 {
		row := head + 1 + i
		t := span * float64(i) / tankSteps
		c := k.Start + k.Rise*t
		if l.rate > 0 {
			c = l.plateau + (k.Start-l.plateau)*math.Exp(-l.rate*t)
		}
		l.Put(row, col, book.Calc(fmt.Sprintf("IF(Settles_at<Stop_reading,Running_h,IF(Rate_per_h>0,5/Rate_per_h,24))*%d/%d", i, tankSteps), t, "0.00"))
		l.Put(row, col+1, book.Calc(fmt.Sprintf("IF(Rate_per_h>0,Settles_at+(Start_reading-Settles_at)*EXP(-Rate_per_h*F%[1]d),Start_reading+Rise_per_h*F%[1]d)", row), c, book.Digits(k.Start, 3)))
	}
	last := head + 1 + tankSteps
	l.row = max(l.row, last+1)
	x, y := l.Block(head+1, col, last, col), l.Block(head+1, col+1, last, col+1)
	zero := 0.0
	l.Chart(l.row+1, 1, 600, 280, book.Chart{Title: "Reading of the tank, estimated", Alt: "The reading falls with the running time",
		XName: "Running time (h)", YName: "Reading (" + k.Unit() + ")",
		XMin: &zero, YMin: &zero, XFormat: "0.0", YFormat: "0", Series: []book.Series{{Name: "estimate", X: x, Y: y, Tone: draw.Plain}}})
	l.row += 16
	l.end(3, "CAUTION: an estimate, not a plan. Animals, alkalinity, pH, carbon dioxide with how it is stripped, and residuals have not been checked for what is changed here; run the program again on the changed tank before using it.")
}
