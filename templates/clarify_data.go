package templates

import (
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/flow"
	"jarwright/dosing/gauge"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// read is a reading of the tank.
func (r ClarifyReport) read(key string, v float64) figure.Figure {
	return figure.Figure{Key: key, Q: figure.Plain{V: v, U: r.Tank().Unit()}}
}

// gauged is what the tank's tube or cone shows of a reading, where it has one, its pairs reach so far and it tells there.
func (r ClarifyReport) gauged(key string, v float64) figure.Figure {
	shows, ok := r.Tank().Gauged(v)
	if !ok {
		return figure.Figure{Key: key}
	}
	return figure.Figure{Key: key, Q: figure.Plain{V: shows, U: gauge.Unit(r.Tank().Scale.Key)}}
}

// gaugeData is what the gauge shows of the readings of the answer.
func (r ClarifyReport) gaugeData() *figure.Object {
	k := r.Tank()
	if k.Scale == nil {
		return nil
	}
	return figure.New(r.gauged("start", k.Start), r.gauged("stop", k.Stop), r.gauged("final", r.Final.Reading), r.gauged("hold", k.Level).If(k.Level > 0)).
		Set("kind", gaugeName(k.Scale)).Set("by_chart", k.Scale.Chart)
}

// gaugeName is the gauge in a word.
func gaugeName(s *gauge.Scale) string { return gauge.Name(s.Key) }

// spread is a range with its likely value.
func spread[T interface {
	~float64
	quantity.Quantity
}](r solids.Range[T], unit string, digits int) *figure.Object {
	return figure.New(figure.Of("low", r.Low, unit, digits), figure.Of("likely", r.Likely, unit, digits), figure.Of("high", r.High, unit, digits))
}

// data is the cleaning as its object.
func (r ClarifyReport) data() *figure.Object {
	k := r.Tank()
	clear := r.Outcome == clarify.Cleared || r.Outcome == clarify.ClearAlready
	outcome := either(r.Stopped, "stopped", string(r.Outcome))
	o := figure.New().Set("schema", "jarwright.clarify/1").Word("site", r.Site).Word("tank", r.Name).Word("trial", r.Trial).Set("outcome", outcome).Set("stopped", r.Stopped)
	if r.Stopped { // nothing is begun: what it would come to stands apart
		o.Set("would_come_to", string(r.Outcome))
	}
	if r.DayStopped {
		o.Set("day_stopped", true)
	}
	if r.Day {
		o.Set("day", "clean-up")
	}
	o.Put(
		hours("time", r.Time, 3).If(clear),
		hours("running", r.Running, 3).If(clear),
		figure.Of("volume", k.Volume, "m3", 4), figure.Of("flow", k.Flow, "m3/h", 3), figure.Of("capture", k.Removal, "%", 3),
		figure.Of("new_water", k.Exchange, "m3/h", 3).If(k.Exchange > 0), r.read("new_water_reading", k.New).If(k.Exchange > 0),
		r.read("start_reading", k.Start), r.read("stop_reading", k.Stop), r.read("final_reading", r.Final.Reading),
		figure.Of("treated", r.Treated, "m3", 3),
	).Part("gauge", r.gaugeData()).Bare(brief("turnovers", r.Turnovers).If(clear))
	o.Part("hold", r.holdData()).Part("watch", watchData(r.Watch))
	o.List("use", r.useData()).Set("waste", r.wasteData()).List("residuals", r.residualData()).Some("metals", r.metalData()).Some("salts", r.saltData()).Part("water", r.waterData()).Part("stripping", stripObject(r.Strip))
	o.List("jar_tests", objects(r.JarTests, func(j clarify.JarTest) *figure.Object {
		return figure.New(hours("at", j.At, 3), r.read("reading", j.Reading)).Set("why", j.Why)
	})).List("stages", objects(r.Stages, r.stageData))
	o.Some("batches", slices.Concat(r.batchesData()...))
	o.Put(figure.Of("reserve", quantity.Fraction(dosing.Spare), "%", 2).If(r.MakesUp()))
	r.seriesData(o)
	all := slices.Concat(r.CleaningNotes(), r.Handling)
	if r.Cost != nil && clear {
		o.Part("money", moneyData(*r.Cost))
		all = append(all, r.Cost.Notes...)
	}
	return o.Set("notes", Notes(all))
}

// idle is the reading at which a tank to be held settles with its unit off; false where that would pass its level, and of one that is never cleared.
func (r ClarifyReport) idle() (reading float64, ok bool) {
	if r.Outcome != clarify.Cleared && r.Outcome != clarify.ClearAlready {
		return 0, false
	}
	return r.Tank().Idle()
}

// idleData is a tank that needs no unit to be held.
func (r ClarifyReport) idleData(settles float64) *figure.Object {
	k := r.Tank()
	made := k.Made()
	x := figure.New(r.read("at", k.Level), r.read("settles_at", settles), massRate("solids", made.V, 3).If(made.OK && made.V > 0)).Set("unit_needed", false)
	return r.loadData(x)
}

// loadData adds what the feed brings.
func (r ClarifyReport) loadData(x *figure.Object) *figure.Object {
	l := r.Load
	if l == nil {
		return x
	}
	return x.Put(massRate("feed", l.Eaten, 3), figure.Of("solids_share", l.Share, "%", 3).If(l.Share > 0),
		massRate("alkalinity_taken", l.Alkalinity, 3), massRate("phosphorus_brought", l.Phosphorus, 2),
		caCO3("new_water_brings", l.NewBrings, 2).If(r.Tank().HasAlkalinity && r.Tank().Nitrified <= 0 && l.NewBrings > 0))
}

// acid is the alkalinity that the doses leave of a moment's where that is below zero: what only the nitrifying takes ends at none, as its bacteria do.
func (r ClarifyReport) acid(m clarify.Moment) quantity.Alkalinity {
	return max(m.Alkalinity, min(0, r.Tank().Dosed(m)))
}

// holdData is what holds the tank; nil where nothing is to.
func (r ClarifyReport) holdData() *figure.Object {
	if settles, ok := r.idle(); ok {
		return r.idleData(settles)
	}
	h := r.Hold
	if h == nil {
		return nil
	}
	x := figure.New(hours("passes_after", h.Passes, 3).If(h.Passes > 0 || !r.held()), hours("run_a_day", h.PerDay.V, 3).If(h.PerDay.OK))
	if part := !h.Fails && h.Swing > 0; part {
		x.Set("runs", h.Runs.String()).Put(r.read("swing", h.Swing))
	}
	if h.Lowest.OK {
		x.Put(r.read("lowest", h.Lowest.V.Reading), r.read("highest", h.Highest.V.Reading)).
			Set("lowest_at", flow.Clock(h.Lowest.V.At)).Set("highest_at", flow.Clock(h.Highest.V.At))
	}
	if r.held() {
		x.Put(r.read("at", h.At), figure.Of("flow", quantity.Daily{Flow: h.Needs.V}, "m3/d", 3).If(h.Needs.OK), r.read("settles_at", h.Settles),
			massRate("solids", h.Made.V, 3).If(h.Made.OK && h.Made.V > 0))
		r.loadData(x)
		if !r.Stopped && (!h.Fails || len(r.Tank().Chemicals) == 0) { // what cannot be held is not dosed here
			x.Put(massRate("alkalinity_dosed", h.Acid, 3).If(h.Acid != 0), massRate("floc", h.Floc, 3).If(h.Floc > 0), massRate("dry", h.Off.V, 3).If(h.Off.OK))
		}
		unclear := r.Outcome == clarify.TooLong || r.Outcome == clarify.NeverClears // whoever is told to begin again asks what the feed takes
		if unclear || !r.Stopped && (!h.Fails || len(r.Tank().Chemicals) == 0) {
			told := r.Holding != nil && len(r.Holding.Alkalis) > 0 // what to feed then stands in their table, to hold what is asked for
			lacks, holds, ok := r.Alkali()
			x.Put(massRate("alkalinity_in_all", lacks, 3).If(ok), caCO3("alkalinity_held", holds, 3).If(ok && holds > 0), massRate("bicarbonate", lacks*bicarbonate, 3).If(ok && !told))
		}
	}
	if !r.Stopped {
		x.List("use", objects(h.Uses, tankUse))
	}
	if r.Holding != nil { // as a plan tells it
		reviewData(x, *r.Holding)
	}
	return x
}

// bicarbonate is the sodium bicarbonate that gives a mass of alkalinity as CaCO3: 84.007 g a mole to 50.04.
const bicarbonate = 84.007 / 50.0435

// held reports that the tank is to be held at a level that is asked for.
func (r ClarifyReport) held() bool { return r.Hold != nil && r.Tank().Level > 0 }

// useData is what is dosed; a stop withholds it.
func (r ClarifyReport) useData() []*figure.Object {
	if r.Stopped {
		return []*figure.Object{}
	}
	return objects(r.Uses, tankUse)
}

func tankUse(u clarify.Use) *figure.Object {
	dosed := kilos("dosed", u.Dosed, 3)
	dosed.Basis = u.Basis
	return figure.New(dosed, kilos("product", u.Product, 3).If(u.Product > 0),
		litres("product_volume", u.Volume, 3).If(u.Volume > 0), litres("stock", u.Stock, 3).If(u.Stock > 0)).Set("chemical", u.Chemical)
}

// batchesData are the stocks to make up.
func (r ClarifyReport) batchesData() [][]*figure.Object {
	var out [][]*figure.Object
	for i, made := range r.MakeUps {
		out = append(out, objects(made, func(b dosing.Batch) *figure.Object {
			return figure.New(litres("volume", b.Volume, 3), kilos("product", b.Recipe.Product, 3), litres("water", b.Recipe.Water, 3)).
				Set("chemical", r.Tank().Chemicals[i].Name).Set("start", r.clock(b.Start)).Set("ready", r.clock(b.Aged)).Set("expires", r.clock(b.Expires))
		}))
	}
	return out
}

func (r ClarifyReport) wasteData() *figure.Object {
	k, w := r.Tank(), r.Waste
	o := figure.New()
	if k.SolidsPerUnit() > 0 {
		o.Part("dry", spread(w.Dry, "kg", 3))
	}
	if k.Share > 0 {
		o.Part("float", spread(w.Float, "L", 3)).Put(figure.Of("dry_share", k.Share, "%", 2), litres("volume", w.Volume, 3))
	}
	o.Put(litres("water_lost", w.Water, 3).If(w.Water > 0), litres("bin_holds", k.Bin.Room(), 3).If(k.Bin.Room() > 0))
	if len(w.Bins) > 0 {
		var full []figure.Figure
		for _, b := range w.Bins {
			full = append(full, hours("", b, 3))
		}
		o.Set("bin_full_at", full)
	}
	return o
}

// countedIn is how much a mass of dose holds of what the limits of its residual count, as in a plan, and what that is called.
func countedIn(c clarify.Chemical) (of quantity.Concentration, basis string) {
	if c.Holds > 0 {
		return quantity.Concentration(c.Holds), "as " + c.As
	}
	return 1, c.Basis.String()
}

func (r ClarifyReport) residualData() []*figure.Object {
	out := []*figure.Object{}
	for i, c := range r.Tank().Chemicals {
		x := r.Final.Residuals[i]
		of, basis := countedIn(c)
		out = append(out, figure.New(mgL("bound", of*x.Bound, 3), mgL("worst_case", of*x.Worst, 3), mgL("measured_capture", of*x.Measured, 3).If(x.HasMeasured),
			mgL("stop_at", of*c.StopAt, 2).If(c.StopAt > 0), mgL("care_at", of*c.WarnAt, 2).If(c.WarnAt > 0),
			mgL("back_stop_at", of*c.BackStop, 2).If(c.BackStop > 0), mgL("back_care_at", of*c.BackCare, 2).If(c.BackCare > 0)).Set("chemical", c.Name).Set("basis", basis))
	}
	return out
}

// saltData is what the run leaves in the water of the ions of its chemicals.
func (r ClarifyReport) saltData() []*figure.Object {
	return objects(r.Salts, func(s caution.Salt) *figure.Object {
		return figure.New(mgL("in_all", s.PerPass, 3)).Set("chemical", s.Chemical).Set("ion", s.Ion)
	})
}

// metalData is what is left of metals, in the unit of their limits.
func (r ClarifyReport) metalData() []*figure.Object {
	return objects(r.Metals, func(m dosing.Metal) *figure.Object {
		return figure.New(mgL("bound", m.Bound, 3), mgL("worst_case", m.Worst, 3), mgL("expected", m.Expected.V, 3).If(m.Expected.OK),
			mgL("stop_at", m.StopAt.V, 2).If(m.StopAt.OK), mgL("care_at", m.CareAt.V, 2).If(m.CareAt.OK)).Set("chemical", m.Chemical).Set("as", m.As)
	})
}

func (r ClarifyReport) waterData() *figure.Object {
	k := r.Tank()
	if !k.HasAlkalinity {
		return nil
	}
	al, agedAl := r.Chemistry.Dissolved()
	fe, agedFe := r.Chemistry.DissolvedIron()
	holdsAl, holdsFe := r.Chemistry.Acid() && r.Closed.Aluminium > 0, r.Chemistry.Acid() && r.Closed.Iron > 0
	return figure.New(
		tenthPH("ph_start", r.Before.PH).If(r.HasPH), tenthPH("ph", r.Closed.PH).If(r.HasPH), tenthPH("ph_aerated", r.Open.PH).If(r.HasPH),
		caCO3("alkalinity_start", k.Alkalinity, 3), caCO3("alkalinity", max(0, r.Final.Alkalinity), 3), acidOver(r.acid(r.Final)),
		mgL("co2_start", r.Before.CO2, 2).If(r.HasPH), mgL("co2", r.Closed.CO2, 2).If(r.HasPH),
		limit("aluminium_dissolved", al).If(holdsAl), limit("aluminium_dissolved_aged_floc", agedAl).If(holdsAl),
		limit("iron_dissolved", fe).If(holdsFe), limit("iron_dissolved_aged_floc", agedFe).If(holdsFe)).
		Bare(brief("ph_uncertainty", float64(r.Doubt())).If(r.HasPH))
}

// stageData is one step of the list: when, at what reading, which feeds are set anew.
func (r ClarifyReport) stageData(s dosing.Stage) *figure.Object {
	feeds := []*figure.Object{}
	for _, f := range s.Feeds {
		x := figure.New(figure.Of("dose", figure.Plain{V: float64(f.Dose.Concentration), U: "mg/L"}, "mg/L", 3), rate("stock_rate", f.Rate, 3).If(f.Rate > 0),
			anHour("product_rate", f.Product).If(f.Product > 0)).
			Set("chemical", f.Chemical).Set("basis", f.Dose.Basis.String())
		if f.Setting != nil {
			x.Put(knob("setting", f.Setting.Position.Setting, 3).If(f.Setting.Reach == 0), onScale(*f.Pump, f.Setting.Position.Setting).If(f.Setting.Reach == 0),
				knob("stroke", f.Setting.Position.Stroke, 3).If(f.Setting.Reach == 0 && f.Pump.Calibration.NamesStroke())).
				Put(rate("gives", f.Setting.Gives, 3).If(f.Setting.Reach == 0), figure.Of("off", f.Setting.Error, "%", 2).If(f.Setting.Reach == 0)).Set("in_range", f.Setting.Reach == 0)
			if near, of, ok := f.Nearest(); ok {
				x.Put(rate("nearest_rate", near, 3), mgL("nearest_dose", of, 3))
			}
		}
		feeds = append(feeds, x)
	}
	o := figure.New(hours("at", s.At, 3), r.read("reading", s.Reading), r.gauged("gauge_shows", s.Reading)).Set("clock", r.clock(s.At)).List("feeds", feeds).Set("do", slices.Concat([]figure.Phrase{}, s.Before, s.Do))
	if s.Alone {
		o.Set("nobody_there", true)
	}
	return o
}

// moment is one time of the run, all of a chemical on the basis of its dose.
func (r ClarifyReport) moment(m clarify.Moment) *figure.Object {
	k := r.Tank()
	o := figure.New(hours("time", m.At, 3), hours("running", m.Running, 3), r.read("reading", m.Reading), r.gauged("gauge", m.Reading), litres("waste", m.Waste, 3),
		caCO3("alkalinity", max(0, m.Alkalinity), 3).If(k.HasAlkalinity), acidOver(r.acid(m)).If(k.HasAlkalinity), plainNumber("turnovers", m.Turnovers, 2))
	for i, c := range k.Chemicals {
		x := m.Residuals[i]
		o.Part(slug(c.Name), figure.New(mgL("dose", m.Doses[i], 3), mgL("bound", x.Bound, 3), mgL("worst", x.Worst, 3), mgL("measured", x.Measured, 3).If(x.HasMeasured)))
	}
	return o
}

// slug is a name as a heading may have it.
func slug(name string) string { return strings.ReplaceAll(strings.ToLower(name), " ", "_") }

// seriesData puts the course of the run as plain numbers, their columns named once.
func (r ClarifyReport) seriesData(o *figure.Object) {
	k := r.Tank()
	columns := []string{"h", "reading (" + k.Unit() + ")"}
	for _, c := range k.Chemicals {
		columns = append(columns, c.Name+" dose (mg/L "+c.Basis.String()+")")
	}
	course := figure.Curve{}
	for _, m := range r.Moments {
		row := []float64{float64(m.At), m.Reading}
		for _, d := range m.Doses {
			if !r.Stopped {
				row = append(row, float64(d))
			}
		}
		course = append(course, row)
	}
	o.Set("series", course).Set("series_columns", columns)
}

// JSON implements [Report].
func (r ClarifyReport) JSON() any { return r.data() }

// Table implements [Report]: the course of the run, or what holds a tank that is clear.
func (r ClarifyReport) Table() figure.Table {
	if r.held() && r.Outcome != clarify.Cleared {
		u, row := r.Tank().Unit(), r.holdData()
		t := figure.Table{Rows: []*figure.Object{row}, Cols: figure.Columns("at = "+u, "flow = m3/d", "run_a_day = h", "settles_at = "+u, "passes_after = h",
			"feed = kg/d", "solids_share = %", "solids = kg/d", "alkalinity_taken = kg/d", "phosphorus_brought = kg/d",
			"floc = kg/d", "alkalinity_dosed = kg/d", "alkalinity_in_all = kg/d", "bicarbonate = kg/d", "dry = kg/d")}
		if s := r.Tank().Scale; s != nil { // as it is read at the tank
			row.Put(r.gauged("gauge", r.Tank().Level))
			t.Cols = append(t.Cols, figure.Column{Name: gaugeName(s), Path: "gauge", Unit: gauge.Unit(s.Key)})
		}
		return withStripping(t, r.stripping())
	}
	t := figure.Table{Cols: figure.Columns("time = h", "running = h", "turnovers", "reading = "+r.Tank().Unit(), "waste = L", "alkalinity = mg/L CaCO3")}
	if s := r.Tank().Scale; s != nil {
		t.Cols = append(t.Cols, figure.Column{Name: gaugeName(s), Path: "gauge", Unit: gauge.Unit(s.Key)})
	}
	for _, c := range r.Tank().Chemicals {
		for _, what := range [...]string{"dose", "bound", "worst", "measured"} {
			n := slug(c.Name)
			t.Cols = append(t.Cols, figure.Column{Name: n + "_" + what, Path: n + "." + what, Unit: "mg/L"})
		}
	}
	t.Rows = objects(r.Moments, r.moment)
	return withStripping(t, r.stripping())
}

// stripping is what strips the carbon dioxide of the days of holding, where they tell it, else of the clean-up.
func (r ClarifyReport) stripping() *caution.Strip {
	if r.Holding != nil && r.Holding.Strip != nil {
		return r.Holding.Strip
	}
	return r.Strip
}
