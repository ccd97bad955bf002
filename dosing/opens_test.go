package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// TestRunBeginsWhenSomebodyComes: a run whose start nobody gives begins when people come, at six where nobody says when
// that is; a start that is given goes before, and a run round the clock has none.
func TestRunBeginsWhenSomebodyComes(t *testing.T) {
	for _, x := range []struct {
		place, flow string
		start       quantity.Time
	}{
		{`, staffed_from: "07:30", staffed_till: "18:00"`, `, hours_a_day: "10 h"`, 7.5},
		{`, staffed_from: "07:30", staffed_till: "18:00"`, `, hours_a_day: "10 h", run_starts: "05:00"`, 5},
		{`, staffed_from: "07:30", staffed_till: "18:00"`, ``, 0},
		{``, `, hours_a_day: "10 h"`, 6},
	} {
		s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "Shed", purpose: "other", water_passes: "once through"`+x.place+`}
flow: {average_flow: "1.4 m3/h"`+x.flow+`}
chemicals: [{name: "PACl", product: "pacl-10", dose: "8 mg/L", basis: "as product"}]
`))
		if err != nil {
			t.Fatal(err)
		}
		in, err := FromSite(s, Given{Catalogue: product.Default()})
		if err != nil {
			t.Fatal(err)
		}
		if runs := in.Day.Runs(); in.Start != x.start || x.start > 0 && (len(runs) != 1 || runs[0].From != x.start) {
			t.Errorf("%s%s: starts at %v, runs %v, want %v", x.place, x.flow, in.Start, runs, x.start)
		}
	}
}
