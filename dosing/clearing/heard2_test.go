package clearing

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// setA is a course of 60 % in a tank of 60 m3 at 12 m3/h.
const setA = "0,80\n5,46\n10,27\n15,16.5\n20,11\n30,6.1\n40,4.6\n"

// Headings that stand again at the head of a page are said and split no run; below others the times begin again, and so does a run.
func TestHeadingsAgain(t *testing.T) {
	const head = "Time (h),Tank (NTU)\n"
	x := log(t, "Volume,60 m3\n"+head+"0,80\n5,46\n10,27\n15,16.5\n"+head+"20,11\n30,6.1\n40,4.6\n")
	if j := Judge(x); len(x.Runs) != 1 || len(x.Runs[0].Readings) != 7 || !slices.Equal(cells(j, "headings-again"), []string{"A7"}) || !strings.HasSuffix(notesOf(j, "headings-again")[0].Message, "the same run") {
		t.Errorf("%d runs, %v", len(x.Runs), x.Notes)
	}
	x = log(t, head+setA+head+setA)
	if j := Judge(x); len(x.Runs) != 2 || !strings.HasSuffix(notesOf(j, "headings-again")[0].Message, "another run") {
		t.Errorf("%d runs, %v", len(x.Runs), x.Notes)
	}
}

// A label that is not understood names no run and no trial, and is quoted with its value; what stands alone is still a title.
func TestUnknownLabels(t *testing.T) {
	for text, cell := range map[string]string{"Pump,12 m3/h\n": "A1", "Pressure: 5 bar\n": "A1", "Storm of March\nNozzles,4\n": "A2"} {
		x := log(t, text+"Time (h),Tank (NTU)\n"+setA)
		name := ""
		if strings.HasPrefix(text, "Storm") {
			name = "Storm of March"
		}
		if j := Judge(x); x.Name != name || x.Runs[0].Named != (name != "") || !slices.Equal(cells(j, "line-not-used"), []string{cell}) {
			t.Errorf("%q: trial %q, run %q, %v", text, x.Name, x.Runs[0].Name, x.Notes)
		}
	}
	if x := log(t, "Wasservolumen;60 m³\nDurchfluss;12 m³/h\n\nZeit (h);Becken (NTU)\n0;80\n5;46\n"); x.Runs[0].Volume.V != tank || x.Runs[0].Flow.V != passing || x.Name != "" {
		t.Errorf("%+v", x.Runs[0])
	}
}

// The balance of 480 m3 treated with 0.2 mg/L of polymer, 96 g, and 12 mg/L of a coagulant: as alum 14-hydrate, Al2(SO4)3·14H2O of 594.37 g with 53.96 g of Al, 12 mg/L hold 1.0895 mg/L of Al, which as Al(OH)3 with three
// molecules of bound water, 132.049 of 26.982, weigh 5.332 mg/L or 2.559 kg. What the readings lose is (C0 − Ct)·60 m3·b. As Fe 2 mg/L make 2·160.912/55.845 = 5.763 mg/L or 2.766 kg. Of a coagulant that
// nobody names nothing is counted, which is said.
func TestBalanceOfCoagulant(t *testing.T) {
	read := func(lines string) Judged {
		return Judge(log(t, "Volume,60 m3\nFlow,12 m3/h\nPolymer,0.2 mg/L\nFloat weighed,300 kg\nDry solids of the float,2 %\n"+lines+"Time (h),Tank (NTU)\n"+setA))
	}
	lost := func(j Judged) float64 {
		f := j.Results[0].fit
		return (f.at(0) - f.at(40)) * 60 / 1000
	}
	for line, made := range map[string]float64{"": 0, "Coagulant,12 mg/L as alum 14-hydrate\n": 2.559, "Coagulant (mg/L as Fe),2\n": 2.766, "Coagulant,none\n": 0} {
		j := read(line)
		k := j.Results[0].Closure.V
		near(t, line+"made", float64(k.Made), 0.096+made, 0.002)
		near(t, line+"share", float64(k.Share), 6/(1.5*lost(j)+0.096+made), 1e-3)
		near(t, line+"fits", k.Fits, (6-0.096-made)/lost(j), 1e-3)
		if k.Uncounted || notesOf(j, "coagulant-not-counted") != nil {
			t.Errorf("%q: %v", line, j.Results[0].Notes)
		}
	}
	for _, line := range []string{"Coagulant,12 mg/L\n", "Coagulant,12 mg/L as product\n"} {
		j := read(line)
		if k := j.Results[0].Closure.V; !k.Uncounted || k.OfCoagulant != 0 || !slices.Equal(cells(j, "coagulant-not-counted"), []string{"B6"}) {
			t.Errorf("%q: %+v %v", line, k, j.Results[0].Notes)
		}
	}
	for _, line := range []string{"Solids per NTU,2 mg/L per NTU\n", "Solids per NTU,2 mg/L\n", "TSS per NTU: 2\n"} {
		j := read(line)
		k := j.Results[0].Closure.V
		near(t, line, float64(k.Gone), 2*lost(j), 1e-9)
		if k.Assumed || k.PerUnit != 2 {
			t.Errorf("%q: %+v", line, k)
		}
	}
	j := Judge(log(t, "Volume,60 m3\nFlow,12 m3/h\nFloat weighed,300 kg\nTime (h),Tank (NTU)\n"+setA))
	if j.Results[0].Closure.OK || !slices.Equal(cells(j, "float-dry-share"), []string{"B3"}) {
		t.Errorf("%v", j.Results[0].Notes)
	}
}

// One reading that makes all others no course is named by its cell, though the fit refuses; so is a flow.
func TestSlipsOfRefusedRuns(t *testing.T) {
	for _, at := range []int{1, 3, 5} {
		rows := strings.Split(strings.TrimSpace(setA), "\n")
		hour, _, _ := strings.Cut(rows[at], ",")
		rows[at] = hour + ",9999"
		j := Judge(log(t, "Volume,60 m3\nFlow,12 m3/h\nTime (h),Tank (NTU)\n"+strings.Join(rows, "\n")+"\n"))
		want := []string{fmt.Sprint("B", 4+at)}
		if j.Results[0].Outcome.Tells() || !slices.Equal(cells(j, "reading-off"), want) || !slices.Equal(cells(j, "code-for-reading"), want) {
			t.Errorf("%d: %s %v %v", at, j.Results[0].Outcome, j.Trial.Notes, j.Results[0].Notes)
		}
	}
	j := Judge(log(t, "Volume,60 m3\nTime (h),Flow (m3/h),Tank (NTU)\n0,12,80\n5,12,46\n10,12,27\n15,120,16.5\n20,12,11\n30,12,6.1\n40,12,4.6\n"))
	if !slices.Equal(cells(j, "flow-far"), []string{"B6"}) {
		t.Errorf("%v", j.Results[0].Notes)
	}
}

// A flow of 0 is the unit off, whatever tells it: the tank rises by 0.5 NTU/h of its own, and of the 8.167 NTU that never come out at 12 m3/h and 60 % 0.5·60/7.2 = 4.167 are what comes in.
func TestOffHoweverTold(t *testing.T) {
	on := func(head string) (out string) {
		for _, h := range []float64{0, 5, 10, 15, 20, 30, 40} {
			out += fmt.Sprintf("%s,%g,%.3f\n", head, h, 8.167+71.833*math.Exp(-0.12*h))
		}
		return out
	}
	off := func(head string) (out string) {
		for h := 0; h <= 10; h += 2 {
			out += fmt.Sprintf("%s,%d,%.1f\n", head, h, 20+0.5*float64(h))
		}
		return out
	}
	for name, text := range map[string]string{
		"flow":    "Volume,60 m3\nRun,Flow (m3/h),Time (h),Tank (NTU)\n" + on("A,12") + off("B,0"),
		"words":   "Volume,60 m3\nRun,Flow (m3/h),Time (h),Tank (NTU)\n" + on("A,12") + off("B,off"),
		"unit":    "Volume,60 m3\nFlow,12 m3/h\nRun,Unit,Time (h),Tank (NTU)\n" + on("A,on") + off("B,off"),
		"setting": "Volume,60 m3\nFlow,12 m3/h\nSetting,Time (h),Tank (NTU)\n" + on("unit on") + off("unit off"),
		"line":    "Volume,60 m3\nFlow,12 m3/h\nTime (h),Tank (NTU)\n" + strings.ReplaceAll(on(""), "\n,", "\n")[1:] + "\nFlow,0 m3/h\nTime (h),Tank (NTU)\n" + strings.ReplaceAll(off(""), "\n,", "\n")[1:],
	} {
		j := Judge(log(t, text))
		if len(j.Results) != 2 || !j.Results[1].Off || !j.Source.OK {
			t.Errorf("%s: %d %+v", name, len(j.Results), j.Source)
			continue
		}
		near(t, name, j.Source.V.Bare.V, 4, 0.01)
		near(t, name, j.Source.V.Rise.V, 0.5, 1e-6)
	}
}

// A, B, B, A are two settings of two runs, however they are told: by counted names beside a column of doses, or by their days alone.
func TestRepeatsHoweverTold(t *testing.T) {
	hours := []int{0, 5, 10, 15, 20, 30, 40}
	named, dated := "Volume,60 m3\nFlow,12 m3/h\nRun,Polymer (mg/L),Time (h),Tank (NTU)\n", "Volume,60 m3\nFlow,12 m3/h\nDate/Time,Polymer (mg/L),Tank (NTU)\n"
	for run, x := range []struct {
		name    string
		polymer float64
		e       float64
	}{{"A1", 0.2, 0.62}, {"B1", 0, 0.4}, {"B2", 0, 0.41}, {"A2", 0.2, 0.61}} {
		for i, h := range hours {
			c := (4 + 76*math.Exp(-x.e*float64(h)/5)) * (1 + 0.02*float64((i+run)%3-1))
			named += fmt.Sprintf("%s,%g,%d,%.2f\n", x.name, x.polymer, h, c)
			dated += fmt.Sprintf("2026-03-%02d %02d:00,%g,%.2f\n", 2+3*run+(8+h)/24, (8+h)%24, x.polymer, c)
		}
	}
	for _, text := range []string{named, dated} {
		j := Judge(log(t, text))
		if len(j.Results) != 4 || len(j.Groups) != 1 || !slices.Equal(j.Groups[0].A, []int{0, 3}) || !slices.Equal(j.Groups[0].B, []int{1, 2}) || j.Groups[0].Confounded || j.Groups[0].Verdict != More {
			t.Fatalf("%d runs, %+v", len(j.Results), j.Groups)
		}
		e, ok := j.Enter()
		near(t, "entered", float64(e.Capture), float64(j.Results[0].Capture.V+j.Results[3].Capture.V)/2, 1e-9)
		if !ok || !slices.Equal(e.Runs, []int{0, 3}) {
			t.Errorf("%+v", e)
		}
	}
}

// A name of a file names its run as a column does; a count sets nothing.
func TestCalledByFile(t *testing.T) {
	set := func(name string) Result {
		r := runOf([]float64{0, 5, 10, 15, 20, 30, 40}, []float64{80, 46, 27, 16.5, 11, 6.1, 4.6}, 0.1)
		r.CallBy(name)
		return Result{Run: r}
	}
	if a, b := set("with"), set("without"); a.chosen() == b.chosen() || a.Name != "with" || !a.Named {
		t.Errorf("%+v %+v", a.chosen(), b.chosen())
	}
	if a, b := set("run1"), set("run2"); a.chosen() != b.chosen() {
		t.Errorf("%+v %+v", a.chosen(), b.chosen())
	}
	if a := set("without polymer"); !a.Polymer.OK || a.Polymer.V != 0 {
		t.Errorf("%+v", a.Polymer)
	}
}

// Of settings that are not shown to differ the lower goes into the site; one that is shown to be better stands.
func TestLowerOfAlike(t *testing.T) {
	at := []float64{0, 5, 10, 15, 20, 30, 40}
	run := func(e, skim float64) Run {
		x := truth{start: 80, f: 4, e: e, flow: 12}.read(nil, at, 0)
		for i := range x.Readings {
			x.Readings[i].Tank.V *= 1 + 0.05*float64((i*2+int(skim))%3-1)
		}
		x.Skim = quantity.Some(quantity.Time(skim))
		return x
	}
	j := Judge(Trial{Runs: []Run{run(0.48, 1), run(0.52, 2)}})
	e, ok := j.Enter()
	if !ok || e.Run != 0 || e.Unlike == nil || !slices.Equal(e.Unlike.Runs, []int{1}) || e.Capture != j.Results[0].Capture.V {
		t.Errorf("%+v", e)
	}
	if e, ok := Judge(Trial{Runs: []Run{run(0.3, 1), run(0.7, 2)}}).Enter(); !ok || e.Run != 1 || e.Unlike != nil {
		t.Errorf("%+v", e)
	}
}

// Inlet and outlet of which the outlet reads more all the while are asked about once.
func TestChangedRound(t *testing.T) {
	j := Judge(log(t, "Time (h),Inlet (NTU),Outlet (NTU)\n0,40,44\n1,41,43\n2,39,45\n3,40,41\n4,42,46\n5,38,40\n"))
	if n := notesOf(j, "outlet-above-inlet"); !j.Results[0].Changed() || len(n) != 1 || !strings.Contains(n[0].Message, "6 of 6 pairs") {
		t.Errorf("%v", n)
	}
	j = Judge(log(t, "Time (h),Inlet (NTU),Outlet (NTU)\n0,40,14\n1,41,13\n2,39,45\n3,40,11\n"))
	if n := notesOf(j, "outlet-above-inlet"); j.Results[0].Changed() || len(n) != 1 || n[0].Cell != "C4" {
		t.Errorf("%v", n)
	}
}
