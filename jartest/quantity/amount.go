// Package quantity holds the amounts that the bench and the plant speak of, each
// as a type of its own, so that a dose as product cannot be taken for a dose as
// aluminium, nor a feed of stock for a flow of water. Values are kept in one
// working unit a type (named at each); [Parse] reads what people write ("35 gpm",
// "12.5 mg/L") and refuses a number without a unit.
//
// All types that are a number in a unit are [Amount] of a kind, and a kind is a
// row of data: what it is called, its units, how it is shown. What they share is
// written once, in this file; the rows stand in bench.go and plant.go.
//
// Gallons are US gallons unless the text says imperial.
package quantity

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"

	"jarwright/jartest/note"
)

// System is the family of units that a reader wants to see.
type System int

const (
	// Metric is the default: m3/h, L, kg.
	Metric System = iota
	// US shows what is weighed, poured and read there.
	//
	//	what                 from small to large
	//	mass                 g below half an ounce, oz below a pound, lb
	//	mass per day         g/d, oz/d, lb/d at the same sizes
	//	volume               mL below a cup (8 fl oz), fl oz below half a gallon, gal, million gal
	//	length               in below a foot, ft
	//	flow                 gpm
	//	area, loading        ft2, gpm/ft2, lb/ft2/h
	//	density              lb/gal
	//	pressure             psi
	//	temperature          F
	//	ratio                lb/lb
	//	price                per lb, short ton, gal; of water per 1000 gal
	//
	// Doses and concentrations stay in mg/L and g/L, feed rates in mL/min (drawdown columns
	// are read in mL), power in W and kW, and all else as in Metric, as the trade does there.
	US
)

// Quantity is anything with a value and a unit in either system.
type Quantity interface {
	// Show gives the value and its unit in that system.
	Show(System) (value float64, unit string)
}

// text is the shared String, for sentences: four significant digits without idle
// zeros, and the metric unit.
func text(q Quantity) string {
	v, u := q.Show(Metric)
	return Brief(v, 4) + " " + u
}

// Finite reports that the quantity holds an ordinary number.
func Finite(q Quantity) bool { v, _ := q.Show(Metric); return finite(v) }

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Amount is a number in the working unit of its kind. [Flow], [Volume], [Mass] and
// the others are amounts of different kinds: none can be taken for another.
type Amount[K measured] float64

// measured is an empty type that names a kind at compile time.
type measured interface{ kind() *kind }

func (Amount[K]) kind() *kind { var k K; return k.kind() }

// In gives the amount in a unit of its kind, by a name that [Parse]
// knows in exactly that spelling. Any other name is a programmer's mistake and gives NaN.
func (a Amount[K]) In(unit string) float64 { return a.kind().in(float64(a), unit) }

// Show implements [Quantity]: the value and the unit that suit its size.
func (a Amount[K]) Show(s System) (float64, string) { return a.kind().show(float64(a), s) }

// String gives four significant digits and the metric unit, for sentences.
func (a Amount[K]) String() string { return text(a) }

// Parse reads a number with a unit of the kind asked for, such as Parse[Loading]("8 m/h").
// With an error, a [note.Note] that says what is wrong and what to write, the amount is zero.
// What a kind's limits leave out is an error too.
func Parse[Q interface {
	~float64
	measured
}](s string) (Q, error) {
	v, err := Q(0).kind().parse(s)
	return Q(v), err
}

// kind is a sort of quantity.
type kind struct {
	what    string // as messages call it
	example string // as one may write it; empty where it is never read
	units   []unit
	// The units in which it is shown. Without metric it is the first of units, without us that of metric.
	metric, us ladder
	limits     limits
	// others are units of what is measured another way, in capitals: they look like these and are never turned into them.
	others []string

	once    sync.Once // that tidies the names at first need
	spelled []spelling
}

// unit is one way to write a kind of quantity: the first name is the one offered,
// factor turns a value above zero of its scale into the working unit, and zero,
// where it is not 0, is where the working unit's zero stands (32 for F).
type unit struct {
	factor float64
	names  []string
	zero   float64
}

func of(factor float64, names ...string) unit { return unit{factor: factor, names: names} }

// ladder names units from small to large; each serves from that many of it on.
type ladder []struct {
	unit string
	from float64
}

func only(unit string) ladder { return ladder{{unit: unit}} }

// limits are what may be written, in the working unit, both ends allowed, and the note for what may not.
type limits struct {
	low, high         float64
	code, text, doing string
}

// largest is what no quantity of a bench or a plant comes near in its working unit:
// beyond it, sums of such numbers would overflow.
const largest = 1e15

// parse reads "number unit" into the working unit; zero with an error.
func (k *kind) parse(text string) (float64, error) {
	v, name, err := Split(text)
	if err != nil {
		return 0, note.Fault("bad-"+slug(k.what), "%s %q: %s", k.what, text, err.Error()).Do("write it like %q", k.example)
	}
	if name == "" {
		return 0, note.Fault("unit-missing", "%s %q has no unit", k.what, text).
			Do("write it like %q (%s)", k.example, strings.Join(k.offered(), ", "))
	}
	u, ok := k.find(name)
	if slices.Contains(k.others, strings.ToUpper(name)) {
		return 0, note.Fault("unit-of-other", "%s %q: %s is measured another way, and nothing turns it into %s", k.what, text, strings.ToUpper(name), k.units[0].names[0]).
			Do("give a reading in %s", strings.Join(k.offered(), ", "))
	}
	if !ok {
		return 0, note.Fault("unit-unknown", "%s %q: unit %q is not known%s", k.what, text, name, note.DidYouMean(name, k.all())).
			Do("use one of %s", strings.Join(k.offered(), ", "))
	}
	if v = (v - u.zero) * u.factor; !finite(v) || math.Abs(v) > largest {
		return 0, note.Fault("bad-"+slug(k.what), "%s %q is too large", k.what, text).Do("correct it")
	}
	if l := k.limits; l.code != "" && (v < l.low || v > l.high) {
		return 0, note.Fault(l.code, l.text, text).Do("%s", l.doing)
	}
	return v, nil
}

// in gives a working-unit value in the unit of exactly that name, NaN where there is none.
func (k *kind) in(v float64, name string) float64 {
	for _, u := range k.units {
		if slices.Contains(u.names, name) {
			return v/u.factor + u.zero
		}
	}
	return math.NaN()
}

// ordinary is how many working units decide in which unit zero is shown.
const ordinary = 10

// show gives the value and the unit that suit its size, whatever its sign.
func (k *kind) show(v float64, s System) (float64, string) {
	steps := k.metric
	if s == US && k.us != nil {
		steps = k.us
	}
	if steps == nil {
		steps = only(k.units[0].names[0])
	}
	size := math.Abs(v)
	if size == 0 {
		size = ordinary
	}
	unit := steps[0].unit
	for _, step := range steps {
		if k.in(size, step.unit) >= step.from {
			unit = step.unit
		}
	}
	return k.in(v, unit), unit
}

// mega matches the names of units in which a capital M makes a million of what a
// small one makes a thousandth: ML, not mL.
var mega = regexp.MustCompile(`^M(L|G|g|Pa)(/|$)`)

// find looks a unit up: by spelling first, then without regard to case where that
// does not turn a thousandth into a million. No two other spellings of a kind differ in case alone.
func (k *kind) find(name string) (hit unit, ok bool) {
	name = tidyUnit(name)
	large := false // of a spelling without regard to case
	for _, s := range k.spellings() {
		switch {
		case s.tidy == name:
			return *s.of, true
		case strings.EqualFold(s.tidy, name):
			hit, ok, large = *s.of, true, large || mega.MatchString(s.tidy)
		}
	}
	if large {
		return unit{}, false
	}
	return hit, ok
}

// spelling is one name of a unit as it is compared.
type spelling struct {
	tidy string
	of   *unit
}

// spellings are those of all units, in their order.
func (k *kind) spellings() []spelling {
	k.once.Do(func() {
		for i, u := range k.units {
			for _, n := range u.names {
				k.spelled = append(k.spelled, spelling{tidyUnit(n), &k.units[i]})
			}
		}
	})
	return k.spelled
}

// offered gives the first name of each unit.
func (k *kind) offered() []string {
	out := make([]string, len(k.units))
	for i, u := range k.units {
		out[i] = u.names[0]
	}
	return out
}

func (k *kind) all() []string {
	var out []string
	for _, u := range k.units {
		out = append(out, u.names...)
	}
	return out
}

// tidyUnit folds the usual spellings of one unit together: superscripts, the
// micro sign, "L-1" and "per", dots and blanks.
func tidyUnit(s string) string {
	s = unitSpelling.Replace(strings.TrimSpace(s))
	s = strings.ReplaceAll(s, " ", "")
	if strings.Contains(s, "-1") {
		for _, d := range [...]string{"L", "l", "h", "min", "d", "day", "s", "m3", "mL"} {
			s = strings.ReplaceAll(s, d+"-1", "/"+d)
		}
	}
	return strings.ReplaceAll(s, "//", "/")
}

var unitSpelling = strings.NewReplacer("³", "3", "²", "2", "⁻¹", "-1", "−", "-", "µ", "u", "μ", "u", "^", "", "·", "",
	" per ", "/", "\u00a0", "", "\u202f", "", "\u2009", "", "℃", "C", "°", "", "∕", "/", "⁄", "/")

func slug(s string) string { return strings.ReplaceAll(strings.ToLower(s), " ", "-") }

// Converted gives the number of a text with a unit in another unit of the same kind;
// false where no kind that is read knows both.
func Converted(text, unit string) (float64, bool) {
	for _, k := range readKinds {
		v, err := k.parse(text)
		if in := k.in(v, unit); err == nil && !math.IsNaN(in) {
			return in, true
		}
	}
	return 0, false
}

// readKinds are the kinds of which people write amounts that another unit suits too.
var readKinds = []*kind{&flowRates, &volumes, &masses, &massRates, &densities, &concentrations, &temperatures, &lengths, &areas, &pressures, &loadings}
