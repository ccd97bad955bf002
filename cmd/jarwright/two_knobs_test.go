package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// twoKnobs is a pump with a stroke and a speed that is shown in Hz.
const twoKnobs = `
place: {name: "Beck (invented)", purpose: "other", water_passes: "once through", example_values: "no"}
water: {turbidity: "25 NTU"}
flow: {average_flow: "12 m3/h"}
chemicals: [{name: "alum", product: "alum-liquid", dose: "20 mg/L", basis: "as product", density: "1.33 kg/L", pump: "P1"}]
pumps: [{name: "P1", largest_rate: "1 L/h", knobs: "speed and stroke", knob_step: "1 %", knob_at_full: "50 Hz"}]
drawdown:
  - {pump: "P1", stroke: "40 %", speed: "20 %", rate: "1.3 mL/min"}
  - {pump: "P1", stroke: "40 %", speed: "60 %", rate: "4 mL/min"}
  - {pump: "P1", stroke: "40 %", speed: "90 %", rate: "6 mL/min"}
  - {pump: "P1", stroke: "80 %", speed: "20 %", rate: "2.6 mL/min"}
  - {pump: "P1", stroke: "80 %", speed: "60 %", rate: "8 mL/min"}
  - {pump: "P1", stroke: "80 %", speed: "90 %", rate: "12 mL/min"}
`

// TestTwoKnobsAreBothSaid: wherever a setting is given, the stroke and what the speed shows in Hz stand beside its per cent. Half a Hz is one
// per cent of 50 Hz.
func TestTwoKnobsAreBothSaid(t *testing.T) {
	t.Parallel()
	site := filepath.Join(t.TempDir(), "site.yaml")
	write(t, site, twoKnobs)
	for _, command := range []string{"plan", "pump"} {
		text := answer(t, command, site)
		head, _, _ := strings.Cut(text, "> ")
		if !strings.Contains(head, " Hz), at stroke ") && !strings.Contains(head, " Hz),\nat stroke ") {
			t.Errorf("%s answers without Hz and stroke:\n%s", command, head)
		}
		for _, line := range strings.Split(text, "\n") {
			if strings.Contains(line, "set to") && !(strings.Contains(line, "Hz") && strings.Contains(line, "stroke")) || strings.HasPrefix(line, "Setting ") && !strings.Contains(line, "Hz") {
				t.Errorf("%s: %q", command, line)
			}
		}
	}
	var plan struct {
		Feeds []struct {
			Pump struct {
				Knob, Stroke struct{ Value float64 }
				OnScale      struct{ Value float64 } `json:"on_scale"`
			}
		}
	}
	answered(t, &plan, "plan", site)
	if p := plan.Feeds[0].Pump; p.Stroke.Value <= 0 || p.OnScale.Value != p.Knob.Value/2 {
		t.Errorf("%+v", p)
	}
}
