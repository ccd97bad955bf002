package gauge

import (
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Parse reads how muddy water is as somebody wrote it: turbidity "80 NTU", suspended solids "120 mg/L", a cone's
// "12 mL/L", or the depth in a turbidity tube, "20 cm".
func Parse(s string) (float64, jartest.Key, error) {
	v, k, err := jartest.ParseReading(s, jartest.Turbidity, jartest.TSS, Cone)
	if err == nil {
		return v, k, nil
	}
	if d, no := quantity.Parse[quantity.Length](s); no == nil && d >= 0 {
		return d.In("cm"), Tube, nil
	}
	return v, k, err
}

// ParseTube reads pairs of a tube, "20 cm=45 NTU; 30 cm=25 NTU".
func ParseTube(s string) (Scale, error) {
	return parse(s, Scale{Key: Tube, Reads: jartest.Turbidity})
}

// ParseCone reads pairs of a cone, "10 mL/L=150 mg/L; 20 mL/L=260 mg/L".
func ParseCone(s string) (Scale, error) {
	return parse(s, Scale{Key: Cone, Reads: jartest.TSS})
}

// example is how pairs are written.
func (s Scale) example() string {
	if s.Key == Tube {
		return "20 cm=45 NTU; 30 cm=25 NTU"
	}
	return "10 mL/L=150 mg/L; 20 mL/L=260 mg/L"
}

func parse(text string, s Scale) (Scale, error) {
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == ',' }) {
		if strings.TrimSpace(part) == "" {
			continue
		}
		left, right, ok := strings.Cut(part, "=")
		shows, k, err := Parse(left)
		reading, r, no := Parse(right)
		if !ok || err != nil || no != nil || k != s.Key || r != s.Reads {
			return s, note.Fault("gauge-pairs", "%q is no %s with its %s", strings.TrimSpace(part), Label(s.Key), Label(s.Reads)).
				Do("write it like %q", s.example())
		}
		s.Pairs = append(s.Pairs, Pair{shows, reading})
	}
	return s.whole()
}

// Gauges are the scales of a site: its own, or none.
type Gauges struct{ Tube, Cone quantity.Known[Scale] }

// For gives the scale by which a reading is turned into one of a meter, nil where it is one, or where nothing is
// known of the cone.
func (g Gauges) For(k jartest.Key) *Scale {
	own := map[jartest.Key]quantity.Known[Scale]{Tube: g.Tube, Cone: g.Cone}[k]
	s := own.V
	switch {
	case own.OK:
	case k == Tube:
		s = ChartOfTube()
	default:
		return nil
	}
	return &s
}

// Read turns a reading of any gauge into one of a meter, as far as it can be.
func (g Gauges) Read(v float64, k jartest.Key) (float64, jartest.Key, error) {
	s := g.For(k)
	if s == nil || v == 0 && k == Cone {
		if s != nil {
			k = s.Reads
		}
		return v, k, nil
	}
	r, err := s.Reading(v)
	return r, s.Reads, err
}
