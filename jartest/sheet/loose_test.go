package sheet

import (
	"testing"

	"jarwright/jartest/note"
)

// TestLooseWordsSpeak: a few words beside the table that change what was dosed or read are quoted, above it and below it;
// titles, places and footers are quiet.
func TestLooseWordsSpeak(t *testing.T) {
	for said, speaks := range map[string]bool{
		"diluted ten times": true, "after 1:10 dilution": true, "samples diluted": true, "halved": true, "doubled": true, "before filtering": true, "x2": true, "÷10": true, "1/2 strength": true,
		"verdünnt": true, "halbiert": true, "vor dem Filtrieren": true, "diluido": true, "a la mitad": true, "diluée": true, "à moitié": true, "dimezzato": true, "podwójnie": true, "seyreltildi": true,
		"Jar test 4 March": false, "Village works jar test": false, "Page 1 of 2": false, "Beck in flood": false, "Flockungsversuch Unterau": false, "Prueba de jarras, acueducto veredal": false, "trout hatchery": false, "J. Beck": false,
	} {
		for cell, sheet := range map[string]string{"A1": said + "\n" + plainJars, "A6": plainJars + said + "\n"} {
			if r := mustRead(t, "s.csv", sheet, Options{}); cautioned(r, cell) != speaks {
				t.Errorf("%q at %s: %v", said, cell, r.Notes)
			} else if !speaks && r.Notes.Worst() >= note.Caution {
				t.Errorf("%q: %v", said, r.Notes)
			}
		}
	}
}

// TestDenialOfWhatWasDosed: without polymer is a change where a column doses it, and none where no column does.
func TestDenialOfWhatWasDosed(t *testing.T) {
	const two = "Jar,Alum (mg/L),Polymer (mg/L),NTU\n1,0,0.2,41\n2,10,0.2,24\n3,20,0.2,12\n4,30,0.2,6\n"
	if r := mustRead(t, "s.csv", two+"without polymer\n", Options{}); !cautioned(r, "A6") {
		t.Errorf("polymer was dosed: %v", r.Notes)
	}
	if r := mustRead(t, "s.csv", plainJars+"without polymer\n", Options{}); cautioned(r, "A6") {
		t.Errorf("no polymer was dosed: %v", r.Notes)
	}
}
