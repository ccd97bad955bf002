package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"
)

// line is a writer that says when something has been written.
type line struct {
	bytes.Buffer
	wrote chan struct{}
}

func (l *line) Write(p []byte) (int, error) {
	n, err := l.Buffer.Write(p)
	select {
	case l.wrote <- struct{}{}:
	default:
	}
	return n, err
}

// TestProgress: what takes long is told, and the line is gone when it is done;
// what is quick, not on a terminal, or asked to be quiet writes nothing.
func TestProgress(t *testing.T) {
	l := &line{wrote: make(chan struct{}, 1)}
	n := 0
	done := progress(l, func() string { n++; return fmt.Sprintf("fitting 3 series, %d done", n) }, time.Millisecond)
	<-l.wrote
	<-l.wrote
	done()
	if s := l.String(); !strings.HasPrefix(s, "\r\x1b[Kfitting 3 series, 1 done … 0 s\r\x1b[Kfitting 3 series, 2 done … 0 s") || !strings.HasSuffix(s, "\r\x1b[K") {
		t.Errorf("%q", s)
	}
	for name, e := range map[string]*env{
		"quick":       {streams: streams{Err: &bytes.Buffer{}, ErrTerminal: true}},
		"no terminal": {streams: streams{Err: &bytes.Buffer{}}},
		"quiet":       {streams: streams{Err: &bytes.Buffer{}, ErrTerminal: true}, flags: outputFlags{quiet: true}},
	} {
		e.working("fitting")()
		if s := e.Err.(*bytes.Buffer).String(); s != "" {
			t.Errorf("%s: %q", name, s)
		}
	}
}

// TestReadingFiles counts one file as one.
func TestReadingFiles(t *testing.T) {
	t.Parallel()
	for all, want := range map[int]string{1: "reading 1 file, 0 done", 2: "reading 2 files, 0 done"} {
		if got := readingFiles(all, 0); got != want {
			t.Errorf("of %d: %q", all, got)
		}
	}
}
