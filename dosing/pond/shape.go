// Package pond is about water that stands and is treated by hand: how much of it a pond or
// tank holds by its measures, what a dose written for a pond, an area or a bucket comes
// to, and how a mass is parted into buckets, bags and portions.
package pond

import (
	"cmp"
	"math"
	"regexp"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Shape is what is known of the form of a pond or tank. What is not given is left out.
type Shape struct {
	Volume quantity.Known[quantity.Volume]
	// Area is that of the surface; of a rectangle Length and Breadth give it, of a round one Diameter.
	Area                      quantity.Known[quantity.Area]
	Length, Breadth, Diameter quantity.Known[quantity.Length]
	// Depth is that of the water, Other the depth at the other end where the bottom falls.
	Depth, Other quantity.Known[quantity.Length]
	// Slope is run over rise of the sides, zero for walls.
	Slope quantity.Known[float64]
	// Said is the text that the shape was read from; empty for one that was put together.
	Said string
}

// Surface is the area of the surface, by whatever tells it.
func (s Shape) Surface() quantity.Known[quantity.Area] {
	switch {
	case s.Area.OK:
		return s.Area
	case s.Length.OK && s.Breadth.OK:
		return quantity.Known[quantity.Area]{V: quantity.Area(s.Length.V * s.Breadth.V), OK: true, At: s.Length.At}
	case s.Diameter.OK:
		return quantity.Known[quantity.Area]{V: quantity.Area(math.Pi * s.Diameter.V * s.Diameter.V / 4), OK: true, At: s.Diameter.At}
	case s.Volume.OK && s.Depth.OK && s.Slope.V == 0:
		return quantity.Known[quantity.Area]{V: quantity.Area(s.Volume.V.In("m3") / float64(s.Deep().V)), OK: true, At: s.Depth.At}
	}
	return quantity.Known[quantity.Area]{}
}

// Deep is the mean depth of the bottom: that given, or the middle of both ends.
func (s Shape) Deep() quantity.Known[quantity.Length] {
	d := s.Depth
	if s.Other.OK && d.OK {
		d.V = (d.V + s.Other.V) / 2
	}
	return d
}

// Measured is the water by surface, mean depth and slope of the sides; false where they do
// not tell it. It is an error where the sides meet above the bottom.
//
// The sum is the prismoidal rule, h/6·(A1 + 4·Am + A2), which is exact for sides of one slope: of a
// round pond, and of one whose bottom is like its top, it is h/3·(A1 + A2 + √(A1·A2)), of walls the surface times the depth. A pond of
// which only the surface is known is taken as a square.
func (s Shape) Measured() (quantity.Volume, bool, error) {
	h, surface := float64(s.Deep().V), s.Surface()
	if !s.Deep().OK || !surface.OK {
		return 0, false, nil
	}
	run := s.Slope.V * h // that each side goes in
	l, b, of := s.sides()
	if 2*run > min(l, b)*(1+1e-9) {
		return 0, false, note.Fault("sides-meet", "sides of %s run over 1 rise meet %s below the surface, above the bottom at %s", quantity.Number(s.Slope.V),
			quantity.Length(min(l, b)/2/s.Slope.V), s.Deep().V).At(s.Slope.At).Do("correct the slope, the depth or the breadth")
	}
	at := func(in float64) float64 { return of * (l - 2*in) * (b - 2*in) }
	return quantity.Volume(h / 6 * (at(0) + 4*at(run/2) + at(run)) * 1000), true, nil
}

var (
	acres = regexp.MustCompile(`(?i)\b(?:acres?|ac)\b`)
	usual = regexp.MustCompile(`(?i)(?:\b|\d)(?:acres?|ac|ft2?|feet|foot|inch(?:es)?|gal|gallons?|kgal|mgal)\b`)
	other = regexp.MustCompile(`(?i)imp|uk `)
)

// InAcres reports a size that was written in acres or acre-feet.
func (s Shape) InAcres() bool { return acres.MatchString(s.Said) }

// InUS reports a size that was written in units of the US.
func (s Shape) InUS() bool { return usual.MatchString(s.Said) && !other.MatchString(s.Said) }

// sides are those of the surface, with what its area is of their product.
func (s Shape) sides() (l, b, of float64) {
	switch {
	case s.Length.OK && s.Breadth.OK && !s.Area.OK:
		return float64(s.Length.V), float64(s.Breadth.V), 1
	case s.Diameter.OK && !s.Area.OK:
		return float64(s.Diameter.V), float64(s.Diameter.V), math.Pi / 4
	}
	side := math.Sqrt(float64(s.Surface().V))
	return side, side, 1
}

// Bottom is the area of the bottom between sides that slope; not known where they stand upright, and then it is that of the surface.
func (s Shape) Bottom() quantity.Known[quantity.Area] {
	if !(s.Slope.V > 0) || !s.Deep().OK || !s.Surface().OK {
		return quantity.Known[quantity.Area]{}
	}
	in := 2 * s.Slope.V * float64(s.Deep().V)
	l, b, of := s.sides()
	return quantity.Some(quantity.Area(of * max(0, l-in) * max(0, b-in)))
}

// ParseSize reads the size of a pond or tank as people write it: a volume; an area or a
// diameter and a depth; or length, breadth and depth. A depth may be that of two ends, "0.8-1.4 m"; a slope of the
// sides may follow, "slope 2". Measures without a unit have that of the last.
func ParseSize(text string) (Shape, error) {
	s := Shape{Said: strings.TrimSpace(text)}
	text, err := plain(s.Said)
	if err != nil {
		return s, err
	}
	measures, slope, sloped := strings.Cut(strings.ToLower(text), "slope")
	if sloped {
		v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(slope), ":1")), 64)
		if err != nil || !(v >= 0 && v <= steepless) {
			return s, noSize(s.Said)
		}
		s.Slope = quantity.Some(v)
	}
	parts := strings.Split(times.ReplaceAllString(strings.TrimRight(strings.TrimSpace(measures), ",;"), "×$1"), "×")
	depth := parts[len(parts)-1]
	switch unit := unitOf(depth); len(parts) {
	case 1:
		s.Volume = read(quantity.Parse[quantity.Volume], depth, "")
		if !s.Volume.OK {
			return s, noSize(s.Said)
		}
		return s, pointed(depth, s.Said)
	case 2:
		if s.Area = surface(parts[0]); s.Area.OK {
			err = pointed(parts[0], text)
			break
		}
		if across := round.ReplaceAllString(parts[0], ""); across != parts[0] {
			s.Diameter = read(quantity.Parse[quantity.Length], across, unit)
		}
	case 3:
		s.Length, s.Breadth = read(quantity.Parse[quantity.Length], parts[0], cmp.Or(unitOf(parts[1]), unit)), read(quantity.Parse[quantity.Length], parts[1], unit)
	}
	s.deep(depth)
	if !s.Surface().OK || !s.Depth.OK {
		return s, noSize(s.Said)
	}
	return s, err
}

// steepless is the flattest slope that sides of a pond have (common practice, no source).
const steepless = 20

func noSize(text string) error {
	return note.Fault("bad-size", "%q is not the size of a pond or tank", text).
		Do(`write it like "5000 m2 x 1.2 m", "60 x 40 x 1.2 m", "20 m round x 1 m", "2 rai x 1.5 m", "3 acre-ft" or "14 m3"`)
}

// Land of Thailand is told in rai, ngan and square wah: "2 rai 1 ngan 50 wah", or "2-1-50 rai".
var (
	land   = regexp.MustCompile(`^(?:([\d.]+)\s*(?:rai|ไร่))?\s*(?:([\d.]+)\s*(?:ngan|งาน))?\s*(?:([\d.]+)\s*(?:(?:sq\.?|square|ta[lr]ang)?\s*wah?2?|ตารางวา|ตร\.ว\.?))?$`)
	dashed = regexp.MustCompile(`^(\d+)-([0-3])-(\d{1,2}(?:\.\d+)?)\s*(?:rai|ไร่)$`)
)

// surface reads an area.
func surface(text string) quantity.Known[quantity.Area] {
	text = strings.TrimSpace(text)
	part := dashed.FindStringSubmatch(text)
	if part == nil {
		part = land.FindStringSubmatch(text)
	}
	if part == nil {
		return read(quantity.Parse[quantity.Area], text, "")
	}
	var sum quantity.Area
	for i, unit := range []string{"rai", "ngan", "sq wah"} {
		if part[i+1] == "" {
			continue
		}
		v, err := quantity.Parse[quantity.Area](part[i+1] + " " + unit)
		if err != nil {
			return quantity.Known[quantity.Area]{}
		}
		sum += v
	}
	return quantity.Known[quantity.Area]{V: sum, OK: sum > 0}
}

// deep reads a depth, or those of two ends.
func (s *Shape) deep(text string) {
	one, other, two := strings.Cut(strings.ReplaceAll(text, " to ", "-"), "-")
	s.Depth = read(quantity.Parse[quantity.Length], one, unitOf(text))
	if two {
		s.Other = read(quantity.Parse[quantity.Length], other, "")
		s.Depth.OK = s.Depth.OK && s.Other.OK
	}
}

var (
	// times is what stands between two measures, with the number after it.
	times = regexp.MustCompile(`\s*(?:x|×|\*|\bby\b)\s*(\d)`)
	// round are the words that a diameter is told by.
	round = regexp.MustCompile(`diameter|dia\b\.?|round|across|ø`)
	// number is a measure's, a range of two included.
	number = regexp.MustCompile(`^[\d.,\s]+(?:(?:-|to)[\d.,\s]+)?`)
)

// unitOf is the unit that a measure ends in.
func unitOf(text string) string {
	return strings.TrimSpace(number.ReplaceAllString(strings.TrimSpace(text), ""))
}

// read reads an amount above zero, one without a unit in that of its neighbour; not known where it is none.
func read[T ~float64](parse func(string) (T, error), text, unit string) (out quantity.Known[T]) {
	if text = strings.TrimSpace(text); unitOf(text) == "" {
		text += " " + unit
	}
	v, err := parse(text)
	return quantity.Known[T]{V: v, OK: err == nil && v > 0}
}
