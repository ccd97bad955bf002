package figure

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestTableForUSReaders: a table for programs stands in the units of its readers, heading and number. A US gallon is 231 cubic inches of
// 0.0254 m (3.785411784 L), a pound 0.45359237 kg (NIST Handbook 44, appendix C); 1 m3/h is 1000/3.785411784/60 gpm. A number without a kind stays.
func TestTableForUSReaders(t *testing.T) {
	o := New(Of("flow", quantity.Flow(10), "m3/h", 3), Of("treated", quantity.Volume(240000), "m3", 3), Of("use", quantity.MassRate(2), "kg/d", 3),
		Of("feed", quantity.FeedRate(100), "mL/min", 3), Of("made", quantity.Volume(5), "L", 3), Of("dose", quantity.Concentration(12), "mg/L", 3),
		Of("odd", Plain{V: 7, U: "kg"}, "kg", 3), Of("goods", quantity.Mass(10), "kg", 3))
	table := Table{Cols: Columns("flow = m3/h", "treated = m3", "use = kg/d", "feed = mL/min", "made = L", "dose = mg/L", "odd = kg", "goods = kg"), Rows: []*Object{o}}
	const gallon, pound = 3.785411784, 0.45359237
	for s, want := range map[quantity.System]string{
		quantity.Metric: "flow_m3_per_h 10 treated_m3 240 use_kg_per_d 2 feed_ml_per_min 100 made_l 5 dose_mg_per_l 12 odd_kg 7 goods_kg 10",
		quantity.US: fmt.Sprintf("flow_gpm %.9g treated_gal %.9g use_lb_per_d %.9g feed_gph %.9g made_gal %.9g dose_mg_per_l 12 odd_kg 7 goods_lb %.9g",
			10000/gallon/60, 240000/gallon, 2/pound, 6/gallon, 5/gallon, 10/pound),
	} {
		rows := table.For(s).Strings()
		var got []string
		for i, head := range rows[0] {
			v := rows[1][i]
			if f, ok := table.For(s).Cell(0, i).(float64); ok {
				v = fmt.Sprintf("%.9g", f)
			}
			got = append(got, head+" "+v)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%v: %s\nwant %s", s, strings.Join(got, " "), want)
		}
	}
}
