package clearing

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// said are the codes of a run's notes.
func said(x Result) (out []string) {
	for _, n := range x.Notes {
		out = append(out, n.Code)
	}
	return out
}

// TestMarksOfThousands: a comma before three digits is thousands where the sheet writes fractions with a point, a fraction where it writes
// them with a comma, and is asked about where nothing tells; 12,000 gal are 12000 x 3.785411784 L.
func TestMarksOfThousands(t *testing.T) {
	const rows = "Time (h);Tank (NTU)\n0;120\n1;70\n2;42\n3;26\n4;17\n"
	for _, x := range []struct {
		text string
		m3   float64
	}{
		{"Volume;12,000;gal\nFlow;60;gpm\n" + rows + "6;9.5\n", 12 * 3.785411784},
		{"Volume;18.000 L\nFlow;15 m3/h\n" + rows + "6;9,5\n", 18},
		{"Volume;18,5 m3\nFlow;15 m3/h\n" + rows + "6;9,5\n", 18.5},
		{"Volume;18,000 L\nFlow;15 m3/h\n" + rows + "6;9.5\n", 18},
		{"Volume;18 000 L\nFlow;15 m3/h\n" + rows, 18},
		{"Volume;1,234,000 L\nFlow;15 m3/h\n" + rows, 1234},
	} {
		got, err := Read("log.csv", strings.NewReader(x.text))
		if err != nil || len(got.Runs) != 1 {
			t.Errorf("%q: %v", x.text, err)
			continue
		}
		near(t, x.text, got.Runs[0].Volume.V.In("m3"), x.m3, 1e-6)
	}
	_, err := Read("log.csv", strings.NewReader("Volume;18,000 L\nFlow;15 m3/h\n"+rows))
	if n := note.Of(err, ""); len(n) != 1 || n[0].Code != "thousands-or-fraction" || n[0].Cell != "B1" || !strings.Contains(n[0].Message, "can be 18.000 or 18000") {
		t.Errorf("%v", err)
	}
}

// TestVolumeOfNoSense: 18 L at 15 m3/h pass the unit every 0.0012 h; 18 m3 that clear at 0.58/h are a capture of 0.58 x 18 / 15 = 0.70. A
// volume a thousand times too large is asked about too, and neither is offered for the site.
func TestVolumeOfNoSense(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	x := truth{start: 120, f: 6, e: 0.58 * 60 / 12, flow: 12}.read(r, even(9, 12), 0.03) // 0.58/h
	x.Flow = quantity.Some[quantity.Flow](15)
	for _, v := range []quantity.Volume{18, 18e6} {
		x.Volume = quantity.Known[quantity.Volume]{V: v, OK: true, At: note.Place{Cell: "A2"}}
		j := Judge(Trial{Runs: []Run{x}})
		got := j.Results[0]
		i := slices.Index(said(got), "capture-no-sense")
		if _, ok := j.Enter(); ok || i < 0 {
			t.Errorf("%v: %v, offered %v", v, said(got), ok)
			continue
		}
		if n := got.Notes[i]; n.Cell != "A2" || !strings.Contains(n.Remedy, "did you mean a volume of 18 m3? Then a pass takes out 7") && !strings.Contains(n.Remedy, "did you mean a volume of 18000 L? Then a pass takes out 7") {
			t.Errorf("%v", n)
		}
	}
	x.Volume = quantity.Some[quantity.Volume](18000)
	j := Judge(Trial{Runs: []Run{x}})
	if e, ok := j.Enter(); !ok || len(j.Results[0].Notes) != 0 {
		t.Errorf("%v %v", ok, said(j.Results[0]))
	} else {
		near(t, "capture", float64(e.Capture), 0.58*18/15, 0.05)
	}
}

// TestNotMixedIsNotOffered: 90 m3 at 12 m3/h that clear at 0.18/h make a rate per turn of 1.35, which no mixed tank has. No bound of it is
// sure, so the site gets none.
func TestNotMixedIsNotOffered(t *testing.T) {
	x := truth{start: 66, f: 2, e: 0.9, flow: 12}.read(rand.New(rand.NewPCG(6, 6)), even(10, 30), 0.03)
	x.Volume = quantity.Some[quantity.Volume](90000)
	j := Judge(Trial{Runs: []Run{x}})
	if e, ok := j.Enter(); ok || j.Results[0].Outcome != NotMixed {
		t.Errorf("%s %+v", j.Results[0].Outcome, e)
	}
}

// TestStepsUp: solids that come in at once in the middle of a run are found with their hour, and no capture is told; runs in which none
// come are refused for that in no more than two of a hundred.
func TestStepsUp(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	const runs = 150
	found, falsely := 0.0, 0.0
	for range runs {
		x := truth{start: 80, f: 3, e: 0.35 + 0.4*r.Float64(), flow: 12}
		at := even(11, 40)
		plain := x.read(r, at, 0.07)
		if one(plain).Outcome == StepsUp {
			falsely++
		}
		fed := x.read(r, at, 0.07)
		for i := 4; i < len(at); i++ { // fed a moment before the fifth reading
			fed.Readings[i].Tank.V += 25 * math.Exp(-x.e*0.2*(at[i]-at[4]))
		}
		if got := one(fed); got.Outcome == StepsUp && float64(got.Step.V.At) == at[4] {
			near(t, "from", got.Step.V.From, fed.Readings[3].Tank.V, 1e-9)
			near(t, "to", got.Step.V.To, fed.Readings[4].Tank.V, 1e-9)
			found++
		}
	}
	t.Logf("found %.3f, falsely %.3f", found/runs, falsely/runs)
	if found < 0.8*runs || falsely > 0.02*runs {
		t.Errorf("found %.3f, falsely %.3f", found/runs, falsely/runs)
	}
}

// TestAskedFirst: readings that lie far off their course, a bin that holds less than half of what left the water, and a run with the unit off
// that is most of the doubt are said before the figures; an ordinary trial says none of it.
func TestAskedFirst(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	x := truth{start: 80, f: 4, e: 0.6, flow: 12}
	if got := one(x.read(r, even(12, 45), 0.4)); !slices.Contains(said(got), "scatter-wide") && !slices.Contains(said(got), "reading-off") {
		t.Errorf("%s %v %v", got.Outcome, said(got), got.Scatter)
	}
	weighed := x.read(r, even(10, 45), 0.05) // 76 NTU of 60 m3 at 1.4 mg/L each are 6.4 kg
	for kg, want := range map[quantity.Mass]bool{2: true, 6: false, 12: true} {
		weighed.Bin.Dry = quantity.Some(kg)
		if got := one(weighed); slices.Contains(said(got), "balance-open") != want {
			t.Errorf("%v kg: %v, closes to %v", kg, said(got), got.Closure.V.Share)
		}
	}
	x.settles = 0.02
	off := x
	off.e = 0
	for _, c := range []struct { // in this order, as both read from one source of chance
		hours float64
		want  bool
	}{{2, true}, {40, false}} {
		hours, want := c.hours, c.want
		blank := off.read(r, even(6, hours), 0.05)
		blank.Off = true
		got := Judge(Trial{Runs: []Run{blank, x.read(r, even(10, 45), 0.05)}}).Results[1]
		if slices.Contains(said(got), "blank-short") != want {
			t.Errorf("%v h: %v, %+v of %+v", hours, said(got), got.Capture, got.Settled)
		}
	}
}

// TestReadTwice: a number behind the unit counts readings of one run, one before it counts runs or tanks.
func TestReadTwice(t *testing.T) {
	for heads, runs := range map[string]int{"Tank NTU 1,Tank NTU 2": 1, "Tank (NTU) 1,Tank (NTU) 2": 1, "Reading 1 (NTU),Reading 2 (NTU)": 1, "Tank 1 (NTU),Tank 2 (NTU)": 2, "with polymer (NTU),without (NTU)": 2} {
		got, err := Read("log.csv", strings.NewReader("Volume,60 m3,\nFlow,12 m3/h,\nTime (h),"+heads+"\n0,80,84\n5,46,44\n10,,28\n15,16.5,17.2\n20,11,10.4\n"))
		if err != nil || len(got.Runs) != runs {
			t.Errorf("%q: %d runs, %v", heads, len(got.Runs), err)
			continue
		}
		told := slices.ContainsFunc(got.Notes, func(n note.Note) bool { return n.Code == "read-twice" })
		if n := len(got.Runs[0].Readings); told != (runs == 1) || runs == 1 && n != 9 {
			t.Errorf("%q: %d readings, %v", heads, n, got.Notes)
		}
	}
	got, err := Read("log.csv", strings.NewReader("Volume,60 m3,\nFlow,12 m3/h,\nRun,Time (h),NTU\n1,0,80\n1,5,46\n2,0,80\n2,5,46\n"))
	if err != nil || len(got.Runs) != 2 || got.Runs[0].Name != "run 1" || got.Runs[1].Name != "run 2" {
		t.Errorf("%+v %v", got.Runs, err)
	}
}
