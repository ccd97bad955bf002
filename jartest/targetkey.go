package jartest

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// sameReading are names under which a target may ask for a reading that the sheet
// calls otherwise, nearest first.
var sameReading = map[Key][]Key{
	"settled_turbidity": {Turbidity}, "supernatant_turbidity": {Turbidity}, "residual_turbidity": {Turbidity}, "final_turbidity": {Turbidity},
	ResidualFe: {"iron", "total_iron", "dissolved_iron"}, ResidualAl: {"aluminium", "aluminum", "dissolved_aluminium"},
	"residual_manganese": {"manganese"}, "mn": {"manganese"}, "residual_colour": {Colour}, "residual_color": {Colour}, "true_colour": {Colour},
}

// slugUnits are the units with which the heading of a column of the user's own may end, and how
// they are written; "" where the ending may be a word.
var slugUnits = []struct{ end, unit string }{
	{"_mg_per_l", "mg/L"}, {"_ug_per_l", "ug/L"}, {"_mg_l", "mg/L"}, {"_ug_l", "ug/L"}, {"_ntu", "NTU"}, {"_fnu", "FNU"}, {"_mv", "mV"},
	{"_ml_l", "mL/L"}, {"_pct", "%"}, {"_percent", "%"}, {"_m", ""},
}

// bare is the key without the unit of its heading, and that unit.
func bare(k Key) (name Key, unit string) {
	for _, u := range slugUnits {
		if s, ok := strings.CutSuffix(string(k), u.end); ok {
			return Key(s), u.unit
		}
	}
	return k, ""
}

// symbols are words of a heading that are written in capitals, for columns of the user's own.
var symbols = map[string]string{
	"al": "Al", "bod": "BOD", "bod5": "BOD5", "ca": "Ca", "caco3": "CaCO3", "cd": "Cd", "cr": "Cr", "cu": "Cu", "dom": "DOM", "fe": "Fe", "h2s": "H2S",
	"mn": "Mn", "n": "N", "nh3": "NH3", "nh4": "NH4", "ni": "Ni", "no2": "NO2", "no3": "NO3", "p": "P", "pb": "Pb", "po4": "PO4", "tds": "TDS", "tn": "TN",
	"tp": "TP", "uva": "UVA", "uvt": "UVT", "zn": "Zn",
}

// headed is what a column of the user's own is called: the words of its heading without the unit.
func headed(k Key) (label, unit string) {
	base := k.Base()
	name, unit := bare(base)
	if unit == "" {
		name = base
	}
	words := strings.Split(string(name), "_")
	for i, w := range words {
		words[i] = cmp.Or(symbols[w], w)
	}
	label = strings.Join(words, " ")
	if base != k {
		label += " at " + strings.ReplaceAll(strings.TrimPrefix(string(k), string(base)+"_"), "_", " ")
	}
	return label, unit
}

var ofTime = regexp.MustCompile(`_[0-9.]+_min$`)

// Base is the kind of a reading that was taken at a settling time of its own:
// "turbidity" for "turbidity_30_min".
func (k Key) Base() Key { return Key(ofTime.ReplaceAllString(string(k), "")) }

// Reads gives a target as the series can be judged by it: on the key under which it
// has that reading, in its unit, at the settling time asked for. Turbidity removal may
// be asked of a sheet that holds turbidity, or of one that holds the removal. The
// error says what there is instead.
func (s Series) Reads(t Target) (Target, error) {
	t, err := s.ByRule(t)
	if err != nil {
		return t, err
	}
	f, err := s.reads(t)
	if err == nil {
		return f, nil
	}
	other := Target{Key: t.Key + "_removal", AtLeast: true, Value: t.Value, Unit: "%", At: t.At, Minutes: t.Minutes}
	base, ok := strings.CutSuffix(string(t.Key), "_removal")
	switch {
	case ok && t.AtLeast:
		other.Key, other.Kind = Key(base), Removal
	case t.Kind != Removal:
		return t, err
	}
	if f, no := s.reads(other); no == nil {
		return f, nil
	}
	return t, err
}

func (s Series) reads(t Target) (Target, error) {
	keys := s.Keys()
	names := append([]Key{t.Key}, sameReading[t.Key]...)
	for _, name := range names {
		if k := s.timed(keys, name, t.Minutes); k != "" {
			return s.inUnit(t, k)
		}
	}
	if t.Minutes > 0 && slices.Contains(keys, t.Key) {
		some := slices.ContainsFunc(s.Jars, func(j Jar) bool { return j.Readings.Of(t.Key).Minutes == t.Minutes })
		if some {
			return t, fmt.Errorf("only some jars of %s have a reading of %s at %g min%s", s.called(), t.Key.Info().Label, t.Minutes, s.times(t.Key))
		}
		return t, fmt.Errorf("no jar of %s has a reading of %s at %g min%s", s.called(), t.Key.Info().Label, t.Minutes, s.times(t.Key))
	}
	for _, name := range names {
		i := slices.IndexFunc(keys, func(k Key) bool { b, _ := bare(k); return !k.Known() && b == name })
		if i >= 0 && t.Minutes == 0 {
			return s.inUnit(t, keys[i])
		}
	}
	return t, fmt.Errorf("no jar of %s has a reading of %s", s.called(), t.Key.Info().Label)
}

func (s Series) called() string {
	if s.Name == "" {
		return "the series"
	}
	return "series " + s.Name
}

// timed finds the key under which a reading stands that was taken at a settling time;
// any time where none is asked for.
func (s Series) timed(keys []Key, k Key, minutes float64) Key {
	if minutes == 0 {
		if slices.Contains(keys, k) {
			return k
		}
		return ""
	}
	if own := k + Key("_"+strconv.FormatFloat(minutes, 'g', -1, 64)+"_min"); slices.Contains(keys, own) {
		return own
	}
	at := false
	for _, j := range s.Jars {
		r, ok := j.Readings.Get(k)
		if ok && r.Minutes != minutes && r.State != Missing {
			return "" // some of its jars were read at another time
		}
		at = at || ok && r.Minutes == minutes
	}
	if at {
		return k
	}
	return ""
}

// times says at which settling times the sheet has a reading.
func (s Series) times(k Key) string {
	var at []float64
	for _, j := range s.Jars {
		for _, r := range j.Readings {
			if r.Minutes > 0 && r.Key.Base() == k && !slices.Contains(at, r.Minutes) {
				at = append(at, r.Minutes)
			}
		}
	}
	if len(at) == 0 {
		return "; the sheet does not say when it was read"
	}
	slices.Sort(at)
	var out []string
	for _, v := range at {
		out = append(out, strconv.FormatFloat(v, 'g', -1, 64)+" min")
	}
	return "; the sheet has " + strings.Join(out, " and ")
}

// inUnit puts a target on the key of a series, in the unit of its readings.
func (s Series) inUnit(t Target, k Key) (Target, error) {
	t.Key, t.Minutes = k, 0
	if k.Known() && (t.Kind != Absolute || t.Unit == k.Info().Unit) || t.Kind != Absolute || t.Unit == "" {
		return t, nil
	}
	unit := k.Info().Unit
	for _, j := range s.Jars {
		if r, ok := j.Readings.Get(k); ok && r.Unit != "" {
			unit = r.Unit
			break
		}
	}
	for _, x := range [...]Key{Turbidity, TSS, Colour, UV254, Zeta, SettledVolume, TurbidityRemoval} {
		from, _, asked := UnitFactor(x, t.Unit)
		to, _, has := UnitFactor(x, unit)
		if asked && has {
			t.Value *= from / to
			t.Unit = unit
			return t, nil
		}
	}
	switch {
	case strings.EqualFold(unit, t.Unit):
		return t, nil
	case unit == "":
		return t, fmt.Errorf("%s of %s has no unit in its heading, and the target is in %s; write it into the heading", k.Info().Label, s.called(), t.Unit)
	}
	return t, fmt.Errorf("%s of %s is read in %s, not in %s", k.Info().Label, s.called(), unit, t.Unit)
}
