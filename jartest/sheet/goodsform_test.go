package sheet

import (
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// TestFormOfTheGoods: a sheet that says that its chemical is dry or liquid, in its heading or beside the table, names that
// product; what a dose counts is no form of the goods.
func TestFormOfTheGoods(t *testing.T) {
	const jars = ",Turbidity NTU\n1,0,118\n2,10,70\n3,20,30\n4,30,9\n5,40,3.5\n"
	for text, want := range map[string]struct {
		name string
		form words.Form
	}{
		"Chemical: dry alum (filter alum)\nStock 10 g/L, jars 1 L\n\nJar,Alum mg/L" + jars: {"dry alum", words.Dry},
		"Chemical: filter alum\n\nJar,Dose mg/L" + jars:                                    {"dry alum", words.Dry},
		"Jar,Dry alum mg/L" + jars:                                                         {"dry alum", words.Dry},
		"Jar,Alum mg/L" + jars:                                                             {"alum", ""},
		"Chemical: liquid alum\n\nJar,Alum mg/L" + jars:                                    {"liquid alum", words.Liquid},
		"Jar,Alum (mg/L as dry alum)" + jars:                                               {"alum", ""},
		"Jar,Alum (mg/L dry alum)" + jars:                                                  {"alum", ""},
		"Jar,Alum (ppm dry alum)" + jars:                                                   {"alum", ""},
		"Jar,Alum (grains/gal dry alum)" + jars:                                            {"alum", ""},
		"Jar,Alum (g/m3 filter alum)" + jars:                                               {"alum", ""},
		"All doses in mg/L as dry alum\n\nJar,Alum mg/L" + jars:                            {"alum", ""},
		"Chemical: PACl\n\nJar,PACl mg/L" + jars:                                           {"PACl", ""},
		"Jar,PAC powder (mg/L)" + jars:                                                     {"PACl powder", words.Dry},
		"Jar,PAC (powder) mg/L" + jars:                                                     {"PACl powder", words.Dry},
		"Chemical: PAC (powder; 30 % Al2O3)\n\nJar,PAC (mg/L as product)" + jars:           {"PACl powder", words.Dry},
		"Chemical: PAC (powder, 30 % Al2O3)\n\nJar,PAC (mg/L as product)" + jars:           {"PACl powder", words.Dry},
		"Chemical: PAC (30 % Al2O3, powder)\n\nJar,Dose (mg/L as product)" + jars:          {"PACl powder", words.Dry},
		"Jar,Ferric chloride crystals (mg/L)" + jars:                                       {"ferric chloride crystals", words.Dry},
		"Jar,Polymer powder mg/L" + jars:                                                   {"polymer powder", words.Dry},
		"Chemical: cationic polymer powder\n\nJar,Polymer mg/L" + jars:                     {"polymer powder", words.Dry},
		"Jar,Cationic polymer (dry) mg/L" + jars:                                           {"dry cationic polymer", words.Dry},
		"Jar,Cationic polymer emulsion mg/L" + jars:                                        {"cationic polymer emulsion", words.Emulsion},
		"Jar,Polvo de sulfato de aluminio mg/L" + jars:                                     {"dry alum", words.Dry},
		"Jar,Eisenchlorid-Kristalle mg/L" + jars:                                           {"dry ferric chloride", words.Dry},
		"Jar,Dose mg/L" + jars + "\nFlockungsmittel: Eisenchlorid Kristalle\n":             {"dry ferric chloride", words.Dry},
		"Jar,Alaun (Pulver) mg/L" + jars:                                                   {"dry alum", words.Dry},
		"烧杯,聚合氯化铝粉末 mg/L,浊度 NTU\n1,0,118\n2,10,70\n3,20,30\n4,30,9\n5,40,3.5\n":            {"dry PACl", words.Dry},
		"Zlewka,PAC w proszku mg/L,Mętność NTU\n1,0,118\n2,10,70\n3,20,30\n4,30,9\n":       {"dry PACl", words.Dry},
		"Стакан,Порошок коагулянта ПАХ мг/л,Мутность NTU\n1,0,118\n2,10,70\n3,20,30\n": {"coagulant", ""},
		"Jar,Powdered activated carbon mg/L" + jars:         {"powdered activated carbon", ""},
		"Chemical: not dry alum\n\nJar,Alum mg/L" + jars:    {"alum", ""},
		"Chemical: dry alum\n\nJar,Liquid alum mg/L" + jars: {"alum", ""}, // one denies the other
	} {
		res := mustRead(t, "t.csv", text, Options{})
		if got := res.Series[0].Chemicals[0]; got.Name != want.name || got.Form != want.form {
			t.Errorf("%q: %s, %q, want %s, %q", text, got.Name, got.Form, want.name, want.form)
		}
		for _, n := range res.Notes.Only(note.Caution) {
			if want.form != "" && n.Code == "heading-words" {
				t.Errorf("%q: %v", text, n)
			}
		}
	}
}
