package sheet

import "testing"

// TestDryAlumIsTheDryProduct: a sheet that says dry alum names the dry product, in its heading or
// beside it; what a dose counts is no name of the product.
func TestDryAlumIsTheDryProduct(t *testing.T) {
	const jars = ",Turbidity NTU\n1,0,118\n2,10,70\n3,20,30\n4,30,9\n5,40,3.5\n"
	for text, want := range map[string]string{
		"Chemical: dry alum (filter alum)\nStock 10 g/L, jars 1 L\n\nJar,Alum mg/L" + jars: "dry alum",
		"Chemical: filter alum\n\nJar,Dose mg/L" + jars:                                    "dry alum",
		"Jar,Dry alum mg/L" + jars:                                                         "dry alum",
		"Jar,Alum mg/L" + jars:                                                             "alum",
		"Chemical: liquid alum\n\nJar,Alum mg/L" + jars:                                    "alum",
		"Jar,Alum (mg/L as dry alum)" + jars:                                               "alum",
		"Jar,Alum (mg/L dry alum)" + jars:                                                  "alum",
		"Jar,Alum (ppm dry alum)" + jars:                                                   "alum",
		"Jar,Alum (grains/gal dry alum)" + jars:                                            "alum",
		"Jar,Alum (g/m3 filter alum)" + jars:                                               "alum",
		"All doses in mg/L as dry alum\n\nJar,Alum mg/L" + jars:                            "alum",
		"Chemical: PACl\n\nJar,PACl mg/L" + jars:                                           "PACl",
	} {
		if got := mustRead(t, "t.csv", text, Options{}).Series[0].Chemicals[0].Name; got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}
