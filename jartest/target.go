package jartest

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TargetKind is how a target is put.
type TargetKind int

const (
	// Absolute: the reading itself, "turbidity <= 5 NTU".
	Absolute TargetKind = iota
	// Removal: share taken away from the reference, "turbidity removal >= 90 %".
	Removal
	// WithinBest: at most so much above the best of the tested range, "turbidity within 10 % of best".
	WithinBest
	// Slope: the point of diminishing returns, "toc slope 0.03": the curve falls
	// by less than so many reading units per mg/L of dose.
	Slope
)

// Target is what a reading must satisfy.
type Target struct {
	Key  Key
	Kind TargetKind
	// AtLeast is true for ">=", false for "<=". Removal is always AtLeast.
	AtLeast bool
	// Value is in the key's unit (Absolute), percent (Removal, WithinBest) or
	// reading units per mg/L (Slope).
	Value float64
	Unit  string
	// Basis is what the mg/L of a Slope count; not stated: what the series' doses count.
	Basis quantity.Basis
	// Minutes is the settling time at which the reading counts; zero for the sheet's last.
	Minutes float64
	At      note.Place // where the sheet states it, if it does
	// ByRule is true of "toc enhanced": the removal of TOC that enhanced coagulation asks of the raw
	// water, which fills in Value; see [Series.ByRule].
	ByRule bool
}

// String gives the target in the form that ParseTarget reads.
func (t Target) String() string {
	if t.ByRule && t.Value == 0 {
		return "toc enhanced"
	}
	before, after := t.Words()
	return before + strconv.FormatFloat(t.Value, 'g', -1, 64) + after
}

// Words gives the target's words before and after its number.
func (t Target) Words() (before, after string) {
	name := strings.ReplaceAll(string(t.Key), "_", " ")
	if !t.Key.Known() {
		name = string(t.Key)
	}
	at := ""
	if t.Minutes > 0 {
		at = " at " + strconv.FormatFloat(t.Minutes, 'g', -1, 64) + " min"
	}
	switch t.Kind {
	case Removal:
		return name + " removal" + at + " >= ", " %"
	case WithinBest:
		return name + at + " within ", " % of best"
	case Slope:
		per := " per mg/L"
		if unit := t.Key.Base().Info().Unit; unit != "" {
			per = " " + unit + per
		}
		return name + at + " slope ", strings.TrimRight(per+" "+string(t.Basis), " ")
	}
	name += at
	op := "<="
	if t.AtLeast {
		op = ">="
	}
	return name + " " + op + " ", strings.TrimRight(" "+t.Unit, " ")
}

// Met reports whether a reading of that value meets an Absolute target. Equal counts as met.
func (t Target) Met(v float64) bool {
	if t.AtLeast {
		return v >= t.Value
	}
	return v <= t.Value
}

// OfCarbon reports a target on organic carbon, which more of a coagulant takes out, the more so the sourer the water.
func (t Target) OfCarbon() bool { return t.Key == TOC || t.Key == DOC }

// ParseTarget reads a target: "turbidity <= 5 NTU", "ph >= 6.5", "turbidity
// removal >= 90 %", "turbidity within 10 % of best", "toc slope 0.03". Case does
// not matter. A known kind of reading needs its unit (pH has none); a column of
// the user's own, named by its slug, needs none.
func ParseTarget(text string) (Target, error) {
	s := strings.Join(strings.Fields(strings.NewReplacer("≤", "<=", "≥", ">=", "=<", "<=", "=>", ">=").Replace(strings.ToLower(text))), " ")
	bad := func(format string, args ...any) error {
		return note.Fault("bad-target", "target %q %s", text, fmt.Sprintf(format, args...)).
			Do(`write it like "turbidity <= 5 NTU", "turbidity removal >= 90 %%", "turbidity within 10 %% of best", "zeta between -5 and 5 mV", "turbidity at 30 min <= 5 NTU", "toc enhanced" or "toc slope 0.3 mg/L per 10 mg/L"`)
	}
	if s == "" {
		return Target{}, bad("is empty")
	}
	if s == "toc enhanced" {
		return Target{Key: TOC, Kind: Removal, AtLeast: true, Unit: "%", ByRule: true}, nil
	}
	var t Target
	s, minutes, ok := AtTime(s)
	if !ok {
		return Target{}, bad("names a time that no reading can be at, or two")
	}
	t.Minutes = minutes
	name, rest, op := splitTarget(s)
	switch op {
	case "":
		return Target{}, bad("has no <= or >=")
	case "within":
		t.Kind = WithinBest
	case "slope":
		t.Kind = Slope
	default:
		t.AtLeast = op[0] == '>'
		if base, ok := strings.CutSuffix(strings.ReplaceAll(name, "_", " "), " removal"); ok {
			name, t.Kind = base, Removal
		}
	}
	v, unit, ok := leadingNumber(rest)
	if t.Kind == Slope && ok {
		var err error
		if v, unit, t.Basis, err = perDose(v, unit); err != nil {
			return Target{}, bad("%s", err.Error())
		}
	}
	if why := t.wrong(op, v, unit, ok); why != "" {
		return Target{}, bad("%s", why)
	}
	var err error
	if t.Key, err = targetKey(name); err != nil {
		return Target{}, bad("%s", err.Error())
	}
	t.Value, t.Unit = v, unit
	if i := strings.Index(strings.ToLower(text), unit); i >= 0 && len(strings.ToLower(text)) == len(text) && !t.Key.Known() {
		t.Unit = text[i : i+len(unit)] // a unit of the user's own stays as written
	}
	if why := t.scaled(unit); why != "" {
		return Target{}, bad("%s", why)
	}
	return t, nil
}

// scaled turns the value of a target into the unit of its reading; it gives why that cannot
// be, or why no reading can be so.
func (t *Target) scaled(unit string) string {
	f, want, ok := UnitFactor(t.Key, unit)
	known, i := t.Key.Known(), t.Key.Info()
	switch {
	case t.Kind == WithinBest || t.Kind == Removal:
		t.Unit = "%"
		return ""
	case known && !ok && unit != "":
		return fmt.Sprintf("has unit %q, which %s is not read in (%s)", unit, i.Label, want)
	case t.Kind == Absolute && known && !ok:
		return fmt.Sprintf("has no unit (%s)", want)
	case t.Kind == Slope:
		if t.Unit = ""; unit != "" && ok {
			t.Value *= f
		}
		return ""
	case known:
		t.Value, t.Unit = t.Value*f, want
	}
	if t.Value < i.Least || t.Value > i.Most {
		return fmt.Sprintf("lies outside what %s can be (%g to %g)", i.Label, i.Least, i.Most)
	}
	return ""
}

// ParseTargets reads what is asked of one reading: a target as [ParseTarget] reads it,
// or "zeta between -5 and 5 mV", which is two.
func ParseTargets(text string) ([]Target, error) {
	s := " " + strings.Join(strings.Fields(strings.ToLower(text)), " ")
	name, rest, ok := strings.Cut(s, " between ")
	low, high, two := strings.Cut(rest, " and ")
	if !two {
		low, high, two = strings.Cut(rest, " to ")
	}
	if !ok || !two {
		t, err := ParseTarget(text)
		return []Target{t}, err
	}
	if _, unit, _ := leadingNumber(low); unit == "" {
		_, unit, _ = leadingNumber(high)
		low += " " + unit
	}
	a, err := ParseTarget(name + " >= " + low)
	b, worse := ParseTarget(name + " <= " + high)
	switch {
	case err != nil:
		return nil, err
	case worse != nil:
		return nil, worse
	case a.Value > b.Value:
		return nil, note.Fault("bad-target", "target %q ends below where it begins", text).Do(`write the lower number first, like "zeta between -5 and 5 mV"`)
	}
	return []Target{a, b}, nil
}

// settledFor is the time that jars settle before a reading: "at 10 min", "after 10 min settling", "nach 10 min".
var settledFor = regexp.MustCompile(`[ ,(]+(?:at|after|within|in|@|nach|` +
	`innerhalb|innerhalb von|bei|après|à|a los|a|tras|después de|após|depois de|dopo|na|efter) ?` +
	`(?:` + settles + ` (?:for |time |zeit )?(?:of )?)?(\d+(?:\.\d+)?) ?` +
	`(minutes?\b|minut[eo][ns]?\b|mins?\b|m\b|h(?:ours?|r)?\b|s(?:ec)?\b|')` +
	`(?: (?:of |de |di )?` + settles + `)?(?: time)?\)?`)

const settles = `(?:settl|stand|sediment|absetz|decant|décant|bezink|bezinking|float|flotat)\pL*`

// AtTime takes "turbidity at 30 min", in small letters, apart: the text without its time, and that in minutes, zero where none is
// named. ok is false for two times, and for one that is not above zero.
func AtTime(s string) (rest string, minutes float64, ok bool) {
	all := settledFor.FindAllStringSubmatchIndex(s, -1)
	if len(all) != 1 {
		return s, 0, len(all) == 0
	}
	m := all[0]
	v, err := strconv.ParseFloat(s[m[2]:m[3]], 64)
	switch s[m[4]] {
	case 'h':
		v *= 60
	case 's':
		v /= 60
	}
	return strings.TrimRight(s[:m[0]], " ") + s[m[1]:], v, err == nil && v > 0
}

// perDose reads what follows the number of a slope, such as "mg/l per 10 mg/l as al",
// and gives the fall per mg/L, the unit of the reading and what the dose counts.
func perDose(v float64, text string) (fall float64, unit string, b quantity.Basis, err error) {
	of, per, ok := strings.Cut(" "+text, " per ")
	unit, _, _ = strings.Cut(strings.TrimSpace(of), " ")
	if !ok {
		if unit != "" {
			err = fmt.Errorf("does not say per how much dose")
		}
		return v, "", quantity.NotStated, err
	}
	n, rest, numbered := leadingNumber(per)
	if !numbered {
		n, rest = 1, strings.TrimSpace(per)
	}
	dose, basis, _ := strings.Cut(rest, " ")
	f, _, known := UnitFactor(TSS, dose)
	switch {
	case !known || dose == "":
		return 0, "", "", fmt.Errorf("has %q where the dose belongs, such as per 10 mg/L", per)
	case n <= 0:
		return 0, "", "", fmt.Errorf("counts per a dose that is not above zero")
	}
	b, err = slopeBasis(strings.TrimPrefix(basis, "of "))
	return v / (n * f), unit, b, err
}

// slopeBasis reads what the dose of a slope counts. "alum" by itself may be of either
// hydrate, and is what the series' doses count.
func slopeBasis(s string) (quantity.Basis, error) {
	if s = strings.TrimSpace(s); slices.Contains([]string{"", "alum", "dose", "coagulant"}, s) {
		return quantity.NotStated, nil
	}
	return quantity.ParseBasis(s)
}

// wrong says what is wrong with a target's number and unit, if anything; ok is false
// where it has no number.
func (t Target) wrong(op string, v float64, unit string, ok bool) string {
	switch {
	case t.Kind == WithinBest && (!ok || unit != "% of best"):
		return `needs "within N % of best"`
	case t.Kind == WithinBest && v < 0:
		return "has a negative margin"
	case t.Kind == Slope && !(ok && v > 0):
		return "needs a slope above zero"
	case !ok:
		return "has no number after " + op
	case t.Kind != Removal:
		return ""
	case !t.AtLeast:
		return "asks for less removal: use >="
	case unit != "%":
		return "needs its number in %"
	case v > 100:
		return "asks for over 100 % removal"
	}
	return ""
}

// splitTarget takes a target apart at the word or the sign that says how it is put;
// op is empty where there is none.
func splitTarget(s string) (name, rest, op string) {
	for _, op := range [...]string{" within ", " slope ", "<=", ">=", "<", ">"} {
		if name, rest, ok := strings.Cut(s, op); ok {
			return strings.TrimSpace(name), rest, strings.TrimSpace(op)
		}
	}
	return s, "", ""
}

// targetKey finds the key that a target names. Common short words count too.
func targetKey(name string) (Key, error) {
	slug := Slug(name)
	if slug == "" {
		return "", fmt.Errorf("names no reading")
	}
	return cmp.Or(shortNames[slug], slug), nil
}

// shortNames are what people call readings beside their keys.
var shortNames = map[Key]Key{
	"turb": Turbidity, "ntu": Turbidity, "suspended_solids": TSS, "ss": TSS, "color": Colour, "uv": UV254, "uv_254": UV254,
	"p": TotalPhosphorus, "tp": TotalPhosphorus, "residual_aluminium": ResidualAl, "residual_aluminum": ResidualAl, "al": ResidualAl,
	"residual_iron": ResidualFe, "fe": ResidualFe, "iron": ResidualFe, "aluminium": ResidualAl, "aluminum": ResidualAl, "zeta_potential": Zeta, "streaming": StreamingCurrent,
	"sludge_volume": SettledVolume, "settled_sludge": SettledVolume, "settled_sludge_volume": SettledVolume,
}

// UnitFactor gives what a value in the named unit must be multiplied by to stand
// in the key's own unit, that unit's name, and whether the unit is one of the key's.
func UnitFactor(k Key, unit string) (float64, string, bool) {
	want := k.Info().Unit
	u := strings.ToLower(strings.NewReplacer(" ", "", "µ", "u", "μ", "u", "⁻¹", "-1").Replace(unit))
	for _, x := range keyUnits[want] {
		if slices.Contains(x.names, u) {
			return x.factor, want, true
		}
	}
	return 0, want, false
}

// ParseReading reads a value of one of these readings, such as "80 NTU", "120 mg/L":
// the unit tells which, the first in the order given that is read in it.
func ParseReading(s string, keys ...Key) (float64, Key, error) {
	v, unit, err := quantity.Split(s)
	if err != nil {
		return 0, "", note.Fault("bad-reading", "reading %q: %s", s, err.Error()).Do(`write it like "80 NTU" or "120 mg/L"`)
	}
	if v < 0 {
		return 0, "", note.Fault("bad-reading", "reading %q is negative", s).Do("a reading is zero or more")
	}
	var names []string
	for _, k := range keys {
		f, own, ok := UnitFactor(k, unit)
		if ok && unit != "" {
			return v * f, k, nil
		}
		names = append(names, k.Info().Label+" ("+own+")")
	}
	return 0, "", note.Fault("bad-reading", "reading %q is neither %s", s, strings.Join(names, " nor ")).Do(`write it like "80 NTU" or "120 mg/L"`)
}

// PhosphorusInPhosphate is the share of phosphorus in phosphate by mass, 30.974/94.971
// (IUPAC standard atomic weights).
const PhosphorusInPhosphate = 0.32614

type keyUnit struct {
	factor float64
	names  []string
}

// keyUnits lists what may be written for each reading unit. FAU (attenuation) is
// not NTU (scatter) and is left out on purpose; FNU counts as NTU.
var keyUnits = map[string][]keyUnit{
	"NTU":        {{1, []string{"ntu", "fnu", "ftu"}}},
	"%":          {{1, []string{"%", "percent"}}},
	"mg/L":       {{1, []string{"mg/l", "ppm", "g/m3", "mgl-1", "mg/litre"}}, {1e-3, []string{"ug/l", "ppb", "ugl-1", "mg/m3"}}, {1000, []string{"g/l"}}},
	"mg/L as P":  {{1, []string{"mg/l", "mg/lasp", "mgp/l", "mg/lp", "ppm", "mg/l-p"}}, {1e-3, []string{"ug/l", "ug/lasp", "ugp/l", "ppb"}}, {PhosphorusInPhosphate, []string{"mg/laspo4", "mgpo4/l", "mg/lpo4"}}},
	"Pt-Co":      {{1, []string{"pt-co", "ptco", "hazen", "hu", "tcu", "cu", "mg/lpt-co", "mg/lpt", "pcu", "mgpt/l"}}},
	"1/cm":       {{1, []string{"1/cm", "cm-1", "/cm", "abs/cm", "abs"}}, {0.01, []string{"1/m", "m-1", "/m"}}},
	"":           {{1, []string{"", "ph", "-", "su", "s.u."}}},
	"mg/L CaCO3": {{1, []string{"mg/lcaco3", "mg/lascaco3", "mgcaco3/l", "mg/l", "ppm", "ppmcaco3"}}, {quantity.CaCO3PerEquivalent, []string{"meq/l", "mmol/l"}}, {17.848, []string{"dkh"}}},
	"C":          {{1, []string{"c", "°c", "degc"}}},
	"uS/cm":      {{1, []string{"us/cm"}}, {1000, []string{"ms/cm"}}},
	"mL/L":       {{1, []string{"ml/l"}}},
	"mV":         {{1, []string{"mv"}}},
}

// leadingNumber takes "5 ntu" apart.
func leadingNumber(s string) (float64, string, bool) {
	s = strings.TrimSpace(s)
	end := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789.-+e", r) })
	if end < 0 {
		end = len(s)
	}
	for end > 0 {
		if v, err := strconv.ParseFloat(s[:end], 64); err == nil {
			return v, strings.TrimSpace(s[end:]), true
		}
		end--
	}
	return 0, "", false
}
