package dosing

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// changedPlan plans the example with one value written otherwise; what the site
// itself says of the value is not among the notes given.
func changedPlan(t *testing.T, sheet string, row int, field, value string) (note.List, error) {
	t.Helper()
	v := site.Example("", "")
	for _, f := range []string{"dose low", "dose high", "dose in storm water"} { // which bound the dose by themselves
		delete(v["Chemicals"][0], f)
		delete(v["Chemicals"][1], f)
	}
	for _, f := range []string{"least flow", "peak flow", "flow at 20 mA"} {
		delete(v["Flow"][0], f)
	}
	delete(v["Water"][0], "turbidity in a storm")
	if v[sheet][row][field] = value; field == "water at each pass" {
		delete(v["Solids"][0], "bin") // which would fill too
	}
	var b bytes.Buffer
	if err := site.WriteYAML(&b, v); err != nil {
		t.Fatal(err)
	}
	s, err := site.Read("site.yaml", &b)
	if err != nil {
		return nil, err
	}
	in, err := FromSite(s, Given{Catalogue: product.Default()})
	if err != nil {
		return nil, err
	}
	p, err := Make(in)
	if err != nil {
		return nil, err
	}
	p, _ = p.Reviewed(s, time.Time{})
	var out note.List
	for _, n := range p.Notes {
		if n.Code == "figures-apart" || n.Code == "dose-unusual" || n.Code == "price-unusual" || AsksFigure(n) {
			out.Add(n)
		}
	}
	return out, nil
}

// TestFiguresApart: figures that are plausible by themselves and do not go together
// are asked about once, at the cell of one of them. The sums stand in the example's
// figures: 3.6 m3/h over 24 h, 12.5 mg/L of alum of 48.5 %, 25.77 mg/L as product,
// 2.227 kg a day, 14.85 L of stock of 150 g/L.
func TestFiguresApart(t *testing.T) {
	for _, x := range []struct {
		sheet string
		row   int
		field string
		value string
		code  string // empty: quiet
		says  string
	}{
		{"Flow", 0, "average flow", "3.6 m3/h", "", ""},
		{"Flow", 0, "average flow", "36 m3/h", "figures-apart", "36 m3/h over 0.72 m2, without recycle, is 50 m/h"},
		{"Flow", 0, "average flow", "3600 m3/h", "figures-apart", "alum: it takes 10310 mL/min at the peak, and pump 1 gives 29.71 mL/min at most; polymer: it takes"},
		{"Flow", 0, "average flow", "0.05 m3/h", "figures-apart", "is 0.06944 m/h: is the flow, 0.05 m3/h, wrong"},
		{"Chemicals", 0, "dose", "185 mg/L", "dose-unusual", "did you mean 18.5 mg/L as alum 14-hydrate?"},
		{"Chemicals", 0, "basis", "as Al", "dose-unusual", "did you mean 12.5 mg/L as alum 14-hydrate, or 1.25 mg/L as Al?"},
		{"Chemicals", 0, "strength", "0.485 %", "strength-slip", ""},
		{"Chemicals", 0, "strength", "4.85 %", "strength-odd", "did you mean 48.5 %?"},
		{"Chemicals", 0, "density", "0.7 kg/L", "density-odd", ""},
		{"Stocks", 0, "product in stock", "15 g/L", "", ""}, // 103.1 mL/min of 29.71: 3.5 times
		{"Stocks", 0, "product in stock", "10 g/L", "figures-apart", "alum: it takes 154.6 mL/min"},
		{"Stocks", 1, "product in stock", "100 g/L", "figures-apart", "polymer: a full polymer tank lasts 93.75 d, and the stock keeps 24 h"},
		{"Pumps", 0, "largest rate", "1.9 L/h", "", ""},
		{"Tanks", 0, "volume", "360 L", "", ""}, // 324 L usable, 21.8 d of a stock that keeps 24 h
		{"Tanks", 0, "volume", "600 L", "figures-apart", "a full alum tank lasts 36.37 d, and the stock keeps 24 h"},
		{"Tanks", 0, "volume", "0.3 L", "figures-apart", "a full alum tank lasts 26.19 min"},
		{"Tanks", 3, "volume", "432 m3", "figures-apart", "bin float bin fills in"},
		{"Tanks", 3, "volume", "4.32 L", "figures-apart", "bin float bin fills in"},
		{"Solids", 0, "surface", "72 m2", "figures-apart", "3.6 m3/h over 72 m2, without recycle, is 0.05 m/h"},
		{"Solids", 0, "surface", "0.0721 m2", "figures-apart", "m/h"},
		{"Solids", 0, "surface", "0.09 m2", "", ""}, // 40 m/h
		{"Solids", 0, "water at each pass", "91 L", "figures-apart", "the skimmer carries over 26.21 m3 of 86.4 m3"},
		{"Solids", 0, "water at each pass", "50 L", "", ""},
		{"Solids", 0, "rapid mix volume", "3.59 m3", "", ""},
		{"Solids", 0, "rapid mix volume", "3.61 m3", "figures-apart", "in the rapid mix"},
		{"Solids", 0, "flocculator volume", "43 m3", "", ""},
		{"Solids", 0, "flocculator volume", "44 m3", "figures-apart", "in the flocculator"},
		{"Solids", 0, "flocculator volume", "17 L", "figures-apart", "the water stays 17 s in the flocculator"},
		// 2300 NTU x 1.5 x 0.92, and 5.7 mg/L of hydroxide and polymer, are 3180 mg/L: at 2 % 15.9 % of the water; of 2100 NTU 14.5 %
		{"Water", 0, "turbidity", "2300 NTU", "figures-apart", "13.74 m3 of float or sludge come of 86.4 m3 of water"},
		{"Water", 0, "turbidity", "2100 NTU", "", ""},
		// 0.2 mg/L x 86.4 m3 are 17.28 L of 1 g/L a day; 580 L x 0.9 of it 30.21 days, 570 L 29.7
		{"Tanks", 2, "volume", "580 L", "figures-apart", "polymer: a full polymer mixer is stock for 30.21 d, and the stock keeps 24 h"},
		{"Tanks", 2, "volume", "570 L", "", ""},
		// a polymer is let age for 30 to 120 min and keeps 8 to 24 h by the catalogue: a quarter of 30 min is 7.5 min, six times 24 h are 6 d
		{"Stocks", 1, "ageing", "8 min", "", ""},
		{"Stocks", 1, "ageing", "7 min", "figures-apart", "polymer: the stock is said to age 7 min, and such stock usually ages 30 min to "},
		{"Stocks", 1, "life", "6 d", "", ""},
		{"Stocks", 1, "life", "6.1 d", "figures-apart", "polymer: the stock is said to keep 6.1 d, and such stock usually keeps 8 h to 24 h"},
		// 2 % is usual of what is skimmed off: 0.15 of it is 0.3 %, four and a half times it 9 %
		{"Solids", 0, "float or sludge solids", "8.9 %", "", ""},
		{"Solids", 0, "float or sludge solids", "9.1 %", "figures-apart", "float or sludge is said to have 9.1 % of dry solids, and such a unit's usually has 2 %"},
		{"Solids", 0, "float or sludge solids", "0.31 %", "", ""},
		{"Solids", 0, "float or sludge solids", "0.29 %", "figures-apart", "float or sludge is said to have 0.29 %"},
		{"Prices", 0, "price", "15 EUR/kg", "", ""},
		{"Prices", 0, "price", "15.1 EUR/kg", "price-unusual", "alum: a price of 15.1 EUR/kg is more than is usual"},
		{"Prices", 1, "price", "0.4 EUR/kg", "price-unusual", "polymer: a price of 0.4 EUR/kg is less than is usual"},
		{"Prices", 0, "price", "7800 JPY/kg", "", ""},
		{"Prices", 0, "price", "0.42 EUR/t", "price-unusual", "did you mean 420 EUR/t, or 0.42 EUR/kg?"},
		{"Prices", 0, "pack", "90 kg", "", ""},
		{"Prices", 0, "pack", "120 g", "figures-apart", "alum: a pack, 120 g, lasts 1.293 h"}, // of 2.227 kg a day
		{"Prices", 0, "delivery", "4500 EUR", "figures-apart", "alum: delivery is 4500 EUR, and what it brings, 1 x 33 kg, costs 13.86 EUR"},
		{"Prices", 0, "delivery", "440 EUR", "", ""}, // under 15 times 30 EUR
		{"Prices", 0, "shelf life", "365 h", "figures-apart", "alum: the goods are said to keep 15.21 d, and such goods usually keep 730 d"},
		{"Prices", 0, "shelf life", "60 d", "", ""},
		{"Prices", 1, "pack", "60 kg", "values-disagree", ""},
		{"Prices", 1, "on hand", "52 kg", "figures-apart", "polymer: on hand, 52 kg, lasts 3009 d"},
		{"Prices", 1, "on hand", "51 kg", "", ""},
	} {
		said, err := changedPlan(t, x.sheet, x.row, x.field, x.value)
		what := x.sheet + " " + x.field + " " + x.value
		switch {
		case err != nil:
			t.Errorf("%s: %v", what, err)
		case x.code == "" && len(said) > 0:
			t.Errorf("%s: %v", what, said)
		case x.code != "" && (len(said) != 1 || said[0].Code != x.code || !strings.Contains(said[0].Message, x.says) || said[0].Level != note.Caution || said[0].Cell == "" || said[0].Remedy == ""):
			t.Errorf("%s: %v, want %s: %s", what, said, x.code, x.says)
		}
	}
}

// TestDearWater: a usual price at a usual dose makes dear water: 120 mg/L of 48.5 % is
// 247.4 mg/L as product, at 14 EUR/kg 3.464 EUR/m3; at 8 EUR/kg 1.979.
func TestDearWater(t *testing.T) {
	for price, says := range map[string]string{"14 EUR/kg": "alum: the goods of the dose cost 3.464 EUR/m3 of water", "8 EUR/kg": ""} {
		s := crossing(t, [3]string{"Chemicals", "dose", "120 mg/L"}, [3]string{"Chemicals", "dose low", ""}, [3]string{"Chemicals", "dose high", ""},
			[3]string{"Chemicals", "dose in storm water", ""}, [3]string{"Prices", "price", price})
		found := Asked(s, Given{Catalogue: product.Default()})
		if (len(found) == 1) != (says != "") || says != "" && !strings.HasPrefix(found[0].Message, says) {
			t.Errorf("%s: %v", price, found)
		}
	}
}
