package sheet

import (
	"slices"
	"strings"
	"testing"
)

// Words that plain sheets use are understood and raise no caution; the same beside what bears on the numbers speak.
func TestPlainWordsAreQuiet(t *testing.T) {
	for _, p := range []plainSheet{
		{facts: [][2]string{{"Raw water for both tests", "48 NTU"}}}, {facts: [][2]string{{"Raw water turbidity for all tests", "48 NTU"}}}, {facts: [][2]string{{"Rohwasser für beide Versuche", "48 NTU"}}},
		{column: each("Floc | small | slimy | stringy | good | good | large")}, {column: each("Remarks | small | slimy | slimy floc | good | good | large, slimy")},
		{column: each("NTU next morning | 20 | 9 | 4 | 2 | 1.5 | 1.8")}, {column: each("Turbidity (NTU) next day | 20 | 9 | 4 | 2 | 1.5 | 1.8")},
		{column: each("SAK 254 | 12.1 | 9.4 | 7.2 | 6.1 | 5.8 | 5.7")}, {column: each("Temp (град) | 12 | 12 | 12 | 12 | 12 | 12")},
		{top: "烧杯试验 – 3号池"}, {coagulant: "PAC-18"}, {top: "Lime 20 mg/L added before the alum"}, {below: "Kalk 20 mg/L vor dem Alaun zugegeben"},
		{below: "Chosen dose,60 mg/L"},
	} {
		p.quiet(t, p.top+p.below+p.coagulant+strings.Join(p.column, "/"))
	}
	for _, p := range []plainSheet{
		{column: each("Remarks | small | slimy, spilt | good | good | good | good")},
		{column: each("NTU at another time | 20 | 9 | 4 | 2 | 1.5 | 1.8")}, {column: each("SAK 254 | 0.121 | 0.094 | 0.072 | 0.061 | 0.058 | 0.057")},
		{top: "烧杯试验 3号 洒了"}, {top: "Lime 20 mg/L added before"}, {top: "Lime 20 mg/L added in place of the alum"}, {top: "Chosen dose,60 mg/L polymer"},
	} {
		p.speaks(t, p.top+p.below+strings.Join(p.column, "/")+p.raw)
	}
	r := mustRead(t, "s.csv", plainSheet{top: "Lime 20 mg/L added before the alum"}.sheet(), Options{})
	for i, j := range r.Series[0].Jars {
		if len(j.Doses) != 2 || j.Doses[1].Concentration != 20 {
			t.Errorf("lime in jar %d: %v", i+1, j.Doses)
		}
	}
}

// A volume of buckets is that of the jars where nothing else says how large these are.
func TestBucketsAreJars(t *testing.T) {
	const jars = "Jar,Stock added (mL),Turbidity (NTU)\n1,20,31\n2,40,14\n3,60,6\n4,80,3\n" // 20 mL of 10 g/L into 20 L is 10 mg/L
	for facts, want := range map[string]float64{
		"Buckets,20 L\nStock,10 g/L\n": 40, "Baldes,20 L\nStock,10 g/L\n": 40, "Buckets,20 L\nJar volume,1 L\nStock,10 g/L\n": 800,
		"Bucket,20 L\nStock,10 g/L\n": 0, "Stock buckets,20 L\nStock,10 g/L\n": 0,
	} {
		r := mustRead(t, "s.csv", "Coagulant,Alum\n"+facts+jars, Options{})
		if asked := r.Notes.Err() != nil; asked != (want == 0) {
			t.Errorf("%q: asked %v, %v", facts, asked, r.Notes)
		} else if !asked && (float64(r.Series[0].Jars[3].Doses[0].Concentration) != want || len(loud(r)) > 0) {
			t.Errorf("%q: %v, want %g mg/L; %v", facts, r.Series[0].Jars[3].Doses, want, r.Notes)
		}
	}
}

// A row that names the dose chosen and has no reading is no jar, whoever words it; with a reading it is asked about.
func TestRowOfTheChosenDose(t *testing.T) {
	for row, want := range map[string]string{
		"Selected dose,40,": "", "Dose chosen,40,": "", "Chosen dose,40,": "", "Recommended dose,40 ppm,": "", "Selected dose,35,4": "row-not-a-jar", "Seventh of them,40,": "row-not-a-jar",
	} {
		r := mustRead(t, "s.csv", plainSheet{below: "ROW"}.sheet(), Options{})
		if len(r.Series) != 1 {
			t.Fatal(r.Notes)
		}
		r = mustRead(t, "s.csv", strings.Replace(plainSheet{below: "ROW"}.sheet(), "ROW", row, 1), Options{})
		if said := loud(r); len(r.Series[0].Jars) != 6 || want == "" && len(said) > 0 || want != "" && !slices.Contains(said, want) {
			t.Errorf("%s: %d jars, says %v", row, len(r.Series[0].Jars), r.Notes)
		}
	}
}
