package book

import (
	"cmp"
	"fmt"
	"strings"

	"jarwright/dosing/clearing"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// UnitTrial describes the workbook of a clearing trial of a unit: a page for each run, to fill in or filled in. The zero value of a
// field leaves its cell empty, or takes what the comment says.
type UnitTrial struct {
	Name string
	// Runs are named by what is set in them; none is one run.
	Runs   []string
	Volume quantity.Volume
	Flow   quantity.Flow
	// VolumeUnsure and FlowUnsure are their standard uncertainties, as shares; zero is none that is said.
	VolumeUnsure, FlowUnsure quantity.Fraction
	// Expect is what a pass is expected to take out; 0 counts as 60 %.
	Expect quantity.Fraction
	// Goal is the reading to be cleared to, Reads the unit of readings: NTU or mg/L.
	Goal, Reads string
	// System is that of the units in its cells.
	System quantity.System
	// Done are finished runs, beside Runs; none for an empty sheet.
	Done []DoneRun
}

// DoneRun is a run that was done.
type DoneRun struct {
	Date               string
	Polymer, Coagulant any // mg/L
	Temperature        float64
	Skim               float64 // min
	Float, Dry         float64 // kg, and % of it
	By                 string
	// At are hours since the start, Tank what was read then.
	At, Tank []float64
}

// mostRuns is how many runs one workbook takes.
const mostRuns = 8

// unitSteps is how to do the trial, for its last page; common practice where no source stands beside it.
var unitSteps = []string{
	"Muddy the tank as it is on a bad day, or wait for one, and let it mix for an hour: the water goes round, the unit by-passed.",
	"Volume is all the water that goes round: the tank, the pipes, the unit. Measure the flow at the unit with a bucket and a watch or a meter you trust: an error in either is one in the answer.",
	"Set the unit as it is to run: flow, dose, pressure, skimmer. Wait until it runs steadily. Write the time and read the tank: that is hour 0.",
	"Read the tank at the times of the sheet, or near them; write when it was. Take the sample at one place where the water is mixed, away from the outlet, wipe the cell, read twice.",
	"Go on until the end, though the tank looks clear long before: the last two readings tell what never comes out, and without it the capture comes out too low.",
	"Read inlet and outlet of the unit too where you can, the outlet one stay of the water in the unit later: they tell the capture without volume and flow.",
	"Hold what comes in steady: no feeding, no grading, no cleaning of walls. Write what was done all the same as a remark.",
	"To hold two settings against each other run both on the same water, as muddy and as warm at the start, and once more the other way round: with, without, without, with.",
	"One run with the unit by-passed and the water going round, an hour or two and four readings, tells what settles or comes in by itself: write by-passed at Unit.",
	"Weigh the float of a run, and dry a spoonful of it (105 °C, overnight): the balance tells whether solids went elsewhere.",
}

// unitCautions are those of such a trial.
var unitCautions = []string{
	"Animals in the tank: oxygen, temperature and ammonia come before the trial. Do not dose what they have not been shown to bear; `clarify` tells what stays in the water.",
	"Goggles and gloves with the chemicals; their safety data sheets first. No hands in running skimmers, pumps off and locked before anybody reaches in. Saturators are pressure vessels: leave them to who may open them.",
}

// fault tells what is wrong with the description.
func (x UnitTrial) fault() error {
	switch {
	case len(x.Runs) > mostRuns:
		return note.Fault("too-many-runs", "%d runs are more than the %d that one workbook takes", len(x.Runs), mostRuns).Do("write two workbooks, and give both to trial")
	case x.Expect < 0 || x.Expect > 1:
		return note.Fault("bad-capture", "what a pass takes out lies between 0 and 100 %%").Do("write it like %q", "60 %")
	case x.Reads != "NTU" && x.Reads != "mg/L":
		return note.Fault("reading-unit", "%q is not what a tank is read in here", x.Reads).Do("read it in NTU, or in mg/L of suspended solids")
	}
	return nil
}

// Write adds the sheets to a book.
func (x UnitTrial) Write(b *Book) error {
	x.Reads = cmp.Or(x.Reads, "NTU")
	if err := x.fault(); err != nil {
		return err
	}
	if len(x.Runs) == 0 {
		x.Runs = []string{""}
	}
	var plan clearing.Plan
	if x.Volume > 0 && x.Flow > 0 {
		plan = clearing.Sampling(x.Volume, x.Flow, quantity.Fraction(cmp.Or(float64(x.Expect), float64(clearing.UsualCapture))))
	}
	for i, name := range x.Runs {
		var done DoneRun
		if i < len(x.Done) {
			done = x.Done[i]
		}
		x.run(b, fmt.Sprintf("Run %d", i+1), name, plan, done)
	}
	x.guide(b, plan)
	return nil
}

// run writes the page of a run.
func (x UnitTrial) run(b *Book, tab, name string, plan clearing.Plan, done DoneRun) {
	s := b.Sheet(tab)
	s.OnePage()
	s.open(T(Title, "Clearing trial: log of a run"), T(Sub, "Fill in the pale cells with a dark border; what was not measured stays empty. How to do it: sheet Guide."), 24, 16, 16, 16, 16, 36)
	word := func(v string) any { return filled(v, v != "") }
	number := func(v float64) any { return filled(v, v > 0) }
	volume, flow, warmth, mass := "m3", "m3/h", "C", "kg"
	if x.System == quantity.US {
		volume, flow, warmth, mass = "gal", "gpm", "F", "lb"
	}
	sure := func(v float64, unit string, by quantity.Fraction) any {
		if v > 0 && by > 0 {
			return fmt.Sprintf("%g %s ± %g %%", quantity.RoundSig(v, 6), unit, quantity.RoundSig(by.In("%"), 3))
		}
		return number(quantity.RoundSig(v, 6))
	}
	in := func(v float64, of func(float64) float64) any { return filled(quantity.RoundSig(of(v), 4), v > 0) }
	dose := func(v any, named string) any {
		if v == nil && strings.Contains(strings.ToLower(name), "without "+named) {
			return 0.0
		}
		return v
	}
	lines := []blank{
		{label: "Trial", value: word(x.Name), hint: "A short name, such as the tank and the week."},
		{label: "Run", value: word(name), hint: "What is set in this run, such as: with 0.2 mg/L polymer."},
		{label: "Date", value: word(done.Date), format: dateFormat, hint: "Day of the start, as 2026-03-02."},
		{label: "Volume", value: sure(x.Volume.In(volume), volume, x.VolumeUnsure), format: "General", unit: volume, hint: "All the water that goes round: tank, pipes, unit. Where you know how sure it is: 60 m3 ± 5 %."},
		{label: "Flow", value: sure(x.Flow.In(flow), flow, x.FlowUnsure), format: "General", unit: flow, hint: "Through the unit, as measured in this run."},
		{label: "Polymer", value: dose(done.Polymer, "polymer"), format: "General", unit: "mg/L", hint: "0 where none is dosed."},
		{label: "Coagulant", value: dose(done.Coagulant, "coagulant"), format: "General", unit: "mg/L", hint: "0 where none is dosed."},
		{label: "Skim every", value: number(done.Skim), format: "General", unit: "min"},
		{label: "Temperature", value: in(done.Temperature, func(v float64) float64 { return quantity.Temperature(v).In(warmth) }), format: "General", unit: warmth},
		{label: "Unit", value: "running", hint: "running; or by-passed, for a run that tells what the tank does by itself."},
		{label: "Clear enough at", value: word(x.Goal), hint: "The reading that the tank is to be cleared to, such as: 10 NTU."},
		{label: "Float weighed", value: in(done.Float, func(v float64) float64 { return quantity.Mass(v).In(mass) }), format: "General", unit: mass, hint: "All float or sludge of this run, wet."},
		{label: "Dry solids of the float", value: number(done.Dry), format: "General", unit: "%", hint: "Dried at 105 °C, of its wet weight."},
		{label: "Done by", value: word(done.By)},
	}
	cells := blanks(s, 4, 1, 1, "What is set", lines...)
	s.Choose(cells.down(9), b.List("Unit", []string{"running", "by-passed"}), "Unit", "By-passed: the water goes round without the unit.", true)
	s.next = 4 + len(lines) + 1
	head := s.heads("By the watch", "Time (h)", "Tank ("+x.Reads+")", "Inlet ("+x.Reads+")", "Outlet ("+x.Reads+")", "Remark")
	first, rows := head+1, max(len(plan.At)+4, len(done.At), 12)
	for i := range rows {
		r := first + i
		planned := ""
		var at any
		switch {
		case i < len(done.At):
			at, planned = done.At[i], fmt.Sprintf("%g", done.At[i])
		case len(done.At) == 0 && i < len(plan.At):
			at, planned = float64(plan.At[i]), fmt.Sprintf("%g", float64(plan.At[i]))
		}
		s.Put(r, 1, In(nil, "yyyy-mm-dd hh:mm"))
		if at == nil {
			s.Put(r, 2, Calc(fmt.Sprintf(`IF(ISNUMBER(A%d),(A%d-A$%d)*24,"")`, r, r, first), "", "0.00"))
		} else {
			s.Put(r, 2, Calc(fmt.Sprintf(`IF(ISNUMBER(A%d),(A%d-A$%d)*24,%s)`, r, r, first, planned), at, "0.00"))
		}
		var read any
		if i < len(done.Tank) {
			read = done.Tank[i]
		}
		s.Put(r, 3, In(read, "General"))
		s.Put(r, 4, In(nil, "General"))
		s.Put(r, 5, In(nil, "General"))
		s.Put(r, 6, In(nil, ""))
		s.Height(r, 20) // to write in by hand
	}
	last := first + rows - 1
	s.Hint(s.Block(first, 1, last, 1), "By the watch", "Day and time of the reading, as 2026-03-02 06:15; the first is the start. Left empty, the time beside it counts.")
	s.Number(s.Block(first, 3, last, 5), 0, 1e6, "Reading", "In "+x.Reads+".")
	s.Put(last+2, 1, Cell{Kind: Muted, Span: 6, Value: x.promise(plan)})
	s.Print(s.Block(1, 1, last+2, 6))
	s.Freeze(head, 0)
}

// promise is what the readings will tell, and what to do with the sheet.
func (x UnitTrial) promise(p clearing.Plan) string {
	out := "Filled in and saved: jarwright trial FILE. "
	if len(p.At) == 0 {
		return out + "Times to read at are worked out where volume and flow are given: new trial FILE --of unit --volume … --flow …"
	}
	const ninety = 1.645
	return out + fmt.Sprintf("Read at these times, the capture will be known to about ± %.0f %% of itself (90 %%; readings that scatter by 7 %%, a floor of 5 %% of the start).", 100*ninety*float64(p.Rate))
}

// guide writes how to do it, and the cautions.
func (x UnitTrial) guide(b *Book, p clearing.Plan) {
	s := b.Sheet("Guide")
	s.open(T(Title, "How to do the trial"), T(Sub, "For people: the program does not read this page."), 6, 104)
	s.Skip(1)
	for i, t := range unitSteps {
		s.Row(Cell{Kind: Label, Value: fmt.Sprint(i + 1), Center: true}, T(Wrap, "%s", t))
	}
	if len(p.At) > 0 {
		s.Skip(1)
		s.Row(Cell{Kind: Section, Value: "Why these times", Span: 2})
		s.Row(Cell{Kind: Label, Value: "■", Center: true}, T(Wrap, "Where a pass takes out %s, what can come out falls to 37 %% in %.3g h. Eight readings, the last two beyond four times that.",
			fmt.Sprintf("%.0f %%", 100*cmp.Or(float64(x.Expect), float64(clearing.UsualCapture))), float64(p.Constant)))
	}
	s.Skip(1)
	r := s.Row(Cell{Kind: Section, Value: "Cautions", Span: 2})
	for i, t := range unitCautions {
		s.Put(r+1+i, 2, T(Caution, "CAUTION: %s", t))
	}
}
