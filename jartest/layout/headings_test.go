package layout

import (
	"slices"
	"testing"
)

// TestHeadings holds what headings say.
func TestHeadings(t *testing.T) {
	for text, want := range map[string]string{
		"Jar": "role:jar", "#": "role:jar", "Jar 2": "index=2 role:jar",
		"Alum (mg/L)": "chem=alum extra=chemalum unit=mg/L", "Alum 35 mg/L": "amount chem=alum extra=chemalum unit=mg/L",
		"Turbidity (NTU)": "reading=turbidity unit=NTU", "NTU": "reading=turbidity unit=NTU", "FNU": "reading=turbidity unit=FNU",
		"mg Pt/L": "as=pt reading=colour unit=Pt-Co", "1/cm": "reading=uv254 unit=1/cm", "mV": "reading=zeta unit=mV", "mL/L": "reading=settled_volume unit=mL/L", "mL/100 mL": "reading=settled_volume unit=mL/100 mL", "ppm v/v": "unit=ppm v/v", "mL/m3": "unit=mL/m3",
		"mg/L as CaCO3": "as=caco3 reading=alkalinity unit=mg/L", "Dose mg/L as CaCO3": "as=caco3 extra=roledose role:dose unit=mg/L",
		"Alkalinity CaCO3 mg/L": "as=caco3 extra=caco3 reading=alkalinity unit=mg/L", "P (mg/L)": "extra=p reading=total_phosphorus unit=mg/L",
		"Al after (mg/L)": "extra=metalAl stageafter metal=Al reading=residual_al stage=after unit=mg/L",
		"Temperature C":   "index=c reading=temperature unit=C", "Temperature (B)": "index=b reading=temperature",
		"Turbidity 20 min": "minutes=20 reading=turbidity", "Turbidity after 1 h": "extra=stageafter minutes=60 reading=turbidity stage=after", "NTU @ 30 s": "minutes=0.5 reading=turbidity unit=NTU",
		"Turbidity 0.45 um": "filtered reading=turbidity", "UV 254 nm": "reading=uv254", "Turbidity, max 1000 NTU": "amount reading=turbidity top=1000 unit=NTU",
		"log turbidity": "reading=turbidity scale=log", "Turbidity wiggle": "extra=wiggle reading=turbidity rest=wiggle", "Turbidity of the pond": "place=pond reading=turbidity role:test",
		"Turbidity 45 6": "index=6 number reading=turbidity rest=45", "Aluminium sulfate mg/L": "chem=alum extra=chemalum unit=mg/L",
	} {
		if got := says(takeApart(text)); got != want {
			t.Errorf("%q says %q, want %q", text, got, want)
		}
	}
}

// TestStrong holds which headings name something a jar test has, a dose or a reading (+),
// or what was dosed (!).
func TestStrong(t *testing.T) {
	for text, want := range map[string]string{
		"Alum mg/L": "*+!", "Dose": "*+!", "Stock mL": "*+!", "NTU": "*+", "Turbidity": "*+", "Removal": "*+", "log removal": "*+", "mL": "*+", "mmol/L": "*+", "drops": "*+",
		"Jar": "*", "Date": "*", "Time": "*", "Replicate": "*", "Remarks": "*", "Parameter": "*", "Result": "*", "Unit": "*", "Chemical": "*", "Mean": "*", "Target": "*", "Test": "*",
		"alum 35 mg/L": "!", "wiggle": "", "20 min": "", "Test 3": "*", "min": "*",
		"Turbidity of every one of those seven wiggles waggles woggles wuggles": "+",
	} {
		h, got := ReadHeading(text), ""
		for _, f := range []struct {
			yes  bool
			sign string
		}{{h.Strong(), "*"}, {h.Core(), "+"}, {h.DoseLike(), "!"}} {
			if f.yes {
				got += f.sign
			}
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestOverridden holds what a column is where the user says so.
func TestOverridden(t *testing.T) {
	for _, c := range [][3]string{
		{"Wiggle (mg/L)", "dose", "role:dose unit=mg/L"}, {"Wiggle (mg/L)", "dose g/L", "role:dose unit=g/L"}, {"Alum (mg/L)", "dose mg/L", "chem=alum role:dose unit=mg/L"},
		{"Wiggle", "stock mL", "role:stock unit=mL"}, {"Wiggle", "jar", "role:jar"}, {"Wiggle", "note", "role:note"}, {"Wiggle", "test", "role:test"},
		{"Alum (mg/L)", "ignore", "old"}, {"Alum (mg/L)", "skip", "old"}, {"Alum (mg/L)", "none", "old"},
		{"Wiggle (FNU)", "turbidity", "reading=turbidity said unit=FNU"}, {"Wiggle (FNU)", "turbidity NTU", "reading=turbidity said unit=NTU"},
		{"Wiggle", "initial turbidity", "extra=stagebefore reading=turbidity said stage=before"},
	} {
		h := Overridden(ReadHeading(c[0]), c[1])
		if h.Chems = nil; h.Chem != "" {
			h.Chems = []string{h.Chem}
		}
		if got := says(h); got != c[2] || h.Text != c[0] {
			t.Errorf("%q said to be %q: %q, want %q", c[0], c[1], got, c[2])
		}
	}
}

func TestChemicalsNamed(t *testing.T) {
	for text, want := range map[string][]string{"alum and ferric": {"alum", "ferric"}, "ferric chloride": {"ferric chloride"}, "cationic polymer": {"cationic polymer"}, "wiggle": nil} {
		if got := ReadHeading(text).Chems; !slices.Equal(got, want) {
			t.Errorf("%q names %q, want %q", text, got, want)
		}
	}
}

// TestTakeFrom holds what a heading takes from the group above it.
func TestTakeFrom(t *testing.T) {
	for _, c := range [][3]string{
		{"NTU", "After", "reading=turbidity stage=after unit=NTU"}, {"20 min", "Turbidity (NTU)", "minutes=20 reading=turbidity unit=NTU"},
		{"wiggle", "Turbidity (NTU)", "extra=wiggle reading=turbidity rest=wiggle unit=NTU"}, {"Jar", "Turbidity (NTU)", "role:jar"}, {"Remarks", "Turbidity", "extra=rolenote role:note"},
		{"Chemical", "Turbidity", "extra=rolechemical role:chemical"}, {"Dose", "Turbidity", "extra=roledose role:dose"}, {"mg/L", "Alum", "first=alum unit=mg/L"},
		{"mL", "Alum", "first=alum unit=mL"}, {"Turbidity", "Alum", "first=alum reading=turbidity"}, {"Turbidity", "Alum NTU", "reading=turbidity unit=NTU"},
		{"mg/L", "Dose", "role:dose unit=mg/L"}, {"Turbidity", "Dose", "reading=turbidity"}, {"Turbidity", "20 min", "minutes=20 reading=turbidity"},
		{"Turbidity 5 min", "20 min", "minutes=5 reading=turbidity"}, {"Turbidity", "old", "old reading=turbidity"}, {"Turbidity", "Removal", "reading=turbidity removal"},
		{"After", "Before", "extra=stageafter stage=after"},
	} {
		h := ReadHeading(c[0])
		h.takeFrom(ReadHeading(c[1]))
		if got := says(h); got != c[2] {
			t.Errorf("%q under %q says %q, want %q", c[0], c[1], got, c[2])
		}
	}
}

// TestMetaKeys holds which words stand before a fact.
func TestMetaKeys(t *testing.T) {
	for text, want := range map[string]bool{
		"Date": true, "Target": true, "Volume": true, "Strength": true, "Density": true, "Operator": true, "Test": true, "Next test": true, "Recycle": true,
		"Dose as": true, "Expressed as": true, "Before": true, "Alum": false, "Turbidity": false, "After": false, "wiggle": false,
	} {
		if got := ReadHeading(text).isMetaKey(); got != want {
			t.Errorf("%q names a fact: %v", text, got)
		}
	}
	for unit, want := range map[string]bool{"mg/L": true, "mmol/L": true, "mg": true, "mL": false, "NTU": false, "": false} {
		if got := IsMass(ReadHeading(unit).Unit); got != want {
			t.Errorf("%q is a weight: %v", unit, got)
		}
	}
	for text, want := range map[string]bool{"Turbidity": false, "Alum removal": false, "log removal": false, "Remarks on alum": false, "Alum": true, "Al mg/L": true, "Al": false, "neat": true} {
		if got := ReadHeading(text).DoseLike(); got != want {
			t.Errorf("%q is like a dose: %v", text, got)
		}
	}
}

func TestAxis(t *testing.T) {
	for _, c := range []struct {
		along   []float64
		ordered bool
	}{{[]float64{1, 2, 3}, true}, {[]float64{3, 2, 1}, true}, {[]float64{1, 2, 1}, false}, {[]float64{3, 1, 2}, false}, {[]float64{1, 1}, false}, {[]float64{1, 2, 2}, false}, {[]float64{0}, true}, {[]float64{-1, 0, 5, 9}, true}} {
		var a axis
		for _, v := range c.along {
			a.add(mark{num: v})
		}
		if a.ordered() != c.ordered || a.n != len(c.along) {
			t.Errorf("%v: ordered %v, %d long", c.along, a.ordered(), a.n)
		}
	}
}
