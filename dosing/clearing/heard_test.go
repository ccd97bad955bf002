package clearing

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// log reads a text as a log.
func log(t *testing.T, text string) Trial {
	t.Helper()
	got, err := Read("log.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// cells are where the notes of a code stand.
func cells(j Judged, code string) (out []string) {
	for _, n := range notesOf(j, code) {
		out = append(out, n.Cell)
	}
	return out
}

// A pump that stood from 6 to 9 h, of a tank of 60 m3 at 12 m3/h and a capture of 60 %: C = 4 + 76·exp(−0.12·h) of the hours that it ran, so that 6 h and 9 h read the same. However the cell says it, the
// capture is 60 %; a word that says nothing of a flow is asked about by its cell.
func TestPumpThatStood(t *testing.T) {
	text := func(said string) string {
		out := "Volume,60 m3\nTime (h),Flow (m3/h),Tank (NTU)\n"
		for i, h := range []float64{0, 3, 6, 9, 12, 16, 20, 25, 30, 36} {
			q, ran := "12", h
			if h == 9 {
				q = said
			}
			if h >= 9 {
				ran -= 3
			}
			out += fmt.Sprintf("%g,%s,%.4f\n", h, q, (4+76*math.Exp(-0.12*ran))*(1+0.002*float64(i%3-1)))
		}
		return out
	}
	for said, code := range map[string]string{"0": "", "off": "flow-stood", "stopped": "flow-stood", "standing": "flow-stood", "none": "flow-stood", "aus": "flow-stood", "-": "flow-dash"} {
		j := Judge(log(t, text(said)))
		near(t, said, float64(j.Results[0].Capture.V), 0.6, 0.005)
		if code != "" && !slices.Equal(cells(j, code), []string{"B6"}) {
			t.Errorf("%q: %v", said, j.Trial.Notes)
		}
	}
	for _, said := range []string{"fast", "12?", "ca. 12"} {
		j := Judge(log(t, text(said)))
		if n := slices.Concat(cells(j, "cell-not-used"), cells(j, "marked-value"), cells(j, "approximate")); !slices.Equal(n, []string{"B6"}) {
			t.Errorf("%q: %v", said, j.Trial.Notes)
		}
	}
	// A column that says only when it stood, and one that tells whether the unit ran, say the same.
	for _, x := range []string{"Flow (m3/h)", "Unit"} {
		of := strings.Replace(text("off"), "Flow (m3/h)", x, 1)
		of = strings.ReplaceAll(of, ",12,", map[bool]string{true: ",on,", false: ",,"}[x == "Unit"])
		j := Judge(log(t, "Flow,12 m3/h\n"+of))
		near(t, x, float64(j.Results[0].Capture.V), 0.6, 0.005)
		if j.Results[0].Off {
			t.Errorf("%s: a run that stood for a while is none with the unit off", x)
		}
	}
}

// A volume of 60 m3 that falls to 45 at 15 h, by hand: C = 4 + 76·exp(−0.12·h) to 15 h, from then on 0.16 in place of 0.12. A volume that rises is refused with its cell, since what came in is not known.
func TestVolumeThatChanges(t *testing.T) {
	text := func(after float64) string {
		out := "Flow,12 m3/h\nTime (h),Volume (m3),Tank (NTU)\n"
		for i, h := range []float64{0, 5, 10, 15, 20, 30, 40} {
			v, turned := 60.0, 0.12*h
			if h >= 15 {
				v, turned = after, 0.12*15+0.6*12/after*(h-15)
			}
			out += fmt.Sprintf("%g,%g,%.4f\n", h, v, (4+76*math.Exp(-turned))*(1+0.002*float64(i%3-1)))
		}
		return out
	}
	j := Judge(log(t, text(45)))
	x := j.Results[0]
	near(t, "capture", float64(x.Capture.V), 0.6, 0.005)
	near(t, "floor", x.Floor.V, 4, 0.05)
	if !slices.Equal(cells(j, "volume-varied"), []string{"B2"}) || !strings.Contains(notesOf(j, "volume-varied")[0].Message, "fell from 60 m3 to 45 m3") {
		t.Errorf("%v", j.Results[0].Notes)
	}
	j = Judge(log(t, text(80)))
	if x := j.Results[0]; x.Outcome != WaterAdded || !slices.Equal(cells(j, "water-added"), []string{"B6"}) {
		t.Errorf("%s %v", x.Outcome, x.Notes)
	}
	j = Judge(log(t, text(61))) // as it is read
	if x := j.Results[0]; x.Outcome != Found || notesOf(j, "water-added") != nil {
		t.Errorf("%s %v", x.Outcome, x.Notes)
	}
}

// What voids a jar voids a reading: of the exact course of 60 % the reading at 15 h is 33 in place of 16.56, and is not counted. Every other remark is kept with its hour, and what says that something
// was put in, changed or stood is a caution; a comma that parts a remark loses none of it.
func TestRemarks(t *testing.T) {
	text := func(remark string) string {
		out := "Volume,60 m3\nFlow,12 m3/h\nTime (h),Tank (NTU),Remarks\n"
		for _, h := range []float64{0, 5, 10, 15, 20, 30, 40} {
			c, said := 4+76*math.Exp(-0.12*h), ""
			if h == 15 {
				c, said = 33, remark
			}
			out += fmt.Sprintf("%g,%.4f,%s\n", h, c, said)
		}
		return out
	}
	for _, x := range []struct {
		remark, code string
		void         bool
	}{
		{"spoiled, do not use", "reading-voided", true}, {"discard", "reading-voided", true}, {"fed 2 kg", "changed-meanwhile", false}, {"new water", "changed-meanwhile", false},
		{"refilled", "changed-meanwhile", false}, {"pump stopped 1 h", "stopped-meanwhile", false}, {"misread?", "remark", false}, {"foam thin", "", false}, {"not fed", "", false},
	} {
		j := Judge(log(t, text(x.remark)))
		r := j.Results[0]
		if void := len(r.Readings) == 6; void != x.void {
			t.Errorf("%q: %d readings", x.remark, len(r.Readings))
		}
		if x.void {
			near(t, x.remark, float64(r.Capture.V), 0.6, 1e-4)
		}
		said := append([]note.Note{}, j.Trial.Notes.Only(note.Caution)...)
		if x.code == "" && len(said) > 0 || x.code != "" && !slices.Equal(cells(j, x.code), []string{"C7"}) {
			t.Errorf("%q: %v", x.remark, said)
		}
		if len(r.Remarks) != 1 || r.Remarks[0].Text != x.remark || r.Remarks[0].At.V != 15 || r.Remarks[0].Place.Cell != "C7" {
			t.Errorf("%q: %+v", x.remark, r.Remarks)
		}
	}
}

// A reading with a mark is read and named by its cell, a range by its middle; "22 (ignore)" is left out as it says.
func TestMarkedReadings(t *testing.T) {
	j := Judge(log(t, "Volume,60 m3\nFlow,12 m3/h\nTime (h),Tank (NTU)\n0,80\n5,ca. 46\n10,27?\n15,~16.5\n17,50 (ignore)\n20,10.8-11.2\n30,6.1 (dirty)\n40,4.6\n"))
	for code, at := range map[string][]string{"approximate": {"B5", "B7"}, "marked-value": {"B6", "B9", "B10"}, "reading-voided": {"B8"}} {
		if got := cells(j, code); !slices.Equal(got, at) {
			t.Errorf("%s: %v", code, got)
		}
	}
	r := j.Results[0]
	if len(r.Readings) != 7 || r.Readings[4].Tank.V != 11 || r.Readings[1].Step != 0.1 {
		t.Errorf("%+v", r.Readings)
	}
}

// Amounts that cannot be are faults with their cells.
func TestImpossibleAmounts(t *testing.T) {
	for text, cell := range map[string]string{
		"Volume,-60 m3\nTime (h),Tank (NTU)\n0,80\n5,46\n": "B1", "Volume,0 m3\nTime (h),Tank (NTU)\n0,80\n5,46\n": "B1", "Flow,-12 m3/h\nTime (h),Tank (NTU)\n0,80\n5,46\n": "B1",
		"Time (h),Flow (m3/h),Tank (NTU)\n0,12,80\n5,-12,46\n": "B3", "Time (h),Volume (m3),Tank (NTU)\n0,60,80\n5,0,46\n": "B3",
	} {
		_, err := Read("log.csv", strings.NewReader(text))
		if l := note.Of(err, ""); len(l) != 1 || l[0].Code != "impossible" || l[0].Cell != cell {
			t.Errorf("%q: %v", text, err)
		}
	}
}
