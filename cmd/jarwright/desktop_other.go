//go:build !windows

package main

// byExplorer reports a start by double click, of which only Windows tells.
func byExplorer() bool { return false }
