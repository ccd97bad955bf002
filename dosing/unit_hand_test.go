package dosing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/flotation"
	"jarwright/dosing/flow"
	"jarwright/dosing/mixing"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestMixingOfTheUnit: the stages of the bench beside those of the plant at 3.6 m3/h.
// A volume of 36 L is 36 s; G = √(P/(μV)) and, by head, √(ρgh/(μt)).
func TestMixingOfTheUnit(t *testing.T) {
	p := Plan{Input: Input{Day: steady(t, 3.6, 0, 24)}}
	mu := mixing.Viscosity(15)
	full := func() site.Site {
		var s site.Site
		u := &s.Solids
		u.Unit = quantity.Some(site.UnitFlotation)
		u.JarRapid, u.JarRapidTime, u.RapidVolume, u.RapidPower = known[quantity.Rotation](200, "J1"), known[quantity.Time](1/60.0, ""), known[quantity.Volume](36, ""), known[quantity.Power](7.2, "")
		u.JarSlow, u.JarSlowTime, u.FlocVolume, u.FlocPower = known[quantity.Rotation](60, "J2"), known[quantity.Time](0.2, ""), known[quantity.Volume](720, ""), known[quantity.Power](2, "")
		return s
	}
	q := p.Day.Average()
	of := func(s site.Site) (o UnitDay, notes note.List) {
		o.mixing(q, s, jartest.Protocol{})
		return o, o.Notes
	}
	o, notes := of(full())
	if len(o.Matches) != 2 || o.Matches[0].Bench.Duty != mixing.Rapid || o.Matches[1].Bench.Duty != mixing.FlotationFloc {
		t.Fatalf("%+v", o.Matches)
	}
	warm := math.Sqrt(mixing.Viscosity(20) / mu)
	for i, x := range []struct{ benchG, benchStay, plantG, plantStay float64 }{
		{290 * warm, 1 / 60.0, math.Sqrt(7.2 / (mu * 0.036)), 0.01}, {47.5 * warm, 0.2, math.Sqrt(2 / (mu * 0.72)), 0.2}, // 290 /s at 200 rpm and 47.5 at 60, of a paddle in 20 C
	} {
		m := o.Matches[i]
		near(t, "G of the bench", float64(m.Bench.G), x.benchG, 1e-6)
		near(t, "G of the plant", float64(m.Plant.G), x.plantG, 1e-6)
		near(t, "time of the bench, h", float64(m.Bench.Stay), x.benchStay, 1e-12)
		near(t, "time of the plant, h", float64(m.Plant.Stay), x.plantStay, 1e-12)
	}
	if n, ok := noted(notes, "mixing-weaker"); ok && n.Cell != "J1" {
		t.Errorf("%v", notes)
	}
	s := full()
	s.Solids.Unit.V = site.UnitSettler
	if o, _ = of(s); o.Matches[1].Plant.Duty != mixing.Floc {
		t.Errorf("a settler: %+v", o.Matches[1])
	}
	s.Solids.RapidHead = quantity.Some[quantity.Length](0.4) // goes before the power: 0.4 m in 36 s
	o, _ = of(s)
	near(t, "G by head", float64(o.Matches[0].Plant.G), math.Sqrt(float64(mixing.WaterDensity(15))*1000*9.80665*0.4/(mu*36)), 1e-6)
	s.Solids.RapidPower.OK = false
	if o, _ = of(s); len(o.Matches) != 2 {
		t.Errorf("by head alone: %+v", o.Matches)
	}
	for what, spoil := range map[string]func(u *site.Solids){
		"no speed":          func(u *site.Solids) { u.JarRapid.OK = false },
		"no time":           func(u *site.Solids) { u.JarRapidTime.OK = false },
		"no volume":         func(u *site.Solids) { u.RapidVolume.OK = false },
		"no power, no head": func(u *site.Solids) { u.RapidPower.OK = false },
		"a stirrer at rest": func(u *site.Solids) { u.JarRapid.V = 0 },
	} {
		s := full()
		spoil(&s.Solids)
		if o, _ = of(s); len(o.Matches) != 1 || o.Matches[0].Bench.Duty != mixing.FlotationFloc {
			t.Errorf("%s: %+v", what, o.Matches)
		}
	}
	q = 0
	if o, _ = of(full()); len(o.Matches) != 0 {
		t.Errorf("no flow: %+v", o.Matches)
	}
}

// TestSkimmingOfTheUnit: 2 m3/h over 24 h with 2 L of float a m3, 96 L a day; the
// float of a pass at peak on 1 m2 is 2 L × 3 m3/h × the interval.
func TestSkimmingOfTheUnit(t *testing.T) {
	day := steady(t, 2, 0, 24).WithRange(1, 3)
	p := Plan{Input: Input{Day: day}, Treated: day.Volume()}
	var s site.Site
	u := &s.Solids
	u.SkimEvery, u.SkimWater, u.Surface, u.Deepest = known[quantity.Time](0.25, "K1"), known[quantity.Volume](2, ""), known[quantity.Area](1, ""), known[quantity.Length](0.005, "")
	d := &SolidsDay{Float: solids.Same[quantity.Volume](96), Share: 0.03, Bin: &solids.Bin{Volume: 400, Usable: 1}}
	var o UnitDay
	o.skimming(p, s, d)
	if len(o.Skimming) != len(solids.Intervals()) || o.Longest != 0.5 { // 2 × 3 × 0.5 = 3 mm; an hour makes 6
		t.Fatalf("%+v, longest %v", o.Skimming, o.Longest)
	}
	for _, r := range o.Skimming {
		passes := 24 / float64(r.Every)
		near(t, "depth, m", float64(r.Depth), 0.006*float64(r.Every), 1e-12)
		near(t, "lost, L", float64(r.Lost), 2*passes, 1e-9)
		near(t, "solids", float64(r.Solids), 0.03*96/(96+2*passes), 1e-12)
		near(t, "bin full in, h", float64(r.BinIn), 24*400/(96+2*passes), 1e-9)
	}
	if n, ok := noted(o.Notes, "skim-too-often"); !ok || n.Cell != "K1" { // 192 L of water with 96 L of float
		t.Errorf("%v", o.Notes)
	}
	for what, spoil := range map[string]func(){
		"no interval": func() { u.SkimEvery.OK = false },
		"no water":    func() { u.SkimWater.OK = false },
		"no flow":     func() { p.Treated = 0 },
	} {
		keep, q := s, p
		spoil()
		var o UnitDay
		if o.skimming(p, s, d); o.Skimming != nil {
			t.Errorf("%s: %+v", what, o.Skimming)
		}
		s, p = keep, q
	}
	d.Bin = nil
	o = UnitDay{}
	if o.skimming(p, s, d); o.Skimming[0].BinIn != 0 {
		t.Errorf("no bin: %+v", o.Skimming[0])
	}
}

// TestUnitSaysWhatIsWrong: what is as it should be stands in the figures alone; a
// settler is not judged by its float.
func TestUnitSaysWhatIsWrong(t *testing.T) {
	p := Plan{Input: Input{Day: steady(t, 3.6, 0, 24)}, Treated: 86400}
	var s site.Site
	s.Solids.Surface = known[quantity.Area](0.36, "U1") // 10 m/h
	d := &SolidsDay{Fed: 50}
	o := p.UnitDay(s, d)
	for _, n := range o.Notes {
		if n.Level <= note.Info {
			t.Errorf("%v", n)
		}
	}
	if len(o.At) != 3 {
		t.Fatalf("%+v", o)
	}
	near(t, "loading", float64(o.At[2].Loading.V), 10, 1e-12)
	near(t, "solids on the surface", float64(o.At[2].Solids.V), 3.6*50/1000/0.36, 1e-12)
	s.Solids.Surface.V = 0.2 // 18 m/h
	if o = p.UnitDay(s, d); codes(o.Notes) != "loading-high" || o.Notes[0].Place.Cell != "U1" {
		t.Errorf("%v", o.Notes)
	}
	s.Solids.Unit = quantity.Some(site.UnitSettler)
	if o = p.UnitDay(s, d); len(o.At) != 0 || codes(o.Notes) != "settler-loading" || o.Settler == nil || math.Abs(float64(o.Settler.At[2].Loading.V)-18) > 1e-9 {
		t.Errorf("%+v", o)
	}
	s.Solids.Surface.OK = false
	if o = p.UnitDay(s, d); o.Settler != nil || len(o.Notes) != 0 || o.Like.Told() {
		t.Errorf("%+v", o)
	}
}

// TestUnitOfASite: what the unit is follows from the site; the recycle counts at the average flow.
func TestUnitOfASite(t *testing.T) {
	var s site.Site
	u := &s.Solids
	u.Recycle, u.Depth, u.Bubbles = known[quantity.Fraction](0.1, ""), known[quantity.Length](0.9, "D1"), quantity.Some(site.BubblesVenturi)
	s.Water.Temperature, s.Water.Salinity, s.Place.Altitude = known[quantity.Temperature](9, ""), known[quantity.Salinity](20, ""), known[quantity.Length](500, "")
	got, ok := UnitOf(s, 3.6)
	if !ok || got.White.V != 0.36000000000000004 || got.Set != 3.6 || got.Source != flotation.Venturi || got.Height != 500 || got.Water != (flotation.Water{Temperature: 9, Salinity: 20}) {
		t.Errorf("%+v", got)
	}
	u.White = known[quantity.Flow](1.2, "")
	if got, _ = UnitOf(s, 3.6); got.White.V != 1.2 {
		t.Errorf("white water given as such: %v", got.White)
	}
	s.Water.Temperature.OK = false
	if got, _ = UnitOf(s, 3.6); got.Water.Temperature != 15 {
		t.Errorf("%+v", got.Water)
	}
	for source := flotation.Saturator; source <= flotation.Stirred; source++ { // the site's choices are the sources
		u.Bubbles.V = source.String()
		if got, _ = UnitOf(s, 3.6); got.Source != source {
			t.Errorf("%v is read as %v", source, got.Source)
		}
	}
	u.Unit = quantity.Some(site.UnitSettler)
	if _, ok := UnitOf(s, 3.6); ok {
		t.Error("a settler floats")
	}
}

// TestGasOfASite: gas is looked at where something says that bubbles are made under water.
// 0.9 m at 500 m: 95.461 kPa of air, 9.79 × 0.9 of water, 109.23 %.
func TestGasOfASite(t *testing.T) {
	var s site.Site
	if gasOf(s) != nil {
		t.Error("nothing is said of a unit, yet gas")
	}
	s.Place.Altitude = known[quantity.Length](500, "")
	s.Solids.Depth, s.Solids.Degassed = known[quantity.Length](0.9, "D1"), quantity.Some(true)
	g := gasOf(s)
	if g == nil || g.Assumed || !g.Degassed || g.At.Cell != "D1" {
		t.Fatalf("%+v", g)
	}
	near(t, "total gas", float64(g.Total), 109.23, 0.005)
	s.Solids.Depth.OK, s.Solids.Unit = false, quantity.Some(site.UnitFlotation)
	if g = gasOf(s); g == nil || !g.Assumed || g.Depth != 1 {
		t.Fatalf("%+v", g)
	}
	near(t, "total gas of a metre", float64(g.Total), 110.26, 0.005)                                 // 9.79 over 95.461 kPa
	for source, gas := range map[string]bool{"saturator": true, "venturi": true, "stirrer": false} { // whose bubbles are out before they dissolve
		if s.Solids.Bubbles = quantity.Some(source); (gasOf(s) != nil) != gas {
			t.Errorf("%s: gas %v", source, !gas)
		}
	}
}

// TestDayOfASite: where the flow of a day comes from, and what its ends may be.
func TestDayOfASite(t *testing.T) {
	q := func(v float64, cell string) quantity.Known[quantity.Flow] { return known(quantity.Flow(v), cell) }
	table := site.Flow{Average: q(9, "F1")}
	table.ByHour[6], table.ByHour[18] = q(2, ""), q(4, "")
	for _, x := range []struct {
		what        string
		f           site.Flow
		water       float64 // m3 a day
		least, peak float64
		from        string
		code, cell  string
	}{
		{"an average", site.Flow{Average: q(2, "F1")}, 48, 2, 2, "average flow as stated", "", ""},
		{"so many hours", site.Flow{Average: q(2, "F1"), Hours: known[quantity.Time](10, "")}, 20, 2, 2, "average flow as stated", "", ""},
		{"with its ends", site.Flow{Average: q(2, "F1"), Least: q(1, "F2"), Peak: q(5, "F3")}, 48, 1, 5, "average flow as stated", "", ""},
		{"ends at the average", site.Flow{Average: q(2, "F1"), Least: q(2, "F2"), Peak: q(2, "F3")}, 48, 2, 2, "average flow as stated", "", ""},
		{"by the hour", table, 12*2 + 12*4, 2, 4, "flow by hour", "", ""},
		{"nothing", site.Flow{Average: quantity.Known[quantity.Flow]{At: note.Place{Cell: "F1"}}}, 0, 0, 0, "", "value-missing", "F1"},
		{"below nothing", site.Flow{Average: q(-2, "F1")}, 0, 0, 0, "", "negative-flow", "F1"},
		{"least above the average", site.Flow{Average: q(2, "F1"), Least: q(2.1, "F2")}, 0, 0, 0, "", "flow-range", "F2"},
		{"peak below it", site.Flow{Average: q(2, "F1"), Peak: q(1.9, "F3")}, 0, 0, 0, "", "flow-range", "F3"},
	} {
		d, from, err := DayOf(x.f, nil)
		if faults := note.Of(err, "?"); x.code != "" {
			if codes(faults) != x.code || faults[0].Cell != x.cell {
				t.Errorf("%s: %v", x.what, err)
			}
			continue
		}
		if err != nil || from != x.from || float64(d.Least()) != x.least || float64(d.Peak()) != x.peak {
			t.Errorf("%s: %v to %v, %s: %v", x.what, d.Least(), d.Peak(), from, err)
		}
		near(t, x.what, d.Volume().In("m3"), x.water, 1e-9)
	}
}

// TestLogOfASite: a meter log goes before what the site states, and its cautions are told.
func TestLogOfASite(t *testing.T) {
	log, err := flow.Read("log.csv", strings.NewReader("time,flow m3/h\n2026-03-01 00:00,2\n2026-03-01 12:00,4\n2026-03-02 00:00,2\n2026-03-02 12:00,4\n2026-03-03 00:00,2\n"), flow.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d, from, err := DayOf(site.Flow{Average: known[quantity.Flow](9, "F1")}, &log)
	if err != nil || from != "average day of the meter log" {
		t.Errorf("%s: %v", from, err)
	}
	near(t, "by the log", d.Volume().In("m3"), 12*2+12*4, 1e-9)
	log.Notes = note.List{note.New(note.Caution, "gap", "a gap"), note.Fault("bad-row", "a row left out")}
	s := site.Site{Place: site.Place{From: known[quantity.Time](6, "W1"), Till: quantity.Known[quantity.Time]{At: note.Place{Cell: "W2"}}}, File: "site.xlsx"}
	s.Place.Examples = known(true, "W3")
	in, err := FromSite(s, Given{Catalogue: products, Log: &log})
	if faults := note.Of(err, "?"); codes(in.Notes) != "example-values gap" || codes(faults) != "value-missing no-chemical" || faults[0].Cell != "W2" || faults[1].Sheet != "Chemicals" || in.Notes[0].Cell != "W3" {
		t.Errorf("%v; %v", in.Notes, err)
	}
	s.Place.From.OK, s.Place.Till.OK, s.Place.From.At.Cell, s.Place.Examples.V = false, true, "W1", false
	in, err = FromSite(s, Given{Catalogue: products})
	if faults := note.Of(err, "?"); len(in.Notes) != 0 || len(faults) == 0 || faults[0].Cell != "W1" {
		t.Errorf("%v; %v", in.Notes, err)
	}
}

// TestUnitSaysItsDefaults: what the air is counted at for want of the site's own is named, and only that, and only where air is judged.
func TestUnitSaysItsDefaults(t *testing.T) {
	of := func(change func(s *site.Site)) (s site.Site) {
		u := &s.Solids
		u.Unit, u.White = quantity.Some(site.UnitFlotation), quantity.Some(quantity.Flow(0.5))
		u.Pressure, u.Efficiency = quantity.Some(quantity.Pressure(400)), quantity.Some(quantity.Fraction(0.7))
		change(&s)
		return s
	}
	for what, x := range map[string]struct {
		s    site.Site
		want string
	}{
		"nothing": {of(func(*site.Site) {}), "[15 C no salt sea level]"},
		"a temperature and salt": {of(func(s *site.Site) {
			s.Water.Temperature, s.Water.Salinity = quantity.Some(quantity.Temperature(24)), quantity.Some(quantity.Salinity(0))
		}), "[sea level]"},
		"no pressure": {of(func(s *site.Site) { s.Solids.Pressure.OK, s.Solids.Surface = false, quantity.Some(quantity.Area(1)) }), "[]"},
	} {
		p := Plan{Input: Input{Day: steady(t, 3, 0, 24)}}
		if got := fmt.Sprint(p.UnitDay(x.s, nil).Assumed); got != x.want {
			t.Errorf("%s given: %s, want %s", what, got, x.want)
		}
	}
}
