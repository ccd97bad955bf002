package book

import (
	"fmt"
	"math"
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
	// Hatch fills columns with strokes, so that two kinds stay apart in grey.
	Hatch bool
	// Up and Down are lengths of error bars, where they have a sheet.
	Up, Down Range
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
		h := 15.0
		if len(s.cells[row]) > 0 {
			h = s.fitHeight(row, widths)
		}
		high -= h * pixelPoint
	}
	return row - 1, col - 1
}

// numbers reads the cells of a range; NaN where there is no number.
func (r Range) numbers() []float64 {
	var out []float64
	for row := r.Row; row <= r.ToRow; row++ {
		for col := r.Col; col <= r.ToCol; col++ {
			v := math.NaN()
			switch x := r.Sheet.cells[row][col].Value.(type) {
			case float64:
				v = x
			case int:
				v = float64(x)
			case time.Time:
				v = excelDay(x)
			}
			out = append(out, v)
		}
	}
	return out
}

// xml writes the chart part (ECMA-376, DrawingML charts).
func (c Chart) xml() string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n" +
		`<c:chartSpace xmlns:c="http://schemas.openxmlformats.org/drawingml/2006/chart" xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">` +
		`<c:date1904 val="0"/><c:roundedCorners val="0"/><c:chart>`)
	if c.Title != "" {
		b.WriteString(`<c:title><c:tx>` + richText(c.Title, 1200, true) + `</c:tx><c:overlay val="0"/></c:title>`)
	}
	b.WriteString(`<c:autoTitleDeleted val="` + bit(c.Title == "") + `"/><c:plotArea><c:layout/>`)
	if c.Kind == Scatter {
		c.scatter(&b)
	} else {
		c.columns(&b)
	}
	b.WriteString(`<c:spPr><a:noFill/></c:spPr></c:plotArea>`)
	named := 0
	for _, s := range c.Series {
		if s.Name != "" {
			named++
		}
	}
	if named > 0 {
		b.WriteString(`<c:legend><c:legendPos val="b"/>`)
		for i, s := range c.Series {
			if s.Name == "" {
				fmt.Fprintf(&b, `<c:legendEntry><c:idx val="%d"/><c:delete val="1"/></c:legendEntry>`, i)
			}
		}
		b.WriteString(`<c:overlay val="0"/>` + bodyText(900) + `</c:legend>`)
	}
	b.WriteString(`<c:plotVisOnly val="0"/><c:dispBlanksAs val="gap"/></c:chart>` +
		`<c:spPr><a:solidFill><a:srgbClr val="FFFFFF"/></a:solidFill><a:ln w="9525"><a:solidFill><a:srgbClr val="` + draw.Rule[1:] + `"/></a:solidFill></a:ln></c:spPr>` +
		`<c:txPr><a:bodyPr/><a:lstStyle/><a:p><a:pPr><a:defRPr/></a:pPr><a:endParaRPr lang="en-GB"/></a:p></c:txPr></c:chartSpace>`)
	return b.String()
}

func (c Chart) scatter(b *strings.Builder) {
	b.WriteString(`<c:scatterChart><c:scatterStyle val="lineMarker"/><c:varyColors val="0"/>`)
	for i, s := range c.Series {
		head(b, i, s)
		if s.Mark == Curve {
			b.WriteString(`<c:spPr>` + line(s.Tone, s.Stroke, s.Thin) + `</c:spPr><c:marker><c:symbol val="none"/></c:marker>`)
		} else {
			b.WriteString(`<c:spPr><a:ln w="19050"><a:noFill/></a:ln></c:spPr>` + marker(s))
		}
		errorBars(b, s, "y")
		b.WriteString(`<c:xVal>` + numRef(s.X) + `</c:xVal><c:yVal>` + numRef(s.Y) + `</c:yVal><c:smooth val="0"/></c:ser>`)
	}
	b.WriteString(`<c:axId val="1001"/><c:axId val="1002"/></c:scatterChart>`)
	b.WriteString(`<c:valAx><c:axId val="1001"/>` + scaling(false, c.XMin, c.XMax) + `<c:delete val="0"/><c:axPos val="b"/>` + axisTitle(c.XName, false) + numFmt(c.XFormat) +
		`<c:majorTickMark val="out"/><c:minorTickMark val="none"/><c:tickLblPos val="low"/>` + axisLine() + bodyText(900) + `<c:crossAx val="1002"/><c:crosses val="min"/>` + majorUnit(c.XStep) + `</c:valAx>`)
	c.valueAxis(b)
}

func (c Chart) valueAxis(b *strings.Builder) {
	between := "midCat"
	if c.Kind != Scatter {
		between = "between"
	}
	b.WriteString(`<c:valAx><c:axId val="1002"/>` + scaling(c.LogY, c.least(), c.YMax) + `<c:delete val="0"/><c:axPos val="l"/>` +
		`<c:majorGridlines><c:spPr><a:ln w="6350"><a:solidFill><a:srgbClr val="` + draw.Rule[1:] + `"/></a:solidFill></a:ln></c:spPr></c:majorGridlines>` +
		axisTitle(c.YName, true) + numFmt(c.YFormat) + `<c:majorTickMark val="out"/><c:minorTickMark val="none"/><c:tickLblPos val="low"/>` + axisLine() + bodyText(900) +
		`<c:crossAx val="1001"/><c:crosses val="min"/><c:crossBetween val="` + between + `"/></c:valAx>`)
}

// least is where the value axis begins: as asked for, else at zero where columns
// stand on it, because the length of a column is what it says. Columns that go
// below zero leave the choice to the spreadsheet program.
func (c Chart) least() *float64 {
	if c.YMin != nil || c.Kind == Scatter || c.LogY {
		return c.YMin
	}
	for _, s := range c.Series {
		if s.Y.Sheet == nil {
			continue
		}
		for _, v := range s.Y.numbers() {
			if v < 0 {
				return nil
			}
		}
	}
	return new(float64)
}

func (c Chart) columns(b *strings.Builder) {
	var bars, lines []int
	for i, s := range c.Series {
		if s.Over {
			lines = append(lines, i)
		} else {
			bars = append(bars, i)
		}
	}
	if len(bars) > 0 {
		grouping, overlap := "clustered", "0"
		if c.Kind == Stacked {
			grouping, overlap = "stacked", "100"
		}
		b.WriteString(`<c:barChart><c:barDir val="col"/><c:grouping val="` + grouping + `"/><c:varyColors val="0"/>`)
		for _, i := range bars {
			s := c.Series[i]
			head(b, i, s)
			fill := `<a:solidFill><a:srgbClr val="` + s.Tone.Tint()[1:] + `"/></a:solidFill>`
			if s.Hatch {
				fill = `<a:pattFill prst="wdUpDiag"><a:fgClr><a:srgbClr val="` + s.Tone.Hex()[1:] + `"/></a:fgClr><a:bgClr><a:srgbClr val="FFFFFF"/></a:bgClr></a:pattFill>`
			}
			b.WriteString(`<c:spPr>` + fill + line(s.Tone, draw.Solid, true) + `</c:spPr><c:invertIfNegative val="0"/>`)
			errorBars(b, s, "")
			b.WriteString(`<c:cat>` + textRef(s.X) + `</c:cat><c:val>` + numRef(s.Y) + `</c:val></c:ser>`)
		}
		b.WriteString(`<c:gapWidth val="60"/><c:overlap val="` + overlap + `"/><c:axId val="1001"/><c:axId val="1002"/></c:barChart>`)
	}
	if len(lines) > 0 {
		b.WriteString(`<c:lineChart><c:grouping val="standard"/><c:varyColors val="0"/>`)
		for _, i := range lines {
			s := c.Series[i]
			head(b, i, s)
			b.WriteString(`<c:spPr>` + line(s.Tone, s.Stroke, s.Thin) + `</c:spPr><c:marker><c:symbol val="none"/></c:marker><c:cat>` + textRef(s.X) + `</c:cat><c:val>` + numRef(s.Y) + `</c:val><c:smooth val="0"/></c:ser>`)
		}
		b.WriteString(`<c:marker val="1"/><c:axId val="1001"/><c:axId val="1002"/></c:lineChart>`)
	}
	b.WriteString(`<c:catAx><c:axId val="1001"/><c:scaling><c:orientation val="minMax"/></c:scaling><c:delete val="0"/><c:axPos val="b"/>` + axisTitle(c.XName, false) + numFmt(c.XFormat) +
		`<c:majorTickMark val="out"/><c:minorTickMark val="none"/><c:tickLblPos val="low"/>` + axisLine() + bodyText(900) + `<c:crossAx val="1002"/><c:crosses val="autoZero"/><c:auto val="0"/><c:lblAlgn val="ctr"/><c:lblOffset val="100"/><c:noMultiLvlLbl val="1"/></c:catAx>`)
	c.valueAxis(b)
}

func head(b *strings.Builder, i int, s Series) {
	fmt.Fprintf(b, `<c:ser><c:idx val="%d"/><c:order val="%d"/>`, i, i)
	if s.Name != "" {
		b.WriteString(`<c:tx><c:v>` + plain.XML(plain.Line(s.Name)) + `</c:v></c:tx>`)
	}
}

func errorBars(b *strings.Builder, s Series, dir string) {
	if s.Up.Sheet == nil {
		return
	}
	down := s.Down
	if down.Sheet == nil {
		down = s.Up
	}
	b.WriteString(`<c:errBars>`)
	if dir != "" {
		b.WriteString(`<c:errDir val="` + dir + `"/>`)
	}
	b.WriteString(`<c:errBarType val="both"/><c:errValType val="cust"/><c:noEndCap val="0"/><c:plus>` + numRef(s.Up) + `</c:plus><c:minus>` + numRef(down) +
		`</c:minus><c:spPr><a:ln w="12700"><a:solidFill><a:srgbClr val="` + draw.Ink[1:] + `"/></a:solidFill></a:ln></c:spPr></c:errBars>`)
}

func marker(s Series) string {
	symbol := [...]string{"circle", "square", "triangle", "diamond", "x", "plus"}[int(s.Shape)%6]
	fill := `<a:solidFill><a:srgbClr val="` + s.Tone.Hex()[1:] + `"/></a:solidFill>`
	if s.Hollow {
		fill = `<a:solidFill><a:srgbClr val="FFFFFF"/></a:solidFill>`
	}
	if s.Shape >= draw.Cross {
		fill = `<a:noFill/>`
	}
	return `<c:marker><c:symbol val="` + symbol + `"/><c:size val="8"/><c:spPr>` + fill + line(s.Tone, draw.Solid, false) + `</c:spPr></c:marker>`
}

func line(t draw.Tone, s draw.Stroke, thin bool) string {
	w, dash := 22225, "solid"
	if thin {
		w = 11112
	}
	switch s {
	case draw.Dashed:
		dash = "dash"
	case draw.Dotted:
		dash = "sysDot"
	}
	return fmt.Sprintf(`<a:ln w="%d"><a:solidFill><a:srgbClr val="%s"/></a:solidFill><a:prstDash val="%s"/></a:ln>`, w, t.Hex()[1:], dash)
}

func numRef(r Range) string {
	var b strings.Builder
	vals := r.numbers()
	fmt.Fprintf(&b, `<c:numRef><c:f>%s</c:f><c:numCache><c:formatCode>General</c:formatCode><c:ptCount val="%d"/>`, plain.XML(r.Ref()), len(vals))
	for i, v := range vals {
		if !math.IsNaN(v) {
			fmt.Fprintf(&b, `<c:pt idx="%d"><c:v>%s</c:v></c:pt>`, i, strconv.FormatFloat(v, 'g', -1, 64))
		}
	}
	b.WriteString(`</c:numCache></c:numRef>`)
	return b.String()
}

func textRef(r Range) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<c:strRef><c:f>%s</c:f><c:strCache><c:ptCount val="%d"/>`, plain.XML(r.Ref()), (r.ToRow-r.Row+1)*(r.ToCol-r.Col+1))
	i := 0
	for row := r.Row; row <= r.ToRow; row++ {
		for col := r.Col; col <= r.ToCol; col++ {
			c := r.Sheet.cells[row][col]
			text := plain.Line(c.text())
			if t, ok := c.Value.(time.Time); ok {
				text = t.Format("2006-01-02")
			}
			fmt.Fprintf(&b, `<c:pt idx="%d"><c:v>%s</c:v></c:pt>`, i, plain.XML(text))
			i++
		}
	}
	b.WriteString(`</c:strCache></c:strRef>`)
	return b.String()
}

func scaling(log bool, low, high *float64) string {
	s := `<c:scaling>`
	if log {
		s += `<c:logBase val="10"/>`
	}
	s += `<c:orientation val="minMax"/>`
	if high != nil {
		s += `<c:max val="` + strconv.FormatFloat(*high, 'g', -1, 64) + `"/>`
	}
	if low != nil {
		s += `<c:min val="` + strconv.FormatFloat(*low, 'g', -1, 64) + `"/>`
	}
	return s + `</c:scaling>`
}

func majorUnit(step float64) string {
	if step <= 0 {
		return `<c:crossBetween val="midCat"/>`
	}
	return `<c:crossBetween val="midCat"/><c:majorUnit val="` + strconv.FormatFloat(step, 'g', -1, 64) + `"/>`
}

func numFmt(code string) string {
	if code == "" {
		return `<c:numFmt formatCode="General" sourceLinked="0"/>`
	}
	return `<c:numFmt formatCode="` + plain.XML(code) + `" sourceLinked="0"/>`
}

func axisTitle(name string, up bool) string {
	if name == "" {
		return ""
	}
	body := `<a:bodyPr/>`
	if up {
		body = `<a:bodyPr rot="-5400000" vert="horz"/>`
	}
	return `<c:title><c:tx><c:rich>` + body + `<a:lstStyle/><a:p><a:pPr><a:defRPr sz="1000" b="0"/></a:pPr><a:r><a:rPr lang="en-GB" sz="1000" b="0">` + ink() + `</a:rPr><a:t>` +
		plain.XML(plain.Line(name)) + `</a:t></a:r></a:p></c:rich></c:tx><c:overlay val="0"/></c:title>`
}

func richText(text string, size int, bold bool) string {
	return fmt.Sprintf(`<c:rich><a:bodyPr/><a:lstStyle/><a:p><a:pPr><a:defRPr sz="%d" b="%s"/></a:pPr><a:r><a:rPr lang="en-GB" sz="%d" b="%s">%s</a:rPr><a:t>%s</a:t></a:r></a:p></c:rich>`,
		size, bit(bold), size, bit(bold), ink(), plain.XML(plain.Line(text)))
}

func bodyText(size int) string {
	return fmt.Sprintf(`<c:txPr><a:bodyPr/><a:lstStyle/><a:p><a:pPr><a:defRPr sz="%d">%s</a:defRPr></a:pPr><a:endParaRPr lang="en-GB"/></a:p></c:txPr>`, size, ink())
}

func ink() string {
	return `<a:solidFill><a:srgbClr val="` + draw.Ink[1:] + `"/></a:solidFill><a:latin typeface="` + bodyFont + `"/>`
}

func axisLine() string {
	return `<c:spPr><a:ln w="9525"><a:solidFill><a:srgbClr val="` + draw.Ink[1:] + `"/></a:solidFill></a:ln></c:spPr>`
}

func bit(v bool) string {
	if v {
		return "1"
	}
	return "0"
}
