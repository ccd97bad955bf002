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

// notesOf are those of a file and of its runs, of a code.
func notesOf(j Judged, code string) (out note.List) {
	all := slices.Clone(j.Notes)
	for _, x := range j.Results {
		all = append(all, x.Notes...)
	}
	for _, n := range all {
		if n.Code == code {
			out.Add(n)
		}
	}
	return out
}

func judgedOf(t *testing.T, text string) Judged {
	t.Helper()
	got, err := Read("log.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return Judge(got)
}

// clearedTo is what a tank of 60 m3 reads at 12 m3/h and a capture, from 80 NTU to a floor of 4.
func clearedTo(e, h float64) float64 { return 4 + 76*math.Exp(-e*0.2*h) }

// A column of polymer with two doses parts its rows into two runs of their own, each with its capture; a pump that drifts by less than a tenth does not.
func TestDosesOfAColumn(t *testing.T) {
	hours := []float64{0, 5, 10, 15, 20, 30, 40}
	text := func(second string) string {
		s := "Volume,60 m3\nFlow,12 m3/h\nTime (h),Tank (NTU),Polymer (mg/L)\n"
		for i, h := range hours {
			s += fmt.Sprintf("%g,%.3f,0.2\n", h, clearedTo(0.6, h)*(1+0.02*float64(i%3-1)))
		}
		for i, h := range hours {
			s += fmt.Sprintf("%g,%.3f,%s\n", h, clearedTo(0.35, h)*(1+0.02*float64(i%3-1)), second)
		}
		return s
	}
	for _, none := range []string{"0", "none"} {
		j := judgedOf(t, text(none))
		if len(j.Results) != 2 || j.Results[0].Name != "with 0.2 mg/L polymer" || j.Results[1].Name != "without polymer" || math.Abs(float64(j.Results[0].Polymer.V)-0.2) > 1e-9 || !j.Results[1].Polymer.OK || j.Results[1].Polymer.V != 0 {
			t.Fatalf("%s", seen(j.Trial))
		}
		near(t, "with", float64(j.Results[0].Capture.V), 0.6, 0.04)
		near(t, "without", float64(j.Results[1].Capture.V), 0.35, 0.04)
		if len(notesOf(j, "runs-by-dose")) != 1 || len(notesOf(j, "time-back")) != 0 {
			t.Errorf("%v", j.Notes)
		}
	}
	if j := judgedOf(t, text("0.19")); len(j.Results) != 2 || len(notesOf(j, "runs-by-dose")) != 0 || len(notesOf(j, "run-begins")) != 1 { // by the times alone
		t.Errorf("%s", seen(j.Trial))
	}
}

// What a file says twice of one run is told with both, wherever the two stand; what is of each run, or the same, is not.
func TestSaidTwice(t *testing.T) {
	table := "Time (h),Tank (NTU)%s\n0,80%s\n5,46%s\n10,27%s\n15,16.5%s\n"
	fill := func(head, cell string) string { return fmt.Sprintf(table, head, cell, cell, cell, cell) }
	for _, x := range []struct{ text, says string }{
		{"Volume,60 m3\nFlow,12 m3/h\nFlow,14 m3/h\n" + fill("", ""), `the file says "12 m3/h" and "14 m3/h" of the same run under "Flow"; the latter is taken`},
		{"Volume,60 m3\nVolume (m3),70\nFlow,12 m3/h\n" + fill("", ""), `the file says "60 m3" and "70 m3" of the same run under "Volume (m3)"; the latter is taken`},
		{"Volume,60 m3\nFlow,12 m3/h\n" + fill(",Flow (m3/h)", ",20"), "a line says a flow of 12 m3/h, and the column 20 m3/h; that of the line is taken"},
		{"Volume,60 m3\nFlow,12 m3/h\n" + fill(",Volume (m3)", ",80"), "a line says a volume of 60 m3, and the column 80 m3; that of the line is taken"},
		{"Volume,60 m3\nFlow,12 m3/h\nFlow (m3/h),12\n" + fill(",Flow (m3/h)", ",12.2"), ""},
		{"Volume,60 m3\nFlow,12 m3/h\n" + fill("", "") + "\nFlow,14 m3/h\n" + fill("", ""), ""},
	} {
		got := notesOf(judgedOf(t, x.text), "said-twice")
		if x.says == "" && len(got) > 0 || x.says != "" && (len(got) != 1 || got[0].Message != x.says || got[0].Level != note.Caution) {
			t.Errorf("%s: %v", x.text, got)
		}
	}
}

// Clock times that go back are of the next day, which is said with its cell; other times that go back and begin no run are refused with theirs. 6:00 behind 7:30 is 22.5 h later.
func TestTimesThatGoBack(t *testing.T) {
	text := func(head string, times ...string) string {
		s := "Volume,6 m3\nFlow,12 m3/h\n" + head + "\n"
		for i, at := range times {
			s += fmt.Sprintf("%s,%g\n", at, []float64{80, 46, 27, 16.5, 11, 6.1, 4.6}[i])
		}
		return s
	}
	for _, x := range []struct{ text, code, cell, says string }{
		{text("Time,Tank (NTU)", "06:00", "06:30", "07:00", "07:30", "06:00", "09:00"), "time-back", "A8", `"06:00" stands behind "07:30" and is counted as the next day, 22.5 h later`},
		{text("Time,Tank (NTU)", "06:00", "06:30", "07:00", "07:30", "08:00", "09:00", "01:00"), "time-back", "A10", `"01:00" stands behind "09:00" and is counted as the next day, 16 h later`},
		{text("Time,Tank (NTU)", "22:00", "23:00", "01:00", "03:00"), "next-day", "A6", `"01:00" stands behind "23:00" and is counted as the next day, 2 h later`},
		{text("Time,Tank (NTU)", "06:00", "06:30", "07:00", "07:30"), "", "", ""},
	} {
		j := judgedOf(t, x.text)
		back, next := notesOf(j, "time-back"), notesOf(j, "next-day")
		got := append(back, next...)
		if x.code == "" && len(got) > 0 || x.code != "" && (len(got) != 1 || got[0].Code != x.code || got[0].Cell != x.cell || got[0].Message != x.says) {
			t.Errorf("%s: %v", x.text, got)
		}
	}
	const do = "correct it, or put the rows in the order of their times; another run begins again at its first time, with three readings or more"
	for bad, says := range map[string]string{
		text("Time (h),Tank (NTU)", "0", "5", "10", "51", "20", "30"):                                                    `log.csv: A8: "20" goes back behind "51" of the row above: ` + do,
		text("Date and time,Tank (NTU)", "2026-03-02 06:00", "2026-03-02 07:00", "2026-03-02 08:00", "2026-03-02 01:00"): `log.csv: A7: "2026-03-02 01:00" goes back behind "2026-03-02 08:00" of the row above: ` + do,
	} {
		if _, err := Read("log.csv", strings.NewReader(bad)); err == nil || err.Error() != says {
			t.Errorf("%v, want %s", err, says)
		}
	}
	j := judgedOf(t, text("Heure,Bassin (NTU)", "18h00", "18h30", "19h00", "20h15"))
	if r := j.Results[0].Readings; len(r) != 4 || r[3].At != 2.25 {
		t.Errorf("%+v", r)
	}
}

// An outlet above its inlet asks; a tank that falls and rises again at the last tells no capture.
func TestOutletAboveInletAndRisingAgain(t *testing.T) {
	j := judgedOf(t, "Flow,12 m3/h\nTime (h),Inlet (NTU),Outlet (NTU)\n0,80,20\n1,62,70\n2,60,15\n3,55,14\n")
	got := notesOf(j, "outlet-above-inlet")
	if len(got) != 1 || got[0].Cell != "C4" || got[0].Message != "the outlet read 70 at 1 h, more than the inlet, 62" {
		t.Errorf("%v", got)
	}
	j = judgedOf(t, "Volume,60 m3\nFlow,12 m3/h\nTime (h),Tank (NTU)\n0,80\n5,46\n10,27\n15,16.5\n20,11\n30,20\n40,35\n")
	if _, ok := j.Enter(); ok || j.Results[0].Outcome != SourceGrows {
		t.Errorf("%s %+v", j.Results[0].Outcome, j.Results[0].Capture)
	}
	// By chance it is seldom: of runs that are honest to their floor, read to a tenth.
	r := rand.New(rand.NewPCG(8, 1))
	n := 0
	for range 400 {
		p := tankPoints(truth{start: 80, f: 4, e: 0.6, flow: 12}.read(r, even(12, 60), 0.1).Readings)
		if p.risesAtTheEnd() {
			n++
		}
	}
	t.Logf("%d of 400", n)
	if n > 4 {
		t.Errorf("%d of 400 rise by chance", n)
	}
}

// A bin that speaks against the readings is no support: half of what left the water and less, or half as much again.
func TestBalanced(t *testing.T) {
	for share, want := range map[quantity.Fraction]bool{0.18: false, 0.53: true, 1: true, 1.6: false} {
		if got := (Result{Closure: quantity.Some(Closure{Share: share})}).Balanced(); got != want {
			t.Errorf("%v: %v", share, got)
		}
	}
	if !(Result{}).Balanced() {
		t.Error("no bin speaks against nothing")
	}
}
