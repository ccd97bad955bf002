package logbook

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/note"
)

// seen is a log as a line for each entry.
func seen(l Log) string {
	var b strings.Builder
	for _, e := range l.Entries {
		fmt.Fprintf(&b, "%s", e.Day().String()[5:])
		if h := int(e.Time) % 24; h != 0 {
			fmt.Fprintf(&b, " %dh", h)
		}
		put := func(name string, ok bool, v float64) {
			if ok {
				fmt.Fprintf(&b, " %s%.5g", name, v)
			}
		}
		put("raw", e.Raw.OK, float64(e.Raw.V))
		put("out", e.Treated.OK, float64(e.Treated.V))
		put("set", e.Setting.OK, float64(e.Setting.V))
		put("lev", e.Level.OK, e.Level.V.In("L"))
		put("use", e.Used.OK, e.Used.V.In("L"))
		put("kg", e.Weighed.OK, e.Weighed.V.In("kg"))
		put("add", e.Added.OK, e.Added.V.In("L"))
		put("draw", e.Drawdown.OK, float64(e.Drawdown.V))
		put("q", e.Flow.OK, float64(e.Flow.V))
		put("m3=", e.Water.OK, e.Water.V.In("m3"))
		put("met", e.Meter.OK, e.Meter.V.In("m3"))
		if e.Fresh {
			b.WriteString(" fresh")
		}
		b.WriteString("; ")
	}
	return b.String()
}

func codes(l note.List) (out []string) {
	for _, n := range l {
		out = append(out, n.Code+"@"+n.Place.Cell)
	}
	return out
}

// TestLayouts reads logs in the ways that people write them. The numbers are checked by eye against the text.
func TestLayouts(t *testing.T) {
	for _, x := range []struct{ name, text, want, notes string }{
		{"plain", "Date,Raw (NTU),Treated (NTU),Pump setting (%),Tank level (L),Flow (m3/h),Remark\n2026-03-01,50,5,35,100,3.6,\n2026-03-02,48,4.5,35,78,3.6,fresh stock made\n",
			"03-01 raw50 out5 set35 lev100 q3.6; 03-02 raw48 out4.5 set35 lev78 q3.6 fresh; ", ""},
		{"other words", "Day,Inlet turbidity NTU,Outlet turbidity FNU,Stock used (mL),Water treated (m3)\n1 March 2026,50,5,4000,10\n2 March 2026,48,4,4100,10\n",
			"03-01 raw50 out5 use4 m3=10; 03-02 raw48 out4 use4.1 m3=10; ", ""},
		{"titles and a row of units", "Beck intake\nAlum pump\n\nDate,Raw,Treated,Drawdown,Water meter,Added\n,NTU,NTU,mL/min,m3,L\n2026-03-01,50,5,60,1000,\n2026-03-02,48,4,61,1090,20\n",
			"03-01 raw50 out5 draw60 met1000; 03-02 raw48 out4 add20 draw61 met1090; ", ""},
		{"clock beside the day", "Date,Time,Raw NTU,Treated NTU,Tank level (L),Flow (L/s)\n2026-03-01,06:00,50,5,100,1\n,18:00,60,6,90,1\n2026-03-02,06:00,48,4,80,1\n",
			"03-01 6h raw50 out5 lev100 q3.6; 03-01 18h raw60 out6 lev90 q3.6; 03-02 6h raw48 out4 lev80 q3.6; ", ""},
		{"US units", "Date,Raw (NTU),Treated (NTU),Stock used (gal),Water treated (kgal)\n03/14/2026,50,5,1,2\n03/15/2026,50,5,1,2\n",
			"03-14 raw50 out5 use3.7854 m3=7.5708; 03-15 raw50 out5 use3.7854 m3=7.5708; ", ""},
		{"decimal comma", "Datum;Raw (NTU);Treated (NTU);Tank level (L);Durchfluss (m3/h)\n01.03.2026;50,5;5,2;100,5;3,6\n14.03.2026;48,5;4,5;78,5;3,6\n",
			"03-01 raw50.5 out5.2 lev100.5 q3.6; 03-14 raw48.5 out4.5 lev78.5 q3.6; ", ""},
		{"units in the cells", "Date,Raw,Treated,Tank level,Flow\n2026-03-01,50 NTU,5 NTU,100 L,3.6 m3/h\n2026-03-02,48 NTU,4 NTU,20 gal,60 L/min\n",
			"03-01 raw50 out5 lev100 q3.6; 03-02 raw48 out4 lev75.708 q3.6; ", ""},
		{"weighed", "Date,Stock used (kg),Water treated (m3)\n2026-03-01,4,10\n2026-03-02,4.2,10\n", "03-01 kg4 m3=10; 03-02 kg4.2 m3=10; ", ""},
		{"out of order", "Date,Stock used (L),Water treated (m3)\n2026-03-02,4.2,10\n2026-03-01,4,10\n", "03-01 use4 m3=10; 03-02 use4.2 m3=10; ", "not-in-order@A2"},
		{"a second table", "Date,Stock used (L),Water treated (m3)\n2026-03-01,4,10\n\nApril\nDate,Stock used (L),Water treated (m3)\n2026-04-01,5,11\n", "03-01 use4 m3=10; 04-01 use5 m3=11; ", ""},
		// 50 mL in 300 s are 10 mL/min, 20 mL in 72 s 16.67.
		{"a stopwatch", "Date,Pump (%),Drawdown (mL),Drawdown time (s)\n2026-03-01,43,50,300\n2026-03-02,43,,\n2026-03-03,43,50,\n", "03-01 set43 draw10; 03-02 set43; 03-03 set43; ", "drawdown-half@C4"},
		{"a stopwatch, seconds alone", "Date,Pump (%),Drawdown (mL),Drawdown (s)\n2026-03-01,43,20,72\n", "03-01 set43 draw16.667; ", ""},
		{"a stopwatch for a cylinder", "Date,Pump (%),Drawdown time for 20 mL (s)\n2026-03-01,43,72\n", "03-01 set43 draw16.667; ", ""},
		{"a stopwatch in a cell", "Date,Pump (%),Drawdown\n2026-03-01,43,72 s for 20 mL\n2026-03-02,43,50 mL in 5 min\n", "03-01 set43 draw16.667; 03-02 set43 draw10; ", ""},
		{"a blank row after each week", "Date,Stock used (L),Water treated (m3)\n2026-03-01,4,10\n\n2026-03-08,5,11\n,,\n,,\n2026-03-15,6,12\n\nThat was March.\n", "03-01 use4 m3=10; 03-08 use5 m3=11; 03-15 use6 m3=12; ", ""},
		{"a sum below the log", "Date,Stock used (L),Water treated (m3)\n2026-03-01,4,10\n2026-03-02,5,11\n\nSum,9,21\n", "03-01 use4 m3=10; 03-02 use5 m3=11; ", "no-day@A5"},
		{"a blank column between days", "Date,2026-03-01,,2026-03-02\nStock used (L),4,,4.1\nWater treated (m3),10,,11\n", "03-01 use4 m3=10; 03-02 use4.1 m3=11; ", ""},
		// 90 % of 40 L is 36 L; 60 cm of 80 cm is three quarters of it, 30 L.
		{"a level in per cent of a tank", "Stock tank: 40 L\nDate,Raw (NTU),Treated (NTU),Tank level (%),Flow (m3/h)\n2026-03-01,50,5,90,3.6\n", "03-01 raw50 out5 lev36 q3.6; ", "level-of-tank@A1"},
		{"a level in cm of a tank", "Alum drum holds,40 L at 80 cm\nDate,Raw (NTU),Treated (NTU),Tank level (cm),Flow (m3/h)\n2026-03-01,50,5,60,3.6\n", "03-01 raw50 out5 lev30 q3.6; ", "level-of-tank@A1"},
		{"two rows of headings", "Date,Turbidity (NTU),,Stock,,Water\n,raw,treated,level (L),added (L),treated (m3)\n2026-03-01,50,5,100,,10\n2026-03-02,48,4.5,96,,11\n",
			"03-01 raw50 out5 lev100 m3=10; 03-02 raw48 out4.5 lev96 m3=11; ", ""},
		{"two rows of headings and one of units", "Date,Turbidity,,Stock,Water\n,raw,treated,used,treated\n,NTU,NTU,L,m3\n2026-03-01,50,5,4,10\n", "03-01 raw50 out5 use4 m3=10; ", ""},
		{"days side by side", "Date,2026-03-01,2026-03-02\nRaw (NTU),50,48\nTreated (NTU),5,4.5\nStock used (L),4,4.1\nWater treated (m3),10,11\n",
			"03-01 raw50 out5 use4 m3=10; 03-02 raw48 out4.5 use4.1 m3=11; ", ""},
		{"days side by side, a word", "Date,2026-03-01,2026-03-02\nStock used (L),4,lots\nWater treated (m3),10,11\n", "03-01 use4 m3=10; 03-02 m3=11; ", "cell-not-used@C2"},
		{"nothing on a day", "Date,Stock used (L),Water treated (m3)\n2026-03-01,4,10\n2026-03-02,,\n2026-03-03,-,10\n", "03-01 use4 m3=10; 03-03 m3=10; ", ""},

		// What is not understood speaks with its cell.
		{"a unit of no kind", "Date,Raw (NTU),Treated (NTU),Tank level (L),Flow (m3/fortnight)\n2026-03-01,50,5,100,3.6\n", "03-01 raw50 out5 lev100; ", "column-unit@E1"},
		{"a level in per cent", "Date,Raw (NTU),Treated (NTU),Tank level (%),Flow (m3/h)\n2026-03-01,50,5,90,3.6\n", "03-01 raw50 out5 q3.6; ", "level-of-what@D1"},
		{"a level in cm", "Date,Raw (NTU),Treated (NTU),Tank level (cm),Flow (m3/h)\n2026-03-01,50,5,90,3.6\n", "03-01 raw50 out5 q3.6; ", "level-of-what@D1"},
		{"a level in cm of a tank without its height", "Stock tank: 40 L\nDate,Raw (NTU),Treated (NTU),Tank level (cm),Flow (m3/h)\n2026-03-01,50,5,60,3.6\n", "03-01 raw50 out5 q3.6; ", "level-of-what@D2"},
		{"a rearing tank is not the stock's", "Rearing tank of 40 m3\nDate,Raw (NTU),Treated (NTU),Tank level (%),Flow (m3/h)\n2026-03-01,50,5,90,3.6\n", "03-01 raw50 out5 q3.6; ", "level-of-what@D2"},
		{"more than the tank holds", "Stock tank: 40 L\nDate,Raw (NTU),Treated (NTU),Tank level (%),Flow (m3/h)\n2026-03-01,50,5,130,3.6\n", "03-01 raw50 out5 q3.6; ", "level-of-tank@A1 cell-not-used@D3"},
		{"another turbidity", "Date,Raw (FAU),Treated (NTU),Stock used (L),Flow (m3/h)\n2026-03-01,50,5,90,3.6\n", "03-01 out5 use90 q3.6; ", "column-unit@B1"},
		{"no unit", "Date,Raw (NTU),Treated (NTU),Stock used,Flow (m3/h)\n2026-03-01,50,5,90,3.6\n", "03-01 raw50 out5 q3.6; ", "column-unit@D2"},
		{"a word for a number", "Date,Stock used (L),Water treated (m3)\n2026-03-01,4,10\n2026-03-02,lots,10\n", "03-01 use4 m3=10; 03-02 m3=10; ", "cell-not-used@B3"},
		{"another unit in a cell", "Date,Stock used (L),Water treated (m3)\n2026-03-01,4,10\n2026-03-02,4 kg,10\n", "03-01 use4 m3=10; 03-02 m3=10; ", "cell-not-used@B3"},
		{"below a limit", "Date,Raw (NTU),Treated (NTU),Flow (m3/h)\n2026-03-01,50,<0.5,3\n", "03-01 raw50 q3; ", "cell-not-used@C2"},
		{"a negative", "Date,Stock used (L),Water treated (m3)\n2026-03-01,-4,10\n", "03-01 m3=10; ", "cell-not-used@B2"},
		{"a day that is none", "Date,Stock used (L),Water treated (m3)\n2026-03-01,4,10\nlast week,4,10\n", "03-01 use4 m3=10; ", "no-day@A3"},
		{"a day twice", "Date,Stock used (L),Water treated (m3)\n2026-03-01,4,10\n2026-03-01,5,10\n", "03-01 use4 m3=10; ", "row-twice@A3"},
		{"an unknown column", "Date,Stock used (L),Water treated (m3),Quux\n2026-03-01,4,10,3\n", "03-01 use4 m3=10; ", "column-not-used@D1"},
		{"two stocks", "Date,Alum used (L),Polymer used (L),Water treated (m3)\n2026-03-01,4,3,10\n", "03-01 use4 m3=10; ", "column-twice@C1"},
	} {
		l, err := Read("log.csv", strings.NewReader(x.text))
		if err != nil {
			t.Errorf("%s: %v", x.name, err)
			continue
		}
		if got := seen(l); got != x.want {
			t.Errorf("%s:\n  %s\n  want\n  %s", x.name, got, x.want)
		}
		if got := strings.Join(codes(l.Notes), " "); got != x.notes {
			t.Errorf("%s: notes %q, want %q", x.name, got, x.notes)
		}
	}
}

// TestNoLog: what is something else is not read as a log.
func TestNoLog(t *testing.T) {
	for name, text := range map[string]string{
		"a bench sheet": "date,2026-03-01\nraw turbidity (NTU),41\n\njar,alum (mg/L),turbidity (NTU)\n1,0,35\n2,5,19\n",
		"jars by day":   "Date,Jar,Raw (NTU),Treated (NTU),Stock used (mL),Flow (L/min)\n2026-03-01,1,41,35,2,1\n",
		"a meter log":   "time,flow (m3/h)\n2026-03-01 00:00,2.75\n2026-03-01 01:00,2.98\n",
		"a unit's log":  "Volume,60 m3\nFlow,12 m3/h\nTime (h),Tank (NTU)\n0,80\n5,46\n",
		"nothing":       "hello\n",
	} {
		if l, err := Read(name, strings.NewReader(text)); err == nil || note.Of(err, "")[0].Code != NoLog {
			t.Errorf("%s: %v %v", name, seen(l), err)
		}
	}
	_, err := Read("log.csv", strings.NewReader("Time,Raw (NTU),Treated (NTU),Flow (m3/h)\n06:00,50,5,3\n18:00,40,5,3\n"))
	if err == nil || note.Of(err, "")[0].Code != "no-day" || note.Of(err, "")[0].Place.Cell != "A1" {
		t.Errorf("clock times alone: %v", err)
	}
}

// TestWorkbook: days and per cent as a workbook keeps them, a sheet a month, and the cell of what is not understood.
func TestWorkbook(t *testing.T) {
	f := excelize.NewFile()
	day, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		t.Fatal(err)
	}
	share, err := f.NewStyle(&excelize.Style{NumFmt: 9})
	if err != nil {
		t.Fatal(err)
	}
	for m, sheet := range []string{"Sheet1", "April"} {
		if m > 0 {
			if _, err := f.NewSheet(sheet); err != nil {
				t.Fatal(err)
			}
		}
		put := func(cell string, v any) {
			if err := f.SetCellValue(sheet, cell, v); err != nil {
				t.Fatal(err)
			}
		}
		for i, h := range []string{"Date", "Raw (NTU)", "Treated (NTU)", "Pump setting", "Tank level (L)", "Flow (m3/h)"} {
			put(string(rune('A'+i))+"2", h)
		}
		put("A3", 46082+31*m) // 1 March 2026, 1 April 2026
		put("B3", 50)
		put("C3", 5)
		put("D3", 0.35)
		put("E3", "empty")
		put("F3", 3.6)
		if err := f.SetCellStyle(sheet, "A3", "A3", day); err != nil {
			t.Fatal(err)
		}
		if err := f.SetCellStyle(sheet, "D3", "D3", share); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	l, err := Read("log.xlsx", &b)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := seen(l), "03-01 raw50 out5 set35 q3.6; 04-01 raw50 out5 set35 q3.6; "; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if len(l.Notes) != 2 || l.Notes[1].Place != (note.Place{File: "log.xlsx", Sheet: "April", Cell: "E3"}) {
		t.Errorf("%v", l.Notes)
	}
}

// TestJoin: a file a month is one log in any order; logs of the same days stay apart.
func TestJoin(t *testing.T) {
	month := func(name, day string) Log {
		return read(t, name, "Date,Alum used (L),Water treated (m3)\n"+day+",4,10\n")
	}
	a, b := month("a.csv", "2026-03-01"), month("b.csv", "2026-04-01")
	for _, l := range [][]Log{{a, b}, {b, a}} {
		if got := Join(l); len(got) != 1 || got[0].File != "a.csv, b.csv" || len(got[0].Entries) != 2 || !strings.Contains(got[0].Said, "Alum") {
			t.Errorf("%+v", got)
		}
	}
	if got := Join([]Log{a, month("c.csv", "2026-03-01")}); len(got) != 2 {
		t.Errorf("%+v", got)
	}
}

// TestOddSpans: what goes back, and what cannot be told over missing rows, is said and not counted.
func TestOddSpans(t *testing.T) {
	for _, x := range []struct{ name, text, fed, notes string }{
		{"a meter that fell", "Date,Stock used (L),Water meter (m3)\n2026-03-01,4,1000\n2026-03-02,4,1010\n2026-03-03,4,12\n2026-03-04,4,22\n", "- 40 - 40", "meter-fell@C4"},
		{"days missing, a level and daily water", "Date,Tank level (L),Water treated (m3)\n2026-03-01,100,10\n2026-03-02,96,10\n2026-03-03,92,10\n2026-03-06,80,10\n2026-03-07,76,10\n", "- 40 40 - 40", "rows-missing@A5"},
		{"days missing, both by the row", "Date,Stock used (L),Water treated (m3)\n2026-03-01,4,10\n2026-03-02,4,10\n2026-03-06,3,10\n", "40 40 30", ""},
		{"a flow over missing days", "Date,Tank level (L),Flow (m3/h)\n2026-03-01,100,1\n2026-03-02,90.4,1\n2026-03-03,80.8,1\n2026-03-05,61.6,1\n", "- 40 40 40", ""},
		{"the mean of two flows", "Date,Tank level (L),Flow (m3/h)\n2026-03-01,100,1\n2026-03-02,90.4,3\n", "- 20", ""},
		{"less was added than rose", "Date,Tank level (L),Stock added (L),Water treated (m3)\n2026-03-01,10,,10\n2026-03-02,90,50,10\n", "- -", "level-rose@B3"},
		{"a pump that stood", "Date,Tank level (L),Water treated (m3)\n2026-03-01,10,10\n2026-03-02,10,10\n", "- 0", ""},
	} {
		j := Judge(read(t, "log.csv", x.text), tenth, nil)
		var fed []string
		for _, d := range j.Days {
			fed = append(fed, map[bool]string{true: fmt.Sprintf("%.4g", float64(d.Fed.V)), false: "-"}[d.Fed.OK])
		}
		if got := strings.Join(fed, " "); got != x.fed {
			t.Errorf("%s: %s, want %s", x.name, got, x.fed)
		}
		if got := strings.Join(codes(j.Notes), " "); got != x.notes {
			t.Errorf("%s: notes %q, want %q", x.name, got, x.notes)
		}
	}
}

// FuzzRead: no text panics, entries are in order and finite, and judging them does not panic either.
func FuzzRead(f *testing.F) {
	f.Add(lossText)
	f.Add("Date,Time,Raw NTU,Treated NTU,Tank level (L),Flow (L/s)\n2026-03-01,06:00,50,5,100,1\n,18:00,60,6,90,1\n")
	f.Add("Date;Raw;Treated;Drawdown;Added\n;NTU;NTU;mL/min;L\n1.3.2026;50,5;<1;60;\n")
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Read("log.csv", strings.NewReader(text))
		if err != nil {
			return
		}
		if len(l.Entries) == 0 || !slices.IsSortedFunc(l.Entries, byTime) {
			t.Fatalf("%+v", l.Entries)
		}
		j := Judge(l, tenth, nil)
		for _, c := range j.Charts {
			for i := range c.Ratio {
				if c.Ratio[i] != c.Ratio[i] {
					t.Fatalf("%s: reading %d is no number", c.What, i)
				}
			}
		}
		j.Late()
	})
}
