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

// TestPlotBars: lying bars made of parts are a stacked chart, a series a part, each over the names of all bars with their totals; a
// part that a bar lacks is nothing there.
func TestPlotBars(t *testing.T) {
	b := New(Meta{})
	s, data := b.Sheet("Summary"), b.Sheet("Data")
	bar := func(name, total string, parts ...draw.Part) draw.Stack {
		return draw.Stack{Name: name, Total: total, Parts: parts}
	}
	s.Plot(1, 1, 400, 200, data, draw.Drawing{Title: "Alum costs least", Panels: []draw.Panel{{X: draw.Axis{Name: "Cost", Unit: "EUR"}, Layers: []draw.Layer{
		bar("Alum", "30", draw.Part{Name: "solids", Value: 20, Tone: draw.Mud}, draw.Part{Name: "chemical", Value: 10}),
		bar("PACl", "37", draw.Part{Name: "solids", Value: 20, Tone: draw.Mud}, draw.Part{Name: "freight", Value: 17, Open: true})}}}})
	c := s.charts[0].chart
	if c.Kind != Stacked || !c.Lying || c.YName != "Cost, EUR" || c.XName != "" || len(c.Series) != 3 {
		t.Fatalf("%+v", c)
	}
	for i, want := range []struct {
		name   string
		values [2]float64
	}{{"solids", [2]float64{20, 20}}, {"chemical", [2]float64{10, 0}}, {"freight", [2]float64{0, 17}}} {
		x := c.Series[i]
		if v := x.Y.numbers(); x.Name != want.name || len(v) != 2 || v[0] != want.values[0] || v[1] != want.values[1] {
			t.Errorf("%s has %v, not %+v", x.Name, v, want)
		}
		var names []string
		for cell := range x.X.cells {
			names = append(names, cell.text())
		}
		if strings.Join(names, "; ") != "Alum: 30; PACl: 37" {
			t.Errorf("the bars are named %q", names)
		}
	}
	if c.Series[0].Tone != draw.Mud || !c.Series[2].Open {
		t.Error("the parts lost their looks")
	}
}

// TestPlotOfAPart: the axis of a picture of a part of a curve ends at a tick on both sides, since a spreadsheet program counts its
// ticks from there, and the band is filled where it is seen.
func TestPlotOfAPart(t *testing.T) {
	b := New(Meta{})
	s, data := b.Sheet("Next"), b.Sheet("Data")
	least, most := 10.2923, 14.7077
	s.Plot(1, 1, 400, 200, data, draw.Drawing{Panels: []draw.Panel{{X: draw.Axis{Name: "dose", Least: &least, Most: &most}, Layers: []draw.Layer{
		draw.Band{Name: "band", At: []draw.Span{{X: 0, Low: 1, High: 3}, {X: 24, Low: 1, High: 3}}}}}}})
	c := s.charts[0].chart
	if *c.XMin != 10 || *c.XMax != 15 || c.XStep != 0.5 && c.XStep != 1 {
		t.Errorf("the axis goes from %v to %v by %v", *c.XMin, *c.XMax, c.XStep)
	}
	x := c.Series[0].X.numbers()
	if x[0] != 10 || x[len(x)-1] != 15 || len(x) != 2*(bandStrokes+1) {
		t.Errorf("the band is filled from %v to %v by %d ends", x[0], x[len(x)-1], len(x))
	}
}
