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
