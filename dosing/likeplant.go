package dosing

import (
	"cmp"
	"slices"

	"jarwright/dosing/flotation"
	"jarwright/dosing/mixing"
	"jarwright/dosing/product"
	"jarwright/dosing/settler"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// LikePlant is how to stir, dose and sample a jar so that it does what the plant does.
type LikePlant struct {
	// Flow is that of the plant, Temperature that of its water; Assumed where the site does not say.
	Flow        quantity.Flow
	Temperature quantity.Temperature
	Assumed     bool
	Stirrer     mixing.Stirrer
	// Paddle and Jar are those of the built-in curve.
	Paddle quantity.Length
	Jar    quantity.Volume
	Steps  []mixing.JarStep
	// Order is what is dosed, the first first; Polymer follows its coagulant after Gap.
	Order   []Dosed
	Polymer bool
	Gap     quantity.Known[quantity.Time]
	// Sample is when and how deep to draw the sample that stands for the settler's loading.
	Sample quantity.Known[Sample]
	// White is the white water over the raw water, Pressure that of the saturator.
	White    quantity.Known[quantity.Fraction]
	Pressure quantity.Known[quantity.Pressure]
	// Floats is true where jars are floated: the site says that its unit floats, or tells its white water.
	Floats bool
	// Unsaid is what the site leaves out that a jar needs to be like the plant.
	Unsaid []string
}

// Dosed is a chemical with the place that it has in the order of addition.
type Dosed struct {
	Name string
	Turn Turned
}

// Turned is the place of a chemical in the order of addition.
type Turned int

const (
	// FirstAdded are acids and alkalis, so that the coagulant meets the pH that it shall have.
	FirstAdded Turned = iota
	// ThenCoagulant is the coagulant with what is no polymer.
	ThenCoagulant
	// LastPolymer is a polymer, once the first flocs are there.
	LastPolymer
)

// Sample is where a sample is drawn and when: Early and Late allow for a real settler, which does less than a jar.
type Sample struct {
	Loading            quantity.Loading
	Depth              quantity.Length
	DepthAssumed       bool
	After, Early, Late quantity.Time
}

// UsualDepth is how deep a jar is sampled where nobody says (common practice, no source).
const UsualDepth quantity.Length = 0.1

// UsualGapLow and UsualGapHigh are how long after the coagulant a polymer is usually added (common practice, no source).
const (
	UsualGapLow  quantity.Time = 30.0 / 3600
	UsualGapHigh quantity.Time = 120.0 / 3600
)

// GapNote is what is said of a polymer that meets the water long before or after it should; false where it does not, or where
// nobody says when.
func (l LikePlant) GapNote() (note.Note, bool) {
	if !l.Polymer || !l.Gap.OK || l.Gap.V >= UsualGapLow && l.Gap.V <= UsualGapHigh {
		return note.Note{}, false
	}
	early := l.Gap.V < UsualGapLow
	within := early && slices.ContainsFunc(l.Steps, func(s mixing.JarStep) bool { return s.Plant.Duty == mixing.Rapid && l.Gap.V < s.Plant.Stay })
	n := note.New(note.Caution, "polymer-gap", "%s", note.Say("polymer meets the water %s after the coagulant; %s to %s is usual", quantity.To(l.Gap.V, 3),
		quantity.To(UsualGapLow, 2).In("s").Bare(), quantity.To(UsualGapHigh, 3).In("s")).
		If(within, ": it is still in the rapid mix, which shears it").
		If(early && !within, ": there are no small flocs yet for it to join").
		If(!early, ": the flocs have grown, or been torn, without it")).At(l.Gap.At).From("common practice, no source")
	if early {
		return n.Do("dose it further on, behind the rapid mix; until then give it to the jars as late as it comes in the plant"), true
	}
	return n.Do("dose it nearer to the coagulant; until then give it to the jars as late as it comes in the plant"), true
}

// UsualStirring is how jars are stirred where nobody knows how the plant mixes (common practice, no source).
func UsualStirring(floats bool) []mixing.JarStep {
	rapid := mixing.JarStep{Plant: mixing.Stage{Duty: mixing.Rapid}, Speed: 100, Stay: 1.0 / 60}
	if floats { // small flocs, which bubbles lift, need less time
		return []mixing.JarStep{rapid, {Plant: mixing.Stage{Duty: mixing.FlotationFloc}, Speed: 30, Stay: 10.0 / 60}}
	}
	return []mixing.JarStep{rapid, {Plant: mixing.Stage{Duty: mixing.Floc}, Speed: 30, Stay: 15.0 / 60}}
}

// UsualSettling is how long jars settle where nobody knows what the settler is loaded with (common practice, no source).
const UsualSettling quantity.Time = 0.5

// Told reports that the site has anything to stir or sample a jar by.
func (l LikePlant) Told() bool { return len(l.Steps) > 0 || l.Sample.OK }

// LikePlantOf works it out of a site at a flow.
func LikePlantOf(s site.Site, q quantity.Flow, dosed []Dosed) LikePlant {
	u := s.Solids
	l := LikePlant{Flow: q, Temperature: s.Water.Temperature.Or(usualTemperature), Assumed: !s.Water.Temperature.OK, Stirrer: StirrerOf(s),
		Paddle: u.JarPaddle.Or(mixing.UsualPaddle), Jar: u.JarWater.Or(mixing.UsualJar), Order: dosed}
	slices.SortStableFunc(l.Order, func(a, b Dosed) int { return cmp.Compare(a.Turn, b.Turn) })
	has := func(t Turned) bool { return slices.ContainsFunc(l.Order, func(d Dosed) bool { return d.Turn == t }) }
	l.Polymer = has(LastPolymer) && has(ThenCoagulant)
	if l.Polymer {
		l.Gap = u.PolymerAfter
	}
	for _, plant := range stagesOf(q, s) {
		if step, err := l.Stirrer.Mimic(plant, l.Temperature); err == nil && step.Needs > 0 {
			l.Steps = append(l.Steps, step)
		}
	}
	unit, floats := UnitOf(s, q)
	saturates := floats && unit.Source == flotation.Saturator
	if saturates && unit.White.OK && q > 0 {
		l.White, l.Pressure = quantity.Some(quantity.Fraction(unit.White.V/q)), unit.Pressure
	}
	if !floats && u.Surface.OK && !u.HighRate.V && q > 0 {
		depth := u.JarDepth.Or(UsualDepth)
		x := Sample{Loading: quantity.Loading(float64(q) / float64(u.Surface.V)), Depth: depth, DepthAssumed: !u.JarDepth.OK}
		x.After = settler.TimeFor(depth, x.Loading)
		x.Early, x.Late = x.After/settler.MostSafety, x.After/settler.LeastSafety
		l.Sample = quantity.Some(x)
	}
	l.Floats = floats && (u.Unit.OK || l.White.OK)
	for _, x := range []struct {
		lacks bool
		what  string
	}{
		{len(l.Steps) == 0, "the volume and the power or head loss of its rapid mix and its flocculation"},
		{!u.Unit.OK && !l.White.OK, "whether its unit is a settler or flotation"},
		{!floats && !u.Surface.OK, "the surface of its settler"},
		{l.Floats && !l.White.OK && saturates, "its recycle"},
	} {
		if x.lacks {
			l.Unsaid = append(l.Unsaid, x.what)
		}
	}
	return l
}

// StirrerOf is the jar stirrer of a site: its own curve, else that of its paddle in its jar.
func StirrerOf(s site.Site) mixing.Stirrer {
	if s.Solids.JarCurve.OK {
		return s.Solids.JarCurve.V
	}
	return mixing.PaddleStirrer(s.Solids.JarPaddle, s.Solids.JarWater)
}

// stagesOf gives the stages of mixing of a plant at a flow, as far as G and time are known.
func stagesOf(q quantity.Flow, s site.Site) (out []mixing.Stage) {
	u, temp, floc := s.Solids, s.Water.Temperature.Or(usualTemperature), mixing.Floc
	if Floats(s) {
		floc = mixing.FlotationFloc
	}
	for _, x := range []struct {
		duty   mixing.Duty
		volume quantity.Known[quantity.Volume]
		power  quantity.Known[quantity.Power]
		head   quantity.Known[quantity.Length]
	}{
		{mixing.Rapid, u.RapidVolume, u.RapidPower, u.RapidHead},
		{floc, u.FlocVolume, u.FlocPower, quantity.Known[quantity.Length]{}},
	} {
		if !x.volume.OK || q <= 0 || !x.power.OK && !x.head.OK {
			continue
		}
		plant := mixing.Stage{Duty: x.duty, Stay: mixing.Stay(x.volume.V, q)}
		if x.head.OK {
			plant.G = mixing.FromHeadLoss(x.head.V, plant.Stay, temp)
		} else {
			plant.G = mixing.FromPower(x.power.V, x.volume.V, temp)
		}
		out = append(out, plant)
	}
	return out
}

// benchProtocol is how the jars behind the plan's doses were stirred and sampled, as the first bench sheet that
// says so has it.
func (p Plan) benchProtocol() jartest.Protocol {
	for _, f := range p.Feeds {
		if f.Jars != nil && f.Jars.Series.Protocol.Told() {
			return f.Jars.Series.Protocol
		}
	}
	return jartest.Protocol{}
}

// dosedOf gives the chemicals of a plan with their turns.
func (p Plan) dosedOf() (out []Dosed) {
	for _, f := range p.Feeds {
		out = append(out, Dosed{f.Name, turnOf(f.Stock.Product)})
	}
	return out
}

// DosedAt gives the chemicals of a site with their turns, as far as it is known what they are.
func DosedAt(s site.Site, catalogue product.Catalogue) (out []Dosed) {
	for _, c := range s.Chemicals {
		if !c.Basis.OK { // which tells nothing of what it is
			c.Basis = quantity.Some(quantity.AsProduct)
		}
		p, _, err := Identify(&c, true, catalogue)
		may := catalogue.Called(c.Name.V)
		switch {
		case err == nil:
			out = append(out, Dosed{c.Name.V, turnOf(p)})
		case len(may) > 0 && !slices.ContainsFunc(may, func(o product.Product) bool { return turnOf(o) != turnOf(may[0]) }):
			out = append(out, Dosed{c.Name.V, turnOf(may[0])}) // whichever of them it is
		}
	}
	return out
}

func turnOf(p product.Product) Turned {
	switch {
	case p.Group == product.Acid || p.Group == product.Alkali:
		return FirstAdded
	case p.IsPolymer():
		return LastPolymer
	}
	return ThenCoagulant
}
