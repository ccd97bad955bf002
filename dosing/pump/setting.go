package pump

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Knob is what a knob can do: the steps it can be set to, and its ends. Zero
// fields mean steps of 1 %, from 0 to 100 %.
type Knob struct {
	Step, Low, High quantity.Setting
}

func (k Knob) step() quantity.Setting { return cmp.Or(max(k.Step, 0), 1) }

func (k Knob) top() quantity.Setting { return cmp.Or(max(k.High, 0), 100) }

// Steps are the smallest step of the knob and its lowest and highest position, both whole steps.
func (k Knob) Steps() (step, low, high quantity.Setting) {
	step = k.step()
	low, high = quantity.Setting(math.Ceil(float64(k.Low/step)-1e-9)), quantity.Setting(math.Floor(float64(k.top()/step)+1e-9))
	return step, low * step, high * step
}

// hairStep is the part of a step that arithmetic may lose: a place that near to halfway between two steps is halfway.
const hairStep = 1e-9

// round gives the nearest position that the knob can stand at, halfway between two the higher one: too little
// leaves the water as it is.
func (k Knob) round(s quantity.Setting) quantity.Setting {
	step, low, high := k.Steps()
	return min(max(quantity.Setting(math.Floor(float64(s/step)+0.5+hairStep))*step, low), high)
}

// RoundRule is that rule as a formula of a workbook, on the cells of an exact place, the step and the two ends.
func RoundRule(exact, step, low, high string) string {
	return fmt.Sprintf("MIN(MAX(INT(%s/%s+0.5+%.9f)*%[2]s,%[4]s),%[5]s)", exact, step, hairStep, low, high)
}

// Pump is a metering pump as it is installed.
type Pump struct {
	Name        string
	Calibration Calibration
	Setting     Knob // the only knob, or the speed
	Stroke      Knob // of a pump with both
	// OfScale is the maker's accuracy as a share of full scale; zero where not known.
	OfScale quantity.Fraction
	// Turndown is how many times smaller than the largest the smallest steady
	// rate is; zero is not known: 10 for each knob is then assumed, which is said and stops nothing.
	Turndown float64
	// Stays is where the stroke of a pump with both stands or is left, while the speed is
	// moved; zero lets each rate choose. See [Pump.Leave].
	Stays quantity.Setting
	// NoLess is true where no setting may feed less than its rate, as where a dose is on the safe side of a tested line already.
	NoLess bool
	// Scale is that of the knob, where it has marks of its own.
	Scale Scale
	// Tube is the tube in a peristaltic pump, as people name it.
	Tube string
}

// Scale is what a knob shows, such as 100 rpm, 50 Hz or 10 marks, at 100 %. The zero
// value is one in per cent.
type Scale struct {
	Top  float64
	Unit string
}

// Shows gives what the knob shows at a setting.
func (s Scale) Shows(at quantity.Setting) float64 { return s.Top * float64(at) / 100 }

// Capacity gives the most that the pump feeds: its curve with the knobs at their
// top, which may lie beyond the drawdown readings.
func (p Pump) Capacity() quantity.FeedRate {
	return p.Calibration.Rate(Position{p.Setting.top(), p.Stroke.top()})
}

// Smallest gives the least steady rate: capacity over turndown.
func (p Pump) Smallest() quantity.FeedRate { return p.Capacity() / quantity.FeedRate(p.turndown()) }

// Least gives the least rate that a setting is refused below: the least steady one where
// the turndown is given. What is only assumed refuses nothing.
func (p Pump) Least() quantity.FeedRate {
	if p.Turndown <= 0 {
		return 0
	}
	return p.Smallest()
}

// turndown is 10 to 1 for each knob where the user gives none (API Standard 675, as summarised).
func (p Pump) turndown() float64 {
	if p.Turndown <= 0 && p.Calibration.TwoKnobs() {
		return 100
	}
	return cmp.Or(max(p.Turndown, 0), 10)
}

// Reach says whether a pump can feed a rate.
type Reach int

const (
	// Within is a rate that the pump feeds steadily.
	Within Reach = iota
	// TooMuch is above its capacity.
	TooMuch
	// TooLittle is below its turndown, below what its lowest setting gives, or where its knob is too
	// coarse: see [NoDose].
	TooLittle
)

// Choice is a setting for a feed rate.
type Choice struct {
	Wanted quantity.FeedRate
	// Exact is the position that the curve gives, Position where the knobs can stand best: see
	// [Pump.AtStroke]. Gives is what the pump feeds there.
	Exact, Position Position
	Gives           quantity.FeedRate
	// Nearest is the place of the only knob, or of the speed, nearest to the exact one.
	Nearest quantity.Setting
	// Error is (Gives − Wanted) / Wanted: how far off the dose is by rounding alone.
	Error quantity.Fraction
	// Raised is true where that is by the step above the nearest one: see [Pump.NoLess].
	Raised bool
	// Low and High bound what a drawdown should show there, 19 times in 20.
	Low, High quantity.FeedRate
	HasBand   bool
	// Accuracy is the maker's accuracy as a share of this rate; zero where not known.
	Accuracy quantity.Fraction
	Reach    Reach
	// Tested is false where the position lies outside the drawdown readings.
	Tested bool
	Notes  note.List
}

// For gives the setting for a feed rate. On a pump with stroke and speed it is the
// speed at the stroke that stays, or else the pair that feeds the rate most accurately.
func (p Pump) For(rate quantity.FeedRate) Choice {
	switch {
	case !p.Calibration.TwoKnobs():
		return p.AtStroke(rate, p.Calibration.Stroke)
	case p.Stays > 0:
		return p.AtStroke(rate, p.Stays)
	}
	return p.settle(p.pair(rate))
}

// settle moves the speed of a choice to the safe side, and gives it with what there is to say: a step higher where its rounding would feed less
// than the rate and the pump is one of [Pump.NoLess].
func (p Pump) settle(c Choice) Choice {
	c = p.onTheSafeSide(c)
	if p.NoLess && more(c.Wanted, c.Gives) && p.finish(c).Reach == Within {
		up := c
		if p.stand(&up, p.Setting.round(c.Position.Setting+p.Setting.step())); more(up.Gives, c.Gives) {
			c = up
		}
	}
	c.Raised = p.NoLess && more(c.Position.Setting, c.Nearest)
	return p.finish(c)
}

// AtStroke gives the speed for a feed rate with the stroke left where it is, as
// for a pump whose speed follows the flow: the nearest step of the knob, or the one above it
// where the nearest falls short of the dose by more than [OffDose] and the other is not much worse, or at all where it is to feed no less.
func (p Pump) AtStroke(rate quantity.FeedRate, stroke quantity.Setting) Choice {
	return p.settle(p.at(rate, stroke))
}

// Leave gives the pump with its stroke left at one place for all these rates, so that only
// the speed has to be moved: where it stands, if it [Pump.Keeps] it; else the shortest stroke,
// not below 30 %, that feeds all of them within what was tested; else as [Pump.StrokeFor]
// says. Where no one stroke feeds them all, each has its own.
func (p Pump) Leave(rates ...quantity.FeedRate) Pump { return p.leave(rates).movedFrom(p.Stays) }

func (p Pump) leave(rates []quantity.FeedRate) Pump {
	rates = slices.DeleteFunc(slices.Clone(rates), func(r quantity.FeedRate) bool { return r <= 0 })
	if !p.Calibration.TwoKnobs() || len(rates) == 0 {
		return p
	}
	feeds := func(stroke quantity.Setting, tested bool) bool {
		return stroke > 0 && !slices.ContainsFunc(rates, func(r quantity.FeedRate) bool {
			c := p.AtStroke(r, stroke)
			return c.Reach != Within || tested && !c.Tested
		})
	}
	if p.Keeps(rates...) {
		return p
	}
	for p.Stays = p.shortest(); p.Stays <= p.Stroke.top(); p.Stays += p.Stroke.step() {
		if feeds(p.Stays, true) {
			return p
		}
	}
	if p.Stays = p.StrokeFor(slices.Max(rates)); !feeds(p.Stays, false) {
		p.Stays = 0
	}
	return p
}

// movedFrom says that the stroke does not stay where it stands.
func (p Pump) movedFrom(stood quantity.Setting) Pump {
	if stood <= 0 || p.Stays == stood {
		return p
	}
	n := note.New(note.Info, "stroke-moves", "the stroke of %s stands at %s, where not all of its feeds lie within reach and what was tested", p.name(), stood)
	if n = n.Do("set the stroke that stands beside each setting"); p.Stays > 0 {
		n = n.Do("move it to %s", p.Stays)
	}
	p.Calibration.Notes = append(slices.Clone(p.Calibration.Notes), n)
	return p
}

// BeyondTested is how far a speed may lie beyond those of the drawdowns, as a share of the
// nearest, before a stroke is moved for it (common practice, no source).
const BeyondTested = quantity.Fraction(0.1)

// Keeps reports that the stroke may stay where it stands for all these rates: they are in
// reach there at speeds that were tested or nearly so.
func (p Pump) Keeps(rates ...quantity.FeedRate) bool {
	cal := p.Calibration
	return p.Stays > 0 && !slices.ContainsFunc(rates, func(r quantity.FeedRate) bool {
		c := p.AtStroke(r, p.Stays)
		low, high := cal.Low.Setting/quantity.Setting(1+BeyondTested), cal.High.Setting*quantity.Setting(1+BeyondTested)
		near := Position{min(max(c.Position.Setting, cal.Low.Setting), cal.High.Setting), p.Stays}
		return c.Reach != Within || c.Position.Setting < low || c.Position.Setting > high || !cal.Tested(near)
	})
}

// shortest is the least stroke to leave a pump at: valves and pulses make a shorter one uneven.
func (p Pump) shortest() quantity.Setting {
	return p.Stroke.round(max(30, p.Stroke.Low, p.Calibration.Low.Stroke))
}

func (p Pump) at(rate quantity.FeedRate, stroke quantity.Setting) Choice {
	c := Choice{Wanted: rate}
	if c.Off() {
		c.Exact.Stroke, c.Position.Stroke = stroke, stroke
		return c
	}
	c.Exact = Position{p.Calibration.invert(rate, stroke), stroke}
	p.stand(&c, p.Setting.round(c.Exact.Setting))
	c.Nearest = c.Position.Setting
	return c
}

// onTheSafeSide gives the speed a step higher where the nearest feeds less by more than [OffDose] and the one
// above is not [Short] times as far off.
func (p Pump) onTheSafeSide(c Choice) Choice {
	up := c
	p.stand(&up, p.Setting.round(c.Nearest+p.Setting.step()))
	if c.Gives < quantity.FeedRate(1-OffDose)*c.Wanted && more(c.Gives, p.Capacity()*nothing) && up.Gives-c.Wanted < Short*(c.Wanted-c.Gives) {
		return up
	}
	return c
}

// stand moves the speed of a choice.
func (p Pump) stand(c *Choice, speed quantity.Setting) {
	c.Position.Setting, c.Position.Stroke = speed, c.Exact.Stroke
	c.Gives = p.Calibration.Rate(c.Position)
}

// Piece is a straight part of a pump's curve at one stroke: feed = Zero + Slope × setting,
// for feeds above Above.
type Piece struct {
	Above, Zero, Slope quantity.FeedRate
}

// Pieces gives the curve at a stroke as straight parts, the lowest first. A setting is
// worked out from them alone, here and on sheets that people calculate with.
func (c Calibration) Pieces(stroke quantity.Setting) []Piece {
	s := float64(stroke)
	piece := func(zero, slope float64) []Piece {
		return []Piece{{quantity.FeedRate(math.Inf(-1)), quantity.FeedRate(zero), quantity.FeedRate(slope)}}
	}
	switch c.Shape {
	case Between:
		var out []Piece
		for i, b := range c.joints[1:] {
			a := c.joints[i]
			slope := (b.rate - a.rate) / (b.setting - a.setting)
			out = append(out, Piece{quantity.FeedRate(a.rate), quantity.FeedRate(a.rate - slope*a.setting), quantity.FeedRate(slope)})
		}
		out[0].Above = quantity.FeedRate(math.Inf(-1))
		return out
	case Surface:
		return piece(c.coef[0]+c.coef[2]*s, c.coef[1]+c.coef[3]*s)
	case ByStroke, NominalByStroke:
		return piece(0, c.coef[0]+c.coef[1]*s)
	default:
		return piece(c.coef[0], c.coef[1])
	}
}

// invert gives the setting of a rate at a stroke, which may lie outside 0 to 100.
func (c Calibration) invert(rate quantity.FeedRate, stroke quantity.Setting) quantity.Setting {
	var on Piece
	for _, p := range c.Pieces(stroke) {
		if rate > p.Above {
			on = p
		}
	}
	return quantity.Setting((rate - on.Zero) / on.Slope)
}

// pair tries every stroke that the knob can stand at and takes the pair whose
// expected relative error is least.
func (p Pump) pair(rate quantity.FeedRate) Choice {
	best, least := Choice{}, math.Inf(1)
	for s := p.Stroke.round(p.Stroke.top()); s > 0 && s >= p.Stroke.Low; s -= p.Stroke.step() {
		c := p.at(rate, s)
		if c.Exact.Setting > p.Setting.top()+1e-9 || c.Exact.Setting < p.Setting.Low {
			continue
		}
		if e := p.unsure(c); e < least {
			best, least = c, e
		}
	}
	if math.IsInf(least, 1) { // out of reach: show the end that comes nearest
		stroke := p.Stroke.round(p.Stroke.top())
		if rate < p.Capacity() {
			stroke = p.Stroke.round(max(p.Stroke.Low, p.Stroke.step()))
		}
		best = p.at(rate, stroke)
	}
	return best
}

// unsure is the expected relative error of a pair: how coarse each knob is
// there, the scatter of the calibration, and what the rounding leaves. Strokes
// below 30 % and speeds below 10 % count as worse, because valves and pulses then
// make the feed uneven; so do positions outside what was tested.
func (p Pump) unsure(c Choice) float64 {
	r := float64(c.Gives)
	if r <= 0 {
		return math.Inf(1)
	}
	cal := p.Calibration
	slope := func(dn, ds quantity.Setting) float64 {
		a := cal.Rate(Position{c.Position.Setting + dn, c.Position.Stroke + ds})
		b := cal.Rate(Position{c.Position.Setting - dn, c.Position.Stroke - ds})
		return float64(a-b) / 2
	}
	// a knob is set to a quarter of its step
	speed := slope(p.Setting.step()/4, 0) / r
	stroke := slope(0, p.Stroke.step()/4) / r
	rounding := float64(c.Gives-c.Wanted) / float64(c.Wanted)
	scatter := 0.0
	if cal.HasSD {
		scatter = float64(cal.SD) / r
	}
	weak := max(0, float64(30-c.Position.Stroke)/30)
	slow := max(0, float64(10-c.Position.Setting)/10)
	sum := speed*speed + stroke*stroke + rounding*rounding + scatter*scatter + 0.01*weak*weak + 0.04*slow*slow
	outside := func(v, lo, hi quantity.Setting) float64 { return float64(max(lo-v, v-hi, 0)) / 100 }
	o := outside(c.Position.Setting, cal.Low.Setting, cal.High.Setting) + outside(c.Position.Stroke, cal.Low.Stroke, cal.High.Stroke)
	return math.Sqrt(sum + 0.09*o*o)
}

// StrokeFor gives the stroke to leave the pump at while its speed follows the
// flow from the least to the peak rate: the shortest tested one, not below 30 %, at
// which the peak needs at most 90 % speed, so that the least is as far from
// standstill as it can be.
func (p Pump) StrokeFor(peak quantity.FeedRate) quantity.Setting {
	top := p.Stroke.round(p.Stroke.top())
	if !p.Calibration.TwoKnobs() {
		return p.Calibration.Stroke
	}
	for s := p.shortest(); s < top; s += p.Stroke.step() {
		if n := p.Calibration.invert(peak, s); n > 0 && n <= 0.9*p.Setting.top() {
			return s
		}
	}
	return top
}

// Off reports that the pump has nothing to feed: it stands still, whatever its line would give at some setting.
func (c Choice) Off() bool { return c.Wanted <= 0 }

// finish works out the error, the band and what there is to say.
func (p Pump) finish(c Choice) Choice {
	if c.Off() {
		return c
	}
	c.Error = quantity.Fraction(float64(c.Gives-c.Wanted) / float64(c.Wanted))
	if c.Gives > 0 {
		c.Accuracy = p.OfScale * quantity.Fraction(p.Capacity()/c.Gives)
	}
	c.Low, c.High, c.HasBand = p.Calibration.Band(c.Position)
	c.Tested = p.Calibration.Tested(c.Position)
	lowest := p.Calibration.Rate(Position{p.Setting.round(p.Setting.Low), c.Position.Stroke})
	least := p.Least()
	if p.Setting.Low > 0 {
		least = max(least, lowest)
	}
	switch {
	case more(c.Wanted, p.Capacity()) || more(c.Exact.Setting, p.Setting.top()):
		c.Reach = TooMuch
		c.Notes.Add(note.New(note.Caution, "pump-too-small", "%s gives at most %s; %s is asked for", p.name(), p.Capacity(), c.Wanted))
	case c.below(least) || c.Exact.Setting <= 0 || !more(c.Gives, p.Capacity()*nothing):
		c.Reach = TooLittle
		c.Notes.Add(note.New(note.Caution, "pump-too-large", "%s is below what %s feeds steadily (%s)", c.Wanted, p.name(), p.leastSays(lowest)))
	case p.FarOff(c):
		c.Reach = TooLittle
		c.Notes.Add(p.tooCoarse(c).Do("dilute the stock so that the pump runs higher, or use a smaller pump head"))
	case c.Coarse():
		c.Notes.Add(note.New(note.Caution, "knob-coarse", "the setting, %s, feeds %s: the dose is %s",
			p.Calibration.describe(c.Position), c.Gives, offBy(c.Error)).
			Do("dilute the stock so that the pump runs higher, or set by drawdown"))
	}
	if c.Reach == Within && !c.Tested {
		c.Notes.Add(note.New(note.Caution, "outside-drawdown", "%s lies outside the drawdown readings (%s to %s)",
			p.Calibration.describe(c.Position),
			p.Calibration.describe(p.Calibration.Low), p.Calibration.describe(p.Calibration.High)).
			Do("take a drawdown there before relying on it"))
	}
	return c
}

// tooCoarse says that no place of the knob is near enough.
func (p Pump) tooCoarse(c Choice) note.Note {
	return note.New(note.Caution, "knob-too-coarse", "%s lies between two steps of the knob of %s: at the better one, %s, it feeds %s and the dose is %s",
		c.Wanted, p.name(), p.Calibration.describe(c.Position), c.Gives, offBy(c.Error))
}

// leastSays names the limit that refuses a low rate: the turndown where one is given, else what
// the pump feeds with its knob at the low end, or a step from standstill.
func (p Pump) leastSays(lowest quantity.FeedRate) note.Phrase {
	switch least := p.Least(); {
	case least > 0 && least >= lowest:
		return note.Say("%s, a turndown of %s to 1", least, twoDigits(p.turndown()))
	case lowest <= 0:
		stroke := p.Stroke.round(max(p.Stroke.Low, p.Stroke.step()))
		first := p.Calibration.Rate(Position{p.Setting.step(), stroke})
		return note.Say("%s at the first step of its knob", first)
	}
	return note.Say("%s at the lowest setting of its knob", lowest)
}

// Coarse reports that the knob's step puts the dose off by more than is left unsaid: that is half a step where the nearest is taken, and a whole
// one where the step above is meant.
func (c Choice) Coarse() bool {
	most := OffDose
	if c.Raised {
		most *= 2
	}
	return math.Abs(float64(c.Error)) > most
}

// FarOff reports that the pump feeds, but that the step that its knob is said to have puts the dose off by more than
// any plan can stand for. A step that is only assumed refuses nothing.
func (p Pump) FarOff(c Choice) bool {
	return p.Setting.Step > 0 && c.Exact.Setting > 0 && c.Gives > 0 && math.Abs(float64(c.Error)) > NoDose
}

// nothing is the share of a pump's capacity that only the arithmetic of its curve leaves at a standstill.
const nothing = 1e-9

// OffDose is how far rounding to the knob's step may put a dose off before it is said.
const OffDose = 0.05

// Short is how many times as far off a dose may be above as below before the lower is taken: too little leaves
// the water as it is (common practice, no source).
const Short = 2

// NoDose is how far it may put a dose off before there is no setting: a knob with fewer than about four
// steps below its place doses by chance (common practice, no source).
const NoDose = 0.25

// below reports that a rate is less than a least one, and so is what the knob's nearest
// step feeds, or that step is too far off.
func (c Choice) below(least quantity.FeedRate) bool {
	return more(least, c.Wanted) && (more(least, c.Gives) || c.Coarse())
}

// more reports that one is larger than the other by more than rounding.
func more[T ~float64](a, b T) bool { return a > b*(1+1e-9) }

func offBy(f quantity.Fraction) note.Phrase {
	if f < 0 {
		return note.Say("%s low", quantity.Full(-f, 2))
	}
	return note.Say("%s high", quantity.Full(f, 2))
}

func (p Pump) name() string {
	if p.Name == "" || strings.Contains(strings.ToLower(p.Name), "pump") {
		return cmp.Or(p.Name, "the pump")
	}
	return "pump " + p.Name
}
