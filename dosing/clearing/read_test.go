package clearing

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest"
)

// seen is a trial as one line for each run: name, flow, volume, polymer, readings.
func seen(t Trial) string {
	var b strings.Builder
	for _, r := range t.Runs {
		fmt.Fprintf(&b, "%s|%s", r.Name, r.Key)
		if r.Flow.OK {
			fmt.Fprintf(&b, "|Q %.4g", float64(r.Flow.V))
		}
		if r.Volume.OK {
			fmt.Fprintf(&b, "|V %.4g", r.Volume.V.In("m3"))
		}
		if r.Polymer.OK {
			fmt.Fprintf(&b, "|P %.3g", float64(r.Polymer.V))
		}
		if r.Skim.OK {
			fmt.Fprintf(&b, "|skim %.3g", float64(r.Skim.V))
		}
		if r.Off {
			b.WriteString("|off")
		}
		b.WriteString(":")
		for _, x := range r.Readings {
			fmt.Fprintf(&b, " %.4g=", float64(x.At))
			if x.Tank.OK {
				fmt.Fprintf(&b, "%.4g", x.Tank.V)
			}
			if x.Out.OK {
				fmt.Fprintf(&b, "[%.4g>%.4g]", x.In.V, x.Out.V)
			}
		}
		b.WriteString("\n")
	}
	return b.String()
}

func codes(t Trial) (out []string) {
	for _, n := range t.Notes {
		out = append(out, n.Code)
	}
	for _, r := range t.Runs {
		for _, n := range r.Notes {
			out = append(out, n.Code)
		}
	}
	return out
}

// TestLayouts reads one log in the ways that people write it. The numbers are checked by eye against the text.
func TestLayouts(t *testing.T) {
	for _, x := range []struct{ name, text, want, notes string }{
		{"long facts above", "Rearing tank\nVolume,60 m3\nFlow: 12 m3/h\nPolymer,0.2 mg/L\n\nTime (h),Tank (NTU)\n0,80\n5,46\n10,27\n15,16.5\n",
			"Rearing tank|turbidity|Q 12|V 60|P 0.2: 0=80 5=46 10=27 15=16.5\n", ""},
		{"units in labels", "Volume (m3),60\nFlow (m3/h),12\nTime (min),NTU\n0,80\n300,46\n600,27\n",
			"run 1|turbidity|Q 12|V 60: 0=80 5=46 10=27\n", ""},
		{"units beside", "Volume,60,m3\nFlow,12,m3/h\n\nhours,turbidity NTU\n0,80\n5,46\n",
			"run 1|turbidity|Q 12|V 60: 0=80 5=46\n", ""},
		{"runs in columns", "Volume,60 m3\nFlow,12 m3/h\n\nTime (h),NTU 0.2 mg/L polymer,NTU without polymer\n0,80,81\n5,46,60\n10,27,46\n",
			"0.2 mg/L polymer|turbidity|Q 12|V 60|P 0.2: 0=80 5=46 10=27\nwithout polymer|turbidity|Q 12|V 60|P 0: 0=81 5=60 10=46\n", ""},
		{"settings above columns", "Volume (m3),60,60\nFlow (m3/h),12,8\nPolymer (mg/L),0.2,none\nTime (h),A (NTU),B (NTU)\n0,80,81\n5,46,60\n",
			"A|turbidity|Q 12|V 60|P 0.2: 0=80 5=46\nB|turbidity|Q 8|V 60|P 0: 0=81 5=60\n", ""},
		{"blocks", "Volume: 60 m3\nFlow: 12 m3/h\nRun: with polymer\nPolymer: 0.2 mg/L\nTime (h),NTU\n0,80\n5,46\n\nRun: without polymer\nPolymer: none\nTime (h),NTU\n0,81\n5,60\n",
			"with polymer|turbidity|Q 12|V 60|P 0.2: 0=80 5=46\nwithout polymer|turbidity|Q 12|V 60|P 0: 0=81 5=60\n", "volume-taken flow-taken"},
		{"blank rows between", "Volume,60 m3\nTime (h),Tank (NTU)\n0,80\n5,46\n\n10,27\n,,\n,,\n15,16.5\n", "run 1|turbidity|V 60: 0=80 5=46 10=27 15=16.5\n", ""},
		{"a line of words between", "Time (h),Tank (NTU)\n0,80\n5,46\n\nskimmer set anew\n10,27\n15,16.5\n", "run 1|turbidity: 0=80 5=46\n", "rows-below line-not-used line-not-used line-not-used line-not-used"},
		{"a mean below", "Time (h),Tank (NTU)\n0,80\n,,\n5,46\naverage,63\n", "run 1|turbidity: 0=80 5=46\n", "line-not-used"},
		{"a mean below a blank row", "Time (h),Tank (NTU)\n0,80\n5,46\n\nmean,63\n", "run 1|turbidity: 0=80 5=46\n", "line-not-used"},
		{"facts below", "Time (h),Tank (NTU)\n0,80\n5,46\n\nVolume,60 m3\nFlow,12 m3/h\n", "run 1|turbidity: 0=80 5=46\n", ""},
		{"a day beside hours", "Date,Time (h),Tank (NTU)\n2026-03-02,0,80\n2026-03-02,5,46\n2026-03-03,30,6.1\n", "run 1|turbidity: 0=80 5=46 30=6.1\n", ""},
		{"a day beside hours of runs", "Run,Date,Time (h),Tank (NTU)\nA,2026-03-02,0,80\nA,2026-03-02,5,46\nB,2026-03-05,0,81\nB,2026-03-05,5,60\n",
			"A|turbidity: 0=80 5=46\nB|turbidity: 0=81 5=60\n", ""},
		{"side by side", "Time (h),With polymer NTU,,Time (h),Without polymer NTU\n0,80,,0,81\n5,46,,6,60\n",
			"With polymer|turbidity: 0=80 5=46\nWithout polymer|turbidity|P 0: 0=81 6=60\n", ""},
		{"side by side under one heading", "Time (h),Tank NTU,,Time (h),Tank NTU\n0,80,,0,81\n5,46,,6,60\n",
			"run 1|turbidity: 0=80 5=46\nrun 2|turbidity: 0=81 6=60\n", ""},
		{"a column of runs", "Run,Time (h),NTU,Flow (m3/h)\nA,0,80,12\nA,5,46,12\nB,0,81,8\nB,5,60,8\n",
			"A|turbidity|Q 12: 0=80 5=46\nB|turbidity|Q 8: 0=81 5=60\n", ""},
		{"a column of runs, named once", "Run;Time (h);NTU\nA;0;80,5\n;5;46,2\nB;0;81,1\n;5;60,3\n",
			"A|turbidity: 0=80.5 5=46.2\nB|turbidity: 0=81.1 5=60.3\n", ""},
		{"clock past midnight", "Time,NTU\n18:00,80\n23:00,46\n04:00,27\n",
			"run 1|turbidity: 0=80 5=46 10=27\n", "next-day"},
		{"date and clock", "Date,Time,NTU\n2026-03-02,18:00,80\n2026-03-02,23:00,46\n2026-03-03,04:00,27\n",
			"run 1|turbidity: 0=80 5=46 10=27\n", ""},
		{"date with time, day first", "Date,NTU\n28/03/2026 18:00,80\n28/03/2026 23:00,46\n29/03/2026 04:00,27\n",
			"run 1|turbidity: 0=80 5=46 10=27\n", ""},
		{"times across", "Time (h),0,5,10,15\nTank (NTU),80,46,27,16.5\n",
			"run 1|turbidity: 0=80 5=46 10=27 15=16.5\n", ""},
		{"solids", "Time (h),Suspended solids (mg/L)\n0,120\n5,69\n",
			"run 1|tss: 0=120 5=69\n", ""},
		{"inlet and outlet", "Time (h),Inlet (NTU),Outlet (NTU)\n0,50,20\n1,55,22\n2,60,24\n",
			"run 1|turbidity: 0=[50>20] 1=[55>22] 2=[60>24]\n", ""},
		{"tank and outlet", "Time (h),Tank (NTU),Outlet (NTU)\n0,50,20\n1,45,18\n",
			"run 1|turbidity: 0=50[50>20] 1=45[45>18]\n", ""},
		{"FNU, a gap and a limit", "Time (h),Tank FNU\n0,80\n5,\n10,27\n20,<5\n",
			"run 1|turbidity: 0=80 10=27\n", "fnu reading-limit"},
		{"with the unit off", "Run: unit off, water going round\nTime (h),NTU\n0,20\n5,18\n",
			"unit off, water going round|turbidity|off: 0=20 5=18\n", ""},
		{"unit in a title", "Turbidity in NTU\nTime (h),Run A,Run B\n0,80,81\n5,46,60\n", "Run A|turbidity: 0=80 5=46\nRun B|turbidity: 0=81 5=60\n", ""},
		{"a strange column and a line", "Volume,60 m3\nblower set to 3\nTime (h),NTU,Gnats\n0,80,4\n5,46,2\n",
			"blower set to 3|turbidity|V 60: 0=80 5=46\n", "column-not-used"},
		{"before the start", "Time (h),NTU\n-1,82\n0,80\n5,46\n",
			"run 1|turbidity: 0=80 5=46\n", "before-start"},
		{"the unit stopped", "Time (h),NTU,Remark\n0,80,\n5,46,pump stopped 1 h\n10,27,\n",
			"run 1|turbidity: 0=80 5=46 10=27\n", "stopped-meanwhile"},
		{"gallons", "Volume,16000 gal\nFlow,50 gpm\nTime (h),NTU\n0,80\n5,46\n",
			"run 1|turbidity|Q 11.36|V 60.57: 0=80 5=46\n", ""},
		{"flow by row", "Volume,60 m3\nTime (h),NTU,Flow (m3/h)\n0,80,10\n5,46,14\n10,27,12\n",
			"run 1|turbidity|Q 12|V 60: 0=80 5=46 10=27\n", "flow-varied"},
		{"a column that says whether the unit ran", "Run,Unit,Time (h),NTU\nA,by-passed,0,20\nA,by-passed,5,18\nB,running,0,80\nB,running,5,46\n", "A|turbidity|off: 0=20 5=18\nB|turbidity: 0=80 5=46\n", ""},
		{"skimming", "Skim every (min),30\nTime (h),NTU\n0,80\n5,46\n", "run 1|turbidity|skim 0.5: 0=80 5=46\n", ""},
		{"a watch beyond a day", "Elapsed,NTU\n0:00,80\n5:30,46\n30:15,6.1\n", "run 1|turbidity: 0=80 5.5=46 30.25=6.1\n", ""},
		{"a watch that says elapsed", "Time elapsed,NTU\n0:00,80\n0:30,46\n", "run 1|turbidity: 0=80 0.5=46\n", ""},
		{"units in the cells", "Time after start,Turb\n0 h,80\n30 min,46\n10 h,27\n", "run 1|turbidity: 0=80 0.5=46 10=27\n", ""},
		{"one cell for day and clock", "Date/time,NTU in tank\n28/03/2026 06:00,80\n28/03/2026 11:00,46\n29/03/2026 02:00,11\n", "run 1|turbidity: 0=80 5=46 20=11\n", ""},
		{"a tank's inlet", "Time (h),Tank (NTU),Tank inlet (NTU)\n0,80,33\n5,46,19\n", "run 1|turbidity: 0=80 5=46\n", "column-not-used"},
		{"a number of the sample", "#,h,NTU\n1,0,80\n2,5,46\n", "run 1|turbidity: 0=80 5=46\n", "column-not-used"},
		{"the unit beside each reading", "Time (h),Tank\n0,80 NTU\n5,46 NTU\n", "run 1|turbidity: 0=80 5=46\n", ""},
		{"hours as the French write them", "Time,Tank (NTU)\n0h00,80\n5h,46\n10 h,27\n30h30,6.1\n", "run 1|turbidity: 0=80 5=46 10=27 30.5=6.1\n", ""},
		{"days that are counted", "Day,Clock,Tank (NTU)\n1,08:00,80\nDay 1,13:00,46\n2,04:00,11\n,06:30,10\n3,00:00,4.6\n", "run 1|turbidity: 0=80 5=46 20=11 22.5=10 40=4.6\n", ""},
		{"runs below each other", "Run,0 h,5 h,10 h,15 h\nwith NTU,80,46,27,16.5\nwithout NTU,80,58,43,33\n", "with|turbidity: 0=80 5=46 10=27 15=16.5\nwithout|turbidity: 0=80 5=58 10=43 15=33\n", ""},
		{"runs below each other that say no unit", "Run,0 h,5 h,10 h,15 h\nwith,80,46,27,16.5\nwithout,80,58,43,33\n", "", ""},
		{"from the last to the first", "Time (h),NTU\n10,27\n5,46\n0,80\n", "run 1|turbidity: 0=80 5=46 10=27\n", "latest-first"},
		{"begun again below a blank row", "Time (h),NTU\n0,80\n5,46\n10,27\n\n0,81\n5,60\n10,46\n", "run 1|turbidity: 0=80 5=46 10=27\nrun 2|turbidity: 0=81 5=60 10=46\n", "run-begins"},
	} {
		got, err := Read("log.csv", strings.NewReader(x.text))
		if x.want == "" {
			if err == nil || !strings.Contains(fmt.Sprint(err), "log.csv") {
				t.Errorf("%s: %v, %s", x.name, err, seen(got))
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", x.name, err)
			continue
		}
		if s := seen(got); s != x.want {
			t.Errorf("%s:\n%swant\n%s", x.name, s, x.want)
		}
		if s := strings.Join(codes(got), " "); s != x.notes {
			t.Errorf("%s: notes %q, want %q: %v", x.name, s, x.notes, got.Notes)
		}
	}
}

// TestNotRead: what is not understood speaks, with its cell.
func TestNotRead(t *testing.T) {
	for _, x := range []struct{ name, text, code, cell string }{
		{"no log", "a,b\n1,2\n", NoTrial, ""},
		{"a meter log", "Time,Flow (m3/h)\n06:00,12\n07:00,12\n", NoTrial, ""},
		{"time without a unit", "Time,NTU\n0,80\n5,46\n", "time-unit", "A1"},
		{"a reading in words", "Time (h),NTU\n0,80\n5,murky\n", "bad-reading", "B3"},
		{"a reading with a mark in it", "Time (h),NTU\n0,80\n5,2?7\n", "bad-reading", "B3"},
		{"a reading below nothing", "Time (h),NTU\n0,80\n5,-4\n", "bad-reading", "B3"},
		{"a reading without a time", "Time (h),NTU\n0,80\n?,46\n5,30\n", "bad-time", "A3"},
		{"two readings that begin again", "Time (h),NTU\n0,80\n5,46\n10,27\n\n0,81\n5,60\n", "time-back", "A6"},
		{"unsorted", "Time (h),NTU\n10,27\n0,80\n5,46\n", "time-back", "A3"},
		{"one of a run that goes back", "Run,Time (h),NTU\nA,0,80\nA,5,46\nA,10,27\nA,7,36\n", "time-back", "B5"},
		{"hours that begin again on another day", "Date,Time (h),NTU\n2026-03-02,8,80\n2026-03-02,16,46\n2026-03-03,8,27\n", "hours-of-what", "B4"},
		{"a tube", "Time (h),Tube (cm)\n0,8\n5,20\n", "reading-unit", "B1"},
		{"the depth of a tube", "Time (h),Tank (cm)\n0,8\n5,20\n", "reading-unit", "B1"},
		{"FAU", "Time (h),Tank (FAU)\n0,8\n5,20\n", "reading-unit", "B1"},
		{"a flow without a unit", "Flow,12\nTime (h),NTU\n0,80\n5,46\n", "fact-unit", "B1"},
		{"a volume in words", "Volume,big\nTime (h),NTU\n0,80\n5,46\n", "bad-volume", "B1"},
		{"a goal in another unit", "Goal,10 mg/L\nTime (h),Tank (NTU)\n0,80\n5,46\n", "goal-unit", "B1"},
		{"not filled in", "Time (h),Tank (NTU)\n0,\n5,\n", "not-filled", "A1"},
		{"a reading in another unit", "Time (h),Tank (NTU)\n0,80\n5,46 mg/L\n", "reading-unit", "B3"},
		{"dates both ways", "Date,NTU\n13/03/2026 18:00,80\n03/14/2026 23:00,46\n", "dates-mixed", "A1"},
	} {
		_, err := Read("log.csv", strings.NewReader(x.text))
		if err == nil || !strings.Contains(fmt.Sprintf("%#v", err), `"`+x.code+`"`) {
			t.Errorf("%s: %v, want %s", x.name, err, x.code)
			continue
		}
		if x.cell != "" && !strings.Contains(err.Error(), x.cell+":") {
			t.Errorf("%s: %v, want cell %s", x.name, err, x.cell)
		}
	}
}

// TestDoubtOfAReading: why a reading is none stands before what to do.
func TestDoubtOfAReading(t *testing.T) {
	_, err := Read("log.csv", strings.NewReader("Time (h),NTU\n0,80\n5,2?7\n"))
	if want := `log.csv: B3: "2?7" is no reading: it has text after the number: correct it, or leave the cell empty where nothing was read`; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

// TestDoubts: what stands behind ± is the uncertainty, as a share or in the unit.
func TestDoubts(t *testing.T) {
	for text, want := range map[string]float64{"60 m3 ± 5 %": 0.05, "60 m3 ± 3 m3": 0.05, "60 ± 3 m3": 0.05, "60 m3 +/- 5%": 0.05} {
		got, err := Read("log.csv", strings.NewReader("Volume,"+text+"\nTime (h),NTU\n0,80\n5,46\n"))
		if err != nil || math.Abs(float64(got.Runs[0].VolumeUnsure)-want) > 1e-12 || got.Runs[0].Volume.V.In("m3") != 60 {
			t.Errorf("%s: %v %+v", text, err, got.Runs)
		}
	}
}

// TestBinAndGoal reads what was weighed and the goal.
func TestBinAndGoal(t *testing.T) {
	got, err := Read("log.csv", strings.NewReader("Volume,60 m3\nFloat weighed (kg),200\nDry solids of the float (%),3\nGoal,10 NTU\nTime (h),NTU\n0,80\n40,5.0\n"))
	if err != nil {
		t.Fatal(err)
	}
	r := got.Runs[0]
	if w := r.Bin.Weighed(); !w.OK || math.Abs(float64(w.V)-6) > 1e-9 || !got.Goal.OK || got.Goal.V != 10 {
		t.Errorf("%+v %+v", r.Bin, got.Goal)
	}
	if r.Readings[0].Step != 0.1 || r.Key != jartest.Turbidity { // 5.0 shows the step
		t.Errorf("%+v", r.Readings)
	}
}

// TestWorkbook reads a workbook as people keep it: a sheet of facts, and one for each run, its times by day and clock in one cell, by a
// clock alone, or by a day and a clock in two.
func TestWorkbook(t *testing.T) {
	f := excelize.NewFile()
	put := func(sheet string, rows ...[]any) {
		if _, err := f.NewSheet(sheet); err != nil {
			t.Fatal(err)
		}
		for i, r := range rows {
			if err := f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &r); err != nil {
				t.Fatal(err)
			}
		}
	}
	style := func(sheet, from, to, format string) {
		id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err == nil {
			err = f.SetCellStyle(sheet, from, to, id)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	put("Info", []any{"Rearing tank of the hatchery"}, []any{"Volume (m3)", 60}, []any{"Flow", "12 m3/h"}, []any{"Goal", "10 NTU"}, []any{"Pump serviced in 2025, 3 seals"})
	put("Monday", []any{"When", "NTU"}, []any{46146.75, 80}, []any{46146.958333333336, 46}, []any{46147.166666666664, 27})
	style("Monday", "A2", "A4", "yyyy-mm-dd hh:mm")
	put("Tuesday", []any{"Clock", "NTU"}, []any{0.75, 80}, []any{0.958333333333333, 46}, []any{0.166666666666667, 27})
	style("Tuesday", "A2", "A4", "hh:mm")
	put("Wednesday", []any{"Date", "Time", "Turbidity (NTU)"}, []any{46146, 0.75, 80}, []any{46146, 0.958333333333333, 46}, []any{46147, 0.166666666666667, 27})
	style("Wednesday", "A2", "A4", "yyyy-mm-dd")
	style("Wednesday", "B2", "B4", "hh:mm")
	if err := f.DeleteSheet("Sheet1"); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	got, err := Read("log.xlsx", &b)
	if err != nil {
		t.Fatal(err)
	}
	want := ""
	for _, day := range []string{"Monday", "Tuesday", "Wednesday"} {
		want += day + "|turbidity|Q 12|V 60: 0=80 5=46 10=27\n"
	}
	if s := seen(got); s != want || got.Goal.V != 10 {
		t.Errorf("%swant\n%s, goal %v", s, want, got.Goal)
	}
	if s := strings.Join(codes(got), " "); s != "next-day volume-taken flow-taken volume-taken flow-taken volume-taken flow-taken" {
		t.Errorf("%s: %v", s, got.Notes)
	}
}
