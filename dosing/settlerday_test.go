package dosing

import (
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// settledJars are two jars, 20 and 40 mg/L, drawn 10 cm deep after 2, 5 and 10 min; the last is the reading itself.
func settledJars() jartest.Series {
	at := func(v, minutes float64) jartest.Reading {
		r := jartest.Num(v, "NTU")
		r.Minutes = minutes
		return r
	}
	jar := func(label string, dose quantity.Concentration, two, five, ten float64) jartest.Jar {
		return jartest.Jar{Label: label, Doses: []jartest.JarDose{{Concentration: dose, Known: true}}, Readings: jartest.Readings{
			{Key: "turbidity_2_min", Reading: at(two, 2)}, {Key: "turbidity_5_min", Reading: at(five, 5)}, {Key: jartest.Turbidity, Reading: at(ten, 10)},
			{Key: jartest.PH, Reading: jartest.Num(7, "")}}}
	}
	return jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsProduct}}, Raw: map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(60, "NTU")},
		Protocol: jartest.Protocol{Depth: quantity.Some(quantity.Length(0.1))}, Jars: []jartest.Jar{jar("1", 20, 30, 16, 10), jar("2", 40, 10, 6, 4)}}
}

// TestSettling: half-way between the jars, at 30 mg/L, 2, 5 and 10 min read 20, 11 and 7 NTU; 10 cm in them are 3, 1.2 and 0.6 m/h.
func TestSettling(t *testing.T) {
	series := settledJars()
	s := SettlingOf(JarsOf(series, 0, series.Place), jartest.Turbidity, 30)
	if s == nil || len(s.Curve) != 3 || s.Between != [2]string{"1", "2"} || s.Raw.V != 60 || !s.Depth.OK {
		t.Fatalf("%+v", s)
	}
	for i, want := range [][3]float64{{0.6, 7, 10}, {1.2, 11, 5}, {3, 20, 2}} {
		p := s.Curve[i]
		near(t, "rate", float64(p.Rate), want[0], 1e-9)
		near(t, "reading", p.Reading, want[1], 1e-9)
		near(t, "minutes", p.Time.In("min"), want[2], 1e-9)
	}
	if own := SettlingOf(JarsOf(series, 0, series.Place), "turbidity_5_min", 40); own == nil || own.Between != [2]string{"2", "2"} || own.Curve[2].Reading != 10 {
		t.Errorf("%+v", own)
	}
	// One time, a dose outside the jars, or a time that differs between them tell nothing.
	if SettlingOf(JarsOf(series, 0, series.Place), jartest.PH, 30) != nil || SettlingOf(JarsOf(series, 0, series.Place), jartest.Turbidity, 50) != nil || SettlingOf(nil, jartest.Turbidity, 30) != nil {
		t.Error("told of nothing")
	}
	series.Jars[0].Readings = append(jartest.Readings(nil), series.Jars[0].Readings...)
	r := series.Jars[0].Readings.Of(jartest.Turbidity)
	r.Minutes = 12
	series.Jars[0].Readings.Set(jartest.Turbidity, r)
	if s := SettlingOf(JarsOf(series, 0, series.Place), jartest.Turbidity, 30); s == nil || len(s.Curve) != 2 {
		t.Errorf("%+v", s)
	}
}

// TestSettlerDay: 32 m2 at 28.8 m3/h are 0.9 m/h. The jars read 11 + … at it: between 0.6 (7 NTU) and 1.2 m/h (11 NTU), ln 1.5/ln 2 =
// 0.58496 of the way, 9.3399 NTU; at 1.25 times, 1.125 m/h, ln 1.875/ln 2 = 0.90689, 10.6276; at 1.75 times, 1.575 m/h, ln(1.3125)/ln 2.5
// = 0.29677 of the way to 20 NTU, 13.6709.
func TestSettlerDay(t *testing.T) {
	series := settledJars()
	p := Plan{Input: Input{Day: steady(t, 28.8, 0, 24)}}
	f := FeedInput{Jars: JarsOf(series, 0, series.Place), Dose: quantity.Dose{Concentration: 30, Basis: quantity.AsProduct}}
	p.Feeds = []Feed{{FeedInput: f}}
	var s site.Site
	s.Solids.Unit, s.Solids.Surface = quantity.Some(site.UnitSettler), known[quantity.Area](32, "U1")
	o := p.UnitDay(s, nil)
	if o.Settler == nil || o.Settler.Jars == nil || len(o.Notes) != 0 || len(o.At) != 0 {
		t.Fatalf("%+v", o)
	}
	all := o.Settler.Expected()
	if len(all) != 1 || all[0].When != "always" {
		t.Fatalf("%+v", all)
	}
	near(t, "loading", float64(all[0].Loading), 0.9, 1e-12)
	near(t, "in the jar", all[0].Jar.V, 9.3399, 0.0001)
	near(t, "a good settler", all[0].Low.V, 10.6276, 0.0001)
	near(t, "a poor one", all[0].High.V, 13.6709, 0.0001)
	// Without depth no time stands for a loading; a flotation unit has no settler.
	series.Protocol.Depth.OK = false
	p.Feeds[0].Jars = JarsOf(series, 0, series.Place)
	if o := p.UnitDay(s, nil); o.Settler.Expected() != nil {
		t.Error("a rate without depth")
	}
	s.Solids.Unit = quantity.Some(site.UnitFlotation)
	if o := p.UnitDay(s, nil); o.Settler != nil {
		t.Error("a flotation unit settles")
	}
}
