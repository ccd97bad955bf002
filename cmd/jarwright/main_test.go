package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain makes the program itself a command that scripts can call.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"jarwright": main})
}

// TestScripts runs every whole-program script in testdata/script. With
// JARWRIGHT_UPDATE set, wanted outputs in the scripts are rewritten.
func TestScripts(t *testing.T) {
	bench, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       os.Getenv("JARWRIGHT_UPDATE") != "",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"exits": exits, "join": join, "replace": replace},
		Setup: func(e *testscript.Env) error {
			e.Setenv("TESTDATA", bench)
			e.Setenv("NO_COLOR", "1")
			return nil
		},
	})
}

// exits is the script command "exits CODE PROGRAM ARGS…": the program must end with exactly that code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ARGS…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var ended *exec.ExitError
		if !errors.As(err, &ended) {
			ts.Fatalf("%v", err)
		}
		got = ended.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// join is the script command "join TO FILE…": it writes the files one after the other.
func join(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: join TO FILE…")
	}
	var all strings.Builder
	for _, f := range args[1:] {
		all.WriteString(ts.ReadFile(f))
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(all.String()), 0o644))
}

// replace is the script command "replace OLD NEW FILE TO": it writes the file with every OLD, which must be in it, made NEW.
func replace(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 4 {
		ts.Fatalf("usage: replace OLD NEW FILE TO")
	}
	text := ts.ReadFile(args[2])
	if !strings.Contains(text, args[0]) {
		ts.Fatalf("%s has no %q", args[2], args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[3]), []byte(strings.ReplaceAll(text, args[0], args[1])), 0o644))
}

// A machine with only Go runs every script: they start no program but ours.
func TestScriptsStartOnlyOurs(t *testing.T) {
	files, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no scripts: %v", err)
	}
	starts := regexp.MustCompile(`(?m)^(?:[!?] +|\[[^]]*\] +)*(?:exec|exits +\S+) +(\S+)`)
	for _, f := range files {
		script, _, _ := strings.Cut(string(contents(t, f)), "\n-- ")
		found := starts.FindAllStringSubmatch(script, -1)
		if len(found) == 0 {
			t.Errorf("%s starts nothing", f)
		}
		for _, m := range found {
			if m[1] != "jarwright" {
				t.Errorf("%s starts %s: %s", f, m[1], m[0])
			}
		}
	}
}
