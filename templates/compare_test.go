package templates

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"jarwright/dosing/compare"
	account "jarwright/dosing/day"
	"jarwright/dosing/pair"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

func threeOptions(t *testing.T) Compare {
	t.Helper()
	eur := func(v float64, per string) quantity.Price {
		return quantity.Price{Amount: v, Currency: "EUR", Per: per}
	}
	uniform := func(lo, hi float64) func(float64) (quantity.Concentration, bool) {
		return func(p float64) (quantity.Concentration, bool) { return quantity.Concentration(lo + p*(hi-lo)), true }
	}
	c, err := compare.Make([]compare.Option{
		{Name: "Tuesday ferric", Outcome: "found", ResidualLevel: "not checked", Parts: []compare.Part{
			{Chemical: "ferric chloride", Dose: quantity.Dose{Concentration: 14, Basis: quantity.AsFeCl3}, Price: eur(0.36, "kg"), Freight: eur(0.05, "kg"), Effects: account.Effects{Strength: quantity.Some[quantity.Fraction](0.4), AlkalinityUse: 0.93, Floc: 0.99}, Quantile: uniform(11, 14)}}},
		{Name: "Tuesday alum", Outcome: "found", ResidualLevel: "caution", Residual: 0.12, HasResidual: true, ResidualOf: "Al", Parts: []compare.Part{
			{Chemical: "alum", Dose: quantity.Dose{Concentration: 18, Basis: quantity.AsAlum14}, Price: eur(0.42, "kg"), Freight: eur(0.05, "kg"), Effects: account.Effects{Strength: quantity.Some[quantity.Fraction](0.485), AlkalinityUse: 0.505, Floc: 0.44}, Quantile: uniform(13, 18.5)},
			{Chemical: "polymer", Dose: quantity.Dose{Concentration: 0.2, Basis: quantity.AsProduct}, Price: eur(4.8, "kg"), Effects: account.Effects{Floc: 1}}}},
		{Name: "Tuesday chitosan", Outcome: "still-improving", Refused: true, Why: "the target is not met at the highest dose", Parts: []compare.Part{{Chemical: "chitosan"}}},
	}, compare.Water{Raw: quantity.Some[quantity.Alkalinity](45), Keep: 40, Removed: solids.Same[quantity.Concentration](55), Alkali: pair.Alkali{Name: "soda ash", Per: 1.07, Price: eur(0.5, "kg")},
		Disposal: account.Disposal{DrySolids: 0.02, Price: eur(20, "m3")}}, 0)
	if err != nil {
		t.Fatal(err)
	}
	return Compare{Comparison: c, Target: "turbidity <= 5 NTU"}
}

func TestCompareText(t *testing.T) {
	for _, o := range []Options{{}, {Explain: true}, {DecimalComma: true}} {
		var b bytes.Buffer
		w := NewText(&b, o)
		threeOptions(t).Text(w, o)
		if err := w.Flush(); err != nil {
			t.Fatal(err)
		}
		for i, l := range strings.Split(b.String(), "\n") {
			if columns(l) > 80 {
				t.Errorf("line %d is %d columns wide: %s", i+1, columns(l), l)
			}
		}
		if os.Getenv("SHOW") != "" {
			t.Log("\n" + b.String())
		}
		for _, want := range []string{"costs least", "cannot be told apart on these data from", "Tuesday chitosan: still improving", "turbidity <= 5 NTU", "Al, above the limit for care"} {
			if !strings.Contains(strings.Join(strings.Fields(b.String()), " "), want) {
				t.Errorf("no %q in\n%s", want, b.String())
			}
		}
	}
}

func TestCompareJSON(t *testing.T) {
	data, err := json.Marshal(threeOptions(t).JSON())
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Schema  string
		Options []struct {
			Series    string
			Chemicals []struct{ Name string }
			Dose      *struct {
				Value float64
				Unit  string
				Basis string
			}
			Cost *struct {
				Value float64
				Unit  string
			} `json:"cost_per_1000m3"`
			Alkalinity    *struct{ Used struct{ Value float64 } }
			Solids        *struct{ Value float64 }
			ResidualLevel string `json:"residual_level"`
			Outcome       string
		}
		Notes []any
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	if doc.Schema != "jarwright.compare/1" || len(doc.Options) != 3 || doc.Notes == nil {
		t.Fatalf("%s", data)
	}
	a, b, c := doc.Options[0], doc.Options[1], doc.Options[2]
	if a.Cost == nil || b.Cost == nil || a.Cost.Value > b.Cost.Value || a.Cost.Unit != "EUR" || a.Dose == nil || a.Dose.Basis == "" {
		t.Errorf("%s", data)
	}
	if c.Outcome != "still-improving" || c.Dose != nil || c.Cost != nil {
		t.Errorf("a refused series has a dose or cost: %s", data)
	}
}

func TestCompareRows(t *testing.T) {
	rows := threeOptions(t).Table().Strings()
	if len(rows) != 1+1+2+1 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, r := range rows {
		if len(r) != len(rows[0]) {
			t.Errorf("row %v", r)
		}
	}
}

// Money for 1000 m3 is never passed off as that of another currency, and for 1000
// gallons it is 3.785411784 thousandths (NIST Handbook 44, appendix C).
func TestPerWater(t *testing.T) {
	q := costPerWater("", quantity.Money{Amount: 264.172052358, Currency: "EUR"}).Q.(perWater)
	if v := q.In("EUR"); v != 264.172052358 {
		t.Errorf("in its currency %v", v)
	}
	if v := q.In("USD"); v == v {
		t.Errorf("in another currency %v", v)
	}
	if v, u := q.Show(quantity.US); u != "EUR" || v < 0.999999999 || v > 1.000000001 {
		t.Errorf("for 1000 gal %v %s", v, u)
	}
	if v := massPerWater("", 2, 3).Q.(perWater).In("g"); v != 2000 {
		t.Errorf("2 kg are %v g", v)
	}
}

// TestSharedEnergy: half a euro of energy for 1000 m3 is told, nothing where it costs nothing.
func TestSharedEnergy(t *testing.T) {
	for _, x := range []struct {
		cost float64
		o    Options
		want string
	}{{0.5, Options{}, "All in holds 0.50 EUR of energy, the same for each."}, {0.5, Options{DecimalComma: true}, "All in holds 0,50 EUR of energy, the same for each."}, {0, Options{}, ""}} {
		c := threeOptions(t)
		for i := range c.Rows {
			c.Rows[i].Energy = quantity.Money{Amount: x.cost, Currency: "EUR"}
		}
		var b bytes.Buffer
		w := NewText(&b, x.o)
		c.Text(w, x.o)
		if err := w.Flush(); err != nil || !strings.Contains(b.String(), x.want) || x.want == "" && strings.Contains(b.String(), "of energy") {
			t.Errorf("%v, no %q in\n%s", err, x.want, b.String())
		}
	}
}

// TestUnknownFreightIsNoFigure: a freight that nobody knows is left out of the data and named, a free one is 0.
func TestUnknownFreightIsNoFigure(t *testing.T) {
	c := threeOptions(t)
	r := &c.Comparison.Rows[0]
	r.Priced, r.Freight.Amount, r.Unpriced.Names = true, 0, nil
	if !c.costData(*r).Has("freight") {
		t.Error("a free delivery is no figure")
	}
	r.Unpriced.Names = []string{"the freight of PACl", "the energy"}
	if c.costData(*r).Has("freight") {
		t.Error("an unknown freight is a figure")
	}
	rows := c.Table().Strings()
	if last := len(rows[0]) - 1; rows[0][last] != "cost_lacks" || rows[1][last] != "the freight of PACl; the energy" {
		t.Errorf("%q: %q", rows[0][last], rows[1][last])
	}
}

// TestCompareOfOne: what has a cost and is compared with nothing of another chemical is not called the least, nor should anybody change
// over to it: of one test, of tests of one chemical, and of several that alone has a cost.
func TestCompareOfOne(t *testing.T) {
	three := threeOptions(t).Comparison.Rows // alum, ferric, and chitosan without a dose
	again := three[0]
	again.Name = "Wednesday alum"
	for _, x := range []struct {
		rows []compare.Row
		says string
	}{
		{three[:1], "There is nothing to compare it with: put the sheet of another chemical beside it."},
		{[]compare.Row{three[0], again}, "There is nothing to compare it with: all these tests are of one chemical. Put the sheet of another beside them."},
		{[]compare.Row{three[0], three[2]}, "There is nothing to compare it with: the other tests have no cost, as stands below."},
	} {
		c := threeOptions(t)
		c.Comparison.Rows, c.Comparison.Notes = x.rows, nil
		var b bytes.Buffer
		w := NewText(&b, Options{})
		c.Text(w, Options{})
		if err := w.Flush(); err != nil {
			t.Fatal(err)
		}
		said := strings.Join(strings.Fields(b.String()), " ") + c.Drawing(Options{}).Title
		for _, word := range []string{"least", "change over", "told apart", "dearer", " more"} {
			if strings.Contains(said, word) {
				t.Errorf("one chemical is said to be compared (%q):\n%s", word, b.String())
			}
		}
		if !strings.Contains(said, x.says) {
			t.Errorf("no %q in\n%s", x.says, b.String())
		}
	}
}

// TestCompareOfOneWithout: a single test without a cost, or without a dose, is spoken of as one.
func TestCompareOfOneWithout(t *testing.T) {
	for _, x := range []struct {
		row  int
		says string
	}{{0, "the test gives a dose; it has no cost, because a price is missing"}, {2, "the test gives none that can be recommended"}} {
		c := threeOptions(t)
		c.Comparison.Rows = c.Comparison.Rows[x.row : x.row+1]
		c.Comparison.Rows[0].Priced, c.Comparison.Rows[0].Counted = false, true
		a := c.answer(Options{}, c.data())
		if n := a.Numbers[0]; !strings.HasPrefix(n.For, "What it costs") || n.Under != x.says || strings.Contains(n.Under+a.Order, "these") {
			t.Errorf("%+v", a)
		}
	}
}
