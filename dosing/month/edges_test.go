package month

import (
	"bytes"
	"fmt"
	"math"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
)

// TestLogOfRestDays: two weeks of a meter, hour by hour, from Monday 2 February 2026. Each of the two
// Mondays to Saturdays has its own flow, Sundays have none. Days of the week count by their mean, days
// by their distance from it: with 5.5 and 4.5 on Mondays, 5 on all others, the mean of all hours is
// 6 × 5 / 7 = 30/7, so Mondays to Saturdays count 5/(30/7) = 7/6 and Sundays 0. Mondays lie 10 % off their
// mean, the other ten days not at all: √(2 × 0.1²/(6 + 1)), Sundays giving a degree of freedom and no square.
// A thousandth of the water gives the same shares.
func TestLogOfRestDays(t *testing.T) {
	for _, scale := range []float64{1, 1e-3} {
		var csv bytes.Buffer
		csv.WriteString("time,flow m3/h\n")
		at := time.Date(2026, 2, 2, 0, 0, 0, 0, time.UTC)
		for h := range 14 * 24 {
			f := 5.0
			switch at.Weekday() {
			case time.Sunday:
				f = 0
			case time.Monday:
				f = []float64{5.5, 4.5}[h/24/7]
			}
			fmt.Fprintf(&csv, "%s,%g\n", at.Format("2006-01-02 15:04"), f*scale)
			at = at.Add(time.Hour)
		}
		l, err := flow.Read("log.csv", &csv, flow.Options{})
		if err != nil {
			t.Fatal(err)
		}
		v := site.Example("", "")
		v["Flow"][0]["least flow"], v["Flow"][0]["peak flow"] = "", ""
		p, _, err := FromSite(readSite(t, v), Options{Given: dosing.Given{Catalogue: product.Default(), Log: &l}})
		if err != nil {
			t.Fatal(err)
		}
		for d := range 7 {
			want := 7.0 / 6
			if time.Weekday(d) == time.Sunday {
				want = 0
			}
			rough(t, fmt.Sprintf("scale %g, %s", scale, time.Weekday(d)), float64(p.Calendar.Week[d].Share), want)
		}
		rough(t, "between days", float64(p.Doubt.DayToDay), math.Sqrt(2*0.1*0.1/7))
	}
}

// TestBareMonth: no class of water and no density: 30 days of 10 m3/h for 10 h at 20 mg/L take 30 × 100 × 20 / 1000 = 60 kg,
// the usual dose is 20 mg/L, and no volume of product is made up.
func TestBareMonth(t *testing.T) {
	p := flat(10, 10, 20, eurPerKg(1))
	p.Chemicals[0].Density = 0
	a := must(t, p).Accounts[0]
	near(t, "use", float64(a.Use), 60)
	near(t, "usual dose", float64(a.UsualDose), 20)
	near(t, "volume", float64(a.UseVolume), 0)
}
