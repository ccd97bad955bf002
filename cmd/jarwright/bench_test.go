package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// BenchmarkReadAndFit is fit on a six-jar sheet without the start of the process:
// reading the file, fitting it, writing the JSON. The sheet is that of [davisAlumScan].
func BenchmarkReadAndFit(b *testing.B) {
	file := filepath.Join(b.TempDir(), "davis.csv")
	if err := os.WriteFile(file, []byte(davisAlumScan), 0o600); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		code := run([]string{"fit", file, "--target", "turbidity <= 5 NTU", "--format", "json"},
			streams{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard, Width: 80, NoColor: true})
		if code != exitDone {
			b.Fatalf("exit %d", code)
		}
	}
}
