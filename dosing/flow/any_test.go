package flow

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/jartest/note"

	"pgregory.net/rapid"
)

// cubic are units of volume in m3, by definition (NIST SP 811, appendix B); the imperial gallon is 4.54609 L.
var cubic = map[string]float64{"mL": 1e-6, "L": 1e-3, "hL": 0.1, "m3": 1, "m³": 1, "m^3": 1, "kL": 1, "ML": 1000, "gal": 3.785411784e-3,
	"US gal": 3.785411784e-3, "imp gal": 4.54609e-3, "ft3": 0.028316846592, "litres": 1e-3}

// hoursOf are units of time in hours.
var hoursOf = map[string]float64{"s": 1.0 / 3600, "min": 1.0 / 60, "h": 1, "hour": 1, "d": 24, "day": 24, "15 min": 0.25, "10 s": 10.0 / 3600}

// short are flows with names of their own, in m3/h.
var short = map[string]float64{"gpm": 0.2271247070, "US gpm": 0.2271247070, "gpd": 3.785411784e-3 / 24, "MGD": 3785.411784 / 24, "imp gpm": 0.2727654,
	"lps": 3.6, "lpm": 0.06, "MLD": 1000.0 / 24, "cfs": 101.9406477312}

func anyUnit(t *rapid.T) (name string, m3h float64) {
	names := func(m map[string]float64) []string {
		var out []string
		for n := range m {
			out = append(out, n)
		}
		slices.Sort(out)
		return out
	}
	if rapid.IntRange(0, 3).Draw(t, "short") == 0 {
		name = rapid.SampledFrom(names(short)).Draw(t, "unit")
		return name, short[name]
	}
	v := rapid.SampledFrom(names(cubic)).Draw(t, "volume")
	h := rapid.SampledFrom(names(hoursOf)).Draw(t, "time")
	per := rapid.SampledFrom([]string{"/", " per ", " / "}).Draw(t, "per")
	return v + per + h, cubic[v] / hoursOf[h]
}

// TestAnyUnitLayoutOrder: two days at hourly flows, in any unit, layout and order of rows, are the same water.
func TestAnyUnitLayoutOrder(t *testing.T) {
	stamps := []string{"2006-01-02 15:04", "2006-01-02T15:04:05Z", "02.01.2006 15:04", "1/2/2006 3:04 PM",
		"2 Jan 2006 15:04", "2006/01/02;15:04"}
	rapid.Check(t, func(t *rapid.T) {
		unit, m3h := anyUnit(t)
		layout := rapid.SampledFrom([]string{"flow (%s)", "Flow [%s]", "inflow, %s", "Durchfluss (%s)", "(%s)", "below",
			"above", "cells", "column", "volume"}).Draw(t, "layout")
		stamp := rapid.SampledFrom(stamps).Draw(t, "stamp")
		comma := rapid.Bool().Draw(t, "comma")
		if layout == "volume" { // the water of each hour
			unit = rapid.SampledFrom([]string{"m3", "L", "gal"}).Draw(t, "of")
			m3h = cubic[unit]
		}
		head, cellUnit, column, top, below := strings.ReplaceAll(layout, "%s", unit), "", "", "", ""
		times := "time"
		if strings.Contains(stamp, ";") {
			times = "date;time"
		}
		switch layout {
		case "below":
			head, below = "flow", strings.Repeat(";", strings.Count(times, ";")+1)+unit+";m\n"
		case "above":
			head, top = "flow", "Flow in "+unit+"\n\n"
		case "cells":
			head, cellUnit = "flow", " "+unit
		case "column":
			head, column = "flow", ";"+unit
		case "volume":
			head = "hourly volume (" + unit + ")"
		}
		base := rapid.SampledFrom([]float64{0.5, 3.6, 120}).Draw(t, "base")
		start := time.Date(2026, 3, 13, 0, 0, 0, 0, time.UTC)
		var lines []string
		want := 0.0
		for i := range 48 {
			q := base * (1 + float64(rapid.IntRange(0, 30).Draw(t, "q"))/10)
			want += q
			number := strconv.FormatFloat(q/m3h, 'f', max(2, 6-int(math.Log10(q/m3h))), 64)
			if comma {
				number = strings.Replace(number, ".", ",", 1)
			}
			lines = append(lines, start.Add(time.Duration(i)*time.Hour).Format(stamp)+";"+number+cellUnit+";1.2"+column+"\n")
		}
		switch rapid.IntRange(0, 3).Draw(t, "order") {
		case 1:
			slices.Reverse(lines)
		case 2:
			lines = append(lines[24:], lines[:24]...)
		case 3:
			lines = rapid.Permutation(lines).Draw(t, "rows")
		}
		if column != "" {
			column = ";unit"
		}
		text := top + times + ";" + head + ";level" + column + "\n" + below + strings.Join(lines, "")
		l, err := Read("any.csv", strings.NewReader(text), Options{})
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if got := l.Volume().In("m3"); math.Abs(got-want) > 1e-3*want {
			t.Fatalf("%g m3, want %g\n%v\n%s", got, want, l.Notes, text)
		}
	})
}

// strange reports an error, or a caution that asks the reader to look.
func strange(l Log, err error) bool { return err != nil || l.Notes.Worst() >= note.Caution }

// TestUnknownWord: a word that nobody knows, anywhere in a heading, changes no water silently.
func TestUnknownWord(t *testing.T) {
	heads := []string{"time", "flow (m3/h)", "flow m3/h", "total (m3)", "totaliser (m3)", "hourly volume (m3)",
		"flow avg (L/s)", "level (m)", "set point (m3/h)", "flow max (m3/h)", "status"}
	rapid.Check(t, func(t *rapid.T) {
		pick := []string{"time"}
		for _, h := range heads[1:] {
			if rapid.Bool().Draw(t, h) {
				pick = append(pick, h)
			}
		}
		write := func(heads []string) string {
			var b strings.Builder
			b.WriteString(strings.Join(heads, ";") + "\n")
			total := 5000.0
			for i := range 48 {
				q := 2 + float64(i*i%7)/10
				fmt.Fprintf(&b, "2026-03-%02d %02d:00", 13+i/24, i%24)
				for _, h := range pick[1:] {
					v := map[string]float64{"total (m3)": total, "totaliser (m3)": total, "flow avg (L/s)": q / 3.6, "level (m)": 1.2,
						"set point (m3/h)": 4, "flow max (m3/h)": q + 1}
					if h == "status" {
						b.WriteString(";OK")
						continue
					}
					if x, ok := v[h]; ok {
						fmt.Fprintf(&b, ";%.4f", x)
					} else {
						fmt.Fprintf(&b, ";%.4f", q)
					}
				}
				b.WriteByte('\n')
				total += q
			}
			return b.String()
		}
		plain, err := Read("w.csv", strings.NewReader(write(pick)), Options{})
		i := rapid.IntRange(0, len(pick)-1).Draw(t, "heading")
		word := rapid.StringMatching(`[bcdfgjkmpqvwxz][aeiou][a-z]{2,5}`).Draw(t, "word")
		if senses[word] != 0 {
			return
		}
		h := pick[i]
		at := rapid.SampledFrom([]int{0, strings.IndexAny(h+" ", " ("), strings.IndexByte(h, '(') + 1, max(0, len(h)-1),
			len(h)}).Draw(t, "at")
		sep := rapid.SampledFrom([]string{" ", "/", "-", ""}).Draw(t, "sep")
		changed := slices.Clone(pick)
		if at == 0 {
			changed[i] = word + sep + h
		} else {
			changed[i] = h[:at] + sep + word + sep + h[at:]
		}
		got, bad := Read("w.csv", strings.NewReader(write(changed)), Options{})
		if strange(got, bad) {
			return
		}
		if err != nil {
			t.Fatalf("%q is read though %q is not (%v)", changed, pick, err)
		}
		if math.Abs(float64(got.Volume()-plain.Volume())) > 1e-3*float64(plain.Volume()) {
			t.Fatalf("%q: %v, but %q: %v, and %v", changed, got.Volume(), pick, plain.Volume(), got.Notes)
		}
	})
}
