package sheet

import (
	"slices"
	"strings"
	"testing"
)

// TestBurettes: what a burette showed before a jar is taken off what it showed after; with a
// stock of 10 g/L and jars of 1 L each mL is 10 mg/L.
func TestBurettes(t *testing.T) {
	const top = "Alum stock 10 g/L; jars 1 L\n\n"
	for sheet, want := range map[string]string{
		"Jar,Burette start (mL),Burette end (mL),Turbidity (NTU)\n1,0,1,20\n2,1,3,12\n3,0,3,8\n":          "10 20 30",
		"Jar,Final syringe (mL),Initial syringe (mL),Turbidity (NTU)\n1,1,0,20\n2,3,1,12\n3,6,3,8\n":      "10 20 30",
		"Jar,Start mL,End mL,Turbidity (NTU)\n1,0,1,20\n2,1,3,12\n3,3,6,8\n":                              "10 20 30",
		"Glas,Bürette Anfang (mL),Bürette Ende (mL),Trübung (NTU)\n1,0,1,20\n2,1,3.5,12\n3,0,3,8\n":       "10 25 30",
		"Jar,Dose (mg/L),Burette start (mL),Burette end (mL),NTU\n1,10,0,1,20\n2,20,1,3,12\n3,30,3,6,8\n": "10 20 30",
	} {
		r := mustRead(t, "b.csv", top+sheet, Options{})
		var got []string
		for _, j := range r.Series[0].Jars {
			got = append(got, trimFloat(float64(j.Doses[0].Concentration)))
		}
		if strings.Join(got, " ") != want || len(loud(r)) > 0 {
			t.Errorf("%s: doses %v, want %s; says %v", sheet, got, want, loud(r))
		}
	}
	for sheet, code := range map[string]string{ // a burette that fell, and one whose start is missing
		"Jar,Burette start (mL),Burette end (mL),Turbidity (NTU)\n1,0,1,20\n2,3,1,12\n3,3,6,8\n": "negative-dose",
		"Jar,Burette start (mL),Burette end (mL),Turbidity (NTU)\n1,0,1,20\n2,,3,12\n3,3,6,8\n":  "unclear-dose",
	} {
		if r := mustRead(t, "b.csv", top+sheet, Options{}); !slices.Contains(loud(r), code) {
			t.Errorf("%s: says %v, want %s", sheet, loud(r), code)
		}
	}
	// volumes before and after that are no burette's stay what they are
	r := mustRead(t, "b.csv", "Jar,Alum (mg/L),Initial volume (mL),Final volume (mL),NTU\n1,10,0,100,20\n2,20,0,90,12\n3,30,0,80,8\n", Options{})
	if got := float64(r.Series[0].Jars[2].Doses[0].Concentration); got != 30 {
		t.Errorf("dose %v beside volumes of sludge, want 30", got)
	}
}

// TestLiquidInTheHeading: the density of a product and the volume of a drop are read where the
// heading of the volumes states them.
func TestLiquidInTheHeading(t *testing.T) {
	const rows = ",Turbidity (NTU)\n1,10,20\n2,20,12\n3,30,8\n"
	for sheet, want := range map[string]float64{ // mg/L in the first jar
		"Jars 1 L\n\nJar,\"Alum (48 %, SG 1.33) µL\"" + rows:                          13.3, // 10 µL × 1.33 kg/L
		"Jars 2 L\n\nJar,\"Alum 48 % SG 1.33, mL\"" + rows:                            6650, // 10 mL × 1.33 kg/L ÷ 2 L
		"Jars 1 L\n\nJar,PACl µL (density 1.2 kg/L)" + rows:                           12,   // 10 µL × 1.2 kg/L
		"Jar,\"Ferric chloride 40 % (1.42 kg/L), µL/L\"" + rows:                       14.2, // 10 µL/L × 1.42 kg/L
		"Alum stock 10 g/L; jars 1 L\n\nJar,Drops (0.05 mL)" + rows:                   5,    // 0.5 mL of 10 g/L
		"Alum stock 10 g/L; jars 1 L\n\nJar,Drops of stock (1 drop = 0.04 mL)" + rows: 4,    // 0.4 mL
		"Alum stock 10 g/L; jars 1 L\n\nJar,Alum drops at 20 drops/mL" + rows:         5,    // 0.5 mL
		"Jars 1 L\n\nJar,\"mL of 1 % alum, density 1.01\"" + rows:                     100,  // a stock of 1 % is 10 g/L
	} {
		r := mustRead(t, "h.csv", sheet, Options{})
		if len(r.Series) != 1 {
			t.Errorf("%s: %v", sheet, r.Notes)
			continue
		}
		if got := float64(r.Series[0].Jars[0].Doses[0].Concentration); !same(got, want) {
			t.Errorf("%s: %v mg/L, want %v", sheet, got, want)
		}
		if said := slices.DeleteFunc(loud(r), func(s string) bool { return s == "very-high-dose" }); len(said) > 0 {
			t.Errorf("%s: says %v", sheet, said)
		}
	}
	// the heading of a column of densities, and a strength of stock beside a density, are as before
	for sheet, code := range map[string]string{
		"Alum stock 10 g/L; jars 1 L; 1 drop = 0.03 mL\n\nJar,Drops (0.05 mL)" + rows: "facts-disagree",
		"Jars 1 L\nAlum stock,10 g/L\n\nJar,\"Alum (48 %, SG 1.33) mL\"" + rows:       "strength-twofold",
	} {
		if r := mustRead(t, "h.csv", sheet, Options{}); !slices.Contains(loud(r), code) {
			t.Errorf("%s: says %v, want %s", sheet, loud(r), code)
		}
	}
}
