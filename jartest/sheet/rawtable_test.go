package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// A title that names the raw water, a row of headings and one number under each are its readings; with
// two numbers under a heading the table speaks, and gives none.
func TestRawWaterInATableOfItsOwn(t *testing.T) {
	const head = "\nTemp (°C),pH,Turbidity (NTU),Alkalinity (mg/L CaCO3)\n11,7.4,29,58\n"
	const jars = "\nJar,Alum (mg/L),Turbidity (NTU),pH\n1,10,15,7.2\n2,20,9,7.1\n3,30,4,7.0\n4,40,2,6.9\n"
	for _, title := range []string{"RAW WATER", "Raw water", "Raw water:", "Rohwasser", "Eau brute"} {
		r := mustRead(t, "s.csv", title+head+jars, Options{})
		if len(r.Series) != 1 || len(loud(r)) > 0 {
			t.Errorf("%s: %d series, %v", title, len(r.Series), r.Notes)
			continue
		}
		raw := r.Series[0].Raw
		for key, want := range map[jartest.Key]float64{jartest.Turbidity: 29, jartest.PH: 7.4, jartest.TemperatureKey: 11, jartest.AlkalinityKey: 58} {
			if got := raw[key].Value; got != want {
				t.Errorf("%s: raw %s %g, want %g", title, key, got, want)
			}
		}
	}
	r := mustRead(t, "s.csv", "RAW WATER"+head+"12,7.5,31,60\n"+jars, Options{})
	if len(r.Series) != 1 || len(r.Series[0].Raw) > 0 || !slices.Contains(loud(r), "raw-table") {
		t.Errorf("two lines of the raw water: %v, %v", r.Series, r.Notes)
	}
	r = mustRead(t, "s.csv", "RAW WATER\nTurbidity (NTU),pH,Quux\n29,7.4,60\n"+jars, Options{})
	if len(r.Series) != 1 || r.Series[0].Raw[jartest.Turbidity].Value != 29 || !slices.Contains(loud(r), "raw-table") {
		t.Errorf("a heading that is no reading: %v", r.Notes)
	}
}

// What no answer has a place for is named once, a day is that of the test, and what is no plain reading speaks.
func TestWhatIsLeftOutOfTheRawWaterSpeaks(t *testing.T) {
	const jars = "\nJar,Alum (mg/L),Turbidity (NTU)\n1,10,15\n2,20,9\n3,30,4\n4,40,2\n"
	for text, want := range map[string]struct{ left, day, loud string }{
		"Raw water\nTurbidity (NTU),UVT (%),pH,Date\n48,71,7.6,3 May 2025\n":                     {"UVT (%)", "3 May 2025", ""},
		"Raw water\nTurbidity (NTU),pH\n48,7.6\n":                                                {"", "", ""},
		"Raw water\nTurbidity (NTU),pH,Sampler\n48,7.6,AB\n":                                     {"", "", ""},
		"Raw water turbidity,48 NTU\nRaw water UVT,71 %\nRaw water hardness,120 mg/L\n":          {"Raw water UVT, Raw water hardness", "", ""},
		"Raw water turbidity,48 NTU\nRaw pH,7.6\n":                                               {"", "", ""},
		"Raw water\nTurbidity (NTU),pH\n48,7.2-7.6\n":                                            {"", "", "raw-table"},
		"Raw water\nTurbidity (NTU),Blorp\n48,7\n":                                               {"", "", "raw-table"},
		"Raw water\nTurbidity (NTU),Sampled\n48,2025-05-03\n":                                    {"", "2025-05-03", ""},
		"Raw water\nParameter,Value,Unit\nTurbidity,48,NTU\nUVT,71,%\nSampled,3 May 2025,\n\n\n": {"UVT", "3 May 2025", ""},
	} {
		r := mustRead(t, "s.csv", text+jars, Options{})
		left, day := "", ""
		for _, n := range r.Notes {
			if n.Code == "raw-left-out" {
				_, left, _ = strings.Cut(n.Message, ": ")
			}
		}
		if len(r.Series) != 1 || r.Series[0].Raw[jartest.Turbidity].Value != 48 {
			t.Errorf("%q: %v, %v", text, r.Series, r.Notes)
			continue
		}
		for _, m := range r.Series[0].Meta {
			if m.Name == "date" {
				day = m.Value
			}
		}
		if left != want.left || day != want.day || strings.Join(loud(r), " ") != want.loud {
			t.Errorf("%q: left out %q, day %q, loud %q; want %+v", text, left, day, loud(r), want)
		}
	}
}
