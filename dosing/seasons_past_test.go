package dosing

import (
	"errors"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestSeasonByPastTests: past tests that give 2·√NTU mg/L dose a month by its own raw water: 12 mg/L at the usual 36 NTU, 20 mg/L at
// the 100 NTU of autumn; 400 NTU, which no test reaches, is refused as a day of such water is; a season that states its dose has that.
func TestSeasonByPastTests(t *testing.T) {
	const text = `
place: {name: works, purpose: other, water_passes: once through}
water: {turbidity: "36 NTU"}
flow: {average_flow: "12 m3/h"}
chemicals: [{name: alum, product: alum-liquid, basis: as alum 14-hydrate, bench_sheet: past, target: turbidity <= 5 NTU}]
seasons: [{first_month: Oct, last_month: Nov, turbidity: "TURBID"}]
`
	again := func(s site.Site) (BenchDose, error) {
		p := rooted()
		p.Raw = s.Water.Turbidity.V
		d, ok := p.Dose(p.Raw)
		if !ok {
			return BenchDose{}, errors.New("no past test")
		}
		return BenchDose{Dose: quantity.Dose{Concentration: d, Basis: quantity.AsAlum14}, Past: p}, nil
	}
	for turbid, want := range map[string]quantity.Concentration{"100 NTU": 20, "144 NTU": 24, "400 NTU": 0} {
		s, err := site.Read("site.yaml", strings.NewReader(strings.Replace(text, "TURBID", turbid, 1)))
		if err != nil {
			t.Fatal(err)
		}
		usual, _ := again(s)
		usual.Past.Again = again
		g := Given{Catalogue: product.Default(), Bench: map[int]BenchDose{0: usual}}
		for m, dose := range map[time.Month]quantity.Concentration{time.September: 12, time.October: want} {
			_, in, err := InSeason(s, g, m)
			switch {
			case dose == 0:
				if err == nil || !strings.Contains(err.Error(), "no past test") {
					t.Errorf("%s in %s: %v", turbid, m, err)
				}
			case err != nil:
				t.Errorf("%s in %s: %v", turbid, m, err)
			case in.Bench[0].Dose.Concentration != dose || in.Bench[0].Past.Again == nil:
				t.Errorf("%s in %s: %v, want %v", turbid, m, in.Bench[0].Dose, dose)
			}
		}
		if g.Bench[0].Dose.Concentration != 12 {
			t.Errorf("the site's own dose is now %v", g.Bench[0].Dose)
		}
	}
}

// TestTodaysReadingGoesBeforeTheSeason: what was read today, on the command line, stands; the season says what is usual then.
func TestTodaysReadingGoesBeforeTheSeason(t *testing.T) {
	s := site.Site{Seasons: []site.Season{{From: quantity.Some(time.October), Turbidity: quantity.Some[quantity.Cloudiness](100)}}}
	for cell, want := range map[string]quantity.Cloudiness{"--raw": 60, "--turbidity": 60, "B3": 100} {
		s.Water.Turbidity = quantity.Known[quantity.Cloudiness]{V: 60, OK: true, At: note.Place{Cell: cell}}
		got, _, err := InSeason(s, Given{}, time.October)
		if err != nil || got.Water.Turbidity.V != want {
			t.Errorf("%s: %v, %v; want %v", cell, got.Water.Turbidity.V, err, want)
		}
	}
}
