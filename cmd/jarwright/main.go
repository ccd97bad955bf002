// Command jarwright plans coagulant and polymer dosing from jar tests: bench
// sheets in; lowest effective dose, day plan and month budget out.
package main

import (
	"os"

	"golang.org/x/term"
)

func main() {
	isTerminal, width := terminal(os.Stdout)
	os.Exit(run(os.Args[1:], streams{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr,
		InTerminal: term.IsTerminal(int(os.Stdin.Fd())), OutTerminal: isTerminal, ErrTerminal: term.IsTerminal(int(os.Stderr.Fd())),
		Width: width, NoColor: os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb",
	}))
}

// terminal tells whether a file is a terminal, and how wide to write on it.
func terminal(f *os.File) (bool, int) {
	const narrowest, widest = 40, 100
	if !term.IsTerminal(int(f.Fd())) {
		return false, 80
	}
	w, _, err := term.GetSize(int(f.Fd()))
	if err != nil || w <= 0 {
		return true, 80
	}
	return true, max(narrowest, min(w, widest))
}
