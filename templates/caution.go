package templates

import (
	"fmt"
	"strings"

	"jarwright/dosing/animal"
	"jarwright/dosing/caution"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// waterText writes what the doses make of the water, what may stay in it and how
// to give the alkalinity back.
func waterText(t *Text, f caution.Findings, o Options) {
	if c := f.Water; c != nil {
		t.Head("What it does to the water")
		t.Table([]Col{{Head: ""}, {Head: "raw", Right: true}, {Head: "after dosing", Right: true}, {Head: "after aeration", Right: true}}, chemistryRows(*c, o))
		if c.HasPH {
			t.Para("Computed pH is good to about 0.1." + measuredPH(*c, o))
		}
	}
	residualText(t, f.Residuals, o)
	saltText(t, f.Salts, o)
	alkaliText(t, f.Alkalis, o)
}

func measuredPH(c caution.Chemistry, o Options) string {
	if !c.MeasuredPH.OK {
		return ""
	}
	return " The chosen jar read " + o.Number(float64(c.MeasuredPH.V), 3) + ": the checks take that."
}

func chemistryRows(c caution.Chemistry, o Options) [][]string {
	rows := [][]string{{"alkalinity, mg/L CaCO3", fixed1(o, float64(c.AlkalinityBefore)), fixed1(o, float64(c.AlkalinityLeft)), ""}}
	if !c.HasPH {
		return rows
	}
	rows[0][3] = rows[0][2]
	rows = append(rows,
		[]string{"pH", two(o, float64(c.Before.PH)), two(o, float64(c.Closed.PH)), two(o, float64(c.Open.PH))},
		[]string{"carbon dioxide, mg/L", trace(o, c.Before.CO2), trace(o, c.Closed.CO2), trace(o, c.Open.CO2)})
	if c.HasNH3 {
		rows = append(rows, []string{"free ammonia, mg/L NH3", trace(o, c.NH3Before), trace(o, c.NH3Closed), trace(o, c.NH3Open)})
	}
	return rows
}

// fixed1 writes one decimal.
func fixed1(o Options, v float64) string {
	return strings.Replace(fmt.Sprintf("%.1f", v), ".", o.mark(), 1)
}

// trace writes two digits, and nothing finer than matters to any animal.
func trace(o Options, c quantity.Concentration) string {
	if c > 0 && c < 0.0001 {
		return "<" + o.Number(0.0001, 1)
	}
	return o.Number(float64(c), 2)
}

// mark is the reader's decimal mark.
func (o Options) mark() string {
	if o.DecimalComma {
		return ","
	}
	return "."
}

func residualText(t *Text, list []caution.Residual, o Options) {
	if len(list) == 0 {
		return
	}
	t.Head("What may stay in the water (mg/L)")
	var rows [][]string
	for _, r := range list {
		expected, limit := "not measured", "none"
		if r.Expected.OK {
			expected = brief(float64(r.Expected.V), o)
		}
		if r.Limit.OK {
			limit = brief(float64(r.Limit.V), o) + ", " + r.LimitName
		}
		if r.Reached.OK && r.Worst > 0 && r.Limit.OK {
			limit += fmt.Sprintf(", reached after %s", o.Quantity(r.Reached.V, 3))
		}
		level := "ok"
		if r.Level != note.Info {
			level = strings.ToUpper(r.Level.String())
		} else if !r.Limit.OK {
			level, limit = "not judged", ""
		}
		name, _, _ := strings.Cut(r.Chemical, " (")
		rows = append(rows, []string{name + " as " + r.As, brief(float64(r.Worst), o), expected, limit, level})
	}
	t.Table([]Col{{Head: "chemical"}, {Head: "worst case", Right: true}, {Head: "expected", Right: true}, {Head: "limit"}, {Head: ""}}, rows)
}

// brief writes a figure without idle zeros, in the reader's decimal mark.
func brief(v float64, o Options) string {
	if v > 0 && v < 1e-6 {
		return "<" + o.Number(1e-6, 1)
	}
	return strings.Replace(quantity.Brief(v, 3), ".", o.mark(), 1)
}

func saltText(t *Text, list []caution.Salt, o Options) {
	for _, s := range list {
		words := fmt.Sprintf("%s adds %s of %s", s.Chemical, o.Quantity(s.PerPass, 3), s.Ion)
		if s.EndOfRun.OK {
			words += fmt.Sprintf(" at each pass: %s by the end of the run", o.Quantity(s.EndOfRun.V, 3))
		}
		if s.Steady.OK {
			words += fmt.Sprintf(", %s in the long run", o.Quantity(s.Steady.V, 3))
		}
		t.Para(words + ".")
	}
}

func alkaliText(t *Text, list []caution.Option, o Options) {
	goal := ""
	var rows [][]string
	flush := func() {
		if len(rows) == 0 {
			return
		}
		t.Head("To hold " + goal)
		t.Table([]Col{{Head: "feed one of"}, {Head: "mg/L sold", Right: true}, {Head: "kg/d", Right: true}, {Head: "pH", Right: true}, {Head: "aerated", Right: true}, {Head: "NH3", Right: true}, {Head: ""}}, rows)
		rows = nil
	}
	for _, a := range list {
		if a.Goal != goal {
			flush()
			goal = a.Goal
		}
		name := fmt.Sprintf("%s, %s%%", a.Alkali.Name, o.Number(a.Alkali.Purity.In("%"), 2))
		if a.Cannot {
			rows = append(rows, []string{name, "", "", "", "", "", "cannot reach it"})
			continue
		}
		row := []string{name, brief(float64(a.Product), o), "", "", "", "", ""}
		if a.PerDay.OK {
			row[2] = brief(float64(a.PerDay.V), o)
		}
		if a.HasPH {
			row[3], row[4] = o.Number(float64(a.Closed.PH), 3), o.Number(float64(a.Open.PH), 3)
		}
		if a.NH3.OK {
			row[5] = trace(o, a.NH3.V)
		}
		if a.Level != note.Info {
			row[6] = strings.ToUpper(a.Level.String()) + ": " + a.Why
		}
		rows = append(rows, row)
	}
	flush()
}

// stoppedText says first of all that a plan is stopped, and by what.
func stoppedText(t *Text, f caution.Findings) {
	if f.Stopped {
		t.Head("STOPPED: no pump settings are given")
		t.Notes(f.Notes.Only(note.Stop))
	}
}

// cautionText writes the cautions below a stop, and what was not checked.
func cautionText(t *Text, f caution.Findings, o Options) {
	if rest := below(f.Notes, note.Stop, f.Taken); len(rest) > 0 {
		t.Head("Cautions")
		t.Notes(rest)
	}
	if len(f.NotChecked) > 0 {
		t.Head("Not checked")
		for _, s := range f.NotChecked {
			t.Item("-", s)
		}
	}
}

// acceptedText prints the stops that somebody takes the risk of.
func acceptedText(t *Text, taken []caution.Taken) {
	if len(taken) == 0 {
		return
	}
	t.Head("Accepted risks")
	for _, a := range taken {
		by := a.By.By
		if !a.By.Date.IsZero() {
			by += " on " + a.By.Date.Format("2006-01-02")
		}
		s := fmt.Sprintf("%s [%s]. Accepted by %s: %s", a.Stop.Message, a.Stop.Code, by, a.By.Why)
		if !a.By.Until.IsZero() {
			s += " (until " + a.By.Until.Format("2006-01-02") + ")"
		}
		t.Item("!", s+".")
	}
}

// below gives the notes under a level, without those that acceptedText printed.
func below(l note.List, level note.Level, taken []caution.Taken) note.List {
	printed := map[string]bool{}
	for _, a := range taken {
		printed[a.Stop.Code] = true
	}
	var out note.List
	for _, n := range l {
		if n.Level < level && !(printed[n.Code] && strings.HasPrefix(n.Message, "accepted by ")) {
			out.Add(n)
		}
	}
	return out
}

// handlingText writes what concerns the chemicals as goods, most dangerous
// first: what must never meet, then what to wear, then the rest.
func handlingText(t *Text, l note.List, o Options) {
	if len(l) == 0 {
		return
	}
	t.Head("Handling")
	for pass := range 3 {
		for _, n := range l {
			rank := 2
			switch {
			case strings.HasPrefix(n.Code, "mix-"):
				rank = 0
			case n.Level >= note.Caution:
				rank = 1
			}
			if rank != pass {
				continue
			}
			mark, s := "-", upperFirst(n.Message)
			if rank == 0 {
				mark = "!"
			}
			if n.Remedy != "" {
				s += ". " + upperFirst(n.Remedy)
			}
			if o.Explain {
				s += " [" + n.Source + "]"
			}
			t.Item(mark, s+".")
		}
	}
}

// checkText lists every comparison that was made.
func checkText(t *Text, list []caution.Check) {
	if len(list) == 0 {
		return
	}
	t.Head("Every check made")
	for _, c := range list {
		verdict := "passes"
		if c.Fired {
			verdict = strings.ToUpper(c.Level.String())
		}
		rule := c.Rule
		if c.About != "" {
			rule += " (" + c.About + ")"
		}
		t.Item("-", fmt.Sprintf("%s: %s against %s: %s [%s]", rule, c.Found, c.Limit, verdict, c.Source))
	}
}

// jsonWater is the water of a document, at the jar's or the computed pH before aeration.
type jsonWater struct {
	PH             *JSONQuantity `json:"ph,omitempty"`
	PHRaw          *JSONQuantity `json:"ph_raw,omitempty"`
	PHAerated      *JSONQuantity `json:"ph_aerated,omitempty"`
	PHMeasured     *JSONQuantity `json:"ph_measured,omitempty"`
	PHUncertainty  float64       `json:"ph_uncertainty,omitempty"`
	Alkalinity     *JSONQuantity `json:"alkalinity,omitempty"`
	AlkalinityRaw  *JSONQuantity `json:"alkalinity_raw,omitempty"`
	AlkalinityUsed *JSONQuantity `json:"alkalinity_used,omitempty"`
	CO2            *JSONQuantity `json:"co2,omitempty"`
	CO2Raw         *JSONQuantity `json:"co2_raw,omitempty"`
	CO2Aerated     *JSONQuantity `json:"co2_aerated,omitempty"`
	CO2Freed       *JSONQuantity `json:"co2_freed,omitempty"`
	NH3            *JSONQuantity `json:"nh3,omitempty"`
	NH3Raw         *JSONQuantity `json:"nh3_raw,omitempty"`
	NH3Aerated     *JSONQuantity `json:"nh3_aerated,omitempty"`
	AlAcute        *JSONQuantity `json:"aluminium_acute_criterion,omitempty"`
	AlChronic      *JSONQuantity `json:"aluminium_chronic_criterion,omitempty"`
}

type jsonResidual struct {
	Chemical     string        `json:"chemical"`
	As           string        `json:"as"`
	Worst        *JSONQuantity `json:"worst_case"`
	Expected     *JSONQuantity `json:"expected,omitempty"`
	Limit        *JSONQuantity `json:"limit,omitempty"`
	LimitName    string        `json:"limit_name,omitempty"`
	Level        note.Level    `json:"level"`
	LimitReached *JSONQuantity `json:"limit_reached_after,omitempty"`
	Turnovers    float64       `json:"turnovers,omitempty"`
}

type jsonAlkali struct {
	Alkali    string        `json:"alkali"`
	Goal      string        `json:"goal"`
	Cannot    bool          `json:"cannot_reach,omitempty"`
	Pure      *JSONQuantity `json:"dose_pure,omitempty"`
	Product   *JSONQuantity `json:"dose_product,omitempty"`
	Purity    *JSONQuantity `json:"purity,omitempty"`
	PerDay    *JSONQuantity `json:"product_use,omitempty"`
	PH        *JSONQuantity `json:"ph,omitempty"`
	PHAerated *JSONQuantity `json:"ph_aerated,omitempty"`
	NH3       *JSONQuantity `json:"nh3,omitempty"`
	Level     note.Level    `json:"level"`
	Why       string        `json:"why,omitempty"`
}

type jsonSalt struct {
	Chemical string        `json:"chemical"`
	Ion      string        `json:"ion"`
	PerPass  *JSONQuantity `json:"per_pass"`
	EndOfRun *JSONQuantity `json:"end_of_run,omitempty"`
	Steady   *JSONQuantity `json:"steady,omitempty"`
}

type jsonAccepted struct {
	Code    string `json:"code"`
	Stop    string `json:"stop"`
	By      string `json:"accepted_by"`
	Reason  string `json:"reason"`
	Date    string `json:"date,omitempty"`
	Until   string `json:"until,omitempty"`
	Subject string `json:"chemical,omitempty"`
}

type jsonCheck struct {
	Rule   string     `json:"rule"`
	About  string     `json:"about,omitempty"`
	Found  string     `json:"found"`
	Limit  string     `json:"limit"`
	Fired  bool       `json:"fired"`
	Level  note.Level `json:"level"`
	Source string     `json:"source"`
}

// jsonReview is the part of a document that the cautions fill.
type jsonReview struct {
	Stopped    bool           `json:"stopped"`
	Water      *jsonWater     `json:"water,omitempty"`
	Residuals  []jsonResidual `json:"residuals"`
	Alkalis    []jsonAlkali   `json:"alkalis,omitempty"`
	Salts      []jsonSalt     `json:"salts,omitempty"`
	NotChecked []string       `json:"not_checked,omitempty"`
	Accepted   []jsonAccepted `json:"accepted,omitempty"`
	Checks     []jsonCheck    `json:"checks,omitempty"`
}

// reviewJSON puts findings into a document.
func reviewJSON(f caution.Findings) jsonReview {
	j := jsonReview{Stopped: f.Stopped, Residuals: []jsonResidual{}, NotChecked: f.NotChecked}
	if c := f.Water; c != nil {
		j.Water = waterJSON(*c)
	}
	for _, r := range f.Residuals {
		x := jsonResidual{Chemical: r.Chemical, As: r.As, Worst: mgPerL(r.Worst), LimitName: r.LimitName, Level: r.Level, Turnovers: r.Turnovers}
		x.Expected, x.Limit = optMgPerL(r.Expected), optMgPerL(r.Limit)
		if r.Reached.OK {
			x.LimitReached = QIn(float64(r.Reached.V), "h")
		}
		j.Residuals = append(j.Residuals, x)
	}
	for _, a := range f.Alkalis {
		x := jsonAlkali{Alkali: a.Alkali.Name, Goal: a.Goal, Cannot: a.Cannot, Level: a.Level, Why: a.Why}
		if !a.Cannot {
			x.Pure, x.Product, x.Purity = mgPerL(a.Pure), mgPerL(a.Product), Q(a.Alkali.Purity)
		}
		if a.PerDay.OK {
			x.PerDay = QIn(float64(a.PerDay.V), "kg/d")
		}
		if a.HasPH {
			x.PH, x.PHAerated = Q(a.Closed.PH), Q(a.Open.PH)
		}
		x.NH3 = optMgPerL(a.NH3)
		j.Alkalis = append(j.Alkalis, x)
	}
	for _, s := range f.Salts {
		j.Salts = append(j.Salts, jsonSalt{s.Chemical, s.Ion, mgPerL(s.PerPass), optMgPerL(s.EndOfRun), optMgPerL(s.Steady)})
	}
	for _, a := range f.Taken {
		x := jsonAccepted{Code: a.Stop.Code, Stop: a.Stop.Message, By: a.By.By, Reason: a.By.Why, Subject: a.By.Chemical}
		if !a.By.Date.IsZero() {
			x.Date = a.By.Date.Format("2006-01-02")
		}
		if !a.By.Until.IsZero() {
			x.Until = a.By.Until.Format("2006-01-02")
		}
		j.Accepted = append(j.Accepted, x)
	}
	for _, c := range f.Checks {
		j.Checks = append(j.Checks, jsonCheck{c.Rule, c.About, c.Found, c.Limit, c.Fired, c.Level, c.Source})
	}
	return j
}

func waterJSON(c caution.Chemistry) *jsonWater {
	w := &jsonWater{Alkalinity: Q(c.AlkalinityLeft), AlkalinityRaw: Q(c.AlkalinityBefore), AlkalinityUsed: Q(c.AlkalinityUsed), CO2Freed: mgPerL(c.FreedCO2)}
	if c.MeasuredPH.OK {
		w.PH, w.PHMeasured = Q(c.MeasuredPH.V), Q(c.MeasuredPH.V)
	}
	if !c.HasPH {
		return w
	}
	w.PH, w.PHRaw, w.PHAerated, w.PHUncertainty = Q(c.Closed.PH), Q(c.Before.PH), Q(c.Open.PH), 0.1
	w.CO2, w.CO2Raw, w.CO2Aerated = mgPerL(c.Closed.CO2), mgPerL(c.Before.CO2), mgPerL(c.Open.CO2)
	if c.HasNH3 {
		w.NH3, w.NH3Raw, w.NH3Aerated = mgPerL(c.NH3Closed), mgPerL(c.NH3Before), mgPerL(c.NH3Open)
	}
	if c.Aluminium.OK {
		w.AlAcute, w.AlChronic = mgPerL(c.Aluminium.V.Acute), mgPerL(c.Aluminium.V.Chronic)
	}
	return w
}

func mgPerL(c quantity.Concentration) *JSONQuantity { return QIn(float64(c), "mg/L") }

func optMgPerL(c quantity.Known[quantity.Concentration]) *JSONQuantity {
	if !c.OK {
		return nil
	}
	return mgPerL(c.V)
}

// Cautions shows every caution that the program can utter, the animals and the
// toxicity data behind them.
type Cautions struct{}

// Text writes the tables.
func (Cautions) Text(t *Text, o Options) {
	t.Head("Every caution")
	t.Para("A stop withholds pump settings until the sheet Accepted of the site workbook names who takes the risk and why. A word in braces is filled in.")
	for _, r := range caution.Rules() {
		t.Blank()
		limit := ""
		if r.HasLimit {
			limit = ", limit " + o.Number(r.Limit, 3) + " " + r.Unit
		}
		t.Item(strings.ToUpper(r.Level.String()), r.ID+limit)
		t.Item("   ", "when "+r.When)
		t.Item("   ", `"`+r.Says+`"`)
		if r.Do != "" {
			t.Item("   ", "do: "+r.Do)
		}
		t.Item("   ", "source: "+r.Source+", "+status(r.Status == "memory"))
	}
	t.Head("Animals")
	for _, p := range animal.Profiles() {
		t.Blank()
		t.Para(upperFirst(p.Name) + " (" + strings.Join(p.Also, ", ") + ")")
		var rows [][]string
		for _, r := range p.Ranges {
			rows = append(rows, []string{string(r.Parameter), rangeText(r.Low, r.High, r.HasLow, r.HasHigh, o) + " " + r.Unit, r.Note, r.Source + ", " + status(r.Memory)})
		}
		t.Table([]Col{{Head: "of"}, {Head: "figure"}, {Head: "note"}, {Head: "source"}}, rows)
	}
	t.Head("Toxicity")
	var rows [][]string
	for _, r := range animal.Results() {
		figure := "no data"
		if r.HasLow {
			figure = toxicityFigure(r, o)
		} else if r.Note != "gap" && !strings.HasPrefix(r.Note, "gap:") {
			figure = "-"
		}
		rows = append(rows, []string{string(r.Chemical), r.Animal, strings.TrimSpace(r.Endpoint + " " + r.Duration), figure, r.Source})
	}
	t.Table([]Col{{Head: "chemical"}, {Head: "animal"}, {Head: "result"}, {Head: "figure"}, {Head: "source"}}, rows)
}

func toxicityFigure(r animal.Result, o Options) string {
	s := rangeText(r.Low, r.High, r.HasLow, r.HasHigh, o)
	if r.More {
		s = "> " + o.Number(r.Low, 3)
	}
	return s + " " + r.Unit
}

func status(memory bool) string {
	if memory {
		return "from memory"
	}
	return "read"
}

func rangeText(low, high float64, hasLow, hasHigh bool, o Options) string {
	switch {
	case hasLow && hasHigh && low != high:
		return o.Number(low, 3) + " to " + o.Number(high, 3)
	case hasLow && hasHigh:
		return o.Number(low, 3)
	case hasLow:
		return "from " + o.Number(low, 3)
	case hasHigh:
		return "up to " + o.Number(high, 3)
	}
	return ""
}

type jsonRule struct {
	ID     string     `json:"id"`
	Level  note.Level `json:"level"`
	When   string     `json:"when"`
	Limit  *float64   `json:"limit,omitempty"`
	Unit   string     `json:"unit,omitempty"`
	Says   string     `json:"says"`
	Do     string     `json:"do,omitempty"`
	Source string     `json:"source"`
	Status string     `json:"status"`
}

// JSON gives the rules.
func (Cautions) JSON() any {
	doc := struct {
		Schema string     `json:"schema"`
		Rules  []jsonRule `json:"cautions"`
		Notes  note.List  `json:"notes"`
	}{Schema: "jarwright.chemical.cautions/1", Notes: note.List{}}
	for _, r := range caution.Rules() {
		j := jsonRule{ID: r.ID, Level: r.Level, When: r.When, Unit: r.Unit, Says: r.Says, Do: r.Do, Source: r.Source, Status: r.Status}
		if r.HasLimit {
			limit := r.Limit
			j.Limit = &limit
		}
		doc.Rules = append(doc.Rules, j)
	}
	return doc
}

// Rows gives the rules as one table.
func (Cautions) Rows() [][]string {
	rows := [][]string{{"id", "level", "when", "limit", "unit", "says", "do", "source", "status"}}
	for _, r := range caution.Rules() {
		limit := ""
		if r.HasLimit {
			limit = Cell(r.Limit)
		}
		rows = append(rows, []string{r.ID, r.Level.String(), r.When, limit, r.Unit, r.Says, r.Do, r.Source, r.Status})
	}
	return rows
}
