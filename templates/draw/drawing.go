// Package draw is pictures of results: one description of a plot, and three
// ways to show it: characters for a terminal, SVG for pages, PNG for sharing.
//
// A description holds data in the units that its axes name and says nothing of
// places on paper. Each picture is laid out for the width it is shown in. Names
// stand at what they name, and nothing is told by colour alone, so that every
// picture reads in black and white and to the colour-blind.
package draw

import "math"

// Drawing is a picture: one plot, or several under each other.
type Drawing struct {
	// Title says the answer.
	Title string
	// Note is a lesser line under the title.
	Note string
	// Description says in words what the picture shows, for those who cannot see it.
	Description string
	Panels      []Panel
	// Multiples sets the panels as small multiples: one board above all, that of the
	// first panel's x, and each panel's y named at its left.
	Multiples bool
	// Foot is a line under the picture, such as file and date.
	Foot string
	// DecimalComma writes numbers with a comma.
	DecimalComma bool
}

// Panel is one pair of axes with what is drawn between them.
type Panel struct {
	// Title stands over the panel, where a drawing has several.
	Title  string
	X, Y   Axis
	Layers []Layer
	// Closeup shows a part of the panel again, where the decision lies low: within the
	// plot where there is room, else below.
	Closeup *Panel
	// High is the height of the plot in points, 0 for the usual one.
	High float64
}

// Axis is a direction of a plot.
type Axis struct {
	Name, Unit string
	// Note stands after them where the axis is named over a plot, such as how many readings a jar has.
	Note string
	// Log spaces powers of ten evenly; values that are not above zero are left out.
	Log bool
	// Zero makes a linear axis begin (or end) at zero.
	Zero bool
	// Least and Most fix the ends; nil takes them from the data.
	Least, Most *float64
	// Step is the distance of ticks; 0 chooses one.
	Step float64
	// Ends names the ends of the axis too, where they are no ticks.
	Ends bool
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
	if a.Name == "" {
		return a.Unit
	}
	return a.Name + ", " + a.Unit
}

// XY is a place in a plot.
type XY struct{ X, Y float64 }

func (p XY) finite() bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}

// toward is the place that share of the way to another.
func (p XY) toward(q XY, share float64) XY { return XY{p.X + share*(q.X-p.X), p.Y + share*(q.Y-p.Y)} }

// Layer is something drawn between the axes, on the board of x, or under it.
type Layer interface {
	// ends tells the axes which places a layer wants shown; NaN leaves one of them alone.
	ends(p Panel, add func(x, y float64))
}

// Shape is the form of a point.
type Shape int

// The shapes; readings are rings.
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

// Point is one reading. Censored points have a small arrow.
type Point struct {
	XY
	Censor Censor
	// Spread is half the length of a vertical bar through the point, 0 for none.
	Spread float64
	// Low and High are the ends of a bar that is not even, none where High is not above Low.
	Low, High float64
	// Label is written beside the point.
	Label string
}

// bar is the vertical bar through the point.
func (p Point) bar() (low, high float64, ok bool) {
	if p.High > p.Low {
		return p.Low, p.High, true
	}
	return p.Y - p.Spread, p.Y + p.Spread, p.Spread > 0
}

// Points are readings of one kind. Quiet ones are not named in the picture, where the row of jars tells what they are.
type Points struct {
	Name  string
	Quiet bool
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
	// Smooth bends the line evenly through its places; it rises or falls nowhere but where they do.
	Smooth bool
	// Begin and End are written at the ends of the line, such as the last value.
	Begin, End string
	// Filled tints what lies under it, such as the contents of a tank.
	Filled bool
}

// Span is a range of y at an x.
type Span struct{ X, Low, High float64 }

// Band is an area between two lines, such as an interval around a curve.
type Band struct {
	Name string
	Tone Tone
	At   []Span
	// Smooth bends both lines as that of a [Line].
	Smooth bool
}

// Marker is a straight line across the plot with words beside it: a target, a
// limit, a moment.
type Marker struct {
	Label    string
	Vertical bool // at an x; otherwise at a y
	At       float64
	Stroke   Stroke
	Tone     Tone
	// Unsafe says on which side of a limit nothing should be; that side is hatched.
	Unsafe Side
	// Number stands among the numbers of the axis, "" for none.
	Number string
}

// Side is a side of a limit.
type Side int

const (
	Neither Side = iota
	Above
	Below
)

// Steps holds each y from its x to the next place's x, such as a feed through a
// day. The last place only ends the line.
type Steps struct {
	Name   string
	Stroke Stroke
	Tone   Tone
	Filled bool
	At     []XY
	// Begin and End are written at the ends of the line.
	Begin, End string
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

// Riser is a sudden rise, such as a delivery: a thick upright stroke with words.
type Riser struct {
	Label       string
	X, From, To float64
}

// Interval is a range of x: a bar standing on the board, with a notch at the
// likeliest value. Short is its label where there is little room.
type Interval struct {
	Label, Short  string
	Low, At, High float64
}

// Mark is the planning value: one short thick bar through the board, with its
// number and words after it, Short ones where there is little room. A picture has one.
type Mark struct {
	At                   float64
	Number, Label, Short string
}

// Gap is a part of x of which nothing is known, such as doses without a jar.
type Gap struct {
	Label    string
	From, To float64
}

// Stops are moments on the board, numbered from 1 as in the list of steps beside
// the picture, with a dotted line through all panels.
type Stops struct {
	At []float64
	// Numbers are the numbers where several moments share one, or nil.
	Numbers []int
}

// Remark is words about a place, with a line from them to it.
type Remark struct {
	XY
	Label string
}

// Jar is a jar of the bench, under the board at its dose.
type Jar struct {
	X float64
	// Mud is how muddy it reads, from 0 for clear to 1 for the raw water.
	Mud float64
	// Empty is a jar still to be filled; it is dashed.
	Empty bool
	// Label is its number, Under a second line such as its volume of stock.
	Label, Under string
}

// Brace gathers jars under words.
type Brace struct {
	From, To float64 // x of the first and the last jar
	Label    string
	Strong   bool
}

// Jars are the row of jars.
type Jars struct {
	At     []Jar
	Braces []Brace
	// Word goes before the number of each jar where there is room.
	Word string
}

// Part is a piece of a lying bar.
type Part struct {
	Name, Figure string // Figure is the value as written
	Value        float64
	Tone         Tone
	// Open is left white.
	Open bool
}

// Stack is a lying bar of parts, with the range of the whole as a bar above it.
// A panel of stacks has no y.
type Stack struct {
	Name, Note string
	Parts      []Part
	// Total is the whole as written, Remark a line under it.
	Total, Remark string
	// Low and High are the range of the whole, none where High is not above Low; Mid
	// is a notch in it, 0 for none. Range is what it means, with its figures.
	Low, Mid, High float64
	Range          string
}

// whole is the length of the bar.
func (s Stack) whole() (sum float64) {
	for _, p := range s.Parts {
		sum += p.Value
	}
	return sum
}

// Bar is one bar from Base to Y, with an interval where High > Low.
type Bar struct {
	XY
	Base      float64
	Low, High float64
}

// Bars are upright bars of one kind, centred on their x. Width is in x units, 0 for
// 0.7. Hatch leaves them white, so that two kinds stay apart in grey.
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
