package logbook

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// A flow of 7.2 m3/h over 12 h of the day is 86.4 m3, of which 16 L of stock are 185.2 mL a cubic metre; where nobody tells how long it ran it is the
// whole day's 172.8 m3. Hours that are more than the day has, and a time without a unit, tell no water, and speak.
func TestHoursThatTheUnitRan(t *testing.T) {
	for _, x := range []struct {
		head, cell string
		water      quantity.Volume
		notes      string
	}{
		{"Hours run", "12", 86400, ""},
		{"Run time (min)", "720", 86400, ""},
		{"Betriebsstunden", "12", 86400, ""},
		{"Heures de marche", "12", 86400, ""},
		{"Running", "12 h", 86400, ""},
		{"Operator", "12", 172800, ""},
		{"Hours run", "", 172800, ""},
		{"Hours run (h)", "36", 0, "ran-too-long@E3"},
		{"Run time", "12", 0, "column-unit@E2"},
		{"Hours run", "half", 0, "cell-not-used@E2 cell-not-used@E3"},
	} {
		rows := strings.NewReplacer("HEAD", x.head, "CELL", x.cell).Replace("Date,Raw (NTU),Flow (m3/h),Stock used (L),HEAD\n2026-03-01,40,7.2,16,CELL\n2026-03-02,40,7.2,16,CELL\n")
		j := Judge(read(t, "log.csv", rows), Plan{}, nil)
		d := j.Days[1]
		if d.Gone.V != x.water || d.PerWater.OK != (x.water > 0) {
			t.Errorf("%s %q: %v of water", x.head, x.cell, d.Gone)
		}
		if got := strings.Join(codes(j.Notes), " "); !strings.HasPrefix(got, x.notes) || x.notes == "" && got != "" {
			t.Errorf("%s %q: %s", x.head, x.cell, got)
		}
	}
}
