package logbook

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// A counter of stock beside a water meter, by hand: 1020 - 1000 = 20 L in 8100 - 8000 = 100 m3, so 200 mL to a cubic metre; over a day that is
// missing both count on, 1052 - 1020 = 32 L in 200 m3, 160 mL; a counter that fell tells nothing. No litre of stock is water.
func TestStockCounter(t *testing.T) {
	for _, heading := range []string{"Stock counter (L)", "Stock meter (L)", "Alum counter (L)", "Stock total (L)", "Polymer total (L)", "Solution counter (L)"} {
		for _, pair := range []string{heading + ",Water meter (m3)", heading + ",Counter (m3)"} {
			l := read(t, "log.csv", "Date,Raw (NTU),Treated (NTU),"+pair+"\n2026-03-01,50,5,1000,8000\n2026-03-02,50,5,1020,8100\n2026-03-04,50,5,1052,8300\n2026-03-05,50,5,3,8400\n")
			j := Judge(l, Plan{}, nil)
			for i, want := range []float64{0, 200e-6, 160e-6, 0} {
				if d := j.Days[i]; d.PerWater.OK != (want > 0) || math.Abs(float64(d.PerWater.V)-want) > 1e-12 {
					t.Errorf("%s, day %d: %+v, want %v", pair, i, d.PerWater, want)
				}
			}
			if n := noteOf(j, "meter-fell"); n.Message != "the counter of stock fell from 1052 L to 3 L, so this row tells no use" || n.Place.Cell != "D5" {
				t.Errorf("%s: %v", pair, j.Notes)
			}
		}
	}
	// Beside what the rows treated a counter that does not say of what is not used, and no water.
	l := read(t, "log.csv", "Date,Raw (NTU),Treated (NTU),Counter (L),Water treated (m3)\n2026-03-01,50,5,1000,100\n2026-03-02,50,5,1020,100\n")
	if got := strings.Join(codes(l.Notes), " "); got != "column-not-used@D1" || l.Entries[0].Meter.OK {
		t.Errorf("%v %+v", got, l.Entries[0])
	}
	if l = read(t, "log.csv", "Date,Alum stock used (L),Main meter (m3)\n2026-03-01,20,1000\n"); !l.Entries[0].Meter.OK {
		t.Errorf("a meter of the main is that of the water: %v", l.Notes)
	}
}

// Levels at the start and the end of a row, by hand: 200 - 173.6 = 26.4 L in 100 m3, 264 mL; 20 + 200 - 190 = 30 L where 200 L were poured in
// meanwhile, 300 mL; a tank that rose and nobody wrote it tells nothing. The tank was filled between the rows where it starts with more than it ended.
// Shares of a tank that holds 200 L: 100 % to 85 % is 30 L, 300 mL.
func TestLevelsAtStartAndEnd(t *testing.T) {
	for _, headings := range []string{"Tank level at start (L),Tank level at end (L)", "Stock level morning (L),Stock level evening (L)", "Niva start (L),Niva slut (L)"} {
		j := Judge(read(t, "log.csv", "Date,"+headings+",Stock added (L),Water treated (m3)\n2026-03-01,200,173.6,,100\n2026-03-02,20,190,200,100\n2026-03-03,50,90,,100\n2026-03-04,200,170,,100\n"), Plan{}, nil)
		for i, want := range []float64{264e-6, 300e-6, 0, 300e-6} {
			if d := j.Days[i]; d.PerWater.OK != (want > 0) || math.Abs(float64(d.PerWater.V)-want) > 1e-12 {
				t.Errorf("%s, day %d: %+v, want %v", headings, i, d.PerWater, want)
			}
		}
		if got := strings.Join(codes(j.Log.Notes), " "); j.Days[0].Fresh || !j.Days[3].Fresh || got != "level-rose@C4" {
			t.Errorf("%s: %v %v %v", headings, j.Days[0].Fresh, j.Days[3].Fresh, got)
		}
	}
	for text, p := range map[string]Plan{"Stock tank holds 200 L\n": {}, "": {Tank: quantity.Some[quantity.Volume](200)}} {
		j := Judge(read(t, "log.csv", text+"Date,Tank level at start (%),Tank level at end (%),Water treated (m3)\n2026-03-01,100,85,100\n"), p, nil)
		if d := j.Days[0]; !d.PerWater.OK || math.Abs(float64(d.PerWater.V)-300e-6) > 1e-12 || noteIn(j.Notes, "level-of-what", "") {
			t.Errorf("%q: %+v %v", text, d.PerWater, j.Notes)
		}
	}
}

// Stroke and speed in either order: 16 L at a speed of 100 and 12.8 at 80 in 87 m3, a fifth less since the day of the knob, which is named; both moved
// are both named. Two settings of which none is a stroke's are those of two pumps.
func TestStrokeAndSpeed(t *testing.T) {
	for _, headings := range []string{"Stroke (%),Speed (%)", "Speed (%),Stroke (%)"} {
		for says, then := range map[string][2]float64{", as its speed is set to 80 in place of 100": {40, 80}, ", as its stroke is set to 32 in place of 40": {32, 100},
			", as its stroke is set to 36 in place of 40 and its speed to 80 in place of 100": {36, 80}} {
			text := "Date," + headings + ",Stock used (L),Water treated (m3)\n"
			for i := range 40 {
				stroke, speed := step(28, 40, then[0])(i), step(28, 100, then[1])(i)
				first, second := stroke, speed
				if strings.HasPrefix(headings, "Speed") {
					first, second = speed, stroke
				}
				text += fmt.Sprintf("%s,%g,%g,%.3f,87\n", dayText(i), first, second, 16*stroke*speed/4000*(1+ripple(i)/2))
			}
			l := read(t, "log.csv", text)
			d, ok := driftOf(Judge(l, Plan{}, nil), string(OfDose))
			if !ok || d.Advice != SetPump || d.Since.String() != dayText(28) || !strings.HasSuffix(d.Reason.String(), says) || len(l.Notes) > 0 {
				t.Errorf("%s: %+v %s %v", headings, d, d.Reason, l.Notes)
			}
		}
	}
	l := read(t, "log.csv", "Date,Pump 1 setting (%),Pump 2 setting (%),Stock used (L),Water treated (m3)\n2026-03-01,40,50,16,87\n")
	if got := strings.Join(codes(l.Notes), " "); got != "column-twice@C1" || len(l.Aside) != 1 {
		t.Errorf("%v", got)
	}
}

// Kilograms of stock and no word of its density, by hand: 4 kg in 20 m3 is 0.2 kg to a cubic metre, told as 200 mL; a fifth less is found since its
// day. With a strength and no density no dose is told. A sum of kilograms that grows is a running total: 8 - 4 = 4 kg.
func TestStockByMass(t *testing.T) {
	strong := Plan{Strength: quantity.Some[quantity.Concentration](1e5), Dose: tenth.Dose}
	for _, x := range []struct {
		heading, notes string
		p              Plan
	}{
		{"Alum stock used (kg)", "stock-by-mass@B1 note", Plan{}},
		{"Alum used (kg)", "stock-or-product@B1 note stock-by-mass@B1 note", Plan{}},
		{"Stock used (kg)", "stock-by-mass@B1 caution", strong},
	} {
		text := "Date," + x.heading + ",Water treated (m3)\n"
		for i := range 40 {
			text += fmt.Sprintf("%s,%.4f,20\n", dayText(i), step(28, 4, 3.2)(i)*(1+ripple(i)/2))
		}
		j := Judge(read(t, "log.csv", text), x.p, nil)
		got := ""
		for _, n := range j.Notes {
			got += " " + n.Code + "@" + n.Cell + " " + n.Level.String()
		}
		d, ok := driftOf(j, string(OfDose))
		if !ok || d.Advice != CheckPump || d.Since.String() != dayText(28) || math.Abs(float64(d.Size)+0.2) > 0.02 || j.Days[0].Fed.OK || strings.TrimSpace(got) != x.notes {
			t.Errorf("%s: %+v %s, notes %q", x.heading, d, d.Reason, got)
		}
		near(t, x.heading, float64(j.Days[0].PerWater.V), 4*(1+ripple(0)/2)/20000)
	}
	text := "Date,Stock used (kg),Water treated (m3)\n"
	for i := range 10 {
		text += fmt.Sprintf("%s,%d,20\n", dayText(i), 4*(i+1))
	}
	j := Judge(read(t, "log.csv", text), Plan{}, nil)
	near(t, "of a total", float64(j.Days[5].PerWater.V), 4.0/20000)
	if n := noteOf(j, "running-total"); n.Place != (note.Place{File: "log.csv", Cell: "B2"}) || !strings.Contains(n.Remedy, "Stock used so far (kg)") {
		t.Errorf("%v", j.Notes)
	}
}
