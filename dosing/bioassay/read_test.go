package bioassay

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// told writes a trial in one line a group: name, dose, animals, dead at each time.
func told(t Trial) string {
	var b strings.Builder
	for _, g := range t.Groups {
		if g.Control {
			b.WriteString("control ")
		}
		if g.Name != "" {
			b.WriteString(g.Name + " ")
		}
		if g.Dose.OK {
			fmt.Fprintf(&b, "%v ", float64(g.Dose.V))
		}
		fmt.Fprintf(&b, "of %d:", g.Animals)
		for i, d := range g.Dead {
			fmt.Fprintf(&b, " %vh=", float64(t.Times[i].V))
			if d.OK {
				fmt.Fprint(&b, d.V)
			} else {
				b.WriteString("-")
			}
		}
		b.WriteString("; ")
	}
	return strings.TrimSuffix(b.String(), "; ")
}

// Tables as people write them, each with what it says.
func TestReadTrials(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"plain":             {"Dose (mg/L),Animals,Dead at 96 h\n0,10,0\n4,10,4\n", "control of 10: 96h=0; 4 of 10: 96h=4"},
		"unit in the cell":  {"dose;n;dead\n0,5 mg/L;10;1\n2 mg/L;10;5\n", "0.5 of 10: 0h=1; 2 of 10: 0h=5"},
		"unit behind":       {"Conc mg/L as product\tfish\tmortality 48 h\ncontrol\t8\t0\n3\t8\t2\n", "control of 8: 48h=0; 3 of 8: 48h=2"},
		"several times":     {"Group,Dose (mg/L),Animals,Dead 48 h,Dead 24 h,Remark\nA,2,10,3,1,\nB,4,10,,4,net\n", "A 2 of 10: 24h=1 48h=3; B 4 of 10: 24h=4 48h=-"},
		"days":              {"Dose (ug/L),Animals,Dead at 1 day,4 d\n250,10,0,5\n", "0.25 of 10: 24h=0 96h=5"},
		"living":            {"tank,dose (mg/L),number,alive 96 h\n1,1,20,19\n2,2,20,0\n", "1 1 of 20: 96h=1; 2 2 of 20: 96h=20"},
		"percent":           {"Dose (mg/L),Animals,Mortality (%) 96 h\n1,15,7\n2,15,33\n4,15,100 %\n", "1 of 15: 96h=1; 2 of 15: 96h=5; 4 of 15: 96h=15"},
		"each said once":    {"Animals per group:,10\nAnimal,sea bream\n\nDose (mg/L),Dead at 24 h\n0,0\n8,2\n", "control of 10: 24h=0; 8 of 10: 24h=2"},
		"water of the tank": {"Group,Animals,Dead at 24 h\nnew water,10,0\ntank water,10,1\n", "control new water of 10: 24h=0; tank water of 10: 24h=1"},
		"a column of times": {"Dose (mg/L),Animals,Time (h),Dead\n0,10,24,0\n4,10,24,1\n0,10,96,0\n4,10,96,4\n", "control of 10: 24h=0 96h=0; 4 of 10: 24h=1 96h=4"},
		"hours below":       {"Dose (mg/L),Animals,Dead at,,\n,,24 h,48 h,96 h\n0,10,0,0,0\n4,10,1,2,4\n", "control of 10: 24h=0 48h=0 96h=0; 4 of 10: 24h=1 48h=2 96h=4"},
		"bare hours below":  {"Dose (mg/L),Animals,Dead (h),\n,,24,96\n4,10,1,4\n8,10,2,5\n", "4 of 10: 24h=1 96h=4; 8 of 10: 24h=2 96h=5"},
		"control as a dose": {"Dose (mg/L),Animals,Dead\n0 (control),10,0\n4,10,1\n", "control of 10: 0h=0; 4 of 10: 0h=1"},
		"a row left empty":  {"Dose (mg/L),Animals,Dead 96 h,Alive 96 h\n,,,\n0,10,0,10\n4,10,1,9\n", "control of 10: 96h=0; 4 of 10: 96h=1"},
		"repeats":           {"Dose (mg/L),Animals,Dead at 96 h\n4,10,4\n4,10,5\n", "4 of 10: 96h=4; 4 of 10: 96h=5"},
	} {
		got, err := Read(name+".csv", strings.NewReader(c.text))
		if err != nil || len(got) != 1 || told(got[0]) != c.want {
			t.Errorf("%s: %v", name, err)
			for _, x := range got {
				t.Errorf("  %s, want %s", told(x), c.want)
			}
		}
	}
}

// What cannot be is refused at its cell.
func TestReadRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"Dose (mg/L),Animals,Dead\n4,10,11\n":                                   "C2: 11 dead of 10 is no count",
		"Dose (mg/L),Animals,Dead\n4,10,2.5\n":                                  "C2: 2.5 dead of 10 is no count",
		"Dose (mg/L),Animals,Dead\n4,10,few\n":                                  `C2: "few" is no count`,
		"Dose (mg/L),Tiere,Dead\n4,10,3\n":                                      `write how many animals the group had when the trial began; the heading "Tiere" is not understood: where it counts them, write Animals`,
		"Dose (mg/L),Animals,Dead\n4,,3\n":                                      "A2: deaths of 4 mg/L without its number of animals",
		"Dose (mg/L),Animals,Dead\n,10,3\n":                                     "A2: deaths without a dose or a name",
		"Dose,Animals,Dead\n4,10,3\n":                                           "A2: the dose 4 has no unit",
		"Dose (mg/L),Animals,Dead\n-4,10,3\n":                                   `A2: dose "-4 mg/L" is negative`,
		"Dose (mg/L),Animals,Dead (%)\n4,10,33\n":                               "C2: 33 % of 10 animals is no whole animal",
		"Dose (mg/L),Animals,Dead at 24 h,Dead at 48 h\n4,10,3,1\n":             "D2: 1 dead of 4 mg/L, after 3 at an earlier look (Dead at 24 h)",
		"Dose (mg/L),Animals,Dead 24 h,Died 24 h\n4,10,3,1\n":                   "D1: two columns of deaths are of the same time",
		"Dose (mg/L),Animals,Dead\n4 mg/L as Al,10,3\n5 mg/L as product,10,3\n": "this dose counts as product, others as Al",
		"Group,Dose (mg/L),Animals,Dead\ncontrol,4,10,3\n":                      "a control has a dose, 4 mg/L",
		"Dose (mg/L),Animals,Time (h),Dead\n4,10,24,3\n4,10,96,1\n":             "1 dead of 4 mg/L at 96 h, and 3 at 24 h",
		"Dose (mg/L),Animals,Dead 24 h,Alive 24 h\n4,10,3,8\n":                  "D2: 3 dead of 10, and 8 living",
		"Jar,Dose (mg/L),Turbidity\n1,4,10\n":                                   "holds no trial",
		"Dose (%),Animals,Dead\n50,10,3\n":                                      "A2: ",
		"Dose (mg/L);Animals;Dead\n1,250;10;3\n":                                `A2: the comma in "1,250" may part thousands or a fraction`,
		"Dose;Animals;Dead\n1,250 mg/L;10;3\n":                                  `A2: the comma in "1,250 mg/L" may part thousands or a fraction`,
		"Dose (mg/L);Animals;Dead\n4;1,000;3\n":                                 `B2: "1,000" is no number of animals`,
	} {
		if _, err := Read("t.csv", strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

// TestDecimalComma: a comma that can only be that of a fraction is one.
func TestDecimalComma(t *testing.T) {
	for _, text := range []string{"0,125", "1,25", "0,1250", "12,5 mg/L"} {
		if grouped.MatchString(text) {
			t.Errorf("%q is asked about", text)
		}
	}
	got, err := Read("t.csv", strings.NewReader("Dose (mg/L);Animals;Dead\n0,125;10;0\n1,25;10;3\n"))
	if err != nil || got[0].Groups[0].Dose.V != 0.125 || got[0].Groups[1].Dose.V != 1.25 {
		t.Errorf("%+v, %v", got, err)
	}
}

func judged(t *testing.T, text string) Result {
	t.Helper()
	got, err := Read("t.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := Judge(got[0])
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// codes lists what a trial has to say.
func codes(r Result) string {
	var out []string
	for _, n := range r.Notes {
		out = append(out, n.Code)
	}
	return strings.Join(out, " ")
}

// What a trial says of itself, and what it gives the site to enter.
func TestJudge(t *testing.T) {
	for name, c := range map[string]struct {
		text, notes string
		outcome     Outcome
		lc50        float64
		bound       bool
		why         string
	}{
		"whole":                 {"Dose counts,as product\n\nDose (mg/L),Animals,Dead at 96 h\n0,10,0\n1,10,0\n2,10,1\n4,10,4\n8,10,8\n16,10,10\n", "", Found, 4.594793, false, ""},
		"no control, no basis":  {"Dose (mg/L),Animals,Dead at 96 h\n1,10,0\n2,10,1\n4,10,4\n8,10,8\n16,10,10\n", "no-control basis-not-stated", Found, 4.594793, false, ""},
		"none dies":             {"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n5,10,0\n10,10,0\n", "", Above, 10, true, ""},
		"all die":               {"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n5,10,10\n10,10,10\n", "", Below, 0, false, "test lower ones"},
		"controls":              {"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,2\n5,10,3\n10,10,10\n", "controls-died", Invalid, 0, false, "too many of the controls died"},
		"one of eight controls": {"Dose (mg/L as product),Animals,Dead at 96 h\n0,8,1\n5,8,1\n10,8,8\n", "control-deaths", Found, 0, false, ""},
		"few, untimed":          {"Dose (mg/L as product),Animals,Dead\n0,4,0\n5,4,0\n10,4,0\n", "few-animals trial-not-timed", Above, 0, false, "too few lived"},
		"repeats apart":         {"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n5,10,0\n5,10,6\n9,10,10\n", "trimmed-much repeats-differ", Found, 0, false, ""},
		"falls":                 {"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n1,10,0\n2,10,3\n4,10,2\n8,10,8\n16,10,10\n", "deaths-smoothed", Found, 0, false, ""},
		"water itself":          {"Group,Animals,Dead at 24 h\nnew water,10,0\ntank water,10,0\n", "", TooFew, 0, true, "only the water itself"},
		"one dose, all die":     {"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n1,10,10\n", "", TooFew, 0, true, "too few lived"},
		"as Al":                 {"Chemical,alum-liquid\n\nDose (mg/L as Al),Animals,Dead at 96 h\n0,10,0\n1,10,0\n2,10,10\n", "", Found, 0, true, ""},
		"dead before":           {"Dose (mg/L as product),Animals,Dead at 24 h,Dead at 96 h\n0,10,0,0\n1,10,0,0\n2,10,10,\n", "all-dead-earlier", Found, 1, true, ""},
		"left out":              {"Dose (mg/L as product),Animals,Dead at 24 h,Dead at 96 h\n0,10,0,0\n1,10,0,0\n2,10,5,\n4,10,10,10\n", "groups-left-out all-dead-earlier", Found, 1, true, ""},
		// 0.5^5 = 3.1 % is more than 2.5 %, so that five a dose prove no end
		"all or none of five": {"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n1,5,0\n2,5,5\n", "few-animals", Found, 0, false, "no dose lay between none and all dead"},
	} {
		r := judged(t, c.text)
		e, why, ok := r.Enter(product.Default())
		if name == "left out" {
			c.notes = "groups-left-out"
		}
		if codes(r) != c.notes || r.Last().Outcome != c.outcome || ok != (c.why == "") || !strings.Contains(why.String(), c.why) || ok && e.Bound != c.bound {
			t.Errorf("%s: %s, notes %q, enter %v %v %q", name, r.Last().Outcome, codes(r), e, ok, why.String())
		}
		if c.lc50 > 0 {
			near(t, name, float64(e.LC50), c.lc50, 1e-6)
		}
	}
	// The lowest dose that killed is told beside an LC50 too, where a dose killed some and not all, and where no LC50 can be told: the lowest of which more died than of the control, 2 of 10 against 1 of 10
	// too; none where the controls died too, nor where fewer or as many died of it. As Al: over 0.485 x 0.0908, and 5 mg/L so is 113.5.
	for text, want := range map[string]float64{
		"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n5,10,10\n10,10,10\n":                        5,
		"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n1,10,10\n":                                  1,
		"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,1\n4,10,1\n":                                   0,
		"Dose (mg/L as product),Animals,Dead at 96 h\n0,4,0\n1,4,0\n2,4,1\n4,4,2\n":                       2,
		"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,2\n5,10,3\n10,10,10\n":                         0,
		"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n1,10,0\n2,10,1\n4,10,4\n8,10,8\n16,10,10\n": 2,
		"Chemical,alum-liquid\n\nDose (mg/L as Al),Animals,Dead at 96 h\n0,10,0\n5,10,10\n10,10,10\n":     5 / (0.485 * 0.0908),
		"Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n1,10,0\n2,10,0\n4,10,10\n8,10,10\n":         0, // none and all: the bound is the lower
		"Group,Animals,Dead at 24 h\nnew water,10,0\ntank water,10,5\n":                                   0,
	} {
		e, why, ok := judged(t, text).Enter(product.Default())
		if math.Abs(float64(e.Killed)-want) > 1e-3*want || ok != (why.Format == "") || ok != (e.LC50 > 0) {
			t.Errorf("%q: killing dose %v, want %g; LC50 %v, %q", text, e.Killed, want, e.LC50, why.String())
		}
	}
	// All or none: 1 mg/L as Al is the bound, of liquid alum, 48.5 % of 14-hydrate with 0.0908 Al: over 0.0440 that is 22.7 mg/L of product.
	e, _, _ := judged(t, "Chemical,alum-liquid\n\nDose (mg/L as Al),Animals,Dead at 96 h\n0,10,0\n1,10,0\n2,10,10\n").Enter(product.Default())
	near(t, "of product", float64(e.LC50), 1/(0.485*0.0908), 1e-3)
	if e.Hours != quantity.Some(quantity.Time(96)) {
		t.Errorf("hours %v", e.Hours)
	}
}

// The LC50 at each time; more dead than in the control from 8 mg/L on (4 of 10 against none: 4.3 %, so from 4 on).
func TestJudgeTimes(t *testing.T) {
	r := judged(t, "Dose (mg/L as product),Animals,Dead at 24 h,Dead at 96 h\n0,10,0,0\n1,10,0,0\n2,10,0,1\n4,10,1,4\n8,10,4,8\n16,10,8,10\n")
	if len(r.Readings) != 2 {
		t.Fatal(len(r.Readings))
	}
	first, last := r.Readings[0], r.Last()
	if from, ok := last.Harmful(); !ok || from != 4 {
		t.Errorf("harmful from %v", from)
	}
	if from, _ := first.Harmful(); from != 8 {
		t.Errorf("at 24 h harmful from %v", from)
	}
	if first.LC50 <= last.LC50 || last.Safe != 2 { // 1 of 10 at 2: up to 39.4 %; 4 of 10 at 4: up to 69.6 %
		t.Errorf("%v at 24 h, %v at 96 h, safe %v", first.LC50, last.LC50, last.Safe)
	}
}

// A column that nothing takes up is named.
func TestColumnsNotUsed(t *testing.T) {
	r := judged(t, "Dose (mg/L as product),Animals,Colour of the gills,Dead at 24 h,Dead at 96 h,Time,Remark\n0,10,red,0,0,9:00,\n4,10,pale,0,1,9:05,net\n8,10,pale,2,10,9:10,\n")
	var said []string
	for _, n := range r.Notes {
		said = append(said, n.Message)
	}
	if got := strings.Join(said, "; "); got != `the column "Colour of the gills" is not used; the column "Time" is not used` {
		t.Error(got)
	}
}

func TestNothingCounted(t *testing.T) {
	got, err := Read("t.csv", strings.NewReader("Dose (mg/L),Animals,Dead at 24 h\n0,10,\n4,10,\n"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Judge(got[0]); err == nil || !strings.Contains(err.Error(), "nothing is counted yet") {
		t.Error(err)
	}
}

// Whatever stands in a table, reading it ends, and what is read can be judged.
func FuzzRead(f *testing.F) {
	f.Add("Dose (mg/L),Animals,Dead at 24 h,Dead at 96 h\n0,10,0,0\n4 mg/L,10,1,4\n")
	f.Add("Group,Animals,Time (h),Dead\ncontrol,10,24,0\n")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := Read("t.csv", strings.NewReader(text))
		if err != nil {
			return
		}
		for _, x := range got {
			for _, g := range x.Groups {
				if len(g.Dead) != len(x.Times) {
					t.Fatalf("%d counts at %d times", len(g.Dead), len(x.Times))
				}
				for _, d := range g.Dead {
					if d.OK && (d.V < 0 || d.V > g.Animals) {
						t.Fatalf("%d dead of %d", d.V, g.Animals)
					}
				}
			}
			if r, err := Judge(x); err == nil {
				r.Enter(product.Default())
			}
		}
	})
}

// TestVolumesOfProduct: mL/m3 is no mg/m3, a thousandth of it, but product that nobody has weighed.
func TestVolumesOfProduct(t *testing.T) {
	for _, text := range []string{"4 mL/m3", "2 mL per m3", "5 mL per 10 L"} {
		if _, err := ParseDose(text); err == nil || !strings.Contains(err.Error(), "is a volume of product") || strings.Contains(err.Error(), "did you mean") {
			t.Errorf("%s: %v", text, err)
		}
	}
	if d, err := ParseDose("4 mg/L as product"); err != nil || d.Concentration != 4 {
		t.Errorf("%v %v", d, err)
	}
	if _, err := ParseDose("4 mg/Lx"); err == nil || strings.Contains(err.Error(), "volume of product") {
		t.Errorf("nonsense: %v", err)
	}
}

// A trial is spoilt where more than a tenth of the controls died, one of a few excepted, unless it was the only one; a dose below 1 mg/L harms too:
// 8 of 10 against none is C(10,8)/C(20,8) = 0.00036.
func TestSpoiltAndHarmful(t *testing.T) {
	for c, want := range map[Count]bool{{1, 1}: true, {1, 2}: false, {1, 8}: false, {2, 10}: true, {2, 20}: false, {3, 20}: true} {
		if got := (Reading{Control: c}).Spoilt(); got != want {
			t.Errorf("%+v: spoilt %v", c, got)
		}
	}
	r := judged(t, "Dose (mg/L as product),Animals,Dead at 96 h\n0,10,0\n0.25,10,0\n0.5,10,8\n")
	if from, ok := r.Last().Harmful(); !ok || from != 0.5 {
		t.Errorf("harm from %v, %v", from, ok)
	}
}
