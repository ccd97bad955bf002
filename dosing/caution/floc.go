package caution

import (
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Floc is how much of a polymer floc can hold at one pass, counted as the doses are that it is asked about; zero holds none.
type Floc struct {
	// Most is the top of what is usual, beyond which nobody has seen it bound; PerNTU what each NTU of the water has room for.
	Most, PerNTU quantity.Concentration
}

// UsuallyCaught is the share that floc takes of the polymer that it has room for, and hardly ever more; roomPerNTU is active
// polymer that a water has room for by its turbidity: at 20 NTU the 1 mg/L that is the top of ordinary use (both common
// practice, no source).
const (
	UsuallyCaught quantity.Fraction      = 0.95
	roomPerNTU    quantity.Concentration = 0.05
)

// clearest is the turbidity, in NTU, of the clearest water that is plausibly dosed, where nobody measured it: what is
// assumed stops nothing, and is said beside the caution (common practice, no source).
const clearest = 5.0

// flocOf is what floc holds of a product, as active polymer; what is no polymer stays in the water.
func flocOf(p product.Product) Floc {
	most, ok := product.UsualMost(p)
	if !p.IsPolymer() || !ok {
		return Floc{}
	}
	active, _ := p.ActivePolymer(most)
	return Floc{active, roomPerNTU}
}

// Over counts it by doses of which one holds so much of what it is counted by now.
func (f Floc) Over(active quantity.Ratio) Floc {
	return Floc{f.Most / quantity.Concentration(active), f.PerNTU / quantity.Concentration(active)}
}

// Holds is what floc can hold in water of that turbidity, in NTU; where nobody measured it all that is usual, since
// what is assumed stops nothing: see clearest.
func (f Floc) Holds(ntu quantity.Known[float64]) quantity.Concentration {
	if !ntu.OK {
		return f.Most
	}
	return min(f.Most, f.PerNTU*quantity.Concentration(ntu.V))
}

// Leaves is what counts as not caught of a dose where no capture is measured: a twentieth of what floc can hold, and
// everything beyond. More dose or clearer water never leaves less.
func (f Floc) Leaves(dose quantity.Concentration, ntu quantity.Known[float64]) quantity.Concentration {
	held := min(dose, f.Holds(ntu))
	return dose - held*quantity.Concentration(UsuallyCaught)
}

// Dose is the dose that leaves so much.
func (f Floc) Dose(leaves quantity.Concentration, ntu quantity.Known[float64]) quantity.Concentration {
	holds := f.Holds(ntu)
	return min(leaves/quantity.Concentration(1-UsuallyCaught), leaves+holds*quantity.Concentration(UsuallyCaught))
}

// told says what of a dose is taken to be caught; nothing where none is.
func (f Floc) told(ntu quantity.Known[float64]) note.Phrase {
	if f.Holds(ntu) <= 0 {
		return note.Say(" (the whole dose: what the floc takes is not given)")
	}
	return note.Say(" (even if the floc takes all that it ever does").If(ntu.OK, " in water of %s NTU", amount(ntu.V)).
		And("; what it takes is not given").If(!ntu.OK, ", nor turbidity").And(")")
}
