package dosing

import (
	"cmp"
	"slices"

	"jarwright/dosing/clarify"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// PastTests is a dose that follows the turbidity of the water, by past tests of such waters.
type PastTests struct {
	// Tests is how many they are, Raw the turbidity that the dose of the day is for; Low and High are those of the tests.
	Tests          int
	Raw, Low, High quantity.Cloudiness
	// Tank is true where that turbidity is of a tank that is cleared: its dose says nothing of storms.
	Tank bool
	// Dose is enough for most waters of a turbidity, on the basis of the feed's dose; false outside the tests.
	Dose func(quantity.Cloudiness) (quantity.Concentration, bool)
	// Again takes the dose anew for the water that a site has in another season; nil where it is of one water only. An error says why
	// there is none.
	Again func(site.Site) (BenchDose, error)
	// Classes are ranges of raw water, cleanest first, and Like the further readings of the water that their doses are for.
	Classes []RawClass
	Like    []LikeReading
	// Untold says why past tests give no dose for today's water. The feed's dose is then that of the water tested which comes nearest: for
	// looking at what else is fed, and for nobody to dose.
	Untold quantity.Known[note.Note]
	// Next is the water to test next, then what to test after it.
	Next []NextTest
}

// NextTest is a water to test: its jars' doses, Beyond being true where they are a first guess, and how many tests of it needed
// more than their jars had.
type NextTest struct {
	RawClass
	Jars   []quantity.Concentration
	Beyond bool
	Unmet  int
}

// LikeReading is a reading, in the unit of its kind, that a dose by past tests goes by beside the turbidity. AsksMost is true where the
// water does not tell it, and the end of the tests' range stands for it that asks most.
type LikeReading struct {
	Key      jartest.Key
	V        float64
	AsksMost bool
}

// RawClass is a range of raw water with how many tests had such.
type RawClass struct {
	Low, High quantity.Cloudiness
	Tests     int
	// Dose is enough for most of its dirtiest waters; none where tests do not reach.
	Dose quantity.Known[quantity.Concentration]
}

// TankTurbidity is what the tank that a site clears reads at the start, the raw water's where the tank has no reading
// of its own; the raw water's too where the tank is read in something else, by which past tests do not go.
func TankTurbidity(s site.Site) quantity.Known[quantity.Cloudiness] {
	u, _, _ := gauged(s.Solids)
	if x := tankOf(s, u); x.start.OK && x.key == jartest.Turbidity {
		return quantity.Known[quantity.Cloudiness]{V: quantity.Cloudiness(x.start.V.V), OK: true, At: x.start.At}
	}
	return s.Water.Turbidity
}

// clearing is the rule by which a tank is dosed that reads start: at each class of water the dose of its upper end, so that
// the dose follows the reading down and is never less than that of the reading. Water cleaner than any test gets the dose of
// the cleanest.
func (p PastTests) clearing(start quantity.Cloudiness) (clarify.Rule, error) {
	least, _ := p.Dose(p.Low)
	steps := []clarify.Step{{Reading: 0, Dose: least}, {Reading: float64(p.Low), Dose: least}}
	ends := []quantity.Cloudiness{start}
	for _, c := range p.Classes {
		if c.High < start {
			ends = append(ends, c.High)
		}
	}
	slices.Sort(ends)
	for _, at := range ends {
		if d, ok := p.Dose(at); ok && at > p.Low {
			steps = append(steps, clarify.Step{Reading: float64(at), Dose: d})
		}
	}
	return clarify.Stepped(steps)
}

// followed is the rule of a feed whose dose comes from past tests, with what there is to say of it: the tank's reading is
// the raw water that counts.
func (f FeedInput) followed(k clarify.Tank) (rule clarify.Rule, said note.List, err error) {
	p, start := f.Past, quantity.Cloudiness(k.Start)
	if k.Key != jartest.Turbidity {
		said.Add(note.New(note.Caution, "past-not-followed", "%s: past tests go by turbidity, and the tank is read in %s: it gets the dose of water of %s all the while", f.Name, k.Unit(), quantity.To(p.Raw, 3)).
			At(f.DoseAt).Do("read the tank in NTU, or give the dose by turbidity"))
		return clarify.Always(f.Dose.Concentration), said, nil
	}
	if start > p.High {
		return rule, nil, note.Fault("no-dose", "%s: past tests give no dose: the turbidity of past tests is %s to %s, the tank's %s", f.Name, quantity.Number(p.Low), p.High, start).
			Do("run a jar test of the tank's water, or state a dose")
	}
	if rule, err = p.clearing(start); err != nil {
		return rule, nil, err
	}
	said.Add(note.New(note.Info, "past-followed", "%s follows the tank's reading by %d past tests, each step with the dose of its upper end", f.Name, p.Tests).At(f.DoseAt))
	if k.Stop < float64(p.Low) {
		said.Add(note.New(note.Caution, "past-cleaner", "%s: no past test was of water below %s: from there down the tank gets the dose of that", f.Name, quantity.To(p.Low, 3)).
			At(f.DoseAt).Do("take a jar test of the tank's water then, and dose less where it allows"))
	}
	return rule, said, nil
}

// pastWater takes from past tests the doses of clear and of storm water that the row does not state, as far as tests reach; of a storm that
// they do not reach the larger of what the dirtiest water tested and the day take, and says so. It asks about one stated for a storm that is
// less than they say, or than the dose of the day already is.
func (f *FeedInput) pastWater(c site.Chemical, w site.Water) (l note.List) {
	if f.Past == nil {
		return nil
	}
	for _, x := range []struct {
		own *quantity.Known[quantity.Concentration]
		ntu quantity.Known[quantity.Cloudiness]
	}{{&f.Clear, w.ClearTurbidity}, {&f.Storm, w.StormTurbidity}} {
		if d, ok := f.Past.Dose(x.ntu.V); ok && x.ntu.OK && !x.own.OK {
			*x.own = quantity.Known[quantity.Concentration]{V: d, OK: true, At: x.ntu.At}
		}
	}
	if f.Past.Tank {
		return nil
	}
	if !f.Storm.OK && w.StormTurbidity.OK {
		return f.beyondTests(w.StormTurbidity)
	}
	if !c.Storm.OK {
		return nil
	}
	says, need := note.Say("water of %s needs %s by past tests already", quantity.To(f.Past.Raw, 3), quantity.To(f.Dose.Concentration, 3)), f.Dose.Concentration
	if d, ok := f.Past.Dose(w.StormTurbidity.V); ok && w.StormTurbidity.OK {
		says, need = note.Say("past tests say that water of %s needs %s", quantity.To(w.StormTurbidity.V, 3), quantity.To(d, 3)), d
	}
	if f.Storm.V < need {
		l.Add(note.New(note.Caution, "storm-dose-low", "%s: the dose in storm water is %s, and %s", f.Name, quantity.To(f.Storm.V, 3), says).At(c.Storm.At).
			Do("test such water when it comes; empty this dose where tests reach such water, and it follows them"))
	}
	return l
}

// beyondTests gives the dose in a storm of which there is no test: as the usual one may be too little, never less than that of the
// dirtiest water tested.
func (f *FeedInput) beyondTests(storm quantity.Known[quantity.Cloudiness]) (l note.List) {
	dose, what := f.Dose.Concentration, note.Say("that of the day")
	if top, ok := f.Past.Dose(f.Past.High); ok && top > dose {
		dose, what = top, note.Say("that of the dirtiest water tested (%s)", f.Past.High)
	}
	f.Storm = quantity.Known[quantity.Concentration]{V: dose, OK: true, At: storm.At}
	l.Add(note.New(note.Caution, "storm-beyond-tests", "%s: no past test reaches the %s of a storm: storm water is counted at %s, %s, and may take more", f.Name,
		storm.V, quantity.To(dose, 3), what).At(storm.At).Do("test such water when it comes, or state the dose in a storm"))
	return l
}

// RawSetting is a class of raw water with what its dose asks of a pump at some flows.
type RawSetting struct {
	RawClass
	At []FlowSetting
}

// FlowSetting is what a pump feeds at a flow, never less than its dose asks.
type FlowSetting struct {
	Flow quantity.Flow
	pump.Choice
}

// ByRawWater is the pump's card of a feed whose dose comes from past tests: each class of raw water within them, at each
// flow. The stroke of a pump with two knobs stays where one place does for all. None where there is no such dose, or no pump.
func (f Feed) ByRawWater(flows []quantity.Flow) (out []RawSetting) {
	if f.Past == nil || f.Pump == nil || f.PerLitre <= 0 {
		return nil
	}
	var rates []quantity.FeedRate
	for _, c := range f.Past.Classes {
		if !c.Dose.OK || f.inProduct(c.Dose.V) <= 0 {
			continue
		}
		x := RawSetting{RawClass: c}
		for _, q := range flows {
			rates = append(rates, RateFor(f.inProduct(c.Dose.V), q, f.PerLitre))
			x.At = append(x.At, FlowSetting{Flow: q})
		}
		out = append(out, x)
	}
	p := f.pumpFor(f.Pump).Leave(rates...)
	for i := range out {
		for k := range out[i].At {
			out[i].At[k].Choice = p.For(rates[i*len(flows)+k])
		}
	}
	return out
}

// ByRaw is the dose of a raw water by past tests, as product; false where there are none of it.
func (f Feed) ByRaw(raw quantity.Cloudiness) (quantity.Concentration, bool) {
	if f.Past == nil {
		return 0, false
	}
	d, ok := f.Past.Dose(raw)
	d = f.inProduct(d)
	return d, ok && d > 0
}

// inProduct is a dose on the feed's basis, as product; zero where its strength is not known.
func (f Feed) inProduct(d quantity.Concentration) quantity.Concentration {
	x, err := product.Convert(quantity.Dose{Concentration: d, Basis: f.Dose.Basis}, f.Stock.Product, quantity.AsProduct)
	if err != nil {
		return 0
	}
	return x.Concentration
}

// CardFlows are the flows of a card by raw water: few, so that it stays legible.
func CardFlows(least, average, peak quantity.Flow) []quantity.Flow {
	if least >= peak {
		return []quantity.Flow{average}
	}
	return pump.EvenFlows(least, cmp.Or(peak, average), 5)
}
