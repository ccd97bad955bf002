package sheet

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestMessages: lines that begin with the day, the time and the name of who sent them are lines of jars; those of two days are
// no one test.
func TestMessages(t *testing.T) {
	const jars = "jar 1 no alum 44 NTU\njar 2 10 mg/L alum 30 NTU\njar 3 20 mg/L alum 12 NTU\njar 4 30 mg/L alum 4.5 NTU\n"
	stamped := func(stamps ...string) string {
		out := ""
		for i, l := range strings.Split(strings.TrimSpace(jars), "\n") {
			out += stamps[i%len(stamps)] + l + "\n"
		}
		return out
	}
	for _, name := range []string{"s.txt", "s.csv"} {
		for _, stamp := range []string{"[12/05/2026 09:12] Tom: ", "12.05.26, 09:12 - Tom: ", "[2026-05-12 09:12:31] Ann B: ", "[12/05/2026, 9:12 am] Tom: "} {
			raw := ""
			if !strings.Contains(stamp, ",") {
				raw = stamp + "raw water 45 NTU\n"
			}
			r := mustRead(t, name, raw+stamped(stamp), Options{})
			if len(r.Series) != 1 || fmt.Sprint(doses(r.Series[0], 0)) != "[0 10 20 30]" || raw != "" && r.Series[0].Raw[jartest.Turbidity].Value != 45 || len(loud(r)) > 0 {
				t.Errorf("%s %s: %d series; says %v", name, stamp, len(r.Series), r.Notes)
			}
		}
		if r := mustRead(t, name, stamped("[12/05/2026 09:12] Tom: ", "[13/05/2026 09:12] Tom: "), Options{}); len(r.Series) > 0 || len(loud(r)) == 0 {
			t.Errorf("%s, two days: %d series; says %v", name, len(r.Series), r.Notes)
		}
	}
}

// TestDosesInASentence: a sentence gives its jars their doses, the last behind a word; where it has more numbers than jars, or than there are
// readings, it asks.
func TestDosesInASentence(t *testing.T) {
	for text, want := range map[string]string{
		"Jars 1 to 6 got 0 5 10 15 20 and 25 mg/L of alum.\nTurbidity after 20 minutes: 44 30 12 6 4.5 3 NTU\n":        "[0 5 10 15 20 25]",
		"Jars 1 to 6 got 0, 5, 10, 15, 20 and 25 mg/L of alum.\nTurbidity: 44, 30, 12, 6, 4.5 and 3 NTU\n":             "[0 5 10 15 20 25]",
		"Becher 1 bis 6 bekamen 0 5 10 15 20 und 25 mg/L Alaun\nTrübung: 44 30 12 6 4.5 3 NTU\n":                       "[0 5 10 15 20 25]",
		"Jars 1 to 6 got 0 5 10 15 20 and 25 mg/L of alum.\nTurbidity after 20 minutes: 44 30 12 6 4.5 NTU\n":          "",
		"Jars 1 to 5 got 0 5 10 15 20 and 25 mg/L of alum.\nTurbidity after 20 minutes: 44 30 12 6 4.5 3 NTU\n":        "",
		"Jars 1 to 6 got 0 5 10 15 20 and 25 mg/L of alum, tenfold.\nTurbidity after 20 minutes: 44 30 12 6 4.5 3 NTU": "?",
	} {
		r := mustRead(t, "s.txt", text, Options{})
		got := ""
		if len(r.Series) == 1 {
			got = fmt.Sprint(doses(r.Series[0], 0))
		}
		if want != "?" && got != want || (len(loud(r)) > 0) != (want == "" || want == "?") {
			t.Errorf("%s: %s, want %s; says %v", text, got, want, r.Notes)
		}
	}
}
