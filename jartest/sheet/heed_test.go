package sheet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// loud gives the codes of what is more than a note.
func loud(r Result) []string {
	var out []string
	for _, n := range r.Notes {
		if n.Level != note.Info {
			out = append(out, n.Code)
		}
	}
	return out
}

// Facts on stock and jar with something left over: the dose of the jar that got 2 mL by
// hand, 0 where it cannot be said, and whether the sheet must speak.
func TestWhatFactsLeaveOverSpeaks(t *testing.T) {
	for _, c := range []struct {
		facts string
		dose  float64
		says  string
	}{
		{"Alum stock 10 g/L. Jars 1 L.", 2 * 10, ""},
		{"Alum stock 10 g/L, made fresh this morning with distilled water; six 1 L jars", 2 * 10, ""},
		{"Jar volume 2 L, alum stock 20 g/L", 2 * 20 / 2.0, ""},
		{"Jar vol. 0.8 L, alum stock 8 g/L", 2 * 8 / 0.8, ""},
		{"Stock: 50 g alum in a 5 L bucket; jars 2 L", 2 * 10 / 2.0, ""},
		{"Raw water in each beaker: 750 mL; alum stock 1 g/100 mL", 2 * 10 / 0.75, ""},
		{"Alum stock is a 1+9 dilution of a 100 g/L solution; jars 1 L", 2 * 100 / 10.0, ""},
		{"Alum stock 100 g/L, diluted 1:10 before use; jars 1 L", 2 * 100 / 10.0, ""},
		{"Alum stock 100 g/L diluted tenfold; jars 1 L", 2 * 100 / 10.0, ""},
		{"Working solution: 10 mL of 100 g/L alum stock made up to 100 mL; jars 1 L", 2 * 100 * 10 / 100.0, ""},
		{"Alum stock 10 g/L. Jars 1 L, filled to 800 mL.", 2 * 10 / 0.8, ""},
		{"1 mL alum stock per L = 10 mg/L; jars 2 L", 2 * 10 / 2.0, ""},
		{"Alum stock about 10 g/L. Jars 1 L.", 2 * 10, "fact-words"},
		{"Alum stock 10 g/L? Jars 1 L.", 2 * 10, "fact-words"},
		{"Alum stock 10 g/L (vexol). Jars 1 L.", 2 * 10, "fact-words"},
		{"Alum stock 10-20 g/L. Jars 1 L.", 0, "fact-words"},
		{"Alum stock 10 g/L. Jars 1 L or 2 L.", 0, "fact-words"},
		{"Alum stock 10 g/L. 1 L jars except jar 6 (2 L).", 0, "facts-disagree"},
		{"Half-strength alum stock 10 g/L. Jars 1 L.", 0, "fact-words"},
		{"Alum stock 10 g/L, was used twice diluted. Jars 1 L.", 0, "fact-words"},
		{"Alum stock 10 g/L x 2. Jars 1 L.", 0, "fact-words"},
	} {
		r := mustRead(t, "s.csv", `"`+c.facts+`"`+"\nJar,Alum stock (mL),NTU\n1,0,30\n2,2,12\n3,4,5\n4,6,4\n", Options{})
		got := 0.0
		if len(r.Series) == 1 {
			got = float64(r.Series[0].Jars[1].Doses[0].Concentration)
		}
		codes := loud(r)
		if math.Abs(got-c.dose) > 1e-9*c.dose || c.says == "" && len(codes) > 0 || c.says != "" && !slices.Contains(codes, c.says) {
			t.Errorf("%s: %g mg/L, want %g; says %v, want %q", c.facts, got, c.dose, codes, c.says)
		}
	}
}

// Lines on the raw water: the readings taken, and what must be said of the rest.
func TestRawWaterIsTakenOrSpokenOf(t *testing.T) {
	const ntu, ph, temp = jartest.Turbidity, jartest.PH, jartest.TemperatureKey
	for _, c := range []struct {
		line string
		raw  map[jartest.Key]float64
		says string
	}{
		{`"Raw turbidity 57 ± 2 NTU"`, map[jartest.Key]float64{ntu: 57}, ""},
		{`"Water temperature 12 °C"`, map[jartest.Key]float64{temp: 12}, ""},
		{`"Raw water 11.5 C, 57 NTU, UV254 0.214 /cm"`, map[jartest.Key]float64{temp: 11.5, ntu: 57, jartest.UV254: 0.214}, ""},
		{`Pond water: 57 NTU, pH 7.6, 11 C`, map[jartest.Key]float64{ntu: 57, ph: 7.6, temp: 11}, ""},
		{`Raw water,Turbidity 57 NTU,pH 7.6,Alkalinity 104 mg/L CaCO3`, map[jartest.Key]float64{ntu: 57, ph: 7.6, jartest.AlkalinityKey: 104}, ""},
		{`"Raw turbidity readings: 50, 52 and 54 NTU"`, map[jartest.Key]float64{ntu: (50 + 52 + 54) / 3.0}, ""},
		{"Jar test 1\nRaw turbidity,57 NTU,Temperature,18 C", map[jartest.Key]float64{ntu: 57, temp: 18}, ""},
		{"混凝试验\n原水浊度,57 NTU,原水pH,7.6", map[jartest.Key]float64{ntu: 57, ph: 7.6}, ""},
		{`"Raw 52 and 90 NTU"`, nil, "raw-list"},
		{`"Raw turbidity 52 or 90 NTU"`, nil, "raw-list"},
		{`"Raw 52 NTU (or 65?)"`, nil, "raw-twice"},
		{`"Raw turbidity 52 NTU x 10"`, nil, "fact-words"},
		{`"Raw turbidity 52? NTU"`, map[jartest.Key]float64{ntu: 52}, "fact-words"},
		{`"twice Raw turbidity: 52 NTU"`, nil, "fact-words"},
		{`"Raw Quillap water turbidity: 52 NTU"`, map[jartest.Key]float64{ntu: 52}, "fact-words"},
		{`"Raw pH 7.4, adjusted to 6.5 with acid"`, map[jartest.Key]float64{ph: 7.4}, "fact-words"},
		{`"Raw water diluted 1:2 with tap water, 52 NTU"`, map[jartest.Key]float64{ntu: 52}, "fact-words"},
		{`"Raw turbidity last week 95 NTU"`, nil, ""},
		{`"Raw 52 FAU"`, nil, "raw-unit"},
		{`"Raw turbidity 52 mg/L"`, nil, "raw-unit"},
		{`"Raw water 52"`, nil, "line-not-taken"},
		{`"Raw alkalinity 6"`, map[jartest.Key]float64{jartest.AlkalinityKey: 6}, "raw-unit"},
		{`"Raw alkalinity 106"`, map[jartest.Key]float64{jartest.AlkalinityKey: 106}, ""},
		{`"Raw UV254 10 1/cm"`, nil, "raw-unlikely"},
		{"Raw turbidity,95 NTU\nRaw turbidity,285 NTU", nil, "facts-disagree"},
		{"Raw turbidity,95 NTU\nRaw turbidity,95 NTU", map[jartest.Key]float64{ntu: 95}, ""},
	} {
		r := mustRead(t, "s.csv", c.line+"\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n", Options{})
		got, codes := r.Series[0].Raw, loud(r)
		ok := len(got) == len(c.raw)
		for k, v := range c.raw {
			ok = ok && math.Abs(got[k].Value-v) < 1e-9
		}
		if !ok || c.says == "" && len(codes) > 0 || c.says != "" && !slices.Contains(codes, c.says) {
			t.Errorf("%s: raw %v, want %v; says %v, want %q", c.line, got, c.raw, codes, c.says)
		}
	}
}

// Two facts of a kind that differ are both quoted, wherever they stand.
func TestFactsThatDifferSpeak(t *testing.T) {
	for facts, want := range map[string]string{
		"Polymer 0.5 mg/L in every jar\nPolymer 2 mg/L in every jar":                 "2 mg/L",
		"Coagulant: alum\nCoagulant: ferric chloride":                                "ferric chloride",
		"Target: turbidity <= 5 NTU\nTarget: turbidity <= 2 NTU":                     "2 NTU",
		"Alum stock: 10 g/L\nAlum stock: 20 g/L":                                     "20 g/L",
		"Polymer 0.5 mg/L in every jar\nJar volume: 1 L\nTarget: turbidity <= 5 NTU": "",
	} {
		r := mustRead(t, "s.csv", facts+"\n\nJar,Dose (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n", Options{})
		said := ""
		for _, n := range r.Notes {
			if n.Code == "facts-disagree" {
				said += n.Message
			}
		}
		if want == "" && said != "" || !strings.Contains(said, want) {
			t.Errorf("%s: says %q, want %q", facts, said, want)
		}
	}
}

// A line that speaks of the jars and is no fact is quoted, in any place; one that is
// made of harmless words is not. The jars stay.
func TestLinesOnTheJarsSpeak(t *testing.T) {
	const jars = "Jar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n"
	for line, speaks := range map[string]bool{
		"Jar 3 was from another pond": true, "Jar 2 got no chemical": true, "Ignore jar 2": true, "Jar 3 excluded": true, "Beaker 4 leaked": true,
		"The real doses are twice those in the table": true, "All doses are in grains per gallon": true, "Readings were taken before settling": true,
		"NB jar 2 and 3 have been exchanged": true, "Jar 3: dose was 60": true, "Jar 4 was a repeat of jar 3": true,
		"Doses below are out by a factor of ten": true, "Turbidity meter reads 10 % high today": true, "Jars 4-6 settled 60 min and the others 30 min": true,
		"The alum had partly caked and dissolved only halfway": true, "Samples filtered before reading": true, "Turbidity in FAU": true,
		"Samples filtered 0.45 um for UV254": false, "The alum was dissolved in tap water": false,
		"Jars stirred 1 min at 200 rpm": false, "All jars were settled for 30 min before reading": false, "Flocs first seen in jar 4": false,
		"Jar 4 looked clearest": false, "Turbidity read after 30 min settling": false, "Samples taken 2 cm below the surface": false,
		"Doses in mg/L as product": false, "Jar test at Beck Farm": false, "Samples drawn from each jar with a syringe": false, "Best result: jar 4": false,
	} {
		for _, file := range []string{line + "\n" + jars, line + "\n\n" + jars, jars + "\n" + line + "\n", "Jar test\n" + line + "\n" + jars} {
			r := mustRead(t, "s.csv", file, Options{})
			said := false
			for _, n := range r.Notes {
				said = said || n.Level != note.Info && strings.Contains(strings.ToLower(n.Message), strings.ToLower(line))
			}
			if said != speaks || len(r.Series) != 1 || len(r.Series[0].Jars) != 4 {
				t.Errorf("%q: %d series, says %v, want it quoted: %v", file, len(r.Series), loud(r), speaks)
			}
		}
	}
}

// A caution says what was done: the basis that a line gave, the product that a density is
// of, the reading that a heading with two chemicals is.
func TestCautionsSayWhatWasDone(t *testing.T) {
	for _, c := range []struct{ sheet, says, never string }{
		{"\"Doserna i tabellen är angivna som Al, inte som produkt.\"\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n", "taken from the line: basis", "nothing was changed"},
		{"Jar 2 was from another pond\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n", "nothing was changed", "taken from the line"},
		{"Density 1.32 kg/L\n\nJar,Alum (mL/m3),NTU\n1,0,50\n2,10,12\n3,20,5\n", "", "stock is taken"},
		{"Alum stock 10 g/L\n\nJar,Alum (mL/L),NTU\n1,0,50\n2,1,12\n3,2,5\n", "stock is taken", ""},
		{"Jar,Alum (mg/L),Alum + polymer NTU\n1,0,50\n2,10,12\n3,20,5\n", "taken for turbidity", "dose of the two together"},
		{"Jar,Alum + polymer (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n", "dose of the two together", "taken for turbidity"},
	} {
		r := mustRead(t, "s.csv", c.sheet, Options{})
		if said := len(loud(r)) == 0 && c.says == "" || quotes(r, c.says); !said || c.never != "" && quotes(r, c.never) {
			t.Errorf("%s: says %v", c.sheet, r.Notes)
		}
	}
}

// The unit of a target without a name says what it is of; one of many readings does not.
func TestTargetByItsUnit(t *testing.T) {
	for line, want := range map[string]string{"Target: < 5 NTU": "turbidity <= 5 NTU", "Target: 5 mg/L": "", "Target: 5": ""} {
		r := mustRead(t, "s.csv", line+"\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n", Options{})
		got := ""
		for _, x := range r.Series[0].Targets {
			got += x.String()
		}
		if got != want || slices.Contains(loud(r), "target-unclear") != (want == "") {
			t.Errorf("%s: %q, want %q; says %v", line, got, want, loud(r))
		}
	}
}

// A kind of which one wants more and another less takes no side by itself.
func TestTargetWithoutSide(t *testing.T) {
	for line, want := range map[string]string{
		"Target settled volume (mL/L),12": "", "Target settled volume,12 mL/L": "", "Target pH,6.5": "", "Target conductivity,300 uS/cm": "", "Target zeta,-5 mV": "",
		"Target settled volume (mL/L),<= 12": "settled volume <= 12 mL/L", "Target pH,>= 6.5": "ph >= 6.5", "Target,settled volume between 4 mL/L and 12 mL/L": "settled volume >= 4 mL/L settled volume <= 12 mL/L",
		"Target turbidity (NTU),5": "turbidity <= 5 NTU", "Target alkalinity,40 mg/L CaCO3": "alkalinity >= 40 mg/L CaCO3", "Target turbidity removal (%),90": "turbidity removal >= 90 %",
	} {
		r := mustRead(t, "s.csv", line+"\n\nJar,Alum (mg/L),NTU,Settled volume (mL/L)\n1,0,50,2\n2,10,12,8\n3,20,5,14\n", Options{})
		got := []string{}
		for _, x := range r.Series[0].Targets {
			got = append(got, x.String())
		}
		if strings.Join(got, " ") != want || slices.Contains(loud(r), "target-side") != (want == "") {
			t.Errorf("%s: %q, want %q; says %v", line, got, want, loud(r))
		}
	}
}
