// Package draw is pictures of results: one description of a plot, and three
// ways to show it: characters for a terminal, SVG for pages, PNG for sharing.
//
// A description holds data in the units that its axes name and says nothing of
// places on paper. Series differ by shape and dash first and by colour second,
// so that every picture reads in black and white and to the colour-blind.
package draw

import "math"

// Drawing is a picture: one plot, or several under each other.
type Drawing struct {
	Title string
	// Description says in words what the picture shows, for those who cannot see it.
	Description string
	Panels      []Panel
	// Foot is a line under the picture, such as file and date.
	Foot string
	// DecimalComma writes numbers with a comma.
	DecimalComma bool
}

// Panel is one pair of axes with what is drawn between them.
type Panel struct {
	X, Y   Axis
	Layers []Layer
}

// Axis is a direction of a plot.
type Axis struct {
	Name, Unit string
	// Log spaces powers of ten evenly; values that are not above zero are left out.
	Log bool
	// Zero makes a linear axis begin (or end) at zero.
	Zero bool
	// Least and Most fix the ends; nil takes them from the data.
	Least, Most *float64
	// Step is the distance of ticks; 0 chooses one.
	Step float64
	// Clock shows values as hours of the day: 6 as 06:00, 25.5 as 01:30.
	Clock bool
	// Labels names the positions 0, 1, 2, …; an axis with labels shows no numbers.
	Labels []string
}

// Label is the axis name with its unit, as written beside the axis.
func (a Axis) Label() string {
	if a.Unit == "" {
		return a.Name
	}
	return a.Name + " (" + a.Unit + ")"
}

// XY is a place in a plot.
type XY struct{ X, Y float64 }

func (p XY) finite() bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}

// toward is the place that share of the way to another.
func (p XY) toward(q XY, share float64) XY { return XY{p.X + share*(q.X-p.X), p.Y + share*(q.Y-p.Y)} }

// Layer is something drawn between the axes: Points, Line, Band, Marker, Steps,
// Bars, Contours or Hatched.
type Layer interface{ name() string }

// Shape is the form of a point.
type Shape int

// The shapes, in the order in which series should take them.
const (
	Round Shape = iota
	Square
	Triangle
	Diamond
	Cross
	Plus
)

// Censor says what is known of a point's y.
type Censor int

const (
	// Exact is an ordinary reading.
	Exact Censor = iota
	// Under is a reading known to lie below the value drawn.
	Under
	// Over is a reading known to lie above the value drawn.
	Over
)

// Words follow the name of points to tell censored ones apart.
func (c Censor) Words() string {
	return [...]string{Exact: "", Under: ": below this value", Over: ": above this value"}[c]
}

// Point is one reading. Censored points are drawn hollow with a small arrow.
type Point struct {
	XY
	Censor Censor
	// Spread is half the length of a vertical bar through the point, 0 for none.
	Spread float64
	// Label is written beside the point.
	Label string
}

// Points are readings of one kind.
type Points struct {
	Name  string
	Shape Shape
	Tone  Tone
	At    []Point
}

// Stroke is how a line is drawn.
type Stroke int

const (
	Solid Stroke = iota
	Dashed
	Dotted
)

// Line joins places in order. A place that is not finite breaks the line.
type Line struct {
	Name   string
	Stroke Stroke
	Tone   Tone
	At     []XY
}

// Span is a range of y at an x.
type Span struct{ X, Low, High float64 }

// Band is an area between two lines, such as an interval around a curve.
type Band struct {
	Name string
	Tone Tone
	At   []Span
}

// Marker is a straight line across the plot with words beside it: a target, a
// dose, a limit.
type Marker struct {
	Label    string
	Vertical bool // at an x; otherwise at a y
	At       float64
	Stroke   Stroke
	Tone     Tone
}

// Steps holds each y from its x to the next place's x, such as a feed through a
// day. The last place only ends the line.
type Steps struct {
	Name   string
	Stroke Stroke
	Tone   Tone
	Filled bool
	At     []XY
}

// Path is the line that the steps draw.
func (l Steps) Path() []XY {
	var path []XY
	for i, a := range l.At {
		if i > 0 {
			path = append(path, XY{a.X, l.At[i-1].Y})
		}
		if i < len(l.At)-1 {
			path = append(path, a)
		}
	}
	return path
}

// Bar is one bar from Base to Y, with an interval where High > Low.
type Bar struct {
	XY
	Base      float64
	Low, High float64
}

// Bars are bars of one kind, centred on their x. Width is in x units, 0 for 0.7.
// Hatch fills with strokes instead of a tint, so that two kinds stay apart in grey.
type Bars struct {
	Name  string
	Tone  Tone
	Width float64
	Hatch bool
	At    []Bar
}

// Grid is values of a surface at the crossings of X and Y, both ascending;
// Z[j][i] belongs to X[i], Y[j]. NaN leaves a hole.
type Grid struct {
	X, Y []float64
	Z    [][]float64
}

// Contours are lines of equal value.
type Contours struct {
	Name   string
	Unit   string
	Tone   Tone
	Grid   Grid
	Levels []float64
}

// Hatched strokes the part of the plot where a surface is at most Limit, or at
// least, where AtLeast is true.
type Hatched struct {
	Name    string
	Tone    Tone
	Grid    Grid
	Limit   float64
	AtLeast bool
}

func (l Points) name() string   { return l.Name }
func (l Line) name() string     { return l.Name }
func (l Band) name() string     { return l.Name }
func (l Marker) name() string   { return "" }
func (l Steps) name() string    { return l.Name }
func (l Bars) name() string     { return l.Name }
func (l Contours) name() string { return l.Name }
func (l Hatched) name() string  { return l.Name }
