package compare

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/pair"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// priced is 20 mg/L as product of one chemical at a price and a freight by the kg; a
// negative one is not known. 20 kg go into 1000 m3.
func priced(name string, price, freight float64) Option {
	p := Part{Chemical: name, Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}}
	if price >= 0 {
		p.Price = eur(price, "kg")
	}
	if freight >= 0 {
		p.Freight = eur(freight, "kg")
	}
	return Option{Name: name, Parts: []Part{p}}
}

// TestVerdict: what is not known is named, with what the verdict hangs on: by hand from
// 20 kg in 1000 m3. Alum at 0.40 EUR/kg is 8 EUR, ferric at 0.50 with 0.10 of freight 12.
func TestVerdict(t *testing.T) {
	for _, x := range []struct {
		what    string
		options []Option
		w       Water
		first   string
		says    []string // one for each note of a cost that lacks something
		level   note.Level
	}{
		{what: "all known", options: []Option{priced("alum", 0.4, 0), priced("ferric", 0.5, 0.1)}, first: "alum"},
		{what: "the least lacks freight", options: []Option{priced("ferric", 0.5, 0.1), priced("alum", 0.4, -1)}, first: "alum", level: note.Caution,
			says: []string{"the cost of alum leaves out the freight of alum, which is not known; it costs least as long as that comes to less than 4 EUR/1000 m3 (0.2 EUR/kg)"}},
		{what: "another lacks freight", options: []Option{priced("alum", 0.4, 0), priced("ferric", 0.5, -1)}, first: "alum", level: note.Info,
			says: []string{"the cost of ferric leaves out the freight of ferric, which is not known; it already costs more than alum without, so the verdict does not hang on it"}},
		{what: "both lack it", options: []Option{priced("alum", 0.4, -1), priced("ferric", 0.5, -1)}, first: "alum", level: note.Caution,
			says: []string{"it costs least as long as that is no more than 2 EUR/1000 m3 (0.1 EUR/kg) above what is not known of ferric", "already costs more than alum"}},
		{what: "alone", options: []Option{priced("alum", 0.4, -1)}, first: "alum", level: note.Info, says: []string{"the cost of alum leaves out the freight of alum, which is not known"}},
	} {
		c, err := Make(x.options, x.w, 0)
		if err != nil {
			t.Fatal(err)
		}
		if c.Rows[0].Name != x.first {
			t.Errorf("%s: %s costs least", x.what, c.Rows[0].Name)
		}
		said := 0
		var worst note.Level
		for _, n := range c.Notes {
			if n.Code != "cost-lacks" {
				continue
			}
			worst = max(worst, n.Level)
			if said == len(x.says) || !strings.Contains(n.Message, x.says[said]) {
				t.Errorf("%s: %q", x.what, n.Message)
			}
			said++
		}
		if said < len(x.says) || len(x.says) > 0 && worst != x.level {
			t.Errorf("%s: %d notes, level %v: %v", x.what, said, worst, c.Notes)
		}
	}
}

// TestUpToWhichPrice: an option without a price would cost least below what is left to
// the least, or at no price. Alum costs 8 EUR; ferric's alkali alone is 20 x 0.5 x 0.3 = 3 EUR.
func TestUpToWhichPrice(t *testing.T) {
	ferric := priced("ferric", -1, -1)
	ferric.Parts[0].AlkalinityUse = 0.5
	soda := func(price float64) Water {
		return Water{Raw: quantity.Some[quantity.Alkalinity](50), Keep: 50, Alkali: pair.Alkali{Name: "soda ash", Per: 1, Price: eur(price, "kg"), Freight: eur(0, "kg")}}
	}
	for price, want := range map[float64]string{
		0.3: "so ferric cannot be placed by cost; it would cost less than alum as long as what is not known comes to less than 5 EUR/1000 m3 (0.25 EUR/kg)",
		0.8: "the verdict does not hang on it: without it it already costs more than alum",
	} {
		c, err := Make([]Option{priced("alum", 0.4, 0), ferric}, soda(price), 0)
		if err != nil {
			t.Fatal(err)
		}
		n := c.Notes.Only(note.Caution)
		if len(n) != 1 || n[0].Code != "no-price" || !strings.Contains(n[0].Message, want) {
			t.Errorf("soda ash at %g: %v", price, n)
		}
	}
	stopped := ferric
	stopped.Stopped = true
	c, _ := Make([]Option{priced("alum", 0.4, 0), stopped}, soda(0.3), 0)
	if n := c.Notes.Only(note.Caution); len(n) != 1 || !strings.Contains(n[0].Message, "since it may not be dosed") {
		t.Errorf("%v", n)
	}
	none, _ := Make([]Option{ferric}, soda(0.3), 0)
	if n := none.Notes.Only(note.Caution); len(n) != 1 || !strings.HasSuffix(n[0].Message, "cannot be placed by cost") {
		t.Errorf("%v", n)
	}
	// Alkali that is needed and has no price is named with what it is for.
	w := soda(0)
	w.Alkali.Price = quantity.Price{}
	needs := priced("alum", 0.4, 0)
	needs.Parts[0].AlkalinityUse = 0.5
	c, _ = Make([]Option{needs}, w, 0)
	if r := c.Rows[0]; len(r.Unpriced.Names) != 1 || r.Unpriced.Names[0] != "the soda ash that keeps 50 mg/L CaCO3 of alkalinity" || r.Unpriced.Mass != 10 {
		t.Errorf("%+v", r.Unpriced)
	}
}

// TestNamesOfASite: prices are found by the name of the sheet, of the site, of its product
// and of the catalogue, on a row of Prices whose chemical is not dosed there too.
func TestNamesOfASite(t *testing.T) {
	dose := quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}
	for _, x := range []struct{ sheet, chemical, product, price string }{
		{"alum", "alum", "alum-liquid", "alum"},
		{"alum", "blue drum", "alum-liquid", "blue drum"},
		{"aluminium sulfate", "alum", "alum-liquid", "alum"},
		{"alum", "coagulant A", "alum-liquid", "alum-liquid"},
		{"PACl", "", "", "PACl"},
		{"PACl", "", "", "pacl-10"},
		{"ferric chloride", "", "", "Ferric-Chloride"},
	} {
		s := site.Site{Prices: []site.Price{{Chemical: quantity.Some(x.price), Price: quantity.Some(eur(0.42, "kg")),
			Delivery: quantity.Some(quantity.Money{Amount: 0, Currency: "EUR"}), Pack: quantity.Some(quantity.Mass(25))}}}
		if x.chemical != "" {
			s.Chemicals = []site.Chemical{{Name: quantity.Some(x.chemical), Product: quantity.Some(x.product), Basis: quantity.Some(quantity.AsProduct)}}
		}
		c := jartest.Chemical{Name: x.sheet, Basis: quantity.AsProduct}
		tests := jartest.Series{Name: "own", Chemicals: []jartest.Chemical{c}}
		found := curve.Result{Series: "own", Chemical: c, Outcome: curve.Found, HasPlanning: true, Planning: dose}
		o, _, _, err := Gather([]jartest.Series{tests}, []curve.Result{found}, nil, Facts{Catalogue: product.Default(), Site: &s})
		if err != nil {
			t.Fatal(err)
		}
		if p := o[0].Parts[0]; p.Price.Amount != 0.42 || p.Freight.Currency != "EUR" {
			t.Errorf("%+v: price %v, freight %v", x, p.Price, p.Freight)
		}
	}
	other := site.Site{Prices: []site.Price{{Chemical: quantity.Some("polymer"), Price: quantity.Some(eur(4, "kg"))}}}
	if dosing.PriceRow(&other, "alum", product.Default()) != nil {
		t.Error("alum is sold at the price of polymer")
	}
}

// TestSetPHAmongTheParts: what sets the pH is a part with its price, and alkali gives back what
// it and the alum take; where it could not be told the cost lacks it, and no alkali is counted.
func TestSetPHAmongTheParts(t *testing.T) {
	alum := priced("alum at pH 6.5", 0.4, 0)
	alum.Parts[0].AlkalinityUse = 0.5
	set := alum
	set.Name, set.PHSet = "set", true
	set.Parts = append(set.Parts, Part{Chemical: "sulfuric acid", Dose: quantity.Dose{Concentration: 30, Basis: quantity.AsProduct}, Price: eur(0.3, "kg"), Freight: eur(0, "kg")})
	set.Parts[1].AlkalinityUse = 1
	free := set // the acid has no price: the rest still places it
	free.Name, free.Parts = "free", slices.Clone(set.Parts)
	free.Parts[1].SetsPH, free.Parts[1].Price = true, quantity.Price{}
	w := Water{Raw: quantity.Some[quantity.Alkalinity](50), Keep: 50, Alkali: pair.Alkali{Name: "soda ash", Per: 1, Price: eur(1, "kg"), Freight: eur(0, "kg")}}
	unset := alum
	unset.Name, unset.PHSet, unset.Lacks = "unset", true, []string{"what sets the pH of its jars"}
	c, err := Make([]Option{alum, set, unset, free}, w, 0)
	if err != nil {
		t.Fatal(err)
	}
	// 20 kg at 0.40 and 30 kg at 0.30; 10 mg/L of soda ash give back what alum takes, 30 more what acid does.
	for name, want := range map[string]float64{"alum at pH 6.5": 8 + 10, "set": 8 + 9 + 40, "unset": 8, "free": 8 + 40} {
		for _, r := range c.Rows {
			if r.Name == name && (r.Total.Amount != want || (r.AlkaliDose > 0) == (name == "unset") || (len(r.Unpriced.Names) > 0) != (name == "unset" || name == "free")) {
				t.Errorf("%s: %v, alkali %v, lacks %v", name, r.Total, r.AlkaliDose, r.Unpriced)
			}
		}
	}
	if r := c.Rows[slices.IndexFunc(c.Rows, func(r Row) bool { return r.Name == "free" })]; !slices.Equal(r.Unpriced.Names, []string{"the price of sulfuric acid"}) || r.Unpriced.Mass != 30 || !r.Priced {
		t.Errorf("acid without a price: %+v, placed %v", r.Unpriced, r.Priced)
	}
	if n := c.Notes.Only(note.Caution); len(n) != 1 || !strings.Contains(n[0].Message, "the cost of unset leaves out what sets the pH of its jars, which is not known; it costs least as long as that comes to less than 10 EUR/1000 m3") ||
		!strings.HasSuffix(n[0].Remedy, "or with --alkali or --acid") {
		t.Errorf("%v", n)
	}
}

// TestLinesNotPriced: a line of the cost that nothing is known of is named, one that costs nothing is not.
func TestLinesNotPriced(t *testing.T) {
	eur := quantity.Price{Amount: 1, Currency: "EUR"}
	full := func() (*Comparison, Row) {
		c := &Comparison{Water: Water{MakeUp: eur, Electricity: eur, Power: 1000, Running: 10}}
		c.Water.Disposal.Price, c.Water.Alkali.Price = eur, eur
		r := Row{AlkaliDose: 3, Raw: RawWater{Alkalinity: quantity.Some[quantity.Alkalinity](50)}}
		r.DrySolids.Likely, r.Parts = 2, []Part{{Stock: 50, Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](1)}}}
		return c, r
	}
	none := quantity.Price{}
	for what, x := range map[string]struct {
		change func(c *Comparison, r *Row)
		want   string
	}{
		"all known":          {func(*Comparison, *Row) {}, "[]"},
		"no alkali price":    {func(c *Comparison, _ *Row) { c.Water.Alkali.Price = none }, "[alkali]"},
		"no alkali needed":   {func(c *Comparison, r *Row) { c.Water.Alkali.Price, r.AlkaliDose = none, 0 }, "[]"},
		"alkalinity unknown": {func(_ *Comparison, r *Row) { r.Raw.Alkalinity.OK = false }, "[alkali]"},
		"no disposal price":  {func(c *Comparison, _ *Row) { c.Water.Disposal.Price = none }, "[solids]"},
		"no solids":          {func(c *Comparison, r *Row) { c.Water.Disposal.Price, r.DrySolids.Likely = none, 0 }, "[]"},
		"wet solids only": {func(c *Comparison, r *Row) {
			c.Water.Disposal.Price, r.DrySolids.Likely, r.WetSolids.Likely = none, 0, 1
		}, "[solids]"},
		"no water price":      {func(c *Comparison, _ *Row) { c.Water.MakeUp = none }, "[make-up water]"},
		"neat":                {func(c *Comparison, r *Row) { c.Water.MakeUp, r.Parts[0].Stock = none, 0 }, "[]"},
		"carried":             {func(c *Comparison, r *Row) { c.Water.MakeUp, r.Parts[0].Stock, r.Parts[0].Carrier = none, 0, 1 }, "[make-up water]"},
		"no electricity":      {func(c *Comparison, _ *Row) { c.Water.Electricity = none }, "[energy]"},
		"power unknown":       {func(c *Comparison, _ *Row) { c.Water.Power = 0 }, "[energy]"},
		"electricity is free": {func(c *Comparison, _ *Row) { c.Water.Power, c.Water.Electricity.Amount = 0, 0 }, "[]"},
	} {
		c, r := full()
		if x.change(c, &r); fmt.Sprint(c.NotPriced(r)) != x.want {
			t.Errorf("%s: %v, want %s", what, c.NotPriced(r), x.want)
		}
	}
}
