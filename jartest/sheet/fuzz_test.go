package sheet

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"jarwright/jartest"
)

// FuzzTables: any text table is read without a crash, and every number that comes
// out of it is finite and has its cell.
func FuzzTables(f *testing.F) {
	addLayouts(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<14 || bytes.HasPrefix(data, []byte("PK")) {
			return
		}
		r, err := Read("x.csv", bytes.NewReader(data), Options{})
		if err != nil {
			return
		}
		for _, s := range r.Series {
			for _, j := range s.Jars {
				if len(j.Doses) != len(s.Chemicals) {
					t.Fatalf("%d doses of %d chemicals", len(j.Doses), len(s.Chemicals))
				}
				for _, d := range j.Doses {
					if x := float64(d.Concentration); math.IsNaN(x) || math.IsInf(x, 0) || x < 0 || d.At.Cell == "" {
						t.Fatalf("dose %v at %q", x, d.At.Cell)
					}
				}
				for _, x := range j.Readings {
					if x.State != jartest.Missing && (math.IsNaN(x.Value) || math.IsInf(x.Value, 0) || x.At.Cell == "") {
						t.Fatalf("%s %v at %q", x.Key, x.Value, x.At.Cell)
					}
				}
			}
		}
	})
}

func addLayouts(f *testing.F) {
	f.Helper()
	files, err := filepath.Glob("testdata/layouts/*.txt")
	if err != nil || len(files) == 0 {
		f.Fatal("no layouts", err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		for _, x := range txtar.Parse(data).Files {
			if strings.Contains(x.Name, ".") || strings.HasPrefix(x.Name, "sheet ") {
				f.Add(x.Data)
			}
		}
	}
	f.Add([]byte("\xff\xfeJ\x00a\x00r\x00"))
	f.Add([]byte("sep=;\na;b\n1;2\n"))
	f.Add([]byte("\"a\nb\",c\n1,2\n"))
}
