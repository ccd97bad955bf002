package sheet

import (
	"strings"
	"testing"
)

// TestThingsWithAVolumeAreUnits: what a line gives a volume counts volumes of stock in the columns that
// count it. By hand: n things of v mL of a stock of 10 g/L in 1 L are 10 n v mg/L.
func TestThingsWithAVolumeAreUnits(t *testing.T) {
	for _, c := range []struct {
		line, head string
		dose       float64 // of the jar that got 20; 0 where it must ask
		says       string
	}{
		{"1 mark on the syringe = 0.05 mL", "Alum (marks)", 10, ""},
		{"20 divisions = 1 mL", "Alum (divisions)", 10, ""},
		{"One press,0.2 mL", "Alum presses", 40, ""},
		{"1 Teilstrich = 0.05 mL", "Alum (Teilstriche)", 10, ""},
		{"1 pulso = 0.1 mL", "Alum (pulsos)", 20, ""},
		{`"Pump checked, 1 stroke = 0.1 mL"`, "Alum (strokes)", 20, ""},
		{"Drop volume,0.05 mL", "Alum stock (drops)", 10, ""},
		{"Drop size: 0.05 mL", "Alum stock (drops)", 10, ""},
		{"Volume of a drop,0.05,mL", "Alum stock (drops)", 10, ""},
		{"One drop,0.05 mL", "Alum stock (drops)", 10, ""},
		{"Drops per mL,20", "Alum stock (drops)", 10, ""},
		{"1 mark = 0.05 mL\n1 mark = 0.1 mL", "Alum (marks)", 0, "facts-disagree"},
		{"1 cap = 0.05 mL", "Alum (marks)", 0, "dose-unit-missing"},
		{"1 mark = 2 L", "Alum (marks)", 0, "dose-unit-missing"},
		{"Bench 2", "Alum (syringe divisions of 0.05 mL)", 0, "unit-not-understood"},
		{"Bench 2", "Alum (pulses à 0.5 mL)", 0, "unit-not-understood"},
	} {
		text := c.line + "\nStock 10 g/L\nJar volume 1 L\n\nJar," + c.head + ",NTU\n1,0,48\n2,20,30\n3,40,14\n"
		r := mustRead(t, "s.csv", text, Options{})
		got := 0.0
		if len(r.Series) == 1 && len(r.Series[0].Jars[1].Doses) == 1 {
			got = float64(r.Series[0].Jars[1].Doses[0].Concentration)
		}
		said := cautionsOf(r)
		if !same(got, c.dose) || c.dose > 0 && said != "" || !strings.Contains(said, c.says) {
			t.Errorf("%s over %s: %g mg/L, want %g; says %q, want %q", c.line, c.head, got, c.dose, said, c.says)
		}
	}
}

// TestTwoValuesOfOneFactAsk: a fact that a sentence gives twice differently, or to some jars, is not taken.
func TestTwoValuesOfOneFactAsk(t *testing.T) {
	for line, dose := range map[string]float64{
		"Jars 1 and 2 hold 1 L, jar 3 holds 2 L": 0,
		"Jar volume 1 L, last jar 2 L":           0,
		"Two 1 L jars and one 2 L jar":           0,
		"Two jars 1 L, one jar 500 mL":           0,
		"Jars of 2 L, the last with 1 L":         0,
		"Becher 1 und 2: 1 L, Becher 3: 2 L":     0,
		"Jarras de 1 L, la última de 2 L":        0,
		"Bocaux de 1 L, le dernier bocal de 2 L": 0,
		"Jar 3 was 2 L":                          0,
		"1 L jars, filled to 800 mL":             25, // 20 mg in 0.8 L
		"Beaker 2 L, volume used 1 L":            20,
		"Three 1 L jars":                         20,
		"Jars 1 to 3 hold 1 L":                   20,
		"Six 1 L jars, 30 seconds rapid mix":     20,
		"First test of spring, jars of 1 L":      20,
	} {
		r := mustRead(t, "s.csv", `"`+line+`"`+"\nStock 10 g/L\n\nJar,Alum (mL),NTU\n1,0,48\n2,2,30\n3,4,14\n", Options{})
		got := 0.0
		if len(r.Series) == 1 && len(r.Series[0].Jars[1].Doses) == 1 {
			got = float64(r.Series[0].Jars[1].Doses[0].Concentration)
		}
		if said := cautionsOf(r); !same(got, dose) || dose == 0 && said == "" {
			t.Errorf("%s: %g mg/L, want %g; says %q", line, got, dose, said)
		}
	}
	const jars = "\n\nJar,Alum (mg/L),NTU\n1,0,48\n2,2,30\n3,4,14\n"
	for line, says := range map[string]bool{
		"White water 10 % and 20 %":       true,
		"White water: 10 % or 20 %":       true,
		"White water,10 %,20 %":           true,
		"Recycle 10 % in jar 3":           true,
		"White water 10 %":                false,
		"White water,10 %":                false,
		"Settling time 10 min and 30 min": true,
		"Settling time,10 min,30 min":     true,
		"Settling time,10 min":            false,
		"White water,10 %\nWhite water turbidity,2 NTU\nWhite water turbidity,5 NTU": true,
	} {
		if said := cautionsOf(mustRead(t, "s.csv", line+jars, Options{})); (said != "") != says {
			t.Errorf("%s: says %q, want a caution: %v", line, said, says)
		}
	}
}

// TestMassOfWhat: a mass of anything but water below the line is no volume of water.
func TestMassOfWhat(t *testing.T) {
	for head, reads := range map[string]bool{
		"Alum (mg/kg)": true, "Alum (mg/kg water)": true, "Alum (mg/kg agua)": true, "Alum (mg/L feed)": true,
		"Alum (mg/kg feed)": false, "Alum (mg/kg of feed)": false, "Alum (mg/kg Futter)": false, "Alum mg/kg de poisson": false,
		"Alum mg per kg fish": false, "Alum (mg/kg biofilm)": false, "Alum (mg/kg pellets)": false, "Alum (mg/kg DS)": false,
	} {
		r := mustRead(t, "s.csv", "Jar,"+head+",NTU\n1,0,48\n2,10,30\n3,20,14\n", Options{})
		if asks := r.Notes.Err() != nil; asks == reads {
			t.Errorf("%s: asks %v: %v", head, asks, r.Notes)
		}
	}
}

// TestNumberedRepeats: columns that differ by a running number are repeats where their readings agree.
func TestNumberedRepeats(t *testing.T) {
	for _, c := range []struct {
		heads string
		rows  string
		want  float64 // of the second jar
		asks  bool
	}{
		{"Turbidity R1 (NTU),Turbidity R2 (NTU),Turbidity R3 (NTU)", "1,0,50,51,52\n2,10,30,31,29\n3,20,12,11.5,12.5\n", 30, false},
		{"NTU r1,NTU r2", "1,0,50,51\n2,10,30,31\n3,20,12,11.5\n", 30.5, false},
		{"NTU rep 1,NTU rep 2", "1,0,50,51\n2,10,30,31\n3,20,12,11.5\n", 30.5, false},
		{"Turbidez R1 (UNT),Turbidez R2 (UNT),Média,DP", "1,0,50,51,50.5,0.7071\n2,10,30,31,30.5,0.7071\n3,20,12,11.5,11.75,0.3536\n", 30.5, false},
		{"NTU r1,NTU r2", "1,0,50,21\n2,10,30,11\n3,20,12,4.5\n", 0, true},
	} {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),"+c.heads+"\n"+c.rows, Options{})
		if asks := r.Notes.Err() != nil; asks != c.asks {
			t.Errorf("%s: asks %v: %v", c.heads, asks, r.Notes)
		} else if got := r.Series[0].Jars[1].Readings.Of("turbidity").Value; !asks && (!same(got, c.want) || cautionsOf(r) != "") {
			t.Errorf("%s: %g, want %g; %v", c.heads, got, c.want, r.Notes)
		}
	}
}

// TestReadingBeforeARemark: the column's unit and words on the floc leave a number whole; what takes it
// out, or gives it a time, does not.
func TestReadingBeforeARemark(t *testing.T) {
	for cell, want := range map[string]float64{
		"6.5 NTU nice floc": 6.5, "6.5 NTU, small floc": 6.5, "6.5 NTU (clear)": 6.5, "6.5 NTU trüb": 6.5,
		"6.5 NTU discard": 0, "6.5 NTU after 20 min": 0, "6.5 NTU filtered": 0, "6.5 NTU zork": 0, "6.5 mg/L nice floc": 0,
	} {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,48\n2,10,\""+cell+"\"\n3,20,14\n4,30,8\n", Options{})
		if got := r.Series[0].Jars[1].Readings.Of("turbidity").Value; got != want || (want == 0) == (cautionsOf(r)+errorsOf(r) == "") {
			t.Errorf("%s: %g, want %g; %v", cell, got, want, r.Notes)
		}
	}
}

func errorsOf(r Result) string {
	if err := r.Notes.Err(); err != nil {
		return err.Error()
	}
	return ""
}

// TestRawWaterBesideLimits: a table of the raw water and its limits gives the raw water, in any order.
func TestRawWaterBesideLimits(t *testing.T) {
	for _, c := range []struct {
		table string
		raw   float64
	}{
		{",Raw,Permit limit\nTSS (mg/L),260,30\nTurbidity (NTU),195,10", 195},
		{"Parameter,Limit,Raw\nTSS (mg/L),30,260\nTurbidity (NTU),10,195", 195},
		{"Parameter,Influent,Effluent limit\nTSS (mg/L),260,30\nTurbidity (NTU),195,10", 195},
		{"Parameter,Raw water\nTSS,260\nTurbidity,195", 195},
	} {
		r := mustRead(t, "s.csv", c.table+"\n\nJar,Alum (mg/L),Turbidity (NTU)\n1,0,150\n2,10,30\n3,20,14\n", Options{})
		got := r.Series[0].Raw["turbidity"].Value
		if len(r.Series) != 1 || got != c.raw || cautionsOf(r) != "" {
			t.Errorf("%q: raw %g, want %g; %v", c.table, got, c.raw, r.Notes)
		}
	}
}

// TestSummariesAreLeftOut: a table that puts tests side by side repeats them; one with a reading of its own does not.
func TestSummariesAreLeftOut(t *testing.T) {
	const am = "AM\nJar,Alum (mg/L),Turbidity (NTU)\n1,0,50\n2,10,30\n3,20,14\n\n"
	const pm = "PM\nJar,Alum (mg/L),Turbidity (NTU)\n1,0,61\n2,10,33\n3,20,17\n\n"
	for last, n := range map[string]int{"17": 2, "18": 3} {
		r := mustRead(t, "s.csv", am+pm+
			"Summary\nAlum (mg/L),AM turbidity (NTU),PM turbidity (NTU)\n0,50,61\n10,30,33\n20,14,"+last+"\n", Options{})
		if len(r.Series) < n || n == 2 && len(r.Series) > 2 || n == 2 && !strings.Contains(cautionsOf(r), "repeated-series") {
			t.Errorf("last %s: %d series, want %d: %v", last, len(r.Series), n, r.Notes)
		}
	}
}
