package templates

import (
	"slices"
	"strings"

	"jarwright/dosing/compare"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// optionData is one series with its cost and what it does, for 1000 m3 of water.
func (c Compare) optionData(r compare.Row) *figure.Object {
	o := figure.New().Set("series", r.Name).Word("file", r.Place.File).Word("sheet", r.Place.Sheet)
	chemicals := []*figure.Object{}
	for i, p := range r.Parts {
		x := figure.New().Set("name", p.Chemical)
		if !r.Refused {
			x.Put(figure.Dose("dose", p.Dose, 3).In(figure.Full), massPerWater("product_per_1000m3", r.Product[i], 3).If(p.Dose.Basis != quantity.NotStated),
				figure.Of("strength", p.Strength.V, "%", 4).In(figure.Full).If(p.Strength.V > 0 && p.Strength.V < 1), pricePer("price", p.Price, 4).If(p.Price.Currency != ""),
				pricePer("freight", p.Freight, 3).If(p.Freight.Currency != ""))
		}
		chemicals = append(chemicals, x)
	}
	o.List("chemicals", chemicals)
	if !r.Refused {
		o.Put(figure.Dose("dose", r.Parts[0].Dose, 3).In(figure.Full))
		if r.Priced {
			o.Set("cost_per_1000m3", c.costData(r))
		}
		o.Part("alkalinity", figure.New(caCO3("used", r.AlkalinityUsed, 3).In(figure.Full).If(r.Counted),
			caCO3("left", max(0, r.AlkalinityLeft), 3).In(figure.Full).If(r.Raw.Alkalinity.OK && r.Counted),
			acidOver(r.AlkalinityLeft).If(r.Raw.Alkalinity.OK && r.Counted && r.AlkalinityLeft < 0),
			mgL("alkali_dose", r.AlkaliDose, 3).If(r.Raw.Alkalinity.OK && r.Counted))).Put(massPerWater("solids", r.DrySolids.Likely, 3).If(r.Counted && r.Raw.Removed.OK))
	}
	o.Set("residual_level", r.ResidualLevel).Put(mgL("residual", r.Residual, 2).In(figure.Full).If(r.HasResidual)).Word("residual_of", r.ResidualOf)
	if len(r.Unpriced.Names) > 0 {
		o.Set("lacks", r.Unpriced.Names)
	}
	if none := c.Comparison.NotPriced(r); len(none) > 0 && !r.Refused && r.Priced {
		o.Set("not_priced", none)
	}
	o.Set("outcome", r.Outcome).Word("why", r.Why).Set("not_told_apart_from_first", r.Same)
	if !r.Refused && r.Priced {
		o.Bare(brief("chance_of_least_cost", float64(r.Cheapest)))
	}
	return o
}

// costData is the cost of a series in its parts; an end that is open is left out.
func (c Compare) costData(r compare.Row) *figure.Object {
	none := c.Comparison.NotPriced(r)
	money := func(key string, m quantity.Money) figure.Figure { return costPerWater(key, m) }
	line := func(key, name string, m quantity.Money) figure.Figure {
		return money(key, m).If(!slices.Contains(none, name))
	}
	return figure.New().Bare(money("value", r.Total)).Set("unit", c.Currency).Bare(money("low", r.Low).If(r.HasRange), money("high", r.High).If(r.HasRange && !r.Open),
		money("chemical", r.Chemicals), money("freight", r.Freight).If(!freightUnknown(r)), line("alkali", compare.AlkaliLine, r.Alkali),
		line("solids", compare.SolidsLine, r.Solids), line("make_up_water", compare.WaterLine, r.MakeUp), line("energy", compare.EnergyLine, r.Energy))
}

// freightUnknown reports that nothing of a series' freight is known, which is not a freight of nothing.
func freightUnknown(r compare.Row) bool {
	return r.Freight.Amount == 0 && slices.ContainsFunc(r.Unpriced.Names, func(n string) bool { return strings.HasPrefix(n, "the freight") })
}

// lacks names what a series' cost lacks, in a table.
func lacks(r compare.Row) string { return strings.Join(r.Unpriced.Names, "; ") }

// data is the comparison as its object.
func (c Compare) data() *figure.Object {
	return figure.New().Set("schema", "jarwright.compare/1").Word("target", c.Target).Put(figure.Of("confidence", c.Confidence, "%", 2).In(figure.Full)).
		Set("range_of", "doses, by the bench alone").List("options", objects(c.Comparison.Rows, c.optionData)).Set("notes", Notes(c.notes()))
}

func (c Compare) notes() note.List { return append(append(note.List(nil), c.Notes...), c.More...) }

// JSON implements [Report].
func (c Compare) JSON() any { return c.data() }

// Table implements [Report]: a row a chemical, what the series cost on its first.
func (c Compare) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("series", "file", "sheet", "chemical", "dose part.dose mg/L", "basis", "product_per_1000m3 part.product_per_1000m3 kg",
		"cost_per_1000m3 cost_per_1000m3.value", "cost_low cost_per_1000m3.low", "cost_high cost_per_1000m3.high", "currency cost_per_1000m3.unit",
		"chemical_cost cost_per_1000m3.chemical", "freight cost_per_1000m3.freight", "alkali cost_per_1000m3.alkali", "solids_cost cost_per_1000m3.solids",
		"make_up_water cost_per_1000m3.make_up_water", "energy cost_per_1000m3.energy",
		"alkalinity_used alkalinity.used mg/L CaCO3", "dry_solids_per_1000m3 solids kg", "residual_level", "outcome", "not_told_apart", "cost_lacks")}
	for _, r := range c.Comparison.Rows {
		for i, p := range r.Parts {
			whole := c.optionData(r)
			part := whole.Objects("chemicals")[i]
			row := figure.New()
			if i == 0 {
				row.Join(whole).Word("cost_lacks", lacks(r))
				if whole.Has("cost_per_1000m3") {
					row.Set("not_told_apart", map[bool]string{true: "yes", false: "no"}[r.Same])
				}
			}
			row.Set("series", r.Name).Word("file", r.Place.File).Word("sheet", r.Place.Sheet).Set("chemical", p.Chemical).Part("part", part).Set("residual_level", r.ResidualLevel).Set("outcome", r.Outcome)
			if part.Has("dose") {
				row.Set("basis", p.Dose.Basis.String())
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}
