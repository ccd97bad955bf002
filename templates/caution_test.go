package templates

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/animal"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	chemistry "jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"

	"pgregory.net/rapid"
)

// anySituation draws a site with anything known or not.
func anySituation(t *rapid.T, products []product.Product) caution.Situation {
	number := func(name string, lo, hi float64) quantity.Known[float64] {
		return quantity.Known[float64]{V: rapid.Float64Range(lo, hi).Draw(t, name), OK: rapid.Bool().Draw(t, name+" known")}
	}
	s := caution.Situation{Purpose: rapid.SampledFrom([]caution.Purpose{caution.Unsaid, caution.Animals, caution.Drinking, caution.Other}).Draw(t, "purpose")}
	w := &s.Water
	w.PH = as[quantity.PH](number("ph", 4, 11))
	w.Alkalinity = as[quantity.Alkalinity](number("alkalinity", 0, 500))
	w.Temperature = as[quantity.Temperature](number("temperature", 0, 40))
	w.Salinity = as[quantity.Salinity](number("salinity", 0, 45))
	w.Hardness = as[quantity.Concentration](number("hardness", 0, 600))
	w.DOC = as[quantity.Concentration](number("doc", 0, 15))
	w.Ammonia = as[quantity.Concentration](number("ammonia", 0, 10))
	w.Turbidity = number("turbidity", 0, 200)
	w.Hold = as[quantity.PH](number("hold", 6, 10))
	w.ResidualAl = as[quantity.Concentration](number("residual", 0, 3))
	for range rapid.IntRange(0, 3).Draw(t, "doses") {
		p := products[rapid.IntRange(0, len(products)-1).Draw(t, "product")]
		s.Doses = append(s.Doses, caution.Dose{Product: p, Dose: quantity.Dose{Concentration: quantity.Concentration(rapid.Float64Range(0.0001, 200).Draw(t, "dose")), Basis: quantity.AsProduct}})
	}
	if rapid.Bool().Draw(t, "animals") {
		all := animal.Profiles()
		p := all[rapid.IntRange(0, len(all)-1).Draw(t, "animal")]
		s.Stock = []caution.Animal{{Name: p.Name, Profile: p}}
	}
	if rapid.Bool().Draw(t, "loop") {
		s.Flow = quantity.Some(quantity.Flow(rapid.Float64Range(0.001, 50).Draw(t, "flow"))) // a site takes no less
		s.Loop = &caution.Loop{Volume: quantity.Volume(rapid.Float64Range(100, 1e5).Draw(t, "volume"))}
	}
	return s
}

func as[T ~float64](o quantity.Known[float64]) quantity.Known[T] {
	return quantity.Known[T]{V: T(o.V), OK: o.OK}
}

// Whatever the site, the findings can be written: no NaN in the document, no
// place left empty, nothing wider than the page, every grave note on it.
func TestCautionsCanBeWritten(t *testing.T) {
	products := product.Default().All()
	rapid.Check(t, func(t *rapid.T) {
		f := caution.Review(anySituation(t, products))
		if _, err := json.Marshal(reviewData(figure.New(), f)); err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		o := Options{Explain: rapid.Bool().Draw(t, "explain")}
		text := NewText(&b, o)
		text.Answer(Plan{Findings: f}.answer(o, figure.New()))
		acceptedText(text, f.Taken)
		waterText(text, reviewData(figure.New(), f), false)
		cautionText(text, f, o)
		handlingText(text, f.Handling, o)
		checkText(text, f.Checks)
		if err := text.Flush(); err != nil {
			t.Fatal(err)
		}
		page := b.String()
		if strings.ContainsAny(page, "{}") || strings.Contains(page, "NaN") || strings.Contains(page, "Inf ") {
			t.Fatal(page)
		}
		for _, line := range strings.Split(page, "\n") {
			if columns(line) > 80 {
				t.Fatalf("%d columns: %s\n%s", columns(line), line, page)
			}
		}
		if stops := f.Notes.Only(note.Stop); (len(stops) > 0) != strings.Contains(page, "STOPPED: no pump settings") {
			t.Fatalf("%d stops\n%s", len(stops), page)
		}
		if (len(f.Notes.Only(note.Stop)) > 0) != f.Stopped {
			t.Fatal("stopped without a stop, or the other way round")
		}
	})
}

// The list of cautions is one row a rule, each with its source.
func TestCautionsListed(t *testing.T) {
	rows := Cautions{}.Table().Strings()
	if len(rows) != len(caution.Rules())+1 {
		t.Errorf("%d rows", len(rows))
	}
	for _, r := range rows[1:] {
		if r[0] == "" || r[2] == "" || r[5] == "" || r[7] == "" {
			t.Errorf("a field is empty: %q", r)
		}
	}
	var b bytes.Buffer
	text := NewText(&b, Options{})
	Cautions{}.Text(text, Options{})
	if err := text.Flush(); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"under Accepted it is called alkalinity-gone", "chlorine gas", "Goodrich", "from memory", "no data"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%s is not in the list", want)
		}
	}
	for _, line := range strings.Split(b.String(), "\n") {
		if columns(line) > 80 {
			t.Errorf("%d columns: %s", columns(line), line)
		}
	}
}

// TestAcceptedText: what is accepted stands with who took it when and why, and until when; a stop of which nobody says when leaves the days out.
func TestAcceptedText(t *testing.T) {
	day := func(d int) time.Time { return time.Date(2026, 3, d, 0, 0, 0, 0, time.UTC) }
	stop := note.New(note.Stop, "al-too-high", "aluminium may reach %s", quantity.Concentration(0.3))
	for _, x := range []struct {
		by   caution.Acceptance
		want string
	}{
		{caution.Acceptance{By: "the manager", Why: "one day only", Date: day(2), Until: day(9)},
			"! aluminium may reach 0.3 mg/L. Accepted by the manager on Mon 2 March 2026: one day only (until Mon 9 March 2026)."},
		{caution.Acceptance{By: "the manager", Why: "no fish"}, "! aluminium may reach 0.3 mg/L. Accepted by the manager: no fish."},
	} {
		var b bytes.Buffer
		w := NewText(&b, Options{Width: 200})
		acceptedText(w, []caution.Taken{{Stop: stop, By: x.by}})
		if err := w.Flush(); err != nil || b.String() != "Accepted risks\n--------------\n"+x.want+"\n" {
			t.Errorf("%v\n%s", err, b.String())
		}
		left := below(note.List{stop, note.New(note.Caution, "al-too-high", "accepted by %s", x.by.By), note.New(note.Caution, "x", "y")}, note.Stop,
			[]caution.Taken{{Stop: stop, By: x.by}})
		if len(left) != 1 || left[0].Code != "x" {
			t.Errorf("besides it is said %v", left)
		}
	}
}

// What an alkali is known for stands beside its caution: limestone that would bring ammonia still dissolves in days, not in a pipe.
func TestRemarkStandsBesideTheCaution(t *testing.T) {
	var out bytes.Buffer
	text := NewText(&out, Options{})
	for _, a := range chemistry.Alkalis() {
		if a.Highest > 0 {
			alkaliText(text, []*figure.Object{alkaliObject(caution.Option{Alkali: a, Goal: note.Say("pH 7"), Level: note.Caution, Why: note.Say("free ammonia")})}, "feed")
		}
	}
	if err := text.Flush(); err != nil {
		t.Fatal(err)
	}
	said := strings.Join(strings.Fields(out.String()), " ")
	if strings.Count(said, "CAUTION:") != 2 || strings.Count(said, "dissolves") != 2 {
		t.Error(out.String())
	}
}

// What a plan would stop for is offered nowhere: it stands apart with its reason, and no figure to feed.
func TestWhatStopsIsNotOffered(t *testing.T) {
	var out bytes.Buffer
	text := NewText(&out, Options{})
	var list []*figure.Object
	for i, a := range chemistry.Alkalis()[:2] {
		o := caution.Option{Alkali: a, Goal: note.Say("pH 7"), Product: 321.5, Purity: 0.5}
		if i == 0 {
			o.Product, o.Level, o.Why = 88.2, note.Stop, note.Say("pH above %s", quantity.Number(9))
		}
		list = append(list, alkaliObject(o))
	}
	alkaliText(text, list, "feed")
	if err := text.Flush(); err != nil {
		t.Fatal(err)
	}
	said := strings.Join(strings.Fields(out.String()), " ")
	if strings.Contains(said, "88.2") || !strings.Contains(said, "Not these, for which a plan stops: caustic soda, 50% (pH above 9).") ||
		!strings.Contains(said, "hydrated lime, 50% 322") || strings.Contains(said, "STOP") {
		t.Error(out.String())
	}
	out.Reset()
	alkaliText(text, list[:1], "feed") // nothing is left to feed
	if err := text.Flush(); err != nil || strings.Contains(out.String(), "feed one of") || !strings.Contains(out.String(), "To hold pH 7") {
		t.Error(err, out.String())
	}
}

// A residual above a guideline that calls nobody is told, not within it; below it by what was measured alone, whatever all of the dose would be.
func TestResidualAboveAGuidelineIsTold(t *testing.T) {
	mgL := func(v float64) quantity.Known[quantity.Concentration] {
		return quantity.Some(quantity.Concentration(v))
	}
	for want, r := range map[string]caution.Residual{
		"note":                 {Chemical: "alum", As: "Al", Worst: 1, Expected: mgL(0.1), Limit: mgL(0.024), LimitName: note.Say("marine guideline")},
		"ok as expected":       {Chemical: "alum", As: "Al", Worst: 174, Expected: mgL(0.01), Limit: mgL(0.024), LimitName: note.Say("marine guideline")},
		"marine guideline  ok": {Chemical: "alum", As: "Al", Worst: 0.02, Expected: mgL(0.01), Limit: mgL(0.024), LimitName: note.Say("marine guideline")},
		"not judged":           {Chemical: "alum", As: "Al", Worst: 1},
	} {
		var out bytes.Buffer
		text := NewText(&out, Options{})
		residualText(text, []*figure.Object{residualObject(r)}, false)
		if err := text.Flush(); err != nil || !strings.HasSuffix(strings.TrimSpace(out.String()), want) {
			t.Errorf("want %q: %v\n%s", want, err, out.String())
		}
	}
}

// TestWhatMustNeverMeetStandsFirst: two goods that free gas where they meet stand before two that only spoil each other, and both before
// all else that concerns goods. What is only kept beside the coagulant, as in most works, is no alarm of the day.
func TestWhatMustNeverMeetStandsFirst(t *testing.T) {
	gas := note.New(note.Caution, "mix-chlorine", "never let alum meet bleach: chlorine gas")
	clots := note.New(note.Info, "mix-coagulant-polymer", "never mix alum with polymer neat: it clots")
	eyes := note.New(note.Caution, "handle-eyes", "wear goggles")
	handling := note.List{note.New(note.Info, "handle-label", "read the label"), eyes, clots, gas}
	var out strings.Builder
	text := NewText(&out, Options{})
	handlingText(text, handling, Options{})
	if err := text.Flush(); err != nil {
		t.Fatal(err)
	}
	want := "! Never let alum meet bleach: chlorine gas.\n! Never mix alum with polymer neat: it clots.\n- Wear goggles.\n- Read the label.\n"
	if s := out.String(); !strings.HasSuffix(s, want) {
		t.Errorf("%s, want %s", s, want)
	}
	if g := (Plan{Findings: caution.Findings{Handling: handling}}).grave(); len(g) > 0 {
		t.Errorf("%v", g)
	}
}

// TestOnlyALoopIsToldOfOne: water that passes once has no line of what days bring a loop to.
func TestOnlyALoopIsToldOfOne(t *testing.T) {
	line := func(f caution.Findings) string {
		var b strings.Builder
		text := NewText(&b, Options{})
		waterText(text, reviewData(figure.New(), f), false)
		if err := text.Flush(); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	f := caution.Findings{Water: &caution.Chemistry{}}
	if got := line(f); strings.Contains(got, "loop") {
		t.Errorf("no loop: %s", got)
	}
	f.Loop = &caution.LoopAlkalinity{EndOfRun: 141.3, Later: 99}
	if got := line(f); !strings.Contains(got, "The loop has 141 mg/L CaCO3 of alkalinity by the end\nof the run, 99 mg/L CaCO3 after 30 days like it, and does not settle.") {
		t.Errorf("a loop without new water: %s", got)
	}
}
