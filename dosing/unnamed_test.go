package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// TestRowsThatNothingNames: a row is asked about while something that could name it names nothing; a spare beside
// rows that are all named is not.
func TestRowsThatNothingNames(t *testing.T) {
	const head = `
place: {name: works, purpose: other, water_passes: once through, example_values: "no"}
flow: {average_flow: 5 m3/h}
`
	for name, x := range map[string]struct {
		yaml string
		says string // empty where nothing is asked
	}{
		"a stock that its chemical does not name": {`
chemicals: [{name: alum, product: alum-liquid, dose: 20 mg/L, basis: as product}]
stocks: [{name: tub, product_in_stock: 100 g/L}]`, `no chemical is fed from "tub": one that names no stock is taken to be fed as it is sold`},
		"a pump that no chemical names": {`
chemicals: [{name: alum, product: alum-liquid, dose: 20 mg/L, basis: as product}]
pumps: [{name: p, largest_rate: 2 L/h}]`, `no chemical is fed by "p"`},
		"a tank that no stock names": {`
chemicals: [{name: alum, product: alum-liquid, dose: 20 mg/L, basis: as product, stock: tub}]
stocks: [{name: tub, product_in_stock: 100 g/L}]
tanks: [{name: drum, use: stock, volume: 200 L}]`, `no stock stands in "drum"`},
		"a bin is no stock tank": {`
chemicals: [{name: alum, product: alum-liquid, dose: 20 mg/L, basis: as product, stock: tub}]
stocks: [{name: tub, product_in_stock: 100 g/L}]
tanks: [{name: skip, use: bin, volume: 200 L}]`, ""},
		"a spare pump, and names in another case": {`
chemicals: [{name: alum, product: alum-liquid, dose: 20 mg/L, basis: as product, pump: P}]
pumps: [{name: p, largest_rate: 2 L/h}, {name: spare, largest_rate: 2 L/h}]`, ""},
	} {
		s, err := site.Read("site.yaml", strings.NewReader(strings.TrimPrefix(head, "\n")+strings.TrimPrefix(x.yaml, "\n")))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		asked := unnamed(s)
		switch {
		case x.says == "" && len(asked) > 0:
			t.Errorf("%s: %v", name, asked)
		case x.says != "" && (len(asked) != 1 || asked[0].Level != note.Caution || !strings.HasPrefix(asked[0].Message, x.says) || asked[0].Remedy == "" || asked[0].Cell == ""):
			t.Errorf("%s: %v, want %s", name, asked, x.says)
		}
	}
}
