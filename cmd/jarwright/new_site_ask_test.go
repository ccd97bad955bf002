package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"jarwright/dosing/site"
)

// asking runs the program at a terminal at which that is typed.
func asking(t *testing.T, typed string, args ...string) (stderr string, code int) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(args, streams{In: strings.NewReader(typed), Out: &out, Err: &errs, InTerminal: true, Width: 80, NoColor: true})
	return errs.String(), code
}

// TestNewSiteAsks: a terminal is asked once which form is wanted; q brings the questions,
// whose file holds what was answered and no start that nobody gave, anything else the whole form.
func TestNewSiteAsks(t *testing.T) {
	answers := "q\nShed 3\nanimals\n\n3.6 m3/h\n8 h\nalum-liquid\n25 mg/L as product\n" + strings.Repeat("\n", 10)
	short, whole := filepath.Join(t.TempDir(), "short.yaml"), filepath.Join(t.TempDir(), "whole.yaml")
	said, code := asking(t, answers, "new", "site", short)
	if code != exitDone || !strings.Contains(said, "answer 17 questions now (q)") || !strings.Contains(said, "1 of 17.") {
		t.Fatalf("%d: %s", code, said)
	}
	text := string(contents(t, short))
	if lines := strings.Count(text, "\n"); lines > 45 || strings.Contains(text, "run_starts") || !strings.Contains(text, `average_flow: "3.6 m3/h"`) {
		t.Errorf("%d lines:\n%s", lines, text)
	}
	if s, err := site.Read("short.yaml", strings.NewReader(text)); err != nil || s.Flow.Start.OK {
		t.Errorf("read back: %v, start %v", err, s.Flow.Start)
	}
	plan := answer(t, "plan", short, "--date", "2026-05-04")
	if !strings.Contains(plan, "The run of 8 h is taken to start at 06:00") {
		t.Errorf("the start that was taken is not said: %s", plan)
	}
	if said, code := asking(t, "\n", "new", "site", whole); code != exitDone || strings.Contains(said, "1 of 17.") || !strings.Contains(string(contents(t, whole)), "Beckside") {
		t.Errorf("the whole form: %d: %s", code, said)
	}
	if said, _ := asking(t, "q\n", "new", "site", whole, "--force", "--quiet"); strings.Contains(said, "questions") {
		t.Errorf("asked in silence: %s", said)
	}
}
