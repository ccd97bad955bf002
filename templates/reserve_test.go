package templates

import (
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// TestWhatIsLeftOfABatchIsNamed: batches that fill the tank to 40 and 30 L on top of what is left count as fresh with a tenth of
// the lower mark, 3 L; polymer fills to 8 L, 0.8 L. A batch before which all is let out, and neat product, have nothing to stir in.
func TestWhatIsLeftOfABatchIsNamed(t *testing.T) {
	batch := func(full, left float64) dosing.Batch {
		return dosing.Batch{Full: quantity.Volume(full), Left: quantity.Volume(left)}
	}
	feed := func(name string, first ...dosing.Batch) dosing.Feed {
		f := dosing.Feed{First: first}
		f.Name, f.Stock = name, dosing.Stock{Product: product.Product{Form: product.Dry}, PerLitre: 1000}
		return f
	}
	gone := batch(20, 5)
	gone.LetOut = true
	neat := feed("acid", batch(20, 5))
	neat.Stock.PerLitre = 0
	o := Options{}
	said := o.Show(reserve([]dosing.Feed{feed("alum", batch(40, 6), batch(30, 2), gone), feed("polymer", batch(8, 1)), feed("lime", gone), neat}))
	if want := "Of what has gone off let out all but 3 L of alum and 0.8 L of polymer."; !strings.HasSuffix(said, want) {
		t.Errorf("%q, want %q", said, want)
	}
	if said := o.Show(reserve([]dosing.Feed{feed("lime", gone), neat})); strings.Contains(said, "let out") {
		t.Errorf("nothing is stirred in: %q", said)
	}
}
