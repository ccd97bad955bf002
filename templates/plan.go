package templates

import (
	"fmt"
	"math"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/flow"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Plan shows a day plan, with what it does to water, animals and people. A plan
// that a stop stands against is shown without anything a pump could be set by.
type Plan struct {
	dosing.Plan
	Findings caution.Findings
	Solids   *dosing.SolidsDay
}

// NewPlan makes the report of a plan.
func NewPlan(p dosing.Plan, f caution.Findings, s *dosing.SolidsDay) Plan {
	if f.Stopped {
		p = p.Withheld()
	}
	return Plan{p, f, s}
}

// Text writes the page to work from first, then the figures behind it.
func (p Plan) Text(t *Text, o Options) {
	title := "Day plan"
	if p.Site != "" {
		title += ": " + p.Site
	}
	if !o.Date.IsZero() {
		title += ", " + o.Date.Format("2006-01-02")
	}
	t.Head(title)
	t.Para(p.waterLine(o))
	stoppedText(t, p.Findings)
	acceptedText(t, p.Findings.Taken)
	if len(p.Feeds) > 1 {
		p.feedTable(t, o)
	}
	p.taskTable(t, o)
	p.hourText(t, o)
	p.recipes(t, o)
	p.binText(t, o)
	if grave := p.grave(); len(grave) > 0 {
		t.Head("Look at this first")
		t.Notes(grave)
	}
	for _, f := range p.Feeds {
		p.feedText(t, o, f)
	}
	p.solidsText(t, o)
	waterText(t, p.Findings, o)
	cautionText(t, p.Findings, o)
	handlingText(t, p.Findings.Handling, o)
	if rest := p.Notes.Only(note.Info); len(rest) > 0 {
		t.Head("Notes")
		t.Notes(rest)
	}
	if o.Explain {
		p.workingText(t, o)
		checkText(t, p.Findings.Checks)
	}
}

// grave gives the plan's own notes that matter before anything is set.
func (p Plan) grave() note.List {
	var out note.List
	for _, n := range p.Notes {
		if n.Level >= note.Caution {
			out.Add(n)
		}
	}
	if p.Solids != nil {
		out = append(out, p.Solids.Notes...)
	}
	return out
}

// feedTable writes one line a chemical: what a pump is to do.
func (p Plan) feedTable(t *Text, o Options) {
	t.Head("Pumps")
	cols := []Col{{Head: "Chemical"}, {Head: "Dose"}, {Head: "Pump"}, {Head: "Set to", Right: true}, {Head: "Feed", Right: true}, {Head: "Stock/day", Right: true}, {Head: "Tank lasts", Right: true}}
	var rows [][]string
	for _, f := range p.Feeds {
		row := []string{f.Name, o.tidyDose(f.Dose, 3), f.PumpName, "", "", "", ""}
		if f.Setting != nil {
			c := f.Setting.Average
			row[3] = o.tidy(c.Position.Setting, 3)
			if f.Pump.Calibration.TwoKnobs() {
				row[3] += ", stroke " + o.tidy(c.Position.Stroke, 3)
			}
			if !f.Setting.InRange {
				row[3] = "out of range"
			} else if f.Follows {
				row[3] = "follows flow"
			}
		}
		switch {
		case f.Fed:
			row[4], row[5] = o.tidy(f.Rate, 3), o.tidy(f.StockUse, 3)
			if f.Lasts > 0 {
				row[6] = o.tidy(f.Lasts, 3)
			}
		case p.Findings.Stopped:
			row[3] = "withheld"
		default:
			row[4] = o.tidy(daily{f.Product}, 3)
		}
		rows = append(rows, row)
	}
	t.Table(cols, rows)
}

func (p Plan) taskTable(t *Text, o Options) {
	if len(p.Tasks) == 0 || len(p.Feeds) < 2 && len(p.Tasks) < 2 {
		return
	}
	t.Head("What to do when")
	var rows [][]string
	bins := p.binTasks(o)
	for _, k := range p.Tasks {
		for len(bins) > 0 && bins[0].at < k.At {
			rows = append(rows, []string{flow.Clock(wrapDay(bins[0].at)), bins[0].text})
			bins = bins[1:]
		}
		rows = append(rows, []string{flow.Clock(wrapDay(k.At)), p.taskText(k, o)})
	}
	for _, b := range bins {
		rows = append(rows, []string{flow.Clock(wrapDay(b.at)), b.text})
	}
	t.Table([]Col{{Head: "Time"}, {Head: "Task"}}, rows)
}

type binTask struct {
	at   quantity.Time
	text string
}

// binTasks lists the emptyings of the plan's first day.
func (p Plan) binTasks(o Options) []binTask {
	if p.Solids == nil || p.Solids.Bin == nil {
		return nil
	}
	var out []binTask
	for _, e := range p.Solids.Emptys.Emptyings {
		if e.At >= p.Start+24 {
			break
		}
		s := "empty " + p.Solids.Bin.Name + " (" + o.tidy(e.Contents, 3) + " in it)"
		if e.Early {
			s += ": it would run over while nobody is there"
		}
		out = append(out, binTask{e.At, s})
	}
	return out
}

func (p Plan) recipes(t *Text, o Options) {
	headed := false
	for _, f := range p.Feeds {
		if len(f.Batches) == 0 {
			continue
		}
		if !headed {
			t.Head("Stock recipes")
			headed = true
		}
		p.recipeText(t, o, f)
	}
}

// binText says when the bin is full if it is not emptied in the plan's day.
func (p Plan) binText(t *Text, o Options) {
	if p.Solids == nil || p.Solids.Bin == nil || !p.Solids.Emptys.Fills || len(p.binTasks(o)) > 0 {
		return
	}
	t.Blank()
	t.Para(fmt.Sprintf("%s: full in %s if left alone; empty it then.", upperFirst(p.Solids.Bin.Name), o.tidy(p.Solids.Emptys.FullIn, 3)))
}

func (p Plan) solidsText(t *Text, o Options) {
	s := p.Solids
	if s == nil {
		return
	}
	word := "float"
	if s.Unit == "settler" {
		word = "sludge"
	}
	t.Head("Solids")
	rows := [][2]string{
		{"Dry solids a day", fmt.Sprintf("%s (%s to %s)", o.tidy(s.Dry.Likely, 3), o.tidy(s.Dry.Low, 3), o.tidy(s.Dry.High, 3))},
		{upperFirst(word) + " a day", fmt.Sprintf("%s at %s dry (%s); %s to %s", o.tidy(s.Float.Likely, 3), o.tidy(s.Share, 2), s.ShareFrom, o.tidy(s.Float.Low, 3), o.tidy(s.Float.High, 3))},
	}
	if s.Skims > 0 {
		rows = append(rows, [2]string{"Water skimmed off", fmt.Sprintf("%s a day in %s passes", o.tidy(s.Carried, 3), o.Number(s.Skims, 3))})
	}
	if s.Bin != nil && s.Emptys.Fills {
		rows = append(rows, [2]string{upperFirst(s.Bin.Name), fmt.Sprintf("full in %s, to be emptied %s times a day", o.tidy(s.Emptys.FullIn, 3), o.Number(s.Emptys.PerDay, 2))})
	}
	rows = append(rows, unitRows(s.Day, o)...)
	t.Pairs(rows)
	if o.Explain {
		unitText(t, s.Day, o)
		for _, part := range s.Parts {
			t.Item("-", fmt.Sprintf("%s: %s = %s per litre of water (%s to %s) [%s]", part.What, part.Working, o.tidy(part.Range.Likely, 3), o.tidy(part.Range.Low, 3), o.tidy(part.Range.High, 3), part.Source))
		}
	}
}

func wrapDay(h quantity.Time) quantity.Time {
	return quantity.Time(math.Mod(math.Mod(float64(h), 24)+24, 24))
}

func (p Plan) waterLine(o Options) string {
	s := fmt.Sprintf("Water to treat: %s at %s on average", o.tidy(p.Treated, 3), o.tidy(p.Day.Average(), 3))
	if p.Day.Least() < p.Day.Average()*0.999 || p.Day.Peak() > p.Day.Average()*1.001 {
		s += fmt.Sprintf(" (%s to %s)", o.tidy(p.Day.Least(), 3), o.tidy(p.Day.Peak(), 3))
	}
	s += fmt.Sprintf(", running %s (%s).", o.tidy(hourly{p.Running}, 3), p.FlowSource)
	return s
}

// hourly shows a span in hours, however long.
type hourly struct{ t quantity.Time }

// Show gives hours.
func (h hourly) Show(quantity.System) (float64, string) { return float64(h.t), "h" }

func (p Plan) feedText(t *Text, o Options, f dosing.Feed) {
	head := upperFirst(f.Name)
	if f.Stock.Product.Name != "" && !strings.EqualFold(f.Stock.Product.Name, f.Name) {
		head += ": " + f.Stock.Product.Name
	}
	t.Head(head)
	rows := [][2]string{{"Dose", o.tidyDose(f.Dose, 4) + p.doseRange(f, o)}}
	if f.Dose.Basis != quantity.AsProduct {
		rows = append(rows, [2]string{"", "the same as product: " + o.tidy(f.AsProduct.Concentration, 4)})
	}
	use := o.tidy(daily{f.Product}, 4) + " of product"
	if f.HasVolume {
		use += ", " + o.tidy(f.Volume, 4)
	}
	if f.HasActive {
		use += fmt.Sprintf(" (%s %s)", o.tidy(daily{f.Active}, 4), f.ActiveBasis)
	}
	rows = append(rows, [2]string{"Use a day", use})
	if f.Fed {
		stock := "neat product"
		if !f.Stock.Neat() {
			stock = fmt.Sprintf("%s of product per litre", gramsPerLitre(f.PerLitre, o))
		}
		if f.AtPoint < f.Stock.PercentByMass()*0.999 {
			stock += fmt.Sprintf("; with %s of carrier water %s by mass at the dosing point", o.tidy(perHour{f.Post}, 3), o.tidy(f.AtPoint, 3))
		}
		rows = append(rows, [2]string{"Stock", stock + ", " + o.tidy(f.StockUse, 4) + " a day"})
		rows = append(rows, [2]string{"Feed", p.rateText(f, o)})
		if f.Setting != nil {
			rows = append(rows, [2]string{"Pump", p.settingText(f, o)})
		}
		if f.Lasts > 0 {
			s := fmt.Sprintf("%s holds %s usable: a full one lasts %s", f.Tank.Name, o.tidy(f.Tank.Holds(), 3), o.tidy(f.Lasts, 3))
			if f.HasEmpty && f.Stock.Neat() {
				s += "; as it stands, empty at " + dayClock(f.Empty)
			}
			rows = append(rows, [2]string{"Tank", s})
		}
		if f.Range.Known {
			r := f.Range
			s := fmt.Sprintf("%s to %s of product a day, %s to %s", o.tidy(daily{r.ProductLow}, 3), o.tidy(daily{r.ProductHigh}, 3), o.tidy(r.RateLow, 3), o.tidy(r.RateHigh, 3))
			if f.Setting != nil && f.Setting.HasRange {
				s += fmt.Sprintf(", setting %s to %s", o.tidy(f.Setting.Range[0].Exact.Setting, 3), o.tidy(f.Setting.Range[1].Exact.Setting, 3))
			}
			if r.Open {
				s += "; how much higher the dose may have to be, the bench does not tell"
			}
			rows = append(rows, [2]string{"Not certain", s})
		}
	}
	t.Pairs(rows)
}

// daily shows a mass rate in g/d where kg/d would begin with zeros.
type daily struct{ m quantity.MassRate }

// Show gives kg/d, g/d or lb/d.
func (d daily) Show(u quantity.System) (float64, string) {
	if u == quantity.Metric && d.m != 0 && math.Abs(float64(d.m)) < 0.1 {
		return d.m.In("g/d"), "g/d"
	}
	return d.m.Show(u)
}

// tidyDose writes a dose with its basis, without idle zeros.
func (o Options) tidyDose(d quantity.Dose, digits int) string {
	s := o.tidy(d.Concentration, digits)
	if d.Basis != quantity.NotStated {
		s += " " + string(d.Basis)
	}
	return s
}

// perHour shows a small flow of water in L/h.
type perHour struct{ f quantity.Flow }

// Show gives L/h.
func (h perHour) Show(quantity.System) (float64, string) { return h.f.In("L/h"), "L/h" }

func gramsPerLitre(c quantity.Concentration, o Options) string {
	return o.brief2(c.In("g/L"), 4) + " g"
}

func (p Plan) doseRange(f dosing.Feed, o Options) string {
	s := ""
	switch {
	case f.Low > 0 && f.High > 0:
		s = fmt.Sprintf(" (%s to %s)", o.tidy(f.Low, 3), o.tidy(f.High, 3))
	case f.Low > 0:
		s = fmt.Sprintf(" (from %s, upper end open)", o.tidy(f.Low, 3))
	}
	if f.DoseSource != "" {
		s += ", " + f.DoseSource
	}
	return s
}

func (p Plan) rateText(f dosing.Feed, o Options) string {
	s := o.tidy(f.Rate, 4)
	if f.Least < f.Rate*0.999 || f.Peak > f.Rate*1.001 {
		s += fmt.Sprintf(" on average; %s at least flow, %s at peak", o.tidy(f.Least, 3), o.tidy(f.Peak, 3))
	}
	return s
}

func (p Plan) settingText(f dosing.Feed, o Options) string {
	s := p.knob(f, f.Setting.Average, o)
	if f.PumpName != "" {
		s = f.PumpName + ": " + s
	}
	if !f.Setting.InRange {
		s += "; OUT OF RANGE, see below"
	}
	return s
}

// knob says where the knobs stand and what comes of it.
func (p Plan) knob(f dosing.Feed, c pump.Choice, o Options) string {
	at := o.tidy(c.Position.Setting, 4)
	if f.Pump.Calibration.TwoKnobs() {
		at = "speed " + at + ", stroke " + o.tidy(c.Position.Stroke, 3)
	}
	s := "set to " + at
	if c.Reach == pump.Within {
		s += fmt.Sprintf(" (gives %s", o.tidy(c.Gives, 3))
		if e := math.Abs(float64(c.Error)); e >= 0.005 {
			word := "over"
			if c.Error < 0 {
				word = "under"
			}
			s += fmt.Sprintf(", %s %s", o.tidy(quantity.Fraction(e), 2), word)
		}
		s += ")"
	} else {
		s = fmt.Sprintf("would need %s of its range", o.tidy(c.Exact.Setting, 3))
	}
	return s
}

func (p Plan) recipeText(t *Text, o Options, f dosing.Feed) {
	if len(f.Batches) == 0 {
		return
	}
	b := f.Batches[0]
	r := b.Recipe
	name := f.StockName
	if name == "" {
		name = f.Name
	}
	s := upperFirst(name) + ": to make up " + o.tidy(r.Final, 3) + ", weigh " + o.tidy(r.Product, 3)
	if r.ProductVolume > 0 {
		s += " (" + o.tidy(r.ProductVolume, 3) + ")"
	}
	s += fmt.Sprintf(" of product into most of %s of water, fill up to %s", o.tidy(r.Water, 3), o.tidy(r.Final, 3))
	if f.Ageing > 0 {
		s += ", stir gently and let it age " + o.tidy(f.Ageing, 3)
	}
	s += ". It keeps " + o.tidy(hourly{f.Life}, 3) + "."
	same := true
	for _, x := range f.Batches {
		same = same && math.Abs(float64(x.Volume-b.Volume)) < 1e-9
	}
	if !same {
		s += " Other batches in proportion: see the times below."
	}
	if f.Every > 1 {
		s += fmt.Sprintf(" One batch lasts %d days.", f.Every)
	}
	t.Para(s)
}

// useBy gives the end of a batch's life as the one who makes it up would say it.
func useBy(b dosing.Batch) string {
	made := math.Floor(float64(b.Start) / 24)
	switch days := math.Floor(float64(b.Expires)/24) - made; {
	case days <= 0:
		return flow.Clock(wrapDay(b.Expires)) + " today"
	case days == 1:
		return flow.Clock(wrapDay(b.Expires)) + " tomorrow"
	default:
		return fmt.Sprintf("%s in %.0f days", flow.Clock(wrapDay(b.Expires)), days)
	}
}

func dayClock(h quantity.Time) string {
	if h >= 24 {
		return fmt.Sprintf("%s, %d day(s) on", flow.Clock(wrapDay(h)), int(math.Floor(float64(h)/24)))
	}
	return flow.Clock(h)
}

func (p Plan) taskText(k dosing.Task, o Options) string {
	if k.Feed < 0 {
		return string(k.Kind)
	}
	f := p.Feeds[k.Feed]
	pumpName := f.PumpName
	if pumpName == "" {
		pumpName = "the pump"
	}
	stock := f.StockName
	if stock == "" {
		stock = f.Name
	}
	switch k.Kind {
	case dosing.SetPump:
		if f.Follows {
			return fmt.Sprintf("%s follows the flow meter: check that it gives %s at %s", pumpName, o.tidy(f.Peak, 3), o.tidy(k.Flow, 3))
		}
		s := fmt.Sprintf("%s for %s: %s", pumpName, f.Name, p.knob(f, k.Choice, o))
		if k.Flow > 0 && p.Day.Peak() > p.Day.Least()*1.001 {
			s += " for " + o.tidy(k.Flow, 3)
		}
		return s
	case dosing.StopPump:
		return fmt.Sprintf("stop %s (%s): the unit stands still", pumpName, f.Name)
	case dosing.MakeUp:
		s := fmt.Sprintf("make up %s of %s (%s of product)", o.tidy(k.Batch.Volume, 3), stock, o.tidy(k.Batch.Recipe.Product, 3))
		if f.Ageing > 0 {
			s += ", aged at " + flow.Clock(wrapDay(k.Batch.Aged))
		}
		s += ", use by " + useBy(k.Batch)
		if f.Every > 1 {
			s += fmt.Sprintf(", every %d days", f.Every)
		}
		return s
	case dosing.MoveStock:
		return fmt.Sprintf("let %s over into %s", stock, f.Tank.Name)
	case dosing.ChangeDrum:
		return fmt.Sprintf("%s (%s) runs empty: fill or change it before", f.Tank.Name, f.Name)
	}
	return string(k.Kind) + " " + f.Name
}

// hourText writes the hour table, hours that are alike in one row.
func (p Plan) hourText(t *Text, o Options) {
	fed := false
	for _, f := range p.Feeds {
		fed = fed || f.Fed
	}
	if !fed || len(p.Hours) == 0 {
		return
	}
	varies := p.Day.Peak() > p.Day.Least()*1.001 || p.Running < 24
	levels := false
	for _, h := range p.Hours {
		for _, f := range h.Feeds {
			levels = levels || f.HasLevel
		}
	}
	if !varies && !levels {
		return
	}
	t.Head("Hour by hour")
	cols := []Col{{Head: "Hour"}, {Head: "Flow " + unitOf(quantity.Flow(1), o), Right: true}}
	for _, f := range p.Feeds {
		if !f.Fed {
			continue
		}
		cols = append(cols, Col{Head: f.Name + " mL/min", Right: true})
		if f.Setting != nil {
			cols = append(cols, Col{Head: "%", Right: true})
		}
		if len(f.Batches) > 0 && f.Tank != nil {
			cols = append(cols, Col{Head: "tank L", Right: true})
		}
	}
	var rows [][]string
	for i := 0; i < len(p.Hours); i++ {
		h := p.Hours[i]
		j := i
		for j+1 < len(p.Hours) && alike(h, p.Hours[j+1]) && (j+2-i) <= 4 {
			j++
		}
		v, _ := h.Flow.Show(o.Units)
		row := []string{flow.Clock(h.From) + "-" + flow.Clock(p.Hours[j].From+1), o.Number(v, 3)}
		for k, f := range p.Feeds {
			if !f.Fed {
				continue
			}
			x := h.Feeds[k]
			row = append(row, o.Number(float64(x.Rate), 3))
			if f.Setting != nil {
				s := o.Number(float64(x.Setting), 3)
				if x.Rate == 0 {
					s = "off"
				}
				row = append(row, s)
			}
			if len(f.Batches) > 0 && f.Tank != nil {
				row = append(row, strings.Replace(fmt.Sprintf("%.1f", float64(p.Hours[j].Feeds[k].Level)), ".", o.mark(), 1))
			}
		}
		rows = append(rows, row)
		i = j
	}
	t.Table(cols, rows)
	if levels {
		t.Para("Tank: what should stand in it, usable, at the end of those hours.")
	}
}

func unitOf(q quantity.Quantity, o Options) string { _, u := q.Show(o.Units); return u }

func alike(a, b dosing.HourRow) bool {
	if math.Abs(float64(a.Flow-b.Flow)) > 1e-9 || a.Running != b.Running {
		return false
	}
	for k := range a.Feeds {
		if a.Feeds[k].Setting != b.Feeds[k].Setting {
			return false
		}
	}
	return true
}

func (p Plan) workingText(t *Text, o Options) {
	for _, f := range p.Feeds {
		t.Head("Working: " + f.Name)
		for _, w := range f.Working {
			v := ""
			if d, ok := w.Value.(quantity.Dose); ok {
				v = o.tidyDose(d, 5)
			} else {
				v = o.tidy(w.Value, 5)
			}
			t.Item("-", fmt.Sprintf("%s = %s = %s = %s [%s]", w.Figure, w.Formula, w.Inputs, v, w.Source))
		}
		if f.Fed {
			t.Item("-", fmt.Sprintf("check: stock used × strength = %s, dose × water = %s", o.tidy(f.Closure.Given, 6), o.tidy(f.Closure.Asked, 6)))
		}
	}
}

type jsonPlan struct {
	Schema string      `json:"schema"`
	Site   string      `json:"site,omitempty"`
	Flow   jsonFlow    `json:"flow"`
	Feeds  []jsonFeed  `json:"feeds"`
	Tasks  []jsonTask  `json:"tasks,omitempty"`
	Hours  []jsonHour  `json:"hours,omitempty"`
	Solids *jsonSolids `json:"solids,omitempty"`
	jsonReview
	Notes note.List `json:"notes"`
}

type jsonSolids struct {
	Dry       *JSONQuantity `json:"dry"`
	DryLow    *JSONQuantity `json:"dry_low"`
	DryHigh   *JSONQuantity `json:"dry_high"`
	Volume    *JSONQuantity `json:"volume"`
	Share     *JSONQuantity `json:"dry_share"`
	Carried   *JSONQuantity `json:"water_skimmed,omitempty"`
	BinFullIn *JSONQuantity `json:"bin_full_in,omitempty"`
	Empty     []string      `json:"empty_at,omitempty"`
	Unit      *jsonUnit     `json:"unit,omitempty"`
}

type jsonFlow struct {
	Average *JSONQuantity `json:"average"`
	Least   *JSONQuantity `json:"least,omitempty"`
	Peak    *JSONQuantity `json:"peak,omitempty"`
	Hours   *JSONQuantity `json:"hours"`
	Treated *JSONQuantity `json:"treated"`
	Source  string        `json:"source,omitempty"`
}

type jsonFeed struct {
	Chemical      string        `json:"chemical"`
	Product       string        `json:"product,omitempty"`
	Dose          *JSONQuantity `json:"dose"`
	DoseLow       *JSONQuantity `json:"dose_low,omitempty"`
	DoseHigh      *JSONQuantity `json:"dose_high,omitempty"`
	DoseSource    string        `json:"dose_source,omitempty"`
	DoseAsProduct *JSONQuantity `json:"dose_as_product"`
	Flow          *JSONQuantity `json:"flow"`
	ActiveUse     *JSONQuantity `json:"active_use,omitempty"`
	ProductUse    *JSONQuantity `json:"product_use"`
	ProductVolume *JSONQuantity `json:"product_volume,omitempty"`
	Stock         *JSONQuantity `json:"stock,omitempty"`
	StockUse      *JSONQuantity `json:"stock_use,omitempty"`
	StockRate     *JSONQuantity `json:"stock_rate,omitempty"`
	RateLeast     *JSONQuantity `json:"stock_rate_least_flow,omitempty"`
	RatePeak      *JSONQuantity `json:"stock_rate_peak_flow,omitempty"`
	Range         *jsonRange    `json:"range,omitempty"`
	Pump          *jsonPump     `json:"pump,omitempty"`
	Tank          *jsonTank     `json:"tank,omitempty"`
	Batches       []jsonBatch   `json:"batches"`
	EveryDays     int           `json:"batches_every_days,omitempty"`
	Closure       *jsonClosure  `json:"closure,omitempty"`
	Working       []jsonWorking `json:"working"`
}

type jsonRange struct {
	ProductLow  *JSONQuantity `json:"product_use_low"`
	ProductHigh *JSONQuantity `json:"product_use_high"`
	RateLow     *JSONQuantity `json:"stock_rate_low"`
	RateHigh    *JSONQuantity `json:"stock_rate_high"`
	SettingLow  *JSONQuantity `json:"setting_low,omitempty"`
	SettingHigh *JSONQuantity `json:"setting_high,omitempty"`
	OpenHigh    bool          `json:"open_high,omitempty"`
}

type jsonPump struct {
	Name     string        `json:"name,omitempty"`
	Setting  *JSONQuantity `json:"setting"`
	Knob     *JSONQuantity `json:"knob"`
	Stroke   *JSONQuantity `json:"stroke,omitempty"`
	Gives    *JSONQuantity `json:"gives"`
	InRange  bool          `json:"in_range"`
	Follows  bool          `json:"follows_signal,omitempty"`
	Measured bool          `json:"calibrated"`
}

type jsonTank struct {
	Name  string        `json:"name"`
	Holds *JSONQuantity `json:"holds"`
	Lasts *JSONQuantity `json:"lasts"`
}

type jsonBatch struct {
	Volume  *JSONQuantity `json:"volume"`
	Product *JSONQuantity `json:"product"`
	Water   *JSONQuantity `json:"water"`
	Start   string        `json:"start"`
	Ready   string        `json:"ready"`
	Moved   string        `json:"moved,omitempty"`
	From    string        `json:"used_from"`
	Till    string        `json:"used_till"`
	Expires string        `json:"expires"`
}

type jsonClosure struct {
	Asked *JSONQuantity `json:"dose_times_water"`
	Given *JSONQuantity `json:"stock_times_strength"`
}

type jsonWorking struct {
	Figure  string        `json:"figure"`
	Formula string        `json:"formula"`
	Inputs  string        `json:"inputs,omitempty"`
	Value   *JSONQuantity `json:"value"`
	Source  string        `json:"source,omitempty"`
}

type jsonTask struct {
	At       string `json:"at"`
	Chemical string `json:"chemical,omitempty"`
	Kind     string `json:"kind"`
	Text     string `json:"text"`
}

type jsonHour struct {
	From  string         `json:"from"`
	Flow  *JSONQuantity  `json:"flow"`
	Feeds []jsonHourFeed `json:"feeds"`
}

type jsonHourFeed struct {
	Chemical string        `json:"chemical"`
	Rate     *JSONQuantity `json:"stock_rate"`
	Setting  *JSONQuantity `json:"setting,omitempty"`
	Used     *JSONQuantity `json:"stock_used"`
	Level    *JSONQuantity `json:"tank_level,omitempty"`
}

// JSON gives the document jarwright.plan/1.
func (p Plan) JSON() any {
	doc := jsonPlan{Schema: "jarwright.plan/1", Site: p.Site, Feeds: []jsonFeed{}, jsonReview: reviewJSON(p.Findings),
		Notes: Notes(append(append(append(note.List{}, p.Notes...), p.solidsNotes()...), p.Findings.All()...)),
		Flow: jsonFlow{QIn(float64(p.Day.Average()), "m3/h"), QIn(float64(p.Day.Least()), "m3/h"), QIn(float64(p.Day.Peak()), "m3/h"),
			QIn(float64(p.Running), "h"), QIn(p.Treated.In("m3"), "m3"), p.FlowSource}}
	for _, f := range p.Feeds {
		doc.Feeds = append(doc.Feeds, p.jsonFeed(f))
	}
	if x := p.Solids; x != nil {
		doc.Solids = &jsonSolids{Dry: QIn(float64(x.Dry.Likely), "kg/d"), DryLow: QIn(float64(x.Dry.Low), "kg/d"), DryHigh: QIn(float64(x.Dry.High), "kg/d"),
			Volume: QIn(float64(x.Volume.Likely), "L/d"), Share: QIn(x.Share.Percent(), "%"), Unit: unitJSON(x.Day)}
		if x.Skims > 0 {
			doc.Solids.Carried = QIn(float64(x.Carried), "L/d")
		}
		if x.Bin != nil && x.Emptys.Fills {
			doc.Solids.BinFullIn = QIn(float64(x.Emptys.FullIn), "h")
			for _, e := range x.Emptys.Emptyings {
				if e.At < p.Start+24 {
					doc.Solids.Empty = append(doc.Solids.Empty, flow.Clock(wrapDay(e.At)))
				}
			}
		}
	}
	for _, k := range p.Tasks {
		x := jsonTask{At: flow.Clock(wrapDay(k.At)), Kind: string(k.Kind), Text: p.taskText(k, Options{})}
		if k.Feed >= 0 {
			x.Chemical = p.Feeds[k.Feed].Name
		}
		doc.Tasks = append(doc.Tasks, x)
	}
	for _, h := range p.Hours {
		row := jsonHour{From: flow.Clock(h.From), Flow: QIn(float64(h.Flow), "m3/h")}
		for k, f := range p.Feeds {
			if !f.Fed {
				continue
			}
			x := jsonHourFeed{Chemical: f.Name, Rate: QIn(float64(h.Feeds[k].Rate), "mL/min"), Used: QIn(float64(h.Feeds[k].Used), "L")}
			if f.Setting != nil {
				x.Setting = QIn(float64(h.Feeds[k].Setting), "%")
			}
			if h.Feeds[k].HasLevel {
				x.Level = QIn(float64(h.Feeds[k].Level), "L")
			}
			row.Feeds = append(row.Feeds, x)
		}
		doc.Hours = append(doc.Hours, row)
	}
	return doc
}

func (p Plan) solidsNotes() note.List {
	if p.Solids == nil {
		return nil
	}
	return p.Solids.Notes
}

func (p Plan) jsonFeed(f dosing.Feed) jsonFeed {
	x := jsonFeed{Chemical: f.Name, Product: f.Stock.Product.ID, Dose: QDose(f.Dose), DoseSource: f.DoseSource, DoseAsProduct: QDose(f.AsProduct),
		Flow: QIn(float64(f.Flow), "m3/h"), ProductUse: QIn(float64(f.Product), "kg/d"), Batches: []jsonBatch{}, EveryDays: f.Every, Working: []jsonWorking{}}
	if f.Low > 0 {
		x.DoseLow = QDose(quantity.Dose{Concentration: f.Low, Basis: f.Dose.Basis})
	}
	if f.High > 0 {
		x.DoseHigh = QDose(quantity.Dose{Concentration: f.High, Basis: f.Dose.Basis})
	}
	if f.HasActive {
		x.ActiveUse = QIn(float64(f.Active), "kg/d")
		x.ActiveUse.Basis = f.ActiveBasis.String()
	}
	if f.HasVolume {
		x.ProductVolume = QIn(float64(f.Volume), "L/d")
	}
	for _, w := range f.Working {
		j := jsonWorking{w.Figure, w.Formula, w.Inputs, Q(w.Value), w.Source}
		if d, ok := w.Value.(quantity.Dose); ok {
			j.Value = QDose(d)
		}
		x.Working = append(x.Working, j)
	}
	if !f.Fed {
		return x
	}
	x.Stock = QIn(f.PerLitre.In("g/L"), "g/L")
	x.StockUse = QIn(float64(f.StockUse), "L/d")
	x.StockRate, x.RateLeast, x.RatePeak = QIn(float64(f.Rate), "mL/min"), QIn(float64(f.Least), "mL/min"), QIn(float64(f.Peak), "mL/min")
	x.Closure = &jsonClosure{QIn(float64(f.Closure.Asked), "kg"), QIn(float64(f.Closure.Given), "kg")}
	if r := f.Range; r.Known {
		x.Range = &jsonRange{ProductLow: QIn(float64(r.ProductLow), "kg/d"), ProductHigh: QIn(float64(r.ProductHigh), "kg/d"),
			RateLow: QIn(float64(r.RateLow), "mL/min"), RateHigh: QIn(float64(r.RateHigh), "mL/min"), OpenHigh: r.Open}
	}
	if s := f.Setting; s != nil {
		x.Pump = &jsonPump{Name: f.PumpName, Setting: QIn(float64(s.Average.Exact.Setting), "%"), Knob: QIn(float64(s.Average.Position.Setting), "%"),
			Gives: QIn(float64(s.Average.Gives), "mL/min"), InRange: s.InRange, Follows: f.Follows, Measured: f.Pump.Calibration.Shape != pump.Nominal}
		if f.Pump.Calibration.TwoKnobs() {
			x.Pump.Stroke = QIn(float64(s.Average.Position.Stroke), "%")
		}
		if s.HasRange && x.Range != nil {
			x.Range.SettingLow, x.Range.SettingHigh = QIn(float64(s.Range[0].Exact.Setting), "%"), QIn(float64(s.Range[1].Exact.Setting), "%")
		}
	}
	if f.Lasts > 0 {
		x.Tank = &jsonTank{f.Tank.Name, QIn(float64(f.Tank.Holds()), "L"), QIn(float64(f.Lasts), "h")}
	}
	for _, b := range f.Batches {
		j := jsonBatch{Volume: QIn(float64(b.Volume), "L"), Product: QIn(float64(b.Recipe.Product), "kg"), Water: QIn(float64(b.Recipe.Water), "L"),
			Start: flow.Clock(wrapDay(b.Start)), Ready: flow.Clock(wrapDay(b.Aged)), From: flow.Clock(wrapDay(b.From)), Till: flow.Clock(wrapDay(b.Till)), Expires: flow.Clock(wrapDay(b.Expires))}
		if b.Moved > b.Made+1e-9 {
			j.Moved = flow.Clock(wrapDay(b.Moved))
		}
		x.Batches = append(x.Batches, j)
	}
	return x
}

// Rows gives one row a feed.
func (p Plan) Rows() [][]string {
	rows := [][]string{{"chemical", "dose_mg_per_l", "basis", "flow_m3_per_h", "active_use_kg_per_d", "product_use_kg_per_d", "product_volume_l_per_d",
		"stock_g_per_l", "stock_rate_ml_per_min", "stock_rate_least_ml_per_min", "stock_rate_peak_ml_per_min", "pump", "setting_percent", "in_range", "tank_lasts_h", "batches"}}
	for _, f := range p.Feeds {
		optional := func(ok bool, v float64) string {
			if !ok {
				return ""
			}
			return Cell(v)
		}
		var setting, in string
		if f.Setting != nil {
			setting, in = Cell(float64(f.Setting.Average.Exact.Setting)), fmt.Sprint(f.Setting.InRange)
		}
		rows = append(rows, []string{f.Name, Cell(float64(f.Dose.Concentration)), f.Dose.Basis.String(), Cell(float64(f.Flow)),
			optional(f.HasActive, float64(f.Active)), Cell(float64(f.Product)), optional(f.HasVolume, float64(f.Volume)),
			optional(f.Fed, f.PerLitre.In("g/L")), optional(f.Fed, float64(f.Rate)), optional(f.Fed, float64(f.Least)), optional(f.Fed, float64(f.Peak)),
			f.PumpName, setting, in, optional(f.Lasts > 0, float64(f.Lasts)), fmt.Sprint(len(f.Batches))})
	}
	return rows
}
