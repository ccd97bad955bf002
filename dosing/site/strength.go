package site

import (
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// parseStrength reads product per litre of stock: "50 g/L", or per cent by volume, "5 % w/v",
// which is 50 g in a litre. Per cent by mass weighs the stock, so it is asked about: a litre
// of stock weighs more than one of water by as much as nobody but the site knows.
func parseStrength(s string) (quantity.Concentration, error) {
	v, unit, err := quantity.Split(s)
	words := strings.Fields(strings.ToLower(strings.NewReplacer("(", "", ")", "").Replace(unit)))
	if err != nil || len(words) == 0 || words[0] != "%" {
		return quantity.Parse[quantity.Concentration](s)
	}
	grams := quantity.Concentration(v * 10000)
	switch kind := strings.Join(words[1:], ""); kind {
	case "w/v", "m/v", "wt/vol":
		return grams, nil
	case "w/w", "m/m", "wt/wt", "bymass", "byweight":
		return 0, note.Fault("percent-by-mass", "%q weighs the stock: how many grams a litre of it holds, its density tells", s).
			Do("give it per litre: %s times the stock's density in kg/L", quantity.Full(grams, 4).In("g/L"))
	default:
		return 0, note.Fault("percent-of-what", "%q can be by mass or by volume", s).
			Do(`write "%s %% w/v" where a litre of stock holds %s, or give grams per litre`, quantity.To(quantity.Number(v), 4), quantity.To(grams, 4))
	}
}
