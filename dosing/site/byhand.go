package site

import (
	"reflect"
	"strings"

	"jarwright/dosing/pond"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

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
			return false, nil // the dose's own reader has the better words
		} else if no != nil {
			return true, n[0].At(e.at)
		}
		*written, *hand = d.Said, quantity.Known[pond.Dose]{V: d, OK: true, At: e.at}
		f.home(record).FieldByName("At").Set(reflect.ValueOf(e.at))
		return true, nil
	}
	return false, nil
}
