package templates

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// NextReport is the answer of next: the doses worth testing next.
type NextReport struct {
	Series []curve.Next
	// Surfaces are the series of two factors, with Jars for their next test.
	Surfaces []surface.Result
	Jars     int
	Notes    note.List
}

// Text gives the jars first, what they would do second, other choices on demand.
func (n NextReport) Text(t *Text, o Options) {
	for _, s := range n.Series {
		nextBlock(t, o, s)
	}
	for _, r := range n.Surfaces {
		nextPairs(t, o, r, n.Jars)
	}
	if len(n.Notes) > 0 {
		t.Head("Reading the sheets")
		t.Notes(n.Notes)
	}
}

func nextBlock(t *Text, o Options, s curve.Next) {
	name := s.Series
	if name == "" {
		name = "series"
	}
	t.Head("Next test after " + name)
	if len(s.Doses) > 0 {
		var rows [][]string
		jar := 0
		for _, d := range s.Doses {
			label := fmt.Sprint(jar + 1)
			if d.Jars > 1 {
				label += "-" + fmt.Sprint(jar+d.Jars)
			}
			jar += d.Jars
			dose := asWritten(o, float64(d.Dose))
			ml := "-"
			if d.Stock > 0 {
				ml = asWritten(o, d.Stock.In("mL"))
			} else if d.Dose == 0 {
				ml = "0"
			}
			rows = append(rows, []string{label, dose, ml, d.Why})
		}
		head := "dose (mg/L)"
		if s.Basis != quantity.NotStated {
			head = "dose (mg/L " + string(s.Basis) + ")"
		}
		if s.Factor == "ph" {
			t.Table([]Col{{Head: "jars"}, {Head: "pH", Right: true}, {Head: "why"}}, dropColumn(rows, 2))
		} else {
			t.Table([]Col{{Head: "jars"}, {Head: head, Right: true}, {Head: "stock (mL a jar)", Right: true}, {Head: "why"}}, rows)
		}
		t.Blank()
	}
	t.Para("Rule: " + s.Rule + ".")
	for _, c := range s.Choices {
		if c.Taken {
			t.Para(fmt.Sprintf("Today's interval is %s. With these %d jars on the same water it should become about %s, %.0f %% of its width.",
				intervalText(o, s.Before, 3), c.Jars, nextRange(o, c.After), 100*c.Shrink))
		}
	}
	if len(s.Choices) > 0 {
		t.Blank()
		var rows [][]string
		for _, c := range s.Choices {
			mark := ""
			if c.Taken {
				mark = "taken"
			}
			rows = append(rows, []string{c.Name, fmt.Sprint(c.Jars), fmt.Sprintf("%.0f %%", 100*c.Shrink), nextRange(o, c.After), mark})
		}
		t.Table([]Col{{Head: "choice"}, {Head: "jars", Right: true}, {Head: "width left", Right: true}, {Head: "interval (mg/L)"}, {Head: ""}}, rows)
	}
	if len(s.Notes) > 0 {
		t.Blank()
		t.Notes(s.Notes)
	}
}

func dropColumn(rows [][]string, k int) [][]string {
	out := make([][]string, len(rows))
	for i, r := range rows {
		out[i] = append(append([]string(nil), r[:k]...), r[k+1:]...)
	}
	return out
}

// nextRange is "9.9 to 11.2".
func nextRange(o Options, i curve.Interval) string {
	low, high := "below", "beyond"
	if i.HasLow {
		low = bare(o, i.Low, 3)
	}
	if i.HasHigh {
		high = bare(o, i.High, 3)
	}
	return low + " to " + high
}

type (
	nextDoc struct {
		Schema string       `json:"schema"`
		Series []nextSeries `json:"series"`
		Notes  note.List    `json:"notes"`
	}
	nextSeries struct {
		Name     string        `json:"name"`
		Outcome  curve.Outcome `json:"outcome"`
		Factor   string        `json:"factor"`
		Basis    string        `json:"basis"`
		Rule     string        `json:"rule"`
		Doses    []nextDose    `json:"doses"`
		Before   *fitInterval  `json:"interval_now,omitempty"`
		Expected *fitInterval  `json:"interval_expected,omitempty"`
		Choices  []nextChoice  `json:"choices,omitempty"`
		Notes    note.List     `json:"notes"`
	}
	nextDose struct {
		Dose float64 `json:"dose"`
		// Doses and Stocks are of a series of two factors, by chemical; Dose is then the first.
		Doses  map[string]float64       `json:"doses,omitempty"`
		PH     *float64                 `json:"ph,omitempty"`
		Stocks map[string]*JSONQuantity `json:"stocks,omitempty"`
		Unit   string                   `json:"unit"`
		Jars   int                      `json:"jars"`
		Stock  *JSONQuantity            `json:"stock,omitempty"`
		Why    string                   `json:"why"`
	}
	nextChoice struct {
		Name   string       `json:"name"`
		Jars   int          `json:"jars"`
		Doses  []float64    `json:"doses,omitempty"`
		Shrink float64      `json:"width_left"`
		After  *fitInterval `json:"interval_expected"`
		Taken  bool         `json:"taken"`
	}
)

// JSON gives the document; doses in mg/L, stock in mL.
func (n NextReport) JSON() any {
	d := nextDoc{Schema: "jarwright.next/1", Series: []nextSeries{}}
	all := append(note.List(nil), n.Notes...)
	for _, s := range n.Series {
		unit := "mg/L"
		if s.Factor == "ph" {
			unit = "pH"
		}
		x := nextSeries{Name: s.Series, Outcome: s.Outcome, Factor: s.Factor, Basis: s.Basis.String(), Rule: s.Rule, Doses: []nextDose{}, Notes: Notes(s.Notes)}
		if s.Before.Confidence > 0 {
			x.Before = intervalDoc(s.Before, unit)
		}
		for _, v := range s.Doses {
			j := nextDose{Dose: float64(v.Dose), Unit: unit, Jars: v.Jars, Why: v.Why}
			if v.Stock > 0 {
				j.Stock = QIn(v.Stock.In("mL"), "mL")
			}
			x.Doses = append(x.Doses, j)
		}
		for _, c := range s.Choices {
			after := intervalDoc(c.After, unit)
			if c.Taken {
				x.Expected = after
			}
			y := nextChoice{Name: c.Name, Jars: c.Jars, Shrink: c.Shrink, After: after, Taken: c.Taken}
			for _, v := range c.Doses {
				y.Doses = append(y.Doses, float64(v))
			}
			x.Choices = append(x.Choices, y)
		}
		d.Series = append(d.Series, x)
		all = append(all, s.Notes...)
	}
	for _, r := range n.Surfaces {
		x := nextPairsDoc(r, n.Jars)
		d.Series = append(d.Series, x)
		all = append(all, x.Notes...)
	}
	d.Notes = Notes(all)
	return d
}

// Rows is one row a dose.
func (n NextReport) Rows() [][]string {
	out := [][]string{{"series", "jar", "jars", "dose_mg_per_l", "stock_ml", "why", "rule"}}
	for _, s := range n.Series {
		if s.Factor == "ph" {
			out[0][3] = "dose_mg_per_l_or_ph"
		}
		jar := 1
		for _, d := range s.Doses {
			ml := ""
			if d.Stock > 0 {
				ml = strconv.FormatFloat(math.Round(d.Stock.In("mL")*1e6)/1e6, 'g', -1, 64)
			}
			out = append(out, []string{s.Series, fmt.Sprint(jar), fmt.Sprint(d.Jars), strconv.FormatFloat(float64(d.Dose), 'g', 8, 64), ml, d.Why, strings.TrimSpace(s.Rule)})
			jar += d.Jars
		}
	}
	for _, r := range n.Surfaces {
		out = append(out, nextPairRows(r, n.Jars)...)
	}
	return out
}
