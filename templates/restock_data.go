package templates

import (
	"slices"

	"jarwright/dosing/bioassay"
	"jarwright/dosing/restock"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// cubic is water by the tank.
func cubic(key string, v quantity.Volume) figure.Figure { return figure.Of(key, v, "m3", 3) }

// timesOver is water as so many volumes of the tank.
func timesOver(key string, n quantity.Number) figure.Figure {
	return figure.Figure{Key: key, Q: figure.Plain{V: float64(n), U: "volumes"}}
}

func residueData(r restock.Residue) *figure.Object {
	o := figure.New(limit("left", r.Left)).Word("chemical", r.Chemical).Word("as", r.As).Set("measured", r.Measured).
		Put(maybe("limit", r.Limit), maybe("stop_at", r.Stop)).Phrase("why", r.Why)
	if r.Long {
		o.Set("of_holding", true).Put(limit("left_by_clearing", r.Short))
	}
	if r.Borrowed {
		o.Set("borrowed", true)
	}
	if r.Criterion {
		o.Set("criterion", true)
	}
	if r.Guideline {
		o.Set("guideline", true)
	}
	v, ok := r.Volumes()
	return o.Put(timesOver("volumes", v).If(ok))
}

func wayData(w restock.Way) *figure.Object {
	return figure.New(timesOver("then", w.Then), cubic("water", w.Water.V).If(w.Water.OK), hours("takes", w.Takes.V, 3).If(w.Takes.OK), figure.Of("leaves", w.Leaves, "%", 2)).
		Bare(figure.Count("drains", w.Drains)).Put(figure.Of("share", w.Share, "%", 3).If(w.Drains > 0))
}

// pondAlone is what one of several ponds needs by itself.
func pondAlone(p restock.Pond) *figure.Object {
	needs, by, ok := p.Alone()
	o := figure.New(cubic("volume", p.Volume)).Set("name", p.Name)
	if !ok {
		return o
	}
	return o.Put(timesOver("needs", needs), cubic("water", p.Volume*quantity.Volume(needs)), limit("left", by.Left), maybe("limit", by.Limit)).
		Word("chemical", by.Chemical).Word("as", by.As)
}

// firstAnimals is how many animals try the water, and how many of the new water beside them.
const firstAnimals = 10

// data is the answer as its object.
func (r RestockReport) data() *figure.Object {
	o := figure.New().Set("schema", "jarwright.restock/1").Word("site", r.Site).Word("tank", r.Name).
		Put(cubic("volume", r.Volume.V).If(r.Volume.OK), figure.Of("flow", r.Flow.V, "m3/h", 3).If(r.Flow.OK)).
		Put(figure.Of("salinity", r.Salinity.V, "g/kg", 3).If(r.Salinity.OK)).Set("animals", list(r.Animals)).List("residues", objects(r.Residues, residueData))
	if len(r.Moults) > 0 {
		o.Set("moult", list(r.Moults))
	}
	if r.Held() {
		o.Part("lines", figure.New(figure.Of("ph_low", r.Lines.PHLow, "pH", 3).In(figure.Full), figure.Of("ph_high", r.Lines.PHHigh, "pH", 3).In(figure.Full), limit("tan", r.Lines.TAN.V).If(r.Lines.TAN.OK), caCO3("alkalinity", r.Lines.Alkalinity, 3))).
			List("holds", objects(r.Holds, func(h restock.Hold) *figure.Object {
				return figure.New().Word("pond", h.Pond).Set("stops", h.Stop).Set("code", h.Note.Code)
			}))
	}
	if len(r.Salts) > 0 {
		o.Set("salts", list(r.Salts)).Put(mgL("hardness", r.Hardness.V, 3).If(r.Hardness.OK))
	}
	if r.Told() {
		o.Word("governs", r.Residues[r.Governs].Chemical).Put(timesOver("needs", r.Needs), timesOver("to_stop", r.ToStop).If(r.ToStop > 0))
	}
	if !r.Stated {
		o.Some("ponds", objects(r.Ponds, pondAlone))
	}
	o.List("ways", objects(r.Ways, func(w restock.Way) *figure.Object {
		x := r.Residues[r.Governs]
		return wayData(w).Put(limit("left", x.Left*quantity.Concentration(w.Leaves)))
	}))
	none := bioassay.Count{Of: firstAnimals}
	o.Part("trial", figure.New().Bare(figure.Count("animals", none.Of)).Put(died("none_dead_proves_fewer_than", none.AtMost(bioassay.Sure))))
	return o.Set("notes", Notes(slices.Concat(r.held(), r.Notes)))
}

// JSON gives the document jarwright.restock/1.
func (r RestockReport) JSON() any { return r.data() }

// Table gives a row for each way.
func (r RestockReport) Table() figure.Table {
	return figure.Table{Cols: figure.Columns("drains", "drained_each share %", "then_let_through then volumes", "water = m3", "takes = h", "leaves = %", "left = mg/L"), Rows: r.data().Objects("ways")}
}
