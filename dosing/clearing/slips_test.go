package clearing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// A run of half a turnover is no fault of volume or flow: of runs that are honest and short, none is asked about them.
func TestShortRunsAreNotAccused(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 8))
	for i := range 60 {
		end := []float64{2, 4}[i%2] // of a turnover of 5 h
		x := one(truth{start: 80, f: 2, s: 0.3, e: 0.3 + 0.6*r.Float64(), flow: 12}.read(r, even(8, end), 0.05))
		if x.Doubtful || slices.Contains(said(x), "capture-no-sense") {
			t.Errorf("run %d: %v", i, x.Notes)
		}
	}
}

// Inlet and outlet of every reading that say half of what the course does are gone by, and it is said; a floor that the pairs show too is no contradiction:
// outlet = inlet − E·(inlet − f).
func TestPairsThatSayLess(t *testing.T) {
	at := []float64{0, 5, 10, 15, 20, 30, 40}
	run := func(f, e, pairE, pairF float64) Run {
		x := truth{start: 80, f: f, e: e, flow: 12}.read(nil, at, 0)
		for i := range x.Readings {
			c := x.Readings[i].Tank.V * (1 + 0.01*float64(i%3-1))
			x.Readings[i].Tank.V = c
			x.Readings[i].In, x.Readings[i].Out = quantity.Some(c), quantity.Some(c-pairE*(c-pairF))
		}
		return x
	}
	j := Judge(Trial{Runs: []Run{run(4, 0.6, 0.3, 0)}})
	x := j.Results[0]
	e, ok := j.Enter()
	if x.Outcome != Pairs || !slices.Contains(said(x), "pairs-below") || math.Abs(float64(x.Capture.V)-0.3) > 1e-6 || !ok || e.Capture != x.Capture.V {
		t.Errorf("%s %+v %+v %v", x.Outcome, x.Capture, e, x.Notes)
	}
	for _, same := range []Run{run(4, 0.6, 0.6, 4), run(4, 0.6, 0.7, 4)} {
		if x := one(same); x.Outcome != Found || slices.Contains(said(x), "pairs-below") {
			t.Errorf("%s %+v %v", x.Outcome, x.Capture, x.Notes)
		}
	}
}

// Hours are those of the sheet, from the first reading on, though that is above the meter's range: the course is at 12 NTU when it is. By hand 91 at 5 h falls to
// 12 NTU of a floor of 4 after 5 + ln(87/8)/0.12 = 24.89 h.
func TestHoursFromTheStart(t *testing.T) {
	text := "Volume,60 m3\nFlow,12 m3/h\nTime (h),Tank (NTU)\n0,>100\n"
	for _, h := range []float64{5, 10, 15, 20, 30, 40} {
		text += fmt.Sprintf("%g,%.6f\n", h, 4+87*math.Exp(-0.12*(h-5)))
	}
	got, err := Read("log.csv", strings.NewReader(text+"50,<2\n"))
	if err != nil {
		t.Fatal(err)
	}
	got.Goal = quantity.Some(12.0)
	x := Judge(got).Results[0]
	if x.Readings[0].At != 5 || x.Below[0].At != 50 {
		t.Errorf("%+v %+v", x.Readings[0], x.Below)
	}
	near(t, "to 12 NTU", float64(x.ToGoal.V), 5+math.Log(87.0/8)/0.12, 1e-3)
	near(t, "at the start", x.Start, 4+87*math.Exp(0.6), 1e-2)
}

// A reading that is off by less than a turbidity is read to is not called so: 1250 where the course stands at 1248.
func TestNoReadingIsReadBetter(t *testing.T) {
	x := truth{start: 1248, f: 4, e: 0.6, flow: 12}.read(nil, []float64{0, 3, 6, 10, 14, 20, 30}, 0)
	x.Readings[0].Tank.V = 1250
	if got := said(one(x)); slices.Contains(got, "reading-off") {
		t.Errorf("%v", got)
	}
	x.Readings[0].Tank.V = 2000
	if got := said(one(x)); !slices.Contains(got, "reading-off") {
		t.Errorf("%v", got)
	}
}

// The settings that a run's name tells, with a comma and in other languages.
func TestNamesWithAComma(t *testing.T) {
	for name, want := range map[string]float64{"mit Polymer 0,2 mg/L": 0.2, "0,2 mg/L Polymer": 0.2, "avec 0,2 mg/L polymère": 0.2, "0.2 mg/L PAM": 0.2, "con polímero 0,25 mg/L": 0.25, "sin polímero": 0, "ohne Polymer": 0, "200 µg/L polymer": 0.2} {
		got, err := Read("log.csv", strings.NewReader("Volume;60 m3\nFlow;12 m3/h\nRun: "+name+"\nTime (h);Tank (NTU)\n0;80\n5;46,5\n"))
		if err != nil || len(got.Runs) != 1 || !got.Runs[0].Polymer.OK || math.Abs(float64(got.Runs[0].Polymer.V)-want) > 1e-12 {
			t.Errorf("%s: %v %+v", name, err, got.Runs)
		}
	}
}

// One log in the words of several languages, with a row of units, or with volume and flow in cells of their own.
func TestWordsOfALog(t *testing.T) {
	for _, text := range []string{
		"Volume;60 m3\nVazão;12 m3/h\n\nTempo (h);Tanque (NTU)\n", "Volume;60 m3\nDebiet;12 m3/h\n\nTijd (h);Tank (NTU)\n", "Objętość;60 m3\nPrzepływ;12 m3/h\n\nCzas (h);Zbiornik (NTU)\n",
		"Volum;60 m3\nStrømning;12 m3/h\n\nTid (t);Turbiditet (NTU)\n", "Volym;60 m3\nFlöde;12 m3/h\n\nTid (h);Bassäng (NTU)\n", "Volym;60 m3\n\nTid (h);Damm (NTU);Flöde (m3/h)\n", "Tilavuus;60 m3\nVirtaama;12 m3/h\n\nAika (h);Allas (NTU)\n", "Thể tích;60 m3\nLưu lượng;12 m3/h\n\nThời gian (giờ);Độ đục (NTU)\n",
		"Volume;60 m3\nFlow;12 m3/h\nTime;Tank\nh;NTU\n", "Tank volume 60 m3\nFlow through the unit 12 m3/h\nTime (h);Tank (NTU)\n",
	} {
		table := "0;80\n5;46,5\n10;27\n"
		if strings.Contains(text, "Flöde (m3/h)") {
			table = "0;80;12\n5;46,5;12\n10;27;12\n"
		}
		got, err := Read("log.csv", strings.NewReader(text+table))
		if err != nil || len(got.Runs) != 1 || got.Runs[0].Volume.V.In("m3") != 60 || got.Runs[0].Flow.V != 12 || len(got.Runs[0].Readings) != 3 || got.Runs[0].Readings[1].At != 5 {
			t.Errorf("%q: %v %s", text, err, seen(got))
		}
	}
}

// Our own sheet's heading and a line such as "weather: rain" name no trial; a flow that changes is said.
func TestNamesOfATrial(t *testing.T) {
	for text, want := range map[string]string{
		"Clearing trial: log of a run\nVolume,60 m3\n":      "",
		"Tank 3 clean up\nweather: rain\nVolume,60 m3\n":    "Tank 3 clean up",
		"Trial,spring clean\nweather: rain\nVolume,60 m3\n": "spring clean",
		"weather: rain\nRearing tank\nVolume,60 m3\n":       "Rearing tank",
	} {
		got, err := Read("log.csv", strings.NewReader(text+"Time (h),Tank (NTU),Flow (m3/h)\n0,80,12\n5,46,12\n10,27,11\n"))
		if err != nil || got.Name != want {
			t.Errorf("%q: %v, %q, want %q", text, err, got.Name, want)
			continue
		}
		if i := slices.IndexFunc(got.Runs[0].Notes, func(n note.Note) bool { return n.Code == "flow-mean" }); i < 0 || got.Runs[0].Notes[i].Message != "the flow was 11 m3/h to 12 m3/h: what passed is counted row by row, and how fast it clears is told for the mean of the rows, 11.67 m3/h" {
			t.Errorf("%v", got.Runs[0].Notes)
		}
	}
}
