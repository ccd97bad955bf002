package dosing

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/day"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestWhichChemicalIsAsked: alum of a bench sheet is either of a liquid and a dry alum, so both are named; what is
// one of them by name or product, or whichever it is one product at one price, is not asked about.
func TestWhichChemicalIsAsked(t *testing.T) {
	row := func(name, id, cell string) site.Chemical {
		return site.Chemical{Name: quantity.Known[string]{V: name, OK: true, At: note.Place{Cell: cell}}, Product: quantity.Some(id)}
	}
	s := &site.Site{Chemicals: []site.Chemical{row("drum A", "alum-liquid", "A9"), row("sacks", "alum-dry", "A10"), row("soda", "soda-ash", "A11"),
		row("first point", "pacl-10", "A12"), row("second point", "pacl-10", "A13")}}
	for name, want := range map[string]string{
		"alum":  `"alum" on the bench sheet may be drum A (A9) or sacks (A10) of the site: write on the bench sheet the name that the site has, "drum A" or "sacks"`,
		"sacks": "", "liquid alum": "", "alum-dry": "", "soda ash": "", "pacl-10": "", "chitosan": ""} {
		got := ""
		if l := WhichChemical(s, []jartest.Chemical{{Name: name}}, product.Default()); len(l) > 0 {
			got = l[0].Message + ": " + l[0].Remedy
		}
		if got != want {
			t.Errorf("%q: %s, want %s", name, got, want)
		}
	}
	s.Prices = []site.Price{{Chemical: quantity.Some("second point"), Price: quantity.Some(quantity.Price{Amount: 2, Currency: "EUR", Per: "kg"})}}
	if l := WhichChemical(s, []jartest.Chemical{{Name: "pacl-10"}}, product.Default()); len(l) != 1 {
		t.Errorf("two prices of one product: %v", l)
	}
	if WhichChemical(nil, []jartest.Chemical{{Name: "alum"}}, product.Default()) != nil {
		t.Error("asked without a site")
	}
}

// TestTwoRowsOfOneSheet: jars of alum that two alums of the site name as theirs are asked about once, of the first; not where another names them,
// states its dose, or has a series of its own.
func TestTwoRowsOfOneSheet(t *testing.T) {
	row := func(name, id, sheet, series string) site.Chemical {
		return site.Chemical{Name: quantity.Some(name), Product: quantity.Some(id), Bench: quantity.Some(sheet), Series: quantity.Some(series)}
	}
	a, b := row("summer", "alum-liquid", "tue.csv", ""), row("winter", "alum-liquid", "tue.csv", "")
	jars := []jartest.Chemical{{Name: "alum"}}
	asked := func(own site.Chemical, all ...site.Chemical) int {
		return len(WhoseSheet(site.Site{Chemicals: all}, own, jars, product.Default()))
	}
	if asked(a, a, b) != 1 || asked(b, a, b) != 0 {
		t.Error("two rows of one sheet are not asked about once")
	}
	stated, other := b, row("winter", "alum-liquid", "wed.csv", "")
	stated.Dose = quantity.Some[quantity.Concentration](3)
	if asked(a, a, stated)+asked(a, a, other)+asked(a, a, row("winter", "alum-liquid", "tue.csv", "cold"))+asked(a, a, row("soda", "soda-ash", "tue.csv", "")) != 0 {
		t.Error("one row of a sheet is asked about")
	}
}

// TestRowsByName: a row of that very name before one that is the same chemical, wherever it stands; prices by the name of the row, of its
// product, or of what was asked.
func TestRowsByName(t *testing.T) {
	row := func(name, id string) site.Chemical {
		return site.Chemical{Name: quantity.Some(name), Product: quantity.Some(id)}
	}
	pays := func(name string) site.Price { return site.Price{Chemical: quantity.Some(name)} }
	s := &site.Site{Chemicals: []site.Chemical{row("drum A", "alum-liquid"), row("alum", "alum-dry"), row("soda", "soda-ash")},
		Prices: []site.Price{pays("drum A"), pays("alum-dry"), pays("lime"), pays("ferric chloride dry")}}
	c := product.Default()
	for name, want := range map[string]string{"drum A": "drum A", " ALUM ": "alum", "liquid alum": "drum A", "soda": "soda",
		"soda ash": "soda", "chitosan": ""} {
		got := ""
		if r := ChemicalRow(s, name, c); r != nil {
			got = r.Name.V
		}
		if got != want {
			t.Errorf("%q is %q, want %q", name, got, want)
		}
	}
	for name, want := range map[string]string{"drum A": "drum A", "alum": "alum-dry", "lime": "lime", "hydrated lime": "lime", "soda": "",
		"chitosan": ""} {
		got := ""
		if r := PriceRow(s, name, c); r != nil {
			got = r.Chemical.V
		}
		if got != want {
			t.Errorf("%q is bought as %q, want %q", name, got, want)
		}
	}
	if ChemicalRow(nil, "alum", c) != nil || PriceRow(nil, "alum", c) != nil {
		t.Error("a row of no site")
	}
	for _, x := range []struct {
		given, chemical string
		want            bool
	}{{"alum", "alum solution", true}, {"alum", "alumina", false}, {"Alum ", "alum", true}, {"", "alum", false}, {"alum solution", "alum",
		false}} {
		if Named(x.given, x.chemical) != x.want {
			t.Errorf("%q names %q: %v", x.given, x.chemical, !x.want)
		}
	}
}

// TestWhatJarsDoNotTell: another chemical that changes the water has to have been in the jars, within a fifth of what is planned;
// polymer, which takes no alkalinity, and the chemical itself need not.
func TestWhatJarsDoNotTell(t *testing.T) {
	series := jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}, {Name: "lime",
		Basis: quantity.AsProduct}}}
	jars := func(lime ...float64) *Jars {
		s := series
		for _, d := range lime {
			s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: 20, Known: true},
				{Concentration: quantity.Concentration(d), Known: true}}})
		}
		return &Jars{Series: s}
	}
	feed := func(id string, mgL quantity.Concentration) FeedInput {
		p, err := product.Default().Find(id)
		if err != nil {
			t.Fatal(err)
		}
		return FeedInput{Name: strings.TrimSuffix(id, "-liquid"), Dose: quantity.Dose{Concentration: mgL, Basis: quantity.AsProduct},
			Stock: Stock{Product: p}}
	}
	held := feed("lime", 10)
	held.Balance = &day.Balance{}
	for _, x := range []struct {
		what   string
		jars   *Jars
		others []FeedInput
		why    string
	}{
		{"alone", jars(10), []FeedInput{feed("alum-liquid", 20)}, ""},
		{"polymer", jars(10), []FeedInput{feed("apam-dry", 1)}, ""},
		{"as planned", jars(10, 10), []FeedInput{feed("lime", 10)}, ""},
		{"a fifth more", jars(10, 10), []FeedInput{feed("lime", 12)}, ""},
		{"a little more than that", jars(10, 10), []FeedInput{feed("lime", 12.1)}, "the jars had 10 mg/L of lime, not what is planned"},
		{"a fifth less", jars(10, 10), []FeedInput{feed("lime", 8)}, ""},
		{"less than that", jars(10, 10), []FeedInput{feed("lime", 7.9)}, "the jars had 10 mg/L of lime, not what is planned"},
		{"none", jars(0, 0), []FeedInput{feed("lime", 10)}, "no jar had lime"},
		{"none, and none planned", jars(0, 0), []FeedInput{feed("lime", 0)}, ""},
		{"another altogether", jars(10), []FeedInput{feed("soda-ash", 10)}, "no jar had soda-ash"},
		{"by the alkalinity to leave", jars(10), []FeedInput{held}, "the jars had 10 mg/L of lime, not what is planned"},
	} {
		f := feed("alum-liquid", 20)
		f.Jars = x.jars
		if got := f.untold(x.others); got != x.why {
			t.Errorf("%s: %q, want %q", x.what, got, x.why)
		}
	}
}

// TestReadingsBetweenJars: on the straight line between two doses, replicates taken together, nothing outside. Jars of 10, 20 and 20 read
// 6, 4 and 5: at 15 5.25, between the 4 and 6 that were read; least dose above nought 10, most 20.
func TestReadingsBetweenJars(t *testing.T) {
	jar := func(label string, d, read float64) jartest.Jar {
		return jartest.Jar{Label: label, Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d), Known: true}},
			Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(read, "NTU")}}}
	}
	j := &Jars{Series: jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}}, Jars: []jartest.Jar{jar("c",
		20, 4), jar("a", 0, 30),
		jar("b", 10, 6), jar("d", 20, 5), {Label: "e", Doses: []jartest.JarDose{{Concentration: 90}}}, {Label: "f"}}}}
	for d, want := range map[quantity.Concentration][3]float64{0: {30, 30, 30}, 5: {18, 6, 30}, 10: {6, 6, 6}, 15: {5.25, 4, 6}, 20: {4.5,
		4, 5}} {
		r, ok := j.Reading(jartest.Turbidity, d)
		if !ok || math.Abs(r.V-want[0]) > 1e-12 || r.Low != want[1] || r.High != want[2] {
			t.Errorf("at %v: %+v, want %v", d, r, want)
		}
	}
	for _, d := range []quantity.Concentration{-1, 20.1, 90} {
		if r, ok := j.Reading(jartest.Turbidity, d); ok {
			t.Errorf("at %v: %+v", d, r)
		}
	}
	if least, most := j.Tested(); least != 10 || most != 20 || j.Basis() != quantity.AsAlum14 {
		t.Errorf("tested from %v to %v", least, most)
	}
	if r, ok := (*Jars)(nil).Reading(jartest.Turbidity, 1); ok {
		t.Errorf("of no jars: %+v", r)
	}
	// a dose beyond the jars is told as a multiple of the nearer end
	f := Feed{FeedInput: FeedInput{Jars: j, Dose: quantity.Dose{Basis: quantity.AsAlum14}, Stock: Stock{Product: holding(0.5,
		quantity.AsAlum14, 1.3)}}}
	for d, want := range map[quantity.Concentration]float64{0: 0, -1: 0, 10: 1, 15: 1, 20: 1, 30: 1.5, 5: 0.5, 0.5: 0.05} {
		near(t, "against the bench", f.againstBench(d, "the dose").value, want, 1e-12)
	}
	f.Jars = nil
	near(t, "without a bench", f.againstBench(20, "the dose").value, 0, 0)
}

// TestDrawsOfARun: 2 L by hour 1 and 4 L more by hour 3, each with 5 % to spare: 2.1 L, 6.3 L; by hour 2 it is 4.2.
func TestDrawsOfARun(t *testing.T) {
	var d draw
	near(t, "nothing", float64(d.total()), 0, 0)
	near(t, "nothing by then", float64(d.by(3)), 0, 0)
	d.add(1, 2)
	d.add(3, 4)
	for at, want := range map[quantity.Time]quantity.Volume{0: 0, 0.5: 1.05, 1: 2.1, 2: 4.2, 3: 6.3, 9: 6.3, -1: 0} {
		near(t, "by then", float64(d.by(at)), float64(want), 1e-12)
	}
	near(t, "in all", float64(d.total()), 6.3, 1e-12)
	d.add(5, 0) // it stands still for two hours
	d.add(6, 2)
	for v, want := range map[quantity.Volume][2]quantity.Time{2.1: {1, 1}, 4.2: {2, 2}, 6.3: {3, 5}, 7.35: {5.5, 5.5}, 8.4: {6, 6}} {
		done, on := d.when(v)
		near(t, "drawn at", float64(done), float64(want[0]), 1e-9)
		near(t, "and on at", float64(on), float64(want[1]), 1e-9)
	}
}

// TestWorkThatClashes: other work from 22:00 to 01:00 comes back every day, yesterday's too.
func TestWorkThatClashes(t *testing.T) {
	m := making{busy: flow.Hours{{From: 22, To: 25}}}
	for _, x := range []struct {
		start, work quantity.Time
		from        quantity.Time
		clash       bool
	}{
		{23, 0.5, 22, true}, {0.5, 0.25, -2, true}, {1, 0.5, 0, false}, {21.5, 0.5, 0, false}, {21.6, 0.5, 22, true}, {24.9, 1, 22, true},
		{46.5, 1, 46, true}, {49, 1, 0, false},
		{48.9, 1, 46, true}, {-2.1, 0.5, -2, true}, {-1, 0.5, -2, true}, {10, 11.9, 0, false}, {10, 12.1, 22, true},
	} {
		got, clash := m.clash(x.start, x.work)
		if clash != x.clash || clash && (got.From != x.from || got.To != x.from+3) {
			t.Errorf("%v h from %v: %v, %v", x.work, x.start, got, clash)
		}
	}
	for _, x := range [][3]quantity.Volume{{10, 0, 10}, {10, 4, 4}, {10, 14, 10}, {10, 0.5, 0.5}} {
		near(t, "most", float64(making{tank: x[0], mix: x[1]}.most()), float64(x[2]), 0)
	}
}

// TestAnswersOfARun: what cannot be given, or does not bring the tank there, is no answer.
func TestAnswersOfARun(t *testing.T) {
	for outcome, unanswered := range map[clarify.Outcome]bool{clarify.Cleared: false, clarify.NeverClears: true, clarify.TooLong: true,
		clarify.NotHeld: true} {
		for _, stopped := range []bool{false, true} {
			var c Cleaning
			c.Outcome, c.Stopped = outcome, stopped
			if c.Unanswered() != (unanswered || stopped) {
				t.Errorf("%v, stopped %v: %v", outcome, stopped, c.Unanswered())
			}
		}
	}
	for reach, out := range map[pump.Reach]bool{pump.Within: false, pump.TooMuch: true, pump.TooLittle: true} {
		p := Plan{Feeds: []Feed{{}, {Setting: &Setting{Average: pump.Choice{Reach: reach}}}}}
		if p.OutOfReach() != out {
			t.Errorf("%v: %v", reach, !out)
		}
	}
	here, there := note.Place{Cell: "A3"}, note.Place{Cell: "A4"}
	idle := note.New(note.Info, "accepted-unused", "x").At(here)
	taken := func(at note.Place) []caution.Taken { return []caution.Taken{{By: caution.Acceptance{At: at}}} }
	for n, l := range map[int]note.List{0: needed(note.List{idle}, taken(here)), 1: needed(note.List{idle}, taken(there)),
		2: needed(note.List{idle,
			note.New(note.Caution, "stock-short", "x").At(here)}, nil)} {
		if len(l) != n {
			t.Errorf("%d left of %d", len(l), n)
		}
	}
}

// TestFlowsOfASite: where the day's flow comes from, and ends that do not fit its average.
func TestFlowsOfASite(t *testing.T) {
	q := func(v quantity.Flow) quantity.Known[quantity.Flow] { return quantity.Some(v) }
	var none quantity.Known[quantity.Flow]
	var hours site.Flow // 2 and 3 m3/h in turn
	for h := range hours.ByHour {
		hours.ByHour[h] = q(quantity.Flow(2 + h%2))
	}
	for _, x := range []struct {
		what           string
		f              site.Flow
		source, code   string
		average, least float64
	}{
		{"average", site.Flow{Average: q(3.6)}, "average flow as stated", "", 3.6, 3.6}, {"with ends", site.Flow{Average: q(3.6),
			Least: q(2.2), Peak: q(5.4)},
			"average flow as stated", "", 3.6, 2.2},
		{"by hour", hours, "flow by hour", "", 2.5, 2},
		{"ends on the average", site.Flow{Average: q(3.6), Least: q(3.6), Peak: q(3.6)}, "average flow as stated", "", 3.6, 3.6},
		{"least above", site.Flow{Average: q(3.6), Least: q(3.7)}, "", "flow-range", 0, 0}, {"peak below", site.Flow{Average: q(3.6),
			Peak: q(3.5)}, "", "flow-range", 0, 0},
		{"nothing", site.Flow{Average: none}, "", "any", 0, 0},
		{"more than any plant has", site.Flow{Average: q(1e9)}, "", "any", 0, 0}, {"none, all day", site.Flow{Average: q(0)},
			"average flow as stated", "", 0, 0},
	} {
		d, source, err := DayOf(x.f, nil)
		if (err != nil) != (x.code != "") || x.code == "flow-range" && note.Of(err, "")[0].Code != x.code {
			t.Errorf("%s: %v", x.what, err)
			continue
		}
		if err == nil && (source != x.source || math.Abs(float64(d.Average())-x.average) > 1e-9 ||
			math.Abs(float64(d.Least())-x.least) > 1e-9) {
			t.Errorf("%s: %s, %v from %v", x.what, source, d.Average(), d.Least())
		}
	}
	_, _, err := DayOf(site.Flow{Average: q(3.6), Least: q(36)}, nil)
	if err == nil || !strings.Contains(err.Error(), "least flow 36 m3/h is above the average of 3.6 m3/h; is one of them 10 times off?") {
		t.Errorf("%v", err)
	}
}

// TestLifeOfStocks: a weak polymer keeps a working day, from 1 g/L on a day; what is fed neat does not age.
func TestLifeOfStocks(t *testing.T) {
	for _, x := range []struct {
		id       string
		perLitre quantity.Concentration
		life     quantity.Time
	}{
		{"cpam-dry", 500, 6}, {"apam-dry", 500, 8}, {"npam-dry", 999, 8}, {"cpam-dry", 999.4, 6}, {"cpam-dry", 0.5, 6},
	} {
		p, err := product.Default().Find(x.id)
		if err != nil {
			t.Fatal(err)
		}
		life, from := Stock{Product: p, PerLitre: x.perLitre}.LifeOf()
		if life != x.life || !strings.Contains(from, "bench dilutions") {
			t.Errorf("%s at %v: %v, %s", x.id, x.perLitre, life, from)
		}
		for _, strong := range []quantity.Concentration{999.6, 1000, 5000} {
			if life, from := (Stock{Product: p, PerLitre: strong}).LifeOf(); life != p.Life.V || strings.Contains(from, "bench") {
				t.Errorf("%s at %v: %v, %s", x.id, strong, life, from)
			}
		}
		if (Stock{Product: p}).Ageing() != 0 || (Stock{Product: p, PerLitre: 500}).Ageing() != p.Ageing.V {
			t.Errorf("%s ages", x.id)
		}
	}
	if life, from := (Stock{Product: product.Product{Group: product.AluminiumSalt}, PerLitre: 500}).LifeOf(); life != 24 ||
		from != "common practice, no source" {
		t.Errorf("%v, %s", life, from)
	}
	for _, x := range [][2]string{{"alum stock", "alum stock"}, {"tank 2", "alum stock"}, {"Alum STOCK tank", "Alum STOCK tank"}, {"stock",
		"alum stock"}, {"alum", "alum stock"}} {
		if got := (FeedInput{Name: "alum", StockName: x[0]}).StockCalled(); got != x[1] {
			t.Errorf("%q: %q", x[0], got)
		}
	}
}

// TestUnitOfASiteByHand: white water as told, else the recycle at the average flow; a settler makes no bubbles, and gas is spoken of only
// where something says that they are made under water.
func TestUnitOfASiteByHand(t *testing.T) {
	unit := func(change func(*site.Solids)) site.Site {
		var s site.Site
		change(&s.Solids)
		return s
	}
	for _, x := range []struct {
		what    string
		s       site.Site
		average quantity.Flow
		floats  bool
		white   float64
		gas     bool
	}{
		{"recycle", unit(func(u *site.Solids) { u.Recycle = quantity.Some[quantity.Fraction](0.1) }), 3.6, true, 0.36, false},
		{"white water", unit(func(u *site.Solids) {
			u.Recycle, u.White = quantity.Some[quantity.Fraction](0.1), quantity.Some[quantity.Flow](0.5)
		}), 3.6, true, 0.5, false},
		{"no flow", unit(func(u *site.Solids) { u.Recycle = quantity.Some[quantity.Fraction](0.1) }), 0, true, -1, false},
		{"a little flow", unit(func(u *site.Solids) { u.Recycle = quantity.Some[quantity.Fraction](0.1) }), 0.8, true, 0.08, false},
		{"settler", unit(func(u *site.Solids) {
			u.Unit, u.Depth = quantity.Some(site.UnitSettler), quantity.Some[quantity.Length](1)
		}), 3.6, false, -1, false},
		{"depth", unit(func(u *site.Solids) { u.Depth = quantity.Some[quantity.Length](1) }), 3.6, true, -1, true},
		{"pressure", unit(func(u *site.Solids) { u.Pressure = quantity.Some[quantity.Pressure](450) }), 3.6, true, -1, true},
		{"named", unit(func(u *site.Solids) { u.Unit = quantity.Some("flotation") }), 3.6, true, -1, true},
	} {
		u, ok := UnitOf(x.s, x.average)
		if ok != x.floats || u.White.OK != (x.white >= 0) || x.white >= 0 && math.Abs(float64(u.White.V)-x.white) > 1e-12 ||
			(gasOf(x.s) != nil) != x.gas {
			t.Errorf("%s: %v, white water %v, gas %v", x.what, ok, u.White, gasOf(x.s))
		}
		if ok && (u.Water.Temperature != 15 || u.Set != x.average) {
			t.Errorf("%s: %+v", x.what, u)
		}
	}
}
