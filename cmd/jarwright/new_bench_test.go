package main

import (
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// TestNextSheetStirsAsTheLast: rpm, s, rpm and min of the last test, and the minutes that its jars settled; of two slow stages none, and
// of a floated test no settling.
func TestNextSheetStirsAsTheLast(t *testing.T) {
	stir := func(rpm, minutes float64) jartest.Stir {
		return jartest.Stir{Speed: quantity.Some(quantity.Rotation(rpm)), Time: quantity.Some(quantity.Time(minutes / 60))}
	}
	p := jartest.Protocol{Rapid: stir(200, 1), Slow: []jartest.Stir{stir(40, 8)}, Settle: quantity.Some(quantity.Time(20.0 / 60))}
	if got := lines(p, false); !slices.Equal(got, []float64{200, 60, 40, 8, 20}) {
		t.Error(got)
	}
	p.Slow = append(p.Slow, stir(20, 5))
	if got := lines(p, true); !slices.Equal(got, []float64{200, 60, 0, 0, 0}) {
		t.Error(got)
	}
}

// TestNextSheetHoldsTheNextJars: the sheet that goes on from a test whose last jars ran out of alkalinity (12 mg/L as CaCO3 at 0.505 a
// mg of alum 14-hydrate) has the jars of next, and its second page asks for the alkali.
func TestNextSheetHoldsTheNextJars(t *testing.T) {
	dir := t.TempDir()
	last, next := filepath.Join(dir, "acid.csv"), filepath.Join(dir, "next.xlsx")
	const test = "Chemical,alum as alum 14-hydrate\nRaw alkalinity,12 mg/L CaCO3\nRaw pH,6.8\nRaw temperature,8 C\nRaw turbidity,22 NTU\nTarget,turbidity <= 3 NTU\n\n" +
		"Jar,Alum (mg/L),Turbidity (NTU)\n1,0,22\n2,6,15\n3,10,8\n4,14,3.6\n5,20,3.9\n6,28,9\n7,36,17\n"
	if err := os.WriteFile(last, []byte(test), 0o600); err != nil {
		t.Fatal(err)
	}
	answer(t, "new", "bench", next, "--from", last, "--jars", "6", "--stock", "10 g/L", "--jar-volume", "1 L")
	sheet := cells(t, next)
	rows, err := csv.NewReader(strings.NewReader(answer(t, "next", last, "--stock", "10 g/L", "--jar-volume", "1 L", "--format", "csv"))).ReadAll()
	if err != nil || len(rows) != 7 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for i, r := range rows[1:] {
		got, err := strconv.ParseFloat(sheet[fmt.Sprintf("Bench!B%d", 18+i)], 64)
		if want, fault := strconv.ParseFloat(r[3], 64); err != nil || fault != nil || math.Abs(got-want) > 1e-9 {
			t.Errorf("jar %d holds %g, next says %s", i+1, got, r[3])
		}
	}
	asked := slices.ContainsFunc(slices.Collect(maps.Values(sheet)), func(s string) bool {
		return strings.HasPrefix(s, "In the last test the last jars clouded again from 28 mg/L on") && strings.Contains(s, "give every jar alkali first")
	})
	if !asked {
		t.Error("no word of the alkali on the sheet")
	}
}

// TestOrderHoldsForTheTest: what a site doses tells of the order only where the test is of such a chemical.
func TestOrderHoldsForTheTest(t *testing.T) {
	alum, polymer := dosing.Dosed{Name: "alum", Turn: dosing.ThenCoagulant}, dosing.Dosed{Name: "P1", Turn: dosing.LastPolymer}
	for _, x := range []struct {
		tested      string
		basis       quantity.Basis
		order       []dosing.Dosed
		told, alone bool
	}{
		{"", "", nil, true, false}, {"", "", []dosing.Dosed{alum}, false, true}, {"alum", "", []dosing.Dosed{alum, polymer}, true, false},
		{"new one", quantity.AsActive, []dosing.Dosed{alum}, false, false}, {"ferric chloride", "", []dosing.Dosed{alum}, false, true},
	} {
		if told, alone := ordered(book.Bench{Chemical: x.tested, Basis: x.basis}, x.order); told != x.told || alone != x.alone {
			t.Errorf("%+v: told %v, alone %v", x, told, alone)
		}
	}
}
