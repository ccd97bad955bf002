package dosing

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// crossing is a site of the example with some values written otherwise, "" leaving one out.
func crossing(t *testing.T, changes ...[3]string) site.Site {
	t.Helper()
	return exampleSite(t, func(v site.Values) {
		delete(v["Place"][0], "example values") // that it is the example is no slip
		for _, c := range changes {
			if v[c[0]][0][c[1]] = c[2]; c[2] == "" {
				delete(v[c[0]][0], c[1])
			}
		}
	})
}

// hourly is a flow table of one flow but for an hour.
func hourly(all, one string) (out [][3]string) {
	for _, f := range []string{"average flow", "least flow", "peak flow", "flow at 20 mA", "hours a day", "run starts"} {
		out = append(out, [3]string{"Flow", f, ""})
	}
	for h := range 24 {
		q := all
		if h == 16 {
			q = one
		}
		out = append(out, [3]string{"Flow", fmt.Sprintf("flow at %02d:00", h), q + " m3/h"})
	}
	return out
}

// TestCrosses: figures of several sheets that cannot go together are asked about once,
// with both named, in every command; those next to the bounds are not. The example has
// 3.6 m3/h, 60 NTU, 750 W, pump 1 of 1.8 L/h = 30 mL/min with a drawdown of 23.65 mL/min
// at 80 %, where the plate gives 24.
func TestCrosses(t *testing.T) {
	for _, x := range []struct {
		name    string
		changes [][3]string
		says    string // empty: quiet
	}{
		{"the example", nil, ""},
		{"0.4 m3 is turned over in 6 min 40 s", [][3]string{{"Tanks", "volume", "400 L"}, {"Solids", "tank to clean up", "alum tank"}}, ""},
		{"40 L for 40 m3", [][3]string{{"Solids", "tank to clean up", "alum tank"}, {"Solids", "clear enough at", "5 NTU"}, {"Tanks", "volume", "36 L"}},
			"3.6 m3/h through the tank to clean up, 36 L, is a turnover in 36 s"},
		{"a loop of litres", [][3]string{{"Water", "water in the system", "25 m3"}}, ""},
		{"turns of another tube", [][3]string{{"Pumps", "feed per turn", "5 mL"}, {"Pumps", "knob at full", "100 rpm"}},
			"pump 1: 5 mL a turn at 100 rpm is 500 mL/min, and its largest rate is stated as 30 mL/min"},
		{"turns of the tube", [][3]string{{"Pumps", "feed per turn", "0.3 mL"}, {"Pumps", "knob at full", "100 rpm"}}, ""},
		{"a plate in L/min", [][3]string{{"Pumps", "largest rate", "18 L/h"}}, "pump 1: the drawdown gave 23.65 mL/min at 80 %, and its largest rate is stated as 300 mL/min"},
		// 1.12 mL in 120 s at 20 % are 0.56 mL/min, 0.028 for each %; the others give 0.295 and 0.2956
		{"a reading of a tenth", [][3]string{{"Drawdown", "volume", "1.12 mL"}}, "pump 1: the drawdown gave 0.56 mL/min at 20 % and stroke 100 %, 0.0949"},
		{"a reading a third low", [][3]string{{"Drawdown", "volume", "7.4 mL"}}, ""},
		{"a float left for a shift", [][3]string{{"Solids", "skim every", "10 h"}}, "the float is skimmed every 10 h, and falls back into the water before"},
		{"a float left for a morning", [][3]string{{"Solids", "skim every", "5 h"}}, ""},
		{"a pump a quarter off its plate", [][3]string{{"Pumps", "largest rate", "2.4 L/h"}}, ""},
		{"solids in ug", [][3]string{{"Water", "suspended solids", "6 mg/L"}}, "suspended solids of 6 mg/L at 60 NTU"},
		{"solids by the rule", [][3]string{{"Water", "suspended solids", "90 mg/L"}}, ""},
		{"salt in parts of water", [][3]string{{"Water", "salinity", "35 g/kg"}, {"Water", "conductivity", "500 uS/cm"}}, "a conductivity of 500 uS/cm at a salinity of 35 g/kg"},
		{"sea water", [][3]string{{"Water", "salinity", "35 g/kg"}, {"Water", "conductivity", "53000 uS/cm"}}, ""},
		{"kW in the place of W", [][3]string{{"Flow", "power drawn", "450 kW"}}, "450 kW for 3.6 m3/h"},
		{"the life in days", [][3]string{{"Stocks", "life", "24 d"}}, "the stock is said to keep 24 d, and such stock usually keeps 24 h"},
		{"a fortnight", [][3]string{{"Stocks", "life", "14 d"}}, ""},
		// 600 kg/d in the loop's 90 m3 is 6.667 kg to the m3; 320 in 90 is 3.556.
		{"feed of a larger farm", [][3]string{{"Water", "water in the system", "90 m3"}, {"Animals", "feed eaten a day", "600 kg/d"}}, "600 kg/d of feed in 90 m3 of water is 6.667 kg/m3 a day"},
		{"feed of a crowded loop", [][3]string{{"Water", "water in the system", "90 m3"}, {"Animals", "feed eaten a day", "320 kg/d"}}, ""},
		{"feed in the tank of animals", [][3]string{{"Animals", "feed eaten a day", "108 kg/d"}}, "108 kg/d of feed in 21.6 m3 of water is 5 kg/m3 a day"},
		// 18 m3 of a loop do not hold a tank of 21.6: 0.8333 of it; 21 (its tank filled less) may.
		{"a loop smaller than its tank", [][3]string{{"Water", "water in the system", "18 m3"}}, "water in the system, 18 m3, is 0.8333 times the tank to clean up, 21.6 m3"},
		{"a loop that is its tank", [][3]string{{"Water", "water in the system", "21 m3"}}, ""},
		{"ten times the tanks", [][3]string{{"Water", "water in the system", "216 m3"}}, "water in the system, 216 m3, is 10 times that of the tanks of animals, 21.6 m3"},
		{"tanks and their pipes", [][3]string{{"Water", "water in the system", "100 m3"}}, ""},
		{"ammonia of a sewer", [][3]string{{"Water", "total ammonia", "30 mg/L"}}, "total ammonia of 30 mg/L as N in water of animals"},
		{"ammonia of a crowded pond", [][3]string{{"Water", "total ammonia", "8 mg/L"}}, ""},
		// One hour of 12 among 1.2 is ten times the largest of the others.
		{"one hour of ten times", hourly("1.2", "12"), "the hour from 16:00 has 12 m3/h, and no other has more than 1.2 m3/h"},
		{"one hour of a tenth", hourly("1.2", "0.12"), "the hour from 16:00 has 0.12 m3/h, and no other has less than 1.2 m3/h"},
		{"one hour of thrice", hourly("1.2", "3.6"), ""},
		{"one hour off", hourly("1.2", "0"), ""},
	} {
		var said []string
		for _, n := range Asked(crossing(t, x.changes...), Given{Catalogue: product.Default()}) {
			if n.Level == note.Caution {
				said = append(said, n.Error())
			}
		}
		switch all := strings.Join(said, "\n"); {
		case x.says == "" && all != "":
			t.Errorf("%s: %s", x.name, all)
		case x.says != "" && (len(said) != 1 || !strings.Contains(all, x.says)):
			t.Errorf("%s: %q, want %s", x.name, all, x.says)
		}
	}
}

// TestExampleIsSaidOnce: a site that still holds the example's figures is told so by whoever asks, the
// plan as well; one that says no, and one that says nothing, is not.
func TestExampleIsSaidOnce(t *testing.T) {
	for _, x := range []struct {
		says string
		want int
	}{{"yes", 1}, {"no", 0}, {"", 0}} {
		s := crossing(t, [3]string{"Place", "example values", x.says})
		g := Given{Catalogue: product.Default()}
		in, err := FromSite(s, g)
		if err != nil {
			t.Fatal(err)
		}
		for who, notes := range map[string]note.List{"asked": Asked(s, g), "planned": in.Notes} {
			if got := len(slices.DeleteFunc(notes, func(n note.Note) bool { return n.Code != "example-values" })); got != x.want {
				t.Errorf("%q, %s: said %d times, want %d", x.says, who, got, x.want)
			}
		}
	}
}

// TestChargedPrices: prices of what is no chemical are held to what such things cost.
func TestChargedPrices(t *testing.T) {
	for _, x := range []struct {
		chemical, price string
		asks            bool
	}{
		{"electricity", "0.25 EUR/kWh", false}, {"electricity", "25 EUR/kWh", true}, {"make-up water", "1.2 EUR/m3", false},
		{"make-up water", "1.2 EUR/L", true}, {"disposal of solids", "20 EUR/m3", false}, {"disposal of solids", "20 EUR/L", true},
		{"electricity", "25 JPY/kWh", false}, {"disposal of solids", "300 EUR/t dry", false},
		// A usual price of each ten times too large or too small, and free of charge.
		{"electricity", "2.5 EUR/kWh", true}, {"electricity", "0.025 EUR/kWh", true}, {"electricity", "0 EUR/kWh", false},
		{"make-up water", "19 EUR/m3", true}, {"make-up water", "0.02 EUR/m3", true}, {"make-up water", "12 EUR/1000 gal", false}, {"make-up water", "120 EUR/1000 gal", true},
		{"disposal of solids", "400 EUR/m3", true}, {"disposal of solids", "1.6 EUR/m3", true}, {"disposal of solids", "0 EUR/m3", false},
		{"disposal of solids", "400 EUR/t", true}, {"disposal of solids", "40 EUR/t", false}, {"disposal of solids", "30 EUR/t dry", true}, {"disposal of solids", "3000 EUR/t dry", true},
		{"disposal of solids", "0.3 EUR/kg dry", false}, {"disposal of solids", "0.03 EUR/kg dry", true}, {"disposal of solids", "3 EUR/kg dry", true},
	} {
		s := crossing(t)
		for i := range s.Prices {
			if s.Prices[i].Chemical.V != x.chemical {
				continue
			}
			if err := s.Put("Prices", i, "price", x.price, "", s.Prices[i].Price.At); err != nil {
				t.Fatal(err)
			}
		}
		if got := len(crossed(s)) > 0; got != x.asks {
			t.Errorf("%s at %s: asked %v, want %v: %v", x.chemical, x.price, got, x.asks, crossed(s))
		}
	}
}

// TestPriceSlipIsNamed: the price of a chemical a hundred times off is asked about in every command, at its cell.
func TestPriceSlipIsNamed(t *testing.T) {
	s := crossing(t)
	if err := s.Put("Prices", 0, "price", "42 EUR/kg", "", s.Prices[0].Price.At); err != nil {
		t.Fatal(err)
	}
	found := Asked(s, Given{Catalogue: product.Default()})
	if len(found) != 1 || found[0].Code != "price-unusual" || !strings.HasPrefix(found[0].Message, "alum: a price of 42 EUR/kg is more than") ||
		found[0].Place != s.Prices[0].Price.At {
		t.Errorf("%v", found)
	}
}

// TestFedADayIsNamed: what is asked about is the mass that somebody wrote. 100 kg a day
// into 86.4 m3 is 1157 mg/L.
func TestFedADayIsNamed(t *testing.T) {
	s := crossing(t, [3]string{"Chemicals", "dose", ""}, [3]string{"Chemicals", "dose low", ""}, [3]string{"Chemicals", "dose high", ""},
		[3]string{"Chemicals", "dose in storm water", ""}, [3]string{"Chemicals", "fed a day", "100 kg/d"})
	found := Asked(s, Given{Catalogue: product.Default()})
	if len(found) != 1 || !strings.HasPrefix(found[0].Message, "alum: 100 kg/d fed a day makes a dose of 1157 mg/L as alum 14-hydrate") {
		t.Errorf("%v", found)
	}
	s = crossing(t, [3]string{"Chemicals", "dose", ""}, [3]string{"Chemicals", "fed a day", "0.5 kg/d"})
	if _, err := FromSite(s, Given{Catalogue: product.Default()}); err == nil || !strings.Contains(err.Error(), "0.5 kg/d fed a day, which is 5.787 mg/L") {
		t.Errorf("a range above it: %v", err)
	}
}

// TestShiftWithoutLength: a shift that ends when it begins is asked about, one of the whole day not; and one "8" till "5" is, which
// would be 21 hours.
func TestShiftWithoutLength(t *testing.T) {
	for hours, asks := range map[[2]string]bool{{"05:00", "05:00"}: true, {"00:00", "00:00"}: false, {"06:00", "18:00"}: false, {"18:00", "06:00"}: false, {"8", "5"}: true, {"08:00", "00:00"}: false, {"12:00", "04:00"}: false} {
		s := crossing(t)
		for i, field := range []string{"staffed from", "staffed till"} {
			if err := s.Put("Place", 0, field, hours[i], "", s.Place.Name.At); err != nil {
				t.Fatal(err)
			}
		}
		if got := len(noShift(s)) == 1; got != asks {
			t.Errorf("%v: asked %v", hours, got)
		}
	}
}
