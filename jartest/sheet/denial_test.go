package sheet

import "testing"

// A word that denies is found in every script, at the edges of the words of that script.
func TestDeniedInEveryScript(t *testing.T) {
	for _, said := range each("не сульфат алюминия | сульфат алюминия не применялся | χωρίς θειικό αργίλιο | δεν είναι θειικό αργίλιο | بدون كبريتات الألومنيوم | ليس شب | לא אלום | ללא אלום | " +
		"不是硫酸铝 | 未加硫酸铝 | 硫酸アルミニウムなし | 황산알루미늄 무첨가 | ไม่ใช่สารส้ม | not alum | kein Alaun | sem sulfato de alumínio | замість сульфату алюмінію") {
		plainSheet{coagulant: said}.speaks(t, said)
	}
	for _, said := range each("сульфат алюминия | Сульфат алюминия (небольшой мешок) | θειικό αργίλιο | كبريتات الألومنيوم | שבץ אלום | 硫酸铝 | 硫酸アルミニウム | 황산알루미늄 | สารส้ม | alum") {
		if denies(said) {
			t.Errorf("%s: read as denied", said)
		}
	}
}

// A clause is left out where it denies what doses count, and only there.
func TestDeniedClausesOfABasis(t *testing.T) {
	for text, want := range map[string]string{
		"as Al (not as product)": "as Al", "as Al (не как продукт)": "as Al", "als Al (nicht als Produkt), 3 g": "als Al, 3 g", "como Al, não como produto": "como Al",
		"tính theo Al, không theo sản phẩm": "tính theo Al", "as product (no lime), dry": "as product (no lime), dry", "not yet known": "not yet known", "as Al": "as Al",
		"as Al (not as product, not as Al2O3), 40 % (no water)": "as Al, 40 % (no water)",
	} {
		if got := withoutDenied(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
