package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// launch is what a process can know of how it was started.
type launch struct {
	system       string // as GOOS has it
	args         int    // words behind the program's own
	program      string // as it was called
	folder, home string
	explorer     bool        // a double click on Windows
	display      bool        // there is a desktop to show windows on
	terminal     bool        // somebody sits at a terminal
	in, out      fs.FileMode // kinds of the streams
}

// fromDesktop reports a start by double click or from a menu, where nobody reads what a
// terminal would show. Where that is in doubt it is none.
func (l launch) fromDesktop() bool {
	given := func(m fs.FileMode) bool { return m.IsRegular() || m&fs.ModeNamedPipe != 0 } // somebody has put a file or a pipe there
	switch {
	case l.args > 0:
		return false
	case l.system == "windows":
		return l.explorer
	case l.system == "darwin": // a terminal opens, in the home folder, and calls the program by its whole path
		return l.terminal && filepath.IsAbs(l.program) && l.folder == l.home
	}
	return l.display && !l.terminal && !given(l.in) && !given(l.out)
}

// launched is how this process was started.
func launched(s streams) launch {
	l := launch{system: runtime.GOOS, args: len(os.Args) - 1, program: os.Args[0], explorer: byExplorer(),
		display: os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != "", terminal: s.InTerminal || s.OutTerminal}
	l.folder, _ = os.Getwd()     // a folder that is not known is not the home folder
	l.home, _ = os.UserHomeDir() // nor is one that is not known
	for f, m := range map[*os.File]*fs.FileMode{os.Stdin: &l.in, os.Stdout: &l.out} {
		if info, err := f.Stat(); err == nil {
			*m = info.Mode()
		}
	}
	return l
}
