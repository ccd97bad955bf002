package templates

import (
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// TestWhenTheBinIsFull: 96 h are midnight of the fourth day ahead; 106.4 h after the midnight of Tuesday 1 December are 10:24 on Saturday the
// 5th. Of a bin of which nobody says what stands in it the reckoning begins with none, and says so.
func TestWhenTheBinIsFull(t *testing.T) {
	tuesday := time.Date(2026, 12, 1, 0, 0, 0, 0, time.UTC)
	for _, x := range []struct {
		at   quantity.Time
		day  time.Time
		want string
	}{
		{106.4, tuesday, "on Sat 5 December 2026 at 10:24, "},
		{106.4, time.Time{}, "at 10:24 in 4 days, "},
		{34.5, tuesday, "at 10:30 tomorrow, "},
		{14.5, tuesday, "at 14:30, "},
	} {
		p := Plan{Solids: &dosing.SolidsDay{Emptys: solids.Schedule{FullAt: x.at}}}
		if got := p.fullOn(x.day); got != x.want {
			t.Errorf("%v: %q, not %q", x.at, got, x.want)
		}
	}
	pit := func(v site.Values) {
		v["Tanks"] = append(v["Tanks"], map[string]string{"name": "pit", "use": "bin", "volume": "9 m3"})
		v["Solids"][0]["bin"] = "pit"
	}
	text := strings.Join(strings.Fields(shownText(t, sitePlan(t, pit), Options{Date: tuesday})), " ")
	if !strings.Contains(text, "Pit: full on ") || !strings.Contains(text, "from empty (nobody says what stands in it now)") {
		t.Errorf("the pit: %s", text)
	}
	told := sitePlan(t, func(v site.Values) { pit(v); v["Tanks"][len(v["Tanks"])-1]["in it now"] = "1 m3" })
	if text := shownText(t, told, Options{}); strings.Contains(text, "from empty") {
		t.Errorf("what stands in the pit is told: %s", text)
	}
}

// TestStoppedTableSaysTheStop: each row of a stopped plan's table says that it is stopped and by what; a plan that goes on has no such column.
func TestStoppedTableSaysTheStop(t *testing.T) {
	p := sitePlan(t, stoppedSite)
	rows := p.Table().Strings()
	last := len(rows[0]) - 1
	if rows[0][last] != "stopped" {
		t.Fatalf("columns %v", rows[0])
	}
	for _, r := range rows[1:] {
		if why := p.Findings.Notes[0].Message; !strings.HasPrefix(r[last], "STOPPED: ") || !strings.Contains(r[last], why) {
			t.Errorf("%q, not by %q", r[last], why)
		}
	}
	if rows := sitePlan(t, nil).Table().Strings(); rows[0][len(rows[0])-1] == "stopped" {
		t.Error("nothing stops the example")
	}
}

// TestSlipIsAskedBeforeThePumpIsSet: alum of 85 % where 48.5 % were meant is asked about, and what is to be done begins with that.
func TestSlipIsAskedBeforeThePumpIsSet(t *testing.T) {
	order := func(change func(site.Values)) string {
		p := sitePlan(t, change)
		s := exampleSite(t, change)
		p.Notes = append(p.Notes, p.Slips(s, false)...)
		return p.answer(Options{}, p.data()).Order
	}
	if got := order(nil); !strings.HasPrefix(got, "Set ") {
		t.Errorf("the example: %q", got)
	}
	got := order(func(v site.Values) { v["Chemicals"][0]["strength"] = "85 %" })
	if strings.Contains(got, "et pump 1") && !strings.HasPrefix(got, "A figure may be a slip: ") {
		t.Errorf("a slip: %q", got)
	}
	if !strings.Contains(got, "slip") {
		t.Errorf("nothing is asked first: %q", got)
	}
}

// TestTenfoldDoubtHasNoLargeNumber: a strength of 0.485 % where 48.5 were meant has no setting as its answer but the question; 85 % for 48.5, which is no tenfold, has its setting with the question before it, as the example has its own.
func TestTenfoldDoubtHasNoLargeNumber(t *testing.T) {
	for change, none := range map[[2]string]bool{{}: false, {"strength", "85 %"}: false, {"strength", "0.485 %"}: true} {
		slip := func(v site.Values) {
			if change[0] != "" {
				v["Chemicals"][0][change[0]] = change[1]
			}
		}
		p := sitePlan(t, slip)
		if p.Findings.Stopped {
			p.Findings.Stopped = false // the question comes before
		}
		p.Notes = append(p.Notes, p.Slips(exampleSite(t, slip), false)...)
		a := p.answer(Options{}, p.data())
		if got := len(a.Numbers) == 1 && a.Numbers[0].Words == "No setting yet"; got != none {
			t.Errorf("%v: %+v", change, a.Numbers)
		}
		first := strings.Join(p.Cards(Options{})[0].Cautions[:1], "")
		if got := strings.HasPrefix(first, "Ask before you set this: "); got != none {
			t.Errorf("%v: the card of the pump begins with %q", change, first)
		}
	}
}

// TestStoppedPlanNamesTheHead: 12.5 mg/L of alum, 25.8 of the product, at 12 m3/h are 309 g/h, from 150 g/L 2.06 L/h, and the pump gives 1.8
// at most; the head of 4.5 L/h that lies there would do, and a plan that is stopped says so too, without a rate to feed by.
func TestStoppedPlanNamesTheHead(t *testing.T) {
	p := sitePlan(t, func(v site.Values) {
		stoppedSite(v)
		v["Flow"][0]["average flow"], v["Flow"][0]["peak flow"], v["Flow"][0]["least flow"] = "12 m3/h", "", ""
	})
	if !p.Findings.Stopped {
		t.Fatal("goes on")
	}
	text := strings.Join(strings.Fields(shownText(t, p, Options{})), " ")
	if !strings.Contains(text, "the head of 4.50 L/h that you have would do") || strings.Contains(text, "mL/min") {
		t.Errorf("%s", text)
	}
}
