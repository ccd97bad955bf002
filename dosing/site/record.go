package site

import (
	"time"

	"jarwright/dosing/flow"
	"jarwright/dosing/gauge"
	"jarwright/dosing/mixing"
	"jarwright/dosing/pond"
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
	Ponds     []Pond
	Solids    Solids
	Animals   []Animal
	Prices    []Price
	Calendar  []Day
	Seasons   []Season
	Accepted  []Acceptance
	Sludge    Sludge
	// FedToSludge is the row of Chemicals that only the sludge is fed, which is none of them; nil where there is none.
	FedToSludge *Chemical
	// Held is what a loop that is held comes to; nil for any other, and until that is worked out.
	Held *Held
	// Notes are remarks on the reading itself, such as a sheet that was not read.
	Notes note.List
}

// Held is a loop whose unit holds its water at a level. No field says it: it follows from Solids and Animals.
type Held struct {
	// Reaches is the suspended solids of the water that reaches the unit, above what it never takes out;
	// not given where nobody knows what a unit of the reading weighs.
	Reaches quantity.Known[quantity.Concentration]
	// Turbidity of that water, in NTU.
	Turbidity quantity.Known[float64]
	// Fails is true where it cannot, and what comes in reaches the unit at the reading at which the loop settles, or where the loop
	// never gets down to that level.
	Fails bool
}

// Place is what and where the site is.
type Place struct {
	Name     quantity.Known[string]
	Purpose  quantity.Known[string] // "animals", "drinking water", "wastewater" or "other"
	Rules    quantity.Known[string] // drinking-water rules that hold: "US", "EU" or "WHO"
	Passes   quantity.Known[string] // "once through", "recirculating", "batch" or "standing"
	Examples quantity.Known[bool]   // the sheet still holds the examples it was made with
	Currency quantity.Known[string]
	Date     quantity.Known[time.Time]
	Altitude quantity.Known[quantity.Length]
	Keeper   quantity.Known[string]
	Units    quantity.Known[string]        // that answers are shown in: "metric" or "us"
	From     quantity.Known[quantity.Time] // somebody is there from
	Till     quantity.Known[quantity.Time] // to; the same for round the clock
	Stored   quantity.Known[string]        // other chemicals in the shed, parted by ";"

	Stream bool // the site calls its water a stream
}

// Water is the raw water, and what was read on the jar that the dose came from.
type Water struct {
	Temperature  quantity.Known[quantity.Temperature]
	PH           quantity.Known[quantity.PH]
	Alkalinity   quantity.Known[quantity.Alkalinity]
	Hardness     quantity.Known[quantity.Concentration] // mg/L as CaCO3
	Salinity     quantity.Known[quantity.Salinity]
	Conductivity quantity.Known[quantity.Conductance]
	DOC          quantity.Known[quantity.Concentration]
	Turbidity    quantity.Known[quantity.Cloudiness]
	TSS          quantity.Known[quantity.Concentration]
	TAN          quantity.Known[quantity.Concentration] // total ammonia as N
	CO2          quantity.Known[quantity.Concentration]
	// NewAlkalinity is true where Alkalinity is that of new water, not of the running loop.
	NewAlkalinity quantity.Known[bool]
	AlkFloor      quantity.Known[quantity.Alkalinity] // least alkalinity to leave
	PHTarget      quantity.Known[quantity.PH]
	JarPH         quantity.Known[quantity.PH]            // read on the chosen jar
	ResidualAl    quantity.Known[quantity.Concentration] // read on the chosen jar
	ResidualFe    quantity.Known[quantity.Concentration]
	Exchange      quantity.Known[quantity.Fraction] // new water per day over the system's volume
	System        quantity.Known[quantity.Volume]   // water in the closed loop
	// The raw water of clear and of storm days, and how often they come; all
	// other days have the water above.
	ClearDays, StormDays           quantity.Known[quantity.Fraction]
	ClearTurbidity, StormTurbidity quantity.Known[quantity.Cloudiness]
	// The discharge consent: the most of a metal, total, and the range of pH.
	ConsentAl, ConsentFe        quantity.Known[quantity.Concentration]
	ConsentPHLow, ConsentPHHigh quantity.Known[quantity.PH]
	// Phosphate is soluble phosphorus of the raw water and TotalP all of it, ConsentP and ConsentPLoad the most
	// of it that may be discharged, all as P.
	Phosphate, TotalP, ConsentP quantity.Known[quantity.Concentration]
	ConsentPLoad                quantity.Known[quantity.MassRate]
}

// Flow is the water to be treated over a day.
type Flow struct {
	Average   quantity.Known[quantity.Flow]
	Least     quantity.Known[quantity.Flow]
	Peak      quantity.Known[quantity.Flow]
	Start     quantity.Known[quantity.Time] // of the day's run, hours after midnight
	Opens     quantity.Known[quantity.Time] // when somebody comes, as Place has it
	Hours     quantity.Known[quantity.Time] // run a day
	Log       quantity.Known[string]        // file of a flow meter
	LogSheet  quantity.Known[string]
	LogTime   quantity.Known[string] // heading of its time column
	LogFlow   quantity.Known[string] // heading of its flow column
	LogUnit   quantity.Known[string]
	Range     quantity.Known[quantity.Fraction] // how far the flow may be off
	ByHour    [24]quantity.Known[quantity.Flow]
	Runs      *flow.Hours                    // the stretches that Hours are run in, where a loop is held; no cell says them
	MeterSpan quantity.Known[quantity.Flow]  // flow at 20 mA
	MeterZero quantity.Known[quantity.Flow]  // flow at 4 mA
	Power     quantity.Known[quantity.Power] // of the unit and its pumps while they run
}

// HasHours reports that any hour of the day was given a flow of its own.
func (f Flow) HasHours() bool {
	for _, h := range f.ByHour {
		if h.OK {
			return true
		}
	}
	return false
}

// Chemical is one thing that is dosed.
type Chemical struct {
	At       note.Place // its row
	Name     quantity.Known[string]
	Product  quantity.Known[string]
	Dose     quantity.Known[quantity.Concentration]
	DoseLow  quantity.Known[quantity.Concentration]
	DoseHigh quantity.Known[quantity.Concentration]
	Basis    quantity.Known[quantity.Basis]
	Fed      quantity.Known[quantity.MassRate] // a day at the usual flow, instead of the dose
	Bench    quantity.Known[string]            // bench sheet file that the dose comes from
	Series   quantity.Known[string]
	Target   quantity.Known[string]
	Sure     quantity.Known[quantity.Fraction] // how sure the dose of the bench sheet must be
	Strength quantity.Known[quantity.Fraction]
	Counts   quantity.Known[quantity.Basis] // what the strength counts
	Density  quantity.Known[quantity.Density]
	Basicity quantity.Known[quantity.Fraction]
	Takes    quantity.Known[float64] // alkalinity, as CaCO3, that the dose takes of the water, by its mass
	Stock    quantity.Known[string]
	Pump     quantity.Known[string]
	Capture  quantity.Known[quantity.Fraction] // measured share that the floc takes out
	Monomer  quantity.Known[quantity.Fraction] // residual monomer on the certificate
	Scoop    quantity.Known[quantity.Mass]     // of a level scoop, fed by hand
	HalfLife quantity.Known[quantity.Time]     // measured, of what stays in the water
	// LC50 is that of the product by the site's own bioassay.
	LC50       quantity.Known[quantity.Concentration]
	LC50Hours  quantity.Known[quantity.Time]
	LC50Animal quantity.Known[string]
	// Killed is the lowest dose of the product that killed in that bioassay, whether it told an LC50 too or not.
	Killed quantity.Known[quantity.Concentration]
	Charge quantity.Known[string]
	Clear  quantity.Known[quantity.Concentration] // dose for clear water
	Storm  quantity.Known[quantity.Concentration] // dose for storm water
	// ByTurbidity is the dose of a tank being cleaned up, by its turbidity; Between
	// joins its points instead of stepping.
	ByTurbidity quantity.Known[string]
	Between     quantity.Known[bool]
	Bucket      quantity.Known[quantity.Mass] // product in a full one
	// BucketVolume is the bucket as it was given, where that was a volume.
	BucketVolume quantity.Known[quantity.Volume]
	// Hand is the dose where it is told for a pond, an area or a bucket; Written is a dose as it was written.
	Hand    quantity.Known[pond.Dose]
	Written string

	Undiluted bool // fed without a stock, and called so
}

// Stock is the liquid that a pump delivers.
type Stock struct {
	At       note.Place
	Name     quantity.Known[string]
	Product  quantity.Known[quantity.Concentration] // per litre of stock; not set means neat
	Density  quantity.Known[quantity.Density]       // of the made-up stock
	Tank     quantity.Known[string]
	MixTank  quantity.Known[string]
	Batch    quantity.Known[quantity.Volume]
	Ageing   quantity.Known[quantity.Time]
	Life     quantity.Known[quantity.Time]
	Post     quantity.Known[quantity.Flow] // dilution water after the pump
	From     quantity.Known[quantity.Time] // somebody is there to make it up, from
	Till     quantity.Known[quantity.Time] // to
	Mixing   quantity.Known[quantity.Time] // work to make up a batch
	WaterMax quantity.Known[quantity.Temperature]

	Undiluted bool // a product without water, and called so
}

// Pump is a metering pump.
type Pump struct {
	At       note.Place
	Name     quantity.Known[string]
	Max      quantity.Known[quantity.FeedRate]
	Least    quantity.Known[quantity.FeedRate]
	Turndown quantity.Known[float64] // max over least
	Step     quantity.Known[Knob]
	// StrokeStep is that of a second knob.
	StrokeStep quantity.Known[quantity.Setting]
	Stroke     quantity.Known[quantity.Setting]  // where the stroke stands
	Knobs      quantity.Known[string]            // "speed", "stroke" or "speed and stroke"
	Signal     quantity.Known[bool]              // follows a 4-20 mA signal
	Heads      quantity.Known[string]            // other heads to be had
	Accuracy   quantity.Known[quantity.Fraction] // of full scale
	// TubeLength and TubeBore are of the tube to the dosing point.
	TubeLength, TubeBore quantity.Known[quantity.Length]
	Every                quantity.Known[quantity.Time] // between calibrations
	// Scale is what the knob shows at 100 %, where it has marks of its own.
	Scale quantity.Known[Knob]
	// PerTurn is what the tube in a peristaltic pump gives at each revolution; PumpTube
	// is that tube, as people name it.
	PerTurn  quantity.Known[quantity.Volume]
	PumpTube quantity.Known[string]
}

// Drawdown is one timed reading of a pump.
type Drawdown struct {
	At     note.Place
	Pump   quantity.Known[string]
	Speed  quantity.Known[Knob]
	Stroke quantity.Known[quantity.Setting]
	Volume quantity.Known[quantity.Volume]
	Time   quantity.Known[quantity.Time]
	Rate   quantity.Known[quantity.FeedRate]
	Date   quantity.Known[time.Time]
}

// Tank is any vessel.
type Tank struct {
	At     note.Place
	Name   quantity.Known[string]
	Use    quantity.Known[string] // "stock", "make-up", "product store", "bin", "animals", "other"
	Volume quantity.Known[quantity.Volume]
	Usable quantity.Known[quantity.Fraction]
	Now    quantity.Known[quantity.Volume] // contents when the day starts
}

// Pond is water that stands and is treated by hand.
type Pond struct {
	At       note.Place
	Name     quantity.Known[string]
	Size     quantity.Known[pond.Shape]
	Volume   quantity.Known[quantity.Volume]
	Area     quantity.Known[quantity.Area] // of the surface
	Length   quantity.Known[quantity.Length]
	Breadth  quantity.Known[quantity.Length]
	Diameter quantity.Known[quantity.Length]
	Depth    quantity.Known[quantity.Length]
	Other    quantity.Known[quantity.Length] // depth at the other end
	Slope    quantity.Known[float64]         // run over rise of the sides
	// Chemical is what goes in, by its row of Chemicals; of several, parted by commas, the first has the pond's own dose. See [Pond.Named].
	Chemical quantity.Known[string]
	Dose     quantity.Known[quantity.Concentration]
	Hand     quantity.Known[pond.Dose]
	Written  string
	Portions quantity.Known[int]
	Between  quantity.Known[quantity.Time] // portions
	Start    quantity.Known[quantity.Time] // of the first portion, hours after midnight
}

// Solids is what the unit takes out.
type Solids struct {
	PerNTU      quantity.Known[float64]           // mg suspended solids per litre and NTU
	Capture     quantity.Known[quantity.Fraction] // of suspended solids
	Unit        quantity.Known[string]            // "flotation" or "settler"
	FloatSolids quantity.Known[quantity.Fraction]
	SG          quantity.Known[quantity.Density]
	Bin         quantity.Known[string] // its tank
	SkimEvery   quantity.Known[quantity.Time]
	SkimWater   quantity.Known[quantity.Volume]   // carried over at each pass
	Doubt       quantity.Known[quantity.Fraction] // how far the suspended solids may be off
	Deepest     quantity.Known[quantity.Length]   // float depth at which solids fall back
	// The unit.
	Surface    quantity.Known[quantity.Area]
	HighRate   quantity.Known[bool]
	Recycle    quantity.Known[quantity.Fraction]
	White      quantity.Known[quantity.Flow] // white water, instead of the recycle
	Pressure   quantity.Known[quantity.Pressure]
	Efficiency quantity.Known[quantity.Fraction]
	FloatBy    quantity.Known[string] // how the float is taken off: "scraper" or "flooding"
	Bubbles    quantity.Known[string] // what makes them: "saturator", "air-sucking pump", "venturi" or "stirrer"
	Drawn      quantity.Known[quantity.Flow]
	Depth      quantity.Known[quantity.Length]
	Contact    quantity.Known[quantity.Volume]
	Weir       quantity.Known[quantity.Length]
	Reach      quantity.Known[quantity.Length] // how far the level may move
	Degassed   quantity.Known[bool]
	// Mixing in the plant and on the bench.
	RapidVolume, FlocVolume   quantity.Known[quantity.Volume]
	RapidPower, FlocPower     quantity.Known[quantity.Power]
	RapidHead                 quantity.Known[quantity.Length]
	JarRapid, JarSlow         quantity.Known[quantity.Rotation]
	JarRapidTime, JarSlowTime quantity.Known[quantity.Time]
	// PolymerAfter is the time from the coagulant's dosing point to the polymer's.
	PolymerAfter quantity.Known[quantity.Time]
	// The jar stirrer: the water in its jar and its paddle, or its own curve; and how deep a jar is sampled.
	JarWater            quantity.Known[quantity.Volume]
	JarPaddle, JarDepth quantity.Known[quantity.Length]
	JarCurve            quantity.Known[mixing.Stirrer]
	// Cleaning up a tank: its readings are all of one kind, turbidity or suspended
	// solids. Zero of Bare, TankNew and TankLongest takes what the run assumes.
	Tank                   quantity.Known[string] // its row in Tanks
	TankStart, TankStop    quantity.Known[Reading]
	Outlet                 quantity.Known[Reading]           // what no pass gets below
	Rise                   quantity.Known[Reading]           // in an hour with the unit off
	Bare                   quantity.Known[quantity.Fraction] // taken out when nothing is dosed
	Trial                  quantity.Known[string]            // that they rest on
	TankNew                quantity.Known[quantity.Flow]     // new water in, old water out
	TankHours              quantity.Known[flow.Hours]        // in which the unit runs
	TankBegin, TankLongest quantity.Known[quantity.Time]
	HoldAt                 quantity.Known[Reading] // by the unit, once that tank is clear
	// FeedSolids is what of the animals' feed becomes suspended solids.
	FeedSolids quantity.Known[quantity.Fraction]
	// Cone and Tube are scales of the site's own for readings in mL/L and in cm.
	Cone, Tube quantity.Known[gauge.Scale]
}

// Animal is a stock of animals that the treated water reaches.
type Animal struct {
	At      note.Place
	Name    quantity.Known[string]
	Species quantity.Known[string]
	Stage   quantity.Known[string]
	Reached quantity.Known[string] // "always", "mixed" or "never"
	PHLow   quantity.Known[quantity.PH]
	PHHigh  quantity.Known[quantity.PH]
	AlkLow  quantity.Known[quantity.Alkalinity]
	Feed    quantity.Known[quantity.MassRate] // dry feed eaten
	CO2High quantity.Known[quantity.Concentration]
	// Protein and FeedP are shares of that feed, FeedP as P.
	Protein, FeedP quantity.Known[quantity.Fraction]
}

// Price is what a chemical costs and how it is bought.
type Price struct {
	At       note.Place
	Chemical quantity.Known[string]
	Price    quantity.Known[quantity.Price]
	Pack     quantity.Known[quantity.Mass]
	// PackVolume is the pack as it was given, where that was a volume.
	PackVolume quantity.Known[quantity.Volume]
	Delivery   quantity.Known[quantity.Money]
	Lead       quantity.Known[quantity.Time]
	Shelf      quantity.Known[quantity.Time]
	OnHand     quantity.Known[quantity.Mass]
	Room       quantity.Known[quantity.Mass]
	Age        quantity.Known[quantity.Time] // of what is on hand
	DaysKept   quantity.Known[float64]       // days of use that are always kept
	Shipping   quantity.Known[float64]       // factor on the lead time in the reorder point
	Steady     quantity.Known[bool]          // must not be interrupted
	Order      quantity.Known[int]           // packs of the usual order
	OnOrder    quantity.Known[int]           // packs on their way
	Arrives    quantity.Known[time.Time]
	From2      quantity.Known[int] // packs from which Price2 holds
	Price2     quantity.Known[quantity.Price]
	From3      quantity.Known[int]
	Price3     quantity.Known[quantity.Price]
}

// Day is a rule of the calendar.
type Day struct {
	At      note.Place
	From    quantity.Known[time.Time]
	Till    quantity.Known[time.Time]
	Weekday quantity.Known[string]
	Runs    quantity.Known[bool]
	Hours   quantity.Known[quantity.Time]
	Flow    quantity.Known[quantity.Flow]
	Note    quantity.Known[string]
	Water   quantity.Known[string]          // raw water expected: [UsualWater], [ClearWater] or [StormWater]
	CleanUp quantity.Known[quantity.Volume] // water passed through the unit to clean a tank
	Brings  quantity.Known[bool]            // a delivery may arrive
}

// Season is what differs in some months of every year: flow, water, or the dose of one chemical.
type Season struct {
	At                   note.Place
	From, Till           quantity.Known[time.Month] // a single month where Till is not given
	Flow, Least, Peak    quantity.Known[quantity.Flow]
	Temperature          quantity.Known[quantity.Temperature]
	PH                   quantity.Known[quantity.PH]
	Alkalinity           quantity.Known[quantity.Alkalinity]
	Turbidity            quantity.Known[quantity.Cloudiness]
	ClearDays, StormDays quantity.Known[quantity.Fraction]
	Chemical             quantity.Known[string] // its row in Chemicals
	Dose                 quantity.Known[quantity.Concentration]
	Note                 quantity.Known[string]
}

// Holds reports that the season's row speaks of a month. One whose last month comes before its
// first goes over New Year.
func (s Season) Holds(m time.Month) bool {
	from, till := s.From.V, s.Till.Or(s.From.V)
	if from <= till {
		return s.From.OK && from <= m && m <= till
	}
	return s.From.OK && (m >= from || m <= till)
}

// Acceptance records who takes the risk of a stop, and why.
type Acceptance struct {
	At       note.Place
	Code     quantity.Known[string]
	Chemical quantity.Known[string]
	By       quantity.Known[string]
	Reason   quantity.Known[string]
	Date     quantity.Known[time.Time]
	Until    quantity.Known[time.Time]
}

// Sludge is what becomes of float or sludge.
type Sludge struct {
	Volume     quantity.Known[quantity.Flow]
	Solids     quantity.Known[quantity.Concentration]
	Polymer    quantity.Known[string] // its row in Chemicals or its name in the catalogue
	Dose       quantity.Known[SludgeDose]
	Captured   quantity.Known[quantity.Fraction]
	Cake       quantity.Known[quantity.Fraction] // dry solids in what is kept
	Bag        quantity.Known[quantity.Volume]
	Bed        quantity.Known[quantity.Area]
	Layer      quantity.Known[quantity.Length]
	Drying     quantity.Known[quantity.Time]
	Returns    quantity.Known[bool] // to the animals
	Land       quantity.Known[quantity.Area]
	Nitrogen   quantity.Known[quantity.Fraction]
	Phosphorus quantity.Known[quantity.Fraction]
}
