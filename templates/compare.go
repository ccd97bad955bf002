package templates

import (
	"fmt"
	"strings"

	"jarwright/dosing/compare"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
)

// Compare is the answer of "compare".
type Compare struct {
	compare.Comparison
	Target string // in words, the same for all
	More   note.List
}

func (c Compare) notes() note.List { return append(append(note.List(nil), c.Notes...), c.More...) }

// Text implements [Report].
func (c Compare) Text(t *Text, o Options) {
	t.Head("Chemicals side by side")
	t.Para(c.answer(o))
	c.table(t, o)
	c.doses(t, o)
	c.refused(t)
	if o.Explain {
		c.working(t, o)
	}
	if n := c.notes(); len(n) > 0 {
		t.Head("To bear in mind")
		t.Notes(n)
	}
}

// placed lists the rows that have a cost.
func (c Compare) placed() []compare.Row {
	var out []compare.Row
	for _, r := range c.Comparison.Rows {
		if !r.Refused && r.Priced {
			out = append(out, r)
		}
	}
	return out
}

func (c Compare) answer(o Options) string {
	placed := c.placed()
	usable := 0
	for _, r := range c.Comparison.Rows {
		if !r.Refused {
			usable++
		}
	}
	target := ""
	if c.Target != "" {
		target = " for " + c.Target
	}
	switch {
	case usable == 0:
		return fmt.Sprintf("None of the %d series gives a dose that can be recommended%s.", len(c.Comparison.Rows), target)
	case len(placed) == 0:
		return fmt.Sprintf("%d of %d series give a dose%s; none can be placed by cost, because a price is missing.", usable, len(c.Comparison.Rows), target)
	}
	first := placed[0]
	s := fmt.Sprintf("%s costs least%s: %s %s per 1000 m3, all in", upperFirst(first.Name), target, o.cents(first.Total.Amount), c.Currency)
	if first.HasRange {
		s += fmt.Sprintf(" (%s to %s with %s confidence)", o.cents(first.Low.Amount), o.cents(first.High.Amount), o.Quantity(c.Confidence, 2))
	}
	s += "."
	var same []string
	for _, r := range placed[1:] {
		if r.Same {
			same = append(same, r.Name)
		}
	}
	if len(same) > 0 {
		s += fmt.Sprintf(" It cannot be told apart on these data from %s: the cost ranges overlap.", listed(same))
	} else if len(placed) > 1 {
		s += fmt.Sprintf(" The next, %s, costs %s more.", placed[1].Name, o.cents(placed[1].Total.Amount-first.Total.Amount))
	}
	return s
}

func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func (c Compare) table(t *Text, o Options) {
	placed := c.placed()
	if len(placed) == 0 {
		return
	}
	t.Head("Cost per 1000 m3 of water, " + c.Currency)
	var rows [][]string
	for i, r := range placed {
		mark := ""
		switch {
		case i == 0:
			mark = "least"
		case r.Same:
			mark = "not told apart"
		default:
			mark = "dearer"
		}
		rows = append(rows, []string{r.Name, o.cents(r.Total.Amount), o.costRange(r), o.cents(r.Chemicals.Amount), o.cents(r.Freight.Amount), o.cents(r.Alkali.Amount), o.cents(r.Solids.Amount), mark})
	}
	t.Table([]Col{{Head: "series"}, {Head: "all in", Right: true}, {Head: "range", Right: true}, {Head: "chemical", Right: true}, {Head: "freight", Right: true},
		{Head: "alkali", Right: true}, {Head: "solids", Right: true}, {Head: ""}}, rows)
}

func (o Options) costRange(r compare.Row) string {
	switch {
	case !r.HasRange:
		return "-"
	case r.Open:
		return o.cents(r.Low.Amount) + " up"
	}
	return o.cents(r.Low.Amount) + "-" + o.cents(r.High.Amount)
}

func (c Compare) doses(t *Text, o Options) {
	var doses, effects [][]string
	for _, r := range c.Comparison.Rows {
		if r.Refused {
			continue
		}
		for i, p := range r.Parts {
			name := ""
			if i == 0 {
				name = r.Name
			}
			doses = append(doses, []string{name, p.Chemical, o.Dose(p.Dose, 3), o.Quantity(r.Product[i], 3)})
		}
		left := "not known"
		if c.Water.HasRaw {
			left = o.Number(float64(r.AlkalinityLeft), 3)
		}
		effects = append(effects, []string{r.Name, o.Number(float64(r.AlkalinityUsed), 3), left, o.Quantity(r.DrySolids.Likely, 3), o.residual(r)})
	}
	if len(doses) == 0 {
		return
	}
	t.Head("Doses")
	t.Table([]Col{{Head: "series"}, {Head: "chemical"}, {Head: "planning dose"}, {Head: "product per 1000 m3", Right: true}}, doses)
	t.Head("What each takes and leaves")
	t.Table([]Col{{Head: "series"}, {Head: "alkalinity used", Right: true}, {Head: "left", Right: true}, {Head: "dry solids per 1000 m3", Right: true}, {Head: "residual metal"}}, effects)
	t.Para("Alkalinity in mg/L CaCO3, before any alkali is added.")
}

func (o Options) residual(r compare.Row) string {
	if r.HasResidual {
		return o.Quantity(r.Residual, 2) + " " + r.ResidualOf + ", " + r.ResidualLevel
	}
	return r.ResidualLevel
}

func (c Compare) refused(t *Text) {
	first := true
	for _, r := range c.Comparison.Rows {
		if !r.Refused {
			continue
		}
		if first {
			t.Head("No dose from these")
			first = false
		}
		s := r.Name + ": " + outcomeWords(curve.Outcome(r.Outcome))
		if r.Why != "" {
			s += " (" + r.Why + ")"
		}
		t.Item("-", s)
	}
}

func (c Compare) working(t *Text, o Options) {
	t.Head("Working")
	t.Para("1 mg/L is 1 kg per 1000 m3. Product = planning dose over strength. Chemical and freight = product x price. Alkali = what is needed to keep the alkalinity wanted. Solids = suspended solids removed and what the chemicals make, x disposal per kg dry.")
	for _, r := range c.placed() {
		for i, p := range r.Parts {
			s := fmt.Sprintf("%s, %s: %s", r.Name, p.Chemical, o.Dose(p.Dose, 4))
			if p.Strength.V > 0 && p.Strength.V < 1 {
				s += fmt.Sprintf(" over %s", o.Quantity(p.Strength.V, 4))
			}
			s += fmt.Sprintf(" is %s x %s %s/kg", o.Quantity(r.Product[i], 4), o.Number(p.Price.Amount, 4), p.Price.Currency)
			if p.Freight.Amount > 0 {
				s += fmt.Sprintf(" + %s freight", o.Number(p.Freight.Amount, 3))
			}
			t.Item("-", s)
		}
		if len(c.placed()) > 1 {
			t.Item(" ", fmt.Sprintf("chance of costing least: %s", o.chance(r.Cheapest)))
		}
	}
	t.Para("The cost range follows from the interval of the lowest effective dose. Two ranges that overlap are not told apart; the chance of costing least takes the doses of different series as independent.")
}

type compareChemical struct {
	Name    string        `json:"name"`
	Dose    *JSONQuantity `json:"dose"`
	Product *JSONQuantity `json:"product_per_1000m3,omitempty"`
}

type compareCost struct {
	Value    float64  `json:"value"`
	Unit     string   `json:"unit"`
	Low      *float64 `json:"low,omitempty"`
	High     *float64 `json:"high,omitempty"`
	Chemical float64  `json:"chemical"`
	Freight  float64  `json:"freight"`
	Alkali   float64  `json:"alkali"`
	Solids   float64  `json:"solids"`
}

type compareAlkalinity struct {
	Used *JSONQuantity `json:"used"`
	Left *JSONQuantity `json:"left,omitempty"`
	Need *JSONQuantity `json:"alkali_dose,omitempty"`
}

type compareOption struct {
	Series        string             `json:"series"`
	File          string             `json:"file,omitempty"`
	Sheet         string             `json:"sheet,omitempty"`
	Chemicals     []compareChemical  `json:"chemicals"`
	Dose          *JSONQuantity      `json:"dose,omitempty"`
	Cost          *compareCost       `json:"cost_per_1000m3,omitempty"`
	Alkalinity    *compareAlkalinity `json:"alkalinity,omitempty"`
	Solids        *JSONQuantity      `json:"solids,omitempty"`
	ResidualLevel string             `json:"residual_level"`
	Residual      *JSONQuantity      `json:"residual,omitempty"`
	ResidualOf    string             `json:"residual_of,omitempty"`
	Outcome       string             `json:"outcome"`
	Why           string             `json:"why,omitempty"`
	NotToldApart  bool               `json:"not_told_apart_from_first"`
	Chance        *float64           `json:"chance_of_least_cost,omitempty"`
}

type compareDoc struct {
	Schema     string          `json:"schema"`
	Target     string          `json:"target,omitempty"`
	Confidence *JSONQuantity   `json:"confidence"`
	Options    []compareOption `json:"options"`
	Notes      note.List       `json:"notes"`
}

// JSON implements [Report].
func (c Compare) JSON() any {
	doc := compareDoc{Schema: "jarwright.compare/1", Target: c.Target, Confidence: Q(c.Confidence), Options: []compareOption{}, Notes: Notes(c.notes())}
	for _, r := range c.Comparison.Rows {
		op := compareOption{Series: r.Name, File: r.Place.File, Sheet: r.Place.Sheet, Chemicals: []compareChemical{}, ResidualLevel: r.ResidualLevel, Outcome: r.Outcome, Why: r.Why, NotToldApart: r.Same}
		if r.HasResidual {
			op.Residual, op.ResidualOf = QIn(float64(r.Residual), "mg/L"), r.ResidualOf
		}
		for i, p := range r.Parts {
			ch := compareChemical{Name: p.Chemical}
			if !r.Refused {
				ch.Dose = QDose(p.Dose)
				ch.Product = QIn(float64(r.Product[i]), "kg")
			}
			op.Chemicals = append(op.Chemicals, ch)
		}
		if !r.Refused {
			op.Dose = QDose(r.Parts[0].Dose)
			op.Solids = QIn(float64(r.DrySolids.Likely), "kg")
			op.Alkalinity = &compareAlkalinity{Used: Q(r.AlkalinityUsed)}
			if c.Water.HasRaw {
				op.Alkalinity.Left = Q(r.AlkalinityLeft)
				op.Alkalinity.Need = QIn(float64(r.AlkaliDose), "mg/L")
			}
			if r.Priced {
				op.Cost = &compareCost{Value: r.Total.Amount, Unit: c.Currency, Chemical: r.Chemicals.Amount, Freight: r.Freight.Amount, Alkali: r.Alkali.Amount, Solids: r.Solids.Amount}
				if r.HasRange {
					op.Cost.Low = &r.Low.Amount
					if !r.Open {
						op.Cost.High = &r.High.Amount
					}
				}
				chance := float64(r.Cheapest)
				op.Chance = &chance
			}
		}
		doc.Options = append(doc.Options, op)
	}
	return doc
}

// Rows implements [Report].
func (c Compare) Rows() [][]string {
	out := [][]string{{"series", "chemical", "dose_mg_per_l", "basis", "product_kg_per_1000m3", "cost_per_1000m3", "cost_low", "cost_high", "currency", "chemical_cost", "freight", "alkali", "solids_cost",
		"alkalinity_used_mg_per_l", "dry_solids_kg_per_1000m3", "residual_level", "outcome", "not_told_apart"}}
	for _, r := range c.Comparison.Rows {
		for i, p := range r.Parts {
			row := make([]string, len(out[0]))
			row[0], row[1], row[15], row[16] = r.Name, p.Chemical, r.ResidualLevel, r.Outcome
			if !r.Refused {
				row[2], row[3], row[4] = Cell(float64(p.Dose.Concentration)), p.Dose.Basis.String(), Cell(float64(r.Product[i]))
				if i == 0 {
					row[13], row[14] = Cell(float64(r.AlkalinityUsed)), Cell(float64(r.DrySolids.Likely))
				}
				if i == 0 && r.Priced {
					row[5], row[8] = Cell(r.Total.Amount), c.Currency
					if r.HasRange {
						row[6] = Cell(r.Low.Amount)
						if !r.Open {
							row[7] = Cell(r.High.Amount)
						}
					}
					row[9], row[10], row[11], row[12] = Cell(r.Chemicals.Amount), Cell(r.Freight.Amount), Cell(r.Alkali.Amount), Cell(r.Solids.Amount)
					row[17] = map[bool]string{true: "yes", false: "no"}[r.Same]
				}
			}
			out = append(out, row)
		}
	}
	return out
}
