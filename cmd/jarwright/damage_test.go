package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/sheet"
)

// TestDamagedDemo changes one byte after another of the demo's bench and site
// workbooks: each time the file is refused as damaged, or as unpacking too far where the
// byte is of a size that its directory tells, or what was understood of it is exactly the same.
func TestDamagedDemo(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	demoInputs(t, dir)
	for name, read := range map[string]func([]byte) (any, error){
		"bench.xlsx": func(b []byte) (any, error) { return sheet.Read("f.xlsx", bytes.NewReader(b), sheet.Options{}) },
		"site.xlsx":  func(b []byte) (any, error) { return site.Read("f.xlsx", bytes.NewReader(b)) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			data := contents(t, filepath.Join(dir, name))
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
					t.Fatalf("byte %d changed gives something else:\n%v", 4+at, fmt.Sprint(got))
				case len(l) != 1 || l[0].Code != "damaged-file" && !strings.Contains(l[0].Message, "unpacks to more than 400 times its size") || l[0].File != "f.xlsx" || l[0].Remedy == "":
					t.Errorf("byte %d changed: %v", 4+at, err)
				default:
					refused++
				}
			}
			if refused < 1000 {
				t.Errorf("%d changes refused, %d without effect", refused, same)
			}
			t.Logf("%d bytes, %d changes refused, %d without effect", len(data), refused, same)
		})
	}
}
