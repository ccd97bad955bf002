package caution

import (
	"cmp"
	"time"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

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
	// Rules says whose limits hold for drinking water, "US", "EU" or "WHO"; empty for the strictest.
	Rules   string
	Consent Consent
	Water   Water
	// Doses are all chemicals dosed into the water together.
	Doses []Dose
	// Once are those of a single pass, where Doses are all passes of a run together.
	Once []Dose
	// Step is the largest change of pH at a time, where the doses come in portions hours apart; else that of all at once.
	Step quantity.Known[quantity.PH]
	// Goes is how many portions those are, Better the number at which the animals would feel no shock, 0 where that is none or these.
	Goes, Better int
	// Overnight is the carbonate that standing water takes from the air, or gives it, between an alkali that goes in on the day
	// before and the other doses.
	Overnight quantity.Molarity
	// Since is how long a run has gone on at the moment that [Course] judges it; the animals
	// of a tank have stood in its water from the start.
	Since quantity.Known[quantity.Time]
	// Pond is true where the animals stand in the water as it is dosed, as in a pond that is treated whole.
	Pond bool
	// Piped is true where that water goes round through a unit and is dosed there, not spread over the whole of it.
	Piped bool
	// Carbon is true where a dose is there to take out organic carbon: less of it, or alkali before it, takes out less.
	Carbon bool
	// Taken is the alkalinity that a run has taken by then, new water and all; it goes before what
	// the doses take.
	Taken quantity.Known[quantity.Alkalinity]
	// Nitrified is the alkalinity that nitrifying the animals' feed has taken by then, beside all that: over hours and days, so that
	// breath and air keep the carbon dioxide where it is.
	Nitrified quantity.Alkalinity
	// Flow and Hours size the feed of alkali and the run.
	Flow  quantity.Known[quantity.Flow]
	Hours quantity.Time // 0 counts as 24
	// Least is the least flow, where the feed follows it.
	Least quantity.Known[quantity.Flow]
	// Loop is set where the water comes round again or a tank is cleaned up.
	Loop *Loop
	// Tank is the water of a tank that is cleaned up, which the animals' feed goes into too.
	Tank quantity.Volume
	// Gas is set where the unit makes bubbles under water.
	Gas *Gas
	// Stock are the animals that treated water reaches.
	Stock []Animal
	// Back are animals that get none of the water as it is dosed, and come back into it where a tank or pond is treated whole.
	Back []Animal
	// NoneReached is true where animals are named, and none of them is said ever to get the water.
	NoneReached bool
	// OnSite are the chemicals kept here, dosed or not; Also names others that
	// the catalogue does not have, such as hypochlorite.
	OnSite []product.Product
	Also   []string
	// Accepted are the stops that somebody takes the risk of; Today decides
	// whether an acceptance has run out (zero: it has not).
	Accepted []Acceptance
	Today    time.Time
}

// pass are the doses of a single pass.
func (s Situation) pass() []Dose {
	if s.Once != nil {
		return s.Once
	}
	return s.Doses
}

// Consent is what a permit lets be discharged.
type Consent struct {
	Al, Fe        quantity.Known[quantity.Concentration] // total
	PHLow, PHHigh quantity.Known[quantity.PH]
}

// Water is the raw water, and what was read on the jar that the dose came from.
type Water struct {
	Temperature quantity.Known[quantity.Temperature]
	PH          quantity.Known[quantity.PH]
	Alkalinity  quantity.Known[quantity.Alkalinity]
	// NewAlkalinity is true where Alkalinity is that of new water, not of the running loop.
	NewAlkalinity bool
	CO2           quantity.Known[quantity.Concentration]
	Hardness      quantity.Known[quantity.Concentration] // as CaCO3
	Salinity      quantity.Known[quantity.Salinity]
	Conductivity  quantity.Known[quantity.Conductance]
	DOC           quantity.Known[quantity.Concentration]
	Turbidity     quantity.Known[float64]                // NTU
	Ammonia       quantity.Known[quantity.Concentration] // total, as N
	// Feed is what all animals of a loop eat a day.
	Feed quantity.Known[quantity.MassRate]
	// Protein is the share of that feed that is protein.
	Protein quantity.Known[quantity.Fraction]
	// JarPH is the pH read on the chosen jar; it goes before the computed one.
	JarPH quantity.Known[quantity.PH]
	// FromJars is true where JarPH follows from what the jars lost at the dose.
	FromJars               bool
	ResidualAl, ResidualFe quantity.Known[quantity.Concentration]
	// JarAlkalinityUsed is what the jars lost at the dose; it goes before the computed use.
	JarAlkalinityUsed quantity.Known[quantity.Alkalinity]
	// Floor and Hold are the least alkalinity and pH to keep after dosing.
	Floor quantity.Known[quantity.Alkalinity]
	Hold  quantity.Known[quantity.PH]
}

// Dose is one chemical dosed.
type Dose struct {
	Name    string // as the site calls it; the product's name where empty
	Product product.Product
	Dose    quantity.Dose
	// Capture is the measured share that the floc takes out.
	Capture quantity.Known[quantity.Fraction]
	// Residual is what was measured of it in the jar.
	Residual quantity.Known[quantity.Concentration]
	// Left is what all passes of a run leave in its tank, counted as the dose, where that is worked out; else the dose.
	Left quantity.Known[quantity.Concentration]
	// HalfLife is the measured time in which half of what stays in the water breaks down.
	HalfLife quantity.Known[quantity.Time]
	// Monomer is that of the maker's certificate.
	Monomer quantity.Known[quantity.Fraction]
	// ByHand is true where no pump feeds it: it comes in portions, unless somebody lets it drip.
	ByHand bool
	// Neat is true where that is the product as it is delivered.
	Neat bool
	// Carrier is the raw water that carries it to the dosing point; zero for none.
	Carrier quantity.Flow
	At      note.Place
}

func (d Dose) name() string { return cmp.Or(d.Name, d.Product.Name) }

// Loop is water that passes the unit again and again.
type Loop struct {
	Volume   quantity.Volume
	Exchange quantity.Known[quantity.Flow] // new water
	// Held is true where a unit holds the loop at a level against what its animals are fed, day after day.
	Held bool
	// Begins is the alkalinity that the loop has when the days begin, where it is not the water's: that which a clean-up leaves it.
	Begins quantity.Known[quantity.Alkalinity]
}

// Animal is a stock of animals.
type Animal struct {
	Name string // as the site calls it
	// Profile is zero where nothing is known of the species.
	Profile animal.Profile
	// Stage of life, where it is said; Unread is what the site says of it and nobody here understands.
	Stage    animal.Stage
	Unread   string
	UnreadAt note.Place
	// MayBe are the other animals that its name is of as well, where the water does not settle which.
	MayBe []string
	// The workbook's own figures go before the profile's.
	PHLow, PHHigh quantity.Known[quantity.PH]
	AlkalinityLow quantity.Known[quantity.Alkalinity]
	CO2High       quantity.Known[quantity.Concentration]
	// Tests are bioassays that the site made with these animals.
	Tests []Bioassay
	At    note.Place
}

// Bioassay is what a site found of a chemical with its own animals in its own water.
type Bioassay struct {
	Chemical string                 // as the site calls it
	LC50     quantity.Concentration // of the product
	Hours    quantity.Time          // 0 counts as 96
	// Killed is the lowest dose of the product that killed, whether the test told an LC50 too or not. Zero, as of LC50, is not known.
	Killed quantity.Concentration
}

func (a Animal) who() string { return cmp.Or(a.Name, a.Profile.Name) }

// Acceptance records who takes the risk of a stop, and why.
type Acceptance struct {
	Code     string // the rule's id
	Chemical string // only for this chemical, where given
	By, Why  string
	Date     time.Time
	Until    time.Time
	At       note.Place
}
