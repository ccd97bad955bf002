package flow

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// Milliseconds since midnight, each worked out by hand: 6:15 is 22,500 s.
func TestTimeOfDay(t *testing.T) {
	for text, want := range map[string]int64{
		"": 0, "06:15": 22_500_000, "T6:15:30": 22_530_000, "6.15.30": 22_530_000, "06:15:30.5": 22_530_500, "06:15:30,25": 22_530_250,
		"24:00": 86_400_000, "23:59:60": 86_400_000, "12:30 am": 1_800_000, "12:30 pm": 45_000_000, "1:00 pm": 46_800_000, "1:00 a.m.": 3_600_000,
		"06:15Z": 22_500_000, "06:15 utc": 22_500_000,
		"6": -1, "6:": -1, "6:60": -1, "6:1:61": -1, "24:01": -1, "25:00": -1, "0:59 am": -1, "13:00 pm": -1, "123:00": -1, "6:15x": -1, "06:15.5": -1,
	} {
		got, err := new(clock).timeOfDay([]byte(text))
		if want < 0 && (err == nil || got != 0) || want >= 0 && (err != nil || got != want) {
			t.Errorf("%q: %d, %v, want %d", text, got, err, want)
		}
	}
}

// The wall clock of the first zone stays: 7:15 at +02:00 is 6:15 at +01:00.
func TestZones(t *testing.T) {
	for zone, want := range map[string]int64{"+02:00": 22_500_000, "+0200": 22_500_000, "+02": 22_500_000, "-0130": 35_100_000, "Z": 29_700_000} {
		k := clock{}
		if first, err := k.timeOfDay([]byte("06:15+01:00")); err != nil || first != 22_500_000 {
			t.Fatalf("the first zone: %d, %v", first, err)
		}
		if got, err := k.timeOfDay([]byte("07:15" + zone)); err != nil || got != want {
			t.Errorf("%s: %d, %v, want %d", zone, got, err, want)
		}
	}
	for _, zone := range []string{"+1", "+12345", "+", "CET"} {
		if got, err := new(clock).timeOfDay([]byte("07:15" + zone)); err == nil {
			t.Errorf("%s is read as %d", zone, got)
		}
	}
}

func TestSlashDate(t *testing.T) {
	for text, want := range map[string][2]int{"3/4/2026": {3, 4}, "12-11-26": {12, 11}, "3.4.2026": {}, "2026-03-04": {}, "3/4": {}, "3//2026": {}, "123/4/26": {}, "3/123/26": {}, "3/4-26": {}} {
		if got, ok := slashDate([]byte(text)); got != want || ok != (want != [2]int{}) {
			t.Errorf("%q: %v, %v", text, got, ok)
		}
	}
}

// Days that follow each other are a day apart; read the wrong way they are a month apart.
func TestJumps(t *testing.T) {
	for _, x := range []struct {
		list       [][2]int
		day, month int
	}{
		{[][2]int{{1, 2}, {2, 2}, {3, 2}}, 2, 59},    // 1, 2, 3 February; or 2 January, 2 February, 2 March
		{[][2]int{{12, 12}, {1, 1}, {2, 1}}, 21, 51}, // over the end of the year: 20 days and 1; 20 days and 31
	} {
		if d, m := jumps(x.list, 0), jumps(x.list, 1); d != x.day || m != x.month {
			t.Errorf("%v: %d by day, %d by month, want %d and %d", x.list, d, m, x.day, x.month)
		}
	}
}

// A comma may be the decimal sign unless it stands before three digits.
func TestCommaUse(t *testing.T) {
	for text, want := range map[string][2]int{ // cells with a comma that counts, and unsure ones
		"3,6": {1, 0}, "1,234": {1, 1}, "123,456": {1, 1}, "1234,567": {1, 0}, "0,123": {1, 0}, ",123": {1, 0},
		"1.234,5": {1, 0}, "1,234.5": {0, 0}, "1,234,567": {0, 0}, "12": {0, 0}, "1,23": {1, 0},
	} {
		var u commaUse
		u.add([]byte(text), 1, 2)
		if u.n != want[0] || u.unsure != want[1] {
			t.Errorf("%q: %d, unsure %d", text, u.n, u.unsure)
		}
		if err := u.unclear(false); (err != nil) != (want[1] == 1) {
			t.Errorf("%q: %v", text, err)
		} else if err != nil && (note.Of(err, "")[0].Cell != "B2" || !strings.Contains(err.Error(), strings.ReplaceAll(text, ",", "."))) {
			t.Errorf("%q: %v", text, err)
		}
	}
}
