package clearing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// twoRuns are the courses of 70 and of 30 % of a tank of 60 m3 at 12 m3/h from 80 NTU to a floor of 4, C = 4 + 76·exp(−E·12·t/60), each row with what stands before and behind it.
func twoRuns(head string, before, behind [2]string) string {
	text := "Volume,60 m3\nFlow,12 m3/h\n\n" + head + "\n"
	for k, e := range []float64{0.7, 0.3} {
		for _, h := range []float64{0, 5, 10, 20, 30, 40} {
			text += fmt.Sprintf("%s%g,%.3f%s\n", before[k], h, clearedTo(e, h), behind[k])
		}
	}
	return text
}

// Every column that stays the same within a run and differs between runs sets them apart, wherever it stands, and the comparison goes by it; hours that begin again do where
// nothing else is told. Each run keeps its own capture, 70 and 30 %.
func TestWhatSetsRunsApart(t *testing.T) {
	none := [2]string{}
	for _, x := range []struct{ name, text, names, differs string }{
		{"skimming before the time", twoRuns("Run,Skim every (min),Time (h),Tank (NTU)", [2]string{"fast,10,", "slow,60,"}, none), "fast|slow", "skimming"},
		{"skimming behind it", twoRuns("Time (h),Tank (NTU),Skim every (min)", none, [2]string{",10", ",60"}), "skimmed every 10 min|skimmed every 60 min", "skimming"},
		{"a coagulant", twoRuns("Coagulant (mg/L),Time (h),Tank (NTU)", [2]string{"10,", "5,"}, none), "with 10 mg/L coagulant|with 5 mg/L coagulant", "coagulant"},
		{"its name", twoRuns("Alum (mg/L),Time (h),Tank (NTU)", [2]string{"10,", "none,"}, none), "with 10 mg/L coagulant|without coagulant", "coagulant"},
		{"of named runs", twoRuns("Run,Coagulant (mg/L),Time (h),Tank (NTU)", [2]string{"fast,10,", "slow,5,"}, none), "fast|slow", "coagulant"},
		{"a dose of something", twoRuns("Dose (mg/L),Time (h),Tank (NTU)", [2]string{"10,", "5,"}, none), "Dose 10 mg/L|Dose 5 mg/L", "name"},
		{"a setting in words", twoRuns("Setting,Time (h),Tank (NTU)", [2]string{"fast,", "slow,"}, none), "fast|slow", "name"},
		{"a figure that is not known", twoRuns("Time (h),Tank (NTU),Saturator (bar)", none, [2]string{",5", ",3"}), "Saturator 5 bar|Saturator 3 bar", "name"},
		{"a setting of counted runs", twoRuns("Run,Setting,Time (h),Tank (NTU)", [2]string{"A,fast,", "B,slow,"}, none), "A, fast|B, slow", "name"},
		{"polymer and days", twoRuns("Date,Time (h),Tank (NTU),Polymer (mg/L)", [2]string{"2026-03-02,", "2026-03-09,"}, [2]string{",0.2", ",0"}), "with 0.2 mg/L polymer|without polymer", "polymer"},
		{"days alone", twoRuns("Date,Time (h),Tank (NTU)", [2]string{"2026-03-02,", "2026-03-09,"}, none), "run 1|run 2", ""},
		{"nothing", twoRuns("Time (h),Tank (NTU)", none, none), "run 1|run 2", ""},
		{"a flow", strings.Replace(twoRuns("Flow (m3/h),Time (h),Tank (NTU)", [2]string{"12,", "6,"}, none), "Flow,12 m3/h\n", "", 1), "at 12 m3/h|at 6 m3/h", "flow"},
	} {
		j := judgedOf(t, x.text)
		if len(j.Results) != 2 {
			t.Errorf("%s: %s", x.name, seen(j.Trial))
			continue
		}
		if got := j.Results[0].Name + "|" + j.Results[1].Name; got != x.names {
			t.Errorf("%s: %s, want %s", x.name, got, x.names)
		}
		second := 0.3
		if x.differs == "flow" { // half the flow of the same rate is twice the capture
			second = 0.6
		}
		near(t, x.name, float64(j.Results[0].Capture.V), 0.7, 0.002)
		near(t, x.name, float64(j.Results[1].Capture.V), second, 0.002)
		if got := strings.Trim(fmt.Sprint(j.Comparisons[0].Differs), "[]"); got != x.differs {
			t.Errorf("%s: differs by %q, want %q", x.name, got, x.differs)
		}
		for _, n := range j.Notes {
			if n.Level == note.Caution && n.Code != "repeats-differ" && n.Code != "undosed-unknown" || n.Code == "column-not-used" {
				t.Errorf("%s: %v", x.name, n)
			}
		}
	}
}

// Rows of two settings that take turns are two runs, and one that is run again is a run of its own.
func TestSettingsThatTakeTurns(t *testing.T) {
	text := "Volume,60 m3\nFlow,12 m3/h\nTime (h),Setting,Tank (NTU)\n"
	for _, h := range []float64{0, 5, 10, 20, 30, 40} {
		text += fmt.Sprintf("%g,fast,%.3f\n%g,slow,%.3f\n", h, clearedTo(0.7, h), h, clearedTo(0.3, h))
	}
	j := judgedOf(t, text)
	if len(j.Results) != 2 || j.Results[0].Name != "fast" || math.Abs(float64(j.Results[1].Capture.V)-0.3) > 0.002 {
		t.Errorf("%s", seen(j.Trial))
	}
	turns := twoRuns("Setting,Time (h),Tank (NTU)", [2]string{"fast,", "slow,"}, [2]string{})
	again := strings.SplitN(turns, "Tank (NTU)\n", 2)[1]
	half := strings.Split(again, "slow,0")
	j = judgedOf(t, turns+"slow,0"+half[1]+half[0])
	if names := fmt.Sprint(j.Results[0].Name, j.Results[1].Name, j.Results[2].Name, j.Results[3].Name); len(j.Results) != 4 || names != "fastslowslow (2)fast (2)" || len(j.Groups) != 1 {
		t.Errorf("%s %+v", seen(j.Trial), j.Groups)
	}
}

// What goes up and down while the unit runs is no setting: a count of samples, gnats, and one and the same number are read and set nothing apart.
func TestColumnsThatSetNothingApart(t *testing.T) {
	for _, column := range []string{"Gnats", "#"} {
		text := "Volume,60 m3\nFlow,12 m3/h\nTime (h),Tank (NTU)," + column + "\n"
		for i, h := range []float64{0, 5, 10, 20, 30, 40} {
			text += fmt.Sprintf("%g,%.3f,%d\n", h, clearedTo(0.7, h), []int{3, 4, 3, 4, 3, 3}[i])
		}
		if j := judgedOf(t, text); len(j.Results) != 1 || len(notesOf(j, "column-not-used")) != 1 {
			t.Errorf("%s %v", seen(j.Trial), j.Notes)
		}
	}
}

// A dose of none in a cell of its own is none, and never a name; nor is a label of our own sheet.
func TestLabelsAreNoValues(t *testing.T) {
	table := "Time (h),Tank (NTU)\n0,80\n5,46\n10,27\n"
	got, err := Read("log.csv", strings.NewReader("Coagulant,none\nPolymer,none\nVolume,60 m3\n"+table))
	if r := got.Runs[0]; err != nil || !r.Coagulant.OK || r.Coagulant.V != 0 || !r.Polymer.OK || r.Polymer.V != 0 || got.Name != "" {
		t.Errorf("%v %q %+v", err, got.Name, got.Runs)
	}
	form := "Clearing trial: log of a run\nFill in the pale cells with a dark border\nWhat is set\nTrial,,,A short name\nRun,,,What is set in this run\nPolymer,none,mg/L,0 where none is dosed.\nMeter\nDone by,%s\n"
	for _, by := range []string{"", "me"} {
		got, err = Read("log.csv", strings.NewReader(fmt.Sprintf(form, by)+table))
		if r := got.Runs[0]; err != nil || got.Name != "" || r.Name != "run 1" || r.Named || !r.Polymer.OK {
			t.Errorf("%v %q %+v", err, got.Name, got.Runs)
		}
	}
	if got, err = Read("log.csv", strings.NewReader("Tank\nMeter\n"+table)); err != nil || got.Name != "" {
		t.Errorf("%v %q", err, got.Name)
	}
}

// Columns of runs are read by any name that runs have.
func TestColumnsOfRuns(t *testing.T) {
	for _, names := range [][2]string{{"run 1", "run 2"}, {"Run 1", "Run 2"}, {"Trial 1", "Trial 2"}, {"Tank run 1", "Tank run 2"}, {"Lauf 1", "Lauf 2"}, {"Test A", "Test B"}, {"Monday", "Tuesday"}} {
		got, err := Read("log.csv", strings.NewReader(fmt.Sprintf("Time (h),%s (NTU),%s (NTU)\n0,80,81\n5,46,60\n", names[0], names[1])))
		if err != nil || seen(got) != fmt.Sprintf("%s|turbidity: 0=80 5=46\n%s|turbidity: 0=81 5=60\n", names[0], names[1]) {
			t.Errorf("%v: %v %s", names, err, seen(got))
		}
	}
}

// Runs that are shown to differ are not put together, whatever their names tell: of 81 and 64 % the site gets the 64, the other stands beside it, and it is asked why. Of two that agree it gets the mean.
func TestRunsShownToDiffer(t *testing.T) {
	for _, x := range []struct {
		names  [2]string
		second float64
		pooled bool
	}{{[2]string{"Monday", "Tuesday"}, 0.64, false}, {[2]string{"tank 1", "tank 2"}, 0.64, false}, {[2]string{"a", "b"}, 0.64, false}, {[2]string{"Monday", "Tuesday"}, 0.81, true}} {
		text := fmt.Sprintf("Volume,60 m3\nFlow,12 m3/h\nTime (h),%s (NTU),%s (NTU)\n", x.names[0], x.names[1])
		for i, h := range []float64{0, 5, 10, 15, 20, 30, 40, 60} {
			text += fmt.Sprintf("%g,%.3f,%.3f\n", h, clearedTo(0.81, h)*(1+0.02*float64(i%3-1)), clearedTo(x.second, h)*(1+0.02*float64((i+1)%3-1)))
		}
		j := judgedOf(t, text)
		e, ok := j.Enter()
		asked := notesOf(j, "repeats-differ")
		if x.pooled {
			if !ok || len(e.Runs) != 2 || len(asked) != 0 {
				t.Errorf("%v: %+v %v", x.names, e, asked)
			}
			continue
		}
		if !ok || len(e.Runs) != 1 || e.Run != 1 || math.Abs(float64(e.Capture)-0.64) > 0.02 || len(e.Others) != 1 || e.Others[0].Runs[0] != 0 {
			t.Errorf("%v: %+v", x.names, e)
		}
		want := fmt.Sprintf("%s and %s are told as one setting, and are shown to differ: a pass takes out ", x.names[0], x.names[1])
		if len(asked) != 1 || !strings.HasPrefix(asked[0].Message, want) || asked[0].Level != note.Caution {
			t.Errorf("%v: %v", x.names, asked)
		}
	}
}
