package dosing

import (
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// thin is the strength below which a made-up polymer goes off within a working day.
const thin quantity.Concentration = 1000

// almost lets a strength that was written in another unit miss a bound by its last digit.
const almost = 0.9995

// LifeOf gives how long a made-up stock stays good, and where that comes from. A
// polymer below 1 g/L keeps 6 h (cationic) or 8 h (anionic, non-ionic), as bench
// dilutions do; a stronger one about a day (both common practice, no source).
func (s Stock) LifeOf() (quantity.Time, string) {
	f := s.Product.Life
	if s.Product.Group == product.Polymer && !s.Neat() && s.PerLitre < thin*almost {
		if s.Product.Charge == product.Cationic {
			return 6, "common practice, no source (bench dilutions)"
		}
		return 8, "common practice, no source (bench dilutions)"
	}
	if !f.OK {
		return 24, "common practice, no source"
	}
	return f.V, source(f.Source, f.Status)
}

// Ageing gives the wait before a made-up stock may be fed.
func (s Stock) Ageing() quantity.Time {
	if s.Neat() {
		return 0
	}
	return s.Product.Ageing.Or(0)
}

// source names a figure's source with its standing.
func source(src string, st product.Status) string {
	if st == product.Memory {
		return src + ", from memory"
	}
	return src
}
