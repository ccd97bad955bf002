package dosing

import (
	"slices"
	"strings"

	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// metered is the feed's dose in water of a class from its stock by its pump; false where no pump feeds it or its rate cannot be worked out.
func (f FeedInput) metered(class string) (Metering, bool) {
	dose, err := product.Convert(f.DoseIn(class), f.Stock.Product, quantity.AsProduct)
	stock, none := f.Stock.ProductPerLitre()
	if f.Pump == nil || err != nil || none != nil || dose.Concentration <= 0 {
		return Metering{}, false
	}
	return Metering{Dose: dose.Concentration, Stock: stock, MadeUp: f.Stock.madeUp(), Pump: f.Pump}, true
}

// unreached reports a feed whose pump cannot be set for the flow: not for the average, or not for as much as the peak takes.
func (f FeedInput) unreached(class string, average, peak quantity.Flow) bool {
	m, ok := f.metered(class)
	if !ok || average <= 0 {
		return false
	}
	left := m.Pump.Leave(m.At(average).Rate, m.At(max(average, peak)).Rate)
	m.Pump = &left
	return OutOfReach(m.At(average).Choice.V) || m.At(max(average, peak)).Choice.V.Reach == pump.TooMuch
}

// reached is what runs in water of a class: what the pumps can be set for, without the alkalis that theirs cannot, which it names.
// A coagulant is judged without the alkali that nobody can feed to it.
func (r Running) reached(class string) (Running, []FeedInput) {
	var out []FeedInput
	feeds := slices.DeleteFunc(slices.Clone(r.Feeds), func(f FeedInput) bool {
		lost := f.Stock.Product.Group == product.Alkali && f.unreached(class, r.Flow, r.Peak)
		if lost {
			out = append(out, f)
		}
		return lost
	})
	if len(out) == 0 {
		return r, nil
	}
	r.Feeds = feeds
	r.withoutJarsOf(out)
	return r, out
}

// withoutJarsOf takes nothing from jars that had what is not fed.
func (r *Running) withoutJarsOf(away []FeedInput) {
	r.Site.Water.JarPH = quantity.Known[quantity.PH]{}
	for i, f := range r.Feeds {
		if f.Jars != nil && slices.ContainsFunc(away, func(o FeedInput) bool { _, had := f.Jars.fixedDose(o); return had }) {
			r.Feeds[i].Jars = nil
		}
	}
}

// AlkaliUnreached is the code of what [unreachedNote] says.
const AlkaliUnreached = "alkali-out-of-reach"

// unreachedNote says which alkalis no pump feeds, and that the water is worked out without them.
func unreachedNote(out []FeedInput) (l note.List) {
	if len(out) == 0 {
		return nil
	}
	var names []string
	for _, f := range out {
		names = append(names, f.Name)
	}
	name := strings.Join(names, " and ")
	l.Add(note.New(note.Caution, AlkaliUnreached, "%s is not fed: its pump cannot be set for what the dose takes. The water is worked out without it", name).
		At(out[0].PumpAt).Do("use another pump or another stock for %s, and start no coagulant that needs it before it is fed", name))
	return l
}
