package main

import (
	"os"
	"path/filepath"
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
		Setup: func(e *testscript.Env) error {
			e.Setenv("TESTDATA", bench)
			e.Setenv("NO_COLOR", "1")
			return nil
		},
	})
}
