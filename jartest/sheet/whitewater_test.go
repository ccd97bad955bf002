package sheet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestWhiteWater: what the sheet says of white water, in the words of benches, makes 3.8 NTU of jar 5 at r of it
// 3.8·(1 + r), less r times what the white water itself reads (mass balance, written out beside each).
func TestWhiteWater(t *testing.T) {
	for _, c := range []struct {
		lines, codes string
		want         float64
	}{
		{"", "", 3.8},
		{"Recycle,10,%", "white-water", 4.18},                                                // 3.8 × 1.1
		{"Recycle: 10 %", "white-water", 4.18},                                               //
		{"White water,12 %", "white-water", 4.256},                                           // 3.8 × 1.12
		{"Recycle ratio,0.1", "white-water", 4.18},                                           //
		{"Recycle,8", "recycle-unclear", 3.8},                                                // of what?
		{"Jar volume,1 L\nWhite water,100 mL", "white-water", 4.18},                          // 100 of 1000 mL
		{"White water,100 mL", "recycle-unclear", 3.8},                                       // of how much?
		{"Recycle,10,%\nWhite water turbidity,0.5 NTU", "white-water", 4.13},                 // 4.18 − 0.05
		{"Recycle,10,%\nReadings are corrected for the white water", "white-water-out", 3.8}, //
		{"Recycle,10,%\nReadings are not corrected for the white water", "white-water", 4.18},
	} {
		res, err := Read("t.csv", strings.NewReader(c.lines+"\n"+stirredJars), Options{})
		if err != nil || len(res.Series) != 1 {
			t.Fatalf("%s: %v", c.lines, err)
		}
		s := res.Series[0]
		if got := s.Jars[4].Readings.Of(jartest.Turbidity).Value; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g NTU, want %g", c.lines, got, c.want)
		}
		if len(s.Raw) > 0 {
			t.Errorf("%s: raw water %v", c.lines, s.Raw)
		}
		if got := whiteNotes(res, "white-water", "white-water-out", "recycle-unclear"); got != c.codes {
			t.Errorf("%s: says %q, want %q\n%v", c.lines, got, c.codes, res.Notes)
		}
	}
}

// whiteNotes gives those codes that the notes of a reading have, each once.
func whiteNotes(res Result, of ...string) string {
	var out []string
	for _, code := range of {
		for _, n := range res.Notes {
			if n.Code == code {
				out = append(out, code)
				break
			}
		}
	}
	return strings.Join(out, " ")
}

// TestWhiteWaterColumn: a column gives each jar its own, and white water, flocculation time and stirring are factors of a
// test: what they set apart is a series of its own, under its own factor.
func TestWhiteWaterColumn(t *testing.T) {
	const rows = "1,0,8,45\n2,10,8,22\n3,20,8,9.5\n4,30,8,4.7\n5,0,12,45\n6,10,12,20\n7,20,12,7.5\n8,30,12,3.7\n"
	read := func(head string) Result {
		res, err := Read("t.csv", strings.NewReader("Jar,Alum (mg/L as product),"+head+",Turbidity (NTU)\n"+rows), Options{})
		if err != nil {
			t.Fatal(err)
		}
		return res
	}
	for _, c := range []struct{ head, names, codes string }{
		{"Recycle (%)", "t, recycle 8 %; t, recycle 12 %", "white-water factor-parted"},
		{"White water (%)", "t, recycle 8 %; t, recycle 12 %", "white-water factor-parted"},
		{"Flocculation time (min)", "t, flocculation time min 8; t, flocculation time min 12", "factor-parted"},
		{"Slow mix (rpm)", "t, slow mix rpm 8; t, slow mix rpm 12", "factor-parted"},
		{"Temperature (C)", "t, temperature 8 C; t, temperature 12 C", ""}, // two waters, which is said otherwise
	} {
		res := read(c.head)
		var names []string
		for _, s := range res.Series {
			names = append(names, s.Name)
		}
		if got := strings.Join(names, "; "); got != c.names {
			t.Errorf("%s: %q, want %q\n%v", c.head, got, c.names, res.Notes)
		}
		if got := whiteNotes(res, "white-water", "factor-parted"); got != c.codes {
			t.Errorf("%s: says %q, want %q", c.head, got, c.codes)
		}
	}
	// A control that was not floated is no other treatment; two shares at other doses are, and are not pooled without a word.
	for share, speaks := range map[string]bool{"0|10|10|10|10|10": false, "|10|10|10|10|10": false, "10|10|10|12|12|12": true} {
		codes, _ := codesOf(t, table("Jar|1|2|3|4|5|6", sixDoses, "Recycle (%)|"+share, sixTurb))
		if got := slices.Contains(codes, "conditions-differ"); got != speaks {
			t.Errorf("%s: spoken of %v, want %v (%q)", share, got, speaks, codes)
		}
	}
	// 4.7 × 1.08 and 3.7 × 1.12
	res := read("Recycle (%)")
	for i, want := range []float64{5.076, 4.144} {
		s := res.Series[i]
		if got := s.Jars[3].Readings.Of(jartest.Turbidity).Value; math.Abs(got-want) > 1e-9 {
			t.Errorf("series %d: %g, want %g", i, got, want)
		}
		if got := float64(s.Recycle); math.Abs(got-[]float64{0.08, 0.12}[i]) > 1e-12 {
			t.Errorf("series %d: recycle %g", i, got)
		}
	}
}
