package main

import (
	"fmt"
	"io"
	"time"
)

// working tells on a terminal what takes longer than a second, until the function
// that it gives is called; that takes the line away again. Where stderr is no
// terminal, or with -q, nothing is told.
func (e *env) working(format string, args ...any) (done func()) {
	return e.telling(func() string { return fmt.Sprintf(format, args...) })
}

// telling does so with words that may change while the work goes on.
func (e *env) telling(what func() string) (done func()) {
	if e.Told != nil {
		e.Told(what)
		return func() {}
	}
	if !e.ErrTerminal || e.flags.quiet {
		return func() {}
	}
	return progress(e.Err, what, time.Second)
}

// progress writes a line after every step of time, over the one before.
func progress(w io.Writer, what func() string, step time.Duration) (done func()) {
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		tick := time.NewTicker(step)
		defer tick.Stop()
		const back = "\r\x1b[K" // to the start of the line, which is cleared
		for n := 1; ; n++ {
			select {
			case <-stop:
				if n > 1 {
					fmt.Fprint(w, back)
				}
				return
			case <-tick.C:
				fmt.Fprintf(w, "%s%s … %d s", back, what(), int((time.Duration(n) * step).Seconds()))
			}
		}
	}()
	return func() { close(stop); <-stopped }
}
