package templates

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
)

// near holds two numbers of a picture against each other.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > 1e-6*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// TestDayDrawing steps the example's day: between two places of a tank's line what is fed is missing, the same every hour; at
// a riser the batch is added, and what comes in less what goes out is the change of the day. The bin gains the day's
// volume over the hours run, and is empty after each emptying.
func TestDayDrawing(t *testing.T) {
	p := sitePlan(t, nil)
	d := p.Drawing(Options{})
	if len(d.Panels) != 3 || !d.Multiples {
		t.Fatalf("%d panels", len(d.Panels))
	}
	panel := 0
	for _, f := range p.Feeds {
		var line draw.Line
		var risers []draw.Riser
		for _, l := range d.Panels[panel].Layers {
			switch l := l.(type) {
			case draw.Line:
				line = l
			case draw.Riser:
				risers = append(risers, l)
			}
		}
		panel++
		sum := 0.0
		for _, r := range risers {
			sum += r.To - r.From
		}
		made, drawn, perHour := 0.0, 0.0, 0.0
		for _, b := range f.First {
			made += float64(b.Volume)
		}
		near(t, f.Name+" let in", sum, made)
		for i := 1; i < len(line.At); i++ {
			a, b := line.At[i-1], line.At[i]
			if a.X == b.X { // a batch
				continue
			}
			perHour = max(perHour, (a.Y-b.Y)/(b.X-a.X))
			near(t, f.Name+" drawn", a.Y-b.Y, perHour*(b.X-a.X))
			drawn += a.Y - b.Y
		}
		near(t, f.Name+" in less out", sum-drawn, line.At[len(line.At)-1].Y-line.At[0].Y)
		if rate := float64(f.Rate) * 60 / 1000; perHour < rate*0.99 || perHour > rate*1.02 { // as the knob can stand
			t.Errorf("%s: %.5g L/h drawn, %.5g planned", f.Name, perHour, rate)
		}
	}
	bin := d.Panels[2].Layers[0].(draw.Line)
	perHour := float64(p.Solids.Volume.Likely) / 24
	empty := 0
	for i := 1; i < len(bin.At); i++ {
		a, b := bin.At[i-1], bin.At[i]
		if a.X == b.X {
			near(t, "emptied", b.Y, 0)
			if a.Y > 0 {
				empty++
			}
			continue
		}
		near(t, "bin", b.Y-a.Y, perHour*(b.X-a.X))
	}
	if empty != 2 {
		t.Errorf("emptied %d times", empty)
	}
	near(t, "full at", d.Panels[2].Layers[1].(draw.Marker).At, 432*0.9)
	if d.Title != "Be there at 06:00, 06:15, 08:30, 18:15 and 20:30" {
		t.Error(d.Title)
	}
}

// TestDayDrawingOfHours: a run of eight hours at night; what a pump feeds by the hour is drawn where it changes, and
// times of the list fall into the picture.
func TestDayDrawingOfHours(t *testing.T) {
	p := sitePlan(t, settlerWorks)
	d := p.Drawing(Options{})
	for _, pan := range d.Panels {
		for _, l := range pan.Layers {
			if s, ok := l.(draw.Stops); ok {
				for _, x := range s.At {
					if x < *pan.X.Least || x >= *pan.X.Most {
						t.Errorf("%v lies outside %v to %v", x, *pan.X.Least, *pan.X.Most)
					}
				}
			}
		}
	}
	s, even := p.feedSteps(Options{}, 0)
	if even || len(s.At) != 25 {
		t.Errorf("%d places, even %t", len(s.At), even)
	}
	fed := 0.0
	for _, a := range s.At {
		fed += a.Y * 60 / 1000 // mL/min for an hour, in L
	}
	near(t, "fed in the day", fed, float64(p.Feeds[0].StockUse))
}

// TestBinByTheFlow: where the flow is another by the hour the bin in the picture fills with the water, and holds at each emptying what the
// list says; of hours at rest nothing comes in.
func TestBinByTheFlow(t *testing.T) {
	p := sitePlan(t, func(v site.Values) {
		f := map[string]string{}
		for h := range 24 {
			f[fmt.Sprintf("flow at %02d:00", h)] = either(h >= 8 && h < 20, "6 m3/h", "1 m3/h")
		}
		v["Flow"][0] = f
	})
	l, ok := p.binCourse(Options{})
	if !ok {
		t.Fatal("no bin")
	}
	seen := 0
	for _, k := range p.todo {
		for i := 1; k.Kind == dosing.EmptyBin && i < len(l.At); i++ {
			if a, b := l.At[i-1], l.At[i]; a.X == p.within(k.At) && b.X == a.X && a.Y > 0 && b.Y == 0 {
				near(t, "in it when emptied", a.Y, float64(k.Emptying.Contents))
				seen++
			}
		}
	}
	if seen == 0 {
		t.Errorf("no emptying in %v", l.At)
	}
	var slow, fast float64
	for i := 1; i < len(l.At); i++ {
		a, b := l.At[i-1], l.At[i]
		if b.X-a.X == 1 && a.X == 7 {
			slow = b.Y - a.Y
		}
		if b.X-a.X == 1 && a.X == 8 {
			fast = b.Y - a.Y
		}
	}
	// float goes with the water, 6 to 1; what the skimmer carries with the hours
	carried := float64(p.Solids.Load.PerRunning)
	near(t, "float of a fast hour", fast-carried, 6*(slow-carried))
}

// TestManyTimes: a day of many jobs is named by its first and last.
func TestManyTimes(t *testing.T) {
	p := sitePlan(t, func(v site.Values) {
		v["Stocks"][1]["life"], v["Stocks"][1]["mix volume"] = "3 h", "2.5 L"
	})
	if n := len(p.jobTimes()); n <= mostClocks {
		t.Skipf("%d jobs only", n)
	}
	if d := p.Drawing(Options{}); !strings.HasPrefix(d.Title, "Be there ") || !strings.Contains(d.Title, " times, first at ") {
		t.Error(d.Title)
	}
}

// TestCostStacks: the parts of a cost come to the whole, dearest first, and the range is that of the month.
func TestCostStacks(t *testing.T) {
	m := handBudget(t).Months[0]
	d := costDrawing(Options{}, m)
	s := d.Panels[0].Layers[0].(draw.Stack)
	sum := 0.0
	for i, p := range s.Parts {
		sum += p.Value
		if i > 0 && p.Value > s.Parts[i-1].Value {
			t.Errorf("%s costs more than %s", p.Name, s.Parts[i-1].Name)
		}
	}
	near(t, "parts", sum, m.Total.Amount)
	near(t, "low", s.Low, m.Range.Cost.P10)
	near(t, "middle", s.Mid, m.Range.Cost.P50)
	near(t, "high", s.High, m.Range.Cost.P90)
	m.Total = quantity.Money{}
	if d := costDrawing(Options{}, m); len(d.Panels) != 0 {
		t.Error("what costs nothing has no picture")
	}
}

// TestCompareStacks: the parts of each cost come to its whole; what a dearer one costs more is said.
func TestCompareStacks(t *testing.T) {
	c := threeOptions(t)
	d := c.Drawing(Options{})
	for i, r := range c.placed() {
		s := d.Panels[0].Layers[i].(draw.Stack)
		sum := 0.0
		for _, p := range s.Parts {
			sum += p.Value
		}
		near(t, s.Name, sum, r.Total.Amount)
		near(t, s.Name+" low", s.Low, r.Low.Amount)
		near(t, s.Name+" high", s.High, r.High.Amount)
		if want := [...]string{"costs least", "not told apart"}[i]; s.Remark != want {
			t.Errorf("%s: %q, want %q", s.Name, s.Remark, want)
		}
	}
	if d := (Compare{}).Drawing(Options{}); len(d.Panels) != 0 {
		t.Error("nothing is placed by cost")
	}
}
