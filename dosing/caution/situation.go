package caution

import (
	"time"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Opt is a figure that the site may not know.
type Opt[T any] struct {
	V  T
	OK bool
}

// Some is a figure that is known.
func Some[T any](v T) Opt[T] { return Opt[T]{v, true} }

// Or gives the figure, or d where it is not known.
func (o Opt[T]) Or(d T) T {
	if o.OK {
		return o.V
	}
	return d
}

// Purpose is what the treated water is for.
type Purpose string

// The purposes of the site workbook. Unsaid is the zero value.
const (
	Unsaid     Purpose = ""
	Animals    Purpose = "animals"
	Drinking   Purpose = "drinking water"
	Wastewater Purpose = "wastewater"
	Other      Purpose = "other"
)

// Situation is everything that [Review] looks at. What is not known is left out
// and is then listed as not checked.
type Situation struct {
	Purpose Purpose
	Water   Water
	// Doses are all chemicals dosed into the water together.
	Doses []Dose
	// Flow and Hours size the feed of alkali and the run.
	Flow  Opt[quantity.Flow]
	Hours quantity.Time // 0 counts as 24
	// Loop is set where the water comes round again or a tank is cleaned up.
	Loop *Loop
	// Stock are the animals that treated water reaches.
	Stock []Animal
	// OnSite are the chemicals kept here, dosed or not; Also names others that
	// the catalogue does not have, such as hypochlorite.
	OnSite []product.Product
	Also   []string
	// Accepted are the stops that somebody takes the risk of; Today decides
	// whether an acceptance has run out (zero: it has not).
	Accepted []Acceptance
	Today    time.Time
}

// Water is the raw water, and what was read on the jar that the dose came from.
type Water struct {
	Temperature  Opt[quantity.Temperature]
	PH           Opt[quantity.PH]
	Alkalinity   Opt[quantity.Alkalinity]
	CO2          Opt[quantity.Concentration]
	Hardness     Opt[quantity.Concentration] // as CaCO3
	Salinity     Opt[quantity.Salinity]
	Conductivity Opt[quantity.Conductance]
	DOC          Opt[quantity.Concentration]
	Turbidity    Opt[float64]                // NTU
	Ammonia      Opt[quantity.Concentration] // total, as N
	// JarPH is the pH read on the chosen jar; it goes before the computed one.
	JarPH                  Opt[quantity.PH]
	ResidualAl, ResidualFe Opt[quantity.Concentration]
	// Floor and Hold are the least alkalinity and pH to keep after dosing.
	Floor Opt[quantity.Alkalinity]
	Hold  Opt[quantity.PH]
}

// Dose is one chemical dosed.
type Dose struct {
	Name    string // as the site calls it; the product's name where empty
	Product product.Product
	Dose    quantity.Dose
	// Capture is the measured share that the floc takes out.
	Capture Opt[quantity.Fraction]
	// Monomer is that of the maker's certificate.
	Monomer Opt[quantity.Fraction]
	At      note.Place
}

func (d Dose) name() string {
	if d.Name != "" {
		return d.Name
	}
	return d.Product.Name
}

// Loop is water that passes the unit again and again.
type Loop struct {
	Volume   quantity.Volume
	Exchange Opt[quantity.Flow] // new water
}

// Animal is a stock of animals.
type Animal struct {
	Name string // as the site calls it
	// Profile is zero where nothing is known of the species.
	Profile animal.Profile
	// The workbook's own figures go before the profile's.
	PHLow, PHHigh Opt[quantity.PH]
	AlkalinityLow Opt[quantity.Alkalinity]
	At            note.Place
}

func (a Animal) who() string {
	if a.Name != "" {
		return a.Name
	}
	return a.Profile.Name
}

// Acceptance records who takes the risk of a stop, and why.
type Acceptance struct {
	Code     string // the rule's id
	Chemical string // only for this chemical, where given
	By, Why  string
	Date     time.Time
	Until    time.Time
	At       note.Place
}

// animals says of which nothing is known.
func (v *reviewer) animals() {
	if v.s.Purpose == Animals && len(v.s.Stock) == 0 {
		v.skip("what the water does to animals: none are named")
	}
	for _, a := range v.s.Stock {
		if a.Profile.ID == "" {
			v.say("animal-unknown", Words{"who": a.who()}, "", a.At)
		}
	}
}
