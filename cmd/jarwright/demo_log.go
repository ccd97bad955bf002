package main

import (
	"fmt"
	"strings"
	"time"
)

// demoLog is the demo's operating log, a row a day from demoLogFrom on: raw and treated turbidity, a timed drawdown where one was
// taken, stock used and water treated. From the 26th day on the pump's tube gives a fifth less. Invented, as all of the demo.
var demoLog = []struct{ raw, treated, drawdown, used, water float64 }{
	{13, 3.3, 0, 15.7, 87},
	{19, 4.5, 11.0, 15.7, 87},
	{13, 3.6, 0, 15.7, 83},
	{18, 4.4, 0, 16.2, 89},
	{22, 4, 0, 16.0, 89},
	{28, 5.3, 11.2, 15.8, 87},
	{23, 4.3, 0, 16.4, 86},
	{28, 4.9, 0, 15.9, 88},
	{24, 4.3, 0, 15.8, 86},
	{30, 5, 11.0, 15.6, 90},
	{23, 4.2, 0, 15.8, 86},
	{11, 3, 0, 15.7, 90},
	{15, 3.7, 0, 15.5, 85},
	{18, 4, 11.0, 16.0, 85},
	{30, 5, 0, 15.5, 87},
	{30, 5.2, 0, 15.5, 89},
	{37, 5.8, 0, 16.0, 88},
	{42, 6, 11.2, 15.6, 87},
	{42, 4.6, 0, 16.0, 87},
	{42, 6, 0, 15.9, 81},
	{62, 6.5, 0, 15.9, 85},
	{28, 4.7, 11.0, 15.8, 88},
	{27, 4.7, 0, 16.1, 87},
	{62, 6.5, 0, 15.7, 86},
	{42, 5.1, 0, 16.0, 90},
	{39, 7.6, 8.9, 12.4, 89},
	{62, 8.8, 0, 12.6, 87},
	{62, 8.2, 0, 13.1, 85},
	{50, 8.2, 0, 12.5, 86},
	{54, 9.5, 9.0, 12.4, 85},
	{39, 8.1, 0, 12.2, 87},
	{24, 5.6, 0, 13.1, 85},
	{24, 5.7, 0, 12.3, 84},
	{26, 6.6, 8.9, 12.5, 84},
	{17, 5.9, 0, 12.7, 90},
}

// demoLogFrom is the first day of the log; it ends on the day before the demo's bench sheet.
var demoLogFrom = time.Date(2026, 1, 26, 0, 0, 0, 0, time.UTC)

// demoLogText is the log as a table that any spreadsheet opens.
func demoLogText() []byte {
	var b strings.Builder
	b.WriteString("Date,Raw (NTU),Treated (NTU),Pump 1 setting (%),Drawdown (mL/min),Alum stock used (L),Water treated (m3),Remarks\n")
	for i, x := range demoLog {
		drawdown, said := "", ""
		if x.drawdown > 0 {
			drawdown = fmt.Sprint(x.drawdown)
		}
		if i == 0 {
			said = "new tube in pump 1"
		}
		fmt.Fprintf(&b, "%s,%v,%v,38,%s,%v,%v,%s\n", demoLogFrom.AddDate(0, 0, i).Format("2006-01-02"), x.raw, x.treated, drawdown, x.used, x.water, said)
	}
	return []byte(b.String())
}
