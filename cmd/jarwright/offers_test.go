package main

import (
	"bytes"
	"context"
	"io"
	"runtime"
	"strings"
	"testing"
	"weak"

	"jarwright/templates"
)

// TestShellIsOffered: the words that a flag may be are told to a shell that asks, flags that all commands share included.
func TestShellIsOffered(t *testing.T) {
	for _, c := range []struct{ asked, wants string }{
		{"plan --units ", "metric us"},
		{"trial --of ", strings.Join(kindsOfTrial(), " ")},
		{"new trial --of ", strings.Join(kindsOfTrial(), " ")},
		{"plan --chemical ", "ferric-chloride"},
		{"clarify --basis ", "as Al"},
	} {
		var out bytes.Buffer
		e := &env{streams: streams{In: strings.NewReader(""), Out: &out, Err: io.Discard}}
		if err := e.execute(context.Background(), append([]string{"__complete"}, strings.Split(c.asked, " ")...)); err != nil {
			t.Fatal(err)
		}
		if got := strings.ReplaceAll(out.String(), "\n", " "); !strings.Contains(got, c.wants) {
			t.Errorf("%s: %q lacks %q", c.asked, got, c.wants)
		}
	}
}

// TestRunsAreLetGo: a run that is over is held by nothing, with all that it led to: a page makes thousands of them.
func TestRunsAreLetGo(t *testing.T) {
	run := func(args string) weak.Pointer[[1 << 16]byte] {
		answer := new([1 << 16]byte)
		e := &env{streams: streams{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard, Show: func(templates.Report, templates.Options) { answer[0]++ }}}
		_ = e.execute(context.Background(), strings.Fields(args)) // that it ends is all that counts here
		return weak.Make(answer)
	}
	for _, args := range []string{"chemical", "read no-such-file.csv", "plan --flow 3.6", "--help"} {
		held := run(args)
		for range 3 {
			runtime.GC()
		}
		if held.Value() != nil {
			t.Errorf("%s: what its answer was given to is still held", args)
		}
	}
}
