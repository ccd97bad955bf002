package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// rawSaid reads a line above a plain table and gives the raw water of the series, and what was said.
func rawSaid(t *testing.T, line string) (map[jartest.Key]jartest.Reading, []string) {
	t.Helper()
	r := mustRead(t, "s.csv", "\""+line+"\"\n\nJar;Alum (mg/L);NTU\n1;0;42\n2;10;12\n3;20;5\n4;30;4\n", Options{})
	if len(r.Series) != 1 {
		t.Fatalf("%s: %v", line, r.Notes)
	}
	return r.Series[0].Raw, loud(r)
}

// A line with a number and the unit of a reading is the raw water where its water is no other; it is
// never a name of the test.
func TestRawWaterByTheNameOfItsWater(t *testing.T) {
	for _, water := range each("Pond water | Lake water | Agua del estanque | Agua del río | Água do viveiro | Eau de l'étang | Teichwasser | Flusswasser | Acqua del lago | Vijverwater | Dammvatten | Sjövatten | Damvand | " +
		"Jokivesi | Woda ze stawu | Rybniční voda | Tavi víz | Apa din lac | Gölet suyu | Air kolam | Nước ao | Nước ao lắng | น้ำบ่อ | 池水 | 塘水 | 鱼池水 | Вода из пруда | Вода зі ставка | ماء البركة | 湖水") {
		for form, ph := range map[string]float64{"%: 46 NTU": 0, "%: 46 NTU; pH 7.8": 7.8, "% 46 NTU": 0, "%; 46 NTU, pH7.8": 7.8, "Jar test – % (46 NTU)": 0} {
			line := strings.ReplaceAll(form, "%", water)
			raw, says := rawSaid(t, line)
			if raw[jartest.Turbidity].Value != 46 || raw[jartest.PH].Value != ph {
				t.Errorf("%s: raw %v, says %v", line, raw, says)
			}
		}
	}
	for _, line := range each("Batch 7: 46 NTU; pH 7.9 | Zorkwater: 46 NTU | Kolmas koe: sameus 46 NTU") {
		if raw, says := rawSaid(t, line); len(raw) == 0 && len(says) == 0 {
			t.Errorf("%s: neither taken nor spoken of", line)
		}
	}
}

// Each clause is of its own water: that of the mains is not the raw water, and its reading says nothing
// of the test.
func TestEachClauseItsOwnWater(t *testing.T) {
	for _, line := range each("Raw turb: 46 NTU; tap turb: 0.3 NTU | Raw 46 NTU, tap water 0.3 NTU | Rohwasser 46 NTU, Leitungswasser 0,3 NTU | Agua cruda 46 NTU, agua potable 0,3 NTU | Eau brute 46 NTU, eau du robinet 0,3 NTU | " +
		"Água bruta 46 NTU; água da torneira 0,3 NTU | Acqua grezza 46 NTU; acqua di rubinetto 0,3 NTU | Ruw water 46 NTU, kraanwater 0,3 NTU | Råvatten 46 NTU, kranvatten 0,3 NTU | Woda surowa 46 NTU; woda z kranu 0,3 NTU | " +
		"Исходная вода 46 NTU; водопроводная вода 0,3 NTU | Ham su 46 NTU; musluk suyu 0,3 NTU | 原水 46 NTU; 自来水 0.3 NTU | 原水 46 NTU; 水道水 0.3 NTU | Nước thô 46 NTU; nước máy 0,3 NTU | Air mentah 46 NTU; air paip 0.3 NTU | tap water 0.3 NTU, raw water 46 NTU") {
		raw, says := rawSaid(t, line)
		if raw[jartest.Turbidity].Value != 46 || len(says) > 0 {
			t.Errorf("%s: raw %v, says %v", line, raw, says)
		}
	}
	for _, line := range each("Raw water 46 NTU, from the tap at the weir | Raw water from the tap 46 NTU") {
		if raw, says := rawSaid(t, line); raw[jartest.Turbidity].Value != 46 && len(says) == 0 {
			t.Errorf("%s: raw %v, says %v", line, raw, says)
		}
	}
}

// A doubt stays with the facts of its clause; one in a clause without a fact is of all.
func TestDoubtStaysWithItsClause(t *testing.T) {
	for _, c := range []struct {
		line              string
		turbidity, colour float64
	}{
		{"Raw: turbidity 46 NTU, colour 120 true / 190 apparent", 46, 0},
		{"Raw: turbidity 46 NTU or 52 NTU, colour 120", 0, 120},
		{"Raw: turbidity 46 NTU, colour 120 x 2", 46, 0},
		{"Raw: colour 120 x 2; turbidity 46 NTU", 46, 0},
		{"Raw: turbidity 46 NTU, colour 120, all x 2", 0, 0},
	} {
		raw, says := rawSaid(t, c.line)
		if raw[jartest.Turbidity].Value != c.turbidity || raw["colour"].Value != c.colour || len(says) == 0 {
			t.Errorf("%s: raw %v, says %v", c.line, raw, says)
		}
	}
}

// Facts that a run of blanks parts are facts of their own; a name and its value are not parted.
func TestFactsPartedByBlanks(t *testing.T) {
	for _, gap := range []string{"; ", "   ", "\u00a0\u00a0\u00a0", "     "} {
		sheet := strings.ReplaceAll("Alum solution: 1 % (10 g/L)@Beaker: 1000 ml@Raw turbidity: 180 NTU", "@", gap) + "\n\nJar;Alum (mL);NTU\n1;0;150\n2;1;12\n3;2;5\n"
		r := mustRead(t, "s.csv", sheet, Options{})
		if len(r.Series) != 1 || float64(r.Series[0].Jars[1].Doses[0].Concentration) != 10 || r.Series[0].Raw[jartest.Turbidity].Value != 180 || len(loud(r)) > 0 {
			t.Errorf("%q: %+v, says %v", gap, r.Series, loud(r))
		}
	}
	if raw, says := rawSaid(t, "Raw turbidity     46 NTU"); raw[jartest.Turbidity].Value != 46 || len(says) > 0 {
		t.Errorf("a name and its value: raw %v, says %v", raw, says)
	}
}

// A density may say that it is of the product, and a strength may be stated twice; what they stand
// with is taken as without.
func TestFactsWithTheirOwnRiders(t *testing.T) {
	for _, line := range each("SG of product 1.33. 1-litre jars. Dosed neat. | Product SG 1.33; jars 1 L; dosed neat | Density of the product 1.33 kg/L, jars 1 L, dosed neat | Dichte des Produkts 1,33; Becher 1 L; unverdünnt dosiert | " +
		"SG of the liquid alum 1.33. Jars 1 L. Dosed neat. | Densidad del producto: 1,33 kg/L; jarras de 1 L") {
		r := mustRead(t, "s.csv", "\""+line+"\"\n\nJar;Alum (uL);NTU\n1;0;42\n2;10;12\n3;20;5\n", Options{})
		if len(r.Series) != 1 || !equal([]float64{float64(r.Series[0].Jars[1].Doses[0].Concentration)}, []float64{13.3}) { // 0.01 mL x 1330 mg/mL / 1 L
			t.Errorf("%s: %+v %v", line, r.Series, r.Notes)
		}
	}
	for line, dose := range map[string]float64{ // 10 drops x 0.05 mL x 20 mg/mL / 0.5 L
		"Ferric chloride 2 % solution (20 g/L), 1 drop = 0.05 mL, jars 500 mL": 20, "Ferric chloride stock 2 % (20 mg/mL); 20 drops = 1 mL; jars 500 mL": 20, "Ferric chloride stock 2 % = 20 g/L, 1 drop = 0.05 mL and jars 500 mL": 20,
		"Ferric chloride 2 % solution (25 g/L), 1 drop = 0.05 mL, jars 500 mL": 0,
	} {
		r := mustRead(t, "s.csv", "\""+line+"\"\n\nJar;drops;NTU\n1;0;42\n2;10;12\n3;20;5\n", Options{})
		got, name := 0.0, "ferric chloride"
		if len(r.Series) == 1 {
			got, name = float64(r.Series[0].Jars[1].Doses[0].Concentration), r.Series[0].Chemicals[0].Name
		}
		if got != dose || name != "ferric chloride" || dose > 0 && slices.Contains(loud(r), "fact-words") {
			t.Errorf("%s: %g of %s, says %v", line, got, name, loud(r))
		}
	}
}

// What water single jars had is no title and no group of columns: it speaks.
func TestJarsOfAnotherWaterSpeak(t *testing.T) {
	for _, line := range each("Jars 1-3: pond water. Jar 4: tap water | Jars 1-2: pond water; jars 3-4: well water | Becher 1-2: Rohwasser, Becher 3-4: Leitungswasser | Jarras 1 y 2: agua cruda; jarras 3 y 4: agua potable | Jar 4: tap water") {
		for _, parted := range []string{line, strings.ReplaceAll(line, "; ", "\";\"")} {
			if _, says := rawSaid(t, parted); len(says) == 0 {
				t.Errorf("%s: nothing is said", parted)
			}
		}
	}
	if _, says := rawSaid(t, "Jars 1-4: pond water"); len(says) > 0 {
		t.Errorf("all jars: says %v", says)
	}
}

// The T of a temperature is no tonne among units.
func TestTemperatureByItsLetter(t *testing.T) {
	for _, line := range each("Raw: 46 NTU, pH 6.8, T 12 °C | Raw: 46 NTU, colour 90 Hazen, pH 6.8, T = 12 °C | Raw water 46 NTU; pH 6.8; T: 12 °C") {
		if raw, says := rawSaid(t, line); raw[jartest.Turbidity].Value != 46 || raw[jartest.TemperatureKey].Value != 12 || len(says) > 0 {
			t.Errorf("%s: raw %v, says %v", line, raw, says)
		}
	}
}
