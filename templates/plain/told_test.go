package plain

import "testing"

// TestPaper: the signs of paper, after the SI brochure, 9th edition, 5.4.3 (a space between number and unit; from memory).
func TestPaper(t *testing.T) {
	for typed, want := range map[string]string{
		"3.6 m3/h at -4 C":             "3.6\u00a0m³/h at −4\u00a0°C",
		"64 mg/L CaCO3, 12 mg/L CO2":   "64\u00a0mg/L CaCO₃, 12\u00a0mg/L CO₂",
		"turbidity <= 5 NTU, 90 %":     "turbidity at most 5\u00a0NTU, 90\u00a0%",
		"3 x 33 kg, see `clarify`":     "3 × 33\u00a0kg, see “clarify”",
		"jar 5 to 7, alum 14-hydrate":  "jar 5 to 7, alum 14-hydrate",
		"Mon 2 March 2026, 06:00":      "Mon 2 March 2026, 06:00",
		"bench.xlsx: Bench!C3, pump-2": "bench.xlsx: Bench!C3, pump-2",
	} {
		if got := Paper(typed); got != want {
			t.Errorf("%q: %q, not %q", typed, got, want)
		}
	}
}
