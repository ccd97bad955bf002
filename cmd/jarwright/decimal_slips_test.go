package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// typedNumber finds a number of a site's file with its unit.
var typedNumber = regexp.MustCompile(`([a-z_0-9]+): "?(-?[0-9]+(?:\.[0-9]+)?)((?: [^",}\n]*)?)"?([,}\n])`)

// decimalSlips are what a hand does to a number: a zero or two too many or too few, a share as a fraction.
var decimalSlips = []struct {
	name  string
	times float64
	share bool // of per cent alone
}{{"ten times", 10, false}, {"a tenth", 0.1, false}, {"a hundred times", 100, false}, {"a hundredth", 0.01, false}, {"a share", 0.01, true}}

// quietSlips are usual values by themselves that nothing on the site can give away.
var quietSlips = map[string]string{
	"works_us_day: fed_a_day 6 lb/d, a tenth": "0.024 mg/L of polymer is a dose of a filter aid",
}

// saidOfPlan is what a plan fed by a slip may say otherwise than without.
type saidOfPlan struct {
	Feeds []struct {
		Chemical string
		Use      struct{ Value float64 } `json:"product_use"`
		Rate     struct{ Value float64 } `json:"stock_rate"`
	}
	Notes []struct{ Level, Code string }
}

// plannedSite plans a site written to a file; false where it is refused, which speaks.
func plannedSite(t *testing.T, file string, text []byte) (p saidOfPlan, graver map[string]int, ok bool) {
	t.Helper()
	write(t, file, text)
	out, _, code := program(t, "plan", file, "--format", "json", "--date", "2026-05-04")
	if code != exitDone || json.Unmarshal([]byte(out), &p) != nil {
		return p, nil, false
	}
	graver = map[string]int{}
	for _, n := range p.Notes {
		if n.Level != "note" {
			graver[n.Code]++
		}
	}
	return p, graver, true
}

// TestDecimalSlipsSpeak: each number of a site ten and a hundred times too large and too small, and each share as a
// fraction: where what is fed changes by more than a twentieth, something is asked, cautioned or refused.
func TestDecimalSlipsSpeak(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: some hundreds of plans")
	}
	sites := map[string][]byte{}
	for _, name := range wholeDays {
		a, err := txtar.ParseFile(filepath.Join("testdata/script", name+".txtar"))
		if err != nil {
			t.Fatal(err)
		}
		sites[name] = a.Files[0].Data
	}
	for _, name := range []string{"05-dairy-float"} {
		text, err := os.ReadFile(filepath.Join("testdata/ordinary", name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		sites[name] = text
	}
	quiet := map[string]bool{}
	for name, text := range sites {
		file := filepath.Join(t.TempDir(), "site.yaml")
		was, before, ok := plannedSite(t, file, text)
		if !ok {
			t.Fatalf("%s cannot be planned", name)
		}
		slips, refused, moved := 0, 0, 0
		for _, m := range typedNumber.FindAllSubmatchIndex(text, -1) {
			field, number, unit := string(text[m[2]:m[3]]), string(text[m[4]:m[5]]), string(text[m[6]:m[7]])
			v, err := strconv.ParseFloat(number, 64)
			if err != nil || v == 0 {
				continue
			}
			for _, s := range decimalSlips {
				if s.share != (s.share && unit == " %") {
					continue
				}
				slips++
				slip := slices.Concat(text[:m[4]], strconv.AppendFloat(nil, v*s.times, 'g', 10, 64), text[m[5]:])
				now, after, ok := plannedSite(t, file, slip)
				switch {
				case !ok:
					refused++
					continue
				case !otherFeeds(was, now):
					continue
				}
				moved++
				if what := fmt.Sprintf("%s: %s %s%s, %s", name, field, number, unit, s.name); !graverThan(before, after) {
					if quiet[what] = true; quietSlips[what] == "" {
						t.Errorf("%s: what is fed changes and nothing speaks", what)
					}
				}
			}
		}
		t.Logf("%s: %d slips, %d stop or are refused, %d of the others move what is fed", name, slips, refused, moved)
		if moved == 0 || refused < 20 {
			t.Errorf("%s: %d slips are refused and %d move what is fed: this looks at too little", name, refused, moved)
		}
	}
	for what := range quietSlips {
		if !quiet[what] {
			t.Errorf("%s speaks, or is no slip", what)
		}
	}
}

// otherFeeds tells whether a plan feeds more than a twentieth more or less of anything.
func otherFeeds(was, now saidOfPlan) bool {
	for i, f := range was.Feeds {
		if i >= len(now.Feeds) {
			return true
		}
		for _, x := range [][2]float64{{f.Use.Value, now.Feeds[i].Use.Value}, {f.Rate.Value, now.Feeds[i].Rate.Value}} {
			if math.Abs(x[1]-x[0]) > 0.05*x[0] {
				return true
			}
		}
	}
	return false
}

// graverThan tells whether more is cautioned than before.
func graverThan(before, after map[string]int) bool {
	for code, n := range after {
		if n > before[code] {
			return true
		}
	}
	return false
}
