package sheet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const jarsOfSix = "1,0,41\n2,10,24\n3,20,12\n4,30,6\n5,40,4\n6,50,5\n"

// TestBasisBelongsToTheDose: what doses count is said by their heading, by the name of the chemical or by a line on the doses. A line
// on the laboratory's figures, on those of another time or on a person says nothing of it.
func TestBasisBelongsToTheDose(t *testing.T) {
	const iron, alum = "Jar,Ferric chloride (mg/L),NTU\n" + jarsOfSix, "Jar,Alum (mg/L),NTU\n" + jarsOfSix
	for text, want := range map[string]quantity.Basis{
		iron + "Iron results as Fe\n":             quantity.NotStated,
		iron + "\nLab method,as Fe\n":             quantity.NotStated,
		iron + "\nResults as Fe\n":                quantity.NotStated,
		alum + "Last month we dosed as Al2O3\n":   quantity.NotStated,
		"Tested by,Al\n" + alum:                   quantity.NotStated,
		iron + "\nDoses as Fe\n":                  quantity.AsFe,
		"Dose basis,as Fe\n" + iron:               quantity.AsFe,
		"Jar,Alum (as Al),NTU\n" + jarsOfSix:      quantity.AsAl,
		"Jar,Alum (as Al) mg/L,NTU\n" + jarsOfSix: quantity.AsAl,
		"Turbidity (NTU)\nDose (mg/L),Alum (as Al),FeCl3 (as Fe)\n0,41,41\n1,24,22\n2,12,11\n3,6,5\n": quantity.AsAl,
	} {
		res := mustRead(t, "t.csv", text, Options{})
		if got := res.Series[0].Chemicals[0].Basis; got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
	// Of two chemicals across, each its own.
	res := mustRead(t, "t.csv", "Turbidity (NTU)\nDose (mg/L),Alum (as Al),FeCl3 (as Fe)\n0,41,41\n1,24,22\n2,12,11\n3,6,5\n", Options{})
	if got := res.Series[1].Chemicals[0].Basis; got != quantity.AsFe {
		t.Errorf("FeCl3 (as Fe): %s", got)
	}
	// What the user says of a column leaves the basis of its heading.
	for _, head := range []string{"Alum (as Al)", "Alum (mg Al/L ppb)"} {
		res := mustRead(t, "t.csv", "Jar,"+head+",NTU\n"+jarsOfSix, Options{Columns: []Override{{Header: head, Meaning: "dose mg/L"}}})
		if got := res.Series[0].Chemicals[0].Basis; got != quantity.AsAl {
			t.Errorf("--column %q: %s", head, got)
		}
	}
	res = mustRead(t, "t.csv", "Jar,Alum (as Al),NTU\n"+jarsOfSix, Options{Columns: []Override{{Header: "Alum (as Al)", Meaning: "dose mg/L as product"}}})
	if got := res.Series[0].Chemicals[0].Basis; got != quantity.AsProduct {
		t.Errorf("the user's own basis: %s", got)
	}
}

// TestNameGoesBeforeTheUnit: hardness, calcium and acidity count as calcium carbonate as alkalinity does, and colour is absorbed per
// metre: the name of a raw reading tells it, and its unit alone only where there is no name.
func TestNameGoesBeforeTheUnit(t *testing.T) {
	const jars = "\nJar,Alum (mg/L),NTU\n" + jarsOfSix
	type raw map[jartest.Key]float64
	for text, want := range map[string]raw{
		"Raw hardness,200 mg/L CaCO3" + jars:                                                          {},
		"Raw hardness 200 mg/L CaCO3" + jars:                                                          {},
		"Raw calcium,120 mg/L CaCO3" + jars:                                                           {},
		"Raw water,120 mg/L CaCO3" + jars:                                                             {jartest.AlkalinityKey: 120},
		"Raw alkalinity,120 mg/L CaCO3\nRaw hardness,200 mg/L CaCO3" + jars:                           {jartest.AlkalinityKey: 120},
		"Rohwasser Härte,200 mg/L CaCO3" + jars:                                                       {},
		"Raw absorbance at 400 nm,0.3 1/cm" + jars:                                                    {},
		"Raw absorbance 550 nm 0.3 1/cm" + jars:                                                       {},
		"Raw absorbance at 254 nm,0.3 1/cm" + jars:                                                    {jartest.UV254: 0.3},
		"Raw turbidity NTU,68\nRaw alkalinity mg/L CaCO3,120\n" + jars:                                {jartest.Turbidity: 68, jartest.AlkalinityKey: 120},
		"Raw turbidity,41 NTU\nParameter,Unit,1,2,3,4\nAlum,mg/L,0,1,2,3\nTurbidity,NTU,41,24,12,6\n": {jartest.Turbidity: 41},
	} {
		res := mustRead(t, "t.csv", text, Options{})
		got := res.Series[0].Raw
		for k, v := range want {
			if got[k].Value != v {
				t.Errorf("%q: %s %v, want %v", text, k, got[k].Value, v)
			}
		}
		if len(got) != len(want) {
			t.Errorf("%q: raw %v", text, got)
		}
		for _, n := range res.Notes.Only(note.Caution) {
			if n.Code == "fact-words" || n.Code == "raw-twice" || n.Code == "unit-assumed" {
				t.Errorf("%q: %v", text, n)
			}
		}
	}
}

// TestUnitColumnUnderAFact: a fact straight above a table of jars across leaves it its column of units: 1 g/L are 1000 mg/L.
func TestUnitColumnUnderAFact(t *testing.T) {
	for _, fact := range []string{"Raw turbidity,41 NTU\n", "Raw turbidity,41,NTU\n", "Raw turbidity,41 NTU\nRaw pH,7.2\n", "\n"} {
		res := mustRead(t, "t.csv", fact+"Parameter,Unit,1,2,3,4,5\nAlum,g/L,0,1,2,3,4\nTurbidity,NTU,41,24,12,6,4\n", Options{})
		if s := res.Series[0]; len(s.Jars) != 5 || s.Jars[1].Doses[0].Concentration != 1000 {
			t.Errorf("%q: %v", fact, s.Jars)
		}
	}
}

// TestAdviceKeepsTheTruth: what a remedy offers, done, leads to no silent other answer.
func TestAdviceKeepsTheTruth(t *testing.T) {
	has := func(res Result, code, words string) bool {
		return slices.ContainsFunc(res.Notes, func(n note.Note) bool {
			return n.Code == code && n.Level >= note.Caution && strings.Contains(n.Message+" "+n.Remedy, words)
		})
	}
	mixture := "Jar,Alum + lime 1:1 (mg/L),NTU\n" + jarsOfSix
	if res := mustRead(t, "t.csv", mixture, Options{Columns: []Override{{Header: "Alum + lime 1:1 (mg/L)", Meaning: "dose mg/L"}}}); !has(res, "mixture", "alum and lime") {
		t.Errorf("a mixture that the user calls a dose: %v", res.Notes)
	}
	if res := mustRead(t, "t.csv", mixture, Options{Columns: []Override{{Header: "Alum + lime 1:1 (mg/L)", Meaning: "dose alum mg/L"}}}); has(res, "mixture", "") {
		t.Errorf("the user named the chemical: %v", res.Notes)
	}
	if res := mustRead(t, "t.csv", "Flow,500 m3/d\nJar,Alum feed (kg/d),NTU\n"+jarsOfSix, Options{}); !has(res, "dose-unit", "divide it by the flow") {
		t.Errorf("a feed: %v", res.Notes)
	}
	const neat = "Ferric chloride 40 %\nJar 1 L\nJar,Ferric (mL),NTU\n1,0,41\n2,.01,24\n3,.02,12\n4,.03,6\n"
	if res := mustRead(t, "t.csv", neat, Options{}); !has(res, "stock-data-missing", "--density") {
		t.Errorf("a product by volume: %v", res.Notes)
	}
	if res := mustRead(t, "t.csv", neat, Options{Stock: 400_000}); !has(res, "share-by-mass", "--density") {
		t.Errorf("its share as the stock: %v", res.Notes)
	}
	if res := mustRead(t, "t.csv", neat, Options{Stock: 10_000}); has(res, "share-by-mass", "") {
		t.Errorf("another stock: %v", res.Notes)
	}
	const diluted = "Alum diluted 1:50\nJar 1 L\nJar,Alum dilution (mL),NTU\n1,0,41\n2,1,24\n3,2,12\n4,3,6\n"
	if res := mustRead(t, "t.csv", diluted, Options{Stock: 10_000}); !has(res, "dilution-and-strength", "1 in 50") {
		t.Errorf("a dilution beside the given stock: %v", res.Notes)
	}
}

// TestWordsBesideAChemicalAcross: what nobody knows beside the name of a chemical speaks where the chemicals stand across, too.
func TestWordsBesideAChemicalAcross(t *testing.T) {
	for head, says := range map[string]bool{"FeCl3,Alum": false, "vorna FeCl3,Alum": true, "FeCl3 (as Fe),Alum (as Al)": false, "FeCl3,Alum zork": true} {
		res := mustRead(t, "t.csv", "Turbidity (NTU)\nDose (mg/L),"+head+"\n0,41,41\n1,24,22\n2,12,11\n3,6,5\n", Options{})
		said := slices.ContainsFunc(res.Notes, func(n note.Note) bool { return n.Code == "heading-words" && n.Level == note.Caution })
		if len(res.Series) != 2 || said != says {
			t.Errorf("%q: %v", head, res.Notes)
		}
	}
}

// TestLiquidProductIsNeat: millilitres of what a heading calls a liquid, of stated density, are the product: 0.02 mL of 1.33 kg/L in
// 1 L are 26.6 mg/L of it.
func TestLiquidProductIsNeat(t *testing.T) {
	res := mustRead(t, "t.csv", "Liquid alum 48 % w/w, SG 1.33\nJar 1 L\nJar,Liquid alum (mL),NTU\n1,0,41\n2,.01,24\n3,.02,12\n4,.03,6\n", Options{})
	if s := res.Series[0]; s.Chemicals[0].Basis != quantity.AsProduct || math.Abs(float64(s.Jars[2].Doses[0].Concentration)-26.6) > 1e-9 {
		t.Errorf("%v %v", s.Chemicals, s.Jars[2].Doses)
	}
}
