package book

import (
	"strings"
	"testing"

	"jarwright/templates/draw"
)

// TestNamedPoints: a point that names what it stands on has its name beside it in a workbook too, as the name of a
// series that the legend leaves out, on an axis whose places have no numbers; a layer with a name stays as it was.
func TestNamedPoints(t *testing.T) {
	b := New(Meta{})
	s, data := b.Sheet("Unit"), b.Sheet("Data")
	at := func(y float64) []draw.Point { return []draw.Point{{XY: draw.XY{X: 1, Y: y}, Label: "Surface loading"}} }
	s.Plot(1, 1, 400, 200, data, draw.Drawing{Panels: []draw.Panel{{Y: draw.Axis{Labels: []string{""}}, Layers: []draw.Layer{
		draw.Points{At: at(0)}, draw.Points{Name: "bench", At: at(1)}}}}})
	c := s.charts[0].chart
	if len(c.Series) != 2 || c.Series[0].Name != "Surface loading" || !c.Series[0].Tag || c.Series[1].Tag || c.Series[1].Name != "bench" {
		t.Fatalf("%+v", c.Series)
	}
	xml := c.xml()
	for part, times := range map[string]int{`<c:showSerName val="1"/>`: 1, `<c:legendEntry><c:idx val="0"/><c:delete val="1"/>`: 1,
		`<c:v>Surface loading</c:v>`: 1, `formatCode=";;;"`: 1} {
		if got := strings.Count(xml, part); got != times {
			t.Errorf("%s stands %d times in %s", part, got, xml)
		}
	}
}

// TestChartsBelowEachOther: of charts of one clock the first has its title over as high a plot as the others have, and only
// the last says what their axis is.
func TestChartsBelowEachOther(t *testing.T) {
	b := New(Meta{})
	s, data := b.Sheet("Day"), b.Sheet("Data")
	p := draw.Panel{X: draw.Axis{Name: "clock", Clock: true}, Layers: []draw.Layer{draw.Line{At: []draw.XY{{X: 6, Y: 1}, {X: 9, Y: 2}}}}}
	end := s.Plot(1, 1, 400, 100, data, draw.Drawing{Title: "Be there at 06:00", Panels: []draw.Panel{p, p, p}})
	if len(s.charts) != 3 || s.charts[0].height != 100+titleHigh || s.charts[1].height != 100 || s.charts[2].height != 100 {
		t.Fatalf("%+v", s.charts)
	}
	for i, want := range []string{"", "", "clock"} {
		if got := s.charts[i].chart.XName; got != want {
			t.Errorf("the axis of chart %d is named %q, not %q", i+1, got, want)
		}
		if last, _ := s.chartEnd(s.charts[i]); i < 2 && last >= s.charts[i+1].row || i == 2 && last >= end {
			t.Errorf("chart %d ends in row %d, on what comes below", i+1, last)
		}
	}
}
