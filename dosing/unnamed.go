package dosing

import (
	"slices"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// naming is one list of a site whose rows another list names in a field.
type naming struct {
	rows  []quantity.Known[string]
	named []quantity.Known[string]
	says  string // of a row that nothing names, while something in the other list names none
	do    string
}

// unnamed asks about rows that are described and that nothing names, where a row that could name them
// names none: a stock that no chemical is fed from leaves its chemical neat, a pump or a tank is left out.
func unnamed(s site.Site) (out note.List) {
	var stocks, pumps, tanks naming
	for _, c := range s.Chemicals {
		stocks.named, pumps.named = append(stocks.named, c.Stock), append(pumps.named, c.Pump)
	}
	for _, k := range s.Stocks {
		stocks.rows = append(stocks.rows, k.Name)
		if tanks.named = append(tanks.named, k.Tank); k.MixTank.OK { // most stocks have none
			tanks.named = append(tanks.named, k.MixTank)
		}
	}
	for _, p := range s.Pumps {
		pumps.rows = append(pumps.rows, p.Name)
	}
	for _, t := range s.Tanks {
		if t.Use.V == site.TankStock {
			tanks.rows = append(tanks.rows, t.Name)
		}
	}
	stocks.says, stocks.do = "no chemical is fed from %q: one that names no stock is taken to be fed as it is sold", "write its name at the stock of its chemical, or leave the row out"
	pumps.says, pumps.do = "no chemical is fed by %q: one that names no pump is taken to be fed by hand", "write its name at the pump of its chemical, or leave the row out"
	tanks.says, tanks.do = "no stock stands in %q: one that names no tank is taken to have none", "write its name at the tank of its stock, or leave the row out"
	for _, n := range []naming{stocks, pumps, tanks} {
		if !slices.ContainsFunc(n.named, func(k quantity.Known[string]) bool { return !k.OK }) {
			continue
		}
		for _, r := range n.rows {
			if r.OK && !slices.ContainsFunc(n.named, func(k quantity.Known[string]) bool { return k.OK && SameName(k.V, r.V) }) {
				out.Add(note.New(note.Caution, "row-unnamed", n.says, r.V).At(r.At).Do("%s", n.do))
			}
		}
	}
	return out
}
