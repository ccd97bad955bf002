// Command jarwright plans coagulant and polymer dosing from jar tests: bench
// sheets in; lowest effective dose, day plan and month budget out.
package main

import (
	"cmp"
	"os"
	"runtime"
	"runtime/debug"
	"strings"

	"golang.org/x/term"
)

func main() {
	lateCollection()
	isTerminal, width := terminal(os.Stdout)
	s := streams{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr,
		InTerminal: term.IsTerminal(int(os.Stdin.Fd())), OutTerminal: isTerminal, ErrTerminal: term.IsTerminal(int(os.Stderr.Fd())),
		Width: width, NoColor: os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb",
		Blocks: isTerminal && os.Getenv("TERM") != "dumb" && unicodeLocale(os.Getenv),
	}
	args := os.Args[1:]
	if launched(s).fromDesktop() {
		args = []string{"serve", "--open", "--idle", "12h"}
	}
	os.Exit(run(args, s))
}

// lateCollection lets a small sheet be answered without collecting garbage: the first
// collection comes at sixteen times the usual heap, and from then on all is as usual, but
// that a very long one is collected more often instead of taking twice its room.
func lateCollection() {
	const roomy = 640 << 20 // bytes
	debug.SetMemoryLimit(roomy)
	debug.SetGCPercent(1600)
	runtime.SetFinalizer(new([16]byte), func(*[16]byte) { debug.SetGCPercent(100) })
}

// unicodeLocale tells whether the locale writes UTF-8, by the first of its variables that is set (POSIX.1-2017, 8.2).
func unicodeLocale(variable func(string) string) bool {
	locale := strings.ToLower(cmp.Or(variable("LC_ALL"), variable("LC_CTYPE"), variable("LANG")))
	return strings.Contains(locale, "utf-8") || strings.Contains(locale, "utf8")
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
