package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// factForms are the ways in which a fact that scales doses carries a remark.
var factForms = []string{"Alum stock 10 g/L (%s)\nJars 1 L\n", "Alum stock 10 g/L\nJars 1 L (%s)\n", "Stock,\"10 g/L alum, %s\"\nJar volume,1 L\n"}

func withRemark(form, remark string) string {
	return fmt.Sprintf(form, remark) + "\nJar,Stock mL,NTU\n1,1,20\n2,2,12\n3,3,8\n"
}

// TestRemarksOnFactsSpeak: a remark on a stock or a jar that says more than how it was prepared is
// quoted; the words are of bench books, and in no list of the reader's.
func TestRemarksOnFactsSpeak(t *testing.T) {
	for remark := range strings.SplitSeq("settled out in bottle|bottle left open|lumps left|made with pond water|last week's|gone off|separated|crystals at bottom|cloudy|frozen|topped up|half empty|leaking|evaporated|from last year|left in sun|not mixed|poorly mixed|did not dissolve|undissolved lumps|sediment in bottle|two layers|smells odd|white flakes|gel formed|weak|strong|wrong label|label faded|other bottle|old bottle|second bottle|by eye|roughly weighed|scale broken|spilt some|rain got in|clogged|skin on top|thick|sticky|aged|month old|opened in May|river water used|hot water|seawater|stored outside|mould on top|foaming|brown|abgesetzt|Klumpen drin|trüb|offen stehen geblieben|sedimento|con grumos|turbia|dépôt au fond|grumeaux|trouble|plus acid|acidified|neutralised|decanted|supernatant used|top layer|without stirring|"+strings.Join(inventedWords, "|"), "|") {
		for _, form := range factForms {
			if r := mustRead(t, "s.csv", withRemark(form, remark), Options{}); len(loud(r)) == 0 {
				t.Errorf("%q with %q is silent", form, remark)
			}
		}
	}
}

// TestPlainRemarksOnFactsAreQuiet: how and when a stock was made refuses nothing and needs no word.
func TestPlainRemarksOnFactsAreQuiet(t *testing.T) {
	for remark := range strings.SplitSeq("prepared fresh|made fresh 14/5|made up today|in deionised water|in distilled water|tap water|prepared by AB|prepared by Ana|prepared 3 May 2026|made this morning|nominal|at 20 C|made daily|freshly made|lab stock|volumetric flask|batch 12|lot 4471|prepared in DI water|stored cold|dissolved|well mixed|glass bottle|checked|analytical grade|frisch angesetzt|in destilliertem Wasser|recién preparado|agua destilada|fraîche|eau distillée|fresca", "|") {
		for _, form := range factForms {
			r := mustRead(t, "s.csv", withRemark(form, remark), Options{})
			if said := loud(r); len(said) > 0 || len(r.Series) != 1 || r.Series[0].Jars[0].Doses[0].Concentration != 10 {
				t.Errorf("%q with %q: %v", form, remark, said)
			}
		}
	}
}

// TestLimitsAreNoFacts: a strength or a volume that is only bounded is not taken.
func TestLimitsAreNoFacts(t *testing.T) {
	for _, facts := range []string{"Alum stock < 10 g/L\nJars 1 L\n", "Alum stock >= 10 g/L\nJars 1 L\n", "Alum stock 10 g/L\nJars < 1 L\n", "Alum stock,< 10 g/L\nJar volume,1 L\n"} {
		if r := mustRead(t, "s.csv", facts+"\nJar,Stock mL,NTU\n1,1,20\n2,2,12\n3,3,8\n", Options{}); !slices.Contains(loud(r), "stock-data-missing") {
			t.Errorf("%q: %v, %v", facts, loud(r), r.Series)
		}
	}
}
