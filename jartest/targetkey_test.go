package jartest

import (
	"strings"
	"testing"
)

// TestParseTargets: targets as the trade states them.
func TestParseTargets(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"zeta between -5 and 5 mV", "zeta >= -5 mV; zeta <= 5 mV"},
		{"ph between 6.5 and 7.5", "ph >= 6.5; ph <= 7.5"},
		{"settled volume between 10 mL/L and 40 mL/L", "settled volume >= 10 mL/L; settled volume <= 40 mL/L"},
		{"turbidity at 30 min <= 5 NTU", "turbidity at 30 min <= 5 NTU"},
		{"turbidity removal after 10 minutes >= 90 %", "turbidity removal at 10 min >= 90 %"},
		{"turbidity at 30 min removal >= 90 %", "turbidity removal at 30 min >= 90 %"},
		{"iron <= 0.3 mg/L", "residual fe <= 0.3 mg/L"},
		{"aluminium <= 200 ug/L", "residual al <= 0.2 mg/L"},
		{"Manganese <= 50 ug/L", "manganese <= 50 ug/L"},
		{"filtered turbidity <= 0.3 NTU", "filtered_turbidity <= 0.3 NTU"},
		{"toc slope 0.3 mg/L per 10 mg/L", "toc slope 0.03 mg/L per mg/L"},
		{"toc slope 300 ug/L per 10 mg/L", "toc slope 0.03 mg/L per mg/L"},
		{"toc slope 0.3 mg/L TOC per 10 mg/L of alum", "toc slope 0.03 mg/L per mg/L"},
		{"toc slope 0.4 mg/L per mg/L as Al", "toc slope 0.4 mg/L per mg/L as Al"},
		{"toc slope 0.4 per mg/L as Al", "toc slope 0.4 mg/L per mg/L as Al"},
	} {
		all, err := ParseTargets(c.text)
		var got []string
		for _, g := range all {
			got = append(got, g.String())
			if back, err := ParseTarget(g.String()); err != nil || back != g {
				t.Errorf("%q: %q reads back as %+v, %v; was %+v", c.text, g.String(), back, err, g)
			}
		}
		if err != nil || strings.Join(got, "; ") != c.want {
			t.Errorf("%q = %q, %v; want %q", c.text, got, err, c.want)
		}
	}
	for text, why := range map[string]string{
		"zeta between 5 and -5 mV":        "ends below where it begins",
		"zeta between -5 and 5 NTU":       "not read in",
		"zeta between -5":                 "no <= or >=",
		"toc slope 0.3 mg/L":              "does not say per how much dose",
		"toc slope 0.3 mg/L per 10 NTU":   "where the dose belongs",
		"toc slope 0.3 mg/L per 0 mg/L":   "not above zero",
		"toc slope 0.3 NTU per 10 mg/L":   "not read in",
		"toc slope 0.3 mg/L per mg/L tea": "not known",
	} {
		if _, err := ParseTargets(text); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%q: %v, want %q", text, err, why)
		}
	}
}

// TestReads: a target finds the reading of a series under the name, in the unit and at
// the time that the sheet has it.
func TestReads(t *testing.T) {
	at := func(v, minutes float64, unit string) Reading {
		return Reading{State: Number, Value: v, Unit: unit, Minutes: minutes}
	}
	s := Series{Jars: []Jar{{Readings: Readings{
		{Key: Turbidity, Reading: at(3, 30, "NTU")}, {Key: "turbidity_10_min", Reading: at(12, 10, "NTU")}, {Key: "filtered_turbidity_ntu", Reading: at(0.2, 0, "NTU")},
		{Key: "manganese_mg_l", Reading: at(0.1, 0, "mg/L")}, {Key: ResidualFe, Reading: at(0.2, 0, "mg/L")}, {Key: TSSRemoval, Reading: at(90, 0, "%")}, {Key: "floc_rating", Reading: at(3, 0, "")},
	}}}}
	for _, c := range []struct{ text, key, unit, fault string }{
		{"turbidity <= 5 NTU", "turbidity", "NTU", ""},
		{"settled turbidity <= 5 NTU", "turbidity", "NTU", ""},
		{"turbidity at 30 min <= 5 NTU", "turbidity", "NTU", ""},
		{"turbidity at 10 min <= 5 NTU", "turbidity_10_min", "NTU", ""},
		{"turbidity at 20 min <= 5 NTU", "", "", "the sheet has 10 min and 30 min"},
		{"residual fe at 20 min <= 5 mg/L", "", "", "does not say when"},
		{"filtered turbidity <= 0.3 NTU", "filtered_turbidity_ntu", "NTU", ""},
		{"manganese <= 50 ug/L", "manganese_mg_l", "mg/L", ""},
		{"mn <= 0.05 mg/L", "manganese_mg_l", "mg/L", ""},
		{"manganese <= 5 NTU", "", "", "is read in mg/L"},
		{"iron <= 0.3 mg/L", "residual_fe", "mg/L", ""},
		{"tss removal >= 80 %", "tss_removal", "%", ""},
		{"turbidity removal >= 80 %", "turbidity", "%", ""},
		{"turbidity_removal >= 80 %", "turbidity", "%", ""},
		{"floc_rating >= 3", "floc_rating", "", ""},
		{"colour <= 10 Pt-Co", "", "", "no jar of the series has a reading of colour"},
	} {
		g, err := ParseTarget(c.text)
		if err != nil {
			t.Fatal(err)
		}
		f, err := s.Reads(g)
		if c.fault != "" {
			if err == nil || !strings.Contains(err.Error(), c.fault) {
				t.Errorf("%q: %+v, %v; want %q", c.text, f, err, c.fault)
			}
			continue
		}
		if err != nil || string(f.Key) != c.key || f.Unit != c.unit || f.Minutes != 0 {
			t.Errorf("%q: %+v, %v", c.text, f, err)
		}
		if strings.Contains(c.text, "50 ug/L") && f.Value != 0.05 {
			t.Errorf("%q: %g mg/L", c.text, f.Value)
		}
	}
}

// A reading without a unit is not taken to be in the target's: 500 ug/L may be 0.5 of what was read.
func TestTargetOfReadingWithoutUnit(t *testing.T) {
	s := Series{Name: "well", Jars: []Jar{{Readings: Readings{{"manganese", Num(0.8, "")}}}, {Readings: Readings{{"manganese", Num(0.3, "")}}}}}
	for text, refused := range map[string]bool{"manganese <= 500 ug/L": true, "manganese <= 0.5": false} {
		target, err := ParseTarget(text)
		if err != nil {
			t.Fatal(err)
		}
		if _, err = s.Reads(target); (err != nil) != refused || refused && !strings.Contains(err.Error(), "no unit in its heading") {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// Readings of one name that were taken at several times answer no target at one of them.
func TestTargetAtATimeThatOnlySomeJarsHave(t *testing.T) {
	at := func(v, minutes float64) Jar {
		return Jar{Readings: Readings{{Turbidity, Reading{State: Number, Value: v, Unit: "NTU", Minutes: minutes}}}}
	}
	target, err := ParseTarget("turbidity at 60 min <= 5 NTU")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		jars  []Jar
		fault string
	}{
		{[]Jar{at(30, 60), at(4, 60)}, ""},
		{[]Jar{at(30, 30), at(4, 60)}, "only some jars of series well have a reading of turbidity at 60 min; the sheet has 30 min and 60 min"},
		{[]Jar{at(30, 30), at(4, 30)}, "the sheet has 30 min"},
		{[]Jar{at(30, 0), at(4, 60)}, "the sheet has 60 min"},
		{[]Jar{at(30, 60), {Readings: Readings{{Turbidity, Reading{Unit: "NTU"}}}}}, ""}, // one was not read at all
	} {
		_, err := Series{Name: "well", Jars: c.jars}.Reads(target)
		if c.fault == "" && err != nil || c.fault != "" && (err == nil || !strings.Contains(err.Error(), c.fault)) {
			t.Errorf("%v: %v, want %q", c.jars, err, c.fault)
		}
	}
}

// TestInfoOfTimedReadings: a reading at a settling time of its own has the unit and the bounds of its
// kind and says its time; a user's own column has the words and the unit of its heading.
func TestInfoOfTimedReadings(t *testing.T) {
	k := Turbidity + "_10_min"
	got, kind := k.Info(), Turbidity.Info()
	if got.Key != k || got.Label != "turbidity at 10 min" || got.Unit != "NTU" || got.Least != kind.Least || got.Most != kind.Most || !got.LowIsGood {
		t.Errorf("%+v", got)
	}
	if alk := (AlkalinityKey + "_30_min").Info(); alk.LowIsGood != AlkalinityKey.Info().LowIsGood || alk.Unit != AlkalinityKey.Info().Unit {
		t.Errorf("%+v", alk)
	}
	for heading, want := range map[string][2]string{
		"floc size 10 min": {"floc size at 10 min", ""}, "manganese (mg/L)": {"manganese", "mg/L"}, "Mn, residual [ug/L]": {"Mn residual", "ug/L"},
		"DOM mg/l": {"DOM", "mg/L"}, "hardness mg CaCO3": {"hardness mg CaCO3", ""}, "floc volume ml/L": {"floc volume", "mL/L"}, "mg/L": {"mg l", ""},
	} {
		if own := Slug(heading).Info(); own.Label != want[0] || own.Unit != want[1] {
			t.Errorf("%q: %+v", heading, own)
		}
	}
}
