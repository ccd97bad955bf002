package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"regexp"
	"runtime/debug"
	"strings"
	"sync/atomic"
	"time"

	"github.com/spf13/cobra"

	"jarwright/cmd/jarwright/serve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
	harmless "jarwright/templates/plain"
)

// streams are the program's three streams and what is known of the terminal.
type streams struct {
	In                                   io.Reader
	Out, Err                             io.Writer
	InTerminal, OutTerminal, ErrTerminal bool
	Width                                int
	NoColor                              bool
	// Blocks is true of a terminal whose locale is UTF-8, which has block and line characters.
	Blocks bool
	// Clock tells the time; nil for the machine's own.
	Clock func() time.Time
	// Files are where the command reads and writes; nil for the disk.
	Files files
	// Show, where given, takes the answer in place of Out.
	Show func(templates.Report, templates.Options)
	// Told, where given, takes what tells how far long work has come.
	Told func(what func() string)
	// Reads, where given, keep what was read of bench sheets.
	Reads *serve.Reads
}

// env is what every command gets: the streams, and the flags that all share.
type env struct {
	streams
	flags  outputFlags
	shown  templates.Options // what the flags say of how to show an answer
	line   []string          // the command line, as it was written
	status int               // the exit code of a run that ended without an error
	// ended gives an error once the run is to end; nil never does.
	ended func() error
	// serving is true while a page is offered, which an interrupt ends as it should end.
	serving atomic.Bool
	// raw is today's turbidity of a site's raw water, in place of the site's; zero where no flag tells it.
	raw quantity.Cloudiness
	// bench are the bench sheets that a site's doses are taken from in place of what it says.
	bench []string
	// cardOnly is true where water outside past tests leaves the card by raw water, and the doses of other chemicals, to be shown.
	cardOnly bool
	// clearing is true where doses are for a tank that is cleared, and not for the raw water.
	clearing bool
	// siteDay is the day of the site's figures, where it gives one.
	siteDay time.Time
}

// Exit codes; the README's table says the same.
const (
	exitDone        = 0
	exitFailed      = 1
	exitUsage       = 2
	exitNoAnswer    = 3
	exitInterrupted = 130
)

// usageError is a wrong command line.
type usageError struct{ error }

func (u usageError) Unwrap() error { return u.error }

// badUsage makes a usageError.
// parsing is what the standard library says of a number that is none.
var parsing = regexp.MustCompile(`strconv\.Parse(Int|Uint|Float): parsing "[^"]*": (?:invalid syntax|value out of range)`)

// plainFlag is a fault of a flag without the names of functions.
func plainFlag(err error) error {
	if !parsing.MatchString(err.Error()) {
		return err
	}
	return errors.New(parsing.ReplaceAllStringFunc(err.Error(), func(s string) string {
		return either(strings.Contains(s, "ParseFloat"), "it is no number", "it is no whole number that can be here")
	}))
}

func badUsage(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }

// stopped gives an error once the run is to end, which long work asks between its parts.
func (e *env) stopped() error {
	if e.ended == nil {
		return nil
	}
	return e.ended()
}

// noAnswer makes the run end with exit code 3: done, and the answer is that no
// dose can be recommended or that a plan is stopped.
func (e *env) noAnswer() { e.status = exitNoAnswer }

// run is the whole program but for the process around it; it gives the exit code.
func run(args []string, s streams) int {
	ctx, cancel := signal.NotifyContext(context.Background(), os.Interrupt)
	defer cancel()
	e := &env{streams: s, status: exitDone}
	done := make(chan error, 1)
	go func() { done <- e.execute(ctx, args) }()
	select {
	case err := <-done:
		return e.end(err)
	case <-ctx.Done(): // output files appear whole or not at all, so leaving at once is safe
		if e.serving.Load() {
			return e.end(<-done) // what is being sent is sent, within a bound of its own
		}
		return exitInterrupted
	}
}

func (e *env) execute(ctx context.Context, args []string) error {
	root := newRoot(e)
	if len(args) > 0 && (args[0] == cobra.ShellCompRequestCmd || args[0] == cobra.ShellCompNoDescRequestCmd) {
		tellShell(root)
	}
	e.line, e.ended = args, ctx.Err
	root.SetArgs(args)
	root.SetIn(e.In)
	root.SetOut(e.Out)
	root.SetErr(e.Err)
	return root.ExecuteContext(ctx)
}

// end says what went wrong, if anything did, and gives the exit code.
func (e *env) end(err error) int {
	if err == nil {
		return e.status
	}
	o, _ := e.options() // where the flags themselves are wrong: metric
	if e.flags.units == "" {
		o.Units = e.shown.Units // as the site that was read has them
	}
	complain(e.Err, err, o)
	if usage := (usageError{}); errors.As(err, &usage) {
		fmt.Fprintln(e.Err, "jarwright: see 'jarwright --help' or 'jarwright COMMAND --help'")
		return exitUsage
	}
	if none := (noDose{}); errors.As(err, &none) {
		return exitNoAnswer
	}
	return exitFailed
}

// complain writes an error to stderr, one problem a line, at most 20 of them. What a damaged or hostile
// file says of itself cannot act on the terminal.
func complain(w io.Writer, err error, o templates.Options) {
	const most = 20
	text := err.Error()
	if n := (note.Note{}); errors.As(err, &n) {
		text = strings.Replace(text, n.Error(), o.Notes(note.List{n})[0].Error(), 1)
	}
	lines := strings.Split(text, "\n")
	if list := (note.List)(nil); errors.As(err, &list) {
		lines = nil
		for _, n := range o.Notes(list.Only(note.Error)) {
			lines = append(lines, strings.ReplaceAll(n.Error(), "\n", " "))
		}
	}
	for i, l := range lines {
		if i == most {
			fmt.Fprintf(w, "jarwright: and %d more\n", len(lines)-most)
			return
		}
		fmt.Fprintf(w, "jarwright: %s\n", harmless.Visible(strings.ReplaceAll(l, "\r", " ")))
	}
}

// newRoot builds the command tree.
func newRoot(e *env) *cobra.Command {
	root := &cobra.Command{
		Use:   "jarwright",
		Short: "Plan coagulant and polymer dosing from jar tests",
		Example: `jarwright demo                     the whole job on a made-up trout hatchery
jarwright new bench tuesday.xlsx   a blank bench sheet to fill in
jarwright fit tuesday.xlsx         the lowest dose that works
jarwright plan site.xlsx           today's setting, batches and cautions
jarwright budget site.xlsx         the month and its orders`,
		Long: `Plan coagulant and polymer dosing from jar tests: bench sheets in; the lowest
effective dose with its uncertainty, the day plan for the pump, and the month's
budget out. It works on this machine alone and needs no network.

It does not replace the safety data sheet, local codes or licensed practice.`,
		SilenceUsage:  true,
		SilenceErrors: true,
		Version:       version(),
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			return unknownCommand(cmd, args[0])
		},
	}
	root.SetHelpFunc(func(c *cobra.Command, _ []string) { e.help(e.Out, c) })
	root.SetVersionTemplate("jarwright {{.Version}}\n")
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usageError{plainFlag(err)} })
	e.flags.add(root)
	root.PersistentPreRunE = func(_ *cobra.Command, args []string) (err error) {
		e.shown, err = e.options()
		e.ownUnits(args)
		return err
	}
	root.AddCommand(commands(e)...)
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		strictArgs(c)
		c.Short = cmp.Or(shorts[c.Name()], c.Short)
		c.InitDefaultHelpFlag()
		c.Flags().Lookup("help").Usage = "this help"
	}
	root.InitDefaultHelpFlag()
	root.InitDefaultVersionFlag()
	root.Flags().Lookup("help").Usage, root.Flags().Lookup("version").Usage = "this help", "the version of the program"
	return root
}

// unknownCommand is the error for a word that is none of cmd's commands.
func unknownCommand(cmd *cobra.Command, word string) error {
	var names []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return badUsage("unknown command %q%s", word, note.DidYouMean(word, names))
}

// strictArgs makes a wrong number of arguments a usage error, for this command and those below it.
func strictArgs(c *cobra.Command) {
	if check := c.Args; check != nil {
		c.Args = func(cmd *cobra.Command, args []string) error {
			if err := check(cmd, args); err != nil {
				return usageError{err}
			}
			return nil
		}
	}
	for _, sub := range c.Commands() {
		strictArgs(sub)
	}
}

// version tells the module version, the commit and the Go version from the build itself.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	if v == "" {
		v = "(devel)"
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && len(s.Value) >= 12 && !strings.Contains(v, s.Value[:12]) {
			v += " " + s.Value[:12]
		}
	}
	return v + " " + info.GoVersion
}
