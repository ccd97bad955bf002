package main

import (
	"net/url"
	"strings"
	"testing"
)

// TestServeFedBy: that nothing was typed of a pump does not say that a chemical is fed by hand. That is asked at its box, "by hand" has to
// be chosen, and what contradicts itself is told.
func TestServeFedBy(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	on := d.puts(goal5, [2]string{"alum.csv", alumJars})
	for _, x := range []struct {
		how, rate string
		drawn     string
		at, says  string // the box in which it is put right; empty where the day is planned
	}{
		{"", "", "", "pumps-fed", "nothing says how it is fed: choose “by hand”, or say what the pump feeds at most"},
		{"pump", "", "", "pumps-largest-rate", "read it off the plate of the pump, or time what it draws under “Pump”"},
		{"hand", "5", "", "pumps-fed", "by hand is chosen, and a pump is described"},
		{"hand", "", "10", "pumps-fed", "by hand is chosen, and a pump is described"},
		{"hand", "", "", "", "drip in by hand"},
		{"pump", "5", "", "", "Set pump to"},
		{"", "5", "", "", "Set pump to"},
	} {
		f := site36(on)
		f.Set("pumps-fed", x.how)
		f.Set("pumps-largest-rate", x.rate)
		if x.drawn != "" {
			f["drawdown-1-speed"], f["drawdown-1-volume"], f["drawdown-1-time"] = []string{"50"}, []string{x.drawn}, []string{"60"}
		}
		u, page := d.leads("/site", f)
		d.holds(page, x.says)
		if want := map[bool]string{true: "/day", false: "/site"}[x.at == ""]; u.Path != want {
			t.Errorf("%+v leads to %s", x, u.Path)
		}
		if x.at != "" && !strings.Contains(page, `id="wrong-`+x.at+`"`) {
			t.Errorf("%+v is not told at %s", x, x.at)
		}
		if x.how == "hand" && x.at == "" { // what was chosen is still so when the form is opened again
			again, err := url.Parse(u.String())
			if err != nil {
				t.Fatal(err)
			}
			if form := d.get("/site?"+again.RawQuery+"&change=yes", 200); !strings.Contains(form, `<option value="hand" selected>`) {
				t.Error("the choice is forgotten")
			}
		}
	}
	pond := site36(on)
	pond["passes"], pond["ponds-size"], pond["pumps-largest-rate"] = []string{"standing"}, []string{"14 m3"}, []string{""}
	if _, page := d.leads("/site", pond); strings.Contains(page, "how it is fed") {
		t.Error("of water that stands it is asked which pump feeds it")
	}
}
