package caution

import (
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// About 30 % of an emulsion is oil (industry fact sheet WSEC-2019-FS-007): 0.35 mg/L of polymer of 35 % is 1 mg/L as sold, 0.3 of it oil. A powder brings none.
func TestOilOfAnEmulsion(t *testing.T) {
	s := Situation{Purpose: Animals, Water: beck(), Stock: stock(t, "tilapia"), Doses: []Dose{dose(t, "cpam-emulsion", 0.35, quantity.AsActive)}}
	level(t, Review(s), "emulsion-oil", note.Info)
	says(t, Review(s), "emulsion-oil", "brings 0.3 mg/L of oil with its surfactants too")
	s.Stock, s.Purpose = nil, Other
	noNote(t, Review(s), "emulsion-oil")
	s = Situation{Purpose: Animals, Water: beck(), Stock: stock(t, "tilapia"), Doses: []Dose{dose(t, "cpam-dry", 0.35, quantity.AsActive)}}
	noNote(t, Review(s), "emulsion-oil")
}
