package templates

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/pump"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// TestColumnLetters: 26 letters, then pairs of them, and 26 + 26 x 26 = 702 is the last pair.
func TestColumnLetters(t *testing.T) {
	for n, want := range map[int]string{1: "A", 2: "B", 26: "Z", 27: "AA", 28: "AB", 52: "AZ", 53: "BA", 702: "ZZ", 703: "AAA"} {
		if got := column(n); got != want {
			t.Errorf("%d: %s, want %s", n, got, want)
		}
	}
}

// TestJarWithoutADose: a jar that lacks a chemical's dose shows that of the other alone, in six digits at most.
func TestJarWithoutADose(t *testing.T) {
	s := jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum"}, {Name: "polymer"}}}
	got := func(c float64, cell string) jartest.JarDose {
		return jartest.JarDose{Concentration: quantity.Concentration(c), Known: true, At: note.Place{Cell: cell}}
	}
	for _, x := range []struct {
		doses []jartest.JarDose
		want  string
	}{
		{[]jartest.JarDose{got(12.345678, "B2"), got(0.2, "C2")}, "12.3457 0.2 B2 C2"},
		{[]jartest.JarDose{got(12, "B3")}, "12 - B3 <nil>"},
		{[]jartest.JarDose{{}, got(0.4, "C4")}, "- 0.4 <nil> C4"},
		{nil, "- - <nil> <nil>"},
	} {
		o := readJar(s, jartest.Jar{Doses: x.doses}, nil, nil)
		line := ""
		for _, name := range []string{"alum", "polymer"} {
			line += strings.TrimSuffix(Options{}.Show(o.Fig("doses."+name)), " mg/L") + " "
		}
		if line += fmt.Sprintf("%v %v", o.Get("dose_cells.alum"), o.Get("dose_cells.polymer")); line != x.want {
			t.Errorf("%v: %q, want %q", x.doses, line, x.want)
		}
	}
}

// TestReadingBesideTheLine: what lies a billionth off either way lies on the line; a tenth of a per cent does not.
func TestReadingBesideTheLine(t *testing.T) {
	for _, x := range []struct{ rate, line, off float64 }{
		{10 * (1 + 0.5e-9), 10, 0}, {10 * (1 - 0.5e-9), 10, 0}, {10 * (1 + 2e-9), 10, 2e-8}, {10 * (1 - 2e-9), 10, -2e-8}, {10.01, 10, 0.01}, {9, 10, -1},
	} {
		o := PumpAnswer{}.reading(pump.Reading{Rate: quantity.FeedRate(x.rate)}, quantity.FeedRate(x.line))
		off, _ := o.Fig("off").Document()
		if math.Abs(off-x.off) > 1e-12 {
			t.Errorf("%+v: off %g", x, off)
		}
		if of, _ := o.Fig("off_share").Document(); math.Abs(of-100*x.off/x.line) > 1e-9 {
			t.Errorf("%+v: off by %g %%", x, of)
		}
	}
}

// TestChanceOfLeastCost: only a series with a dose and a price has one.
func TestChanceOfLeastCost(t *testing.T) {
	c := threeOptions(t)
	for _, x := range []struct{ refused, priced, want bool }{{false, true, true}, {true, true, false}, {false, false, false}, {true, false, false}} {
		r := c.Rows[0]
		r.Refused, r.Priced = x.refused, x.priced
		if got := c.optionData(r).Has("chance_of_least_cost"); got != x.want {
			t.Errorf("%+v: %v", x, got)
		}
	}
}

// TestCompareSheetCounts: freight of the alkali counts where alkali is fed and its freight known, energy where both
// the unit's power and its price are; a formula names no input that the sheet lacks.
func TestCompareSheetCounts(t *testing.T) {
	for _, x := range []struct {
		raw             bool
		freight         float64
		power, price    float64
		alkalis, energy bool
	}{
		{true, 0.05, 2, 0.3, true, true}, {true, 0, 2, 0, false, false}, {false, 0.05, 0, 0.3, false, false}, {false, 0, 0, 0, false, false},
	} {
		c := threeOptions(t)
		w := &c.Comparison.Water
		w.Raw.OK, w.Running = x.raw, 100
		for i := range c.Rows {
			c.Rows[i].Raw.Alkalinity.OK = x.raw
		}
		w.Alkali.Freight.Amount, w.Power, w.Electricity.Amount = x.freight, quantity.Power(x.power), x.price
		var b bytes.Buffer
		if err := WriteBook(&b, c, Options{}); err != nil {
			t.Fatal(err)
		}
		got := cells(t, b.Bytes())
		for name, want := range map[string]bool{"*Alkali_freight": x.alkalis, "Energy_kWh*Electricity_price": x.energy} {
			if strings.Contains(got, name) != want {
				t.Errorf("%+v: %s %v, want %v", x, name, !want, want)
			}
		}
	}
}

// TestSurfaceParameters: what a fitted surface was written from is shown in four digits.
func TestSurfaceParameters(t *testing.T) {
	r := madePair()
	r.Models[0].Params = []surface.Param{{Name: "log rate", Value: 1.234567}}
	o := surfaceData(r)
	for _, name := range []string{"log rate", "first_divided_by", "second_divided_by", "second_less"} {
		f := o.Fig("model.parameters." + name)
		f.Q = worked("", 1.234567, "", 1).Q
		if got := (Options{}).Show(f); got != "1.235" {
			t.Errorf("%s: %s", name, got)
		}
	}
}
