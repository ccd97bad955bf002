package compare

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/daytest"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

var known = dosing.Given{Catalogue: product.Default()}

func plan(t *rapid.T, s site.Site) (dosing.Plan, dosing.Review) {
	in, err := dosing.FromSite(s, known)
	if err != nil {
		t.Fatal(err)
	}
	p, err := dosing.Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return p.Reviewed(s, time.Time{})
}

// asOption is the site's own treatment as a comparison has it: jars with the
// planned doses of all but the first chemical, and an answer with that of the first.
func asOption(t *rapid.T, s site.Site, p dosing.Plan) (Row, Water) {
	var chemicals []jartest.Chemical
	jar := jartest.Jar{Label: "1"}
	for _, f := range p.Feeds {
		if f.Balance == nil { // an alkali that follows is not in the jars
			chemicals = append(chemicals, jartest.Chemical{Name: f.Name, Basis: f.Dose.Basis})
			jar.Doses = append(jar.Doses, jartest.JarDose{Concentration: f.Dose.Concentration, Known: true})
		}
	}
	tests := jartest.Series{Name: "own", Chemicals: chemicals, Jars: []jartest.Jar{jar},
		Raw: map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(7, "NTU"), jartest.AlkalinityKey: jartest.Num(3, "mg/L CaCO3")}}
	found := curve.Result{Series: "own", Chemical: chemicals[0], Outcome: curve.Found, HasPlanning: true, Planning: p.Feeds[0].Dose}
	options, w, _, err := Gather([]jartest.Series{tests}, []curve.Result{found}, nil, Facts{Catalogue: known.Catalogue, Site: &s})
	if err != nil {
		t.Fatal(err)
	}
	c, err := Make(options, w, 0)
	if err != nil {
		t.Fatal(err)
	}
	return c.Rows[0], w
}

func stops(l note.List) (codes []string) {
	for _, n := range l.Only(note.Stop) {
		if !slices.Contains(codes, n.Code) {
			codes = append(codes, n.Code)
		}
	}
	slices.Sort(codes)
	return codes
}

// TestOneSite: plan, budget and a comparison of the site's own treatment give the
// same water, solids, product, money, limits and stops.
func TestOneSite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := daytest.Site(t)
		for i := range s.Prices { // what goes out of date is a matter of the store, not of the day
			s.Prices[i].Shelf = quantity.Some(quantity.Time(1e9))
		}
		if rapid.Bool().Draw(t, "comes round again") {
			s.Place.Passes = quantity.Some(site.Recirculating)
			s.Water.System = quantity.Some(quantity.Volume(rapid.Float64Range(1e4, 1e6).Draw(t, "system")))
			if rapid.Bool().Draw(t, "new water") {
				s.Water.Exchange = quantity.Some(quantity.Fraction(rapid.Float64Range(0, 0.5).Draw(t, "exchange")))
			}
			if rapid.Bool().Draw(t, "breaks down") {
				s.Chemicals[1].HalfLife = quantity.Some(quantity.Time(rapid.Float64Range(2, 500).Draw(t, "half-life")))
			}
		}
		known := s.Water.Turbidity.OK || s.Water.TSS.OK
		p, said := plan(t, s)
		one := month.CostOf(s, p, month.Mean(s, dosing.Given{Catalogue: product.Default()}, month.Month{}))
		row, w := asOption(t, s, p)
		thousand := p.Treated.In("m3") / 1000 // of 1000 m3 in a day
		same := func(what string, got, day float64) {
			t.Helper()
			if want := day / thousand; math.Abs(got-want) > 1e-9*math.Max(math.Abs(want), 1e-6) {
				t.Fatalf("%s of 1000 m3: compared %.15g, planned %.15g", what, got, want)
			}
		}
		var chemicals, freight float64
		parts := 0
		for i, f := range p.Feeds {
			u := one.Uses[i]
			if f.Balance != nil {
				same("alkali", row.Alkali.Amount, u.Goods.Amount)
				freight += u.Freight.Amount
				continue
			}
			same(f.Name, float64(row.Product[parts]), float64(f.Product))
			chemicals, freight, parts = chemicals+u.Goods.Amount, freight+u.Freight.Amount, parts+1
		}
		same("chemicals", row.Chemicals.Amount, chemicals)
		same("freight", row.Freight.Amount, freight)
		same("energy", row.Energy.Amount, one.Electricity.Amount)
		same("make-up water", row.MakeUp.Amount, one.Lines()[len(one.Uses)+2].Amount.Amount)
		if known { // else the sheet's own raw water stands in
			d := p.Solids(s)
			same("dry low", float64(row.DrySolids.Low), float64(one.Dry.Low))
			same("dry", float64(row.DrySolids.Likely), float64(d.Dry.Likely))
			same("dry high", float64(row.DrySolids.High), float64(one.Dry.High))
			same("wet", float64(row.WetSolids.Likely), float64(d.Volume.Likely))
			same("wet high", float64(row.WetSolids.High), float64(one.Wet.High))
			same("disposal", row.Solids.Amount, one.Disposal.Amount)
			same("all in", row.Total.Amount, one.Total().Amount)
		}
		if w.Raw.V != s.Water.Alkalinity.V || w.Keep != s.Water.AlkFloor.V {
			t.Fatalf("alkalinity %v and %v, the site's %v and %v", w.Raw, w.Keep, s.Water.Alkalinity.V, s.Water.AlkFloor.V)
		}

		m, notes, err := month.FromSite(s, month.Options{Given: dosing.Given{Catalogue: product.Default()}, Draws: 100})
		if err != nil {
			t.Fatal(err)
		}
		want := stops(said.Findings.Notes)
		hasAlkali := len(p.Feeds) > parts
		if got := stops(notes); !slices.Equal(got, want) || m.Stopped != said.Stopped {
			t.Fatalf("budget is stopped by %v (%v), the plan by %v (%v)", got, m.Stopped, want, said.Stopped)
		}
		if got := stops(row.Option.Notes); !hasAlkali && (!slices.Equal(got, want) || row.Stopped != said.Stopped) {
			t.Fatalf("the option is stopped by %v (%v), the plan by %v (%v)", got, row.Stopped, want, said.Stopped)
		}
		for _, n := range said.ByWater {
			if !slices.ContainsFunc(notes, func(x note.Note) bool { return x.Code == n.Code && x.Message == n.Message }) {
				t.Fatalf("budget does not say: %s", n.Message)
			}
		}
	})
}

// TestOneOrderOfMixedMonths: with storms, closed days and clean-ups in the month, plan, budget and a comparison
// of the site's own treatment buy at one price and one delivery charge a kg, and have one usual order.
func TestOneOrderOfMixedMonths(t *testing.T) {
	mixed := 0
	rapid.Check(t, func(t *rapid.T) {
		s := daytest.Site(t)
		s.Solids.Capture, s.Solids.TankLongest = quantity.Some(quantity.Fraction(rapid.Float64Range(0.3, 1).Draw(t, "caught by a pass"))), quantity.Some[quantity.Time](24*60)
		for i := range s.Prices {
			s.Prices[i].Shelf = quantity.Some(quantity.Time(1e9))
		}
		on := func(d int) quantity.Known[time.Time] {
			return quantity.Some(time.Date(2026, 3, d, 0, 0, 0, 0, time.UTC))
		}
		s.Calendar[0].Till = on(15)
		for d := 16; d <= 31; d++ {
			row := site.Day{From: on(d), Runs: quantity.Some(rapid.Bool().Draw(t, "runs")),
				Water: quantity.Some(rapid.SampledFrom([]string{site.UsualWater, site.StormWater, site.ClearWater}).Draw(t, "water"))}
			if rapid.IntRange(0, 7).Draw(t, "clean-up") == 0 {
				row.CleanUp = quantity.Some(quantity.Volume(1))
			}
			s.Calendar = append(s.Calendar, row)
		}
		given := dosing.Given{Catalogue: product.Default()}
		p, _ := plan(t, s)
		one := month.CostOf(s, p, month.Mean(s, given, month.Month{}))
		row, _ := asOption(t, s, p)
		m, _, err := month.FromSite(s, month.Options{Given: given, Draws: 10})
		if err != nil {
			t.Fatal(err)
		}
		b, err := month.Make(m)
		if err != nil {
			t.Fatal(err)
		}
		parts := 0
		for i, f := range p.Feeds {
			a, u := b.Accounts[i], one.Uses[i]
			kg := float64(u.Product)
			if kg <= 0 {
				continue
			}
			for what, x := range map[string][2]float64{"price": {u.Goods.Amount / kg, a.UsualPrice.Amount}, "delivery": {u.Freight.Amount / kg, a.UsualFreight.Amount}} {
				if math.Abs(x[0]-x[1]) > 1e-9*math.Max(1, x[1]) {
					t.Fatalf("%s of %s: %.12g in the plan, %.12g in the budget", what, f.Name, x[0], x[1])
				}
			}
			if f.Balance != nil {
				continue
			}
			part := row.Option.Parts[parts]
			if parts++; math.Abs(part.Price.Amount-a.UsualPrice.Amount) > 1e-9 || math.Abs(part.Freight.Amount-a.UsualFreight.Amount) > 1e-9 {
				t.Fatalf("%s: %v and %v in the comparison, %v and %v in the budget", f.Name, part.Price, part.Freight, a.UsualPrice, a.UsualFreight)
			}
			if math.Abs(float64(a.Use)-31*kg) > 1e-6*kg {
				mixed++
			}
		}
	})
	if mixed == 0 {
		t.Error("no month was mixed")
	}
}

// TestTankOfTheSameSite: a clean-up runs on the same effects, shares and limits as
// the plan, and tells the stops of the day; of a polymer the tank, in which the animals stand, holds to the lower limit of such water.
func TestTankOfTheSameSite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := daytest.Site(t)
		s.Solids.Capture = quantity.Some[quantity.Fraction](0.9)
		p, said := plan(t, s)
		in, err := dosing.CleaningFromSite(s, known, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		k, r := in.Tank, p.Record(s)
		for i, x := range k.Chemicals {
			c := r.Chemicals[i]
			if x.Effects != c.Effects || x.Density != c.Density {
				t.Fatalf("%s: %+v, planned %+v", x.Name, x.Effects, c.Effects)
			}
			if got, want := float64(x.Rule.At(30)), float64(p.Feeds[i].Dose.Concentration); got != want {
				t.Fatalf("%s: %g mg/L, planned %g", x.Name, got, want)
			}
			perLitre := float64(x.Stock) * float64(x.Product()) // of product
			if math.Abs(perLitre-float64(c.Stock)) > 1e-9*float64(c.Stock) {
				t.Fatalf("%s: stock of %g, planned %v", x.Name, perLitre, c.Stock)
			}
			for _, res := range said.Residuals { // the limit of the plan counts active polymer; it is that of the gravest word, else the first
				limit := x.StopAt
				if res.Level < note.Stop && x.WarnAt > 0 {
					limit = x.WarnAt
				}
				ratio := float64(limit) * float64(x.Floc) / float64(res.Limit.V)
				agree := math.Abs(ratio-1) <= 1e-9
				if x.Name == "polymer" && limit == x.StopAt { // the animals' own water stops at a tenth, or a thirtieth, of what water before them may hold half of
					agree = slices.ContainsFunc([]string{"polymer-stocked", "anionic-stocked"}, func(rule string) bool {
						return math.Abs(ratio*caution.RuleNamed(rule).Limit/caution.RuleNamed("cationic-lethal").Limit-1) <= 1e-9
					})
				}
				if res.Chemical == x.Name && x.StopAt > 0 && res.Limit.OK && !agree {
					t.Fatalf("%s: %v of %g active, the plan (%v) %v", x.Name, limit, float64(x.Floc), res.Level, res.Limit.V)
				}
			}
		}
		d := p.Solids(s)
		if k.Share != r.Disposal.DrySolids || k.Density != r.Disposal.Density || k.Skim.PerHour() != r.Skim.PerHour() || d != nil && k.Bin != *d.Bin {
			t.Fatalf("float %v of %v, skimming %v, bin %+v; planned %+v", k.Share, k.Density, k.Skim.PerHour(), k.Bin, r)
		}
		if own := dosing.PerNTU(s); own.OK && k.PerUnit != own.V {
			t.Fatalf("%g mg/L per NTU, planned %g", k.PerUnit, own.V)
		}
		c, err := dosing.Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		for _, code := range stops(said.Findings.Notes) {
			if !slices.ContainsFunc(c.Notes, func(n note.Note) bool { return n.Code == code }) {
				t.Fatalf("the plan is stopped by %s, and the clean-up says nothing of it", code)
			}
		}
		// What the unit takes out and the run makes of its doses, once more from the account.
		dry := c.Waste.Dry.Likely
		for i, u := range c.Uses {
			made := r.Chemicals[i].Use(u.Dosed, quantity.Price{})
			dry -= made.Solids.Likely
			if math.Abs(float64(u.Product-made.Product)) > 1e-9*float64(made.Product) || math.Abs(float64(u.Stock-made.Stock)) > 1e-9*float64(made.Stock) {
				t.Fatalf("%s: %+v, by the account %+v", u.Chemical, u, made)
			}
		}
		if dry < -1e-9*c.Waste.Dry.Likely {
			t.Fatalf("the chemicals make more solids than there are: %v", dry)
		}
		if want := r.Disposal.Volume(c.Waste.Dry.Likely); math.Abs(float64(c.Waste.Float.Likely-want)) > 1e-9*float64(want) {
			t.Fatalf("float %v, by the account %v", c.Waste.Float.Likely, want)
		}
	})
}
