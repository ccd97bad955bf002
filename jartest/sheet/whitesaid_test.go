package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// whiteOf reads a sheet with a line over plain jars, the fifth of which reads 3.8 NTU, and gives what that
// reads without white water, with the codes of the cautions.
func whiteOf(t *testing.T, line string) (ntu float64, cautions string, name string) {
	t.Helper()
	res, err := Read("t.csv", strings.NewReader(line+"\n"+stirredJars), Options{})
	if err != nil || len(res.Series) != 1 {
		t.Fatalf("%s: %v, %d series", line, err, len(res.Series))
	}
	var codes []string
	for _, n := range res.Notes {
		if n.Level == note.Caution {
			codes = append(codes, n.Code)
		}
	}
	s := res.Series[0]
	return s.Jars[4].Readings.Of(jartest.Turbidity).Value, strings.Join(codes, " "), s.Name
}

// TestWhiteSaidAnywhere: a share beside a word for white water is that of the jars in a title, a sentence, a part of
// one or a line that commas cut, in whatever language: 3.8 × (1 + share/100).
func TestWhiteSaidAnywhere(t *testing.T) {
	frames := []string{"Flotation jar test; %s", "\"Flotation jar test, %s\"", "Flotation jar test,%s", "DAF bench 12 - %s", "%s", "Ensayo 3 (%s)", "Flotation at 5 bar; %s; alum"}
	phrases := []string{"recycle %g %%", "%g %% recycle", "white water %g%%", "%g %% white water added to each jar", "%g %% pressurised water", "Rücklauf %g %%", "%g %% Druckwasser",
		"taux de recyclage %g %%", "recirculación %g %%", "taxa de recirculação: %g %%", "ricircolo %g %%", "回流比 %g%%", "recycle rate of %g vol%%", "recycle %g %% of raw flow"}
	for i, p := range phrases {
		for k, frame := range frames {
			share := float64(5 + (3*i+k)%11)
			line := fmt.Sprintf(frame, fmt.Sprintf(p, share))
			if got, cautions, _ := whiteOf(t, line); math.Abs(got-3.8*(1+share/100)) > 1e-9 || cautions != "" {
				t.Errorf("%s: %g NTU, want %g; cautions %q", line, got, 3.8*(1+share/100), cautions)
			}
		}
	}
	for line, want := range map[string]float64{
		"Recycle rate 0.1": 4.18, "DAF recycle = 0.12": 4.256, "Recycle ratio 1:10": 4.18, "\"1 L jars, 100 mL white water each\"": 4.18,
		"Jar with 900 mL raw and 100 mL white water": 3.8 * (1 + 100./900), "White water 80 mL/L": 4.104, "\"Flotation with recycle, 12 %\"": 4.256,
		"Readings corrected for 10 % white water": 3.8, "No recycle": 3.8, "White water,none": 3.8, "Flotation jar test 12": 3.8, "Recycle test no 4": 3.8,
	} {
		if got, cautions, _ := whiteOf(t, line); math.Abs(got-want) > 1e-9 || cautions != "" {
			t.Errorf("%s: %g NTU, want %g; cautions %q", line, got, want, cautions)
		}
	}
	if _, _, name := whiteOf(t, "Flotation jar test, recycle 12 %"); name != "Flotation jar test" {
		t.Errorf("named %q", name)
	}
}

// TestWhiteNotPlainlySaidAsks: a number with a word for white water that may be of other jars, of something else than
// the raw water, or no share, is never taken and never passed over.
func TestWhiteNotPlainlySaidAsks(t *testing.T) {
	for _, line := range []string{
		"Recycle pump 35 %", "Recycle 10-12 %", "Recycle 8 or 12 %", "10 % white water in jars 2 to 6", "RAS with 95 % recirculation", "Recycle 10 % of total flow", "Recycle 10 % (of total flow)",
		"Plant runs at 8 % recycle", "About 10 % recycle", "Recycle valve 40 % open", "Tap water recycled through the saturator at 10 %", "R = 10 % (white water / raw water)",
		"Readings not yet corrected for 10 % white water", "Recycle 8 % except in the control", "Recycle 80 %", "Kreislaufanlage mit 90 % Rücklauf", "Recycle 8", "100 mL white water",
	} {
		if got, cautions, _ := whiteOf(t, line); got != 3.8 || cautions == "" {
			t.Errorf("%s: %g NTU, cautions %q", line, got, cautions)
		}
	}
	// A column or a line that tells it plainly needs no question.
	res, err := Read("t.csv", strings.NewReader("Recycle pump at 35 %\nRecycle,10,%\n"+stirredJars), Options{})
	if err != nil || slices.ContainsFunc(res.Notes, func(n note.Note) bool { return n.Code == "recycle-unclear" }) {
		t.Errorf("%v %v", err, res.Notes)
	}
}

// TestStirringNotUsedSpeaks: speeds, rates of shear, times of mixing and pressures that no fact has are told.
func TestStirringNotUsedSpeaks(t *testing.T) {
	for line, want := range map[string]string{
		"Stirring,100 rpm": "100 rpm", "Rührzeit,10 min": "10 min", "Saturator pressure 5 bar": "5 bar", "Air pressure,4.5,bar": "4.5 bar", "G = 400 1/s for 60 s": "400 1/s",
		"Flotation with 10 % white water at 5 bar": "5 bar", "Recycle 10 % at 70 psi": "70 psi", "200 rpm 1 min; 40 rpm 8 min": "", "Sampled after 15 min": "", "Target turbidity <= 4 NTU after 10 min settling": "", "Calibrated 5 min before the test": "",
	} {
		res, err := Read("t.csv", strings.NewReader(line+"\n"+stirredJars), Options{})
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, n := range res.Notes {
			if n.Code == "stirring-not-used" {
				said += n.Message
			}
		}
		if (said == "") != (want == "") || !strings.Contains(said, want) {
			t.Errorf("%s: says %q, want %q", line, said, want)
		}
	}
	for line, want := range map[string]string{
		"200 tr/min 1 min puis 40 tr/min 10 min":                            "200 rpm 1 min | 40 rpm 10 min",
		"Schnell 200 U/min 1 min; langsam 40 U/min 10 min; Absetzen 20 min": "200 rpm 1 min | 40 rpm 10 min after 20 min",
		"Sampled 4 in below the surface":                                    "at 10.16 cm", // 4 × 2.54 cm
		"Readings at 5 min, 10 min and 20 min of settling":                  "",
		"Jars 2 L, sampled 10 cm below the surface":                         "at 10 cm",
	} {
		res, err := Read("t.csv", strings.NewReader(line+"\n"+stirredJars), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := shownProtocol(res.Series[0].Protocol); got != want {
			t.Errorf("%s: read as %q, want %q", line, got, want)
		}
		if slices.ContainsFunc(res.Notes, func(n note.Note) bool { return n.Level == note.Caution }) {
			t.Errorf("%s: says %v", line, res.Notes)
		}
	}
}

const timedJars = "\nJar,Alum (mg/L as product),Turbidity at 5 min (NTU),Turbidity at 10 min (NTU),Turbidity at 20 min (NTU)\n1,0,62,60,55\n2,10,31,28,25\n3,20,12,9,7\n4,30,5.4,4,3\n5,40,3.8,2.8,2\n"

// TestTargetSaidAnywhere: a target is taken from a line without a colon and from among other facts, at the settling
// time that it names before or behind its number, and then nothing asks which time counts.
func TestTargetSaidAnywhere(t *testing.T) {
	for line, want := range map[string]string{
		"Target turbidity <= 3 NTU at 10 min":                                            "turbidity at 10 min <= 3 NTU",
		"Target: turbidity at 10 min <= 3 NTU":                                           "turbidity at 10 min <= 3 NTU",
		"Target: turbidity <= 3 NTU after 10 min settling":                               "turbidity at 10 min <= 3 NTU",
		"Target turbidity <= 3 NTU after settling for 10 min":                            "turbidity at 10 min <= 3 NTU",
		"Target turbidity at 10 min,<= 3 NTU":                                            "turbidity at 10 min <= 3 NTU",
		"Target turbidity (NTU) at 10 min,3":                                             "turbidity at 10 min <= 3 NTU",
		"Ziel: Trübung <= 3 NTU nach 10 min":                                             "turbidity at 10 min <= 3 NTU",
		"Objetivo turbidez <= 3 NTU a los 10 min":                                        "turbidity at 10 min <= 3 NTU",
		"Jar 1 L; target turbidity <= 3 NTU":                                             "turbidity <= 3 NTU",
		"Jars 2 L. Target turbidity <= 3 NTU at 10 min. Sampled 10 cm below the surface": "turbidity at 10 min <= 3 NTU",
		"Target turbidity 4 NTU":                                                         "turbidity <= 4 NTU",
		"Targets: turbidity <= 4 NTU and pH >= 6.5":                                      "turbidity <= 4 NTU; ph >= 6.5",
		"\"Target turbidity <= 3 NTU at 10 min, pH >= 6.5\"":                             "turbidity at 10 min <= 3 NTU; ph >= 6.5",
		"Discharge limit: 5 NTU after 10 min settling":                                   "turbidity at 10 min <= 5 NTU",
		"Target for next week: turbidity <= 2 NTU":                                       "",
		"Last target turbidity <= 2 NTU":                                                 "",
		"Target turbidity <= 2 NTU in jars 3 to 5":                                       "",
	} {
		res, err := Read("t.csv", strings.NewReader(line+"\n"+timedJars), Options{})
		if err != nil || len(res.Series) != 1 {
			t.Fatalf("%s: %v", line, err)
		}
		var got []string
		for _, x := range res.Series[0].Targets {
			got = append(got, x.String())
		}
		if strings.Join(got, "; ") != want {
			t.Errorf("%s: %q, want %q", line, got, want)
		}
		asks := slices.ContainsFunc(res.Notes, func(n note.Note) bool { return n.Code == "settling-times" && n.Level == note.Caution })
		if asks != !strings.Contains(want, "at 10 min") {
			t.Errorf("%s: asks for the time %v", line, asks)
		}
	}
}

// TestWhiteTornAtItsComma: a decimal comma that cut a share is put together, "0,1" in two cells.
func TestWhiteTornAtItsComma(t *testing.T) {
	got, _, _ := whiteOf(t, "Flotationsversuch 3, Rücklaufverhältnis 0,1")
	if math.Abs(got-4.18) > 1e-9 {
		t.Errorf("%g NTU, want 4.18", got)
	}
}
