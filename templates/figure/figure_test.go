package figure

import (
	"encoding/json"
	"math"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// metric, american and comma are the three readers that matter.
var (
	metric   = Style{}
	american = Style{Units: quantity.US}
	comma    = Style{DecimalComma: true}
)

func TestShow(t *testing.T) {
	dose := quantity.Dose{Concentration: 12.5, Basis: quantity.AsAlum14}
	for _, c := range []struct {
		what  string
		style Style
		v     any
		want  string
	}{
		{"words", metric, "neat", "neat"},
		{"nothing", metric, nil, "-"},
		{"a figure not known", metric, Figure{Key: "x"}, "-"},
		{"no ordinary number", metric, Of("x", quantity.Flow(math.NaN()), "m3/h", 3), "-"},
		{"infinite", metric, Of("x", quantity.Time(math.Inf(1)), "h", 3), "-"},
		{"three digits without being asked", metric, Of("x", quantity.Flow(3.14159), "m3/h", 0), "3.14 m3/h"},
		{"idle zeros left out", metric, Of("x", quantity.Flow(3.6), "m3/h", 4), "3.6 m3/h"},
		{"zeros kept", metric, Of("x", quantity.Flow(3.6), "m3/h", 3).In(Full), "3.60 m3/h"},
		{"gallons a minute", american, Of("x", quantity.Flow(3.6), "m3/h", 3), "15.9 gpm"}, // 3.6 m3/h / 0.227125 (m3/h)/gpm, NIST SP 811: 1 gal = 3.785412 L
		{"a comma", comma, Of("x", quantity.Flow(3.6), "m3/h", 3), "3,6 m3/h"},
		{"a dose with its basis", metric, Dose("x", dose, 3), "12.5 mg/L as alum 14-hydrate"},
		{"a dose as a quantity", comma, dose, "12,5 mg/L as alum 14-hydrate"},
		{"a bare quantity", metric, quantity.Setting(38), "38 %"},
		{"a sign and a tenth", metric, Of("x", quantity.Fraction(0.0125), "%", 2).In(Signed), "+1.2 %"},
		{"below", metric, Of("x", quantity.Fraction(-0.0126), "%", 2).In(Signed), "-1.3 %"},
		{"nothing off", metric, Of("x", quantity.Fraction(-0.0001), "%", 2).In(Signed), "0 %"},
		{"a difference", metric, Of("x", quantity.FeedRate(0.05), "mL/min", 2).In(Sign), "+0.05 mL/min"},
		{"a difference below", metric, Of("x", quantity.FeedRate(-0.05), "mL/min", 2).In(Sign), "-0.05 mL/min"},
		{"money", comma, Figure{Q: quantity.Money{Amount: 14.5, Currency: "EUR"}, Form: Cents}, "14,50 EUR"},
		{"a count", metric, Count("x", 7), "7"},
		{"as it was written", comma, Written("x", 38.425, "NTU"), "38,425 NTU"},
		{"a mean of three", metric, Written("x", 40.0/3, "NTU"), "13.33 NTU"},
		{"a large one", metric, Written("x", 123456, ""), "123456"},
		{"below zero", metric, Written("x", -40.0/3, ""), "-13.33"},
		{"a small part of a unit of money", comma, Figure{Q: quantity.Money{Amount: 0.07859, Currency: "USD"}, Form: Fine}, "0,0786 USD"},
		{"hundredths with a sign", comma, Figure{Q: quantity.PH(0.064), Form: SignCents}, "+0,06"},
		{"below zero, with a sign", metric, Figure{Q: quantity.PH(-0.064), Form: SignCents}, "-0.06"},
		{"a whole", metric, Figure{Q: Plain{V: 6.6}, Form: Whole}, "7"},
		{"seconds", metric, Figure{Q: quantity.Time(60.24 / 3600), Form: Watch}, "60 s"},
		{"the last seconds", metric, Figure{Q: quantity.Time(99.0 / 3600), Form: Watch}, "99 s"},
		{"minutes", metric, Figure{Q: quantity.Time(125.0 / 3600), Form: Watch}, "2 min 05 s"},
		{"hours", metric, Figure{Q: quantity.Time(2.1), Form: Watch}, "2 h 06 min"},
		{"seconds, as people say it", comma, Figure{Q: quantity.Time(7.5 / 3600), Form: Long}, "7,5 s"},
		{"minutes, as people say it", metric, Figure{Q: quantity.Time(0.75), Form: Long}, "45 min"},
		{"hours, as people say it", metric, Figure{Q: quantity.Time(20.2333), Form: Long}, "20 h 14 min"},
		{"whole hours", metric, Figure{Q: quantity.Time(71), Form: Long}, "71 h"},
		{"days, as people say it", comma, Figure{Q: quantity.Time(84), Form: Long}, "3,5 days"},
		{"a trace", comma, Figure{Q: Plain{V: 0.0123}, Form: Trace}, "0,0123"},
		{"less than a trace", metric, Figure{Q: Plain{V: 9e-7}, Form: Trace}, "<0.000001"},
		{"none", metric, Figure{Q: Plain{V: 0}, Form: Trace}, "0"},
		{"a gas", metric, Figure{Q: Plain{V: 5}, Digits: 2, Form: Gas}, "5.0"},
		{"hardly any gas", comma, Figure{Q: Plain{V: 9e-5}, Digits: 2, Form: Gas}, "<0,0001"},
		{"a tenth", comma, Figure{Q: Plain{V: 7.04}, Form: Tenth}, "7,0"},
		{"a phrase", comma, Say("%s on average (%s)", Of("x", quantity.Flow(3.6), "", 3), "stated"), "3,6 m3/h on average (stated)"},
		{"a phrase in a phrase", metric, Say("%s, through zero", Say("y = %s x", Figure{Q: Plain{V: 0.1675}, Digits: 4})), "y = 0.1675 x" + ", through zero"},
		{"joined", metric, And(", ", "a", "", Count("x", 2)), "a, 2"},
		{"joined by a percent sign", metric, And(" % ", "a", "b"), "a % b"},
		{"a clock", metric, Clock(5.9333), "05:56"},
		{"yesterday's clock", metric, Clock(-1), "23:00"},
		{"tomorrow's clock", metric, Clock(24.25), "00:15"},
		{"nearly midnight", metric, Clock(23.9999), "00:00"},
		{"a whole number", metric, 12, "12"},
		{"one unit whatever the size", metric, Fixed{quantity.Time(96), "h"}, "96 h"},
		{"but the reader's own", american, Fixed{quantity.Flow(0.02), "L/h"}, "0.08806 gpm"}, // 0.02 / 0.2271247
		{"an interval", metric, Interval{Figure: Of("x", quantity.Concentration(10.5), "mg/L", 3), Low: quantity.Concentration(9.25), High: quantity.Concentration(13.1)}, "10.5 mg/L (9.25 to 13.1)"},
		{"open above", metric, Interval{Figure: Of("x", quantity.Concentration(10.5), "mg/L", 3), Low: quantity.Concentration(9.25)}, "10.5 mg/L (9.25 to beyond the range)"},
		{"open below", metric, Interval{Figure: Of("x", quantity.Concentration(10.5), "mg/L", 3), High: quantity.Concentration(13.1)}, "10.5 mg/L (13.1 or less)"},
		{"neither end found", metric, Interval{Figure: Of("x", quantity.Concentration(10.5), "mg/L", 3), Open: true}, "10.5 mg/L (may be anywhere in the range)"},
		{"no ends", metric, Interval{Figure: Of("x", quantity.Concentration(10.5), "mg/L", 3)}, "10.5 mg/L"},
		{"an unknown interval", metric, Interval{}, "-"},
		{"alone in a series", metric, Bare(Count("x", 3)), "3"},
	} {
		if got := c.style.Show(c.v); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
	if got := american.Number(Of("x", quantity.Flow(3.6), "", 3)); got != "15.9" {
		t.Errorf("a number without its unit: %q", got)
	}
	if got := american.Unit(Of("x", quantity.Flow(3.6), "", 3)); got != "gpm" {
		t.Errorf("the unit alone: %q", got)
	}
	if got := metric.Number(Figure{}) + metric.Unit(Figure{}); got != "-" {
		t.Errorf("number and unit of nothing: %q", got)
	}
}

func TestDocument(t *testing.T) {
	o := New(
		Of("flow", quantity.Flow(3.6), "m3/h", 3),
		Of("left_out", quantity.Flow(math.Inf(1)), "m3/h", 3),
		Of("noise", quantity.Flow(0.1+0.2), "m3/h", 3),
		Of("volume", quantity.Volume(0.25), "L", 3).Daily(),
		Of("in_h", quantity.Time(0.5), "h", 2),
		Of("shown", quantity.Time(0.5), "", 2),
		Of("ph", quantity.PH(7.4), "pH", 2),
		Dose("dose", quantity.Dose{Concentration: 12.5, Basis: quantity.AsAlum14}, 3),
		Of("absent", quantity.Flow(1), "m3/h", 3).If(false),
		Of("present", quantity.Flow(1), "m3/h", 3).If(true).As("other"),
	).Set("ok", true).Word("said", "a <b> & c").Word("empty", "").Bare(Count("n", 3), Count("none", 1).If(false)).
		Part("sub", New(Count("k", 2).To(1))).Part("nothing", New()).List("list", nil).
		Set("at", Clock(6.5)).Set("curve", Curve{{0.1 + 0.2, 1}, {math.NaN(), 2}}).
		Set("range", Interval{Figure: Of("range", quantity.Concentration(10), "mg/L", 3), Low: quantity.Concentration(9), Confidence: 0.9}).
		Join(New(Count("joined", 4))).Join(nil)
	got, err := json.Marshal(o)
	if err != nil {
		t.Fatal(err)
	}
	want := `{"flow":{"value":3.6,"unit":"m3/h"},"noise":{"value":0.3,"unit":"m3/h"},"volume":{"value":0.25,"unit":"L/d"},"in_h":{"value":0.5,"unit":"h"},` +
		`"shown":{"value":30,"unit":"min"},"ph":{"value":7.4,"unit":"pH"},"dose":{"value":12.5,"unit":"mg/L","basis":"as alum 14-hydrate"},"other":{"value":1,"unit":"m3/h"},"ok":true,"said":"a \u003cb\u003e \u0026 c","n":3,` +
		`"sub":{"k":{"value":2,"unit":""}},"list":[],"at":"06:30","curve":[[0.3,1]],"range":{"value":10,"low":9,"confidence":0.9,"unit":"mg/L"},"joined":{"value":4,"unit":""}}`
	if string(got) != want {
		t.Errorf("document\n%s\nwant\n%s", got, want)
	}
	if b, err := o.MarshalJSON(); err != nil || !json.Valid(b) || !containsBytes(b, `"a <b> & c"`) {
		t.Errorf("the object's own JSON keeps <, > and &: %s, %v", b, err)
	}
	if _, err := New().Set("bad", func() {}).MarshalJSON(); err == nil {
		t.Error("what JSON cannot hold is an error")
	}
}

func containsBytes(b []byte, s string) bool {
	for i := 0; i+len(s) <= len(b); i++ {
		if string(b[i:i+len(s)]) == s {
			return true
		}
	}
	return false
}

func TestPaths(t *testing.T) {
	o := New().Part("pump", New(Count("setting", 38))).List("feeds", []*Object{New(Count("a", 1))})
	o.Set("i", Interval{Figure: Count("i", 5)})
	if f := o.Fig("pump.setting"); !f.Known() || metric.Show(f) != "38" {
		t.Errorf("a figure at a path: %v", f)
	}
	if metric.Show(o.Fig("i")) != "5" || metric.Show(o.Sub("pump").Fig("setting")) != "38" || metric.Show(o.Objects("feeds")[0].Fig("a")) != "1" {
		t.Error("intervals, parts and lists are found by their paths")
	}
	for _, p := range []string{"pump.none", "none.none", "feeds.a", "none"} {
		if o.Has(p) || o.Fig(p).Known() || len(o.Sub(p).Keys()) != 0 || o.Objects(p) != nil {
			t.Errorf("%s is not there", p)
		}
	}
	o.Set("i", "again")
	if k := o.Keys(); len(k) != 3 || k[2] != "i" || o.Get("i") != "again" {
		t.Errorf("setting a key again replaces its value in its place: %v", k)
	}
	if (*Object)(nil).Get("x") != nil {
		t.Error("nothing holds nothing")
	}
}

func TestTable(t *testing.T) {
	rows := []*Object{
		New(Of("rate", quantity.FeedRate(6.2), "mL/min", 3), Of("mass", quantity.Mass(0.0048), "kg", 3)).Part("pump", New(Of("setting", quantity.Setting(38), "%", 2))).
			Set("ok", true).Set("words", []string{"a", "b"}).Set("at", Clock(6)).Set("n", 4),
		New(Of("volume", quantity.Volume(12), "L", 3).Daily()).Word("name", "alum"),
	}
	table := Table{Columns("name", "rate = mL/min", "setting pump.setting %", "ok", "words", "at", "n", "mass = g", "volume = L/d", "bad rate kg"), rows}
	want := [][]string{
		{"name", "rate_ml_per_min", "setting_percent", "ok", "words", "at", "n", "mass_g", "volume_l_per_d", "bad_kg"},
		{"", "6.2", "38", "true", "a; b", "06:00", "4", "4.8", "", ""},
		{"alum", "", "", "", "", "", "", "", "12", ""},
	}
	got := table.Strings()
	for r := range want {
		for c := range want[r] {
			if got[r][c] != want[r][c] {
				t.Errorf("row %d, %s: %q, want %q", r, want[0][c], got[r][c], want[r][c])
			}
		}
	}
	slim := Table{Columns("setting pump.setting %", "n", "name"), nil}
	for _, o := range rows {
		slim.Rows = append(slim.Rows, o.Only(slim.Cols))
	}
	if got := slim.Strings(); got[1][0] != "38" || got[1][1] != "4" || got[2][2] != "alum" || slim.Rows[0].Has("rate") || !rows[0].Has("rate") {
		t.Errorf("without what no column looks at: %v", got)
	}
}

func TestLead(t *testing.T) {
	flow := Of("x", quantity.Flow(3.6), "", 3)
	for _, c := range []struct {
		what string
		v    any
		lead string
		rest string
	}{
		{"a figure", flow, "3.6 m3/h", ""},
		{"a phrase that begins with one", Say("%s on average; %s at peak", flow, flow), "3.6 m3/h", "on average; 3.6 m3/h at peak"},
		{"after a comma", Say("%s, stated", flow), "3.6 m3/h", "stated"},
		{"an interval", Interval{Figure: flow, Low: quantity.Flow(2.2), High: quantity.Flow(5.4)}, "3.6 m3/h", "2.2 m3/h to 5.4 m3/h"},
		{"an interval and words", Say("%s, 90 %% interval", Interval{Figure: flow, Low: quantity.Flow(2.2), High: quantity.Flow(5.4)}), "3.6 m3/h", "2.2 m3/h to 5.4 m3/h; 90 % interval"},
		{"an open interval", Interval{Figure: flow, Low: quantity.Flow(2.2)}, "3.6 m3/h", ""},
		{"a number alone", Bare(flow), "3.6 m3/h", ""},
		{"words first", Say("set to %s", flow), "", ""},
		{"a figure not known", Figure{}, "", ""},
		{"a phrase of one not known", Say("%s", Figure{}), "", ""},
		{"words", "neat", "", ""},
		{"a phrase of words", Say("%s", "neat"), "", ""},
	} {
		f, rest, ok := Lead(c.v)
		if ok != (c.lead != "") {
			t.Errorf("%s: leads %v", c.what, ok)
			continue
		}
		if ok && metric.Show(f) != c.lead {
			t.Errorf("%s: %q leads, want %q", c.what, metric.Show(f), c.lead)
		}
		if ok && metric.Say(rest.Format, rest.Args...) != c.rest {
			t.Errorf("%s: rest %q, want %q", c.what, metric.Say(rest.Format, rest.Args...), c.rest)
		}
	}
}

func TestTidy(t *testing.T) {
	for _, c := range []struct{ v, want float64 }{{0.1 + 0.2, 0.3}, {0, 0}, {1e-15, 1e-15}, {16.525000000000002, 16.525}, {math.Inf(1), math.Inf(1)}} {
		if got := Tidy(c.v); got != c.want {
			t.Errorf("Tidy(%v) = %v, want %v", c.v, got, c.want)
		}
	}
	if !math.IsNaN(Tidy(math.NaN())) || !math.IsNaN(Fixed{Plain{}, "m"}.In("m")) {
		t.Error("what is no number stays none")
	}
	if got := (Fixed{quantity.Time(2), "h"}).In("min"); got != 120 {
		t.Errorf("2 h in minutes: %v", got)
	}
}

func TestNotesInTheReadersUnits(t *testing.T) {
	n := note.New(note.Caution, "swing", "the flow goes to %s at %d o'clock", quantity.Flow(3.6), 6).Do("give %s or less", quantity.Volume(37.85411784))
	n.Message = "alum: " + n.Message
	l := american.Notes(note.List{n})
	if got := l[0].Message; got != "alum: the flow goes to 15.85 gpm at 6 o'clock" {
		t.Errorf("message %q", got)
	}
	if got := l[0].Remedy; got != "give 10 gal or less" {
		t.Errorf("remedy %q", got)
	}
	if got := comma.Notes(note.List{n})[0].Message; got != "alum: the flow goes to 3,6 m3/h at 6 o'clock" {
		t.Errorf("with a comma %q", got)
	}
	deep := note.New(note.Info, "deep", "%s at %d, %s (%s)", note.Say("from %s to %s", quantity.To(quantity.Temperature(-10), 3).Bare(), quantity.Full(quantity.Temperature(40), 3)), 6,
		quantity.Places(quantity.Number(7.5), 2), quantity.PH(7.4))
	for style, want := range map[Style]string{metric: "from -10 to 40.0 C at 6, 7.50 (7.40)", american: "from 14 to 104 F at 6, 7.50 (7.40)", comma: "from -10 to 40,0 C at 6, 7,50 (7,40)"} {
		if got := style.Notes(note.List{deep})[0].Message; got != want {
			t.Errorf("%v: %q, want %q", style, got, want)
		}
	}
	if got := metric.Notes(note.List{n})[0]; !got.Equal(n) {
		t.Errorf("as it was: %v", got)
	}
}

// TestPhrasesHoldCountsAndFigures: a count of a phrase is written under %d in any phrase around it, and a figure in a document with its unit.
func TestPhrasesHoldCountsAndFigures(t *testing.T) {
	inner := Say("%s in %d batches", quantity.To(quantity.Volume(12), 2), 3)
	if got := (Style{}).Say("make up %s, now", inner); got != "make up 12 L in 3 batches, now" {
		t.Errorf("%q", got)
	}
	if got := Say("a paddle of %s", Figure{Q: quantity.Length(0.076), Digits: 2}).String(); got != (Style{}).Say("a paddle of %s", Figure{Q: quantity.Length(0.076), Digits: 2}) {
		t.Errorf("%q", got)
	}
}
