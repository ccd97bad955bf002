package sheet

import (
	"testing"

	"jarwright/jartest"
)

// TestTemperatureOfTheWater: degrees stand without their sign, beside their name and in a line; the temperature of the laboratory,
// the air or a stock is not that of the water, and is no reason to speak.
func TestTemperatureOfTheWater(t *testing.T) {
	for line, want := range map[string]float64{
		"Water temp,9 C": 9, "Water temp: 9 C": 9, "Water temperature,50 F": 10, "Water temperature,50,F": 10, "Temp,9,C": 9, "temperature 9 C": 9, "Temp 9 C": 9, "Temp 50F": 10,
		"temp. 9 deg C": 9, "Wassertemperatur 9 C": 9, "水温: 12 ℃": 12, "\"Raw: 45 NTU, temp 50 F, pH 7\"": 10, "Water temperature in the lab 12 °C": 12, "Temp of raw water: 50F": 10,
		"Lab temperature 21 °C": 0, "Lab temperature,21 °C": 0, "Stock temperature,21,C": 0, "Stock temperature 21 °C": 0, "Room temp 20 C": 0, "Air temp,3 C": 0,
		"\"Raw water 45 NTU, pH 7.2, lab temperature 21 °C\"": 0, "气温: 12 ℃": 0, "Raumtemperatur: 21 °C": 0,
		"Temperature 9-10 C": -1, "Water temp 9 C (50 F)": -1, // it asks
	} {
		r := mustRead(t, "s.csv", "Jar test\n"+line+"\n\nJar,Alum (mg/L),Turbidity (NTU)\n1,0,44\n2,10,30\n3,20,12\n4,30,4.5\n", Options{})
		if got := r.Series[0].Raw[jartest.TemperatureKey].Value; want >= 0 && !same(got, want) && got != want || (len(loud(r)) > 0) != (want < 0) {
			t.Errorf("%s: %g °C, want %g; says %v", line, got, want, r.Notes)
		}
	}
}
