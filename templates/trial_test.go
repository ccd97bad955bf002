package templates

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/bioassay"
	"jarwright/dosing/product"
	"jarwright/dosing/restock"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// trialTable is a trial with a control, counted twice.
const trialTable = `Trial,ponds in May
Animal,mud crab
Chemical,floc aid
Dose counts,as product

Dose (mg/L),Animals,Dead at 24 h,Dead at 96 h
0,10,0,0
1,10,0,0
2,10,0,1
4,10,1,4
8,10,4,8
16,10,8,10
`

func trialReport(t *testing.T, tables ...string) (r TrialReport) {
	t.Helper()
	for _, text := range tables {
		got, err := bioassay.Read("trial.csv", strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range got {
			judged, err := bioassay.Judge(x)
			if err != nil {
				t.Fatal(err)
			}
			a := TrialAnswer{Result: judged}
			a.Entry, a.Why, _ = judged.Enter(product.Default())
			r.Trials = append(r.Trials, a)
		}
	}
	return r
}

func restockReport() RestockReport {
	known := func(v float64) quantity.Known[quantity.Concentration] {
		return quantity.Some(quantity.Concentration(v))
	}
	a := restock.Answer{Site: "hatchery", Animals: []string{"fry"}, Tank: restock.Tank{Name: "round tank", Volume: quantity.Some(quantity.Volume(60000)),
		Flow: quantity.Some(quantity.Flow(6)), Share: quantity.Some(quantity.Fraction(0.5))}}
	a.Residues = []restock.Residue{
		{Chemical: "polymer", As: "active polymer", Left: 17, Limit: known(0.0271), Stop: known(0.1355), Why: note.Say("a tenth of what killed half of them")},
		{Chemical: "alum", As: "Al", Left: 0.2, Limit: known(0.3), Metal: true, Measured: true},
		{Chemical: "secret", As: "as product", Left: 3},
	}
	return RestockReport{Answer: restock.Make(a)}
}

// TestTrialForms holds that all forms of a trial carry the same figures: the LC50 with its interval (see the tests of bioassay), and
// each group's deaths with what they prove.
func TestTrialForms(t *testing.T) {
	r := trialReport(t, trialTable)
	var doc struct {
		Animals struct {
			Trials []struct {
				Readings []struct {
					At     struct{ Value float64 }
					LC50   struct{ Value, Low, High float64 }
					Groups []struct {
						Dose          struct{ Value float64 }
						Dead, Animals int
						Died, AtMost  struct{ Value float64 } `json:"-"`
						PMore         float64                 `json:"p_more"`
					}
				}
				Enter struct {
					LC50  struct{ Value float64 }
					Hours struct{ Value float64 } `json:"lc50_hours"`
					Bound bool
				}
			}
			Proof []struct{ Animals int }
		}
	}
	b, err := json.Marshal(r.JSON())
	if err == nil {
		err = json.Unmarshal(b, &doc)
	}
	if err != nil {
		t.Fatal(err)
	}
	trial := doc.Animals.Trials[0]
	last := trial.Readings[1]
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-5*math.Abs(want) {
			t.Errorf("%s %v, want %v", what, got, want)
		}
	}
	near("LC50", last.LC50.Value, 4.594793)
	near("low", last.LC50.Low, 3.346551)
	near("high", last.LC50.High, 6.308622)
	near("at", last.At.Value, 96)
	near("to enter", trial.Enter.LC50.Value, 4.594793)
	near("hours", trial.Enter.Hours.Value, 96)
	near("p", last.Groups[2].PMore, 210.0/4845)
	near("24 h", trial.Readings[0].LC50.Value, 9.332232)
	if g := last.Groups[2]; g.Dead != 4 || g.Animals != 10 || g.Dose.Value != 4 || trial.Enter.Bound || doc.Animals.Proof[0].Animals != 29 || doc.Animals.Proof[1].Animals != 59 {
		t.Errorf("%+v, proof %+v", g, doc.Animals.Proof)
	}
	if tab := r.Table(); len(tab.Rows) != 12 { // six groups at two times
		t.Errorf("%d rows", len(tab.Rows))
	}
	card := r.Cards(Options{})[0]
	if len(card.Numbers) != 1 || card.Numbers[0].Value != "4.59" || card.Numbers[0].Unit != "mg/L" || card.Lead != "3.35 to 6.31 mg/L, with 95 % confidence. From 4 mg/L on more died than in the control." || len(card.Facts) != 3 || card.Facts[1] != [2]string{"killing dose", "2 mg/L"} || len(card.Cautions) != 0 {
		t.Errorf("card %+v", card)
	}
	d := r.Drawing(Options{})
	if len(d.Panels) != 1 || !strings.Contains(d.Description, "0 % at 1 mg/L to 100 % at 16 mg/L") {
		t.Errorf("picture %q", d.Description)
	}
}

// Every outcome has its sentence, in the reader's decimal mark.
func TestTrialHeadlines(t *testing.T) {
	for table, want := range map[string]string{
		trialTable: "Half of the mud crab die at 4,59 mg/L as product within 96 h (3,35 to 6,31 mg/L, 95 % interval). From 4 mg/L on more died than in the control.",
		"Dose (mg/L as product),Animals,Dead\n0,10,0\n1,10,0\n2,10,0\n":             "No dose killed more than half of the animals: half of them die of more than 2 mg/L as product, with 95 % confidence.",
		"Dose (mg/L as product),Animals,Dead\n0,10,0\n1,10,0\n2,10,4\n":             "No dose killed more than half of the animals: half of them die of more than 1 mg/L as product, with 95 % confidence; 2 mg/L killed too many, of too few, to say so. From 2 mg/L on more died than in the control.",
		"Dose (mg/L as product),Animals,Dead\n0,3,0\n1,3,0\n2,3,0\n":                "No dose killed more than half of the animals, but too few were tested to prove that at any dose.",
		"Dose (mg/L as product),Animals,Dead\n0,10,0\n1,10,8\n2,10,9\n":             "Half of the animals die of less than 1 mg/L as product: half or more died at every dose. From 1 mg/L on more died than in the control.",
		"Dose (mg/L as product),Animals,Dead\n0,10,3\n1,10,8\n2,10,9\n":             "The trial proves nothing: 3 of 10 controls died.",
		"Dose (mg/L as product),Animals,Dead\n0,6,0\n1,6,0\n2,6,6\n":                "Half of the animals die between 1 mg/L and 2 mg/L as product: none died at the one and all at the other, and no dose lay between them. With 95 % confidence half of them die of more than 1 mg/L and of less than 2 mg/L. From 2 mg/L on more died than in the control.",
		"Dose (mg/L as product),Animals,Dead\n0,4,0\n1,4,0\n2,4,4\n":                "Half of the animals die between 1 mg/L and 2 mg/L as product: none died at the one and all at the other, and no dose lay between them. Too few were tested to be sure of it. From 2 mg/L on more died than in the control.",
		"Group,Animals,Dead at 24 h\nnew water,10,0\ntank water,10,5\nhalf,10,10\n": "Keep the animals out. 5 of 10 animals died within 24 h in tank water, 0 of 10 in the control: that is more than chance (one-sided p 0,016). As many as 77,8 % may die of it (95 % confidence). 10 of 10 animals died within 24 h in half, 0 of 10 in the control: that is more than chance (one-sided p <0,0001).",
		"Group,Animals,Dead at 24 h\ntank water,10,1\n":                             "Keep the animals out. 1 of 10 animals died within 24 h in tank water. As many as 39,4 % may die of it (95 % confidence).",
		"Group,Animals,Dead at 24 h\nnew water,2,0\ntank water,2,2\n":               "Keep the animals out. 2 of 2 animals died within 24 h in tank water, 0 of 2 in the control: so few animals do not show whether that is chance (one-sided p 0,17), and nothing shows that it is harmless.",
	} {
		a := trialReport(t, table).Trials[0]
		readings := a.data().Objects("readings")
		if got := (Options{DecimalComma: true}).Show(a.headline(readings[len(readings)-1])); got != want {
			t.Errorf("%s\n got %s\nwant %s", table, got, want)
		}
	}
}

// TestRestockForms holds the forms of a return to stock to each other; the figures are those of restock's tests.
func TestRestockForms(t *testing.T) {
	r := restockReport()
	var b bytes.Buffer
	text := NewText(&b, Options{Width: 100})
	r.Text(text, Options{Width: 100})
	if err := text.Flush(); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"6.44 volumes", "386 m3", "64 h 25 min at 6 m3/h", "10 drains of 50 %", "3 drains of 50 %, then 4.36 volumes", "352 m3", "Nothing is known of what the animals bear of secret"} {
		if !strings.Contains(strings.Join(strings.Fields(b.String()), " "), want) {
			t.Errorf("the text lacks %q:\n%s", want, b.String())
		}
	}
	if tab := r.Table(); len(tab.Rows) != 6 {
		t.Errorf("%d rows", len(tab.Rows))
	}
	card := r.Cards(Options{})[0]
	if len(card.Checks) != 6 || len(card.Cautions) != 1 || !strings.Contains(card.Lead, "6.44 volumes") {
		t.Errorf("card %+v", card)
	}
}
