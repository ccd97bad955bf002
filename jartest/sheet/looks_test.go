package sheet

import (
	"testing"

	"jarwright/jartest/quantity"
)

// What was seen in a jar is quiet in every language, and what was done to it speaks, also
// beside a word of looks.
func TestLooksAreQuietAndMishapsSpeak(t *testing.T) {
	for text, quiet := range map[string]bool{
		"nice, like snow": true, "clear as gin": true, "stirrer a little noisy": true, "wie Schnee": true, "schöne Flocken": true,
		"beaux flocs": true, "mooi": true, "ładne kłaczki": true, "pěkné vločky": true, "bonitos flóculos": true, "bei fiocchi": true,
		"vackra flockar": true, "pene fnokker": true, "smukke fnug": true, "kauniita hiutaleita": true, "красивые хлопья": true,
		"szép pelyhek": true, "güzel floklar": true, "όμορφες κροκίδες": true, "矾花漂亮": true, "見事なフロック": true, "예쁜 플록": true,
		"bông đẹp": true, "flok cantik": true, "ندف جميلة": true, "सुंदर फ्लोक": true, "ตะกอนสวย": true,

		"wibble": false, "frobnicated, zubbled": false, "clear, wibbled": false, "klar, umgefallen": false,
		"nice floc, forgot to stir": false, "good floc, double dose": false, "clear, jars swapped": false, "stirrer noisy, stopped": false,
		"schöne Flocken, Rühren vergessen": false, "klar, etwas verschüttet": false, "gute Flocken, doppelt dosiert": false,
		"beaux flocs, agitation oubliée": false, "beaux flocs, double dose": false, "bonito, se olvidó agitar": false,
		"bonito, esqueceu de agitar": false, "bei fiocchi, doppia dose": false, "mooie vlok, roeren vergeten": false,
		"fina flockar, glömde röra": false, "pene fnokker, dobbel dose": false, "flotte fnug, spildt lidt": false,
		"kauniit hiutaleet, sekoitus unohtui": false, "ładne kłaczki, podwójna dawka": false, "pěkné vločky, zapomněli míchat": false,
		"szép pelyhek, dupla adag": false, "красивые хлопья, забыли мешать": false, "гарні пластівці, подвійна доза": false,
		"güzel floklar, çift doz": false, "ωραίες κροκίδες, διπλή δόση": false, "矾花漂亮, 忘记搅拌": false, "きれいなフロック、撹拌を忘れた": false,
		"예쁜 플록, 교반 잊음": false, "bông đẹp, quên khuấy": false, "flok cantik, dosis ganda": false, "ندف جميلة، جرعة مضاعفة": false,
		"सुंदर फ्लोक, हिलाना भूल गए": false, "ตะกอนสวย ลืมกวน": false,
	} {
		e := &remarkEvidence{say(text), remark{text: text, told: true}, false, func() bool { return false }}
		if v := remarkRuled.Votes(e)[0]; (v.Role == remarkHarmless) != quiet {
			t.Errorf("%s: kind %d, want quiet %v (%s)", text, v.Role, quiet, v.Why)
		}
	}
}

// A basis in words is taken from beside the chemical's name and leaves nothing over; denied,
// or with another, it is none.
func TestBasisBesideTheName(t *testing.T) {
	const table = "\nJar,Dose (mg/L),Turbidity (NTU)\n1,0,30.1\n2,10,14.7\n3,20,5.74\n4,30,2.34\n"
	for _, c := range []struct {
		line  string
		basis quantity.Basis
		code  string
	}{
		{"Flockungsmittel: Aluminiumsulfat; Dosis als Produkt", quantity.AsProduct, ""},
		{"Coagulant : sulfate d'aluminium; doses en produit commercial", quantity.AsProduct, ""},
		{"Coagulante: sulfato de aluminio; dosis como producto", quantity.AsProduct, ""},
		{"Kemikaali: alumiinisulfaatti; annos tuotteena", quantity.AsProduct, ""},
		{"Коагулянт: сульфат алюминия (по товарному продукту)", quantity.AsProduct, ""},
		{"混凝剂: 硫酸铝 (按产品计)", quantity.AsProduct, ""},
		{"凝集剤: 硫酸アルミニウム (製品として)", quantity.AsProduct, ""},
		{"응집제: 황산알루미늄 (제품 기준)", quantity.AsProduct, ""},
		{"Chất keo tụ: PAC, liều tính theo sản phẩm", quantity.AsProduct, ""},
		{"Koagulan: tawas (sebagai produk)", quantity.AsProduct, ""},
		{"Koagulant: siarczan glinu (w przeliczeniu na Al)", quantity.AsAl, ""},
		{"Flockungsmittel: Aluminiumsulfat (nicht als Produkt)", quantity.NotStated, ""},
		{"Koagulant: siarczan glinu (jako produkt albo jako Al)", quantity.AsProduct, "chemical-unclear"},
	} {
		res := readText(t, "\""+c.line+"\"\n"+table)
		if len(res.Series) != 1 || res.Series[0].Chemicals[0].Basis != c.basis || codes(res) != c.code {
			t.Errorf("%s: %d series, %v, cautions %q, want %s and %q", c.line, len(res.Series), res.Series, codes(res), c.basis, c.code)
		}
	}
}

// Facts under a title with the date beside it are no table.
func TestFactsUnderADatedTitle(t *testing.T) {
	const table = "\nJar,Dose (mg/L),Turbidity (NTU)\n1,0,30.1\n2,10,14.7\n3,20,5.74\n4,30,2.34\n"
	for _, head := range []string{
		"Works,,2026-05-21\nCoagulant: alum as product\nWater temp,14\n",
		"Date,2026-05-21\nChemical,\"alum, doses as product\"\nJar volume,1 L\nRaw water,turbidity 40 NTU\nTarget,2 NTU\n",
	} {
		res := readText(t, head+table)
		if len(res.Series) != 1 || res.Series[0].Chemicals[0].Name != "alum" || codes(res) != "" {
			t.Errorf("%s: %v, cautions %q", head, res.Series, codes(res))
		}
	}
}

// Readings of one vial are readings; of other or unclean ones they are told.
func TestSameVial(t *testing.T) {
	const table = "Jar,Alum (mg/L as product),Turbidity (NTU)\n1,0,30.1\n2,10,14.7\n3,20,5.74\n4,30,2.34\n\n"
	for line, code := range map[string]string{
		"Both readings from the same vial, turned once": "", "Beide Ablesungen aus derselben Küvette": "", "Wetter: bedeckt, 8 °C": "",
		"Readings from a scratched vial": "line-not-understood", "Both readings from different vials": "line-not-understood",
		"Wetter: bedeckt, Dosen doppelt": "line-not-understood",
	} {
		if res := readText(t, table+"\""+line+"\"\n"); codes(res) != code {
			t.Errorf("%s: cautions %q, want %q", line, codes(res), code)
		}
	}
}
