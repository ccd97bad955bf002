// Package pump turns drawdown readings into a line from setting to feed rate,
// and a feed rate into a setting that the knob can stand at. It says how far the
// line can be trusted, what to change when a rate is out of reach, and when to
// calibrate again.
package pump

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Position is where the knobs of a pump stand. Most pumps have one knob: then
// only Setting counts. On a pump with stroke and speed, Setting is the speed.
type Position struct {
	Setting quantity.Setting
	Stroke  quantity.Setting
}

// Reading is one drawdown: what the pump gave at a position.
type Reading struct {
	Position
	// HasStroke is true where the reading tells the stroke too.
	HasStroke bool
	Rate      quantity.FeedRate
	At        note.Place
}

// Drawdown gives the feed rate of a volume drawn from a measuring column in a time.
func Drawdown(v quantity.Volume, t quantity.Time) quantity.FeedRate {
	return quantity.FeedRate(v.In("mL") / t.In("min"))
}

// TimeFor gives how long a pump takes for a volume: what the stopwatch should
// show at the next drawdown.
func TimeFor(v quantity.Volume, r quantity.FeedRate) quantity.Time {
	return quantity.Time(v.In("mL") / float64(r) / 60)
}

// Shape is how a calibration goes from position to rate.
type Shape int

const (
	// Straight is a fitted line: rate = a + b × setting.
	Straight Shape = iota
	// Between joins neighbouring readings, where they bend too much for a line.
	Between
	// Surface is fitted in stroke and speed: rate = a + b·n + c·s + d·n·s.
	Surface
	// ByStroke is rate = speed × (a + b × stroke), for too few readings for a Surface.
	ByStroke
	// Nominal is the nameplate alone: rate = largest rate × setting, not calibrated.
	Nominal
	// NominalByStroke is that of a pump with two knobs: rate = largest rate × speed × stroke.
	NominalByStroke
)

// Calibration is a pump's curve.
type Calibration struct {
	Shape    Shape
	Readings []Reading
	// Residuals are reading minus line, one for each reading.
	Residuals []quantity.FeedRate
	// SD is the residual standard deviation; HasSD is false with no reading to spare.
	SD    quantity.FeedRate
	HasSD bool
	// Stroke is the one stroke that a Straight or Between line holds for.
	Stroke    quantity.Setting
	HasStroke bool
	// Low and High are the lowest and highest position that was tested, knob by knob.
	Low, High Position
	Notes     note.List

	coef    []float64
	inverse *mat.Dense // (XᵀX)⁻¹
	free    int
	joints  []joint // of a Between line
	moved   bool    // the stroke does not stand where the readings were taken
}

type joint struct{ setting, rate float64 }

// FromNameplate gives the line of a pump that was never calibrated: its largest
// rate times the setting.
func FromNameplate(largest quantity.FeedRate) Calibration {
	c := Calibration{Shape: Nominal, coef: []float64{0, float64(largest) / 100}, High: Position{100, 100}}
	return c.uncalibrated(note.Say("the setting comes from the nameplate"))
}

// FromNameplateAt is [FromNameplate] of a pump whose stroke stands short of full, at a share of it: each stroke
// then moves that share of the full one.
func FromNameplateAt(largest quantity.FeedRate, stroke quantity.Setting) Calibration {
	c := Calibration{Shape: Nominal, coef: []float64{0, float64(largest) / 100 * float64(stroke) / 100}, High: Position{100, stroke},
		Stroke: stroke, HasStroke: true}
	return c.uncalibrated(note.Say("the setting comes from the nameplate, of which a stroke of %s is taken to give %s", stroke, stroke))
}

// FromNameplateOfTwo is [FromNameplate] of a pump with stroke and speed: its largest rate times both.
func FromNameplateOfTwo(largest quantity.FeedRate) Calibration {
	c := Calibration{Shape: NominalByStroke, coef: []float64{0, float64(largest) / 100 / 100}, High: Position{100, 100}}
	return c.uncalibrated(note.Say("the setting comes from the nameplate, its feed taken as proportional to stroke and to speed"))
}

func (c Calibration) uncalibrated(whence note.Phrase) Calibration {
	c.Notes.Add(note.New(note.Caution, "not-calibrated",
		"%s; a pump can give a fifth more or less against its own pressure and stock", whence).
		Do("take drawdown readings at three settings").From("common practice, no source"))
	return c
}

// Of gives the calibration of a pump with a name, which its notes then begin with: a site has several.
func (c Calibration) Of(name string) Calibration {
	if name == "" {
		return c
	}
	c.Notes = slices.Clone(c.Notes)
	for i, n := range c.Notes {
		c.Notes[i] = n.After("%s: ", name)
	}
	return c
}

// FromPlate reports that no drawdown stands behind the curve.
func (c Calibration) FromPlate() bool { return c.Shape == Nominal || c.Shape == NominalByStroke }

// Stands tells a calibration where the stroke stands now: readings that were all taken at another one
// say nothing of what the pump feeds there.
func (c *Calibration) Stands(stroke quantity.Setting) {
	if c.TwoKnobs() || c.FromPlate() || !c.HasStroke || stroke <= 0 || stroke == c.Stroke {
		return
	}
	c.moved = true
	c.Notes.Add(note.New(note.Caution, "stroke-moved", "the stroke stands at %s and all drawdown readings were taken at %s: the settings hold with the stroke at %s alone",
		stroke, c.Stroke, c.Stroke).Do("set the stroke to %s before the pump is set, or take drawdowns at %s", c.Stroke, stroke).At(c.Readings[0].At))
}

// terms are what the fitted coefficients multiply.
func (c Calibration) terms(p Position) []float64 {
	n, s := float64(p.Setting), float64(p.Stroke)
	switch c.Shape {
	case Surface:
		return []float64{1, n, s, n * s}
	case ByStroke, NominalByStroke:
		return []float64{n, n * s}
	default:
		return []float64{1, n}
	}
}

// Fit makes a calibration of drawdown readings. At least two different settings
// are needed, because the line of a pump need not pass through zero. Readings at
// two or more strokes make a calibration in stroke and speed.
func Fit(readings []Reading) (Calibration, error) {
	if err := check(readings); err != nil {
		return Calibration{}, err
	}
	c := Calibration{Readings: slices.Clone(readings)}
	slices.SortStableFunc(c.Readings, func(a, b Reading) int {
		return cmp.Or(cmp.Compare(a.Stroke, b.Stroke), cmp.Compare(a.Setting, b.Setting))
	})
	settings, strokes := c.tested()
	var first note.Place
	if len(readings) > 0 {
		first = c.Readings[0].At
	}
	few := func(what string) error {
		return note.Fault("too-few-drawdowns", "%s", what).
			Do("take a drawdown at two settings at least, better at three: near the lowest, middle and highest you use").At(first)
	}
	switch {
	case len(readings) == 0:
		return c, few("there is no drawdown reading")
	case strokes > 0 && slices.ContainsFunc(readings, func(r Reading) bool { return !r.HasStroke }):
		return c, note.Fault("stroke-missing", "some drawdown readings tell the stroke and some do not").
			Do("give the stroke for every reading or for none").At(first)
	case strokes > 1 && settings > 1 && len(readings) >= 4 && c.solve(Surface) == nil:
	case strokes > 1:
		if err := c.solve(ByStroke); err != nil {
			return c, few("the drawdown readings do not tell stroke and speed apart")
		}
		c.Notes.Add(note.New(note.Info, "speed-taken-proportional",
			"too few pairs of stroke and speed were tested: the rate is taken as proportional to speed").
			Do("add drawdowns at two speeds for each of two strokes"))
	case settings < 2:
		return c, few("all drawdown readings are at one setting, and the line of a pump need not pass through zero")
	default:
		if err := c.solve(Straight); err != nil {
			return c, few("the drawdown readings do not give a line")
		}
		c.Stroke, c.HasStroke = c.High.Stroke, strokes == 1
	}
	if err := c.rises(); err != nil {
		return c, err
	}
	c.bend()
	c.swapped()
	c.judge()
	return c, nil
}

// swapped asks about a reading that is clearly below one at a lower setting of the same stroke.
func (c *Calibration) swapped() {
	for _, low := range c.Readings {
		for _, high := range c.Readings {
			const clearly = 0.95 // the usual limit of a check
			if low.Stroke == high.Stroke && low.Setting < high.Setting && high.Rate < low.Rate*clearly {
				c.Notes.Add(note.New(note.Caution, "drawdown-swapped", "the drawdown at %s gave %s, more than the %s at %s: are the two swapped?",
					c.describe(low.Position), low.Rate, high.Rate, c.describe(high.Position)).
					Do("look at what was written down, or repeat both").From("common practice, no source").At(high.At))
				return
			}
		}
	}
}

// check refuses readings that no pump gives.
func check(readings []Reading) error {
	var errs note.List
	for _, r := range readings {
		switch {
		case !(r.Rate >= 0) || !quantity.Finite(r.Rate):
			errs.Add(note.Fault("bad-drawdown", "the drawdown at %s gives %s", r.Setting, r.Rate).Do("a rate is zero or more").At(r.At))
		case !(r.Setting >= 0 && r.Setting <= 100) || r.HasStroke && !(r.Stroke >= 0 && r.Stroke <= 100):
			errs.Add(note.Fault("bad-setting", "setting %s is outside 0 to 100 %%", r.Setting).At(r.At))
		}
	}
	return errs.Err()
}

// tested fills in the lowest and highest position, and counts settings and strokes.
func (c *Calibration) tested() (settings, strokes int) {
	n, s := map[quantity.Setting]bool{}, map[quantity.Setting]bool{}
	c.Low, c.High = Position{100, 100}, Position{}
	for _, r := range c.Readings {
		n[r.Setting] = true
		c.Low.Setting, c.High.Setting = min(c.Low.Setting, r.Setting), max(c.High.Setting, r.Setting)
		if r.HasStroke {
			s[r.Stroke] = true
			c.Low.Stroke, c.High.Stroke = min(c.Low.Stroke, r.Stroke), max(c.High.Stroke, r.Stroke)
		}
	}
	return len(n), len(s)
}

// solve fits the coefficients of a shape by least squares.
func (c *Calibration) solve(shape Shape) error {
	c.Shape = shape
	n := len(c.Readings)
	p := len(c.terms(Position{}))
	if n < p {
		return fmt.Errorf("%d readings for %d coefficients", n, p)
	}
	x, y := mat.NewDense(n, p, nil), mat.NewVecDense(n, nil)
	for i, r := range c.Readings {
		x.SetRow(i, c.terms(r.Position))
		y.SetVec(i, float64(r.Rate))
	}
	var qr mat.QR
	qr.Factorize(x)
	if qr.Cond() > 1e9 {
		return fmt.Errorf("the readings do not tell the coefficients apart")
	}
	var b mat.VecDense
	if err := qr.SolveVecTo(&b, false, y); err != nil {
		return err
	}
	c.coef = b.RawVector().Data
	var xtx mat.Dense
	xtx.Mul(x.T(), x)
	c.inverse = new(mat.Dense)
	if err := c.inverse.Inverse(&xtx); err != nil {
		if _, ill := err.(mat.Condition); !ill { // a warning only
			return err
		}
	}
	c.scatter(n-p, c.fitted)
	return nil
}

// scatter holds the readings against a curve; free is how many are to spare.
func (c *Calibration) scatter(free int, curve func(Position) float64) {
	c.Residuals = make([]quantity.FeedRate, len(c.Readings))
	c.free, c.HasSD, c.SD = free, free > 0, 0
	for i, r := range c.Readings {
		c.Residuals[i] = r.Rate - quantity.FeedRate(curve(r.Position))
	}
	if c.HasSD {
		c.SD = quantity.FeedRate(math.Sqrt(c.squares() / float64(free)))
		if top := c.Readings[len(c.Readings)-1].Rate; c.SD < top*1e-12 { // only the arithmetic made it
			c.SD = 0
		}
	}
}

func (c Calibration) squares() float64 {
	sum := 0.0
	for _, e := range c.Residuals {
		sum += float64(e * e)
	}
	return sum
}

// rises refuses a pump that gives less at a higher setting. A rate taken as
// proportional to speed starts from nothing, whichever speeds were tested.
func (c Calibration) rises() error {
	lo, hi := c.Low, c.High
	if c.Shape == ByStroke {
		lo.Setting = 0
	}
	for _, stroke := range [...]quantity.Setting{lo.Stroke, hi.Stroke} {
		if c.Rate(Position{hi.Setting, stroke}) <= c.Rate(Position{lo.Setting, stroke}) {
			return note.Fault("line-falls", "the drawdown readings say that the pump gives less at a higher setting").
				Do("check the readings: air in the line, a worn valve, or two numbers swapped").At(c.Readings[0].At)
		}
	}
	return nil
}

// bend goes over to joining neighbours where a line misses the readings by more
// than chance and by more than 3 %: at least four settings, a curve that a test of
// its square term shows at the 5 % level, and readings that rise throughout.
func (c *Calibration) bend() {
	if c.Shape != Straight {
		return
	}
	sum, count := map[float64]float64{}, map[float64]float64{}
	for _, r := range c.Readings {
		sum[float64(r.Setting)] += float64(r.Rate)
		count[float64(r.Setting)]++
	}
	if len(sum) < 4 || c.free < 2 {
		return
	}
	worst := 0.0
	for i, r := range c.Readings {
		if r.Rate > 0 {
			worst = math.Max(worst, math.Abs(float64(c.Residuals[i]/r.Rate)))
		}
	}
	if worst <= 0.03 || c.chanceOfBend() > 0.05 {
		return
	}
	var j []joint
	for s, v := range sum {
		j = append(j, joint{s, v / count[s]})
	}
	sort.Slice(j, func(a, b int) bool { return j[a].setting < j[b].setting })
	for i := 1; i < len(j); i++ {
		if j[i].rate <= j[i-1].rate {
			return
		}
	}
	c.joints = j
	c.Shape = Between
	c.Notes.Add(note.New(note.Caution, "line-bends", "the readings bend: a straight line misses them by up to %s %%, so the setting is taken between neighbouring readings", twoDigits(worst*100)).
		Do("take one more drawdown near the setting you use"))
	// With one reading at each setting the scatter about the bent curve is unknown.
	c.scatter(len(c.Readings)-len(j), func(p Position) float64 { return float64(c.Rate(p)) })
}

// chanceOfBend is the chance that readings on a straight line bend this much (F
// test of the square term).
func (c Calibration) chanceOfBend() float64 {
	n := len(c.Readings)
	x, y := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
	for i, r := range c.Readings {
		s := float64(r.Setting) / 100
		x.SetRow(i, []float64{1, s, s * s})
		y.SetVec(i, float64(r.Rate))
	}
	var b mat.VecDense
	if err := b.SolveVec(x, y); err != nil {
		return 1
	}
	var fit, diff mat.VecDense
	fit.MulVec(x, &b)
	diff.SubVec(y, &fit)
	bent, straight := mat.Dot(&diff, &diff), c.squares()
	if bent <= 1e-12*straight {
		return 0
	}
	free := float64(n - 3) // two were left to the line
	f := (straight - bent) / (bent / free)
	return 1 - distuv.F{D1: 1, D2: free}.CDF(math.Max(f, 0))
}

// judge notes what a reader should know of the fit.
func (c *Calibration) judge() {
	switch {
	case c.Shape == Between:
		return
	case !c.HasSD:
		c.Notes.Add(note.New(note.Info, "line-exact", "%d readings fix the line exactly: how far it is off cannot be told",
			len(c.Readings)).
			Do("add a drawdown at a setting in between"))
		return
	}
	for i, r := range c.Readings {
		e := float64(c.Residuals[i])
		if line := float64(r.Rate) - e; line > 0 && math.Abs(e)/line > 0.05 {
			c.Notes.Add(note.New(note.Caution, "drawdown-off", "the drawdown at %s is %s %% off the line", c.describe(r.Position),
				twoDigits(100*e/line)).
				Do("repeat that drawdown; 5 %% is the usual limit").From("common practice, no source").At(r.At))
		}
	}
}

func (c Calibration) describe(p Position) note.Phrase {
	if c.TwoKnobs() {
		return note.Say("stroke %s, speed %s", p.Stroke, p.Setting)
	}
	return note.Say("%s", p.Setting)
}

// TwoKnobs reports that the calibration is in stroke and speed.
func (c Calibration) TwoKnobs() bool {
	return c.Shape == Surface || c.Shape == ByStroke || c.Shape == NominalByStroke
}

// NamesStroke reports that a setting says where the stroke stands: it is set with the speed, or the curve is of one
// that is not the full stroke, or not where it stands.
func (c Calibration) NamesStroke() bool {
	return c.TwoKnobs() || c.HasStroke && (c.Stroke < 100 || c.moved)
}

// Line gives intercept (mL/min) and slope (mL/min per %) of a straight line.
func (c Calibration) Line() (intercept, slope quantity.FeedRate, ok bool) {
	if c.Shape != Straight && c.Shape != Nominal || len(c.coef) != 2 {
		return 0, 0, false
	}
	return quantity.FeedRate(c.coef[0]), quantity.FeedRate(c.coef[1]), true
}

// Rate gives what the pump feeds at a position, never below zero.
func (c Calibration) Rate(p Position) quantity.FeedRate {
	if c.joints == nil {
		return quantity.FeedRate(math.Max(0, c.fitted(p)))
	}
	s := float64(p.Setting)
	a, b := c.piece(s)
	return quantity.FeedRate(math.Max(0, a.rate+(b.rate-a.rate)*(s-a.setting)/(b.setting-a.setting)))
}

func (c Calibration) fitted(p Position) float64 {
	v := 0.0
	for i, t := range c.terms(p) {
		v += c.coef[i] * t
	}
	return v
}

// piece gives the ends of the piece in which a setting lies; beyond the ends it goes on
// with the end pieces.
func (c Calibration) piece(s float64) (a, b joint) {
	j := c.joints
	i := sort.Search(len(j)-2, func(i int) bool { return j[i+1].setting >= s })
	return j[i], j[i+1]
}

// UsualScatter is how far drawdowns scatter about a pump's line as a share of the rate: half of
// the 5 % that a check may be off (common practice, no source). It counts as much as so
// many readings to spare where there are fewer than enough.
const (
	UsualScatter = quantity.Fraction(0.025)
	asMany       = 4
	enough       = 2
	inTwenty     = 0.975
)

// FewToSpare reports that the band rests on how drawdowns usually scatter, as too few
// readings of this pump tell it.
func (c Calibration) FewToSpare() bool { return c.free < enough && !c.FromPlate() }

// scattering is the standard deviation of a reading at a rate, and by how many readings
// to spare it is known. One reading to spare alone would say "0 to 155 mL/min".
func (c Calibration) scattering(rate quantity.FeedRate) (sd quantity.FeedRate, free float64) {
	if !c.FewToSpare() {
		return c.SD, float64(c.free)
	}
	free = asMany + float64(c.free)
	sum := asMany*float64(UsualScatter*UsualScatter)*float64(rate*rate) + float64(c.free)*float64(c.SD*c.SD)
	return quantity.FeedRate(math.Sqrt(sum / free)), free
}

// Band gives the range that a drawdown at that position should fall into, 19
// times in 20; false without readings.
func (c Calibration) Band(p Position) (low, high quantity.FeedRate, ok bool) {
	if c.FromPlate() {
		return 0, 0, false
	}
	r := c.Rate(p)
	sd, free := c.scattering(r)
	t := distuv.StudentsT{Sigma: 1, Nu: free}.Quantile(inTwenty)
	spread := 1.0
	if c.Shape != Between && c.inverse != nil {
		x := mat.NewVecDense(len(c.coef), c.terms(p))
		spread += mat.Inner(x, c.inverse, x)
	}
	half := quantity.FeedRate(t*math.Sqrt(spread)) * sd
	return max(0, r-half), r + half, true
}

// Tested reports that a position lies between the lowest and highest tested.
func (c Calibration) Tested(p Position) bool {
	if c.FromPlate() {
		return true
	}
	ok := p.Setting >= c.Low.Setting && p.Setting <= c.High.Setting
	if c.TwoKnobs() {
		ok = ok && p.Stroke >= c.Low.Stroke && p.Stroke <= c.High.Stroke
	}
	return ok
}
