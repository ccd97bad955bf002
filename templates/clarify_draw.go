package templates

import (
	"math"

	"jarwright/dosing/clarify"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// byTheClock is the longest clean-up that is drawn by the clock; beyond it by hours since the start.
const byTheClock quantity.Time = 48

// Drawing implements [DrawReport]: the tank's reading with the steps of the list, what is dosed, the
// alkalinity, what stays in the water and what the bin takes, over one board.
func (r ClarifyReport) Drawing(o Options) draw.Drawing {
	k := r.Tank()
	d := o.drawing("Cleaning up "+r.tank(), o.Show(r.headline(r.data())))
	if r.Time == 0 { // a tank that is held goes on day after day; one that never gets there has no course
		return r.heldDrawing(d, o)
	}
	d.Multiples = true
	c := newCourse(r, o)
	if r.Outcome == clarify.Cleared {
		d.Title = o.Say("Clear after %s, at %s", r.data().Fig("time").In(figure.Long), r.clock(r.Time))
	}
	i := k.Key.Info()
	reading := c.line(func(m clarify.Moment) float64 { return m.Reading })
	reading.Begin, reading.End = "", o.style().Number(r.read("", r.Final.Reading))
	log := k.Stop > 0 && k.Start > 8*k.Stop
	axis := draw.Axis{Name: "tank reads", Unit: joined(", ", i.Unit, either(log, "log scale", "")), Log: log, Zero: !log}
	if log {
		least := 0.8 * k.Stop
		axis.Least = &least
	}
	layers := []draw.Layer{reading, draw.Marker{Label: "clear at " + o.Show(r.read("", k.Stop)), At: k.Stop, Stroke: draw.Dashed, Tone: draw.Limit}}
	d.Panels = []draw.Panel{c.panel(axis, append(layers, c.steps()...)...)}
	for n, x := range k.Chemicals {
		unit := joined(" ", "mg/L", x.Basis.String())
		if !r.Stopped {
			dose := c.line(func(m clarify.Moment) float64 { return float64(m.Doses[n]) })
			dose.Filled, dose.End = true, o.style().Number(mgL("", r.Final.Doses[n], 3))
			d.Panels = append(d.Panels, c.panel(draw.Axis{Name: x.Name + " dose", Unit: unit, Zero: true}, dose))
		}
		of, as := countedIn(x)
		left := c.line(func(m clarify.Moment) float64 { return float64(of * m.Residuals[n].Worst) })
		left.End = o.style().Number(mgL("", of*r.Final.Residuals[n].Worst, 3))
		d.Panels = append(d.Panels, c.panel(draw.Axis{Name: x.Name + " left, if none is caught", Unit: joined(" ", "mg/L", as), Zero: true},
			append(limits(o, of, x, of*r.Final.Residuals[n].Worst), left)...))
	}
	if k.HasAlkalinity && len(k.Chemicals) > 0 {
		alk := c.line(func(m clarify.Moment) float64 { v, _ := m.Alkalinity.Show(o.Units); return v })
		alk.Begin, alk.End = o.style().Number(caCO3("", k.Alkalinity, 3)), o.style().Number(caCO3("", r.Final.Alkalinity, 3))
		d.Panels = append(d.Panels, c.panel(draw.Axis{Name: "alkalinity", Unit: unitOf(k.Alkalinity, o), Zero: true}, alk))
	}
	if r.Final.Waste > 0 {
		waste := c.line(func(m clarify.Moment) float64 { return m.Waste.In(tankUnit(o)) })
		waste.Filled, waste.End = true, o.style().Number(tankLevel(litres("", r.Final.Waste, 3), o))
		d.Panels = append(d.Panels, c.panel(draw.Axis{Name: "float and water so far", Unit: tankUnit(o), Zero: true}, waste))
	}
	for i := range d.Panels[1:] {
		d.Panels[i+1].High = lowPanel
	}
	return d
}

// limits are those of what stays of a chemical that lie near enough to be drawn.
func limits(o Options, of quantity.Concentration, c clarify.Chemical, most quantity.Concentration) (out []draw.Layer) {
	const near = 3
	for _, l := range [...]struct {
		said string
		at   quantity.Concentration
		side draw.Side
	}{{"care at %s", of * c.WarnAt, draw.Neither}, {"stop at %s", of * c.StopAt, draw.Above}} {
		if l.at > 0 && l.at < near*most {
			out = append(out, draw.Marker{Label: o.Say(l.said, mgL("", l.at, 2)), At: float64(l.at), Stroke: draw.Dashed, Tone: draw.Limit, Unsafe: l.side})
		}
	}
	return out
}

// lowPanel is the height of the panels under the reading.
const lowPanel = 44

// courseDrawing draws what goes on during a clean-up over its time.
type courseDrawing struct {
	r       ClarifyReport
	moments []clarify.Moment
	x       draw.Axis
	begin   float64
}

func newCourse(r ClarifyReport, o Options) courseDrawing {
	c := courseDrawing{r: r, moments: r.sample(200), x: draw.Axis{Name: "hours since the start", Zero: true}}
	if r.Time <= byTheClock {
		c.begin = math.Mod(float64(r.Tank().Begin), 24)
		from, to := c.begin, c.begin+math.Max(1, math.Ceil(float64(r.Time)))
		c.x = draw.Axis{Name: "clock", Clock: true, Least: &from, Most: &to, Step: either(r.Time > 20, 4.0, either(r.Time > 8, 2.0, 1.0))}
	}
	return c
}

func (c courseDrawing) panel(y draw.Axis, layers ...draw.Layer) draw.Panel {
	return draw.Panel{X: c.x, Y: y, Layers: layers}
}

func (c courseDrawing) line(of func(clarify.Moment) float64) (l draw.Line) {
	for _, m := range c.moments {
		l.At = append(l.At, draw.XY{X: c.begin + float64(m.At), Y: of(m)})
	}
	return l
}

// steps marks the stages of the list on the board and on the curve.
func (c courseDrawing) steps() []draw.Layer {
	var stops draw.Stops
	var points draw.Points
	board := c.r.onBoard()
	for i, s := range c.r.Stages {
		if board[i] <= len(stops.At) { // not on it, or at the time of the one before
			continue
		}
		x := c.begin + float64(s.At)
		stops.At = append(stops.At, x)
		points.At = append(points.At, draw.Point{XY: draw.XY{X: x, Y: s.Reading}})
	}
	if len(stops.At) == 0 {
		return nil
	}
	return []draw.Layer{stops, points}
}

// onBoard are the numbers of the stages on the board, those at one time the same; 0 for what is not on it.
func (r ClarifyReport) onBoard() []int {
	out, n := make([]int, len(r.Stages)), 0
	var last quantity.Time
	for i, s := range r.Stages {
		if s.At < 0 || s.At > r.Time || r.Stopped {
			continue
		}
		if n == 0 || !sameTime(s.At, last) {
			n, last = n+1, s.At
		}
		out[i] = n
	}
	return out
}
