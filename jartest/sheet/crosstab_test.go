package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// The readings of a grid, doses 0, 10, 20 by 5, 15, 30 min; lines of one dose.
var settledGrid = [][]string{{"80", "70", "62"}, {"50", "40", "31"}, {"30", "18", "12"}}

func turnedRows(rows [][]string) [][]string {
	out := make([][]string, len(rows[0]))
	for _, r := range rows {
		for c, x := range r {
			out[c] = append(out[c], x)
		}
	}
	return out
}

// gridText writes a grid: lines above it, its top line, the marks down its side, lines below.
func gridText(above, top, side string, body [][]string, below string) string {
	text := above + top + "\n"
	for i, mark := range strings.Split(side, "|") {
		text += mark + ";" + strings.Join(body[i], ";") + "\n"
	}
	return text + below
}

// Settling times and doses make a grid either way round, wherever each is named: the last time
// is the reading, the others have names of their own.
func TestGridsOfTimesAndDoses(t *testing.T) {
	down, across := turnedRows(settledGrid), settledGrid
	for name, text := range map[string]string{
		"times over doses":             gridText(";Settling time (min);;\n", "Alum (mg/L);5;15;30", "0|10|20", across, "Turbidity NTU\n"),
		"the corner names both":        gridText("Turbidity (NTU)\n", `Alum (mg/L) \ settling time (min);5;15;30`, "0|10|20", across, ""),
		"the title names the times":    gridText("Turbidity (NTU) against settling time (min)\n", "Alum (mg/L);5;15;30", "0|10|20", across, ""),
		"doses with their unit across": gridText("Turbidity (NTU) over time - alum\n", "Time (min);0 mg/L;10 mg/L;20 mg/L", "5|15|30", down, ""),
		"dose named above":             gridText("Turbidity NTU;Alum dose (mg/L);;\n", "Minutes;0;10;20", "5|15|30", down, ""),
		"dose named in the corner":     gridText("Turbidity (NTU)\n", "Settling time (min) / alum dose (mg/L);0;10;20", "5|15|30", down, ""),
		"times with their unit":        gridText("Alum jar test - NTU after settling\n", ";0 mg/L;10 mg/L;20 mg/L", "5 min|15 min|30 min", down, ""),
		"chemical in each cell":        gridText("Turbidity (NTU)\n", "Time;Alum 0 mg/L;Alum 10 mg/L;Alum 20 mg/L", "5 min|15 min|30 min", down, ""),
		"in hours":                     gridText("Alum dose in mg/L\n", "Time (h);0;10;20", "0.0833333333333333|0.25|0.5", down, "Turbidity in NTU\n"),
		"in Spanish":                   gridText("", "Tiempo (min);0 mg/L;10 mg/L;20 mg/L", "5|15|30", down, "Turbidez en NTU con sulfato de aluminio\n"),
		"in Portuguese":                gridText("Turbidez (NTU) ao longo do tempo – sulfato de alumínio\n", "Tempo (min);0 mg/L;10 mg/L;20 mg/L", "5|15|30", down, ""),
		"in French":                    gridText("", "Temps (min);0 mg/L;10 mg/L;20 mg/L", "5|15|30", down, "Turbidité (NTU), sulfate d'aluminium\n"),
		"in Chinese":                   gridText("", "时间(min);0 mg/L;10 mg/L;20 mg/L", "5|15|30", down, "浊度(NTU) 硫酸铝\n"),
	} {
		_, res := codesOf(t, text)
		if len(res.Series) != 1 || len(res.Series[0].Jars) != 3 {
			t.Errorf("%s: %d series\n%v", name, len(res.Series), res.Notes)
			continue
		}
		if c := res.Series[0].Chemicals[0].Name; c != "alum" {
			t.Errorf("%s: the chemical is %s", name, c)
		}
		for _, j := range res.Series[0].Jars {
			row := settledGrid[int(j.Doses[0].Concentration)/10]
			for i, key := range []jartest.Key{"turbidity_5_min", "turbidity_15_min", jartest.Turbidity} {
				if got := fmt.Sprint(j.Readings.Of(key).Value); got != row[i] {
					t.Errorf("%s: %s at %v mg/L is %s, want %s", name, key, j.Doses[0].Concentration, got, row[i])
				}
			}
		}
	}
}

// pH that a title names, or that each heading says, is the pH that jars were set to; numbers
// that nothing names ask, and are neither times nor repeats.
func TestGridsOfPH(t *testing.T) {
	for name, x := range map[string]struct {
		text string
		asks bool
	}{
		"each heading":     {gridText("\"Alum / pH grid, reservoir water, turbidity in NTU after 20 min settling\"\n", "Alum (mg/L);pH 6.0;pH 6.5;pH 7.0", "0|10|20", settledGrid, ""), false},
		"a title by":       {gridText("\"Raw water from the beck: alum by pH, NTU\"\n", "Alum (mg/L);6.0;6.5;7.0", "0|10|20", settledGrid, ""), false},
		"a title versus":   {gridText("Turbidity (NTU) vs pH and alum (mg/L)\n", "Alum (mg/L);6;6.5;7", "0|10|20", settledGrid, ""), false},
		"a long title":     {gridText("Turbidity in NTU of the lake water at each pH and dose of alum\n", "Dose (mg/L);pH 6;pH 6.5;pH 7", "0|10|20", settledGrid, ""), false},
		"nothing names it": {gridText("Turbidity (NTU)\n", "Alum (mg/L);6;6.5;7", "0|10|20", settledGrid, ""), true},
		"no pH":            {gridText("Turbidity (NTU) by pH\n", "Alum (mg/L);60;65.5;70", "0|10|20", settledGrid, ""), true},
	} {
		_, res := codesOf(t, x.text)
		asked := slices.ContainsFunc(res.Notes, func(n note.Note) bool { return n.Level == note.Error })
		if asked != x.asks {
			t.Errorf("%s: asks %v, want %v\n%v", name, asked, x.asks, res.Notes)
		}
		if x.asks {
			continue
		}
		if len(res.Series) != 1 || len(res.Series[0].Jars) != 9 {
			t.Errorf("%s: %d series\n%v", name, len(res.Series), res.Notes)
			continue
		}
		for _, j := range res.Series[0].Jars {
			c := int((j.Settings["ph_target"] - 6) / 0.5)
			if got := fmt.Sprint(j.Readings.Of(jartest.Turbidity).Value); got != settledGrid[int(j.Doses[0].Concentration)/10][c] {
				t.Errorf("%s: jar %s has %s", name, j.Label, got)
			}
		}
	}
}

// "In" before a unit is no water before treatment.
func TestInAUnit(t *testing.T) {
	for head, raw := range map[string]bool{"Turbidity in NTU": false, "Turbidity in": true, "NTU in": true} {
		_, res := codesOf(t, table("Jar|1|2|3", "Alum (mg/L)|0|10|20", head+"|60|60|60", "Final turbidity (NTU)|62|31|12"))
		_, got := res.Series[0].Raw[jartest.Turbidity]
		if got != raw {
			t.Errorf("%s: raw water %v, want %v (%v)", head, got, raw, res.Notes)
		}
	}
}

// TestCornerWithTimes: minutes in the corner are the unit of the times and none of the doses;
// with 20 mg/L the last reading was 10 NTU and the first 40 or 30.
func TestCornerWithTimes(t *testing.T) {
	for corner, grid := range map[string]string{
		"Alum / Time (min)": "5,10,15\n10,40,30,20\n20,30,20,10\n40,20,10,4\n", "Time (min) / Alum": "10,20,40\n5,40,30,20\n10,30,20,10\n15,20,10,4\n",
	} {
		r := mustRead(t, "t.csv", "Turbidity (NTU)\n\n"+corner+","+grid, Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 3 {
			t.Errorf("%s: %v", corner, r.Notes)
			continue
		}
		j := r.Series[0].Jars[1]
		if d, x := j.Doses[0].Concentration, j.Readings.Of(jartest.Turbidity); d != 20 || x.Value != 10 || cautionsOf(r) != "settling-times unit-assumed" {
			t.Errorf("%s: %g mg/L %g NTU, says %q", corner, d, x.Value, cautionsOf(r))
		}
	}
}
