package jartest

import (
	"testing"

	"jarwright/jartest/quantity"
)

// The matrix of step 1, every cell and both sides of its bounds: 40 CFR 141.135(b)(2), from memory.
func TestRequiredTOC(t *testing.T) {
	for _, c := range []struct {
		toc, alk, want float64
	}{
		{2, 30, 0}, {1.2, 200, 0},
		{2.1, 0, 35}, {4, 60, 35}, {3, 60.5, 25}, {4, 120, 25}, {2.5, 121, 15}, {4, 400, 15},
		{4.1, 60, 45}, {8, 10, 45}, {8, 61, 35}, {5, 120, 35}, {6, 120.5, 25}, {8, 300, 25},
		{8.1, 60, 50}, {20, 5, 50}, {9, 100, 40}, {8.2, 120, 40}, {12, 150, 30},
	} {
		if got, ok := RequiredTOC(quantity.Concentration(c.toc), quantity.Alkalinity(c.alk)); got != c.want || ok != (c.want > 0) {
			t.Errorf("TOC %g, alkalinity %g: %g, want %g", c.toc, c.alk, got, c.want)
		}
	}
}

// "toc enhanced" is the removal that the rule asks of the raw water; without that water it asks nothing.
func TestEnhancedTarget(t *testing.T) {
	asked, err := ParseTarget("TOC enhanced")
	if err != nil || asked.String() != "toc enhanced" {
		t.Fatalf("%v %v", asked, err)
	}
	s := Series{Raw: map[Key]Reading{TOC: Num(5.2, "mg/L"), AlkalinityKey: Num(70, "mg/L CaCO3")}, Jars: []Jar{{Readings: Readings{{TOC, Num(3, "mg/L")}}}}}
	if got, err := s.Reads(asked); err != nil || got.String() != "toc removal >= 35 %" || !got.ByRule {
		t.Errorf("%v %v", got, err)
	}
	for _, raw := range []map[Key]Reading{{TOC: Num(1.9, "mg/L"), AlkalinityKey: Num(70, "mg/L CaCO3")}, {TOC: Num(2, "mg/L")}} {
		s.Raw = raw // of which the rule asks none: 40 CFR 141.135(a)(2)(i), from memory
		if got, err := s.Reads(asked); err != nil || got.String() != "toc <= 2 mg/L" || !got.ByRule {
			t.Errorf("little TOC: %v %v", got, err)
		}
	}
	for name, raw := range map[string]map[Key]Reading{"no alkalinity": {TOC: Num(5.2, "mg/L")}, "no TOC": {AlkalinityKey: Num(70, "mg/L CaCO3")}} {
		s.Raw = raw
		if got, err := s.Reads(asked); err == nil {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// TestRawSUVA: 0.108 1/cm are 10.8 1/m, over 4.2 mg/L 2.571 L/mg-m (40 CFR 141.2 has it as UV254 in 1/m over DOC); without one of
// the two, or without carbon, there is none.
func TestRawSUVA(t *testing.T) {
	s := Series{Raw: map[Key]Reading{UV254: Num(0.108, "1/cm"), DOC: Num(4.2, "mg/L")}}
	if v := s.RawSUVA(); !v.OK || v.V < 2.5714 || v.V > 2.5715 {
		t.Errorf("%+v", v)
	}
	s.Raw[DOC] = Num(0, "mg/L")
	none := Series{Raw: map[Key]Reading{UV254: Num(0.108, "1/cm")}}
	if s.RawSUVA().OK || none.RawSUVA().OK || SUVA(0.1, -1).OK {
		t.Error("told without carbon")
	}
}
