package templates

import (
	"fmt"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/clarify"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
)

// ClarifyReport is the answer of "clarify".
type ClarifyReport struct{ dosing.Cleaning }

func (r ClarifyReport) reading(o Options, v float64) string {
	return o.brief2(v, 3) + " " + r.Tank().Unit()
}

// clock writes a time since the start by the clock.
func (r ClarifyReport) clock(t quantity.Time) string { return r.Tank().Clock(t) }

// span writes how long something takes, as people say it.
func (o Options) span(t quantity.Time) string {
	switch h := float64(t); {
	case h > 0 && h < 1.0/60:
		return o.brief2(h*3600, 2) + " s"
	case h < 1:
		return o.brief2(h*60, 2) + " min"
	case h < 72:
		m := int(h*60 + 0.5)
		if m%60 == 0 {
			return fmt.Sprintf("%d h", m/60)
		}
		return fmt.Sprintf("%d h %02d min", m/60, m%60)
	default:
		return o.brief2(h/24, 3) + " days"
	}
}

// Text implements [Report].
func (r ClarifyReport) Text(t *Text, o Options) {
	title := "Cleaning up a tank"
	if r.Name != "" {
		title = "Cleaning up " + r.Name
	}
	if r.Site != "" {
		title += ", " + r.Site
	}
	t.Head(title)
	t.Para(r.headline(o))
	if r.Outcome == clarify.ClearAlready {
		return
	}
	clears := r.Outcome == clarify.Cleared
	if !clears {
		t.Notes(r.Result.Notes.Only(note.Caution))
	}
	if r.Stopped {
		t.Blank()
		t.Notes(r.CleaningNotes().Only(note.Stop))
		t.Para("No doses or pump settings are given until that is settled. The figures below say what the stop is about.")
	} else if clears {
		r.stages(t, o)
	}
	r.course(t, o)
	if clears {
		r.needs(t, o)
	}
	r.water(t, o)
	if o.Explain {
		r.working(t, o)
	}
	acceptedText(t, r.Taken)
	rest := r.CleaningNotes()
	if r.Stopped {
		rest = below(rest, note.Stop, r.Taken)
	} else {
		rest = below(rest, note.Error, r.Taken)
	}
	if !clears { // said at the head
		said := map[string]bool{}
		for _, n := range r.Result.Notes {
			said[n.Code] = true
		}
		var more note.List
		for _, n := range rest {
			if !said[n.Code] || n.Level != note.Caution {
				more.Add(n)
			}
		}
		rest = more
	}
	if len(rest) > 0 {
		t.Head("To bear in mind")
		t.Notes(rest)
	}
	handlingText(t, r.Handling, o)
}

// CleaningNotes are what the run and the water have to say.
func (r ClarifyReport) CleaningNotes() note.List { return r.Cleaning.Notes }

// headline is the answer in a few sentences.
func (r ClarifyReport) headline(o Options) string {
	k := r.Tank()
	switch r.Outcome {
	case clarify.ClearAlready:
		return fmt.Sprintf("Nothing to do: the tank reads %s and is to be cleared to %s.", r.reading(o, k.Start), r.reading(o, k.Stop))
	case clarify.NeverClears:
		return fmt.Sprintf("The tank does NOT clear: it settles at about %s and never comes down to %s.", r.reading(o, r.Final.Reading), r.reading(o, k.Stop))
	case clarify.TooLong:
		return fmt.Sprintf("The tank does NOT clear within %s: it then reads %s.", o.span(r.Time), r.reading(o, r.Final.Reading))
	}
	s := fmt.Sprintf("%s falls to %s after %s", r.reading(o, k.Start), r.reading(o, k.Stop), o.span(r.Time))
	if r.Running < r.Time*0.999 {
		s += fmt.Sprintf(", %s of them running", o.span(r.Running))
	}
	s += fmt.Sprintf(": %s turnovers of %s at %s, each pass taking out %s. Begun at %s it is clear at %s.", o.brief2(r.Turnovers, 3), o.tidy(k.Volume, 4), o.tidy(k.Flow, 3),
		o.tidy(k.Removal, 3), r.clock(0), r.clock(r.Time))
	return s
}

// stages is the sheet to work from.
func (r ClarifyReport) stages(t *Text, o Options) {
	t.Head("What to do")
	var rows [][]string
	for _, s := range r.Stages {
		var do []string
		for _, f := range s.Feeds {
			do = append(do, r.feed(o, f))
		}
		do = append(do, s.Do...)
		for i, d := range do {
			when, reads := "", ""
			if i == 0 {
				when, reads = r.clock(s.At), r.reading(o, s.Reading)
			}
			rows = append(rows, []string{when, reads, upperFirst(d)})
		}
	}
	t.Table([]Col{{Head: "at"}, {Head: "tank reads", Right: true}, {Head: "do"}}, rows)
	t.Para("Go by the meter, not by the clock: take each step when the tank reads what stands beside it.")
}

func (r ClarifyReport) feed(o Options, f dosing.StageFeed) string {
	if f.Dose.Concentration == 0 {
		return "STOP " + f.Chemical
	}
	s := fmt.Sprintf("set %s to %s", f.Chemical, o.brief2(float64(f.Dose.Concentration), 3)+" mg/L "+string(f.Dose.Basis))
	if f.Rate > 0 {
		s += ": feed " + o.tidy(f.Rate, 3)
		if f.Neat {
			s += " of the neat product"
		} else {
			s += " of stock"
		}
	}
	if f.Setting != nil && f.Setting.Reach == 0 {
		s += ", pump at " + o.tidy(f.Setting.Position.Setting, 3)
	} else if f.Setting != nil {
		s += " (OUT OF THE PUMP'S REACH)"
	}
	return s
}

// course is a dozen times of the run.
func (r ClarifyReport) course(t *Text, o Options) {
	t.Head("Course")
	k := r.Tank()
	cols := []Col{{Head: "clock"}, {Head: "after", Right: true}, {Head: "turnovers", Right: true}, {Head: "reading", Right: true}}
	for _, c := range k.Chemicals {
		cols = append(cols, Col{Head: c.Name + " mg/L", Right: true})
	}
	if k.HasAlkalinity {
		cols = append(cols, Col{Head: "alk. mg/L", Right: true})
	}
	var rows [][]string
	for _, m := range r.sample(12) {
		row := []string{r.clock(m.At), o.span(m.At), o.Number(m.Turnovers, 2), r.reading(o, m.Reading)}
		for _, d := range m.Doses {
			row = append(row, o.brief2(float64(d), 3))
		}
		if k.HasAlkalinity {
			row = append(row, o.brief2(float64(m.Alkalinity), 3))
		}
		rows = append(rows, row)
	}
	t.Table(cols, rows)
}

// sample picks so many moments, evenly spaced in time, the first and last included.
func (r ClarifyReport) sample(n int) []clarify.Moment {
	all := r.Moments
	if len(all) <= n {
		return all
	}
	var out []clarify.Moment
	next := 0
	for i, m := range all {
		due := func() bool { return next < n-1 && float64(m.At) >= float64(r.Time)*float64(next)/float64(n-1)-1e-9 }
		if i == len(all)-1 || due() {
			out = append(out, m)
			for due() { // the unit stood still: one moment stands for several
				next++
			}
		}
	}
	return out
}

func (r ClarifyReport) needs(t *Text, o Options) {
	t.Head("Chemical and waste")
	k := r.Tank()
	if !r.Stopped && len(r.Uses) > 0 {
		var rows [][]string
		for _, u := range r.Uses {
			row := []string{u.Chemical, o.tidy(u.Dosed, 3) + " " + string(u.Basis), "-", "-", "-"}
			if u.Product > 0 {
				row[2] = o.tidy(u.Product, 3)
			}
			if u.Volume > 0 {
				row[3] = o.tidy(u.Volume, 3)
			}
			if u.Stock > 0 {
				row[4] = o.tidy(u.Stock, 3)
			}
			rows = append(rows, row)
		}
		t.Table([]Col{{Head: "chemical"}, {Head: "dosed", Right: true}, {Head: "product", Right: true}, {Head: "is", Right: true}, {Head: "stock", Right: true}}, rows)
	}
	w := r.Waste
	rows := [][2]string{{"water through the unit", o.tidy(r.Treated, 3)}, {"dry solids", fmt.Sprintf("%s (%s to %s)", o.tidy(w.Dry.Likely, 2), o.tidy(w.Dry.Low, 2), o.tidy(w.Dry.High, 2))}}
	if k.Share > 0 {
		rows = append(rows, [2]string{"float or sludge", fmt.Sprintf("%s at %s dry (%s to %s)", o.tidy(w.Float.Likely, 3), o.tidy(k.Share, 2), o.tidy(w.Float.Low, 3), o.tidy(w.Float.High, 3))})
	}
	if w.Water > 0 {
		rows = append(rows, [2]string{"water lost by skimming", o.tidy(w.Water, 3)})
	}
	if k.Bin.Room() > 0 {
		s := fmt.Sprintf("%d times", len(w.Bins))
		if len(w.Bins) == 1 {
			s = "once"
		}
		if len(w.Bins) == 0 {
			s = fmt.Sprintf("not full by the end: %s of %s", o.tidy(w.Volume, 3), o.tidy(k.Bin.Room(), 3))
		} else {
			s += ": " + r.clocks(w.Bins, 6)
		}
		rows = append(rows, [2]string{orWord(k.Bin.Name, "bin") + " full", s})
	}
	t.Pairs(rows)
}

func (r ClarifyReport) clocks(times []quantity.Time, most int) string {
	var out []string
	for i, x := range times {
		if i == most {
			out = append(out, fmt.Sprintf("and %d more", len(times)-most))
			break
		}
		out = append(out, r.clock(x))
	}
	return strings.Join(out, ", ")
}

func (r ClarifyReport) water(t *Text, o Options) {
	k := r.Tank()
	if len(k.Chemicals) == 0 {
		return
	}
	t.Head("What is left in the water")
	var rows [][]string
	for i, c := range k.Chemicals {
		x := r.Final.Residuals[i]
		row := []string{c.Name, o.brief2(float64(x.Bound), 3), o.brief2(float64(x.Worst), 3), "not measured", "-"}
		if x.HasMeasured {
			row[3] = o.brief2(float64(x.Measured), 3)
		}
		if c.StopAt > 0 {
			row[4] = o.brief2(float64(c.StopAt), 2) + " / " + o.brief2(float64(c.WarnAt), 2)
		}
		rows = append(rows, row)
	}
	t.Table([]Col{{Head: "chemical, mg/L"}, {Head: "dosed in all", Right: true}, {Head: "if none is caught", Right: true}, {Head: "as caught", Right: true}, {Head: "stop / care at", Right: true}}, rows)
	var pairs [][2]string
	if k.HasAlkalinity {
		pairs = append(pairs, [2]string{"alkalinity", fmt.Sprintf("%s to %s mg/L CaCO3", o.brief2(float64(k.Alkalinity), 3), o.brief2(float64(r.Final.Alkalinity), 3))})
	} else {
		pairs = append(pairs, [2]string{"alkalinity", "not checked: not given"})
	}
	if r.HasPH {
		pairs = append(pairs, [2]string{"pH", fmt.Sprintf("%s to %s, and %s after aeration (±0.1)", ph2(o, r.Before.PH), ph2(o, r.Closed.PH), ph2(o, r.Open.PH))},
			[2]string{"carbon dioxide", fmt.Sprintf("%s to %s before aeration", o.tidy(r.Before.CO2, 2), o.tidy(r.Closed.CO2, 2))})
	} else {
		pairs = append(pairs, [2]string{"pH", "not checked: pH or alkalinity is not given"})
	}
	t.Pairs(pairs)
	for _, c := range k.Chemicals {
		if !c.HasCapture {
			t.Para("Residuals are what would be there if nothing were caught, the worst there can be. Solids do bind much of it, but by how much no one knows before it is measured; the water is least protected when it is clear.")
			break
		}
	}
}

func ph2(o Options, p quantity.PH) string {
	s := fmt.Sprintf("%.1f", float64(p))
	if o.DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

func (r ClarifyReport) working(t *Text, o Options) {
	t.Head("Working")
	k := r.Tank()
	lambda := float64(k.Removal) * float64(k.Flow) / k.Volume.In("m3")
	rows := [][2]string{
		{"reading", "V dC/dt = -E Q (C - f) + X (Cx - C) + V s, well mixed, integrated in steps with an error below one part in 10^9"},
		{"V, Q, E", fmt.Sprintf("%s, %s, %s: E Q / V = %s per hour", o.tidy(k.Volume, 4), o.tidy(k.Flow, 4), o.tidy(k.Removal, 3), o.Number(lambda, 3))},
		{"f, X, Cx, s", fmt.Sprintf("%s, %s, %s, %s %s/h", r.reading(o, k.Floor), o.tidy(k.Exchange, 3), r.reading(o, k.New), o.brief2(k.Rise, 3), k.Unit())},
		{"turnovers", fmt.Sprintf("ln(C0 / C) / E = %s with nothing coming in; 90 %% takes 2.30 / E, 99 %% 4.61 / E", o.Number(float64(clarify.TurnoversFor(quantity.Fraction(1-k.Stop/k.Start), k.Removal)), 3))},
		{"residual", "V dR/dt = Q D (1 - c) - X R; worst case c = 0; bound Q t D / V"},
	}
	for _, c := range k.Chemicals {
		rows = append(rows, [2]string{c.Name, fmt.Sprintf("takes %s mg/L CaCO3 of alkalinity per mg/L; makes %s mg of dry solids per mg", o.Number(float64(c.AlkalinityUse), 3), o.Number(float64(c.SolidsYield().Likely), 3))})
	}
	rows = append(rows, [2]string{"dry solids", fmt.Sprintf("%s mg/L per unit of reading, and the floc of the chemicals", o.Number(perUnit(k), 3))})
	t.Pairs(rows)
}

func perUnit(k clarify.Tank) float64 {
	if k.PerUnit > 0 {
		return k.PerUnit
	}
	if k.Unit() == "mg/L" {
		return 1
	}
	return 1.5
}

// Drawing implements [DrawReport]: reading and residuals over time.
func (r ClarifyReport) Drawing(o Options) draw.Drawing {
	k := r.Tank()
	d := draw.Drawing{Title: "Cleaning up " + orWord(r.Name, "a tank"), DecimalComma: o.DecimalComma, Description: r.headline(o)}
	i := k.Key.Info()
	p := draw.Panel{X: draw.Axis{Name: "Time since the start", Unit: "h", Zero: true}, Y: draw.Axis{Name: upperFirst(i.Label), Unit: i.Unit, Zero: true}}
	line := draw.Line{Name: "tank's reading"}
	for _, m := range r.sample(200) {
		line.At = append(line.At, draw.XY{X: float64(m.At), Y: m.Reading})
	}
	p.Layers = append(p.Layers, line, draw.Marker{Label: "clear at " + r.reading(o, k.Stop), At: k.Stop, Stroke: draw.Dashed, Tone: draw.Rust})
	d.Panels = append(d.Panels, p)
	if len(k.Chemicals) > 0 {
		q := draw.Panel{X: p.X, Y: draw.Axis{Name: "Left in the water if none is caught", Unit: "mg/L", Zero: true}}
		for n, c := range k.Chemicals {
			l := draw.Line{Name: c.Name, Stroke: draw.Stroke((n + 1) % 3), Tone: draw.Tone((n + 1) % 5)}
			for _, m := range r.sample(200) {
				l.At = append(l.At, draw.XY{X: float64(m.At), Y: float64(m.Residuals[n].Worst)})
			}
			q.Layers = append(q.Layers, l)
		}
		d.Panels = append(d.Panels, q)
	}
	if !o.Date.IsZero() {
		d.Foot = o.Date.Format("2006-01-02")
	}
	return d
}

func orWord(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// Rows implements [Report]: the course of the run.
func (r ClarifyReport) Rows() [][]string {
	k := r.Tank()
	head := []string{"hours", "running_hours", "turnovers", "reading_" + slugUnit(k.Unit()), "waste_l", "alkalinity_mg_l_caco3"}
	for _, c := range k.Chemicals {
		n := strings.ReplaceAll(strings.ToLower(c.Name), " ", "_")
		head = append(head, n+"_dose_mg_l", n+"_bound_mg_l", n+"_worst_mg_l", n+"_measured_mg_l")
	}
	rows := [][]string{head}
	for _, m := range r.Moments {
		row := []string{Cell(float64(m.At)), Cell(float64(m.Running)), Cell(m.Turnovers), Cell(m.Reading), Cell(float64(m.Waste)), ""}
		if k.HasAlkalinity {
			row[5] = Cell(float64(m.Alkalinity))
		}
		for i, d := range m.Doses {
			x := m.Residuals[i]
			measured := ""
			if x.HasMeasured {
				measured = Cell(float64(x.Measured))
			}
			row = append(row, Cell(float64(d)), Cell(float64(x.Bound)), Cell(float64(x.Worst)), measured)
		}
		rows = append(rows, row)
	}
	return rows
}

func slugUnit(u string) string {
	return strings.NewReplacer("/", "_", " ", "_").Replace(strings.ToLower(u))
}

// JSON implements [Report].
func (r ClarifyReport) JSON() any {
	type use struct {
		Chemical string        `json:"chemical"`
		Dosed    *JSONQuantity `json:"dosed"`
		Product  *JSONQuantity `json:"product,omitempty"`
		Volume   *JSONQuantity `json:"product_volume,omitempty"`
		Stock    *JSONQuantity `json:"stock,omitempty"`
	}
	type residual struct {
		Chemical string        `json:"chemical"`
		Basis    string        `json:"basis"`
		Bound    *JSONQuantity `json:"bound"`
		Worst    *JSONQuantity `json:"worst_case"`
		Measured *JSONQuantity `json:"measured_capture,omitempty"`
		Stop     *JSONQuantity `json:"stop_at,omitempty"`
		Care     *JSONQuantity `json:"care_at,omitempty"`
	}
	type span struct {
		Low    *JSONQuantity `json:"low,omitempty"`
		Likely *JSONQuantity `json:"likely,omitempty"`
		High   *JSONQuantity `json:"high,omitempty"`
	}
	type bag struct {
		Dry    span            `json:"dry"`
		Float  *span           `json:"float,omitempty"`
		Water  *JSONQuantity   `json:"water_lost,omitempty"`
		Volume *JSONQuantity   `json:"volume,omitempty"`
		Bins   []*JSONQuantity `json:"bin_full_at,omitempty"`
	}
	type test struct {
		At      *JSONQuantity `json:"at"`
		Reading *JSONQuantity `json:"reading"`
		Why     string        `json:"why"`
	}
	type waters struct {
		PHStart         *JSONQuantity `json:"ph_start,omitempty"`
		PH              *JSONQuantity `json:"ph,omitempty"`
		PHAerated       *JSONQuantity `json:"ph_aerated,omitempty"`
		AlkalinityStart *JSONQuantity `json:"alkalinity_start,omitempty"`
		Alkalinity      *JSONQuantity `json:"alkalinity,omitempty"`
		CO2             *JSONQuantity `json:"co2,omitempty"`
	}
	k := r.Tank()
	unit := k.Unit()
	doc := struct {
		Schema    string        `json:"schema"`
		Site      string        `json:"site,omitempty"`
		Tank      string        `json:"tank,omitempty"`
		Outcome   string        `json:"outcome"`
		Stopped   bool          `json:"stopped"`
		Time      *JSONQuantity `json:"time,omitempty"`
		Running   *JSONQuantity `json:"running,omitempty"`
		Turnovers *float64      `json:"turnovers,omitempty"`
		Final     *JSONQuantity `json:"final_reading"`
		Use       []use         `json:"use"`
		Waste     bag           `json:"waste"`
		Residuals []residual    `json:"residuals"`
		Water     *waters       `json:"water,omitempty"`
		JarTests  []test        `json:"jar_tests"`
		Series    [][]float64   `json:"series"`
		Columns   []string      `json:"series_columns"`
		Notes     note.List     `json:"notes"`
	}{Schema: "jarwright.clarify/1", Site: r.Site, Tank: r.Name, Outcome: string(r.Outcome), Stopped: r.Stopped, Final: QIn(r.Final.Reading, unit), Use: []use{}, Residuals: []residual{}, JarTests: []test{},
		Series: [][]float64{}, Columns: []string{"h", "reading (" + unit + ")"}}
	if r.Outcome == clarify.Cleared || r.Outcome == clarify.ClearAlready {
		doc.Time, doc.Running = QIn(float64(r.Time), "h"), QIn(float64(r.Running), "h")
		n := r.Turnovers
		doc.Turnovers = &n
	}
	if !r.Stopped {
		for _, u := range r.Uses {
			j := use{Chemical: u.Chemical, Dosed: QIn(float64(u.Dosed), "kg")}
			j.Dosed.Basis = u.Basis.String()
			if u.Product > 0 {
				j.Product = QIn(float64(u.Product), "kg")
			}
			if u.Volume > 0 {
				j.Volume = QIn(float64(u.Volume), "L")
			}
			if u.Stock > 0 {
				j.Stock = QIn(float64(u.Stock), "L")
			}
			doc.Use = append(doc.Use, j)
		}
	}
	w := r.Waste
	doc.Waste.Dry = span{QIn(float64(w.Dry.Low), "kg"), QIn(float64(w.Dry.Likely), "kg"), QIn(float64(w.Dry.High), "kg")}
	if k.Share > 0 {
		doc.Waste.Float = &span{QIn(float64(w.Float.Low), "L"), QIn(float64(w.Float.Likely), "L"), QIn(float64(w.Float.High), "L")}
		doc.Waste.Volume = QIn(float64(w.Volume), "L")
	}
	if w.Water > 0 {
		doc.Waste.Water = QIn(float64(w.Water), "L")
	}
	for _, b := range w.Bins {
		doc.Waste.Bins = append(doc.Waste.Bins, QIn(float64(b), "h"))
	}
	for i, c := range k.Chemicals {
		x := r.Final.Residuals[i]
		j := residual{Chemical: c.Name, Basis: c.Basis.String(), Bound: QIn(float64(x.Bound), "mg/L"), Worst: QIn(float64(x.Worst), "mg/L")}
		if x.HasMeasured {
			j.Measured = QIn(float64(x.Measured), "mg/L")
		}
		if c.StopAt > 0 {
			j.Stop, j.Care = QIn(float64(c.StopAt), "mg/L"), QIn(float64(c.WarnAt), "mg/L")
		}
		doc.Residuals = append(doc.Residuals, j)
		doc.Columns = append(doc.Columns, c.Name+" dose (mg/L "+c.Basis.String()+")")
	}
	if k.HasAlkalinity {
		doc.Water = &waters{AlkalinityStart: QIn(float64(k.Alkalinity), "mg/L CaCO3"), Alkalinity: QIn(float64(r.Final.Alkalinity), "mg/L CaCO3")}
		if r.HasPH {
			doc.Water.PHStart, doc.Water.PH, doc.Water.PHAerated = QIn(float64(r.Before.PH), "pH"), QIn(float64(r.Closed.PH), "pH"), QIn(float64(r.Open.PH), "pH")
			doc.Water.CO2 = QIn(float64(r.Closed.CO2), "mg/L")
		}
	}
	for _, j := range r.JarTests {
		doc.JarTests = append(doc.JarTests, test{QIn(float64(j.At), "h"), QIn(j.Reading, unit), j.Why})
	}
	for _, m := range r.Moments {
		row := []float64{float64(m.At), m.Reading}
		for _, d := range m.Doses {
			if r.Stopped {
				break
			}
			row = append(row, float64(d))
		}
		doc.Series = append(doc.Series, row)
	}
	doc.Notes = Notes(append(append(note.List(nil), r.CleaningNotes()...), r.Handling...))
	return doc
}
