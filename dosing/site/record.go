package site

import (
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Site is the whole description of a place, one member per sheet.
type Site struct {
	File      string
	Place     Place
	Water     Water
	Flow      Flow
	Chemicals []Chemical
	Stocks    []Stock
	Pumps     []Pump
	Drawdown  []Drawdown
	Tanks     []Tank
	Solids    Solids
	Animals   []Animal
	Prices    []Price
	Calendar  []Day
	Accepted  []Acceptance
	// Notes are remarks on the reading itself, such as a sheet that was not read.
	Notes note.List
}

// Place is what and where the site is.
type Place struct {
	Name     Val[string]
	Purpose  Val[string] // "animals", "drinking water", "wastewater" or "other"
	Passes   Val[string] // "once through", "recirculating" or "batch"
	Examples Val[bool]   // the sheet still holds the examples it was made with
	Currency Val[string]
	Date     Val[time.Time]
	Keeper   Val[string]
	From     Val[quantity.Time] // somebody is there from
	Till     Val[quantity.Time] // to; the same for round the clock
	Stored   Val[string]        // other chemicals in the shed, parted by ";"
}

// Water is the raw water, and what was read on the jar that the dose came from.
type Water struct {
	Temperature  Val[quantity.Temperature]
	PH           Val[quantity.PH]
	Alkalinity   Val[quantity.Alkalinity]
	Hardness     Val[quantity.Concentration] // mg/L as CaCO3
	Salinity     Val[quantity.Salinity]
	Conductivity Val[quantity.Conductance]
	DOC          Val[quantity.Concentration]
	Turbidity    Val[quantity.Cloudiness]
	TSS          Val[quantity.Concentration]
	TAN          Val[quantity.Concentration] // total ammonia as N
	CO2          Val[quantity.Concentration]
	AlkFloor     Val[quantity.Alkalinity] // least alkalinity to leave
	PHTarget     Val[quantity.PH]
	JarPH        Val[quantity.PH]            // read on the chosen jar
	ResidualAl   Val[quantity.Concentration] // read on the chosen jar
	ResidualFe   Val[quantity.Concentration]
	Exchange     Val[quantity.Fraction] // new water per day over the system's volume
	System       Val[quantity.Volume]   // water in the closed loop
	// The raw water of clear and of storm days, and how often they come; all
	// other days have the water above.
	ClearDays, StormDays           Val[quantity.Fraction]
	ClearTurbidity, StormTurbidity Val[quantity.Cloudiness]
}

// Flow is the water to be treated over a day.
type Flow struct {
	Average   Val[quantity.Flow]
	Least     Val[quantity.Flow]
	Peak      Val[quantity.Flow]
	Start     Val[quantity.Time] // of the day's run, hours after midnight
	Hours     Val[quantity.Time] // run a day
	Log       Val[string]        // file of a flow meter
	LogSheet  Val[string]
	LogTime   Val[string] // heading of its time column
	LogFlow   Val[string] // heading of its flow column
	LogUnit   Val[string]
	Range     Val[quantity.Fraction] // how far the flow may be off
	ByHour    [24]Val[quantity.Flow]
	MeterSpan Val[quantity.Flow]  // flow at 20 mA
	MeterZero Val[quantity.Flow]  // flow at 4 mA
	Power     Val[quantity.Power] // of the unit and its pumps while they run
}

// HasHours reports that any hour of the day was given a flow of its own.
func (f Flow) HasHours() bool {
	for _, h := range f.ByHour {
		if h.Set {
			return true
		}
	}
	return false
}

// Chemical is one thing that is dosed.
type Chemical struct {
	At       note.Place // its row
	Name     Val[string]
	Product  Val[string]
	Dose     Val[quantity.Concentration]
	DoseLow  Val[quantity.Concentration]
	DoseHigh Val[quantity.Concentration]
	Basis    Val[quantity.Basis]
	Bench    Val[string] // bench sheet file that the dose comes from
	Series   Val[string]
	Target   Val[string]
	Strength Val[quantity.Fraction]
	Counts   Val[quantity.Basis] // what the strength counts
	Density  Val[quantity.Density]
	Basicity Val[quantity.Fraction]
	Stock    Val[string]
	Pump     Val[string]
	Capture  Val[quantity.Fraction] // measured share that the floc takes out
	Monomer  Val[quantity.Fraction] // residual monomer on the certificate
	Charge   Val[string]
	Clear    Val[quantity.Concentration] // dose for clear water
	Storm    Val[quantity.Concentration] // dose for storm water
	// ByTurbidity is the dose of a tank being cleaned up, by its turbidity; Between
	// joins its points instead of stepping.
	ByTurbidity Val[string]
	Between     Val[bool]
}

// Stock is the liquid that a pump delivers.
type Stock struct {
	At       note.Place
	Name     Val[string]
	Product  Val[quantity.Concentration] // per litre of stock; not set means neat
	Density  Val[quantity.Density]       // of the made-up stock
	Tank     Val[string]
	MixTank  Val[string]
	Batch    Val[quantity.Volume]
	Ageing   Val[quantity.Time]
	Life     Val[quantity.Time]
	Post     Val[quantity.Flow] // dilution water after the pump
	From     Val[quantity.Time] // somebody is there to make it up, from
	Till     Val[quantity.Time] // to
	Mixing   Val[quantity.Time] // work to make up a batch
	WaterMax Val[quantity.Temperature]
}

// Pump is a metering pump.
type Pump struct {
	At       note.Place
	Name     Val[string]
	Max      Val[quantity.FeedRate]
	Least    Val[quantity.FeedRate]
	Turndown Val[float64] // max over least
	Step     Val[quantity.Setting]
	Stroke   Val[quantity.Setting]  // where the stroke stands
	Knobs    Val[string]            // "speed", "stroke" or "speed and stroke"
	Signal   Val[bool]              // follows a 4-20 mA signal
	Heads    Val[string]            // other heads to be had
	Accuracy Val[quantity.Fraction] // of full scale
	// TubeLength and TubeBore are of the tube to the dosing point.
	TubeLength, TubeBore Val[quantity.Length]
	Every                Val[quantity.Time] // between calibrations
}

// Drawdown is one timed reading of a pump.
type Drawdown struct {
	At     note.Place
	Pump   Val[string]
	Speed  Val[quantity.Setting]
	Stroke Val[quantity.Setting]
	Volume Val[quantity.Volume]
	Time   Val[quantity.Time]
	Rate   Val[quantity.FeedRate]
	Date   Val[time.Time]
}

// Tank is any vessel.
type Tank struct {
	At     note.Place
	Name   Val[string]
	Use    Val[string] // "stock", "make-up", "product store", "bin", "animals", "other"
	Volume Val[quantity.Volume]
	Usable Val[quantity.Fraction]
	Now    Val[quantity.Volume] // contents when the day starts
}

// Solids is what the unit takes out.
type Solids struct {
	PerNTU      Val[float64]           // mg suspended solids per litre and NTU
	Capture     Val[quantity.Fraction] // of suspended solids
	Unit        Val[string]            // "flotation" or "settler"
	FloatSolids Val[quantity.Fraction]
	SG          Val[quantity.Density]
	Bin         Val[string] // its tank
	SkimEvery   Val[quantity.Time]
	SkimWater   Val[quantity.Volume]   // carried over at each pass
	Doubt       Val[quantity.Fraction] // how far the suspended solids may be off
	Deepest     Val[quantity.Length]   // float depth at which solids fall back
	// The unit.
	Surface    Val[quantity.Area]
	HighRate   Val[bool]
	Recycle    Val[quantity.Fraction]
	Pressure   Val[quantity.Pressure]
	Efficiency Val[quantity.Fraction]
	// Mixing in the plant and on the bench.
	RapidVolume, FlocVolume   Val[quantity.Volume]
	RapidPower, FlocPower     Val[quantity.Power]
	RapidHead                 Val[quantity.Length]
	JarRapid, JarSlow         Val[quantity.Rotation]
	JarRapidTime, JarSlowTime Val[quantity.Time]
	// Cleaning up a tank.
	Tank      Val[string] // its row in Tanks
	TankStart Val[quantity.Cloudiness]
	TankStop  Val[quantity.Cloudiness]
	Outlet    Val[quantity.Cloudiness] // what no pass gets below
	Rise      Val[quantity.CloudinessRate]
}

// Animal is a stock of animals that the treated water reaches.
type Animal struct {
	At      note.Place
	Name    Val[string]
	Species Val[string]
	Stage   Val[string]
	Reached Val[string] // "always", "mixed" or "never"
	PHLow   Val[quantity.PH]
	PHHigh  Val[quantity.PH]
	AlkLow  Val[quantity.Alkalinity]
}

// Price is what a chemical costs and how it is bought.
type Price struct {
	At       note.Place
	Chemical Val[string]
	Price    Val[quantity.Price]
	Pack     Val[quantity.Mass]
	Delivery Val[quantity.Money]
	Lead     Val[quantity.Time]
	Shelf    Val[quantity.Time]
	OnHand   Val[quantity.Mass]
	Room     Val[quantity.Mass]
	Age      Val[quantity.Time] // of what is on hand
	DaysKept Val[float64]       // days of use that are always kept
	Shipping Val[float64]       // factor on the lead time in the reorder point
	Steady   Val[bool]          // must not be interrupted
	Order    Val[int]           // packs of the usual order
	OnOrder  Val[int]           // packs on their way
	Arrives  Val[time.Time]
	From2    Val[int] // packs from which Price2 holds
	Price2   Val[quantity.Price]
	From3    Val[int]
	Price3   Val[quantity.Price]
}

// Day is a rule of the calendar.
type Day struct {
	At      note.Place
	From    Val[time.Time]
	Till    Val[time.Time]
	Weekday Val[string]
	Runs    Val[bool]
	Hours   Val[quantity.Time]
	Flow    Val[quantity.Flow]
	Note    Val[string]
	Water   Val[string]          // raw water expected: [UsualWater], [ClearWater] or [StormWater]
	CleanUp Val[quantity.Volume] // water passed through the unit to clean a tank
	Brings  Val[bool]            // a delivery may arrive
}

// Acceptance records who takes the risk of a stop, and why.
type Acceptance struct {
	At       note.Place
	Code     Val[string]
	Chemical Val[string]
	By       Val[string]
	Reason   Val[string]
	Date     Val[time.Time]
	Until    Val[time.Time]
}
