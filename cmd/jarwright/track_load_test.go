package main

import (
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// pastSheets writes so many bench sheets of an invented beck into a folder: alum at seven doses each, of waters
// from 8 to 200 NTU whose dose goes with the square root of the turbidity.
func pastSheets(tb testing.TB, n int) string {
	tb.Helper()
	dir, r := tb.TempDir(), rand.New(rand.NewPCG(21, 7))
	for i := range n {
		raw := math.Exp(math.Log(8) + math.Log(25)*r.Float64())
		need := (5 + 1.3*math.Sqrt(raw)) * math.Exp(0.12*r.NormFloat64())
		s := fmt.Sprintf("date,%04d-%02d-%02d\nraw turbidity (NTU),%.3g\ntemperature (C),%.1f\ntarget,turbidity <= 5 NTU\n\njar,alum as alum 14-hydrate (mg/L),turbidity (NTU),pH\n",
			2010+i/336, i/28%12+1, i%28+1, raw, 2+16*r.Float64())
		for k, share := range []float64{0, 0.4, 0.7, 0.95, 1.25, 1.6, 2.1} {
			y := 5 * math.Exp(-0.8*(share-1))
			if share < 1 {
				y = 0.8 * raw * math.Pow(5/(0.8*raw), share)
			}
			s += fmt.Sprintf("%d,%.1f,%.3g,%.2f\n", k+1, need*share, math.Max(1, y)*math.Exp(0.06*r.NormFloat64()), 7.4-0.02*need*share)
		}
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("test%05d.csv", i)), []byte(s), 0o644); err != nil {
			tb.Fatal(err)
		}
	}
	return dir
}

// TestTrackInAnyOrder: the same bytes in whatever order the files are named, by their folder or each; a sheet that cannot be read
// is named, skipped, and changes nothing of the rest.
func TestTrackInAnyOrder(t *testing.T) {
	t.Parallel()
	dir := pastSheets(t, 9)
	asked := func(names ...string) (string, string) {
		var out, errs strings.Builder
		if code := run(append([]string{"track", "--raw", "85 NTU", "--format", "json", "-q"}, names...), streams{Out: &out, Err: &errs}); code != exitDone {
			t.Fatalf("%d: %s", code, errs.String())
		}
		return out.String(), errs.String()
	}
	want, _ := asked(dir)
	files, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil || len(files) != 9 {
		t.Fatal(files, err)
	}
	r := rand.New(rand.NewPCG(3, 1))
	for range 3 {
		r.Shuffle(len(files), func(i, j int) { files[i], files[j] = files[j], files[i] })
		if got, _ := asked(files...); got != want {
			t.Errorf("%v:\n%s", files, cmp.Diff(want, got))
		}
	}
	write(t, filepath.Join(dir, "bad.csv"), "jar,alum (mg/L),turbidity (NTU)\n1,0,40\n2,-10,20\n3,20,5\n")
	got, errs := asked(dir)
	tests := func(doc string) string {
		_, after, _ := strings.Cut(doc, `"tests": [`)
		before, _, _ := strings.Cut(after, `"drift"`)
		return before
	}
	if !strings.Contains(got, `"skipped": 1`) || !strings.Contains(errs, "bad.csv") || tests(got) != tests(want) || tests(want) == "" {
		t.Errorf("%s\n%s", errs, cmp.Diff(tests(want), tests(got)))
	}
}

// pastCount is counted in sheets; 5,000 took 76 s of processor time, 38 s on two cores where nothing else runs, and at the most 192 MB of memory
// (/usr/bin/time -v). The years of a works are measured, where nothing else runs, by
//
//	go test ./cmd/jarwright -run NONE -bench BenchmarkTrack -benchtime 1x -benchmem -past 5000
var pastCount = flag.Int("past", 5000, "bench sheets of BenchmarkTrack")

// BenchmarkTrack is the years of a works: bench sheets in a folder, thousands of them.
func BenchmarkTrack(b *testing.B) {
	dir := pastSheets(b, *pastCount)
	for b.Loop() {
		if code := run([]string{"track", dir, "--raw", "85 NTU"}, streams{Out: io.Discard, Err: io.Discard}); code != exitDone {
			b.Fatal(code)
		}
	}
}
