package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// stoodJars are jars that stood 20 min, drawn 10 cm deep: 0.3 m/h; their water was of 15 C.
func stoodJars(celsius float64) jartest.Series {
	jar := func(label string, dose quantity.Concentration, ntu float64) jartest.Jar {
		return jartest.Jar{Label: label, Doses: []jartest.JarDose{{Concentration: dose, Known: true}}, Readings: jartest.Readings{
			{Key: jartest.Turbidity, Reading: jartest.Num(ntu, "NTU")}, {Key: jartest.TemperatureKey, Reading: jartest.Num(celsius, "C")}}}
	}
	return jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsProduct}},
		Protocol: jartest.Protocol{Depth: quantity.Some(quantity.Length(0.1)), Settle: quantity.Some(quantity.Time(20.0 / 60))},
		Jars:     []jartest.Jar{jar("1", 20, 10), jar("2", 40, 2)}}
}

// TestJarsKinderThanSettler: 200 m2 at 150 m3/h are 0.75 m/h, 2.5 times the jars' 0.3, and 10 cm at it take 8 min; water of 3 C has
// 1.619 mPa s and of 15 C 1.138 (handbook tables), 1.42 times, of 10 C 1.306, 1.24 times: less than 1.25.
func TestJarsKinderThanSettler(t *testing.T) {
	for _, c := range []struct {
		area, celsius, plant float64
		says, do             string
	}{
		{200, 15, 3, "settling at 0.3 m/h (plant 0.75 m/h), water of 15 C (plant 3 C)", "sample after 8 min, keep the jars at 3 C"},
		{200, 12, 12, "settling at 0.3 m/h (plant 0.75 m/h)", "sample after 8 min"},
		{500, 15, 3, "water of 15 C (plant 3 C)", "keep the jars at 3 C"}, // 0.3 m/h
		{401, 10, 3, "", ""}, // 0.374 m/h, 1.247 times
		{399, 3, 15, "settling at 0.3 m/h (plant 0.376 m/h)", "sample after 16 min"},
	} {
		series := stoodJars(c.celsius)
		p := Plan{Input: Input{Day: steady(t, 150, 0, 24)}}
		p.Feeds = []Feed{{FeedInput: FeedInput{Jars: JarsOf(series, 0, series.Place)}}}
		var s site.Site
		s.Solids.Unit, s.Solids.Surface = quantity.Some(site.UnitSettler), known[quantity.Area](quantity.Area(c.area), "U1")
		s.Water.Temperature = known(quantity.Temperature(c.plant), "")
		o := p.UnitDay(s, nil)
		near(t, "jar", float64(o.Kinder.Rate.V.Bench), 0.3, 1e-12)
		near(t, "plant", float64(o.Kinder.Rate.V.Plant), 150/c.area, 1e-12)
		near(t, "jar, C", float64(o.Kinder.Temperature.V.Bench), c.celsius, 1e-12)
		n, ok := noted(o.Notes, "jars-kinder")
		if ok != (c.says != "") {
			t.Errorf("%+v: %v", c, o.Notes)
			continue
		}
		if ok && (!strings.HasSuffix(n.Message, ": "+c.says) || !strings.HasSuffix(n.Remedy, ": "+c.do)) {
			t.Errorf("%q, %q; want %q, %q", n.Message, n.Remedy, c.says, c.do)
		}
	}
}

// TestJarsOfSeveralTimesHaveACurve: they are judged by it, not by one of their times; where nothing of the jars or the plant is
// known nothing is set beside.
func TestJarsOfSeveralTimesHaveACurve(t *testing.T) {
	p, s := overloaded(t, 28.8, 9)
	if o := p.UnitDay(s, nil); o.Kinder.Rate.OK || o.Kinder.Temperature.OK || o.Kinder.White.OK {
		t.Errorf("%+v", o.Kinder)
	}
	p.Feeds[0].Jars = nil
	if o := p.UnitDay(s, nil); o.Kinder != (Kinder{}) {
		t.Errorf("%+v", o.Kinder)
	}
}

// TestWhiteWaterBesidePlant: 15 % in the jars beside 4 of 40 m3/h, 10 %; 12 % beside it are 1.2 times, alike enough.
func TestWhiteWaterBesidePlant(t *testing.T) {
	for _, c := range []struct {
		jar    quantity.Fraction
		kinder bool
	}{{0.15, true}, {0.12, false}, {0.08, false}} {
		series := stoodJars(15)
		series.Recycle = c.jar
		p := Plan{Input: Input{Day: steady(t, 40, 0, 24)}}
		p.Feeds = []Feed{{FeedInput: FeedInput{Jars: JarsOf(series, 0, series.Place)}}}
		var s site.Site
		s.Solids.Recycle, s.Solids.Surface = known[quantity.Fraction](0.1, ""), known[quantity.Area](7, "")
		o := p.UnitDay(s, nil)
		near(t, "plant", float64(o.Kinder.White.V.Plant), 0.1, 1e-12)
		if _, said := noted(o.Notes, "jars-kinder"); said != c.kinder || o.Kinder.White.V.Kinder != c.kinder || o.Kinder.Rate.OK {
			t.Errorf("%v: %+v %v", c.jar, o.Kinder, o.Notes)
		}
	}
}
