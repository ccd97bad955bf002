package logbook

import (
	"strings"
	"testing"
)

// A plant that leaves 20 of 60 NTU where its bench left 5 of 60 takes out 66.7 % and not 91.7 %: by hand 25 points less. It is told with the dose as planned,
// with too little of it, and with none told; a bench of other water, or a plant near its bench, tells nothing.
func TestPlantBehindItsBench(t *testing.T) {
	text := func(used float64) string { return rows(40, always(60), always(20), always(used), always(11)) }
	near := []Bench{{Day: "2025-01-01", Raw: 60, Left: 5}}
	for name, x := range map[string]struct {
		text  string
		bench []Bench
		want  string
	}{
		"as planned":      {text(34.8), near, "points less than the bench did of such water at its lowest effective dose, though 100 % of the planned dose is fed: jars are mixed and settled better, or the stock is not what it says"},
		"too little":      {text(17.4), near, "while 50 % of the planned dose is fed: mend that first"},
		"no dose told":    {strings.Replace(text(34.8), "Stock used (L)", "Quux", 1), near, "the log does not tell what was fed beside the plan: look at that first"},
		"another water":   {text(34.8), []Bench{{Raw: 300, Left: 5}}, ""},
		"near its bench":  {text(34.8), []Bench{{Raw: 60, Left: 16}}, ""},
		"no bench at all": {text(34.8), nil, ""},
	} {
		j := Judge(read(t, "log.csv", x.text), tenth, x.bench)
		got := ""
		for _, d := range j.Drift {
			if d.Advice == LookAtUnit {
				got = d.Reason.String()
				if d.Since.String() != dayText(0) || d.Readings != 40 || !strings.HasPrefix(got, "it takes out 66.") || !strings.Contains(got, ", 25 points less") {
					t.Errorf("%s: %+v %s", name, d, got)
				}
			}
		}
		if (got == "") != (x.want == "") || !strings.HasSuffix(got, x.want) {
			t.Errorf("%s: %q, want %q", name, got, x.want)
		}
	}
}
