package templates

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/month"
)

// hourlyPlan is a plan of 20 mg/L from 100 g/L by a pump of 3 L/h (50 mL/min), with the flow in each of these hours.
func hourlyPlan(t *testing.T, flows map[int]float64) Plan {
	t.Helper()
	var hours []string
	for h := range 24 {
		hours = append(hours, fmt.Sprintf(`flow_at_%02d_00: "%g m3/h"`, h, flows[h]))
	}
	_, p := yamlPlan(t, `
place: {name: split, purpose: other, water_passes: once through}
flow: {`+strings.Join(hours, ", ")+`}
chemicals: [{name: PACl, product: pacl-18, basis: as product, dose: "20 mg/L", density: "1.37 kg/L", stock: s, pump: P},
  {name: lime, product: hydrated-lime, basis: as product, dose: "8 mg/L"}]
stocks: [{name: s, product_in_stock: "100 g/L"}]
pumps: [{name: P, largest_rate: "3 L/h"}]`)
	return NewPlan(p, caution.Findings{}, nil, dosing.UnitDay{}, month.DayCost{})
}

// TestNoAverageIsSet: 20 mg/L of 6 m3/h are 120 g/h, from 100 g/L 20 mL/min: 40 % of 50 mL/min; of 3 m3/h 20 %. The
// average of the running hours, 4.5 m3/h, would be 30 %, at which the pump never stands.
func TestNoAverageIsSet(t *testing.T) {
	split := map[int]float64{6: 6, 7: 6, 8: 6, 9: 6, 16: 3, 17: 3, 18: 3, 19: 3}
	often := map[int]float64{6: 6, 8: 3, 10: 6, 12: 3, 14: 4.5}
	even := map[int]float64{6: 6, 7: 6, 16: 6, 17: 6}
	for _, c := range []struct {
		name       string
		flows      map[int]float64
		table, set string // in the answer, and the column of the CSV
	}{
		{"two settings", split, "40 % 06:00-10:00, 20 % 16:00-20:00", ""},
		{"five stretches", often, "by the list", ""},
		{"one setting in two runs", even, "40 %", "40"},
	} {
		p := hourlyPlan(t, c.flows)
		text := shownText(t, p, Options{})
		table, _, _ := strings.Cut(text, "Water to treat")
		if flat := strings.Join(strings.Fields(table), " "); c.set == "" && strings.Contains(flat, "30 %") {
			t.Errorf("%s: an average is set:\n%s", c.name, table)
		}
		settings := text[strings.Index(text, "Setting "):]
		lead := p.Cards(Options{})[0].Lead
		for where, got := range map[string]string{"table": table, "facts": settings[:min(len(settings), 160)], "card": lead} {
			if !strings.Contains(strings.Join(strings.Fields(got), " "), c.table) {
				t.Errorf("%s, %s: no %q in\n%s", c.name, where, c.table, got)
			}
		}
		rows := p.Table().Strings()
		if at := strings.Join(rows[0], ","); !strings.Contains(at, ",batches,settings") {
			t.Errorf("%s: columns %s", c.name, at)
		}
		for i, name := range rows[0] {
			if want := c.table; name == "setting_percent" && rows[1][i] != c.set || name == "settings" && (rows[1][i] == want) != (c.set == "") {
				t.Errorf("%s: %s is %q", c.name, name, rows[1][i])
			}
		}
		var wb bytes.Buffer
		if err := WriteBook(&wb, p, Options{}); err != nil {
			t.Fatal(err)
		}
		if said := strings.Contains(cells(t, wb.Bytes()), `"PUMP SETTING"`); said != (c.set != "") {
			t.Errorf("%s: PUMP SETTING stands in the workbook: %t", c.name, said)
		}
	}
}
