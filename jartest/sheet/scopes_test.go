package sheet

import (
	"strings"
	"testing"
)

// A fact that is said of some of the jars is not taken for all of them without a word.
func TestFactsOfSomeJarsSpeak(t *testing.T) {
	for _, some := range each("jars 1-3 | jars 1–3 | jars 1 to 3 | for jars 1–3 | jar 4 only | only jar 4 | jars 4, 5 and 6 | all but jar 6 | except jar 2 | not jar 1 | jars 4+ | from jar 3 on | " +
		"Becher 1-3 | nur Becher 4 | vasos 1-3 | solo vaso 4 | béchers 1 à 3 | copos 1 a 3 | bicchieri 1-3 | bekerglas 4 | 烧杯1-3 | стаканы 1-3 | first three jars | last jar") {
		for _, p := range []plainSheet{
			{label: "Coagulant (" + some + ")"}, {coagulant: "Alum (" + some + ")"}, {coagulant: "Alum, " + some},
			{syringe: true, facts: [][2]string{{"Stock (" + some + ")", "10 g/L"}, {"Stock", ""}}},
			{syringe: true, facts: [][2]string{{"Stock", "10 g/L (" + some + ")"}}},
			{syringe: true, facts: [][2]string{{"Jar volume (" + some + ")", "1 L"}, {"Jar volume", ""}}},
			{syringe: true, facts: [][2]string{{"Jar volume", "1 L, " + some}}},
			{raw: "48 NTU (" + some + ")"},
			{raw: "-", facts: [][2]string{{"Raw water turbidity (" + some + ")", "48 NTU"}}},
		} {
			p.speaks(t, strings.Join(strings.Split(p.sheet(), "\n")[1:5], " / "))
		}
	}
	for _, all := range each("jars 1-6 | jars 1 to 6 | all jars | Becher 1-6 | vasos 1-6 | each jar") {
		plainSheet{label: "Coagulant (" + all + ")"}.quiet(t, "Coagulant ("+all+")")
		plainSheet{syringe: true, facts: [][2]string{{"Jar volume", "1 L (" + all + ")"}}}.quiet(t, "1 L ("+all+")")
	}
}

// A second reading of the raw water in one fact is not dropped, nor that of a water which is
// none.
func TestRawReadingsThatAreTwoSpeak(t *testing.T) {
	for _, raw := range each("48 NTU before, 50 after | 48 before / 50 after | 48 NTU, 50 afterwards | 48 NTU then 50 | 48 (later 50) | 48 NTU, second reading 50 | 48 NTU tap | 48 NTU of tap water | " +
		"48 NTU antes, 50 después | 48 NTU vorher, 50 nachher | 48 NTU avant, 50 après | 48 NTU morning, 60 evening | 48 NTU top, 60 bottom") {
		plainSheet{raw: raw}.speaks(t, "Raw | "+raw)
	}
	for _, raw := range each("48 NTU before dosing | 48 NTU at 11 C | 48 NTU, pH 7.4 | 48 NTU (beck) | 48 NTU, 3 May | 48 NTU mean of 3 | 48 NTU (mean of 3 readings) | 48 NTU, n = 3 | 48 NTU, sampled at the weir | " +
		"48 NTU, sampled 8:30 | 48 NTU (untreated) | 48 ± 1 NTU | 48 NTU, taken before the test | 48 NTU from the inlet | 48 NTU, average of 2") {
		plainSheet{raw: raw}.quiet(t, "Raw | "+raw)
	}
}

// A word beside the table that changes what is read in it speaks, though nothing joins it to a
// column.
func TestLooseWordsBesideTheTableSpeak(t *testing.T) {
	for _, word := range each("filtered | centrifuged | diluted | doubled | x10 | filtré | filtriert | filtrado | 过滤 | half | unsettled | before settling | diluted 1:2") {
		for i := range 7 {
			loose := make([]string, 7)
			loose[i] = word
			plainSheet{loose: loose}.speaks(t, word+" beside row "+string(rune('0'+i)))
		}
	}
	for _, word := range each("good | best | ok | 09:30 | see photo") {
		loose := make([]string, 7)
		loose[3] = word
		plainSheet{loose: loose}.quiet(t, word+" beside jar 3")
	}
}

// A share of what was meant speaks under any name; what something removed is a result.
func TestSharesUnderAName(t *testing.T) {
	for _, name := range each("Efficiency | Eficiencia | Rendement | Wirkungsgrad | Effizienz | Eficiência | Rendimento | Verkningsgrad | Sprawność | КПД | 效率 | Efficacy | Yield | Assay | Purity | Recovery | Activity") {
		plainSheet{facts: [][2]string{{name, "90 %"}}}.speaks(t, name+" | 90 %")
		plainSheet{below: name + ": 90 %"}.speaks(t, name+": 90 %")
	}
	for _, name := range each("Removal efficiency | Turbidity removal | Best removal | Humidity | Battery") {
		plainSheet{below: name + ": 90 %"}.quiet(t, name+" | 90 %")
	}
}

// Two amounts joined in one cell are no number: the message names the cell and says what a
// cell may hold.
func TestJoinedAmountsInACell(t *testing.T) {
	for _, cell := range each("10 + 5 | 10+5 | 10 & 5 | 10 and 5 | 10 plus 5 | 10 + 5 mg/L | 10 mg/L + 5 mg/L | 10 then 5") {
		p := plainSheet{doses: []string{cell, "20", "30", "40", "50", "60"}}
		r, _ := Read("s.csv", strings.NewReader(p.sheet()), Options{})
		if !quotes(r, cell) || !quotes(r, "more than one number") {
			t.Errorf("%s: says %v", cell, r.Notes)
		}
		for _, n := range r.Notes {
			if strings.Contains(n.Message, cell) && n.Place.Cell != "B5" {
				t.Errorf("%s: at %v, want B5", cell, n.Place)
			}
		}
	}
}

// A dose cell in words is read where its words are the name of the chemical and the dose; what
// else it says is asked about.
func TestDoseCellsInWords(t *testing.T) {
	for _, cell := range each("half of 10 mg/L | not 10 mg/L | 10 mg/L x 2 | x2 10 mg/L | 10 and 5 mg/L | 2 + 8 mg/L | wrong 10 mg/L | 10 mg/L zorp | twice 10 mg/L | 10 mg/L in 2 L") {
		plainSheet{doses: []string{cell, "20", "30", "40", "50", "60"}}.speaks(t, cell)
	}
	for _, cell := range each("10 mg/L | alum 10 mg/L | 10 mg/L alum | 10 mg/L of alum | dose 10 mg/L") {
		r := mustRead(t, "s.csv", plainSheet{doses: []string{cell, "20", "30", "40", "50", "60"}}.sheet(), Options{})
		if len(loud(r)) > 0 || len(r.Series) != 1 || float64(r.Series[0].Jars[0].Doses[0].Concentration) != 10 {
			t.Errorf("%s: says %v", cell, r.Notes)
		}
	}
	// two readings in a cell are repeats; where they can be a sum they speak
	plainSheet{readings: each("31 + 2 | 14 | 6.2 | 3.1 | 2.4 | 2.9")}.speaks(t, "reading 31 + 2")
	plainSheet{readings: each("31 / 32 | 14 | 6.2 | 3.1 | 2.4 | 2.9")}.quiet(t, "reading 31 / 32")
}
