package dosing

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// TestPumpStandsWhereItsStrokeDoes: what 50 % speed gives of a plate of 100 mL/min (6 L/h), with the stroke where the site says it
// stands: 100 x 0.5 x stroke. Where the stroke is the one knob, it is what is set and counts once.
func TestPumpStandsWhereItsStrokeDoes(t *testing.T) {
	for _, x := range []struct {
		knobs  string
		stroke quantity.Known[quantity.Setting]
		gives  float64
		at     quantity.Setting
	}{
		{site.KnobSpeed, quantity.Some(quantity.Setting(60)), 30, 60},
		{site.KnobBoth, quantity.Some(quantity.Setting(60)), 30, 60},
		{site.KnobBoth, quantity.Known[quantity.Setting]{}, 50, 100},
		{site.KnobSpeed, quantity.Known[quantity.Setting]{}, 50, 0},
		{site.KnobSpeed, quantity.Some(quantity.Setting(100)), 50, 0},
		{site.KnobStroke, quantity.Some(quantity.Setting(60)), 50, 0},
	} {
		p, err := PumpOf(site.Pump{Max: quantity.Some(quantity.FeedRate(100)), Knobs: quantity.Some(x.knobs), Stroke: x.stroke}, nil)
		if err != nil {
			t.Fatal(err)
		}
		c := p.For(quantity.FeedRate(x.gives))
		if c.Position != (pump.Position{Setting: 50, Stroke: x.at}) || math.Abs(float64(c.Gives)-x.gives) > 1e-9 {
			t.Errorf("%s, stroke %v: %v mL/min at %+v gives %v", x.knobs, x.stroke, x.gives, c.Position, c.Gives)
		}
	}
}

// TestPlateNamesItsPump: a site has several pumps, and what is said of one alone says which: a plate without drawdown, with a stroke
// of half, with two knobs, and a plate that one reading does not replace. A pump without a name has none to say.
func TestPlateNamesItsPump(t *testing.T) {
	rate := quantity.Some[quantity.FeedRate](30)
	half := quantity.Some[quantity.Setting](50)
	one := []site.Drawdown{{Speed: quantity.Some(site.Knob{V: 50}), Rate: quantity.Some[quantity.FeedRate](15)}}
	for _, x := range []struct {
		p    site.Pump
		read []site.Drawdown
		says string
	}{
		{site.Pump{Name: quantity.Some("left"), Max: rate}, nil, "left: the setting comes from the nameplate; "},
		{site.Pump{Name: quantity.Some("left"), Max: rate, Stroke: half}, nil, "left: the setting comes from the nameplate, of which a stroke of 50 % "},
		{site.Pump{Name: quantity.Some("left"), Max: rate, Knobs: quantity.Some(site.KnobBoth)}, nil, "left: the setting comes from the nameplate, its feed "},
		{site.Pump{Name: quantity.Some("left"), Max: rate}, one, "left: one drawdown reading gives no line"},
		{site.Pump{Max: rate}, nil, "the setting comes from the nameplate; "},
	} {
		p, err := PumpOf(x.p, x.read)
		if err != nil {
			t.Fatal(err)
		}
		l := p.Calibration.Notes
		if n := l[len(l)-1]; !strings.HasPrefix(n.Message, x.says) {
			t.Errorf("%q, want %q", n.Message, x.says)
		}
	}
}
