package pump

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestPlateCountsTheStroke: a diaphragm pump moves so much a stroke as its stroke is long, so that its feed is the plate's
// times speed times stroke (common practice, no source): 80 mL/min x 30 % x 60 % = 14.4 mL/min, and 24 mL/min at a
// stroke of 60 % takes 24 / 80 / 0.6 = 50 % speed.
func TestPlateCountsTheStroke(t *testing.T) {
	one := Pump{Calibration: FromNameplateAt(80, 60)}
	two := Pump{Calibration: FromNameplateOfTwo(80), Stays: 60}
	for name, p := range map[string]Pump{"one knob": one, "two knobs": two} {
		if got := p.Calibration.Rate(Position{30, 60}); math.Abs(float64(got)-14.4) > 1e-9 {
			t.Errorf("%s: 30 %% gives %v, not 14.4", name, got)
		}
		c := p.Leave(16, 24, 32).For(24)
		if c.Position != (Position{50, 60}) || math.Abs(float64(c.Gives)-24) > 1e-9 || c.Reach != Within {
			t.Errorf("%s: 24 mL/min at %+v gives %v", name, c.Position, c.Gives)
		}
		if !p.Calibration.NamesStroke() || !p.Calibration.FromPlate() {
			t.Errorf("%s: names its stroke %v, from the plate %v", name, p.Calibration.NamesStroke(), p.Calibration.FromPlate())
		}
	}
	if most := one.Capacity(); math.Abs(float64(most)-48) > 1e-9 {
		t.Errorf("a pump whose stroke stands at 60 %% gives up to %v, not 48", most)
	}
}

// TestStrokeMovesAndSaysSo: 60 mL/min are beyond the 48 of a stroke of 60 %, so the stroke goes where they are within reach, and
// it is said; 24 mL/min leave it where it is without a word.
func TestStrokeMovesAndSaysSo(t *testing.T) {
	moves := func(p Pump) bool {
		for _, n := range p.Calibration.Notes {
			if n.Code == "stroke-moves" {
				return strings.Contains(n.Message, "stands at 60 %")
			}
		}
		return false
	}
	p := Pump{Calibration: FromNameplateOfTwo(80), Stays: 60}
	far, near := p.Leave(60), p.Leave(24)
	if c := far.For(60); c.Reach != Within || far.Stays <= 60 || !moves(far) {
		t.Errorf("60 mL/min: stroke %v, %v, %v", far.Stays, c.Gives, far.Calibration.Notes)
	}
	if near.Stays != 60 || moves(near) || moves(p) {
		t.Errorf("24 mL/min: stroke %v, %v", near.Stays, near.Calibration.Notes)
	}
}

// TestReadingsOfAnotherStroke: all drawdowns at a stroke of 100 % tell nothing of one of 60 %: the settings name the stroke that they
// hold for, and a caution says to move it.
func TestReadingsOfAnotherStroke(t *testing.T) {
	fit := func(stands quantity.Setting) Calibration {
		c, err := Fit([]Reading{{Position: Position{20, 100}, HasStroke: true, Rate: 10}, {Position: Position{50, 100}, HasStroke: true, Rate: 25},
			{Position: Position{80, 100}, HasStroke: true, Rate: 40}})
		if err != nil {
			t.Fatal(err)
		}
		c.Stands(stands)
		return c
	}
	told := func(c Calibration) bool {
		for _, n := range c.Notes {
			if n.Code == "stroke-moved" {
				return strings.Contains(n.Remedy, "set the stroke to 100 %")
			}
		}
		return false
	}
	if c := fit(60); !c.NamesStroke() || !told(c) {
		t.Errorf("stroke at 60 %%: names it %v, %v", c.NamesStroke(), c.Notes)
	}
	for _, same := range []quantity.Setting{100, 0} { // where it was tested, or not told
		if c := fit(same); c.NamesStroke() || told(c) {
			t.Errorf("stroke at %v: names it %v, %v", same, c.NamesStroke(), c.Notes)
		}
	}
}

// TestTwoKnobsBelowReach: 0.05 mL/min of a pump of 80 are less than its first step at its shortest stroke, 80 x 1 % x 10 % = 0.08:
// what the arithmetic leaves at a speed of nothing is no feed, whatever plane the readings give.
func TestTwoKnobsBelowReach(t *testing.T) {
	fitted, err := Fit([]Reading{{Position: Position{40, 100}, HasStroke: true, Rate: 32}, {Position: Position{80, 100}, HasStroke: true, Rate: 64},
		{Position: Position{80, 50}, HasStroke: true, Rate: 32}, {Position: Position{40, 50}, HasStroke: true, Rate: 16}})
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]Calibration{"plate": FromNameplateOfTwo(80), "readings": fitted} {
		p := Pump{Calibration: c, Setting: Knob{Step: 2}, Stroke: Knob{Step: 10}}
		for _, stays := range []quantity.Setting{0, 50, 60} {
			p.Stays = stays
			for _, rate := range []quantity.FeedRate{0.05, 0.01} {
				if got := p.Leave(rate).For(rate); got.Reach != TooLittle {
					t.Errorf("%s, stroke %v: %v mL/min at %+v gives %g, reach %v", name, stays, rate, got.Position, float64(got.Gives), got.Reach)
				}
			}
		}
	}
}
