package month

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

const reachSite = `
place: {name: works, purpose: other, water_passes: once through, date: "2026-03-02"}
water: {turbidity: "60 NTU"}
flow: {average_flow: "12 m3/h"}
chemicals: [{name: alum, product: alum-liquid, dose: "20 mg/L", basis: as alum 14-hydrate, strength: "48.5 %", density: "1.335 kg/L", pump: p}]
pumps: [{name: p, largest_rate: "1 L/h", least_rate: "0.1 L/h"}]
`

// TestBudgetOfAPumpOutOfReach: 12 m3/h at 20 mg/L are 240 g/h, of 647.5 g/L 0.371 L/h. A pump of 1 L/h reaches; one of 0.05 L/h, and one
// that gives no less than 0.5 L/h, do not, and the month says so.
func TestBudgetOfAPumpOutOfReach(t *testing.T) {
	for rates, out := range map[string]bool{`"1 L/h", least_rate: "0.1 L/h"`: false, `"0.05 L/h", least_rate: "0.01 L/h"`: true, `"5 L/h", least_rate: "0.5 L/h"`: true} {
		p, notes := monthOf(t, strings.Replace(reachSite, `"1 L/h", least_rate: "0.1 L/h"`, rates, 1))
		said := slices.ContainsFunc(notes, func(n note.Note) bool {
			return n.Code == "pump-out-of-reach" && n.Level == note.Caution && strings.Contains(n.Message, "alum")
		})
		if p.OutOfReach != out || said != out {
			t.Errorf("%s: out of reach %t, said %t, want %t", rates, p.OutOfReach, said, out)
		}
	}
}

// TestBudgetOfAPumpOutOfReachInStorms: 60 mg/L are three times the 0.371 L/h, 1.112 L/h: out of the reach of a pump of 1 L/h, where the month has
// storms; one of 1.2 L/h reaches. Where none of its days is one, the month is that of doses that are given.
func TestBudgetOfAPumpOutOfReachInStorms(t *testing.T) {
	storms := strings.Replace(reachSite, `basis: as`, `dose_in_storm_water: "60 mg/L", basis: as`, 1)
	for _, x := range []struct {
		days, most string
		out        bool
	}{{"10 %", "1 L/h", true}, {"10 %", "1.2 L/h", false}, {"0 %", "1 L/h", false}} {
		text := strings.Replace(strings.Replace(storms, `"60 NTU"}`, `"60 NTU", storm_days: "`+x.days+`"}`, 1), "1 L/h", x.most, 1)
		p, notes := monthOf(t, text)
		said := slices.ContainsFunc(notes, func(n note.Note) bool {
			return n.Code == "pump-out-of-reach" && strings.Contains(n.Message, "p cannot feed the 60 mg/L of alum that storm water asks for")
		})
		if p.OutOfReach != x.out || said != x.out {
			t.Errorf("%+v: out of reach %t, said %t", x, p.OutOfReach, said)
		}
	}
}

// TestOneFigureIsAskedAboutOnce: of a strength that is a share written as a percentage the month asks once, as the day does: what is
// known of the product goes before what is usual of any.
func TestOneFigureIsAskedAboutOnce(t *testing.T) {
	text := strings.Replace(reachSite, "48.5 %", "0.485 %", 1)
	_, notes := monthOf(t, text)
	in, err := dosing.FromSite(read(t, text), dosing.Given{Catalogue: product.Default()})
	if err != nil {
		t.Fatal(err)
	}
	asked := func(l note.List) (out []string) {
		for _, n := range l {
			if strings.Contains(n.Message, "0.485 %") {
				out = append(out, n.Code)
			}
		}
		return out
	}
	if month, day := asked(notes), asked(in.Notes); !slices.Equal(month, []string{"strength-slip"}) || !slices.Equal(day, month) {
		t.Errorf("the month asks %q, the day %q", month, day)
	}
}

func read(t *testing.T, text string) site.Site {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func monthOf(t *testing.T, text string) (Plan, note.List) {
	t.Helper()
	p, notes, err := FromSite(read(t, text), Options{Given: dosing.Given{Catalogue: product.Default()}, Draws: 100})
	if err != nil {
		t.Fatal(err)
	}
	return p, notes
}
