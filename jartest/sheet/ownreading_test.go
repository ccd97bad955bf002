package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// What is done to the jars, what it costs and what is the same for all of them is not
// what was read.
func TestPlansHoldNoReadings(t *testing.T) {
	for _, column := range []string{"Mixing speed (rpm),100,200,300", "Target,5,6,7", "Volume (L),1,2,3", "Remarks,a,b,c", "Depth (cm),7,7,7", "Time,1,2,3"} {
		cells := strings.Split(column, ",")
		text := "Jar,Alum (mg/L)," + cells[0] + "\n1,0," + cells[1] + "\n2,20," + cells[2] + "\n3,40," + cells[3] + "\n"
		r, err := Read("plan.csv", strings.NewReader(text), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Series) > 0 || r.Notes.Err() == nil {
			t.Errorf("%s is read as a reading: %v", cells[0], r.Notes)
		}
	}
	r, err := Read("depth.csv", strings.NewReader("Jar,Alum (mg/L),Depth (cm)\n1,0,7\n2,20,12\n3,40,31\n"), Options{})
	if err != nil || len(r.Series) != 1 || r.Notes.Worst() > note.Info {
		t.Errorf("a depth: %v, %v", r.Notes, err)
	}
}
