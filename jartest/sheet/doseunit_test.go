package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestDoseUnitBeside: what a sheet says of the unit of the doses is applied to a bare heading,
// and held against one that has a unit.
func TestDoseUnitBeside(t *testing.T) {
	for _, c := range []struct {
		above, head string
		dose        float64 // mg/L of the jar with 20
		says        string
	}{
		{"All doses are in mg/L.", "Dose", 20, ""},
		{"Dose units,mg/L", "Dose", 20, ""},
		{"Unidad de dosis,mg/L", "Dosis", 20, ""},
		{"Doses in µg/L.", "Dose", 0.02, ""},
		{"Dose in,mg per 500 mL", "Dose", 40, ""}, // 20 mg in half a litre
		{"Doses are in grains per gallon.", "Dose", 342.361220904, ""},
		{"Dose unit,mL/L", "Dose", 0, "stock-data-missing"},
		{"Dose unit,kg/d", "Dose", 0, "dose-unit"},
		{"Dose units,mg/L", "Dose (mg/L)", 20, ""},
		{"Unit of dose,ppm", "Dose (mg/L)", 20, ""},
		{"Dose units,mL/L", "Dose (mg/L)", 20, "dose-unit-twice"},
		{"Einheit der Dosis,g/L", "Dosis (mg/L)", 20, "dose-unit-twice"},
		{"Units,mg per 2 L", "Dose (mg/L)", 20, "dose-unit-twice"},
		{"Dose unit,mL of 1 % stock", "Dose (mg/L)", 20, "dose-unit-twice"},
		{"mL of 1% alum", "Dose (mg/L)", 20, "dose-unit-twice"},
		{"Turbidity unit,NTU", "Dose (mg/L)", 20, ""},
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", c.above, ""}, column("Jar", 1, 2, 3), column(c.head, 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		got := 0.0
		if len(r.Series) == 1 {
			got = float64(r.Series[0].Jars[1].Doses[0].Concentration)
		}
		if said := cautionsOf(r); !equal([]float64{got}, []float64{c.dose}) || (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s above %s: %g mg/L, says %q; want %g, %q\n%v", c.above, c.head, got, said, c.dose, c.says, r.Notes)
		}
	}
}

// TestDoseUnitOfOneChemical: a unit that names a chemical is that of its doses alone. The doses
// of alum and polymer of jar 2 by hand.
func TestDoseUnitOfOneChemical(t *testing.T) {
	for _, c := range []struct {
		above, alum, polymer string
		want                 [2]float64
		says                 string
	}{
		{"Polymer doses in ug/L", "Alum (mg/L)", "Polymer", [2]float64{20, 0.0002}, ""}, // 0.2 ug/L
		{"Alum doses in g/L", "Alum", "Polymer (mg/L)", [2]float64{20000, 0.2}, "very-high-dose"},
		{"Alum doses in g/L", "Alum (g/L)", "Polymer (mg/L)", [2]float64{20000, 0.2}, "very-high-dose"},
		{"Acid dose in mL", "Alum (mg/L)", "Polymer (mg/L)", [2]float64{20, 0.2}, "dose-unit-unclear"},
		{"Unit of alum dose: mg/L; unit of polymer dose: ug/L", "Alum", "Polymer", [2]float64{20, 0.0002}, ""},
		{"Dose unit,\"mg/L (alum), ug/L (polymer)\"", "Alum (mg/L)", "Polymer (mg/L)", [2]float64{20, 0.2}, "dose-unit-unclear"},
		{"Dose unit,mg/L (ppm)", "Alum", "Polymer", [2]float64{20, 0.2}, ""},
		{"Alum and polymer doses in mg/L", "Alum", "Polymer", [2]float64{20, 0.2}, ""},
		{"All doses in mg/L", "Alum", "Polymer", [2]float64{20, 0.2}, ""},
		{"Flocculant doses in ug/L", "Alum (mg/L)", "Polymer", [2]float64{20, 0.0002}, ""},
		{"Coagulant doses in g/L", "Alum", "Polymer (mg/L)", [2]float64{20000, 0.2}, "very-high-dose"},
		{"Coagulant dose unit,mg/L\nPolymer dose unit,ug/L", "Alum", "Polymer", [2]float64{20, 0.0002}, ""},
		{"Coagulant aid doses in ug/L", "Alum (mg/L)", "Lime (mg/L)", [2]float64{20, 0.2}, "dose-unit-unclear"},
		{"Coagulant-aid doses in ug/L", "Alum", "Polymer", [2]float64{20, 0.0002}, "unit-assumed"}, // alum in mg/L
		{"Coagulant aid doses in ug/L", "Alum", "Polymer", [2]float64{20, 0.0002}, "unit-assumed"},
		{"Coagulation aid doses in ug/L", "Alum", "Polymer", [2]float64{20, 0.0002}, "unit-assumed"},
		{"Polymer doses in ug/L", "Alum", "Polymer", [2]float64{20, 0.0002}, "unit-assumed"}, // alum in mg/L, and not as polymer
		{"Doses in g/L except polymer", "Alum", "Polymer", [2]float64{20, 0.2}, "line-not-understood"},
		{"Dose unit,\"g/L, not ppm\"", "Alum (mg/L)", "Polymer (mg/L)", [2]float64{20, 0.2}, "dose-unit-unclear"},
		{"Dose unit,g/L?", "Alum (mg/L)", "Polymer (mg/L)", [2]float64{20, 0.2}, "dose-unit-unclear"},
		{"Dose unit,probably g/L", "Alum (mg/L)", "Polymer (mg/L)", [2]float64{20, 0.2}, "dose-unit-unclear"},
		{"Dose unit,mg/L (not as product)", "Alum", "Polymer", [2]float64{20, 0.2}, ""},
		{"Polymer doses in ug/L", "Alum (mg/L)", "Polymer A (mg/L)", [2]float64{20, 0.2}, "dose-unit-twice"},
	} {
		sheet := sheetOf([]string{c.above, ""}, column("Jar", 1, 2, 3), column(c.alum, 10, 20, 40), column(c.polymer, 0.1, 0.2, 0.3), column("Turbidity (NTU)", 30, 14, 5))
		r := mustRead(t, "t.csv", sheet, Options{})
		var got [2]float64
		if len(r.Series) == 1 && len(r.Series[0].Jars[1].Doses) == 2 {
			d := r.Series[0].Jars[1].Doses
			got = [2]float64{float64(d[0].Concentration), float64(d[1].Concentration)}
		}
		if said := cautionsOf(r); !equal(got[:], c.want[:]) || (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s above %s | %s: %g mg/L, says %q; want %g, %q\n%v", c.above, c.alum, c.polymer, got, said, c.want, c.says, r.Notes)
		}
	}
}

// TestDoseUnitAgainstCells: a stated unit beside cells with units; the dose of jar 3.
func TestDoseUnitAgainstCells(t *testing.T) {
	for _, c := range []struct {
		above, cells string
		want         float64
		says         string
	}{
		{"Doses in g/L", "10 mg/L|20 mg/L|0.03", 0.03, "dose-unit-twice"},
		{"Doses in g/L", "10 mg/L|20 mg/L|30 mg/L", 30, "dose-unit-twice"},
		{"Doses in g/L", "0.01 g/L|0.02 g/L|0.03", 30, ""},
		{"Doses in mg/L", "10 mg/L|20 mg/L|30", 30, ""},
		{"Doses in mg/L", "0|20 mg/L|30 mg/L", 30, ""},
	} {
		r := mustRead(t, "t.csv", "Coagulant,Alum\n"+c.above+"\n\n"+table("Jar|1|2|3", "Dose|"+c.cells, "Turbidity (NTU)|30|14|5"), Options{})
		got := float64(r.Series[0].Jars[2].Doses[0].Concentration)
		if said := cautionsOf(r); !equal([]float64{got}, []float64{c.want}) || (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s over %s: %g mg/L, says %q; want %g, %q\n%v", c.above, c.cells, got, said, c.want, c.says, r.Notes)
		}
	}
}

// TestDoseUnitWithBasis: what the stated unit counts is the basis of doses whose heading has
// none, and what it cannot be is said at its cell.
func TestDoseUnitWithBasis(t *testing.T) {
	for _, c := range []struct {
		unit, head string
		want       quantity.Basis
		says, cell string
	}{
		{"mg/L as Al", "Alum (mg/L)", quantity.AsAl, "", ""},
		{"mg/L as Al", "Alum", quantity.AsAl, "", ""},
		{"mg/L as Al", "Alum (mg/L as Al2O3)", quantity.AsAl2O3, "dose-unit-twice", "B1"},
		{"mg/L as Fe", "Alum (mg/L)", quantity.NotStated, "basis-of-other", "B1"},
		{"g/L as Al", "Alum (mg/L)", quantity.NotStated, "dose-unit-twice", "B1"},
		{"mg/L", "Alum (mg/L)", quantity.NotStated, "", ""},
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Dose unit," + c.unit, ""}, column("Jar", 1, 2, 3), column(c.head, 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		got := r.Series[0].Chemicals[0].Basis
		at := ""
		for _, n := range r.Notes {
			if n.Code == c.says {
				at = n.Place.Cell
			}
		}
		if said := cautionsOf(r); got != c.want || (c.says == "") != (said == "") || !strings.Contains(said, c.says) || strings.Trim(at, "AB") != strings.Trim(c.cell, "AB") {
			t.Errorf("%s beside %s: %q, says %q at %s; want %q, %q at %s\n%v", c.unit, c.head, got, said, at, c.want, c.says, c.cell, r.Notes)
		}
	}
}

// TestDosesStatedAsVolumes: doses in volumes by a stated unit are volumes of stock; feeds are
// no doses.
func TestDosesStatedAsVolumes(t *testing.T) {
	const stock = "Stock,10 g/L\nJar volume,1 L\n1 drop = 0.05 mL\n"
	for _, c := range []struct {
		unit string
		want float64 // mg/L of the jar with 20
		says string
	}{
		{"mL", 200, ""}, {"mL/L", 200, "stock-or-product"}, {"drops", 20 * 0.05 * 10, ""}, {"kg/d", 0, "dose-unit"}, {"mL/min", 0, "dose-unit"},
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", stock + "Dose unit," + c.unit, ""}, column("Jar", 1, 2, 3), column("Dose", 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		got := 0.0
		if len(r.Series) == 1 {
			got = float64(r.Series[0].Jars[1].Doses[0].Concentration)
		}
		if said := cautionsOf(r); !equal([]float64{got}, []float64{c.want}) || (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s: %g mg/L, says %q; want %g, %q\n%v", c.unit, got, said, c.want, c.says, r.Notes)
		}
	}
}

// TestVolumesOfAStatedStrength: the strength that stands with the unit is that of the stock; 20 mL
// of 5 % (50 g/L) in 1 L are 1000 mg/L.
func TestVolumesOfAStatedStrength(t *testing.T) {
	for _, c := range []struct {
		above string
		want  float64
		says  string
	}{
		{"Dose unit,mL of 5 % alum", 1000, "stock-strength"}, {"Dose unit,mL (5 % alum)", 1000, "stock-strength"}, // "mass by volume is assumed"
		{"Dose unit,mL of 50 g/L alum", 1000, ""}, {"Dose unit,mL of 5 % alum\nStock,50 g/L", 1000, "stock-strength"},
		{"Dose unit,mL of 5 % alum\nStock,10 g/L", 0, "facts-disagree stock-data-missing"},
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", "Jar volume,1 L", c.above, ""}, column("Jar", 1, 2, 3), column("Dose", 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		got := 0.0
		if len(r.Series) == 1 {
			got = float64(r.Series[0].Jars[1].Doses[0].Concentration)
		}
		if !equal([]float64{got}, []float64{c.want}) || cautionsOf(r) != c.says {
			t.Errorf("%s: %g mg/L, says %q; want %g, %q\n%v", c.above, got, cautionsOf(r), c.want, c.says, r.Notes)
		}
	}
}

// A bare column of doses of nobody knows what is a question that names the column and the flag; what gives the unit or
// the chemical answers it, and so does the flag.
func TestBareDoseIsAsked(t *testing.T) {
	const jars = "Jar,Dose,Turbidity (NTU)\n1,10,31\n2,20,14\n3,30,6\n4,40,3\n"
	for sheet, want := range map[string]float64{ // mg/L of the last jar; 0 where it asks
		jars: 0, "Jar test\nRaw turbidity,48 NTU\n" + jars: 0, "Stock,10 g/L\n" + jars: 0,
		"Coagulant,Alum\n" + jars: 40, "Doses in mg/L\n" + jars: 40, "Doses in g/L\n" + jars: 40000, strings.Replace(jars, "Dose", "Dose (mg/L)", 1): 40, strings.Replace(jars, "Dose", "Alum", 1): 40,
		"Jar,Dose,Turbidity (NTU)\n1,10 mg/L,31\n2,20 mg/L,14\n3,30 mg/L,6\n4,40 mg/L,3\n": 40,
	} {
		r := mustRead(t, "s.csv", sheet, Options{})
		asked := false
		for _, n := range r.Notes {
			if n.Code == "dose-unit-missing" {
				asked = n.Level == note.Error && strings.Contains(n.Message, `"Dose"`) && strings.Contains(n.Remedy, `--column "Dose=dose mg/L"`)
			}
		}
		if asked != (want == 0) {
			t.Errorf("%q: asked %v, %v", sheet, asked, r.Notes)
		} else if !asked && float64(r.Series[0].Jars[3].Doses[0].Concentration) != want {
			t.Errorf("%q: %v, want %g mg/L", sheet, r.Series[0].Jars[3].Doses, want)
		}
	}
	for meaning, want := range map[string]float64{"dose mg/L": 40, "dose g/L": 40000} {
		r := mustRead(t, "s.csv", jars, Options{Columns: []Override{{Header: "Dose", Meaning: meaning}}, Chemical: "alum"})
		if r.Notes.Err() != nil || float64(r.Series[0].Jars[3].Doses[0].Concentration) != want {
			t.Errorf("%s: %v", meaning, r.Notes)
		}
	}
}
