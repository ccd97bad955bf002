package dosing

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/dosing/flotation"
	"jarwright/dosing/mixing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// mixedSite is a plant of 3.6 m3/h at 9 C: a rapid mix of 36 L with 7.2 W and a flocculator of 540 L with 0.54 W.
func mixedSite() site.Site {
	var s site.Site
	s.Water.Temperature = known[quantity.Temperature](9, "")
	u := &s.Solids
	u.RapidVolume, u.RapidPower = known[quantity.Volume](36, ""), known[quantity.Power](7.2, "")
	u.FlocVolume, u.FlocPower = known[quantity.Volume](540, ""), known[quantity.Power](0.54, "")
	return s
}

// TestLikePlant: the jar that mimics that plant, by hand. At 9 C water has 1.346 mPa s (between 1.519 at 5 and 1.307 at 10 C, the
// engineering table of the mixing tests), so that the built-in curve of 2 L gives √(1.0016/1.346) = 0.8626 of its G. Rapid: G
// = √(7.2/(1.346e-3·0.036)) = 385.5 1/s for 36 s; 200 rpm give 250.2, beyond with the 1.5th power: 200·(385.5/250.2)^(2/3) = 266.8
// rpm. Slow: √(0.54/(1.346e-3·0.54)) = 27.26 1/s for 540 s; 30 rpm give 14.23, 60 rpm 40.97, so
// 30·(27.26/14.23)^(ln 2/ln(40.97/14.23)) = 45.9 rpm. In 1 L every G is √2 as large: 211.7 and 36.6 rpm.
func TestLikePlant(t *testing.T) {
	s := mixedSite()
	for _, c := range []struct {
		jar         quantity.Known[quantity.Volume]
		rapid, slow float64
	}{{quantity.Known[quantity.Volume]{}, 266.8, 45.9}, {known[quantity.Volume](1, ""), 211.7, 36.6}} {
		s.Solids.JarWater = c.jar
		l := LikePlantOf(s, 3.6, nil)
		if len(l.Steps) != 2 || !l.Told() || l.Assumed || l.Sample.OK || l.Polymer {
			t.Fatalf("%+v", l)
		}
		near(t, "rapid", float64(l.Steps[0].Speed), c.rapid, 0.3)
		near(t, "rapid time, s", l.Steps[0].Stay.In("s"), 36, 1e-9)
		near(t, "slow", float64(l.Steps[1].Speed), c.slow, 0.1)
		near(t, "slow time, s", l.Steps[1].Stay.In("s"), 540, 1e-9)
		if l.Steps[0].Plant.Duty != mixing.Rapid || l.Steps[1].Plant.Duty != mixing.FlotationFloc || l.Steps[0].Reach != mixing.Within {
			t.Errorf("%+v", l.Steps)
		}
	}
	// The user's own curve goes before the paddle: 385.5 1/s at 9 C are 446.9 in the water of the curve, 300 rpm by 446.9 at 300 rpm.
	s.Solids.JarCurve = quantity.Some(mixing.Stirrer{At: 20, Points: []mixing.StirrerPoint{{Speed: 300, G: 446.9}}})
	near(t, "own curve", float64(LikePlantOf(s, 3.6, nil).Steps[0].Needs), 300, 0.3)
	if LikePlantOf(site.Site{}, 3.6, nil).Told() {
		t.Error("a site that tells nothing has a jar")
	}
}

// TestSampleLikeSettler: 2.44 m2 of settler at 5.9536 m3/h rise at 2.44 m/h: 10 cm take 0.1/2.44 h = 2.459 min, and 1.25 to 1.75
// times less for a real one, 1.967 to 1.405 min. A tube settler and a flotation unit give no time.
func TestSampleLikeSettler(t *testing.T) {
	var s site.Site
	s.Solids.Unit, s.Solids.Surface = quantity.Some(site.UnitSettler), known[quantity.Area](2.44, "")
	l := LikePlantOf(s, 5.9536, nil)
	if !l.Sample.OK || !l.Sample.V.DepthAssumed || !l.Told() {
		t.Fatalf("%+v", l)
	}
	near(t, "loading", float64(l.Sample.V.Loading), 2.44, 1e-9)
	near(t, "after, min", l.Sample.V.After.In("min"), 2.459, 0.0005)
	near(t, "late, min", l.Sample.V.Late.In("min"), 1.967, 0.0005)
	near(t, "early, min", l.Sample.V.Early.In("min"), 1.405, 0.0005)
	s.Solids.JarDepth = known[quantity.Length](0.05, "")
	if x := LikePlantOf(s, 5.9536, nil).Sample.V; x.DepthAssumed || x.After.In("min") > 1.24 {
		t.Errorf("%+v", x)
	}
	s.Solids.HighRate = known(true, "")
	if LikePlantOf(s, 5.9536, nil).Sample.OK {
		t.Error("a tube settler has a time")
	}
	// A flotation unit has its white water: 0.54 of 3.6 m3/h are 15 %.
	f := site.Site{}
	f.Solids.Recycle, f.Solids.Surface = known[quantity.Fraction](0.15, ""), known[quantity.Area](0.72, "")
	if x := LikePlantOf(f, 3.6, nil); x.Sample.OK || !x.White.OK || x.White.V != 0.15 {
		t.Errorf("%+v", x)
	}
}

// TestOrderOfAddition: acid or alkali first, then the coagulant, last the polymer (common practice, no source), whatever
// the order of the rows; a gap only where a polymer follows a coagulant.
func TestOrderOfAddition(t *testing.T) {
	s := mixedSite()
	s.Solids.PolymerAfter = known[quantity.Time](45.0/3600, "")
	for _, name := range []string{"anionic-pam", "alum-liquid", "soda-ash"} {
		s.Chemicals = append(s.Chemicals, site.Chemical{Name: known(name, ""), Product: known(name, "")})
	}
	dosed := DosedAt(s, product.Default())
	if len(dosed) != 3 {
		t.Fatalf("%+v", dosed)
	}
	l := LikePlantOf(s, 3.6, dosed)
	got := ""
	for _, d := range l.Order {
		got += d.Name + " "
	}
	if got != "soda-ash alum-liquid anionic-pam " || !l.Polymer || l.Gap.V.In("s") != 45 {
		t.Errorf("%s, polymer %v, after %v", got, l.Polymer, l.Gap)
	}
	s.Chemicals = []site.Chemical{{Name: known("alum", "")}, {Name: known("our secret", "")}} // of several strengths, and of none
	if d := DosedAt(s, product.Default()); len(d) != 1 || d[0] != (Dosed{"alum", ThenCoagulant}) {
		t.Errorf("%+v", d)
	}
	if l := LikePlantOf(s, 3.6, []Dosed{{"a polymer", LastPolymer}}); l.Polymer || l.Gap.OK {
		t.Errorf("a polymer alone follows nothing: %+v", l)
	}
}

// TestPolymerGap: a polymer follows its coagulant by 30 to 120 s (common practice, no source). Earlier it meets the rapid mix or no
// floc yet, later flocs that grew without it; a site that says nothing, or has no coagulant before it, is told nothing.
func TestPolymerGap(t *testing.T) {
	both := []Dosed{{"PACl", ThenCoagulant}, {"polymer", LastPolymer}}
	s := mixedSite() // rapid mix of some seconds at the flow of 3.6 m3/h
	rapid := LikePlantOf(s, 3.6, both).Steps[0].Plant
	if rapid.Duty != mixing.Rapid {
		t.Fatalf("%+v", rapid)
	}
	stay := rapid.Stay.In("s")
	for _, c := range []struct {
		seconds float64
		says    string
	}{
		{min(stay, 30) * 0.9, "still in the rapid mix"}, {30, ""}, {60, ""}, {120, ""}, {1200, "have grown, or been torn, without it"},
	} {
		s.Solids.PolymerAfter = known[quantity.Time](quantity.Time(c.seconds/3600), "")
		n, off := LikePlantOf(s, 3.6, both).GapNote()
		if off != (c.says != "") || off && (!strings.Contains(n.Message, c.says) || !strings.Contains(n.Message, "30 to 120 s is usual") ||
			n.Level != note.Caution || n.Source != "common practice, no source") {
			t.Errorf("%g s: %v %s", c.seconds, off, n.Message)
		}
		if _, off := LikePlantOf(s, 3.6, both[1:]).GapNote(); off {
			t.Errorf("%g s: said of a polymer alone", c.seconds)
		}
	}
	s.Solids.RapidVolume, s.Solids.PolymerAfter = quantity.Known[quantity.Volume]{}, known[quantity.Time](8.0/3600, "")
	if n, off := LikePlantOf(s, 3.6, both).GapNote(); !off || !strings.Contains(n.Message, "no small flocs yet") {
		t.Errorf("%v %s", off, n.Message)
	}
}

// TestBenchSheetAgainstPlant: how the bench sheet says that the jars were stirred stands beside the plant where the site says nothing; a
// site goes first. Slow mixing in two stages counts by its Gt: 60 rpm for 5 min and 30 rpm for 10 min are 47.5·300 + 16.5·600
// = 24,150 at 20 C, in 900 s a G of 26.83.
func TestBenchSheetAgainstPlant(t *testing.T) {
	s := mixedSite()
	s.Water.Temperature = known[quantity.Temperature](20, "")
	stir := func(rpm, minutes float64, cell string) jartest.Stir {
		return jartest.Stir{Speed: known(quantity.Rotation(rpm), cell), Time: known(quantity.Time(minutes/60), cell)}
	}
	bench := jartest.Protocol{Rapid: stir(200, 1, "B2"), Slow: []jartest.Stir{stir(60, 5, "B2"), stir(30, 10, "B2")}}
	p := Plan{Input: Input{Day: steady(t, 3.6, 0, 24)}}
	p.Feeds = []Feed{{FeedInput: FeedInput{Jars: &Jars{Series: jartest.Series{Protocol: bench}}}}}
	o := p.UnitDay(s, nil)
	if len(o.Matches) != 2 {
		t.Fatalf("%+v", o.Matches)
	}
	near(t, "rapid Gt", o.Matches[0].Bench.Gt(), 290*60, 1e-6)
	near(t, "slow Gt", o.Matches[1].Bench.Gt(), 24150, 1e-6)
	near(t, "slow G", float64(o.Matches[1].Bench.G), 26.8333, 0.0001)
	s.Solids.JarSlow, s.Solids.JarSlowTime = known[quantity.Rotation](30, "J1"), known[quantity.Time](1.0/60, "")
	o = p.UnitDay(s, nil)
	near(t, "the site's own", o.Matches[1].Bench.Gt(), 16.5*60, 1e-6)
	if n := o.Notes; len(n) != 1 || n[0].Code != "mixing-stronger" || n[0].Place != (note.Place{Cell: "J1"}) {
		t.Error(fmt.Sprint(n))
	}
}

// TestUnsaidOfTheJar: what a site leaves out of a jar like its plant is listed; only a site that says that it floats, or how much
// white water it has, floats its jars.
func TestUnsaidOfTheJar(t *testing.T) {
	mixed, settles, floats, air := mixedSite(), site.Site{}, mixedSite(), mixedSite()
	settles.Solids.Unit = quantity.Some(site.UnitSettler)
	mixed.Solids.Recycle = known[quantity.Fraction](0.1, "")
	floats.Solids.Unit, air.Solids.Unit = quantity.Some(site.UnitFlotation), quantity.Some(site.UnitFlotation)
	air.Solids.Bubbles = quantity.Some(flotation.AirPump.String())
	const mixing, unit, surface, recycle = "rapid mix", "a settler or flotation", "the surface", "its recycle"
	for name, x := range map[string]struct {
		s      site.Site
		floats bool
		unsaid []string
	}{"nothing": {site.Site{}, false, []string{mixing, unit}}, "settler": {settles, false, []string{mixing, surface}}, "recycle": {mixed, true, nil},
		"flotation": {floats, true, []string{recycle}}, "air pump": {air, true, nil}} {
		l := LikePlantOf(x.s, 3.6, nil)
		if l.Floats != x.floats || len(l.Unsaid) != len(x.unsaid) {
			t.Errorf("%s: floats %v, unsaid %q", name, l.Floats, l.Unsaid)
			continue
		}
		for i, w := range x.unsaid {
			if !strings.Contains(l.Unsaid[i], w) {
				t.Errorf("%s: %q, want %q", name, l.Unsaid[i], w)
			}
		}
	}
}
