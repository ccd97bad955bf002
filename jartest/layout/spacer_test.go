package layout

import (
	"fmt"
	"strings"
	"testing"
)

// TestSpacer holds which stretches of headings an empty column parts: the ranges of the
// tables found.
func TestSpacer(t *testing.T) {
	for sheet, want := range map[string]string{
		"Jar,Alum (mg/L),NTU,,pH/1,0,30,,7/2,10,9,,6":                                 "A1:E3",
		"Jar,Alum (mg/L),,NTU,pH/1,0,,30,7/2,10,,9,6":                                 "A1:E3",
		"Jar,Alum (mg/L),NTU,,pH,,TSS (mg/L)/1,0,30,,7,,9/2,10,9,,6,,8":               "A1:G3",
		"Jar,,Alum (mg/L),NTU/1,,0,30/2,,10,9":                                        "A1:D3",
		"Jar,Alum (mg/L),NTU,,Polymer (mg/L)/1,0,30,,1/2,10,9,,1":                     "A1:E3",
		"Jar,Alum (mg/L),NTU,,pH/1,0,30,,7/2,10,9,,/3,20,5,,/4,30,4,,6/5,40,4,,":      "A1:E6",
		"Jar,Alum (mg/L),NTU,,,pH/1,0,30,,,7/2,10,9,,,6":                              "A1:F3",
		"Jar,Alum (mg/L),,Polymer (mg/L),NTU/1,0,,1,30/2,10,,2,9":                     "A1:E3", // half a table each
		"Jar,Alum (mg/L),,Polymer (mg/L),NTU/1,0,,1,30/,,,,/2,10,,2,9/,,,,/3,20,,2,5": "A1:E6",
		"Alum (mg/L),,Polymer (mg/L),NTU/0,,1,30/10,,2,9":                             "A1:D3",
		"Jar,Alum (mg/L),NTU,,Raw pH/1,0,30,,7/2,10,9,,/3,20,3,,":                     "A1:C4",       // one number is a fact
		"Jar,Alum (mg/L),NTU,,pH/1,0,30,,/2,10,9,,7/3,20,3,,7/4,30,3,,7/,,,,7":        "A1:C5",       // longer than the table
		"Alum (mg/L),NTU,,Ferric (mg/L),NTU/0,30,,0,30/10,9,,10,9":                    "A1:B3 D1:E3", // a table in itself
		"Jar,Alum (mg/L),NTU,,Jar,pH/1,0,30,,1,7/2,10,9,,2,6":                         "A1:C3 E1:F3", // with its own labels
		"Jar,Alum (mg/L),NTU,,Alum (mg/L),Stock (mL)/1,0,30,,0,0/2,10,9,,10,1":        "A1:C3 E1:F3", // a list of doses
		"Jar,Alum (mg/L),NTU,,Date,pH/1,0,30,,3 May,7/2,10,9,,4 May,6":                "A1:C3 E1:F3", // a record of days
		"Chemical,Alum/Target,<= 5 NTU/Jar,Alum (mg/L),NTU/1,0,30/2,10,9":             "A3:C5",       // facts above it
		"Chemical,Alum,Target,<= 5 NTU/Jar,Alum (mg/L),NTU/1,0,30/2,10,9":             "A2:C4",       // in one row
		"Chemical,Dose (mg/L)/Alum,0/Alum,10":                                         "A1:B3",       // headings
		"Chemical,Alum (mg/L),NTU/1,0,30/2,10,9":                                      "A1:C3",       // a table of three columns
	} {
		var got []string
		for _, x := range tablesOf(t, lined.Replace(sheet)) {
			_, cells, _ := strings.Cut(":"+x.RangeName(), ":")
			got = append(got, cells[strings.LastIndex(cells, "!")+1:])
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%s: tables %v, want %s", sheet, fmt.Sprint(got), want)
		}
	}
}
