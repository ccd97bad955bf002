package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// codes names the notes of a list, in its order.
func codes(l note.List) string {
	var out []string
	for _, n := range l {
		out = append(out, n.Code)
	}
	return strings.Join(out, " ")
}

func known[T any](v T, cell string) quantity.Known[T] {
	return quantity.Known[T]{V: v, OK: true, At: note.Place{Cell: cell}}
}

// TestProductOfARow: whose figures a chemical goes by, and what is said of them. A
// strength counts what the row says, else what the dose counts, else what the
// catalogue's strength counts, else something that is not known.
func TestProductOfARow(t *testing.T) {
	named := func(id string) site.Chemical { return site.Chemical{Name: known(id, "A1"), Product: known(id, "A2")} }
	alum, own := named("alum-liquid"), site.Chemical{Name: known("drum 7", "A1")}
	for _, x := range []struct {
		what     string
		row      func() site.Chemical
		dose     quantity.Basis
		strength quantity.Fraction // zero where not known
		basis    quantity.Basis
		form     product.Form
		notes    string
	}{
		{"of the catalogue", func() site.Chemical { return alum }, quantity.AsAlum14, 0.485, quantity.AsAlum14, product.Liquid, "catalogue-strength catalogue-density"},
		{"dosed as product", func() site.Chemical { return alum }, quantity.AsProduct, 0.485, quantity.AsAlum14, product.Liquid, "catalogue-density"},
		{"by its name", func() site.Chemical {
			c := alum
			c.Name, c.Product = known("alum-liquid", "A1"), site.Chemical{}.Product
			return c
		},
			quantity.AsProduct, 0.485, quantity.AsAlum14, product.Liquid, "product-by-name catalogue-density"},
		{"of the catalogue from memory: one drum, one caution", func() site.Chemical { return named("ferric-sulfate") }, quantity.AsFe, 0.12, quantity.AsFe, product.Liquid, "catalogue-strength"},
		{"a powder of the catalogue", func() site.Chemical { return named("soda-ash") }, quantity.AsProduct, 0.99, quantity.AsNa2CO3, product.Dry, ""},
		{"with the drum's figures", func() site.Chemical {
			c := alum
			c.Strength, c.Density, c.Basicity = known[quantity.Fraction](0.48, "C1"), known[quantity.Density](1.33, "C2"), known[quantity.Fraction](0.1, "C3")
			return c
		}, quantity.AsAlum14, 0.48, quantity.AsAlum14, product.Liquid, ""},
		{"counted as the row says", func() site.Chemical {
			c := alum
			c.Strength, c.Counts = known[quantity.Fraction](0.083, "C1"), known(quantity.AsAl2O3, "C4")
			return c
		}, quantity.AsAlum14, 0.083, quantity.AsAl2O3, product.Liquid, "catalogue-density"},
		{"as product counts as the dose does", func() site.Chemical {
			c := alum
			c.Strength, c.Counts = known[quantity.Fraction](0.083, "C1"), known(quantity.AsProduct, "C4")
			return c
		}, quantity.AsAl2O3, 0.083, quantity.AsAl2O3, product.Liquid, "catalogue-density"},
		{"else as the catalogue's", func() site.Chemical { c := alum; c.Strength = known[quantity.Fraction](0.48, "C1"); return c },
			quantity.AsProduct, 0.48, quantity.AsAlum14, product.Liquid, "catalogue-density"},
		{"a slip of the strength", func() site.Chemical { c := alum; c.Strength = known[quantity.Fraction](0.083, "C1"); return c },
			quantity.AsAlum14, 0.083, quantity.AsAlum14, product.Liquid, "strength-slip catalogue-density"},
		{"a slip of the density", func() site.Chemical { c := alum; c.Density = known[quantity.Density](11.1, "C2"); return c },
			quantity.AsProduct, 0.485, quantity.AsAlum14, product.Liquid, "density-slip"},
		{"one's own powder", func() site.Chemical { return own }, quantity.AsFe, 0, quantity.AsFe, product.Dry, ""},
		{"one's own liquid", func() site.Chemical { c := own; c.Density = known[quantity.Density](1.2, "C2"); return c }, quantity.AsProduct, 0, quantity.NotStated, product.Liquid, ""},
		{"one's own, counted", func() site.Chemical { c := own; c.Counts = known(quantity.AsFeCl3, "C4"); return c }, quantity.AsFe, 0, quantity.AsFeCl3, product.Dry, ""},
		{"one's own of some strength", func() site.Chemical { c := own; c.Strength = known[quantity.Fraction](0.3, "C1"); return c },
			quantity.AsProduct, 0.3, ActiveSubstance, product.Dry, ""},
	} {
		p, notes, err := ProductOf(x.row(), x.dose, products)
		if err != nil {
			t.Errorf("%s: %v", x.what, err)
			continue
		}
		if p.Strength.V != x.strength || p.Strength.OK != (x.strength > 0) || p.Basis != x.basis || p.Form != x.form || codes(notes) != x.notes {
			t.Errorf("%s: %v (%v) %q, %s: %s", x.what, p.Strength.V, p.Strength.OK, p.Basis, p.Form, codes(notes))
		}
		for _, n := range notes {
			want := map[string]string{"strength-slip": "C1", "density-slip": "C2", "product-by-name": "A1"}[n.Code]
			if n.Cell != want {
				t.Errorf("%s: %s at %q", x.what, n.Code, n.Cell)
			}
			if fig := p.Density; n.Code == "catalogue-density" && (n.Level == note.Caution) != (fig.Status == product.Memory) {
				t.Errorf("%s: %v of a figure that is %s", x.what, n.Level, fig.Status)
			}
		}
	}
	c := alum
	c.Strength, c.Density, c.Basicity = known[quantity.Fraction](0.48, "C1"), known[quantity.Density](1.33, "C2"), known[quantity.Fraction](0.1, "C3")
	if p, _, _ := ProductOf(c, quantity.AsAlum14, products); p.Density.V != 1.33 || p.Density.Source != "as stated" || p.Basicity.V != 0.1 || p.Strength.Source != "as stated" {
		t.Errorf("%+v", p)
	}
	c = own
	c.Charge = known("cationic", "C5")
	if p, _, _ := ProductOf(c, quantity.AsActive, products); p.Group != product.Polymer || p.Charge != product.Cationic || p.Name != "drum 7" {
		t.Errorf("%+v", p)
	}
	for what, x := range map[string]struct {
		row  site.Chemical
		cell string
	}{
		"no such product": {site.Chemical{Name: known("alum", "A1"), Product: known("alumm", "A2")}, "A2"},
		"no such strength": {func() site.Chemical {
			c := alum
			c.Strength, c.Counts = known[quantity.Fraction](0.1, "C1"), known(quantity.AsFe, "C4")
			return c
		}(), "C1"},
	} {
		if _, _, err := ProductOf(x.row, quantity.AsProduct, products); len(note.Of(err, "?")) == 0 || note.Of(err, "?")[0].Cell != x.cell {
			t.Errorf("%s: %v", what, err)
		}
	}
	// From memory, and by as much off as the trade sells: alum of 97 to 100 % where 99 % is taken is 2 % off, ferric salt of 10 to
	// 12.5 % where 12 is taken 17 %.
	type figure = product.Figure[quantity.Fraction]
	for _, x := range []struct {
		value, low, high quantity.Fraction
		status           product.Status
		level            note.Level
	}{
		{0.99, 0, 0, product.Memory, note.Caution}, {0.99, 0, 0, product.Read, note.Info}, {0.99, 0.97, 1, product.Memory, note.Info},
		{0.12, 0.10, 0.125, product.Memory, note.Caution}, {0.12, 0.10, 0.125, product.Read, note.Info}, {1, 0.96, 1, product.Memory, note.Info}, {1, 0.94, 1, product.Memory, note.Caution},
	} {
		f := figure{Known: quantity.Some(x.value), Low: x.low, High: x.high, Source: "a table", Status: x.status}
		status, level := x.status, x.level
		if n := fromCatalogue("alum", "density", note.Say("1.3"), f); n.Level != level || n.Code != "catalogue-density" || n.Message != "alum: density 1.3 is the catalogue's, not your drum's" {
			t.Errorf("%s: %+v", status, n)
		}
	}
}

// TestDoseOfARow: where a dose comes from, what bounds it, and which stock it is fed from.
func TestDoseOfARow(t *testing.T) {
	s := site.Site{Stocks: []site.Stock{{Name: known("stock 1", "S1"), Product: known[quantity.Concentration](50000, "S2"), Density: known[quantity.Density](1.02, "S3")}}}
	g := Given{Catalogue: products}
	row := func() site.Chemical {
		return site.Chemical{Name: known("alum", "A1"), Product: known("alum-liquid", "A2"), Dose: known[quantity.Concentration](10, "D1"), Basis: known(quantity.AsAlum14, "D2"), Stock: known("stock 1", "D3")}
	}
	f, notes, err := ChemicalOf(s, row(), 0, g)
	if err != nil || f.Dose.Concentration != 10 || f.Low != 0 || f.High != 0 || f.DoseSource != "dose as stated" || f.DoseAt.Cell != "D1" || f.At.Cell != "A1" ||
		f.Stock.PerLitre != 50000 || f.Stock.Density != 1.02 || f.StockAt.Cell != "S2" || f.StockName != "stock 1" || f.Cleaning != nil {
		t.Errorf("%+v %v", f, err)
	}
	if codes(notes) != "catalogue-strength catalogue-density" {
		t.Errorf("%v", notes)
	}
	for what, x := range map[string]struct {
		change func(*site.Chemical)
		notes  string // beside those of the catalogue
		faults string
		cell   string // of the first of either
	}{
		"ends at the dose": {func(c *site.Chemical) {
			c.DoseLow, c.DoseHigh = known[quantity.Concentration](10, "D4"), known[quantity.Concentration](10, "D5")
		}, "", "", ""},
		"low end above it":    {func(c *site.Chemical) { c.DoseLow = known[quantity.Concentration](10.1, "D4") }, "", "dose-range", "D4"},
		"high end below it":   {func(c *site.Chemical) { c.DoseHigh = known[quantity.Concentration](9.9, "D5") }, "", "dose-range", "D5"},
		"a sheet beside it":   {func(c *site.Chemical) { c.Bench = known("b.xlsx", "D6") }, "bench-not-read", "", "D6"},
		"no dose":             {func(c *site.Chemical) { c.Dose.OK = false }, "", "value-missing", "D1"},
		"no such product":     {func(c *site.Chemical) { c.Product.V = "alumm" }, "", "unknown-product", "A2"},
		"a row with its cell": {func(c *site.Chemical) { c.At.Cell = "R9" }, "", "", "R9"},
	} {
		c := row()
		x.change(&c)
		f, notes, err := ChemicalOf(s, c, 0, g)
		said := note.Of(err, "?")
		if codes(said) != x.faults && !(what == "no such product" && len(said) > 0) {
			t.Errorf("%s: %v", what, err)
		}
		for _, n := range notes {
			if !strings.HasPrefix(n.Code, "catalogue-") {
				said = append(said, n)
			}
		}
		if codes(said) != strings.TrimSpace(x.faults+" "+x.notes) && what != "no such product" {
			t.Errorf("%s: %v", what, said)
		}
		if len(said) > 0 && said[0].Cell != x.cell || what == "a row with its cell" && f.At.Cell != x.cell {
			t.Errorf("%s: at %q, %+v", what, f.At.Cell, said)
		}
	}
	// A bench dose has the basis of its sheet, else the row's; what a row says beside it is told only where the two differ.
	for _, x := range []struct {
		sheet, row quantity.Basis
		want       quantity.Basis
		differs    bool
	}{{quantity.AsAlum14, quantity.AsAlum14, quantity.AsAlum14, false}, {quantity.NotStated, quantity.AsAl, quantity.AsAl, false},
		{quantity.AsAl, quantity.NotStated, quantity.AsAl, false}, {quantity.AsAl, quantity.AsAlum14, quantity.AsAl, true}} {
		g.Bench = map[int]BenchDose{3: {Dose: quantity.Dose{Concentration: 4, Basis: x.sheet}, Low: 3, High: 5, Source: "a sheet"}}
		c := row()
		c.Dose.OK = false
		c.Basis = quantity.Known[quantity.Basis]{V: x.row, OK: x.row != quantity.NotStated, At: note.Place{Cell: "D2"}}
		f, notes, err := ChemicalOf(s, c, 3, g)
		n, differs := noted(notes, "basis-differs")
		if err != nil || f.Dose.Basis != x.want || f.Dose.Concentration != 4 || f.Low != 3 || f.High != 5 || differs != x.differs || differs && n.Cell != "D2" {
			t.Errorf("%q in the sheet, %q in the row: %+v %v %v", x.sheet, x.row, f.Dose, n, err)
		}
	}
	// A powder that is given a density and no stock is fed as a liquid; one with a stock stays a powder.
	for stock, form := range map[string]product.Form{"": product.Liquid, "stock 1": product.Dry} {
		c := site.Chemical{Name: known("p", "A1"), Product: known("apam-dry", "A2"), Dose: known[quantity.Concentration](1, "D1"), Basis: known(quantity.AsProduct, "D2"),
			Density: known[quantity.Density](1.1, "C2"), Stock: quantity.Known[string]{V: stock, OK: stock != ""}}
		if f, _, err := ChemicalOf(s, c, 0, Given{Catalogue: products}); err != nil || f.Stock.Product.Form != form {
			t.Errorf("stock %q: %s %v", stock, f.Stock.Product.Form, err)
		}
	}
}

// TestFeedOfARow: the tanks, times and pump that a row points at.
func TestFeedOfARow(t *testing.T) {
	hour := func(v float64, cell string) quantity.Known[quantity.Time] { return known(quantity.Time(v), cell) }
	s := site.Site{
		Stocks: []site.Stock{{Name: known("stock 1", "S1"), Product: known[quantity.Concentration](50000, "S2"), Tank: known("tank", ""), MixTank: known("mixer", ""), Batch: known[quantity.Volume](7, "S4"),
			Ageing: hour(1, ""), Life: hour(20, "S6"), Post: known[quantity.Flow](0.1, ""), WaterMax: known[quantity.Temperature](41, "")}},
		Tanks: []site.Tank{{Name: known("tank", "T1"), Volume: known[quantity.Volume](10, "T2"), Usable: known[quantity.Fraction](0.8, ""), Now: known[quantity.Volume](3, "")},
			{Name: known("mixer", "T3"), Volume: known[quantity.Volume](20, "T4")}},
		Pumps: []site.Pump{{Name: known("pump", ""), Max: known[quantity.FeedRate](30, "P2"), Signal: known(true, ""), Heads: known("0.7 L/h; 4.5 L/h", "")}},
	}
	s.Place.From, s.Place.Till = hour(7, "W1"), hour(19, "W2")
	row := site.Chemical{Name: known("alum", "A1"), Product: known("alum-liquid", "A2"), Dose: known[quantity.Concentration](10, "D1"), Basis: known(quantity.AsAlum14, "D2"), Stock: known("stock 1", "D3"), Pump: known("pump", "D4")}
	feed := func() (FeedInput, note.List) {
		f, _, err := feedOf(s, row, 0, Given{Catalogue: products})
		return f, note.Of(err, "?")
	}
	f, faults := feed()
	if faults != nil || *f.Tank != (Vessel{"tank", 10, 0.8, quantity.Some[quantity.Volume](3), note.Place{Cell: "T2"}}) || *f.Mix != (Vessel{"mixer", 20, 0.9, quantity.Known[quantity.Volume]{}, note.Place{Cell: "T4"}}) ||
		f.Batch != 7 || f.BatchAt.Cell != "S4" || f.Ageing.V != 1 || f.Life.V != 20 || f.Post != 0.1 || *f.MakeWater != 41 || f.Work != 0.25 ||
		f.From != 7 || f.Till != 19 || f.Pump == nil || f.PumpAt.Cell != "P2" || !f.Follows || len(f.Heads) != 2 {
		t.Errorf("%+v %v", f, faults)
	}
	s.Tanks[0].Now.OK, s.Stocks[0].Mixing = false, hour(0.5, "") // a tank that is not said to be otherwise is full
	s.Stocks[0].From, s.Stocks[0].Till = hour(8, "S7"), hour(12, "S8")
	if f, _ = feed(); f.Tank.Stands() != 8 || f.Work != 0.5 || f.From != 8 || f.Till != 12 {
		t.Errorf("%+v", f)
	}
	for end, x := range map[string]struct {
		spoil func(*site.Stock)
		cell  string
	}{"no end": {func(k *site.Stock) { k.Till.OK = false }, "S8"}, "no beginning": {func(k *site.Stock) { k.From.OK = false }, "S7"}} {
		k := s.Stocks[0]
		x.spoil(&s.Stocks[0])
		if _, faults = feed(); codes(faults) != "value-missing" || faults[0].Cell != x.cell {
			t.Errorf("%s: %v", end, faults)
		}
		s.Stocks[0] = k
	}
	s.Stocks[0].Tank.OK, s.Stocks[0].MixTank.OK = false, false
	if f, _ = feed(); f.Tank != nil || f.Mix != nil {
		t.Errorf("%+v", f)
	}
	s.Pumps[0].Max.OK = false
	if _, faults = feed(); codes(faults) != "value-missing" || faults[0].Cell != "P2" {
		t.Errorf("%v", faults)
	}
	row.Stock.OK, row.Pump.OK = false, false // a name that is not filled in points at nothing
	if f, faults = feed(); faults != nil || f.Tank != nil || f.Pump != nil || f.Stock.PerLitre != 0 {
		t.Errorf("%+v %v", f, faults)
	}
}

// TestIdentify: a chemical said in a few words is the catalogue's by its name, one of
// the user's own where strength and density (or a stock) are known, else what its
// basis means.
func TestIdentify(t *testing.T) {
	row := func(name string, b quantity.Basis, strength, density bool) site.Chemical {
		return site.Chemical{Name: quantity.Known[string]{V: name, OK: name != ""}, Basis: quantity.Known[quantity.Basis]{V: b, OK: b != ""},
			Strength: quantity.Known[quantity.Fraction]{V: 0.5, OK: strength}, Density: quantity.Known[quantity.Density]{V: 1.2, OK: density}}
	}
	for _, x := range []struct {
		what    string
		row     site.Chemical
		diluted bool
		id      string // of the catalogue
		name    string
		notes   string
		fault   bool
	}{
		{"by its name", row("alum-liquid", quantity.AsAlum14, false, false), false, "alum-liquid", "alum-liquid", "", false},
		{"a drum of one's own", row("drum 7", quantity.AsFe, true, true), false, "", "drum 7", "", false},
		{"made up into a stock", row("drum 7", quantity.AsFe, true, false), true, "", "drum 7", "", false},
		{"without density", row("drum 7", quantity.AsFe, true, false), false, "", "drum 7", "", true},
		{"without strength", row("drum 7", quantity.AsFe, false, true), false, "", "drum 7", "", true},
		{"by its basis", row("", quantity.AsAlum14, false, false), false, "alum-liquid", "", "chemical-guessed", false},
		{"no name, but a density", row("", quantity.AsProduct, false, true), false, "", "the product", "chemical-not-named", false},
		{"no name, but a stock", row("", quantity.AsProduct, false, false), true, "", "the product", "chemical-not-named", false},
		{"sold in several strengths", row("alum", quantity.AsAlum14, false, false), true, "", "alum", "", true},
		{"the same with a label", row("alum", quantity.AsAlum14, true, false), false, "alum-liquid", "alum", "", false}, // 50 % is near 48.5
		{"nothing to go by", row("", quantity.AsProduct, false, false), false, "", "", "", true},
		{"no basis", row("alum-liquid", "", false, false), false, "", "alum-liquid", "", true},
	} {
		c := x.row
		p, notes, err := Identify(&c, x.diluted, products)
		if (err != nil) != x.fault || codes(notes) != x.notes || c.Name.V != x.name || p.ID != x.id || c.Product.OK != (x.id != "") || c.Product.V != x.id {
			t.Errorf("%s: %q, row %+v: %v %v", x.what, p.ID, c, notes, err)
		}
	}
	// A stock made up of what nobody named may hold half as much, or twice: that is no mere note.
	for _, x := range []struct {
		row     site.Chemical
		diluted bool
		level   note.Level
	}{{row("", quantity.AsAlum14, false, false), true, note.Caution}, {row("", quantity.AsAlum14, true, false), true, note.Info}, {row("", quantity.AsAlum14, false, false), false, note.Info},
		{row("", quantity.AsFeCl3, false, false), true, note.Info}} {
		if _, notes, _ := Identify(&x.row, x.diluted, products); notes.Worst() != x.level {
			t.Errorf("%+v in a stock %v: %v", x.row, x.diluted, notes)
		}
	}
}
