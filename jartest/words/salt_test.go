package words

import "testing"

// Names as dictionaries of the languages have them (from memory).
func TestSalt(t *testing.T) {
	for text, want := range map[string]string{
		"Alumínio sulfato": "alum", "síran hlinitý": "alum", "Siarczan glinu": "alum", "Sulfat de aluminiu": "alum", "Alumiinisulfaatti": "alum", "сульфат алюминия": "alum", "硫酸アルミニウム": "alum", "황산알루미늄": "alum",
		"Aluminiumchloride": "aluminium chloride", "Aluminiumpolychlorid": "PACl", "Polyaluminiumklorid": "PACl", "Policloruro de aluminio": "PACl", "ポリ塩化アルミニウム": "PACl", "폴리염화알루미늄": "PACl",
		"Chlorek żelaza": "ferric chloride", "Clorură ferică": "ferric chloride", "Järnklorid": "ferric chloride", "Jernklorid": "ferric chloride", "塩化第二鉄": "ferric chloride", "Siarczan żelaza": "ferric sulfate",
		"Síran železnatý": "ferrous sulfate", "sulfato ferroso": "ferrous sulfate",
		"Al-sulfat (mg/l)": "alum", "Al sulfat": "alum", "Fe-klorid": "ferric chloride", "Fe(III)-sulfat": "ferric sulfate", "Fe(II)-sulfat": "ferrous sulfate",
		"Al (mg/L), sulfate": "", "Total sulfate": "", "Al/sulfat": "",
		"Clarifier chlorine": "", "Iron residual chlorine": "", "Aluminium dose": "", "sulfate": "", "environment sulfate": "", "Chlorophyll of algae": "", "Alum": "",
	} {
		if got := Salt(Fold(text)); got != want {
			t.Errorf("Salt(%q) = %q, want %q", text, got, want)
		}
	}
}
