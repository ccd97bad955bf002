package site

import (
	"bytes"
	"math"
	"reflect"
	"testing"

	"jarwright/jartest/note"
)

// sane checks what holds of any file read as a site: the same answer each time,
// and either errors with code, file and remedy, or values that are numbers.
func sane(t *testing.T, name string, data []byte) {
	t.Helper()
	s, err := Read(name, bytes.NewReader(data))
	again, err2 := Read(name, bytes.NewReader(data))
	if (err == nil) != (err2 == nil) || err == nil && !reflect.DeepEqual(s, again) {
		t.Fatalf("two readings differ: %v, %v", err, err2)
	}
	if err != nil {
		for _, n := range note.Of(err, "?") {
			if n.Level != note.Error || n.Code == "?" || n.Message == "" || n.File != name {
				t.Fatalf("an error without code, words or file: %+v", n)
			}
		}
		return
	}
	for _, v := range []float64{float64(s.Flow.Average.V), float64(s.Flow.Peak.V)} {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			t.Fatalf("a flow of %v", v)
		}
	}
	for _, c := range s.Chemicals {
		if v := float64(c.Strength.V); math.IsNaN(v) || v < 0 || v > 1 {
			t.Fatalf("a strength of %v", v)
		}
	}
}

// FuzzYAML: any text as site.yaml.
func FuzzYAML(f *testing.F) {
	var b bytes.Buffer
	if err := WriteYAML(&b, Example("", "")); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	for _, s := range []string{"flow:\n  average_flow: 3.6 m3/h\n", "\ufeffflow: {average_flow: 1e999 m3/h}\n", "chemicals:\n- name: alum\n  strength: 48.5 %\n- name: alum\n",
		"a: &a [*a]\n", "---\n---\n", "- - - a\n", "flow: |\n  x\n", "? a\n: b\n", "flow:\n  average_flow: -2 m3/h\n", "%TAG\n", "flow: !x 1\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) <= 1<<15 {
			sane(t, "site.yaml", data)
		}
	})
}

// FuzzSiteWorkbook: any bytes as a site workbook, and any three cells in one.
func FuzzSiteWorkbook(f *testing.F) {
	var b bytes.Buffer
	if err := Write(&b, Example("", "")); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes(), "average flow", "7,5", "gpm")
	f.Add(b.Bytes()[:900], "peak flow", "1e999", "m3/h")
	f.Add([]byte{}, "average flow", "NaN", "m3/h")
	f.Add([]byte{}, "Average Flow", "-3", "")
	f.Fuzz(func(t *testing.T, data []byte, item, value, unit string) {
		if len(data) > 1<<15 || len(item)+len(value)+len(unit) > 300 {
			return
		}
		sane(t, "site.xlsx", data)
		book, err := plainBook(Example("", ""))
		if err != nil {
			t.Fatal(err)
		}
		for at, text := range map[string]string{"A6": item, "B6": value, "C6": unit} {
			if err := book.SetCellStr("Flow", at, text); err != nil {
				return // the library does not write every text
			}
		}
		var out bytes.Buffer
		if err := book.Write(&out); err != nil {
			return
		}
		sane(t, "site.xlsx", out.Bytes())
	})
}
