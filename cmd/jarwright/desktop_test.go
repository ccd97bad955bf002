package main

import (
	"io/fs"
	"testing"
)

// TestFromDesktop: a double click opens the page; whoever types, pipes or schedules gets the help.
func TestFromDesktop(t *testing.T) {
	t.Parallel()
	null, socket := fs.ModeDevice|fs.ModeCharDevice, fs.ModeSocket
	for _, c := range []struct {
		name string
		l    launch
		want bool
	}{
		{"a menu of a Linux desktop", launch{system: "linux", display: true, in: null, out: socket}, true},
		{"typed at a terminal", launch{system: "linux", display: true, terminal: true, in: null, out: null}, false},
		{"scheduled, without a desktop", launch{system: "linux", in: null, out: null}, false},
		{"its help put into a file", launch{system: "linux", display: true, in: null, out: 0o644}, false},
		{"its help piped on", launch{system: "linux", display: true, in: null, out: fs.ModeNamedPipe}, false},
		{"fed by a pipe", launch{system: "linux", display: true, in: fs.ModeNamedPipe, out: socket}, false},
		{"a menu, with a command", launch{system: "linux", display: true, args: 1, in: null, out: socket}, false},
		{"a double click on Windows", launch{system: "windows", explorer: true}, true},
		{"typed on Windows", launch{system: "windows", terminal: true}, false},
		{"a double click on a Mac", launch{system: "darwin", terminal: true, program: "/Applications/jarwright", folder: "/Users/a", home: "/Users/a"}, true},
		{"typed on a Mac", launch{system: "darwin", terminal: true, program: "jarwright", folder: "/Users/a", home: "/Users/a"}, false},
		{"typed by its path on a Mac", launch{system: "darwin", terminal: true, program: "/opt/jarwright", folder: "/work", home: "/Users/a"}, false},
		{"scheduled on a Mac", launch{system: "darwin", program: "/opt/jarwright", folder: "/Users/a", home: "/Users/a"}, false},
	} {
		if got := c.l.fromDesktop(); got != c.want {
			t.Errorf("%s: from a desktop is %v", c.name, got)
		}
	}
}
