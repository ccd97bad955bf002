package site

import (
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// parseStrength reads product per litre of stock: "50 g/L", or per cent by volume, "5 % w/v",
// which is 50 g in a litre. Per cent by mass weighs the stock: [made] has turned it into grams
// by the stock's density, which nobody but the site knows, so that without it is asked for.
func parseStrength(s string) (quantity.Concentration, error) {
	v, unit, err := quantity.Split(s)
	kind, percent := percentOf(unit)
	if err != nil || !percent {
		return quantity.Parse[quantity.Concentration](s)
	}
	grams := quantity.Concentration(v * 10000)
	switch {
	case kind == "w/v" || kind == "m/v" || kind == "wt/vol":
		return grams, nil
	case byMass[kind]:
		return 0, note.Fault("percent-by-mass", "%q weighs the stock: how many grams a litre of it holds, its density tells", s).
			Do("give the density of the made-up stock, or grams per litre: %s times its density in kg/L", quantity.Full(grams, 4).In("g/L"))
	default:
		return 0, note.Fault("percent-of-what", "%q can be by mass or by volume", s).
			Do(`write "%s %% w/v" where a litre of stock holds %s, or give grams per litre`, quantity.To(quantity.Number(v), 4), quantity.To(grams, 4))
	}
}

// byMass are the ways to say that both parts of a per cent are weighed.
var byMass = map[string]bool{"w/w": true, "m/m": true, "wt/wt": true, "bymass": true, "byweight": true}

// percentOf is what a unit says of which per cent it is; false for any other unit.
func percentOf(unit string) (kind string, percent bool) {
	words := strings.Fields(strings.ToLower(strings.NewReplacer("(", "", ")", "", "%", "% ").Replace(unit)))
	if len(words) == 0 || words[0] != "%" {
		return "", false
	}
	return strings.Join(words[1:], ""), true
}

// made is the strength of a stock by mass in grams per litre, by what a litre of it weighs; anything else stays as it is, as it
// does where the density is not known.
func made(sh Sheet, f Field, e entry, density quantity.Density) entry {
	if sh.Name != "Stocks" || f.member != "Product" || e.bad != nil || density <= 0 {
		return e
	}
	full, _ := f.withUnit(strings.TrimSpace(e.text), e.unit)
	v, unit, err := quantity.Split(full)
	if kind, percent := percentOf(unit); err == nil && percent && byMass[kind] {
		e.text, e.unit = quantity.Brief(v*10*float64(density), 12)+" g/L", ""
	}
	return e
}

// densityIn is the density of a stock as its row has it, zero where it has none that can be read: that of the row is told when it is put.
func (k Stock) densityIn(sh Sheet, r row) quantity.Density {
	f, _ := sh.Field("density")
	_ = f.put(&k, r.entries[f.Name])
	return k.Density.V
}

// weighs gives the first stock the density that its row has been given so far, by which a strength by mass is read.
func (s *Site) weighs(row map[string]string) {
	if density := row["density"]; density != "" {
		_ = s.Put("Stocks", 0, "density", density, "", note.Place{}) // refused where it was answered, if it is
	}
}
