package site

import (
	"reflect"
	"strings"

	"jarwright/dosing/pond"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// alsoByHand is the fault of a dose that neither reader knows, in the words of the dose's own, which are the better ones; of an amount that is no
// concentration, with the forms of water that stands too. Another fault is left to that reader.
func alsoByHand(text string, at note.Place) (told bool, err error) {
	_, no := quantity.ParseDose(text)
	_, aDay := quantity.Parse[quantity.MassRate](text)
	n := note.Of(no, "bad-dose")[0]
	if n.Code != "unit-unknown" || aDay == nil {
		return false, nil
	}
	return true, n.At(at).Do("%s; for water that stands also %s", n.Remedy, pond.DoseForms)
}

// toldByHand takes a dose that is told for a pond, an area or a bucket, which only the water of a pond makes
// a concentration of, and keeps any other as it was written. told is true where nothing is left to read.
func (f Field) toldByHand(record any, e entry) (told bool, err error) {
	var hand *quantity.Known[pond.Dose]
	var written *string
	switch r := record.(type) {
	case *Chemical:
		hand, written = &r.Hand, &r.Written
	case *Pond:
		hand, written = &r.Hand, &r.Written
	}
	if text := strings.TrimSpace(e.text); f.member == "Dose" && hand != nil && text != "" && e.bad == nil {
		full, _ := f.withUnit(text, e.unit)
		if _, no := quantity.ParseDose(full); no == nil {
			*written = full
			return false, nil
		}
		d, no := pond.ParseDose(full)
		if n := note.Of(no, "bad-dose"); no != nil && n[0].Code == "bad-dose" {
			return alsoByHand(full, e.at)
		} else if no != nil {
			return true, n[0].At(e.at)
		}
		*written, *hand = d.Said, quantity.Known[pond.Dose]{V: d, OK: true, At: e.at}
		f.home(record).FieldByName("At").Set(reflect.ValueOf(e.at))
		return true, nil
	}
	return false, nil
}
