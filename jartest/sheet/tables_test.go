package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// Factors and shares under their names, in cells of their own, in one cell and below the
// table: a factor of 1 changes nothing, and what is counted or measured is no factor.
func TestFactorsAndShares(t *testing.T) {
	pairs := func(list string) [][2]string {
		var out [][2]string
		for _, p := range each(list) {
			name, value, _ := strings.Cut(p, " = ")
			out = append(out, [2]string{name, value})
		}
		return out
	}
	for _, p := range pairs("Correction factor = 1.2 | Factor = 2 | Dilution factor = 5 | Multiplier = 10 | Purity = 90 % | Active content = 17 % | Recovery = 80% | Efficiency = 90 % | Dosing = 50 % | Removed = 4 | " +
		"Faktor = 2 | Korrekturfaktor = 1,2 | Factor de corrección = 1.2 | Factor de dilución = 5 | Verdünnungsfaktor = 5 | Facteur de correction = 1,2 | 校正系数 = 1.2 | 稀释倍数 = 5 | Scale = 10 | Correction = -0.5 NTU | " +
		"Reading factor = 10 | Overdose = 10 % | Delivered = 80 % | Pump output = 80 % | Calibration factor = 1.05 | Conversion = 2.5") {
		plainSheet{facts: [][2]string{p}}.speaks(t, p[0]+" | "+p[1])
		plainSheet{top: p[0] + ": " + p[1]}.speaks(t, "above: "+p[0]+": "+p[1])
		plainSheet{below: p[0] + ": " + p[1]}.speaks(t, "below: "+p[0]+": "+p[1])
	}
	for _, p := range pairs("Correction factor = 1 | Temperature = 11 C | Humidity = 80 % | Sheet = 2 | Test no. = 4 | Number of jars = 6 | Battery = 90 % | Pond level = 80 % | Mixing speed = 200 rpm | Tank full = 80 % | Page = 2 | " +
		"Oxygen saturation = 95 % | Feed rate = 2 %") {
		plainSheet{facts: [][2]string{p}}.quiet(t, p[0]+" | "+p[1])
		plainSheet{top: p[0] + ": " + p[1]}.quiet(t, "above: "+p[0]+": "+p[1])
	}
	for _, said := range each("Only 80 % was delivered. | Messwerte mal 10 | Doses are nominal; the pump check showed 80 % delivered. | The feed pump delivers 10 % less than shown. | Values x 10. | Multiply NTU by 4. | Divide everything by 10. | " +
		"The true dose is 80 % of what is written. | resultados multiplicados por 10 | doses à diviser par deux | la dosis real fue 20% menor | Lecturas por 10 | Valeurs fois 10 | Alle Dosen nur zur Hälfte | only half delivered | Delivery 80 %") {
		plainSheet{top: said}.speaks(t, "above: "+said)
		plainSheet{below: said}.speaks(t, "below: "+said)
	}
}

// Prose beside a table that makes its numbers others than they seem, and prose that does not.
func TestProseOnTheNumbers(t *testing.T) {
	for _, said := range each("The 31 should be 13. | 31 is a typo. | Order reversed. | First two with river water, rest with tap. | Last two: no slow mix. | Raw water changed during the test. | Raw 48 NTU is yesterday's. | Copied from the other pond. | " +
		"Data from last year. | Doses are nominal. | To be repeated. | الدورق 3 انسكب | Swap rows 2 and 3. | Rows in wrong order. | The third one was stirred only half as long. | 40 was actually 45. | Used ferric instead today. | " +
		"Turbidity taken from the bottom of the beaker. | From the fourth on we used PACl. | Values from memory. | Second half next day. | Raw estimated. | 6.2 may be 62. | Last row guessed. | Numbers reversed | Reihenfolge umgekehrt. | " +
		"Orden invertido. | Letzte zwei mit Leitungswasser. | Los dos últimos con agua del grifo | Des données de l'an dernier | Rohwasser wechselte während des Versuchs. | Repeat needed. | Zu wiederholen | 第3杯洒了 | 3番はこぼした | " +
		"Стакан 3 пролит | بيانات العام الماضي | Not reliable. | Meter drifted. | Bulb replaced midway.") {
		plainSheet{top: said}.speaks(t, "above: "+said)
		plainSheet{below: said}.speaks(t, "below: "+said)
	}
	for _, said := range each("Tested by Maria, lunch at 12:30. | Sunny, light wind. | Fish look fine. | Rain overnight. | Sheet 2 of 3 | Beck running brown. | Thanks to the night shift. | See report for details. | Next test on Monday. | Sampled at the weir. | " +
		"All jars stirred alike. | Wetter: sonnig | Tiempo: soleado | Copy to the office. | Test went well. | Used the new stirrer. | Beaker order left to right. | Same procedure as last week.") {
		plainSheet{top: said}.quiet(t, "above: "+said)
		plainSheet{below: said}.quiet(t, "below: "+said)
	}
}

// What the doses count, in words: as product delivered, as a metal, as a dry salt.
func TestBasisInWords(t *testing.T) {
	for said, want := range map[string]quantity.Basis{
		"Doses are for commercial product.": quantity.AsProduct, "Doses refer to the liquid as delivered.": quantity.AsProduct, "Dosis bezogen auf Lieferform": quantity.AsProduct, "doseringen er i handelsvare": quantity.AsProduct,
		"Doses are mg/L of neat liquid.": quantity.AsProduct, "Doses as commercial product": quantity.AsProduct, "All doses as product": quantity.AsProduct, "las dosis son de producto comercial": quantity.AsProduct,
		"dose em produto comercial": quantity.AsProduct, "les doses sont en produit commercial": quantity.AsProduct, "доза по товарному продукту": quantity.AsProduct, "投加量以商品计": quantity.AsProduct, "Dosen als Handelsware": quantity.AsProduct,
		"mg/L means mg of Al per litre here.": basisNamed(t, "Al"), "Doses expressed as Al2O3.": basisNamed(t, "Al2O3"),
	} {
		for place, p := range map[string]plainSheet{"above": {top: said}, "below": {below: said}} {
			r := mustRead(t, "s.csv", p.sheet(), Options{})
			if len(r.Series) != 1 || r.Series[0].Chemicals[0].Basis != want {
				t.Errorf("%s: %s: %v, want %v", place, said, r.Series, want)
			}
		}
	}
	for value, want := range map[string]quantity.Basis{"neat liquid": quantity.AsProduct, "as product": quantity.AsProduct, "commercial product": quantity.AsProduct, "liquid": quantity.AsProduct, "Handelsware": quantity.AsProduct, "Al": basisNamed(t, "Al")} {
		r := mustRead(t, "s.csv", plainSheet{facts: [][2]string{{"Dose basis", value}}}.sheet(), Options{})
		if len(r.Series) != 1 || r.Series[0].Chemicals[0].Basis != want || len(loud(r)) > 0 {
			t.Errorf("Dose basis | %s: says %v, want %v", value, r.Notes, want)
		}
	}
	for _, value := range each("dry | dry product | wet | zorp") { // of nothing that is known: asked about
		plainSheet{facts: [][2]string{{"Dose basis", value}}}.speaks(t, "Dose basis | "+value)
	}
}

// Known words in facts that they do not belong to, columns of answers and factors, "control" on
// a dosed jar.
func TestKnownWordsOutOfPlace(t *testing.T) {
	for _, stock := range each("10 g/L diluted | diluted 10 g/L | 1 %, v/v | 1% Fe | maybe 10 g/L | 1 % v/v | 10 g/L as Fe") {
		plainSheet{syringe: true, facts: [][2]string{{"Stock", stock}}}.speaks(t, "Stock | "+stock)
	}
	for _, stock := range each("10 g/L | 10 g alum diluted to 1 L | 10 g/L, freshly made | 1 % | 1 % w/v | 10 g alum dissolved in distilled water and diluted to 1 L | 10 g/L alum | 10 g/L, made 3 May | 1 % alum | 10 g/L aluminium sulphate") {
		plainSheet{syringe: true, facts: [][2]string{{"Stock", stock}}}.quiet(t, "Stock | "+stock)
	}
	for _, jar := range each("1 L filled to 0.8 | 1 L diluted | 1 L, 0.8 used | 1 L half full | 1 L minus 50 mL | 1 L approx | 1 L filtered") {
		plainSheet{syringe: true, facts: [][2]string{{"Jar volume", jar}}}.speaks(t, "Jar volume | "+jar)
	}
	for _, jar := range each("1 L | 1 L each | 1 L square jars | 1 L (six) | 1000 mL | 1 L beakers | 1 L, gator jars | 1 L of raw water") {
		plainSheet{syringe: true, facts: [][2]string{{"Jar volume", jar}}}.quiet(t, "Jar volume | "+jar)
	}
	for _, raw := range each("48 after settling | ferric 48 NTU | blank 48 NTU | 48 (last week) | 48 NTU filtered | 48 NTU settled | 48 NTU after alum | old 48 NTU | 48 NTU after 1 h settling | 48 limed") {
		plainSheet{raw: raw}.speaks(t, "Raw | "+raw)
	}
	for _, column := range [][]string{
		each("x | 1 | 1 | 1 | 1 | 1 | 10"), each("times | 1 | 1 | 1 | 1 | 1 | 10"), each("Factor | 1 | 1 | 1 | 1 | 1 | 2"), each("OK | y | y | y | n | y | y"), each("Valid | yes | yes | no | yes | yes | yes"),
		each("Comment | good | good | good | good | good | control"),
	} {
		plainSheet{column: column}.speaks(t, "column "+column[0])
	}
	for _, column := range [][]string{each("OK | y | y | y | y | y | y"), each("Floc | ok | ok | good | good | ok | ok")} {
		plainSheet{column: column}.quiet(t, "column "+column[0])
	}
	plainSheet{readings: each("31 | 14 | x10 6.2 | 3.1 | 2.4 | 2.9")}.speaks(t, "reading x10 6.2")
	plainSheet{readings: each("31 | 14 | 10x 6.2 | 3.1 | 2.4 | 2.9")}.speaks(t, "reading 10x 6.2")
	plainSheet{doses: each("10 | 20 | x10 30 | 40 | 50 | 60")}.speaks(t, "dose x10 30")
	plainSheet{syringe: true, dose: "ferric Stock added (mL)"}.speaks(t, "ferric Stock added")
	// degrees of colour are a scale of colour, and no temperature
	r := mustRead(t, "s.csv", plainSheet{column: each("Цветность, град | 90 | 40 | 20 | 15 | 10 | 10")}.sheet(), Options{})
	if len(loud(r)) > 0 || len(r.Series) != 1 || r.Series[0].Jars[0].Readings.Of(jartest.Colour).Value != 90 {
		t.Errorf("degrees of colour: says %v", r.Notes)
	}
}
