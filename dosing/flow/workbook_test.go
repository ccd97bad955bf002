package flow

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// TestLogWorkbook: a meter log in a workbook, with date cells, with date and time
// in cells of their own, and with days that count from 1904.
func TestLogWorkbook(t *testing.T) {
	for _, date1904 := range []bool{false, true} {
		for _, apart := range []bool{false, true} {
			f := excelize.NewFile()
			must := func(err error) {
				if err != nil {
					t.Fatal(err)
				}
			}
			must(f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &date1904}))
			must(f.SetSheetName("Sheet1", "Meter"))
			head := []any{"time", "flow (L/s)"}
			if apart {
				head = []any{"date", "time", "flow (L/s)"}
			}
			must(f.SetSheetRow("Meter", "A3", &head))
			start := time.Date(2026, 3, 1, 22, 0, 0, 0, time.UTC)
			for i := range 8 {
				at := start.Add(time.Duration(i) * 30 * time.Minute)
				days := at.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
				if date1904 {
					days -= 1462
				}
				row := []any{days, float64(i)}
				if apart {
					row = []any{math.Floor(days), days - math.Floor(days), float64(i)}
				}
				cell, err := excelize.CoordinatesToCellName(1, 4+i)
				must(err)
				must(f.SetSheetRow("Meter", cell, &row))
			}
			var b bytes.Buffer
			must(f.Write(&b))
			must(f.Close())
			l, err := Read("meter.xlsx", &b, Options{Sheet: "meter"})
			must(err)
			// 0 + 1 + 2 + 3 L/s from 22:00, half an hour each, then 4 + 5 + 6 + 7 L/s
			days := l.Dates()
			if len(days) != 2 || !days[0].Date.Equal(start.Truncate(24*time.Hour)) ||
				math.Abs(float64(days[0].Volume)-6*1800) > 1e-6 || math.Abs(float64(days[1].Volume)-22*1800) > 1e-6 {
				t.Errorf("1904 %v, apart %v: %+v", date1904, apart, days)
			}
		}
	}
	if _, err := Read("meter.xlsx", strings.NewReader("time,flow\n"), Options{}); err == nil {
		t.Error("a log without a unit is read")
	}
}
