package site

import (
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// A rise of 24 NTU a day is 1 NTU an hour, and g/L are 1000 mg/L.
func TestRise(t *testing.T) {
	for text, want := range map[string]Reading{
		"0.5 NTU/h": {0.5, jartest.Turbidity}, "24 NTU/d": {1, jartest.Turbidity}, "2 mg/L/h": {2, jartest.TSS}, "0.048 g/L/d": {2, jartest.TSS},
	} {
		if got, err := parseRise(text); err != nil || got != want {
			t.Errorf("%s: %v %v, want %v", text, got, err, want)
		}
	}
}

// What is said outside a file is checked like a cell, and its fault names where it was said.
func TestPut(t *testing.T) {
	var s Site
	at := note.Place{Cell: "--dose"}
	if err := s.Put("Chemicals", 1, "dose", "12.5", "mg/L", at); err != nil || len(s.Chemicals) != 2 || s.Chemicals[1].Dose.V != 12.5 || s.Chemicals[1].Dose.At != at {
		t.Errorf("%v: %+v", err, s.Chemicals)
	}
	if err := s.Put("Chemicals", 0, "dose", "12.5", "", at); err == nil || err.Error() != `--dose: dose "12.5" has no unit: write it like "12.5 mg/L" (mg/L, g/L, ug/L, % w/v, lb/gal, oz/gal, lb/MG, lb/kgal, gpg, lb/imp gal, lb/acre-ft)` {
		t.Errorf("a bare number: %v", err)
	}
	if err := s.Put("Stocks", 0, "life", "", "", at); err != nil || len(s.Stocks) != 0 {
		t.Errorf("nothing said made a row: %v %+v", err, s.Stocks)
	}
	if err := s.Put("Flow", 0, "peak flow", "", "", at); err != nil || s.Flow.Peak.OK || s.Flow.Peak.At != at {
		t.Errorf("nothing said: %v %+v", err, s.Flow.Peak)
	}
}
