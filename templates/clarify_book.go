package templates

import (
	"fmt"
	"math"
	"strings"

	"jarwright/dosing/clarify"
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
	s := b.Sheet("Change it")
	s.Protect()
	s.OnePage()
	s.Widths(40, 13, 12, 16, 4, 13, 13)
	s.Put(1, 1, book.T(book.Title, "Change the tank, see how long it takes"))
	s.Put(2, 1, book.Cell{Kind: book.Muted, Span: 4, Value: "An ESTIMATE by the closed form of a well-mixed tank: the same share is taken out at every pass and the unit does not stop. The program's own run, which follows doses and hours, is on the sheet Summary and stands below for comparison."})
	l := &tankSheet{ClarifyReport: r, s: s, b: b, row: 4, u: sheetUnits[o.Units]}
	l.inputs()
	l.answers()
	l.course()
	return nil
}

// tankSheet writes the live sheet of a tank.
type tankSheet struct {
	ClarifyReport
	s   *book.Sheet
	b   *book.Book
	row int
	u   sheetUnit
	// e is what the sheet's formulas give.
	e tankEstimate
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
func (l *tankSheet) calc(formula string, v float64, format string) book.Cell {
	return book.Calc(l.u.rename(formula), v, format)
}

// tankEstimate is the closed form: C = P + (C0 − P)·exp(−λt).
type tankEstimate struct {
	rate, plateau, hours float64
	clears               bool
}

func (l *tankSheet) section(text string) {
	l.s.Put(l.row, 1, book.Cell{Kind: book.Section, Value: text, Span: 4})
	l.row++
}

func (l *tankSheet) put(label string, c book.Cell, unit, name string) {
	l.s.Put(l.row, 1, book.T(book.Label, "%s", label))
	l.s.Put(l.row, 2, c)
	l.s.Put(l.row, 3, book.Cell{Kind: book.Unit, Value: unit, Span: 2})
	if name != "" {
		l.b.Name(name, l.s.At(l.row, 2))
	}
	l.row++
}

func (l *tankSheet) input(label string, v float64, unit, name string, most float64) {
	least := 0.0
	switch name {
	case "Tank_" + l.u.volume, "Flow_" + slugUnit(l.u.flow), "Capture_percent", "Start_reading", "Stop_reading", "Hours_run": // nothing follows from none of it
		least = 0.001
	}
	l.s.Number(l.s.At(l.row, 2), least, most, label, "In "+unit+".")
	l.put(label, book.In(v, book.Digits(v, 4)), unit, name)
}

func (l *tankSheet) inputs() {
	k := l.Tank()
	l.section("The tank and the unit")
	l.input("Water in the tank", k.Volume.In(l.u.volume), l.u.volume, "Tank_"+l.u.volume, 1e7)
	l.input("Flow through the unit and back", k.Flow.In(l.u.flow), l.u.flow, "Flow_"+slugUnit(l.u.flow), 1e7)
	l.input("Taken out at each pass (capture)", k.Removal.In("%"), "%", "Capture_percent", 100)
	l.input("Reading now", k.Start, k.Unit(), "Start_reading", 1e6)
	l.input("Clear enough at", k.Stop, k.Unit(), "Stop_reading", 1e6)
	l.input("The unit's outlet at best", k.Floor, k.Unit(), "Outlet_at_best", 1e6)
	l.input("New water in, old water out", k.Exchange.In(l.u.flow), l.u.flow, "New_water_"+slugUnit(l.u.flow), 1e7)
	l.input("Reading of the new water", k.New, k.Unit(), "New_reading", 1e6)
	l.input("Rise with the unit off", k.Rise, k.Unit()+"/h", "Rise_per_h", 1e6)
	hours := 24.0
	if len(k.Hours) > 0 {
		hours = 0
		for _, s := range k.Hours {
			hours += float64(s.To - s.From)
		}
	}
	l.input("Hours run a day", hours, "h", "Hours_run", 24)
	for i, c := range k.Chemicals {
		d := float64(l.meanDose(i))
		l.input("Dose of "+c.Name+", mean", d, "mg/L "+string(c.Basis), fmt.Sprintf("Dose_%d_mg_L", i+1), 1e5)
	}
	l.e.rate = (float64(k.Removal)*float64(k.Flow) + float64(k.Exchange)) / k.Volume.In("m3")
	l.e.plateau = k.Plateau(k.Removal)
	l.e.clears = l.e.plateau < k.Stop
	if l.e.clears {
		l.e.hours = math.Log((k.Start-l.e.plateau)/(k.Stop-l.e.plateau)) / l.e.rate
	}
	l.row++
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
	if !l.e.clears {
		c.Value = "never"
	}
	return c
}

func (l *tankSheet) answers() {
	k := l.Tank()
	hours := 24.0
	if len(k.Hours) > 0 {
		hours = 0
		for _, s := range k.Hours {
			hours += float64(s.To - s.From)
		}
	}
	l.section("What follows")
	l.put("Share of the excess taken away in an hour", l.calc("(Capture_percent/100*Flow_m3_h+New_water_m3_h)/Tank_m3", l.e.rate, book.Digits(l.e.rate, 4)), "per h", "Rate_per_h")
	l.put("Reading at which it settles", l.calc("(Capture_percent/100*Flow_m3_h*Outlet_at_best+New_water_m3_h*New_reading+Rise_per_h*Tank_m3)/(Capture_percent/100*Flow_m3_h+New_water_m3_h)", l.e.plateau, book.Digits(l.e.plateau, 3)), k.Unit(), "Settles_at")
	word := "clears"
	if !l.e.clears {
		word = "DOES NOT CLEAR"
	}
	l.s.Flag(l.s.At(l.row, 2), fmt.Sprintf(`$B$%d="DOES NOT CLEAR"`, l.row), book.Stop)
	l.put("Verdict", book.Calc(`IF(Settles_at<Stop_reading,"clears","DOES NOT CLEAR")`, word, ""), "", "")
	c := l.when("MAX(0,LN((Start_reading-Settles_at)/(Stop_reading-Settles_at))/Rate_per_h)", l.e.hours, 4)
	c.Kind = book.Result
	l.put("RUNNING TIME UNTIL CLEAR", c, "h", "Running_h")
	l.put("Turnovers of the tank", l.when("Running_h*Flow_m3_h/Tank_m3", l.e.hours*float64(k.Flow)/k.Volume.In("m3"), 3), "", "Turnovers")
	l.put("Days at the hours run a day", l.when("Running_h/Hours_run", l.e.hours/hours, 3), "d", "Days")
	l.put("Water through the unit", l.when("Running_h*Flow_m3_h", l.e.hours*k.Flow.In(l.u.flow)*l.u.perHour, 4), l.u.volume, "")
	for i, x := range k.Chemicals {
		mass := float64(l.meanDose(i)) * l.e.hours * k.Flow.In(l.u.flow) * l.u.perHour * l.u.perVolume
		l.put("Dosed in all, "+x.Name, l.when(fmt.Sprintf("Dose_%d_mg_L*Running_h*Flow_m3_h*%s", i+1, book.Decimal(l.u.perVolume)), mass, 3), l.u.mass+" "+string(x.Basis), fmt.Sprintf("Dosed_%d_%s", i+1, l.u.mass))
	}
	l.row++
	l.section("As the program's own run gave it")
	if l.Outcome == clarify.Cleared {
		l.put("Running time until clear", book.Num(float64(l.Running), book.Digits(float64(l.Running), 4)), "h", "")
		l.put("By the clock", book.Num(float64(l.Time), book.Digits(float64(l.Time), 4)), "h", "")
		l.put("Turnovers", book.Num(l.Turnovers, book.Digits(l.Turnovers, 3)), "", "")
	} else {
		l.put("Outcome", book.T(book.Value, "does not clear"), "", "")
	}
}

// tankSteps is how many points the estimate's course has.
const tankSteps = 20

// course is the fall of the reading, in equal steps of time, with its chart.
func (l *tankSheet) course() {
	k := l.Tank()
	const head, col = 4, 6
	l.s.Put(head, col, book.T(book.Head, "Running (h)"))
	l.s.Put(head, col+1, book.T(book.Head, "Reading (%s)", k.Unit()))
	span := l.e.hours
	for i := range tankSteps + 1 {
		row := head + 1 + i
		// A tank that does not clear is followed for five time constants.
		if !l.e.clears {
			span = 5 / l.e.rate
		}
		t := span * float64(i) / tankSteps
		c := l.e.plateau + (k.Start-l.e.plateau)*math.Exp(-l.e.rate*t)
		l.s.Put(row, col, book.Calc(fmt.Sprintf("IF(Settles_at<Stop_reading,Running_h,5/Rate_per_h)*%d/%d", i, tankSteps), t, "0.00"))
		l.s.Put(row, col+1, book.Calc(fmt.Sprintf("Settles_at+(Start_reading-Settles_at)*EXP(-Rate_per_h*F%d)", row), c, book.Digits(k.Start, 3)))
	}
	last := head + 1 + tankSteps
	l.row = max(l.row, last+1)
	x, y := l.s.Block(head+1, col, last, col), l.s.Block(head+1, col+1, last, col+1)
	zero := 0.0
	l.s.Chart(l.row+1, 1, 600, 280, book.Chart{Title: "Reading of the tank, estimated", Alt: "The reading falls with the running time", XName: "Running time (h)", YName: "Reading (" + k.Unit() + ")",
		XMin: &zero, YMin: &zero, XFormat: "0.0", YFormat: "0", Series: []book.Series{{Name: "estimate", X: x, Y: y, Tone: draw.Teal}}})
	l.row = l.s.Legend(l.row+17, 1, 3)
	l.s.Put(l.row+1, 1, book.Cell{Kind: book.Caution, Span: 4, Value: "CAUTION: an estimate, not a plan. Animals, alkalinity and residuals have not been checked for what is changed here; run the program again on the changed tank before using it."})
}
