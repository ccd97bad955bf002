package jartest

import (
	"strings"
	"testing"
)

func TestParseTarget(t *testing.T) {
	for _, c := range []struct {
		text string
		want Target
	}{
		{"turbidity <= 5 NTU", Target{Key: Turbidity, Value: 5, Unit: "NTU"}},
		{"Turbidity ≤ 5 ntu", Target{Key: Turbidity, Value: 5, Unit: "NTU"}},
		{"turbidity<=5FNU", Target{Key: Turbidity, Value: 5, Unit: "NTU"}},
		{"ph >= 6.5", Target{Key: PH, AtLeast: true, Value: 6.5}},
		{"turbidity removal >= 90 %", Target{Key: Turbidity, Kind: Removal, AtLeast: true, Value: 90, Unit: "%"}},
		{"turbidity_removal >= 90 %", Target{Key: Turbidity, Kind: Removal, AtLeast: true, Value: 90, Unit: "%"}},
		{"log10_removal_pcstar >= 1", Target{Key: "log10_removal_pcstar", AtLeast: true, Value: 1}},
		{"turbidity within 10 % of best", Target{Key: Turbidity, Kind: WithinBest, Value: 10, Unit: "%"}},
		{"toc slope 0.03", Target{Key: TOC, Kind: Slope, Value: 0.03}},
		{"residual al <= 200 ug/L", Target{Key: "residual_al", Value: 0.2, Unit: "mg/L"}},
		{"uv254 <= 5 1/m", Target{Key: UV254, Value: 0.05, Unit: "1/cm"}},
		{"zeta >= -5 mV", Target{Key: Zeta, AtLeast: true, Value: -5, Unit: "mV"}},
	} {
		got, err := ParseTarget(c.text)
		if err != nil || got != c.want {
			t.Errorf("ParseTarget(%q) = %+v, %v; want %+v", c.text, got, err, c.want)
			continue
		}
		if back, err := ParseTarget(got.String()); err != nil || back != got {
			t.Errorf("%q does not read back: %+v, %v", got.String(), back, err)
		}
	}
}

func TestTargetWords(t *testing.T) {
	for text, want := range map[string][2]string{
		"turbidity <= 5 NTU":                     {"turbidity <= ", " NTU"},
		"ph >= 6.5":                              {"ph >= ", ""},
		"turbidity removal >= 90 %":              {"turbidity removal >= ", " %"},
		"turbidity within 10 % of best":          {"turbidity within ", " % of best"},
		"toc slope 0.03 mg/L per mg/L":           {"toc slope ", " mg/L per mg/L"},
		"turbidity slope 0.1 NTU per mg/L as Al": {"turbidity slope ", " NTU per mg/L as Al"},
		"ph slope 0.1 per mg/L":                  {"ph slope ", " per mg/L"},
		"log10_removal_pcstar >= 1":              {"log10_removal_pcstar >= ", ""},
		"residual al <= 0.2 mg/L":                {"residual al <= ", " mg/L"},
	} {
		g, err := ParseTarget(text)
		if err != nil {
			t.Fatal(err)
		}
		if before, after := g.Words(); before != want[0] || after != want[1] || g.String() != text {
			t.Errorf("%s: %q and %q about %q", text, before, after, g.String())
		}
	}
}

func TestSample(t *testing.T) {
	s := Series{Raw: map[Key]Reading{Turbidity: Num(46, "NTU")}, Meta: []Fact{{Name: "remark", Value: "spate"}, {Name: "date", Value: "2026-03-02"}}}
	if got := s.Sample(); got.Date != "2026-03-02" || got.Turbidity.Value != 46 || got.Turbidity.State != Number {
		t.Errorf("the sample is %+v", got)
	}
	if got := (Series{}).Sample(); got.Date != "" || got.Turbidity.State != Missing {
		t.Errorf("a sample nobody told of is %+v", got)
	}
}

func TestParseTargetRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                           "empty",
		"turbidity 5 NTU":            "no <= or >=",
		"turbidity <= 5":             "no unit",
		"turbidity <= 5 FAU":         "not read in",
		"turbidity <= five NTU":      "no number",
		"ph >= 17":                   "outside",
		"turbidity removal >= 90":    "in %",
		"turbidity removal <= 90 %":  "use >=",
		"turbidity removal >= 120 %": "over 100",
		"<= 5 NTU":                   "names no reading",
		"toc slope -1":               "above zero",
		"turbidity within 5 NTU":     "within N % of best",
	} {
		if got, err := ParseTarget(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("ParseTarget(%q) = %+v, %v; want an error with %q", text, got, err, want)
		}
	}
}

func FuzzParseTarget(f *testing.F) {
	for _, s := range []string{"turbidity <= 5 NTU", "toc slope 0.03", "turbidity within 10 % of best", "x>=1e9"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := ParseTarget(s)
		if err != nil {
			return
		}
		if back, err := ParseTarget(got.String()); err != nil || back != got {
			t.Errorf("%q gave %+v, whose text %q gives %+v, %v", s, got, got.String(), back, err)
		}
	})
}
