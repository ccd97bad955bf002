package sheet

import "testing"

// A word or a sign of doubt beside the number of a fact speaks in whatever tongue, before
// the number and behind it.
func TestHedgedFactsSpeak(t *testing.T) {
	for _, hedge := range each("about | approx. | ca. | circa | roughly | around | maybe | perhaps | probably | possibly | presumably | ~ | ≈ | I think | est. | likely | " + // en
		"etwa | ungefähr | rund | vielleicht | vermutlich | wohl | wahrscheinlich | unos | aproximadamente | quizá | tal vez | probablemente | cerca de | talvez | provavelmente | " + // de es pt
		"environ | peut-être | probablement | circa | forse | probabilmente | ongeveer | misschien | waarschijnlijk | ungefär | kanske | troligen | omtrent | kanskje | omkring | måske | " + // fr it nl sv no da
		"noin | ehkä | luultavasti | około | może | chyba | prawdopodobnie | asi | možná | pravděpodobně | približne | možno | pravdepodobne | körülbelül | talán | valószínűleg | " + // fi pl cs sk hu
		"aproximativ | poate | probabil | около | може би | вероятно | oko | možda | verovatno | περίπου | ίσως | μάλλον | yaklaşık | belki | muhtemelen | примерно | может быть | наверное | " + // ro bg sr el tr ru
		"приблизно | можливо | мабуть | حوالي | ربما | تقریبا | شاید | בערך | אולי | लगभग | शायद | kira-kira | mungkin | barangkali | khoảng | có lẽ | ประมาณ | อาจจะ | 大约 | 可能 | 大概 | およそ | たぶん | 약 | 아마") { // uk ar fa he hi ms vi th zh ja ko
		plainSheet{syringe: true, facts: [][2]string{{"Stock", hedge + " 10 g/L"}}}.speaks(t, "Stock | "+hedge+" 10 g/L")
		plainSheet{syringe: true, facts: [][2]string{{"Jar volume", hedge + " 1 L"}}}.speaks(t, "Jar volume | "+hedge+" 1 L")
		plainSheet{raw: hedge + " 48 NTU"}.speaks(t, "Raw | "+hedge+" 48 NTU")
		plainSheet{syringe: true, facts: [][2]string{{"Stock", "10 g/L (" + hedge + ")"}}}.speaks(t, "Stock | 10 g/L ("+hedge+")")
	}
	for _, stock := range each("10 g/L | 10 g/L, made 3 May | May 3: 10 g/L | 10 g/L, made 12 Mar | 10 g/L (fresh)") {
		plainSheet{syringe: true, facts: [][2]string{{"Stock", stock}}}.quiet(t, "Stock | "+stock)
	}
	// what begins like a month is none
	for _, stock := range each("maybe 10 g/L | marginal 10 g/L | decanted 10 g/L | junk 10 g/L") {
		plainSheet{syringe: true, facts: [][2]string{{"Stock", stock}}}.speaks(t, "Stock | "+stock)
	}
}
