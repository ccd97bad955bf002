package history

import (
	"cmp"
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// Water is what is known of a raw water, each reading in the unit of its kind.
type Water map[jartest.Key]float64

// Told are the readings of raw water that a test is told by, in the order of a line.
var Told = []jartest.Key{jartest.Turbidity, jartest.TemperatureKey, jartest.PH, jartest.AlkalinityKey, jartest.UV254}

// Test is one series of a past bench sheet, without its jars.
type Test struct {
	Day  Day
	Name string
	At   note.Place
	// Chemical was varied; Beside are what all jars got as well.
	Chemical jartest.Chemical
	Beside   []curve.Fixed
	Targets  []jartest.Target
	Raw      Water
	// Control is true where the turbidity is that of the jar without chemical, which has settled.
	Control bool
	Outcome curve.Outcome
	// Effective is the lowest effective dose, of a test that found one.
	Effective curve.Interval
	// Stated is the dose as its sheet counts it, of a test whose dose was turned to the basis of the others.
	Stated quantity.Known[quantity.Dose]
	// Tested are the lowest and the highest dose with a reading; Clouds is the dose from which more made it worse.
	TestedLow, TestedHigh quantity.Concentration
	Clouds                quantity.Known[quantity.Concentration]
	// Pair is true where two things differed between the jars: its dose is that of the first beside the second.
	Pair bool
	// Copies are where the same jars stand again; they count once.
	Copies []Copy
	print  string
}

// Copy is a test that stands again in another file or sheet.
type Copy struct {
	Day Day
	At  note.Place
	// Alike is false where the copy says another chemical or basis.
	Alike bool
}

// Of is the line of a series with its fit.
func Of(s jartest.Series, r curve.Result) Test {
	t := lineOf(s)
	t.Chemical, t.Beside, t.Targets, t.Outcome = r.Chemical, r.Beside, r.Targets, r.Outcome
	t.Effective, t.TestedLow, t.TestedHigh = r.Effective, r.TestedLow, r.TestedHigh
	t.Clouds = quantity.Known[quantity.Concentration]{V: r.Overdose.From, OK: r.Overdose.Seen}
	t.Pair = r.Factor != "dose" // a series against pH has no lowest dose
	return t
}

// OfPair is the line of a series in which two things differ between the jars. It stands in the list
// and in no law: its dose hangs on the second thing.
func OfPair(s jartest.Series, r surface.Result) Test {
	t := lineOf(s)
	t.Chemical, t.Targets, t.Outcome, t.Pair = r.First.Chemical, r.Targets, r.Outcome, true
	t.Chemical.Name += " and " + cmp.Or(r.Second.Name, "pH")
	return t
}

func lineOf(s jartest.Series) Test {
	t := Test{Name: s.Name, At: s.Place, Raw: Water{}, Day: dayOf(s), print: s.Print()}
	for _, k := range Told {
		if v, ok := s.RawReading(k); ok {
			t.Raw[k] = v
		}
	}
	_, any := t.Raw[jartest.Turbidity]
	t.Control = any && s.Raw[jartest.Turbidity].State != jartest.Number
	return t
}

// wide is how many standard errors lie between the middle and the end of an interval of 90 %: the
// 95th percentile of the normal distribution.
const wide = 1.6448536269514722

// unsure is the relative standard error of a dose whose interval has no end within the tested range.
const unsure = 0.4

// relative is the standard error of the test's own dose, as a share of it.
func (t Test) relative() float64 {
	e, v := t.Effective, float64(t.Effective.Value)
	low, high := math.Max(float64(e.Low), v/100), float64(e.High)
	s := unsure
	switch {
	case e.HasLow && e.HasHigh && high > low:
		s = math.Log(high/low) / (2 * wide)
	case e.HasLow && v > low:
		s = math.Log(v/low) / wide
	case e.HasHigh && high > v:
		s = math.Log(high/v) / wide
	}
	return math.Min(math.Max(s, 0.005), 1)
}

// why says why a test is in no law; empty where it is in one.
func (t Test) why() string {
	_, turbid := t.Raw[jartest.Turbidity]
	switch {
	case t.Pair:
		return "two things were varied, or the pH"
	case t.Outcome != curve.Found:
		return "no lowest dose"
	case !(t.Effective.Value > 0):
		return "a dose of nothing"
	case !turbid || !(t.Raw[jartest.Turbidity] > 0):
		return "no raw turbidity"
	}
	return ""
}

// before orders tests by day, then by place; those without a day come last.
func before(a, b Test) int {
	return cmp.Or(a.Day.compare(b.Day), placed(a.At, b.At), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Chemical.Name, b.Chemical.Name), cmp.Compare(a.print, b.print))
}

// placed orders places by file and sheet, and cells as they stand under each other.
func placed(a, b note.Place) int {
	return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Sheet, b.Sheet), cmp.Compare(len(a.Cell), len(b.Cell)), cmp.Compare(a.Cell, b.Cell))
}

// withoutCopies counts jars once that stand in several places: the same doses and readings, digit for
// digit. The earliest day stands, then the first place, whatever the order in which files came.
func withoutCopies(all []Test) (out []Test) {
	slices.SortFunc(all, before)
	first := map[string]int{}
	for _, t := range all {
		at, again := first[t.print]
		if t.print == "" || !again {
			first[t.print] = len(out)
			out = append(out, t)
			continue
		}
		out[at].Copies = append(out[at].Copies, Copy{Day: t.Day, At: t.At, Alike: t.Chemical.Name == out[at].Chemical.Name && t.Chemical.Basis == out[at].Chemical.Basis})
	}
	return out
}
