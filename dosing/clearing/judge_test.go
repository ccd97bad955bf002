package clearing

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestPlugAndMixed: K = k·V/Q is the capture of a mixed tank, 1 − exp(−K) that of a plug; the values of both for K of 0.2 to 1.2 are
// worked out by hand: 1 − e^−0.2 = 0.181, and so on. Above 1 the tank cannot be mixed, and no capture is above 100 %.
func TestPlugAndMixed(t *testing.T) {
	plug := []float64{0.181, 0.330, 0.451, 0.551, 0.632, 0.699}
	for i, K := range []float64{0.2, 0.4, 0.6, 0.8, 1.0, 1.2} {
		k := K * 12 / 60
		var c []float64
		at := even(9, 6/k)
		for n, h := range at {
			off := 0.002 * float64(1-2*(n%2)) // so that the interval is narrow and not nothing
			c = append(c, (2+78*math.Exp(-k*h))*math.Exp(off))
		}
		r := one(runOf(at, c, 0))
		near(t, "plug", float64(r.Plug), plug[i], 0.003)
		switch {
		case K > 1:
			if r.Outcome != NotMixed || r.Capture.High.V != 1 || r.Capture.V != r.Plug {
				t.Errorf("K %v: %s %+v", K, r.Outcome, r.Capture)
			}
			near(t, "least", float64(r.Capture.Low.V), plug[i], 0.01)
		default:
			near(t, "mixed", float64(r.Capture.V), K, 0.005)
			if r.Capture.High.V > 1 || r.Capture.V > 1 {
				t.Errorf("%+v", r.Capture)
			}
		}
		race := runOf(at, c, 0)
		race.Raceway = true
		near(t, "raceway", float64(one(race).Capture.V), plug[i], 0.003)
	}
}

// TestDoubtOfVolumeAndFlow: (se E/E)² = se² + (uV/V)² + (uQ/Q)², on the logarithm: with 5 % and 5 % and readings that leave nothing
// open, the ends are E·exp(∓1.645·√(0.05² + 0.05²)) = 0.6·0.8902 and 0.6·1.1234.
func TestDoubtOfVolumeAndFlow(t *testing.T) {
	run := truth{start: 80, f: 4, e: 0.6, flow: 12}.read(nil, even(9, 45), 0)
	run.VolumeUnsure, run.FlowUnsure = 0.05, 0.05
	r := one(run)
	near(t, "low", float64(r.Capture.Low.V), 0.6*0.89018, 0.0001)
	near(t, "high", float64(r.Capture.High.V), 0.6*1.12337, 0.0001)
}

// TestDeadTime: a return pipe in which the water stands tau hours makes the unit look worse: k = (Q/V)(1 − (1 − e)·exp(k·tau)),
// apparent E 0.600, 0.588, 0.576, 0.553 for 0, 0.25, 0.5 and 1 h at 0.2 turns an hour and 60 %. Volume of the pipe counts as
// water that goes round, so it is small beside the intervals; here it stands for how far a trial can be believed.
func TestDeadTime(t *testing.T) {
	for tau, want := range map[float64]float64{0: 0.600, 0.25: 0.588, 0.5: 0.576, 1: 0.553} {
		k := 0.1
		for range 200 {
			k = 0.2 * (1 - 0.4*math.Exp(k*tau))
		}
		at := even(9, 5/k)
		var c []float64
		for _, h := range at {
			c = append(c, 80*math.Exp(-k*h)+2)
		}
		near(t, "apparent capture", float64(one(runOf(at, c, 0)).Capture.V), want, 0.0006)
	}
}

// TestRefusals: what the readings cannot tell is not told.
func TestRefusals(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	x := truth{start: 80, f: 4, e: 0.6, flow: 12}
	grows := func() (run Run) {
		var c []float64
		at := even(12, 40)
		for i, h := range at {
			c = append(c, (4+76*math.Exp(-0.2*h)+0.02*h*h)*(1+0.03*float64(1-2*(i%2))))
		}
		return runOf(at, c, 0.1)
	}
	noVolume := x.read(nil, even(8, 40), 0)
	noVolume.Volume.OK = false
	for _, c := range []struct {
		name string
		run  Run
		want Outcome
	}{
		{"three readings", x.read(nil, []float64{0, 5, 10}, 0), TooFew},
		{"two readings twice", x.read(nil, []float64{0, 0, 5, 5}, 0), TooFew},
		{"one reading", x.read(nil, []float64{0}, 0), TooFew},
		{"none", Run{}, TooFew},
		{"an hour of scatter", x.read(r, even(6, 0.5), 0.1), TooShort},
		{"rising", runOf(even(6, 10), []float64{10, 12.2, 14.1, 15.8, 18.3, 20.1}, 0.1), Rises},
		{"falls and rises", grows(), SourceGrows},
		{"no volume", noVolume, RateOnly},
		{"short", x.read(r, even(9, 12), 0.05), FloorUnknown},
		{"long", x.read(r, even(9, 45), 0.05), Found},
	} {
		got := one(c.run)
		if got.Outcome != c.want {
			t.Errorf("%s: %s, want %s", c.name, got.Outcome, c.want)
		}
		if tells := got.Capture.Bounded(); tells != c.want.Tells() {
			t.Errorf("%s: an interval %v", c.name, got.Capture)
		}
	}
	// from end to end: ln(80/26.8908)/10 h × 5 h a turn, without an interval, and below the truth, since the floor is not known
	few := one(x.read(nil, []float64{0, 5, 10}, 0))
	near(t, "end to end", float64(few.Capture.V), math.Log(80/26.8908)/10*5, 0.00001)
	if few.Capture.V > 0.6 {
		t.Error("a figure from end to end is the least")
	}
	near(t, "rate alone", float64(one(noVolume).Constant.V), 1/0.12, 1e-6)
	// a run that ended too soon says "at least": its floor may be nothing, and its capture is not below the truth's by more than its end
	short := one(x.read(r, even(9, 12), 0.05))
	if short.Floor.Low.V != 0 || short.Capture.Low.V > 0.6 || short.Capture.High.V < 0.6 {
		t.Errorf("%+v %+v", short.Floor, short.Capture)
	}
}

// TestSourceAndFloor: of one flow floor and source are not told apart; of two, 12 and 6 m3/h with f 4 NTU and s 0.5 NTU/h, they are:
// plateaus 4 + 0.5/0.12 and 4 + 0.5/0.06.
func TestSourceAndFloor(t *testing.T) {
	fast, slow := truth{start: 80, f: 4, s: 0.5, e: 0.6, flow: 12}, truth{start: 80, f: 4, s: 0.5, e: 0.6, flow: 6}
	j := Judge(Trial{Runs: []Run{fast.read(nil, even(9, 45), 0), slow.read(nil, even(9, 90), 0)}})
	near(t, "plateau, fast", j.Results[0].Floor.V, 4+0.5/0.12, 1e-5)
	near(t, "plateau, slow", j.Results[1].Floor.V, 4+0.5/0.06, 1e-5)
	if !j.Source.OK || !j.Source.V.Shown() {
		t.Fatalf("%+v", j.Source)
	}
	near(t, "f", j.Source.V.Bare.V, 4, 1e-5)
	near(t, "s", j.Source.V.Rise.V, 0.5, 1e-6)
	if one := Judge(Trial{Runs: []Run{fast.read(nil, even(9, 45), 0)}}); one.Source.OK {
		t.Error("one flow tells no source")
	}
	// noise: the truth lies within the ends nine times in ten
	r := rand.New(rand.NewPCG(6, 6))
	var bare, rise float64
	const runs = 150
	for range runs {
		s := Judge(Trial{Runs: []Run{fast.read(r, even(12, 50), 0.05), slow.read(r, even(12, 100), 0.05)}}).Source.V
		if s.Bare.Low.V <= 4 && 4 <= s.Bare.High.V {
			bare++
		}
		if s.Rise.Low.V <= 0.5 && 0.5 <= s.Rise.High.V {
			rise++
		}
	}
	near(t, "f within its ends", bare/runs, 0.9, 0.06)
	near(t, "s within its ends", rise/runs, 0.9, 0.06)
	// a source of nothing is not shown
	none := truth{start: 80, f: 4, e: 0.6, flow: 12}
	half := none
	half.flow = 6
	if s := Judge(Trial{Runs: []Run{none.read(r, even(12, 50), 0.05), half.read(r, even(12, 100), 0.05)}}).Source; !s.OK || s.V.Shown() {
		t.Errorf("%+v", s)
	}
}

// TestBlank: what settles with the unit off is no capture of it. With 0.02 /h settling and E 60 % the rate is 0.14 /h, which alone
// reads as 70 %; a blank run that rises by 0.5 NTU in an hour tells the source.
func TestBlank(t *testing.T) {
	x := truth{start: 80, f: 4, e: 0.6, flow: 12, settles: 0.02}
	run := x.read(nil, even(9, 45), 0)
	near(t, "settling counted as capture", float64(one(run).Capture.V), 0.7, 1e-6)
	off := truth{start: 80, flow: 12, settles: 0.02}
	blank := off.read(nil, even(5, 10), 0)
	blank.Off = true
	j := Judge(Trial{Runs: []Run{blank, run}})
	near(t, "settles", j.Results[0].Settles.V, 0.02, 1e-9)
	near(t, "without it", float64(j.Results[1].Capture.V), 0.6, 1e-6)
	near(t, "cleared by the unit", float64(j.Results[1].Cleared.V), 7.2, 1e-6)
	if j.Results[0].Outcome != Blank || len(j.Comparisons) != 0 {
		t.Errorf("%+v", j.Comparisons)
	}
	rising := runOf(even(5, 8), []float64{20, 21, 22, 23, 24}, 0)
	rising.Off = true
	withSource := truth{start: 80, f: 4, s: 0.5, e: 0.6, flow: 12}
	j = Judge(Trial{Runs: []Run{withSource.read(nil, even(9, 45), 0), rising}})
	near(t, "rise", j.Results[1].Rise.V, 0.5, 1e-9)
	near(t, "f by the blank run", j.Source.V.Bare.V, 4, 1e-5)
	if !j.Source.V.Blank || j.Results[1].Settles.V != 0 {
		t.Errorf("%+v", j.Source)
	}
}

// TestPairs: outlet over inlet. 100 in and 40 out, 50 and 20, … is a capture of 60 % whatever the inlet; with 2 NTU that a pass does not
// take, out = 0.4·in + 0.6·2, the regression tells both.
func TestPairs(t *testing.T) {
	pairs := func(in []float64, out func(float64) float64) (list []Reading) {
		for i, v := range in {
			list = append(list, Reading{At: quantity.Time(i), In: quantity.Some(v), Out: quantity.Some(out(v))})
		}
		return list
	}
	even := []float64{50, 55, 60, 52, 58, 61}
	r := one(Run{Key: jartest.Turbidity, Readings: pairs(even, func(v float64) float64 { return 0.4 * v })})
	near(t, "capture", float64(r.Capture.V), 0.6, 1e-12)
	if r.Outcome != Pairs || r.OfPairs.V.Split || r.OfPairs.V.Few() {
		t.Errorf("%s %+v", r.Outcome, r.OfPairs)
	}
	wide := []float64{100, 80, 60, 40, 25, 12, 8}
	r = one(Run{Key: jartest.Turbidity, Readings: pairs(wide, func(v float64) float64 { return 0.4*v + 1.2 })})
	near(t, "capture, split", float64(r.Capture.V), 0.6, 1e-9)
	near(t, "f", r.Floor.V, 2, 1e-9)
	// the interval of the mean of ln(out/in): 0.4 and 0.5 in turn, mean ln 0.44721, sd 0.12222, n 6, t 2.015: 0.44721·exp(∓0.10055)
	i := 0
	r = one(Run{Key: jartest.Turbidity, Readings: pairs(even, func(v float64) float64 { i++; return v * []float64{0.4, 0.5}[i%2] })})
	near(t, "mean", float64(r.Capture.V), 1-0.44721, 0.00001)
	near(t, "low", float64(r.Capture.Low.V), 1-0.44721*math.Exp(0.10055), 0.0001)
	near(t, "high", float64(r.Capture.High.V), 1-0.44721*math.Exp(-0.10055), 0.0001)
	if few := one(Run{Key: jartest.Turbidity, Readings: pairs(even[:2], func(v float64) float64 { return 0.4 * v })}); few.Outcome != TooFew || few.Capture.Bounded() || few.Capture.V < 0.59 {
		t.Errorf("two pairs: %s %+v", few.Outcome, few.Capture)
	}
}

// TestClosure: 60 m3 from 80 to 5 NTU at 1.5 mg/L each are 6.75 kg; 0.2 mg/L of polymer in 12 m3/h over 40 h is 0.096 kg more. A bin
// with 200 kg of float at 3 % holds 6 kg: 87.6 %, and the balance would close with (6 − 0.096)/4.5 = 1.312 mg/L for each NTU.
func TestClosure(t *testing.T) {
	run := runOf([]float64{0, 40}, []float64{80, 5}, 0)
	run.Polymer = quantity.Some[quantity.Concentration](0.2)
	run.Bin = Bin{Wet: quantity.Some[quantity.Mass](200), DryShare: quantity.Some[quantity.Fraction](0.03)}
	r := one(run)
	c := r.Closure.V
	near(t, "gone", float64(c.Gone), 6.75, 1e-9)
	near(t, "made", float64(c.Made), 0.096, 1e-9)
	near(t, "weighed", float64(c.Weighed), 6, 1e-9)
	near(t, "share", float64(c.Share), 6/6.846, 1e-9)
	near(t, "fits", c.Fits, 5.904/4.5, 1e-9)
	if !c.Assumed {
		t.Error("1.5 is assumed")
	}
	run.Key = jartest.TSS
	if c := one(run).Closure.V; c.PerUnit != 1 || c.Assumed {
		t.Errorf("%+v", c)
	}
}

// TestComparisons: what was set otherwise, what stands in one order alone, and which tank is clear sooner.
func TestComparisons(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	run := func(e, q, polymer float64) Run {
		x := truth{start: 80, f: 4, e: e, flow: q}.read(r, even(12, 5/(e*q/60)), 0.04)
		x.Polymer = quantity.Some(quantity.Concentration(polymer))
		return x
	}
	j := Judge(Trial{Runs: []Run{run(0.61, 12, 0.2), run(0.38, 12, 0), run(0.38, 12, 0), run(0.61, 12, 0.2)}})
	c := j.Comparisons[0]
	if c.Verdict != More || c.Confounded || !slices.Contains(c.Differs, ByPolymer) || len(j.Comparisons) != 6 || c.Faster != 0 {
		t.Errorf("ABBA: %+v", c)
	}
	near(t, "points", float64(c.Points.V), 0.23, 0.04)
	j = Judge(Trial{Runs: []Run{run(0.38, 12, 0), run(0.61, 12, 0.2)}})
	if c := j.Comparisons[0]; c.Verdict != Less || !c.Confounded {
		t.Errorf("AB: %+v", c)
	}
	// more flow: less at a pass, and the tank is clear sooner: 0.5·16 = 8 against 0.68·8 = 5.4 m3/h
	j = Judge(Trial{Runs: []Run{run(0.5, 16, 0), run(0.68, 8, 0)}})
	if c := j.Comparisons[0]; c.Verdict != Less || c.Faster != 0 || !slices.Equal(c.Differs, []Differs{ByFlow}) {
		t.Errorf("flows: %+v", c)
	}
	near(t, "cleared", float64(j.Results[0].Cleared.V), 8, 0.6)
	// a difference of 7 readings each is seen from about 16 % of the capture: half of its interval is t·√2·0.055 = 0.17 for 8 df and 7 %
	seven := func(e float64) Run {
		return truth{start: 80, f: 4, e: e, flow: 12}.read(r, []float64{0, 5, 10, 15, 20, 30, 40}, 0.07)
	}
	var half float64
	const runs = 60
	for range runs {
		p := Judge(Trial{Runs: []Run{seven(0.6), seven(0.6)}}).Comparisons[0].Points
		half += float64(p.High.V-p.Low.V) / 2 / 0.6 / runs
	}
	near(t, "half an interval", half, 2.306*math.Sqrt2*0.055, 0.02)
	few := Judge(Trial{Runs: []Run{run(0.5, 12, 0), runOf([]float64{0, 5}, []float64{80, 50}, 0)}})
	if few.Comparisons[0].Verdict != CannotTell {
		t.Errorf("%+v", few.Comparisons[0])
	}
}

// TestStray: a reading written ten times too high is pointed out; an ordinary one is not.
func TestStray(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	x := truth{start: 80, f: 4, e: 0.6, flow: 12}
	run := x.read(r, even(10, 45), 0.05)
	if n := one(run).Notes; len(n) != 0 {
		t.Errorf("%v", n)
	}
	run.Readings[6].Tank.V *= 10
	run.Readings[6].Tank.At.Cell = "B8"
	if n := one(run).Notes; len(n) != 1 || n[0].Code != "reading-off" || n[0].Cell != "B8" {
		t.Errorf("%v", n)
	}
	said := 0
	for range 100 {
		said += len(one(x.read(r, even(10, 45), 0.08)).Notes)
	}
	if said > 3 { // one in a hundred at most, and twice the limit
		t.Errorf("%d of 100 plain runs", said)
	}
}

// TestSampling: 60 m3 at 12 m3/h and 60 % is a time constant of 8.33 h; readings lie at 0 to 5.2 of them, rounded up to half hours,
// the last two beyond four. With them the capture will be known to about 5 % of itself.
func TestSampling(t *testing.T) {
	p := Sampling(tank, passing, UsualCapture)
	near(t, "time constant", float64(p.Constant), 25.0/3, 1e-9)
	want := []quantity.Time{0, 4.5, 8.5, 13.5, 20, 27, 35, 43.5}
	if !slices.Equal(p.At, want) {
		t.Errorf("%v", p.At)
	}
	near(t, "of ln k", float64(p.Rate), 0.052, 0.0005)
	small := Sampling(1000, 0.8, 0.85) // 1 m3: 1.4706 h; every five minutes
	if last := small.At[len(small.At)-2:]; last[0] < 4*small.Constant || last[1] < 4*small.Constant || len(small.At) != 8 {
		t.Errorf("%v", small.At)
	}
	near(t, "second", float64(small.At[1]), 0.75, 1e-9)
}

// TestEnter: what the site is told is of the run with chemicals that takes out most, and the one without is "caught undosed".
func TestEnter(t *testing.T) {
	bare, dosed := truth{start: 80, f: 4, e: 0.38, flow: 12}.read(nil, even(9, 65), 0), truth{start: 80, f: 3, e: 0.61, flow: 12}.read(nil, even(9, 45), 0)
	dosed.Polymer = quantity.Some[quantity.Concentration](0.2)
	bare.Polymer = quantity.Some[quantity.Concentration](0)
	j := Judge(Trial{Runs: []Run{bare, dosed}})
	if e, _ := j.Enter(); e.Bare.OK || len(j.Notes) != 1 || j.Notes[0].Code != "undosed-unknown" { // it may have had a coagulant
		t.Errorf("%+v %v", e, j.Notes)
	}
	bare.Coagulant = quantity.Some[quantity.Concentration](0)
	j = Judge(Trial{Runs: []Run{bare, dosed}})
	e, ok := j.Enter()
	if !ok || e.Run != 1 || !e.Together || len(j.Notes) != 0 {
		t.Errorf("%+v %v", e, j.Notes)
	}
	near(t, "capture", float64(e.Capture), 0.61, 1e-6)
	near(t, "bare", float64(e.Bare.V), 0.38, 1e-6)
	near(t, "floor", e.Floor.V, 3, 1e-5)
	if _, ok := Judge(Trial{Runs: []Run{runOf([]float64{0, 5}, []float64{80, 50}, 0)}}).Enter(); ok {
		t.Error("two readings give nothing to enter")
	}
}

// TestBelowALimit: "<5" is not fitted, and the course is held against it. Of 4 + 76·exp(−0.12·t) the tank reads 4 + 76·exp(−4.8) = 4.63 at 40 h,
// which is below 5, and 4 + 76·exp(−1.8) = 16.6 at 15 h, which is not.
func TestBelowALimit(t *testing.T) {
	judge := func(at float64) Result {
		at0 := even(12, 50)
		x := truth{start: 80, f: 4, e: 0.6, flow: 12}.read(rand.New(rand.NewPCG(4, 4)), at0, 0.03)
		without := one(x)
		x.Below = []Below{{quantity.Time(at), quantity.Known[float64]{V: 5, OK: true, At: note.Place{File: "log.csv", Cell: "B9"}}}}
		got := one(x)
		if got.Capture != without.Capture {
			t.Errorf("%+v, want %+v", got.Capture, without.Capture)
		}
		return got
	}
	has := func(x Result) (n note.Note) {
		if i := slices.IndexFunc(x.Notes, func(n note.Note) bool { return n.Code == "below-disagrees" }); i >= 0 {
			n = x.Notes[i]
		}
		return n
	}
	if n := has(judge(40)); n.Code != "" {
		t.Error(n)
	}
	if n := has(judge(15)); n.Code == "" || n.Place.Cell != "B9" || !strings.Contains(n.Message, "below 5 was read at 15 h") {
		t.Errorf("%v", n)
	}
	got, err := Read("log.csv", strings.NewReader("Time,NTU\n18:00,80\n23:00,46\n04:00,<5\n"))
	if err != nil || len(got.Runs) != 1 || len(got.Runs[0].Below) != 1 || got.Runs[0].Below[0].At != 10 || got.Runs[0].Below[0].Limit.V != 5 {
		t.Errorf("%+v, %v", got.Runs, err)
	}
	if _, err := Read("log.csv", strings.NewReader("Time,NTU\n18:00,>1000\n23:00,46\n04:00,20\n")); err != nil {
		t.Error(err)
	}
}
