package dosing

import (
	"math"
	"strings"

	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// WaterDensity is that of fresh make-up water at room temperature.
const WaterDensity quantity.Density = 0.998

// Stock is the liquid that a pump delivers: a liquid product neat, or a product
// made up with water.
type Stock struct {
	Product product.Product
	// PerLitre is product per litre of stock; zero means neat.
	PerLitre quantity.Concentration
	// Density is that of the made-up stock where it was measured; zero takes an estimate.
	Density quantity.Density
	// Undiluted is true where the site calls a product without water so.
	Undiluted bool
}

// AsBought is the word for a product that is fed without water.
func (s Stock) AsBought() string {
	if s.Undiluted {
		return "undiluted"
	}
	return "neat"
}

// StockCalled is what people call the stock of a feed in a sentence: the name of its row in
// Stocks where that says so, as it often is the tank's or means nothing beside the chemical.
func (f FeedInput) StockCalled() string {
	low := strings.ToLower(f.StockName)
	if strings.Contains(low, strings.ToLower(f.Name)) && strings.Contains(low, "stock") {
		return f.StockName
	}
	return f.Name + " stock"
}

// Neat reports whether the product is fed as it is delivered.
func (s Stock) Neat() bool { return s.PerLitre == 0 }

// liquid is the density of a product that is a liquid; zero for dry goods and where it is not known.
func (s Stock) liquid() quantity.Density {
	if s.Product.Form == product.Dry {
		return 0
	}
	return s.Product.Density.Or(0)
}

// strongest is the most product that a litre of stock can hold: the liquid neat, or
// what is usual at most of a powder; zero where it is not known.
func (s Stock) strongest() quantity.Concentration {
	if s.Product.Form == product.Dry {
		return s.Product.Dilution.High
	}
	return product.Active(1, s.liquid())
}

// madeUp is the strongest that a product of which water makes another thing can be made up to; zero for any other.
func (s Stock) madeUp() quantity.Concentration {
	if s.Product.Form == product.Emulsion {
		return s.Product.Dilution.High
	}
	return 0
}

// ProductPerLitre gives product per litre of stock. It is an error for a dry
// product that is not made up, and for a liquid of unknown density.
func (s Stock) ProductPerLitre() (quantity.Concentration, error) {
	if !s.Neat() {
		return s.PerLitre, nil
	}
	if s.Product.Form == product.Dry {
		return 0, note.Fault("dry-without-stock", "%s is dry: a metering pump cannot feed it", name(s.Product)).
			Do("make it up with water and give the grams of product per litre of stock")
	}
	if !s.Product.Density.OK || s.Product.Density.V <= 0 {
		return 0, note.Fault("density-unknown", "the density of %s is not known", name(s.Product)).
			Do("give its density in kg/L, from the drum's label or a hydrometer")
	}
	return product.Active(1, s.Product.Density.V), nil
}

// DensityOfStock gives mass per volume of the stock: measured, the product's own
// where neat, else as if volumes of product and water added up. A dry product is
// taken to add its mass and half as much volume (common practice, no source).
func (s Stock) DensityOfStock() quantity.Density {
	switch {
	case s.Neat():
		return s.Product.Density.V
	case s.Density > 0:
		return s.Density
	}
	c := quantity.Density(float64(s.PerLitre) / 1e6) // kg of product per litre
	own := s.liquid()
	if own == 0 {
		own = 2
	}
	return c + WaterDensity*(1-c/own)
}

// PercentByMass gives mass of product per mass of stock.
func (s Stock) PercentByMass() quantity.Fraction {
	if s.Neat() {
		return 1
	}
	return quantity.Fraction(float64(s.PerLitre) / 1e6 / float64(s.DensityOfStock()))
}

// Recipe says how to make up a volume of stock. Product is weighed and the tank
// filled to Final, so that the grams per litre are exact whatever the density.
type Recipe struct {
	Final   quantity.Volume
	Product quantity.Mass
	// ProductVolume is the same amount by volume; zero for dry goods.
	ProductVolume quantity.Volume
	Water         quantity.Volume // about
	Density       quantity.Density
	ByMass        quantity.Fraction
}

// Recipe gives the make-up of a volume of stock; it is an error for a neat one.
func (s Stock) Recipe(v quantity.Volume) (Recipe, error) {
	if s.Neat() {
		return Recipe{}, note.Fault("neat-has-no-recipe", "%s is fed neat", name(s.Product))
	}
	r := Recipe{Final: v, Density: s.DensityOfStock(), ByMass: s.PercentByMass()}
	r.Product = Mass(s.PerLitre, v)
	d, err := Dilute(quantity.Mass(float64(r.Density)*float64(v)), 1, r.ByMass)
	if err != nil {
		return r, err
	}
	r.Water = quantity.Volume(float64(d.Water) / float64(WaterDensity))
	if d := s.liquid(); d > 0 {
		r.ProductVolume = quantity.Volume(float64(r.Product) / float64(d))
		if r.ProductVolume > v*(1+hair) {
			return r, note.Fault("stock-too-strong", "a litre of stock cannot hold %s of %s, which is %s neat", perLitre(s.PerLitre),
				name(s.Product), perLitre(s.strongest())).
				Do("feed it neat, or make the stock weaker")
		}
	}
	return r, nil
}

func perLitre(c quantity.Concentration) quantity.Rounded { return quantity.Full(c, 4).In("g/L") }

func name(p product.Product) string {
	if p.Name == "" {
		return "the product"
	}
	return p.Name
}

// Mass gives what a concentration makes in a volume: mg/L × L.
func Mass(c quantity.Concentration, v quantity.Volume) quantity.Mass {
	return quantity.Mass(float64(c) * float64(v) / 1e6)
}

// Use gives the mass per day that a dose takes at a flow running so many hours.
func Use(c quantity.Concentration, f quantity.Flow, hours quantity.Time) quantity.MassRate {
	return quantity.MassRate(float64(c) * float64(f) * float64(hours) / 1000)
}

// RateFor gives the feed of a liquid of a strength that doses a flow of water:
// dose × flow ÷ strength. Dose and strength must count the same substance.
func RateFor(dose quantity.Concentration, f quantity.Flow, strength quantity.Concentration) quantity.FeedRate {
	return pump.PerFlow(dose, strength) * quantity.FeedRate(f)
}

// Dilution is a stronger solution brought to a weaker one by mass, which holds
// whatever the densities are: m1 × w1 = m2 × w2.
type Dilution struct {
	Strong, Water, Final quantity.Mass
}

// Dilute gives the strong solution and the water for a final mass at a share by
// mass. It is an error where the final is stronger than the strong one.
func Dilute(final quantity.Mass, from, to quantity.Fraction) (Dilution, error) {
	if from <= 0 || to < 0 || to > from || math.IsNaN(float64(from)) {
		return Dilution{}, note.Fault("bad-dilution", "%s cannot be made from %s with water", to, from).
			Do("the final share must be below that of what is diluted")
	}
	strong := final * quantity.Mass(to/from)
	return Dilution{Strong: strong, Water: final - strong, Final: final}, nil
}
