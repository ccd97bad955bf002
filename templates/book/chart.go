package book

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"jarwright/templates/draw"
	"jarwright/templates/plain"
)

// ChartKind is the sort of a chart.
type ChartKind int

const (
	// Scatter draws y against x.
	Scatter ChartKind = iota
	// Columns draws bars side by side over names.
	Columns
	// Stacked draws bars on each other over names.
	Stacked
)

// Mark is how a series of a scatter chart appears.
type Mark int

const (
	// Curve is a line without points.
	Curve Mark = iota
	// Dots are points without a line.
	Dots
)

// Chart is a chart of the spreadsheet program's own. Series read their values
// from cells, so that the chart follows when cells change.
type Chart struct {
	Kind  ChartKind
	Title string
	// Alt says in words what the chart shows.
	Alt          string
	XName, YName string // with units
	XMin, XMax   *float64
	YMin, YMax   *float64
	// XStep is the distance of ticks; 0 leaves it to the program.
	XStep   float64
	LogY    bool
	XFormat string // number format of the axis; empty follows the cells
	YFormat string
	Series  []Series
	// Lying turns columns into bars that lie, the first name on top; alone in the chart
	// they have their values at their ends and no scale.
	Lying bool
}

// Series is one set of values.
type Series struct {
	Name string
	X, Y Range
	Mark Mark
	Tone draw.Tone
	// Shape and Hollow are of points, Stroke and Smooth of lines.
	Shape  draw.Shape
	Hollow bool
	Stroke draw.Stroke
	Thin   bool
	// Tag puts the name beside the points and not into the legend.
	Tag bool
	// Open leaves columns white between their edges.
	Open bool
	// Up and Down are lengths of error bars, where they have a sheet.
	Up, Down Range
	// Band is a line that fills an area by going up and down in it, in a tint.
	Band bool
	// Over draws a column series as a line over the columns (kind Columns and Stacked).
	Over bool
}

type placed struct {
	chart         Chart
	row, col      int
	width, height int
}

// Chart places a chart with its top left corner in a cell; its size is in pixels.
func (s *Sheet) Chart(row, col, width, height int, c Chart) {
	s.charts = append(s.charts, placed{c, row, col, width, height})
}

// chartEnd gives the last row and column that a chart covers.
func (s *Sheet) chartEnd(p placed) (row, col int) {
	widths := s.fitWidths()
	col = p.col
	for left := float64(p.width); left > 0; col++ {
		left -= pixels(widths, col)
	}
	row = p.row
	for high := float64(p.height); high > 0; row++ {
		high -= s.pixelsHigh(row, widths)
	}
	return row - 1, col - 1
}

// cells goes through the cells of a range, row by row; one without a sheet has none.
func (r Range) cells(yield func(Cell) bool) {
	for row := r.Row; r.Sheet != nil && row <= r.ToRow; row++ {
		for col := r.Col; col <= r.ToCol; col++ {
			if !yield(r.Sheet.cells[row][col]) {
				return
			}
		}
	}
}

// numbers reads the cells of a range; NaN where there is no number.
func (r Range) numbers() []float64 {
	var out []float64
	for c := range r.cells {
		v := math.NaN()
		switch x := c.Value.(type) {
		case float64:
			v = x
		case int:
			v = float64(x)
		case time.Time:
			v = excelDay(x)
		}
		out = append(out, v)
	}
	return out
}

// xml writes the chart part (ECMA-376, DrawingML charts).
func (c Chart) xml() string {
	b := `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n" +
		`<c:chartSpace xmlns:c="http://schemas.openxmlformats.org/drawingml/2006/chart" ` +
		`xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main"` +
		` xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">` + val("date1904", "0") +
		val("roundedCorners", "0") + `<c:chart>`
	if c.Title != "" {
		b += title(c.Title, 1200, true, false)
	}
	b += val("autoTitleDeleted", bit(c.Title == "")) + `<c:plotArea><c:layout/>`
	if c.Kind == Scatter {
		b += c.scatter()
	} else {
		b += c.columns()
	}
	b += `<c:spPr><a:noFill/></c:spPr></c:plotArea>`
	named, nameless := 0, ""
	for i, s := range c.Series {
		if s.Name == "" || s.Tag {
			nameless += el("c:legendEntry", val("idx", fmt.Sprint(i)), val("delete", "1"))
		}
		if s.Name != "" && !s.Tag {
			named++
		}
	}
	if named > 0 && len(c.Series) > 1 { // one series by itself is named by title and axis
		place := "b"
		if named > 3 { // several lines below would leave the drawing no room
			place = "r"
		}
		b += el("c:legend", val("legendPos", place), nameless, val("overlay", "0"), bodyText)
	}
	return b + val("plotVisOnly", "0") + val("dispBlanksAs", "gap") + `</c:chart>` + el("c:spPr", solid(draw.White),
		outline(emu, "<a:noFill/>")) +
		`<c:txPr><a:bodyPr/><a:lstStyle/><a:p><a:pPr><a:defRPr/></a:pPr><a:endParaRPr lang="en-GB"/></a:p></c:txPr></c:chartSpace>`
}

func (c Chart) scatter() string {
	series := ""
	for i, s := range c.Series {
		look := el("c:spPr", s.line()) + noMarker
		if s.Mark == Dots {
			look = el("c:spPr", outline(19050, `<a:noFill/>`)) + s.marker()
		}
		series += el("c:ser", s.head(i), look, s.tags(), s.errorBars(val("errDir", "y")), el("c:xVal", numRef(s.X)), el("c:yVal", numRef(s.Y)),
			val("smooth", "0"))
	}
	x := axis{tag: "c:valAx", id: xAxis, cross: yAxis, place: "b", scaling: scaling(false, c.XMin, c.XMax), title: c.XName,
		format: c.XFormat, crosses: "min",
		rest: val("crossBetween", "midCat")}
	if c.XStep > 0 {
		x.rest += val("majorUnit", shortest(c.XStep))
	}
	return el("c:scatterChart", val("scatterStyle", "lineMarker"), val("varyColors", "0"), series, axes) + x.xml() + c.valueAxis("midCat")
}

const xAxis, yAxis, axes = "1001", "1002", `<c:axId val="1001"/><c:axId val="1002"/>`

// axis is what axes of names and of values share.
type axis struct {
	tag, id, cross, place, scaling, lines, title, format, crosses, rest string
	hidden                                                              bool
}

func (a axis) xml() string {
	name := ""
	if a.title != "" {
		name = title(a.title, 1000, false, a.place == "l")
	}
	return el(a.tag, val("axId", a.id), a.scaling, val("delete", bit(a.hidden)), val("axPos", a.place), a.lines, name,
		`<c:numFmt formatCode="`+plain.XML(cmp.Or(a.format, "General"))+`" sourceLinked="0"/>`, val("majorTickMark", "out"),
		val("minorTickMark", "none"),
		val("tickLblPos", "low"), el("c:spPr", outline(9525, solid(draw.Ink))), bodyText, val("crossAx", a.cross),
		val("crosses", a.crosses), a.rest)
}

func (c Chart) valueAxis(between string) string {
	a := axis{tag: "c:valAx", id: yAxis, cross: xAxis, place: "l", scaling: scaling(c.LogY, c.least(), c.YMax), title: c.YName,
		format: c.YFormat, crosses: "min",
		lines: el("c:majorGridlines", el("c:spPr", outline(6350, solid(draw.Rule)))), rest: val("crossBetween", between)}
	if c.Lying {
		a.place, a.crosses, a.hidden = "b", "max", c.alone()
	}
	if a.hidden {
		a.lines, a.title = "", ""
	}
	return a.xml()
}

// least is where the value axis begins: as asked for, else at zero where columns
// stand on it, because the length of a column is what it says. Columns that go
// below zero leave the choice to the spreadsheet program.
func (c Chart) least() *float64 {
	if c.YMin != nil || c.Kind == Scatter || c.LogY {
		return c.YMin
	}
	for _, s := range c.Series {
		if slices.ContainsFunc(s.Y.numbers(), func(v float64) bool { return v < 0 }) {
			return nil
		}
	}
	return new(float64)
}

func (c Chart) columns() string {
	grouping, overlap, direction := "clustered", "0", "col"
	if c.Lying {
		direction = "bar"
	}
	if c.Kind == Stacked {
		grouping, overlap = "stacked", "100"
	}
	bars, lines := "", ""
	for i, s := range c.Series {
		cells := el("c:cat", textRef(s.X)) + el("c:val", numRef(s.Y))
		if s.Over {
			lines += el("c:ser", s.head(i), el("c:spPr", s.line()), noMarker, cells, val("smooth", "0"))
			continue
		}
		fill := solid(s.Tone.Tint())
		if s.Open {
			fill = solid(draw.White)
		}
		edge := Series{Tone: s.Tone, Thin: true}
		bars += el("c:ser", s.head(i), el("c:spPr", fill, edge.line()), val("invertIfNegative", "0"), c.values(), s.errorBars(""), cells)
	}
	b := ""
	if bars != "" {
		b += el("c:barChart", val("barDir", direction), val("grouping", grouping), val("varyColors", "0"), bars, val("gapWidth", "60"),
			val("overlap", overlap), axes)
	}
	if lines != "" {
		b += el("c:lineChart", val("grouping", "standard"), val("varyColors", "0"), lines, val("marker", "1"), axes)
	}
	x := axis{tag: "c:catAx", id: xAxis, cross: yAxis, place: "b", scaling: scaling(false, nil, nil), title: c.XName, format: c.XFormat,
		crosses: "autoZero",
		rest:    val("auto", "0") + val("lblAlgn", "ctr") + val("lblOffset", "100") + val("noMultiLvlLbl", "1")}
	if c.Lying {
		x.place, x.scaling = "l", el("c:scaling", val("orientation", "maxMin"))
	}
	return b + x.xml() + c.valueAxis("between")
}

// alone tells that lying bars are of one kind and need no scale.
func (c Chart) alone() bool { return c.Lying && len(c.Series) == 1 }

// values write the value at the end of each bar.
func (c Chart) values() string {
	if !c.alone() {
		return ""
	}
	return el("c:dLbls", `<c:numFmt formatCode="`+plain.XML(cmp.Or(c.YFormat, "General"))+`" sourceLinked="0"/>`, el("c:spPr", "<a:noFill/>"), bodyText,
		val("dLblPos", "outEnd"), val("showLegendKey", "0"), val("showVal", "1"), val("showCatName", "0"), val("showSerName", "0"),
		val("showPercent", "0"), val("showBubbleSize", "0"))
}

// head begins a series, the i-th of its chart.
func (s Series) head(i int) string {
	b := val("idx", fmt.Sprint(i)) + val("order", fmt.Sprint(i))
	if s.Name != "" {
		b += el("c:tx", el("c:v", plain.XML(plain.Line(s.Name))))
	}
	return b
}

// tags write the name of the series: beside its points, or once over its line, at its middle point.
func (s Series) tags() string {
	if !s.Tag {
		return ""
	}
	shows := func(name string) string {
		return val("showLegendKey", "0") + val("showVal", "0") + val("showCatName", "0") + val("showSerName", name) + val("showPercent", "0") +
			val("showBubbleSize", "0")
	}
	look := el("c:spPr", "<a:noFill/>") + bodyText
	if s.Mark == Dots {
		return el("c:dLbls", look, val("dLblPos", "r"), shows("1"))
	}
	at, place := s.X.numbers(), "t"
	if len(at) > 0 && at[0] == at[len(at)-1] { // beside a line that stands
		place = "r"
	}
	return el("c:dLbls", el("c:dLbl", val("idx", fmt.Sprint(len(at)/2)), look, val("dLblPos", place), shows("1")), shows("0"))
}

func (s Series) errorBars(direction string) string {
	if s.Up.Sheet == nil {
		return ""
	}
	down := s.Down
	if down.Sheet == nil {
		down = s.Up
	}
	return el("c:errBars", direction, val("errBarType", "both"), val("errValType", "cust"), val("noEndCap", "0"), el("c:plus", numRef(s.Up)),
		el("c:minus", numRef(down)), el("c:spPr", outline(12700, solid(draw.Ink))))
}

// emu is the length of drawings in workbooks, of which a pixel has so many.
const emu = 9525

const noMarker = `<c:marker><c:symbol val="none"/></c:marker>`

func (s Series) marker() string {
	symbol := [...]string{"circle", "square", "triangle", "diamond", "x", "plus"}[s.Shape%6]
	fill := solid(s.Tone.Hex())
	if s.Hollow {
		fill = solid(draw.White)
	}
	if s.Shape >= draw.Cross {
		fill = `<a:noFill/>`
	}
	return el("c:marker", val("symbol", symbol), val("size", "8"), el("c:spPr", fill, Series{Tone: s.Tone}.line()))
}

func (s Series) line() string {
	if s.Band {
		const thin = `<a:alpha val="20000"/>` // a program may draw what comes first above the rest
		return outline(5*emu, el("a:solidFill", el(`a:srgbClr val="`+s.Tone.Hex()[1:]+`"`, thin))+"<a:bevel/>")
	}
	width := 22225
	if s.Thin {
		width /= 2
	}
	dash := [...]string{draw.Solid: "solid", draw.Dashed: "dash", draw.Dotted: "sysDot"}[s.Stroke]
	return outline(width, solid(s.Tone.Hex())+`<a:prstDash val="`+dash+`"/>`)
}

func numRef(r Range) string {
	vals := r.numbers()
	cache := ""
	for i, v := range vals {
		if !math.IsNaN(v) {
			cache += point(i, shortest(v))
		}
	}
	return el("c:numRef", el("c:f", plain.XML(r.Ref())), el("c:numCache", el("c:formatCode", "General"),
		val("ptCount", fmt.Sprint(len(vals))), cache))
}

func textRef(r Range) string {
	cache, n := "", 0
	for c := range r.cells {
		text := plain.Line(c.text())
		if t, ok := c.Value.(time.Time); ok {
			text = t.Format(time.DateOnly)
		}
		cache += point(n, plain.XML(text))
		n++
	}
	return el("c:strRef", el("c:f", plain.XML(r.Ref())), el("c:strCache", val("ptCount", fmt.Sprint(n)), cache))
}

func point(i int, v string) string { return fmt.Sprintf(`<c:pt idx="%d"><c:v>%s</c:v></c:pt>`, i, v) }

func scaling(log bool, low, high *float64) string {
	s := ""
	if log {
		s = val("logBase", "10")
	}
	s += val("orientation", "minMax")
	if high != nil {
		s += val("max", shortest(*high))
	}
	if low != nil {
		s += val("min", shortest(*low))
	}
	return el("c:scaling", s)
}

func shortest(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// title is words over a chart or along an axis, which may run upwards.
func title(text string, size int, bold, up bool) string {
	body := `<a:bodyPr/>`
	if up {
		body = `<a:bodyPr rot="-5400000" vert="horz"/>`
	}
	letters := fmt.Sprintf(`sz="%d" b="%s"`, size, bit(bold))
	words := `<a:r><a:rPr lang="en-GB" ` + letters + `>` + ink + `</a:rPr>` + el("a:t", plain.XML(plain.Line(text))) + `</a:r>`
	return el("c:title", el("c:tx", el("c:rich", body, `<a:lstStyle/>`, el("a:p", el("a:pPr", `<a:defRPr `+letters+`/>`), words))),
		val("overlay", "0"))
}

var (
	ink      = solid(draw.Ink) + `<a:latin typeface="` + bodyFont + `"/>`
	bodyText = el("c:txPr", `<a:bodyPr/><a:lstStyle/>`, el("a:p", el("a:pPr", `<a:defRPr sz="900">`+ink+`</a:defRPr>`),
		`<a:endParaRPr lang="en-GB"/>`))
)

// el is an element, its attributes after its name, val one that has but a value.
func el(tag string, inside ...string) string {
	name, _, _ := strings.Cut(tag, " ")
	return "<" + tag + ">" + strings.Join(inside, "") + "</" + name + ">"
}
func val(tag, v string) string { return `<c:` + tag + ` val="` + v + `"/>` }

func rgb(hex string) string   { return `<a:srgbClr val="` + hex[1:] + `"/>` }
func solid(hex string) string { return el("a:solidFill", rgb(hex)) }

func outline(width int, inside string) string {
	return fmt.Sprintf(`<a:ln w="%d">%s</a:ln>`, width, inside)
}

func bit(v bool) string {
	if v {
		return "1"
	}
	return "0"
}
