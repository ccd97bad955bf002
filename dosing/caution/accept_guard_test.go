package caution

import (
	"strings"
	"testing"
	"time"

	"jarwright/jartest/note"
)

// TestAcceptanceTable: what lets a stop through, until when, and what is said of what does not. An acceptance holds on its last day and
// not on the next; where no day is given, or today is not known, it holds.
func TestAcceptanceTable(t *testing.T) {
	day := func(d int) time.Time { return time.Date(2026, 3, d, 0, 0, 0, 0, time.UTC) }
	stop := Said{Note: Note("alkalinity-gone", nil), Chemical: "alum"}
	calm := Said{Note: Note("alkalinity-low", nil), Chemical: "alum"}
	good := Acceptance{Code: " Alkalinity-Gone ", By: "A. Keeper", Why: "limed"}
	until := func(d int) Acceptance { a := good; a.Until = day(d); return a }
	without := func(by, why string) Acceptance { a := good; a.By, a.Why = by, why; return a }
	other := good
	other.Code = "ph-too-low"
	slip := good
	slip.Code = "alkalinity-gon"
	for _, x := range []struct {
		name     string
		list     []Said
		accepted []Acceptance
		today    time.Time
		stopped  bool
		taken    int
		codes    string
	}{
		{"no stop", []Said{calm}, nil, day(5), false, 0, "alkalinity-low"},
		{"a stop", []Said{stop}, nil, day(5), true, 0, "alkalinity-gone"},
		{"accepted", []Said{calm, stop}, []Acceptance{good}, day(5), false, 1, "alkalinity-low alkalinity-gone"},
		{"on its last day", []Said{stop}, []Acceptance{until(5)}, day(5), false, 1, "alkalinity-gone"},
		{"late on its last day", []Said{stop}, []Acceptance{until(5)}, day(5).Add(23 * time.Hour), false, 1, "alkalinity-gone"},
		{"the day after", []Said{stop}, []Acceptance{until(5)}, day(6), true, 0, "accepted-expired alkalinity-gone"},
		{"nobody knows the day", []Said{stop}, []Acceptance{until(5)}, time.Time{}, false, 1, "alkalinity-gone"},
		{"by nobody", []Said{stop}, []Acceptance{without(" ", "limed")}, day(5), true, 0, "accepted-incomplete alkalinity-gone"},
		{"for no reason", []Said{stop}, []Acceptance{without("A. Keeper", "")}, day(5), true, 0, "accepted-incomplete alkalinity-gone"},
		{"two stops, told once", []Said{stop, stop}, []Acceptance{without("", "")}, day(5), true, 0,
			"accepted-incomplete alkalinity-gone alkalinity-gone"},
		{"two stops, accepted", []Said{stop, stop}, []Acceptance{good}, day(5), false, 2, "alkalinity-gone alkalinity-gone"},
		{"twice accepted", []Said{stop}, []Acceptance{good, good}, day(5), false, 1, "alkalinity-gone"},
		{"an old one and a new one", []Said{stop}, []Acceptance{until(1), good}, day(5), false, 1, "accepted-expired alkalinity-gone"},
		{"another stop", []Said{stop}, []Acceptance{other}, day(5), true, 0, "alkalinity-gone accepted-unused"},
		{"a slip of the pen", []Said{stop}, []Acceptance{slip}, day(5), true, 0, "alkalinity-gone accepted-unknown"},
	} {
		taken, notes, stopped := Accept(x.list, x.accepted, x.today)
		var got []string
		for _, n := range notes {
			got = append(got, n.Code)
			uncounted := n.Code == "accepted-incomplete" || n.Code == "accepted-expired" || n.Code == "accepted-unknown"
			if Uncounted(n) != uncounted || (n.Level == note.Stop) != (n.Code == "alkalinity-gone" && stopped) {
				t.Errorf("%s: %+v", x.name, n)
			}
		}
		if s := strings.Join(got, " "); s != x.codes || stopped != x.stopped || len(taken) != x.taken {
			t.Errorf("%s: %q, stopped %v, %d taken; want %q", x.name, s, stopped, len(taken), x.codes)
		}
	}
	if n := slip.idle(); !strings.Contains(n.Message, `"alkalinity-gon" is not the name of a stop`) || !strings.Contains(n.Message,
		"alkalinity-gone") {
		t.Error(n.Message)
	}
}
