package clarify

import (
	"strings"

	"jarwright/dosing/gauge"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// ParseRule reads a dose, "12 mg/L", or doses by the reading, "30 NTU=12 mg/L, 0
// NTU=6 mg/L": with between they are points of a curve, straight between them, else steps
// of the higher dose. One alone holds from its reading upwards. key is what the tank is read by; what is read by a
// gauge goes by its scale.
func ParseRule(s string, key jartest.Key, gauges gauge.Gauges, between bool) (Rule, error) {
	if !strings.Contains(s, "=") {
		d, err := quantity.ParseDose(s)
		return Always(d.Concentration), err
	}
	var steps []Step
	for _, part := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ';' }) {
		at, dose, ok := strings.Cut(part, "=")
		if !ok {
			return Rule{}, note.Fault("bad-dose", "dose %q: %q has no \"=\"", s, strings.TrimSpace(part)).
				Do(`write it like "30 NTU=12 mg/L, 0 NTU=6 mg/L"`)
		}
		r, k, err := gauge.Parse(at)
		if err == nil {
			r, k, err = gauges.Read(r, k)
		}
		if err != nil {
			return Rule{}, err
		}
		if k != key && r != 0 {
			return Rule{}, note.Fault("bad-reading", "dose %q goes by %s, the tank by %s", s, gauge.Label(k), gauge.Label(key)).
				Do("use one unit for the tank and its doses")
		}
		d, err := quantity.ParseDose(dose)
		if err != nil {
			return Rule{}, err
		}
		steps = append(steps, Step{r, d.Concentration})
	}
	if between && len(steps) > 1 { // one alone is a step that ends there
		return Following(steps)
	}
	return Stepped(steps)
}
