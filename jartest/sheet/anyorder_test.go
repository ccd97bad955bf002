package sheet

import (
	"encoding/json"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// headFacts are facts as people write them above their jars, each a name and a value in cells of their own.
var headFacts = [][]string{
	{"Date,2025-02-05", "Date,5 February 2025"},
	{"Basis,as alum 14-hydrate", "Dose counts,as alum 14-hydrate", "Dose counts,as Al", "Basis,as product", "Basis,as dry alum 17 % Al2O3"},
	{"Target,turbidity <= 2 NTU", "Goal,turbidity <= 2 NTU"},
	{"Chemical,alum", "Coagulant,Alum"},
	{"Test,Beck in February", "Name of the test,Beck in February"},
	{"Raw turbidity,63 NTU"}, {"Raw pH,7.4"}, {"Raw alkalinity,64 mg/L CaCO3"}, {"Temperature,8 C"},
	{"Jar volume,1 L"}, {"Place,Beck"}, {"Operator,night shift"},
}

// cellOf is where something stands, which goes by the order.
var cellOf = regexp.MustCompile(`"cell":"[A-Z0-9:]*"`)

// TestFactsInAnyOrder: what stands above the jars is read alike in any order, with or without a line left empty before the
// jars. Every fact of the sheet is in the answer, or a note quotes it.
func TestFactsInAnyOrder(t *testing.T) {
	const jars = "Jar,Dose (mg/L),Turbidity (NTU)\n1,0,60\n2,7.5,15.1\n3,12,6.6\n4,15.5,3.47\n5,19.5,1.66\n6,24,0.73\n"
	random := rand.New(rand.NewPCG(7, 11))
	answer := func(facts []string, gap string) (string, string) {
		text := strings.Join(facts, "\n") + "\n" + gap + jars
		r := mustReadAny(t, text, Options{})
		if len(r.Series) != 1 {
			t.Fatalf("%d tests of\n%s", len(r.Series), text)
		}
		s := r.Series[0]
		slices.SortFunc(s.Meta, func(a, b jartest.Fact) int { return strings.Compare(a.Name, b.Name) })
		var doses []float64
		for _, j := range s.Jars {
			for _, d := range j.Doses {
				doses = append(doses, float64(d.Concentration))
			}
		}
		var notes []string
		for _, n := range r.Notes {
			notes = append(notes, n.Code)
		}
		slices.Sort(notes)
		out, err := json.Marshal([]any{s.Name, s.Chemicals, s.Targets, s.Meta, s.Raw, doses, notes})
		if err != nil {
			t.Fatal(err)
		}
		return cellOf.ReplaceAllString(string(out), ""), text
	}
	for range 60 {
		var facts []string
		for _, i := range random.Perm(len(headFacts))[:2+random.IntN(len(headFacts)-1)] {
			facts = append(facts, headFacts[i][random.IntN(len(headFacts[i]))])
		}
		slices.Sort(facts)
		want, of := answer(facts, "\n")
		for range 5 {
			random.Shuffle(len(facts), func(i, j int) { facts[i], facts[j] = facts[j], facts[i] })
			if got, text := answer(facts, []string{"", "\n"}[random.IntN(2)]); got != want {
				t.Errorf("%s\nreads %s\nand\n%s\nreads %s", text, got, of, want)
			}
		}
	}
}
