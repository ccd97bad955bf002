package templates

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
)

// PumpReport is the answer of "pump".
type PumpReport struct {
	Place string
	Pumps []PumpAnswer
	Notes note.List
}

// PumpAnswer is one pump: its curve, its settings, its table.
type PumpAnswer struct {
	Pump     pump.Pump
	Chemical string // what it feeds, where known
	Settings []PumpSetting
	// Pace is the flow-paced table; Stroke is where the stroke stays meanwhile.
	Pace   []pump.PaceRow
	Stroke quantity.Setting
	// Column is the volume that a check drawdown takes from the measuring column.
	Column quantity.Volume
	// Tube is what the tube holds from pump to dosing point; zero where not known.
	Tube quantity.Volume
	// Checks are check drawdowns held against the line.
	Checks []PumpCheck
	// Stopped is true where a caution stops the plan, so that no setting is given.
	Stopped bool
	Notes   note.List
}

// PumpSetting is a setting and what it is for.
type PumpSetting struct {
	For string
	pump.Choice
}

// PumpCheck is a check drawdown and how far it is off.
type PumpCheck struct {
	Reading pump.Reading
	Line    quantity.FeedRate
	Off     quantity.Fraction
}

func (a PumpAnswer) name() string {
	s := "Pump"
	if a.Pump.Name != "" {
		s = upperFirst(a.Pump.Name)
	}
	if a.Chemical != "" {
		s += " (" + a.Chemical + ")"
	}
	return s
}

// Text implements [Report].
func (r PumpReport) Text(t *Text, o Options) {
	for _, a := range r.Pumps {
		a.text(t, o)
	}
	if len(r.Notes) > 0 {
		t.Head("To bear in mind")
		t.Notes(r.Notes)
	}
}

func (a PumpAnswer) text(t *Text, o Options) {
	t.Head(a.name())
	if a.Stopped {
		t.Para("No setting is given: the plan is stopped (see below). The curve stays as it is.")
	}
	if len(a.Settings) > 0 {
		a.settings(t, o)
	}
	if len(a.Pace) > 0 {
		a.pace(t, o)
	}
	a.curve(t, o)
	if len(a.Checks) > 0 {
		t.Head(a.name() + ": check drawdown")
		var rows [][]string
		for _, c := range a.Checks {
			rows = append(rows, []string{o.position(a.Pump.Calibration, c.Reading.Position), o.Quantity(c.Reading.Rate, 3), o.Quantity(c.Line, 3), o.signed(float64(c.Off)*100) + " %"})
		}
		t.Table([]Col{{Head: "setting"}, {Head: "read", Right: true}, {Head: "line", Right: true}, {Head: "off", Right: true}}, rows)
	}
	if o.Explain {
		a.working(t, o)
	}
	if len(a.Notes) > 0 {
		t.Blank()
		t.Notes(a.Notes)
	}
}

// settings is what the technician came for: where to turn the knob, and what a
// stopwatch must show.
func (a PumpAnswer) settings(t *Text, o Options) {
	var rows [][]string
	for _, s := range a.Settings {
		set := "SET " + o.position(a.Pump.Calibration, s.Position)
		if s.Reach != pump.Within {
			set = "OUT OF REACH"
		}
		row := []string{s.For, o.Quantity(s.Wanted, 3), set, "", "", ""}
		if s.Reach == pump.Within {
			row[3] = o.Quantity(s.Gives, 3)
			row[4] = o.signed(float64(s.Error)*100) + " %"
			row[5] = o.watch(pump.TimeFor(a.column(s.Gives), s.Gives)) + " for " + o.tidy(a.column(s.Gives), 3)
		}
		rows = append(rows, row)
	}
	t.Table([]Col{{Head: "for"}, {Head: "feed", Right: true}, {Head: "setting"}, {Head: "gives", Right: true}, {Head: "dose off", Right: true}, {Head: "stopwatch"}}, rows)
	if a.Tube > 0 {
		for _, s := range a.Settings {
			if s.Reach == pump.Within && s.Gives > 0 {
				t.Para(fmt.Sprintf("The tube to the dosing point holds %s: after a change the new feed arrives after %s (at %s).",
					o.tidy(a.Tube, 2), o.watch(pump.TimeFor(a.Tube, s.Gives)), o.tidy(s.Gives, 3)))
				break
			}
		}
	}
	a.accuracy(t, o)
}

// accuracy says how far the feed itself may be off, once.
func (a PumpAnswer) accuracy(t *Text, o Options) {
	for _, s := range a.Settings {
		if s.Reach != pump.Within {
			continue
		}
		if s.HasBand && s.Gives > 0 {
			t.Para(fmt.Sprintf("A drawdown at %s should show %s to %s mL/min, 19 times in 20; outside that, calibrate again.",
				o.position(a.Pump.Calibration, s.Position), o.Number(float64(s.Low), 3), o.Number(float64(s.High), 3)))
		}
		if s.Accuracy > 0 {
			t.Para(fmt.Sprintf("The maker's %s of full scale is %s %% of the feed at %s.", o.tidy(a.Pump.OfScale, 2), o.Number(s.Accuracy.In("%"), 2), o.tidy(s.Gives, 3)))
		}
		return
	}
}

// column is a volume that takes between half a minute and about five at a rate.
func (a PumpAnswer) column(r quantity.FeedRate) quantity.Volume {
	if a.Column > 0 {
		return a.Column
	}
	if r <= 0 {
		return 0.1
	}
	for _, mL := range [...]float64{5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000} {
		if v := quantity.Volume(mL / 1000); pump.TimeFor(v, r).In("min") >= 1 {
			return v
		}
	}
	return 10
}

func (a PumpAnswer) pace(t *Text, o Options) {
	t.Head(a.name() + ": table to pin beside the pump")
	if a.Pump.Calibration.TwoKnobs() {
		t.Para(fmt.Sprintf("Leave the stroke at %s; the speed follows the flow.", o.tidy(a.Stroke, 3)))
	}
	meter := len(a.Pace) > 0 && a.Pace[0].HasMeter
	cols := []Col{{Head: "flow", Right: true}}
	if meter {
		cols = append(cols, Col{Head: "meter", Right: true})
	}
	cols = append(cols, Col{Head: "feed", Right: true}, Col{Head: "setting", Right: true}, Col{Head: "pump signal", Right: true}, Col{Head: "dose off", Right: true}, Col{Head: ""})
	var rows [][]string
	for _, r := range a.Pace {
		row := []string{o.Quantity(r.Flow, 3)}
		if meter {
			row = append(row, o.Number(float64(r.Meter), 3)+" mA")
		}
		remark := ""
		switch {
		case r.Reach == pump.TooMuch:
			remark = "more than the pump gives"
		case r.Reach == pump.TooLittle:
			remark = "too little for the pump"
		case !r.Tested:
			remark = "not tested there"
		}
		row = append(row, o.Quantity(r.Rate, 3))
		if r.Reach == pump.Within {
			row = append(row, o.tidy(r.Position.Setting, 3), o.Number(float64(r.Drive), 3)+" mA", o.signed(float64(r.Error)*100)+" %")
		} else {
			row = append(row, "-", "-", "-")
		}
		rows = append(rows, append(row, remark))
	}
	t.Table(cols, rows)
	if meter {
		t.Para("Both signals have a live zero: 4 mA is nothing, 12 mA is half.")
	}
}

func (a PumpAnswer) curve(t *Text, o Options) {
	c := a.Pump.Calibration
	t.Head(a.name() + ": drawdown")
	t.Para(o.equation(c))
	if len(c.Readings) > 0 {
		var rows [][]string
		for i, r := range c.Readings {
			line := r.Rate - c.Residuals[i]
			off := ""
			if line > 0 {
				off = o.signed(100*float64(c.Residuals[i])/float64(line)) + " %"
			}
			rows = append(rows, []string{o.position(c, r.Position), o.Quantity(r.Rate, 4), o.Quantity(line, 4), o.difference(float64(c.Residuals[i]), float64(line)) + " mL/min", off})
		}
		head := "setting"
		t.Table([]Col{{Head: head}, {Head: "read", Right: true}, {Head: "line", Right: true}, {Head: "off by", Right: true}, {Head: "share", Right: true}}, rows)
		if c.HasSD {
			t.Para(fmt.Sprintf("Readings scatter about it by %s mL/min (residual standard deviation). Tested from %s to %s; the pump gives up to about %s.",
				o.Number(float64(c.SD), 2), o.position(c, c.Low), o.position(c, c.High), o.tidy(a.Pump.Capacity(), 3)))
		} else {
			t.Para(fmt.Sprintf("Tested from %s to %s; the pump gives up to about %s.", o.position(c, c.Low), o.position(c, c.High), o.tidy(a.Pump.Capacity(), 3)))
		}
		if d := a.panel(); len(d.Layers) > 0 {
			t.Blank()
			curve := draw.Drawing{Description: "Feed against the setting of the pump, with the drawdown readings.", Panels: []draw.Panel{d}, DecimalComma: o.DecimalComma}
			if !t.keep(Block{Kind: PictureBlock, Picture: curve}) {
				t.Verbatim(curve.Text(min(t.Width(), 72), 14)...)
			}
		}
	}
	t.Blank()
	t.Para("Calibrate again after: " + strings.Join(pump.Occasions(), "; ") + ".")
}

// difference writes a difference with its sign; one that only the arithmetic made is 0.
func (o Options) difference(v, of float64) string {
	if math.Abs(v) < 1e-9*math.Abs(of) {
		return "0"
	}
	s := fmt.Sprintf("%+.2g", v)
	if o.DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// equation writes the curve in words.
func (o Options) equation(c pump.Calibration) string {
	num := func(v float64) string { return o.Number(v, 4) }
	switch c.Shape {
	case pump.Straight:
		a, b, _ := c.Line()
		s := fmt.Sprintf("feed (mL/min) = %s x setting (%%)", num(float64(b)))
		switch top := float64(c.Rate(pump.Position{Setting: 100})); {
		case math.Abs(float64(a)) < 1e-6*top:
			s += ", through zero"
		case a < 0:
			s += " - " + num(-float64(a))
		default:
			s += " + " + num(float64(a))
		}
		if c.HasStroke {
			s += fmt.Sprintf(", with the stroke at %s", o.tidy(c.Stroke, 3))
		}
		return s + "."
	case pump.Between:
		return "The readings bend, so the feed is read off between neighbouring readings, not off a straight line."
	case pump.Surface:
		return "A surface is fitted in stroke and speed: feed = a + b x speed + c x stroke + d x speed x stroke."
	case pump.ByStroke:
		return "feed = speed x (a + b x stroke), fitted to the readings."
	default:
		_, b, _ := c.Line()
		return fmt.Sprintf("Not calibrated: feed (mL/min) = %s x setting (%%), from the nameplate's %s.", num(float64(b)), o.tidy(c.Rate(pump.Position{Setting: 100}), 3))
	}
}

func (a PumpAnswer) working(t *Text, o Options) {
	t.Head(a.name() + ": working")
	c := a.Pump.Calibration
	rows := [][2]string{}
	if _, b, ok := c.Line(); ok && c.Shape == pump.Straight {
		rows = append(rows, [2]string{"line", fmt.Sprintf("least squares through %d readings; a line of a pump need not pass through zero (supplier data sheet)", len(c.Readings))})
		for _, s := range a.Settings {
			rows = append(rows, [2]string{"setting for " + o.tidy(s.Wanted, 3), fmt.Sprintf("(feed - intercept) / slope = %s %%, rounded to the knob's step: %s; error = %s / %s - 1",
				o.Number(float64(s.Exact.Setting), 4), o.tidy(s.Position.Setting, 4), o.Number(float64(s.Gives), 4), o.Number(float64(s.Wanted), 4))})
		}
		rows = append(rows, [2]string{"per step of 1 %", o.tidy(b, 3)})
	}
	if c.HasSD {
		rows = append(rows, [2]string{"19 times in 20", "feed ± t(0.975) x s x sqrt(1 + leverage), the prediction interval of a new reading"})
	}
	rows = append(rows, [2]string{"smallest feed", fmt.Sprintf("largest %s / turndown = %s", o.tidy(a.Pump.Capacity(), 3), o.tidy(a.Pump.Smallest(), 3))})
	rows = append(rows, [2]string{"largest feed to plan for", "85-90 % of capacity (supplier data sheet)"})
	if len(a.Pace) > 0 {
		rows = append(rows, [2]string{"signal", "mA = 4 + 16 x (value - low) / (high - low)"})
	}
	t.Pairs(rows)
}

// panel is readings, line and settings of one pump.
func (a PumpAnswer) panel() draw.Panel {
	c := a.Pump.Calibration
	p := draw.Panel{X: draw.Axis{Name: "setting", Unit: "%", Zero: true}, Y: draw.Axis{Name: "feed", Unit: "mL/min", Zero: true}}
	var line draw.Line
	line.Name = "line"
	high := math.Max(float64(c.High.Setting), 1)
	strokes := map[quantity.Setting]bool{}
	var order []quantity.Setting
	for _, r := range c.Readings {
		if !strokes[r.Stroke] {
			strokes[r.Stroke] = true
			order = append(order, r.Stroke)
		}
	}
	if !c.TwoKnobs() {
		order = order[:min(1, len(order))]
	}
	for i, stroke := range order {
		l := draw.Line{Name: "line", Stroke: draw.Solid}
		pts := draw.Points{Name: "drawdown", Shape: draw.Shape(i)}
		if c.TwoKnobs() {
			l.Name, pts.Name = "", "stroke "+quantity.Setting(stroke).String()
		}
		for k := 0; k <= 40; k++ {
			s := high * float64(k) / 40
			l.At = append(l.At, draw.XY{X: s, Y: float64(c.Rate(pump.Position{Setting: quantity.Setting(s), Stroke: stroke}))})
		}
		for _, r := range c.Readings {
			if r.Stroke == stroke || !c.TwoKnobs() {
				pts.At = append(pts.At, draw.Point{XY: draw.XY{X: float64(r.Setting), Y: float64(r.Rate)}})
			}
		}
		p.Layers = append(p.Layers, l, pts)
	}
	return p
}

// Drawing implements [DrawReport]: the curve of each pump.
func (r PumpReport) Drawing(o Options) draw.Drawing {
	d := draw.Drawing{Title: "Pump curves", DecimalComma: o.DecimalComma, Description: "Drawdown readings and the line through them."}
	for _, a := range r.Pumps {
		p := a.panel()
		if len(p.Layers) == 0 {
			continue
		}
		for _, s := range a.Settings {
			if s.Reach == pump.Within && !a.Pump.Calibration.TwoKnobs() {
				p.Layers = append(p.Layers, draw.Marker{Label: s.For + ": " + o.tidy(s.Position.Setting, 3), Vertical: true, At: float64(s.Position.Setting), Stroke: draw.Dashed, Tone: draw.Rust})
				break
			}
		}
		p.X.Name = a.name() + ": setting"
		d.Panels = append(d.Panels, p)
	}
	if len(d.Panels) == 1 {
		d.Title = r.Pumps[0].name() + ": drawdown"
	}
	if !o.Date.IsZero() {
		d.Foot = o.Date.Format("2006-01-02")
	}
	return d
}

// tidy writes a quantity without idle zeros.
func (o Options) tidy(q quantity.Quantity, digits int) string {
	v, u := q.Show(o.Units)
	return o.brief2(v, digits) + " " + u
}

func (o Options) brief2(v float64, digits int) string {
	s := quantity.Brief(v, digits)
	if o.DecimalComma {
		for i := range s {
			if s[i] == '.' {
				return s[:i] + "," + s[i+1:]
			}
		}
	}
	return s
}

// signed writes a share with its sign, to a tenth.
func (o Options) signed(v float64) string {
	s := fmt.Sprintf("%+.1f", v)
	if s == "+0.0" || s == "-0.0" {
		s = "0"
	}
	if o.DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// position writes where the knobs stand.
func (o Options) position(c pump.Calibration, p pump.Position) string {
	if c.TwoKnobs() {
		return "stroke " + o.tidy(p.Stroke, 3) + ", speed " + o.tidy(p.Setting, 3)
	}
	return o.tidy(p.Setting, 3)
}

// watch writes a span as a stopwatch shows it.
func (o Options) watch(t quantity.Time) string {
	if math.IsInf(float64(t), 0) || math.IsNaN(float64(t)) {
		return "-"
	}
	s := int(math.Round(t.In("s")))
	switch {
	case s < 100:
		return strconv.Itoa(s) + " s"
	case s < 5400:
		return fmt.Sprintf("%d min %02d s", s/60, s%60)
	default:
		return fmt.Sprintf("%d h %02d min", s/3600, s%3600/60)
	}
}

// Rows implements [Report]: the flow-paced table and the settings.
func (r PumpReport) Rows() [][]string {
	rows := [][]string{{"pump", "chemical", "for", "flow_m3_h", "feed_ml_min", "setting_pct", "stroke_pct", "gives_ml_min", "dose_off_pct", "in_range", "tested", "pump_signal_ma", "meter_ma"}}
	one := func(a PumpAnswer, what, flow string, c pump.Choice, drive, meter string) {
		stroke := ""
		if a.Pump.Calibration.TwoKnobs() {
			stroke = Cell(float64(c.Position.Stroke))
		}
		rows = append(rows, []string{a.Pump.Name, a.Chemical, what, flow, Cell(float64(c.Wanted)), Cell(float64(c.Position.Setting)), stroke,
			Cell(float64(c.Gives)), Cell(c.Error.In("%")), strconv.FormatBool(c.Reach == pump.Within), strconv.FormatBool(c.Tested), drive, meter})
	}
	for _, a := range r.Pumps {
		for _, s := range a.Settings {
			one(a, s.For, "", s.Choice, "", "")
		}
		for _, p := range a.Pace {
			meter := ""
			if p.HasMeter {
				meter = Cell(float64(p.Meter))
			}
			one(a, "flow", Cell(float64(p.Flow)), p.Choice, Cell(float64(p.Drive)), meter)
		}
	}
	return rows
}

type pumpChoiceJSON struct {
	For      string        `json:"for,omitempty"`
	Flow     *JSONQuantity `json:"flow,omitempty"`
	Rate     *JSONQuantity `json:"rate"`
	Setting  *JSONQuantity `json:"setting,omitempty"`
	Stroke   *JSONQuantity `json:"stroke,omitempty"`
	Gives    *JSONQuantity `json:"gives,omitempty"`
	DoseOff  *JSONQuantity `json:"dose_off,omitempty"`
	Low      *JSONQuantity `json:"low,omitempty"`
	High     *JSONQuantity `json:"high,omitempty"`
	InRange  bool          `json:"in_range"`
	Tested   bool          `json:"tested"`
	Accuracy *JSONQuantity `json:"accuracy,omitempty"`
	Signal   *JSONQuantity `json:"pump_signal,omitempty"`
	Meter    *JSONQuantity `json:"meter_signal,omitempty"`
}

func pumpChoice(c pump.Choice, two bool) pumpChoiceJSON {
	j := pumpChoiceJSON{Rate: QIn(float64(c.Wanted), "mL/min"), InRange: c.Reach == pump.Within, Tested: c.Tested}
	if c.Reach == pump.Within {
		j.Setting, j.Gives, j.DoseOff = QIn(float64(c.Position.Setting), "%"), QIn(float64(c.Gives), "mL/min"), QIn(c.Error.In("%"), "%")
		if two {
			j.Stroke = QIn(float64(c.Position.Stroke), "%")
		}
	}
	if c.HasBand {
		j.Low, j.High = QIn(float64(c.Low), "mL/min"), QIn(float64(c.High), "mL/min")
	}
	if c.Accuracy > 0 {
		j.Accuracy = QIn(c.Accuracy.In("%"), "%")
	}
	return j
}

// JSON implements [Report].
func (r PumpReport) JSON() any {
	type reading struct {
		Setting *JSONQuantity `json:"setting"`
		Stroke  *JSONQuantity `json:"stroke,omitempty"`
		Rate    *JSONQuantity `json:"rate"`
		Line    *JSONQuantity `json:"line"`
		Off     *JSONQuantity `json:"off"`
		note.Place
	}
	type line struct {
		Intercept *JSONQuantity `json:"intercept"`
		Slope     *JSONQuantity `json:"slope"`
	}
	type one struct {
		Name     string           `json:"name,omitempty"`
		Chemical string           `json:"chemical,omitempty"`
		Curve    string           `json:"curve"`
		Line     *line            `json:"line,omitempty"`
		Residual *JSONQuantity    `json:"residual_sd,omitempty"`
		Low      *JSONQuantity    `json:"tested_from,omitempty"`
		High     *JSONQuantity    `json:"tested_to,omitempty"`
		Capacity *JSONQuantity    `json:"capacity"`
		Smallest *JSONQuantity    `json:"smallest"`
		Readings []reading        `json:"readings"`
		Settings []pumpChoiceJSON `json:"settings"`
		Stroke   *JSONQuantity    `json:"pace_stroke,omitempty"`
		Pace     []pumpChoiceJSON `json:"pace,omitempty"`
		Tube     *JSONQuantity    `json:"tube,omitempty"`
	}
	doc := struct {
		Schema string    `json:"schema"`
		Place  string    `json:"place,omitempty"`
		Pumps  []one     `json:"pumps"`
		Notes  note.List `json:"notes"`
	}{Schema: "jarwright.pump/1", Place: r.Place, Pumps: []one{}}
	all := append(note.List(nil), r.Notes...)
	for _, a := range r.Pumps {
		c := a.Pump.Calibration
		j := one{Name: a.Pump.Name, Chemical: a.Chemical, Curve: shapeWord(c.Shape), Capacity: QIn(float64(a.Pump.Capacity()), "mL/min"), Smallest: QIn(float64(a.Pump.Smallest()), "mL/min"),
			Readings: []reading{}, Settings: []pumpChoiceJSON{}}
		if x, b, ok := c.Line(); ok {
			j.Line = &line{QIn(float64(x), "mL/min"), QIn(float64(b), "mL/min per %")}
		}
		if c.HasSD {
			j.Residual = QIn(float64(c.SD), "mL/min")
		}
		if len(c.Readings) > 0 {
			j.Low, j.High = QIn(float64(c.Low.Setting), "%"), QIn(float64(c.High.Setting), "%")
		}
		for i, x := range c.Readings {
			e := reading{Setting: QIn(float64(x.Setting), "%"), Rate: QIn(float64(x.Rate), "mL/min"), Line: QIn(float64(x.Rate-c.Residuals[i]), "mL/min"), Off: QIn(float64(c.Residuals[i]), "mL/min"), Place: x.At}
			if x.HasStroke {
				e.Stroke = QIn(float64(x.Stroke), "%")
			}
			j.Readings = append(j.Readings, e)
		}
		for _, s := range a.Settings {
			e := pumpChoice(s.Choice, c.TwoKnobs())
			e.For = s.For
			j.Settings = append(j.Settings, e)
		}
		for _, p := range a.Pace {
			e := pumpChoice(p.Choice, c.TwoKnobs())
			e.Flow = QIn(float64(p.Flow), "m3/h")
			if p.Reach == pump.Within {
				e.Signal = QIn(float64(p.Drive), "mA")
			}
			if p.HasMeter {
				e.Meter = QIn(float64(p.Meter), "mA")
			}
			j.Pace = append(j.Pace, e)
		}
		if len(a.Pace) > 0 && c.TwoKnobs() {
			j.Stroke = QIn(float64(a.Stroke), "%")
		}
		if a.Tube > 0 {
			j.Tube = QIn(a.Tube.In("mL"), "mL")
		}
		doc.Pumps = append(doc.Pumps, j)
		all.Add(a.Notes...)
	}
	doc.Notes = Notes(all)
	return doc
}

func shapeWord(s pump.Shape) string {
	return [...]string{"line", "between readings", "stroke and speed", "by stroke", "nameplate"}[s]
}
