package layout

import (
	"testing"

	"jarwright/jartest/grid"
)

// TestValues holds what texts in cells are, where fractions have a point.
func TestValues(t *testing.T) {
	for text, want := range map[string]string{
		"12.5": "number 12.5", "12.": "number 12", ".5": "number 0.5", "-3": "number -3", "+ 3": "number 3", "= 7": "number 7", "'12": "number 12",
		"1 200": "number 1200", "1'200": "number 1200", "12 345 678": "number 12345678", "1234 567": "unclear: has text after the number",
		"1 2000": "unclear: has text after the number", "1,250": "number 1250", "1,250.5": "number 1250.5", "1.250,5": "number 1250.5",
		"1,234,567": "number 1234567", "1.234.567": "number 1234567", "1,23,456": "unclear: is not a number",
		"1.2.3": "unclear: is not a number", "1.25,3,4": "unclear: is not a number", "12,5": "number 12.5", "0,125": "number 0.125",
		"1e3": "number 1000", "1.5e-2": "number 0.015", "1.2 x 10^3": "number 1200", "1.2 x 10 -1": "number 0.12",
		"10²": "unclear: can be a power of ten or a number with a mark", "12.5²": "number 12.5: carries a mark", "12.5*": "number 12.5: carries a mark",
		"12.5 (b)": "number 12.5: carries a mark", "12.5 a": "number 12.5: carries a mark", "12.5 wiggle": "unclear: has text after the number",
		"12.5 (ignore)": "unclear: is marked as not to be used", "12.5 do not use": "unclear: is marked as not to be used", "12.5 NTU (void)": "unclear: is marked as not to be used",
		"12.5 n/a": "unclear: has a number and a word for missing", "12.5 approx": "number 12.5 approx",
		"10 mg/L": "number 10 mg/L", "10 mg/L*": "number 10 mg/L: carries a mark", "10 mg/L alum": "number 10 mg/L", "5 mL stock": "number 5 mL",
		"10 mg/L wiggle": "unclear: has text after the number", "10 NTU alum": "unclear: has text after the number", "1 mL": "number 1 mL",
		"142 ± 6": "number 142 ±6", "142 (+/- 6)": "number 142 ±6", "142 ± 6 (n=3)": "number 142 ±6 n=3", "142 n = 4": "number 142 n=4",
		"10 mg/L ± 2 mg/L": "number 10 mg/L ±2", "10 NTU ± 2": "number 10 NTU ±2",
		"4.4 / 4.6": "number 4.5 [4.4 4.6]", "1; 2; 6": "number 3 [1 2 6]", "4.4 / wiggle": "unclear: has text after the number",
		"<0.5": "below 0.5 limit", "≤ 2": "below 2 limit", "less than 3": "below 3 limit", "> 1000": "above 1000 limit", ">=5 NTU": "above 5 limit NTU",
		"~35": "number 35 approx", "ca. 35": "number 35 approx", "<LOD": "below", "> range": "above",
		"ND": "below", "ND (<0.02)": "below 0.02 limit", "nd 0.5": "below 0.5 limit", "over range (> 800)": "above 800 limit", "over range 800": "above",
		"n/a": "missing", "n/a 3": "unclear: has a word for missing and a number", "nil": "zero", "ditto": "ditto", `"`: "ditto", "″": "ditto", "-": "missing dash", "--": "missing dash", "-.-": "missing dash", "": "missing blank",
		"10-12": "unclear 11: is a range, not one number", "10 to 12 NTU": "unclear 11 NTU: is a range, not one number", "12-10": "unclear: is a range, not one number", "10 to 12 wiggles": "unclear: is a range, not one number", "1/cm": "unclear: is a unit",
		"2024-05-01": "date", "01/05/2024": "date", "3 May": "date", "May 3, 2024": "date", "1:30": "date 0.001041666667", "1:00:30": "date 0.04201388889",
		"wiggle": "unclear: is not a number", "wiggle 3": "unclear: is not a number",
	} {
		if got := told(ParseText(text, DecimalPoint)); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
	long := ""
	for range LongText + 1 {
		long += "1"
	}
	if got := told(ParseText(long, DecimalPoint)); got != "unclear: is a long text" {
		t.Errorf("a long text is %q", got)
	}
	if got := told(ParseText(long[:LongText], DecimalPoint)); got == "unclear: is a long text" {
		t.Error("a text that is not too long is")
	}
}

// TestThreeDigits holds what three digits behind a mark are in sheets of each kind.
func TestThreeDigits(t *testing.T) {
	for _, c := range []struct {
		text                         string
		unknown, point, comma, mixed string
	}{
		{"1.250", "number 1.25", "number 1.25", "number 1250", "unclear: can be 1.250 or 1250"},
		{"1,250", "unclear: can be 1.250 or 1250", "number 1250", "number 1.25", "unclear: can be 1.250 or 1250"},
		{"0.250", "number 0.25", "number 0.25", "number 0.25", "number 0.25"},
		{"1234.250", "number 1234.25", "number 1234.25", "number 1234.25", "number 1234.25"},
		{"1.25", "number 1.25", "number 1.25", "number 1.25", "number 1.25"},
		{".250", "number 0.25", "number 0.25", "number 0.25", "number 0.25"},
	} {
		for d, want := range map[Decimals]string{DecimalsUnknown: c.unknown, DecimalPoint: c.point, DecimalComma: c.comma, DecimalsMixed: c.mixed} {
			if got := told(ParseText(c.text, d)); got != want {
				t.Errorf("%q with decimals %d is %q, want %q", c.text, d, got, want)
			}
		}
	}
}

// TestDecimals holds what texts show of the way a sheet writes fractions.
func TestDecimals(t *testing.T) {
	for text, want := range map[string]Decimals{
		"1.5": DecimalPoint, "1,5": DecimalComma, "<0,5": DecimalComma, "1.250": DecimalsUnknown, "1,250": DecimalsUnknown, "0,250": DecimalComma,
		"1.250,5": DecimalComma, "1,250.5": DecimalPoint, "1.234.567": DecimalComma, "1,234,567": DecimalPoint, "12": DecimalsUnknown, "-1.5": DecimalPoint,
		"1.5.2024": DecimalsUnknown, "2024.05.01": DecimalsUnknown, "1.2.3": DecimalsUnknown, "12.": DecimalPoint, "x1.5": DecimalsUnknown,
	} {
		if got := decimalsIn(text); got != want {
			t.Errorf("%q shows %d, want %d", text, got, want)
		}
	}
	sheet := func(texts ...string) *Area {
		s := &grid.Sheet{}
		for _, x := range texts {
			s.Rows = append(s.Rows, []grid.Cell{{Kind: grid.Textual, Text: x}})
		}
		return &Area{Sheet: s}
	}
	long := "1,5 and a remark of more than forty letters"
	for _, c := range []struct {
		texts []string
		want  Decimals
	}{
		{[]string{"1.5", "wiggle", "1.250"}, DecimalPoint}, {[]string{"1,5", "1.250"}, DecimalComma}, {[]string{"1,5", "2.5"}, DecimalsMixed},
		{[]string{"1.250", long}, DecimalsUnknown}, {nil, DecimalsUnknown},
	} {
		if got := DecimalsOf(sheet(c.texts...)); got != c.want {
			t.Errorf("%q: %d, want %d", c.texts, got, c.want)
		}
	}
}

// TestCells holds what cells are besides texts.
func TestCells(t *testing.T) {
	for _, c := range []struct {
		cell grid.Cell
		want string
	}{
		{grid.Cell{}, "missing blank"},
		{grid.Cell{Kind: grid.Numeric, Num: 3}, "number 3"},
		{grid.Cell{Kind: grid.Numeric, Num: 0.3, Format: &grid.Format{Percent: true}}, "number 30 percent"},
		{grid.Cell{Kind: grid.Numeric, Num: 3, Format: &grid.Format{Text: "mg/L"}}, "number 3 mg/L"},
		{grid.Cell{Kind: grid.Numeric, Num: 3, Format: &grid.Format{Text: "wiggle"}}, "number 3"},
		{grid.Cell{Kind: grid.Numeric, Num: 45000, Format: &grid.Format{Date: true}}, "date 45000"},
		{grid.Cell{Kind: grid.Numeric, Num: 0.5, Format: &grid.Format{Clock: true}}, "date 0.5"},
		{grid.Cell{Kind: grid.Faulty, Text: "#N/A"}, "fault"},
		{grid.Cell{Kind: grid.Boolean, Text: "TRUE"}, "unclear: is a yes/no value"},
		{grid.Cell{Kind: grid.Numeric, Hollow: true}, "hollow"},
		{grid.Cell{Kind: grid.Textual, Text: "3 mg/L"}, "number 3 mg/L"},
	} {
		v := ParseValue(c.cell, DecimalPoint)
		if got := told(v); got != c.want || v.Text != c.cell.Text {
			t.Errorf("%+v is %q with the text %q, want %q", c.cell, got, v.Text, c.want)
		}
	}
	for _, c := range []struct {
		cell grid.Cell
		want string
	}{
		{grid.Cell{Kind: grid.Numeric, Num: 45000.7, Text: "45000.7", Format: &grid.Format{Date: true}}, "2023-03-15"},
		{grid.Cell{Kind: grid.Numeric, Num: 45000, Text: "45000"}, "45000"},
		{grid.Cell{Kind: grid.Numeric, Num: -1, Text: "-1", Format: &grid.Format{Date: true}}, "-1"},
		{grid.Cell{Kind: grid.Textual, Text: "3 May"}, "3 May"},
	} {
		if got := DateText(c.cell); got != c.want {
			t.Errorf("%+v as a date is %q, want %q", c.cell, got, c.want)
		}
	}
}
