package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/site"
	"jarwright/dosing/table"
)

// within is the longest that a command may take over any site: hundreds of times its usual.
const within = 20 * time.Second

// TestNoValueHangs: a site with any field at the ends of what can
// be, or next to nothing, is answered or refused in good time by every command.
func TestNoValueHangs(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: some thousand runs")
	}
	ranges, err := os.ReadFile("../../dosing/site/ranges.txt")
	if err != nil {
		t.Fatal(err)
	}
	_, rows := table.Sourced(string(ranges))
	for _, r := range rows {
		if r[0] != "range" {
			continue
		}
		t.Run(r[1]+"/"+r[2], func(t *testing.T) {
			t.Parallel()
			tried := map[string]bool{"": true}
			for _, end := range append(r[5:7:7], "1e-300", "1e-320", "1.1e-9") {
				if !tried[end] {
					tried[end] = true
					endsInTime(t, r[1], strings.ReplaceAll(r[2], "HH", "07"), strings.TrimSpace(end+" "+r[7]))
				}
			}
		})
	}
}

func endsInTime(t *testing.T, sheet, field, value string) {
	t.Helper()
	v := site.Example("", "")
	if v[sheet] == nil {
		return
	}
	v[sheet][0][field] = value
	v["Place"][0]["date"] = "2026-03-01"
	v["Solids"][0]["tank to clean up"] = "rearing tank"
	var b bytes.Buffer
	if err := site.WriteYAML(&b, v); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "site.yaml")
	write(t, file, b.Bytes())
	for _, command := range []string{"plan", "clarify", "pump", "budget"} {
		done := make(chan int, 1)
		go func() {
			_, _, code := program(t, command, file, "--format", "json")
			done <- code
		}()
		select {
		case <-done:
		case <-time.After(within):
			t.Fatalf("%s has not ended in %s with %s %s", command, within, field, value)
		}
	}
}
