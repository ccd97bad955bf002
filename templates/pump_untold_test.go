package templates

import (
	"testing"

	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestPumpWithoutADoseToday: where past tests do not reach today's water the headline sets nothing and says why, though the pump
// beside it keeps its figure; where something stops the plan, that is said in its place.
func TestPumpWithoutADoseToday(t *testing.T) {
	why := note.Fault("no-dose", "alum: past tests give no dose: the turbidity of past tests is 12 to 160 NTU, today's 400 NTU")
	cal, err := pump.Fit([]pump.Reading{{Position: pump.Position{Setting: 20}, Rate: 20}, {Position: pump.Position{Setting: 50}, Rate: 50}, {Position: pump.Position{Setting: 80}, Rate: 80}})
	if err != nil {
		t.Fatal(err)
	}
	pumps := func(stopped bool) PumpReport {
		return PumpReport{Pumps: []PumpAnswer{
			{Pump: pump.Pump{Name: "pump 1", Calibration: cal}, Chemical: "alum", Untold: quantity.Some(why), Stopped: stopped},
			{Pump: pump.Pump{Name: "pump 2", Calibration: cal}, Chemical: "polymer"},
		}}
	}
	a := pumps(false).answer(Options{})
	if n := a.Numbers[0]; n.Words != "No dose" || n.Under != "past tests do not reach today's water" || n.For != "Pump 1 (alum)" {
		t.Errorf("%+v", n)
	}
	if n := a.Numbers[1]; n.Words != "" || n.Under != "is about the most that it gives" {
		t.Errorf("%+v", n)
	}
	if want := "Alum: past tests give no dose: the turbidity of past tests is 12 to 160 NTU, today's 400 NTU. Run a jar test of today's water before it is dosed; what else is fed stays as below."; a.Order != want {
		t.Errorf("%s\nwant %s", a.Order, want)
	}
	a = pumps(true).answer(Options{})
	if n := a.Numbers[0]; n.Words != "No setting" || a.Order != "Set nothing before what stops the plan is put right." {
		t.Errorf("%+v, %s", n, a.Order)
	}
}
