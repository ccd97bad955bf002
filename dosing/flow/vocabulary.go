package flow

import "strings"

// sense is what the words of a heading speak of, as a set.
type sense uint

const (
	timeSense sense = 1 << iota
	dateSense
	startSense
	endSense // of a span of time
	flowSense
	counterSense // a running total and nothing else
	totalSense
	volumeSense
	intervalSense
	valueSense
	unitSense
	statusSense
	tagSense
	boundSense // no reading: a limit, a set point, a spread
	meanSense
	streamSense // water other than that to be treated
	otherSense  // a quantity that is no flow
	plainSense  // tells nothing that matters here
)

// vocabulary lists the words of headings, folded as [words.Fold] does.
var vocabulary = map[sense]string{
	timeSense: "time datetime timestamp when clock elapsed hour hours hr logged zeit uhrzeit zeitstempel hora heure " +
		"tiempo ora tid czas czasu jam waktu время 时间 เวลา saat",
	dateSense:  "date day datum fecha data dato jour dia dag tanggal tarih дата 日期",
	startSense: "start begin from beginn von inicio debut",
	endSense:   "end ende till until fin finish",
	flowSense: "flow q discharge flowrate inflow influent outflow effluent rate durchfluss durchflussmenge zufluss " +
		"debit caudal gasto vazao portata debiet debi flode przeplyw расход 流量",
	totalSense: "total totals sum",
	counterSense: "totaliser totalizer totalised totalized counter index cumulative accumulated cumul cum register " +
		"odometer zahler zaehler zahlerstand zaehlerstand contador compteur totalizador",
	volumeSense:   "volume vol volumen menge pumped delivered объем 水量",
	intervalSense: "interval increment delta hourly daily each per consumption usage difference stundlich taglich",
	valueSense:    "value val wert valor valeur messwert reading measurement pv",
	unitSense:     "unit units einheit unidad unite uom",
	statusSense: "status state mode quality flag valid validity zustand estado etat qc remark remarks note notes " +
		"comment comments bemerkung observaciones nota",
	tagSense: "tag name point channel parameter sensor id device item",
	boundSense: "min max minimum maximum limit setpoint set sp target design soll sollwert consigna consigne alarm " +
		"high low hi lo std sd stdev deviation forecast predicted expected rated capacity previous",
	meanSense: "avg average mean mittel mittelwert promedio media moyenne",
	streamSense: "backwash recycle recycled return reject sludge waste dosing dose chemical coagulant alum polymer air " +
		"gas oxygen reverse bypass overflow bleed recirculation carrier dilution drain",
	otherSense: "level ph temperature temp turbidity pressure power speed conductivity velocity chlorine uv valve " +
		"position battery voltage row record no nr",
	plainSense: "m meter metre raw water plant works site station main line inlet intake supply river beck stream " +
		"well current actual instantaneous inst measured treated water volumetric signal pump tank to be of " +
		"the at in on and a b",
}

var senses = func() map[string]sense {
	all := map[string]sense{}
	for s, list := range vocabulary {
		for _, w := range strings.Fields(list) {
			all[w] |= s
		}
	}
	return all
}()
