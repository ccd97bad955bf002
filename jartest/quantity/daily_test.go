package quantity

import "testing"

// TestDailyFlow: 2 gal/min are 2880 gal in a day; 1 m3/h is 24 m3/d. A gallon is 3.785411784 L (NIST SP 811, from memory): 2 gpm are 10.902 m3/d.
func TestDailyFlow(t *testing.T) {
	gpm, err := Parse[Flow]("2 gpm")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		q    Daily
		in   System
		want string
	}{{Daily{gpm}, US, "2880 gal/d"}, {Daily{gpm}, Metric, "10.9 m3/d"}, {Daily{1}, Metric, "24 m3/d"}} {
		v, unit := x.q.Show(x.in)
		if got := Brief(v, 3) + " " + unit; got != x.want {
			t.Errorf("%s, want %s", got, x.want)
		}
	}
}
