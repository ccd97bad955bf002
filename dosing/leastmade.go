package dosing

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// leastMade are the rules of how little stock is worth making up at a time; the largest holds.
var leastMade = []struct {
	why    string
	source string
	least  func(Feed) quantity.Volume
}{
	{"a stirrer has to reach it", "common practice, no source", func(f Feed) quantity.Volume {
		if f.Mix != nil {
			return Spare * f.Mix.Holds()
		}
		return Spare * f.Tank.Holds()
	}},
	{"a kitchen balance has to weigh its product", "common practice, no source", func(f Feed) quantity.Volume {
		return quantity.Volume(float64(leastWeighed) / float64(f.PerLitre) * 1e6)
	}},
}

// leastWeighed is what a balance that shows a tenth of a gram weighs to a tenth (common practice, no source).
const leastWeighed quantity.Mass = 0.001

// worthMaking is a batch as large as is worth the work, where tanks have room for that on what stands in the tank and all of it is drawn,
// as drawn tells of what then stands there, before it expires, but for a heel that is stirred into the next.
func (f Feed) worthMaking(v, stands quantity.Volume, drawn func(quantity.Volume) quantity.Time, expires quantity.Time) quantity.Volume {
	if f.Stock.Neat() || v <= 0 {
		return v
	}
	worth := v
	for _, r := range leastMade {
		worth = max(worth, min(r.least(f), f.room(stands)))
	}
	if worth-v > quantity.Volume(Heel)*(stands+worth) && drawn(stands+worth) > expires+hair {
		return v
	}
	return worth
}

// room is what can be made up on what stands in the tank.
func (f Feed) room(stands quantity.Volume) quantity.Volume {
	room := max(0, f.Tank.Holds()-stands)
	if f.Mix != nil {
		return min(room, f.Mix.Holds())
	}
	return room
}

// tooLittle says of the round's smallest batch that a kitchen balance does not weigh its product.
func (f Feed) tooLittle() note.List {
	least := f.Batches[0]
	for _, b := range f.Batches {
		if b.Recipe.Product < least.Recipe.Product {
			least = b
		}
	}
	if least.Recipe.Product >= leastWeighed*(1-hair) {
		return nil
	}
	return note.List{note.New(note.Info, "batch-too-little", "%s: a batch of %s takes %s of product, less than a kitchen balance weighs", f.Name,
		quantity.To(least.Volume, 3), quantity.To(least.Recipe.Product, 3)).At(f.StockAt).
		Do("make a stronger stock of at least %s of product and take from that, or make more at a time and let out what goes off", leastWeighed).
		From("common practice, no source")}
}
