package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/sheet"
	"jarwright/templates"
)

// TestDamagedDemo changes one byte after another of the demo's bench and site
// workbooks: each time the file is refused as damaged, or what was understood of
// it is exactly the same.
func TestDamagedDemo(t *testing.T) {
	dir := t.TempDir()
	e := &env{streams: streams{In: bytes.NewReader(nil), Out: io.Discard, Err: io.Discard, Width: 80}}
	if err := e.demoInputs(func(name string) string { return filepath.Join(dir, name) }, templates.Options{}); err != nil {
		t.Fatal(err)
	}
	for name, read := range map[string]func([]byte) (any, error){
		"bench.xlsx": func(b []byte) (any, error) { return sheet.Read("f.xlsx", bytes.NewReader(b), sheet.Options{}) },
		"site.xlsx":  func(b []byte) (any, error) { return site.Read("f.xlsx", bytes.NewReader(b)) },
	} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		want, err := read(data)
		if err != nil {
			t.Fatal(err)
		}
		refused, same := 0, 0
		for i := range 1100 {
			at := i * (len(data) - 4) / 1100
			bad := bytes.Clone(data)
			bad[4+at] ^= byte(1 << (i % 8)) // the first four bytes tell that it is a workbook
			got, err := read(bad)
			switch l := note.Of(err, "?"); {
			case err == nil && reflect.DeepEqual(got, want):
				same++
			case err == nil:
				t.Fatalf("%s: byte %d changed gives something else:\n%v", name, 4+at, fmt.Sprint(got))
			case len(l) != 1 || l[0].Code != "damaged-file" || l[0].File != "f.xlsx" || l[0].Remedy == "":
				t.Errorf("%s: byte %d changed: %v", name, 4+at, err)
			default:
				refused++
			}
		}
		if refused < 1000 {
			t.Errorf("%s: %d changes refused, %d without effect", name, refused, same)
		}
		t.Logf("%s: %d bytes, %d changes refused, %d without effect", name, len(data), refused, same)
	}
}
