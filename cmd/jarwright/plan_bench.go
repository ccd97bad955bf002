package main

import (
	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// benchDose gets the dose of a chemical from its bench sheet.
func (e *env) benchDose(file string, _ site.Chemical) (dosing.BenchDose, error) {
	if _, err := e.readInput(file); err != nil {
		return dosing.BenchDose{}, err
	}
	return dosing.BenchDose{}, note.Fault("dose-missing", "the dose is missing").Do(`give it, such as "12.5 mg/L"`)
}
