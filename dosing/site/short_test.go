package site

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// filledIn answers the short form, one answer a question, and gives the site read back.
func filledIn(t *testing.T, answers ...string) (Site, ShortForm) {
	t.Helper()
	var f ShortForm
	for i := 0; i < len(f.Questions()); i++ {
		q, text := f.Questions()[i], ""
		if i < len(answers) {
			text = answers[i]
		}
		if _, err := f.Answer(q, text); err != nil {
			t.Fatalf("%s: %v", q.Field, err)
		}
	}
	var b bytes.Buffer
	if err := WriteYAML(&b, f.Finish()); err != nil {
		t.Fatal(err)
	}
	s, err := Read("site.yaml", &b)
	if err != nil {
		t.Fatalf("%v\n%v", err, f.Values)
	}
	return s, f
}

// TestShortForm: seventeen answers make a site that reads without a fault or a question,
// its rows joined to each other.
func TestShortForm(t *testing.T) {
	s, f := filledIn(t, "Mill", "animals", "once through", "50 gpm", "16 h", "liquid alum", "12.5 mg/L as alum 14-hydrate", "48.5 %", "1.335 kg/L",
		"100 g/L", "55 gal", "2 gph", "7.4", "80 mg/L CaCO3", "40 NTU", "rainbow trout", "06:00-20:30")
	if len(f.Missing) != 0 || len(s.Notes) != 0 {
		t.Errorf("missing %v, notes %v", f.Missing, s.Notes)
	}
	c := s.Chemicals[0]
	if c.Dose.V != 12.5 || c.Basis.V != quantity.AsAlum14 || c.Stock.V != "stock" || c.Pump.V != "pump" || s.Stocks[0].Product.V != 1e5 || s.Stocks[0].Tank.V != "stock tank" ||
		s.Tanks[0].Use.V != TankStock || s.Animals[0].Reached.V != ReachedAlways || s.Place.Examples.V || s.Flow.Hours.V != 16 ||
		s.Place.From.V != 6 || s.Place.Till.V != 20.5 {
		t.Errorf("%+v", s)
	}
	// What the water is for is never taken for granted.
	blank := ShortForm{}
	if blank.Blank(); blank.Values.row("Place", "")["purpose"] != "" || !slices.ContainsFunc(blank.Missing, func(q Question) bool { return q.Field == "purpose" }) {
		t.Errorf("%v, missing %v", blank.Values, blank.Missing)
	}
	// The least: what the water is for, what has a default, the flow and the chemical; a tank alone holds the product neat.
	s, f = filledIn(t, "", "other", "", "3.6 m3/h", "", "alum-liquid", "12.5 mg/L as alum 14-hydrate", "", "", "", "200 L")
	if s.Place.Name.V != "Our plant" || s.Place.Passes.V != OnceThrough || s.Place.Purpose.V != ForOther || s.Stocks[0].Product.OK || s.Stocks[0].Tank.V != "stock tank" || len(s.Pumps) != 0 || len(s.Animals) != 0 {
		t.Errorf("%+v", s)
	}
	var missing []string
	for _, q := range f.Missing {
		missing = append(missing, q.Field)
		if q.Adds == "" || q.Asks == "" {
			t.Errorf("%s: nothing is said of it", q.Field)
		}
	}
	if got, want := strings.Join(missing, ", "), "hours a day, strength, density, product in stock, largest rate, pH, alkalinity, turbidity, species, staffed from"; got != want {
		t.Errorf("missing %s, want %s", got, want)
	}
}

// TestShortFormOfStandingWater: a pond that is treated by hand is asked for its size and its bucket, and for nothing that only pumps have.
func TestShortFormOfStandingWater(t *testing.T) {
	s, f := filledIn(t, "House pond", "animals", "standing", "5000 m2 x 1.2 m", "alum-dry", "25 g/m3 as alum 14-hydrate", "100 %", "", "2", "7.6", "85", "40 NTU", "tilapia", "07:00-17:00")
	if p, c := s.Ponds[0], s.Chemicals[0]; len(s.Notes) != 0 || p.Name.V != "pond" || p.Size.V.Area.V != 5000 || p.Size.V.Depth.V != 1.2 || c.Dose.V != 25 || c.Bucket.V != 2 ||
		c.Stock.OK || c.Pump.OK || len(s.Tanks)+len(s.Stocks)+len(s.Pumps) != 0 || s.Flow.Average.OK || s.Animals[0].Reached.V != ReachedAlways || s.Place.From.V != 7 || s.Place.Till.V != 17 {
		t.Errorf("%+v", s)
	}
	if len(f.Missing) != 1 || f.Missing[0].Field != "density" || len(f.Questions()) != 14 {
		t.Errorf("missing %v of %d", f.Missing, len(f.Questions()))
	}
	s, _ = filledIn(t, "", "other", "stand", "14 m3", "gypsum", "20 kg per pond as product")
	if h := s.Chemicals[0].Hand; !h.OK || h.V.Mass != 20 || s.Chemicals[0].Basis.V != quantity.AsProduct || s.Ponds[0].Size.V.Volume.V != 14000 {
		t.Errorf("%+v", s.Chemicals)
	}
}

// TestShortFormOfATank: a tank that is cleaned up is asked for its size and its end too, and stands beside that of the pump.
func TestShortFormOfATank(t *testing.T) {
	s, f := filledIn(t, "Shed", "animals", "batch", "8 m3/h", "9", "40", "5", "80", "pacl-10", "20 mg/L as product", "", "1.2", "120", "200 L", "", "", "", "60", "tilapia")
	if len(s.Tanks) != 2 || s.Tanks[0].Name.V != "tank" || s.Tanks[0].Use.V != TankAnimals || s.Tanks[0].Volume.V != 40000 || s.Tanks[1].Name.V != "stock tank" || s.Tanks[1].Volume.V != 200 ||
		s.Stocks[0].Tank.V != "stock tank" || s.Solids.Tank.V != "tank" || s.Solids.TankStop.V.V != 5 || s.Solids.Capture.V != 0.8 || len(f.Questions()) != 20 {
		t.Errorf("%+v", s)
	}
}

// TestShortAnswers: a wrong answer is refused with nothing taken, one that is not usual
// is asked about, and a dose without what it counts is asked for that.
func TestShortAnswers(t *testing.T) {
	question := func(field string) Question {
		for _, q := range Short(quantity.Metric, "") {
			if q.Field == field {
				return q
			}
		}
		t.Fatal(field)
		return Question{}
	}
	for _, x := range []struct{ field, text, code, says string }{
		{"average flow", "50", "", ""},
		{"average flow", "50 kg", "unit-unknown", ""},
		{"dose", "12.5 as alum 14-hydrate", "", ""},
		{"staffed from", "06:00", "span-open", ""},
		{"staffed from", "6 am to 8 pm", "bad-clock", ""},
		{"staffed from", "06:00-25:00", "bad-clock", ""},
		{"staffed from", "7:30 to 16:00", "", ""},
		{"staffed from", "8 to 5", "span-which", `may end in the afternoon, at 17:00, or in the morning after, at 05:00`},
		{"staffed from", "7:30-4:15", "span-which", "16:15"},
		{"staffed from", "8 to 8", "span-which", "20:00"},
		{"staffed from", "8 to 05:00", "", ""},
		{"staffed from", "18 to 6", "", ""},
		{"staffed from", "5 to 8", "", ""},
		{"density", "1335 kg/L", "value-impossible", `did you mean "1.335 kg/L"`},
		{"dose", "12.5 mg/L", "basis-missing", ""},
		{"dose", "12.5 mg/L as alum", "basis-unknown", `did you mean "as alum 14-hydrate"`},
		{"strength", "0.48 %", "value-unusual", `did you mean "48 %"?`},
		{"purpose", "fish", "bad-choice", ""},
		{"strength", "48 %", "", ""},
		{"strength", "48", "", ""},
		{"strength", "10 % as Al2O5", "basis-unknown", ""},
		{"hours a day", "30", "bad-hours", ""},
	} {
		var f ShortForm
		said, err := f.Answer(question(x.field), x.text)
		all := append(note.Of(err, "?"), said...)
		if x.code == "" && len(all) > 0 || x.code != "" && (len(all) != 1 || all[0].Code != x.code || !strings.Contains(all[0].Message, x.says)) {
			t.Errorf("%s %q: %v", x.field, x.text, all)
		}
		if taken := f.Values != nil; taken != (err == nil) {
			t.Errorf("%s %q: taken %v", x.field, x.text, taken)
		}
	}
	if n := len(Short(quantity.Metric, "")); n != 17 {
		t.Errorf("%d questions", n)
	}
}

// TestShortAnswersAsPeopleGiveThem: the unit that a question names may be left out, a strength carries what it counts
// as labels do, a choice is told by its beginning, and the file holds each of them whole.
func TestShortAnswersAsPeopleGiveThem(t *testing.T) {
	s, f := filledIn(t, "", "drinking", "recirc", "3.6 m3/h", "10", "pacl-10", "8 mg/L as product", "10 % Al2O3", "", "", "", "", "7,4", "60", "12,5")
	c, w := s.Chemicals[0], s.Water
	if s.Place.Purpose.V != ForDrinking || s.Place.Passes.V != Recirculating || s.Flow.Hours.V != 10 || c.Strength.V != 0.1 || c.Counts.V != quantity.AsAl2O3 ||
		c.Basis.V != quantity.AsProduct || w.PH.V != 7.4 || w.Alkalinity.V != 60 || w.Turbidity.V != 12.5 {
		t.Errorf("%+v", s)
	}
	for at, want := range map[[2]string]string{{"Place", "purpose"}: "drinking water", {"Flow", "hours a day"}: "10 h", {"Chemicals", "strength"}: "10 %",
		{"Chemicals", "strength counts"}: "as Al2O3", {"Water", "alkalinity"}: "60 mg/L CaCO3", {"Water", "turbidity"}: "12.5 NTU"} {
		if got := f.Values[at[0]][0][at[1]]; got != want {
			t.Errorf("%v: %q, want %q", at, got, want)
		}
	}
	s, _ = filledIn(t, "", "other", "", "3.6 m3/h", "10 h", "alum-liquid", "12.5 mg/L as alum 14-hydrate", "8.3 % as Al2O3")
	if c := s.Chemicals[0]; c.Strength.V != 0.083 || c.Counts.V != quantity.AsAl2O3 || c.Basis.V != quantity.AsAlum14 {
		t.Errorf("%+v", c)
	}
}

// TestInShort: a short form has what is asked for, filled in, or needed beside it.
func TestInShort(t *testing.T) {
	for _, x := range []struct {
		sheet, field string
		values       Values
		want         bool
	}{
		{"Flow", "average flow", nil, true}, {"Flow", "meter log", nil, false}, {"Flow", "meter log", Values{"Flow": {{"meter log": "a.csv"}}}, true},
		{"Ponds", "size", nil, false}, {"Ponds", "size", Values{"Place": {{"water passes": Standing}}}, true}, {"Ponds", "dose", Values{"Place": {{"water passes": Standing}}}, false},
		{"Flow", "average flow", Values{"Place": {{"water passes": Standing}}}, false}, {"Chemicals", "pump", Values{"Place": {{"water passes": Standing}}}, false},
		{"Tanks", "use", nil, true}, {"Tanks", "usable", nil, false}, {"Prices", "chemical", nil, false}, {"Calendar", "runs", nil, false},
	} {
		sh, f := Row(x.sheet, x.field)
		if got := InShort(sh, f, x.values); got != x.want {
			t.Errorf("%s %s: %v", x.sheet, x.field, got)
		}
	}
}

// TestShortInUS: who is asked in US units reads US units only, and a bare number is of the unit that was named.
func TestShortInUS(t *testing.T) {
	for _, x := range []struct {
		sys         quantity.System
		field, asks string
		bare, taken string
	}{
		{quantity.Metric, "average flow", "in m3/h, such as 3.6 m3/h?", "50", "50 m3/h"},
		{quantity.US, "average flow", "in gpm, such as 15.9 gpm?", "50", "50 gpm"},
		{quantity.US, "average flow", "in gpm", "2 MGD", ""},
		{quantity.Metric, "density", "in kg/L, such as 1.335 kg/L?", "1.335", "1.335 kg/L"},
		{quantity.US, "density", "in lb/gal, such as 11.1 lb/gal?", "11.1", "11.1 lb/gal"},
		{quantity.US, "product in stock", "in g/L, such as 100 g/L", "100", "100 g/L"},
		{quantity.Metric, "volume", "in L, such as 36 L?", "4", "4 L"},
		{quantity.US, "volume", "in gal, such as 9.51 gal?", "55", "55 gal"},
		{quantity.Metric, "largest rate", "in L/h, such as 1.8 L/h?", "1,8", "1.8 L/h"},
		{quantity.US, "largest rate", "in gph, such as 0.476 gph?", "2", "2 gph"},
		{quantity.Metric, "dose", "in mg/L", "12.5 as product", "12.5 mg/L"},
		{quantity.Metric, "water passes", "once through", "", "once through"},
		{quantity.Metric, "staffed from", "06:00-20:30", "7:00 to 16:30", ""},
		{quantity.Metric, "pH", "pH", "7.4", ""},
	} {
		questions := Short(x.sys, "")
		q := questions[slices.IndexFunc(questions, func(q Question) bool { return q.Field == x.field })]
		f := ShortForm{Units: x.sys}
		_, err := f.Answer(q, x.bare)
		if !strings.Contains(q.Asks, x.asks) || strings.ContainsAny(q.Asks, "{}") || err != nil || f.Taken(q, x.bare) != x.taken {
			t.Errorf("%q with %q takes %q, %v", q.Asks, x.bare, f.Taken(q, x.bare), err)
		}
	}
}

// TestNamedRowsStayTheirs: answers that name their rows keep the names, whichever field a list calls its rows by; what they answer is not
// left out, and what is named is not named anew.
func TestNamedRowsStayTheirs(t *testing.T) {
	var f ShortForm
	for _, line := range strings.Split(`Place | name | Cockle lagoon
Place | purpose | animals
Place | water passes | standing
Chemicals, lime | product | caco3
Chemicals, lime | dose | 30 mg/L as product
Ponds, upper | size | 900 m3
Prices, lime | pack | 25 kg
Prices, lime | on hand | 200 kg
Animals, fingerlings | species | tilapia
Animals, fingerlings | reached | mixed
Animals, brood | species | tilapia`, "\n") {
		if _, err := f.Named(line); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
	}
	f.Blank()
	for _, q := range f.Missing {
		if q.Field == "size" || q.Field == "dose" || q.Field == "species" {
			t.Errorf("%s is told as left out", q.Field)
		}
	}
	var b bytes.Buffer
	if err := WriteYAML(&b, f.Finish()); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	s, err := Read("site.yaml", &b)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if len(s.Prices) != 1 || s.Prices[0].Chemical.V != "lime" || !s.Prices[0].Pack.OK || !s.Prices[0].OnHand.OK {
		t.Errorf("%+v", s.Prices)
	}
	if len(s.Ponds) != 1 || s.Ponds[0].Name.V != "upper" || len(s.Animals) != 2 || s.Animals[0].Name.V != "fingerlings" ||
		s.Animals[0].Reached.V != "mixed" || s.Animals[1].Name.V != "brood" || s.Animals[1].Reached.V != ReachedAlways {
		t.Errorf("%+v %+v", s.Ponds, s.Animals)
	}
}
