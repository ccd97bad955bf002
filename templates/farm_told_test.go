package templates

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// TestOneRhythmByHand: 168 g/h are 42 g in a quarter of an hour; of a scoop of 25 g two are due in 50/168 h, 17.86 min, the next whole minute 18, in which 50.4 g are
// due by the scales: one rhythm for both. Without a scoop it is the quarter of an hour.
func TestOneRhythmByHand(t *testing.T) {
	dry := quantity.MassRate(0.168 * 24)
	f := dosing.Feed{}
	if every, n := rhythmOf(f, dry); every != 0.25 || n != 0 {
		t.Errorf("no scoop: %v h, %d", every, n)
	}
	f.Scoop = quantity.Some(quantity.Mass(0.025))
	o := handData(figure.New(), f, dry, 0)
	grams, _ := o.Fig("portion").Document()
	minutes, _ := o.Fig("portion_every").Document()
	if math.Abs(grams-0.0504) > 1e-12 || math.Abs(minutes-18) > 1e-9 || o.Get("scoops") != 2 {
		t.Errorf("%v kg every %v min, %v scoops", grams, minutes, o.Get("scoops"))
	}
	if got := (Options{}).Show(portionWords(o)); got != "50.4 g or 2 level scoops of 25 g every 18 min" {
		t.Error(got)
	}
}

// TestPouredAsItsBucket: US readers see 157 mL, 5.31 fl oz, in the unit of the bucket of half a litre that it is measured with; 3 mL are a tenth of one, and stay.
func TestPouredAsItsBucket(t *testing.T) {
	for _, x := range []struct {
		litres float64
		want   string
	}{{0.157, "5.31 fl oz"}, {0.5, "16.9 fl oz"}, {0.003, "3 mL"}, {4, "1.06 gal"}} {
		if got := (Options{Units: quantity.US}).Say("%s", poured("", quantity.Volume(x.litres), 3)); got != x.want {
			t.Errorf("%g L: %s, want %s", x.litres, got, x.want)
		}
	}
	if got := (Options{}).Say("%s", poured("", 0.157, 3)); got != "157 mL" {
		t.Error(got)
	}
}

// TestSmallChancesAreNotCounted: a p of 7.3 in a million million is told as less than one in ten thousand, one of 0.0433 as it is.
func TestSmallChancesAreNotCounted(t *testing.T) {
	for p, want := range map[quantity.Fraction]string{7.3e-12: "<0.0001", 210.0 / 4845: "0.043"} {
		if got := (Options{}).Say("%s", byChance("p", p)); got != want {
			t.Errorf("%g: %s, want %s", float64(p), got, want)
		}
	}
}

// jugPonds are two invented tanks whose dose is told for a tub of water and carried in a jug, in the one of a round one with a surface.
const jugPonds = `
place: {name: nursery, purpose: other, water_passes: standing, example_values: "no"}
chemicals: [{name: liquor, product: pacl-10, density: 1.2 kg/L, dose: 5 mL per 100 L, basis: as product, bucket: 0.5 L}]
ponds:
- {name: tank 1, diameter: 4 m, depth: 1 m, portions: 4}
- {name: tank 2, size: 14 m3}
`

// TestSheetCountsAsTheSite: pi x 2^2 x 1 m are 12.566 m3, which take 0.05 L a cubic metre, 0.6283 L or 0.754 kg at 1.2 kg/L; in the half-litre jug that is 1.257, of which a go of four takes less than one:
// it covers no more than the 12.566 m2 that there are. A dose in lb/acre-ft stays one: 50 over 20 acre-ft are 1000 lb.
func TestSheetCountsAsTheSite(t *testing.T) {
	cells := func(p Standing, o Options) (label map[string]string, unit map[string]string) {
		t.Helper()
		var b bytes.Buffer
		if err := WriteBook(&b, p, o); err != nil {
			t.Fatal(err)
		}
		label, unit = map[string]string{}, map[string]string{}
		_, all := openCells(t, b.Bytes())
		for i, c := range all {
			if c.sheet == "Change it" && i+2 < len(all) && label[c.value] == "" {
				label[c.value], unit[c.value] = all[i+1].value, all[i+2].value
			}
		}
		return label, unit
	}
	p := pondReport(t, jugPonds)
	got, unit := cells(p, Options{})
	for name, want := range map[string]string{"Dose": "5 mL per 100 L product", "PRODUCT FOR THE POND": "0.628318 L", "by the scales": "0.753982 kg", "A bucket holds": "0.5 L", "Buckets": "1.256637", "each covers, in a go": "12.566370 m2"} {
		value, of, _ := strings.Cut(want, " ")
		if !strings.HasPrefix(got[name], value) || of != "" && unit[name] != of {
			t.Errorf("%s: %s %s, want %s", name, got[name], unit[name], want)
		}
	}
	us := pondReport(t, strings.NewReplacer("5 mL per 100 L", "50 lb/acre-ft", "pacl-10, density: 1.2 kg/L", "alum-dry", "bucket: 0.5 L", "bucket: 10 lb").Replace(jugPonds[:strings.Index(jugPonds, "ponds:")])+"ponds: [{name: A, size: 5 acres x 4 ft}]\n")
	got, unit = cells(us, Options{Units: quantity.US})
	if got["Dose"] != "50" || unit["Dose"] != "lb/acre-ft product" {
		t.Errorf("dose %s %s", got["Dose"], unit["Dose"])
	}
	var pounds float64
	if fmt.Sscan(got["PRODUCT FOR THE POND"], &pounds); math.Abs(pounds-1000) > 1e-6 || unit["PRODUCT FOR THE POND"] != "lb" {
		t.Errorf("%v %s", pounds, unit["PRODUCT FOR THE POND"])
	}
}

// TestTotalsOfPonds: of both tanks together 26.566 m3 take 1.3283 L or 1.594 kg, two jugs of half a litre and 0.3283 L.
func TestTotalsOfPonds(t *testing.T) {
	d := pondReport(t, jugPonds).data()
	total := d.Objects("total")
	if len(total) != 1 {
		t.Fatalf("%d totals", len(total))
	}
	water := math.Pi*4 + 14
	for key, want := range map[string]float64{"product": water * 0.05 * 1.2, "product_volume": water * 0.05, "bucket.number": water * 0.1, "bucket.rest_volume": water*0.05 - 1} {
		if got, _ := total[0].Fig(key).Document(); math.Abs(got-want) > 1e-6 {
			t.Errorf("%s: %v, want %v", key, got, want)
		}
	}
	if total[0].Get("bucket.whole") != 2 {
		t.Errorf("%v", total[0].Get("bucket.whole"))
	}
}

// TestStrippingOfACleanUpInColumns: what strips carbon dioxide has rows and columns of its own in a clean-up's table, that of the days of holding where these press.
func TestStrippingOfACleanUpInColumns(t *testing.T) {
	way := caution.StripWay{Air: 5, Removes: 0.823, Settles: 11.6, Stages: quantity.Some(2), Side: 3.97}
	run := &caution.Strip{Pressing: true, CO2: 29, Limit: 15, Ways: []caution.StripWay{{Air: 1, Removes: 0.48, Settles: 19.9}}}
	r := tankReport(t, clarify.Tank{Volume: 14000, Flow: 1, Removal: 0.7, Start: 80, Stop: 20})
	plain := len(r.Table().Cols)
	for name, x := range map[string]struct {
		strip   *caution.Strip
		holding *caution.Findings
		want    string
	}{
		"run":     {run, nil, "1 48 19.9 - -"},
		"holding": {run, &caution.Findings{Strip: &caution.Strip{Pressing: true, Ways: []caution.StripWay{way}}}, "5 82.3 11.6 2 3.97"},
	} {
		r.Strip, r.Holding = x.strip, x.holding
		table := r.Table()
		if len(table.Cols) != plain+5 {
			t.Fatalf("%s: %d columns, %d without", name, len(table.Cols), plain)
		}
		var got []string
		for c := plain; c < plain+5; c++ {
			v := table.Cell(len(table.Rows)-1, c)
			if v == nil || fmt.Sprint(v) == "" || fmt.Sprint(v) == "0" {
				v = "-"
			}
			if f, ok := v.(float64); ok {
				v = quantity.RoundSig(f, 4)
			}
			got = append(got, fmt.Sprint(v))
		}
		if strings.Join(got, " ") != x.want {
			t.Errorf("%s: %v, want %s", name, got, x.want)
		}
	}
	r.Strip, r.Holding = &caution.Strip{}, nil // nothing presses
	if len(r.Table().Cols) != plain {
		t.Error("columns of what does not press")
	}
}
