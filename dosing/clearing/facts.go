package clearing

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/dosing/gauge"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// facts are what stands beside a table: the run's own settings.
type facts struct {
	Run
	goal    quantity.Known[float64]
	goalKey jartest.Key
	trial   string
	begun   quantity.Known[quantity.Time] // the first time at which something stands under the readings
	said    map[string]saying             // facts that were given, by their key
}

// saying is a fact as it was given.
type saying struct {
	row   *fact
	value string
	at    note.Place
}

// note keeps that a fact was given.
func (f *facts) note(s saying) {
	if f.said == nil {
		f.said = map[string]saying{}
	}
	f.said[s.row.key] = s
}

// given reports a fact that was given.
func (f *facts) given(key string) bool {
	_, ok := f.said[key]
	return ok
}

// fact is a line that a label tells.
type fact struct {
	key string
	// words are sets of words of which one has to stand whole in the label; not are words that speak against it.
	words []string
	not   string
	unit  []string // assumed where the label has the number's unit alone, as "(m3/h)"
	put   func(f *facts, text string, at note.Place) error
}

// amount makes the setter of a quantity.
func amount[Q interface {
	~float64
	quantity.Quantity
}](parse func(string) (Q, error), of func(*facts) *quantity.Known[Q]) func(*facts, string, note.Place) error {
	return func(f *facts, text string, at note.Place) error {
		v, err := parse(text)
		if err == nil {
			*of(f) = quantity.Known[Q]{V: v, OK: true, At: at}
		}
		return err
	}
}

var plusMinus = regexp.MustCompile(`\s*(?:±|\+/-|\+-|plus or minus)\s*`)

// Doubted is a quantity with its standard uncertainty, as a share of it; 0 where none is told.
type Doubted[Q ~float64] struct {
	V      Q
	Unsure quantity.Fraction
}

// ParseDoubted makes the parser of a quantity that may have its doubt behind it: "60 m3", "60 m3 ± 5 %", "60 ± 3 m3". Its errors are those of the
// quantity's own parser, or of that of a share.
func ParseDoubted[Q ~float64](parse func(string) (Q, error)) func(string) (Doubted[Q], error) {
	return func(text string) (d Doubted[Q], err error) {
		parts := plusMinus.Split(text, 2)
		if len(parts) == 1 {
			d.V, err = parse(text)
			return d, err
		}
		value, by := parts[0], parts[1]
		if d.V, err = parse(value); err != nil { // "60 ± 3 m3"
			if i := strings.IndexFunc(by, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != ' ' }); i > 0 && !strings.Contains(by, "%") {
				value += " " + strings.TrimSpace(by[i:])
			}
			if d.V, err = parse(value); err != nil {
				return d, err
			}
		}
		if share, err := quantity.Parse[quantity.Fraction](by); err == nil {
			d.Unsure = share
			return d, nil
		}
		v, err := parse(by)
		if err == nil && d.V > 0 {
			d.Unsure = quantity.Fraction(v / d.V)
		}
		return d, err
	}
}

// doubted sets a quantity with its doubt.
func doubted[Q ~float64](parse func(string) (Q, error), of func(*facts) *quantity.Known[Q], doubt func(*facts) *quantity.Fraction) func(*facts, string, note.Place) error {
	read := ParseDoubted(parse)
	return func(f *facts, text string, at note.Place) error {
		d, err := read(text)
		if err == nil {
			*of(f), *doubt(f) = quantity.Known[Q]{V: d.V, OK: true, At: at}, d.Unsure
		}
		return err
	}
}

// noneWords say that nothing is dosed.
var noneWords = []string{"none", "no", "without", "nil", "zero", "off", "0", "ohne", "keine", "kein", "sin", "ninguno", "sans", "aucun", "sem", "senza", "zonder", "geen", "uten", "ingen", "utan", "uden", "ilman", "bez"}

// dosesNone reports a text that says by itself that nothing is dosed.
func dosesNone(text string) bool {
	return slices.Contains(noneWords, words.Fold(strings.TrimSpace(text)))
}

// dosed sets a dose, of which none may be said in words.
func dosed(of func(*facts) *quantity.Known[quantity.Concentration]) func(*facts, string, note.Place) error {
	return func(f *facts, text string, at note.Place) error {
		if dosesNone(text) {
			*of(f) = quantity.Known[quantity.Concentration]{OK: true, At: at}
			return nil
		}
		d, err := quantity.ParseDose(text)
		if err == nil {
			*of(f) = quantity.Known[quantity.Concentration]{V: d.Concentration, OK: true, At: at}
		}
		return err
	}
}

// offWords say that the unit is by-passed.
var offWords = []string{"off", "bypassed", "by-passed", "bypass", "by-pass", "stopped", "blank", "aus"}

// unitIsOff reports a text that says so.
func unitIsOff(text string) bool {
	said := words.TokensIn(text)
	return slices.ContainsFunc(offWords, func(w string) bool { return slices.Contains(said, w) }) || strings.Contains(words.Fold(text), "by-passed")
}

// perUnit is the solids for each NTU: "1.5 mg/L", "1.5 mg/L per NTU", "1.5".
var perUnit = regexp.MustCompile(`(?i)^\s*(\d+(?:[.,]\d+)?)\s*(?:mg/l(?:\s*(?:per|/)\s*ntu)?)?\s*$`)

// factRows are the lines that are understood, the first that fits.
var factRows = []fact{
	{"perunit", []string{"solids per ntu", "tss per ntu", "ss per ntu", "l per ntu"}, "", nil, func(f *facts, text string, at note.Place) error {
		if m := perUnit.FindStringSubmatch(text); m != nil {
			v, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
			f.PerUnit = quantity.Known[float64]{V: v, OK: err == nil && v > 0, At: at}
		}
		if !f.PerUnit.OK {
			return note.Fault("bad-fact", "%q is no solids for each NTU", text).Do(`write it such as "1.5 mg/L"`)
		}
		return nil
	}},
	{"share", []string{"dry share", "dry solids", "dry matter"}, "made weighed kg", []string{"%"}, amount(quantity.Parse[quantity.Fraction], func(f *facts) *quantity.Known[quantity.Fraction] { return &f.Bin.DryShare })},
	{"dry", []string{"dry weighed", "dry float", "dry sludge"}, "share", []string{"kg"}, amount(quantity.Parse[quantity.Mass], func(f *facts) *quantity.Known[quantity.Mass] { return &f.Bin.Dry })},
	{"made", []string{"made chemicals", "chemical solids"}, "", []string{"kg"}, amount(quantity.Parse[quantity.Mass], func(f *facts) *quantity.Known[quantity.Mass] { return &f.Bin.Made })},
	{"wet", []string{"float weighed", "sludge weighed", "bin weighed", "float", "bin", "sludge"}, "skim", []string{"kg"}, amount(quantity.Parse[quantity.Mass], func(f *facts) *quantity.Known[quantity.Mass] { return &f.Bin.Wet })},
	{"goal", []string{"goal", "target", "clear enough", "clear to"}, "", []string{"NTU", "mg/L"}, func(f *facts, text string, at note.Place) error {
		v, k, err := gauge.Parse(text)
		if err == nil {
			f.goal, f.goalKey = quantity.Known[float64]{V: v, OK: true, At: at}, k
		}
		return err
	}},
	{"skim", skimWords, "", []string{"min", "h"}, amount(quantity.Parse[quantity.Time], func(f *facts) *quantity.Known[quantity.Time] { return &f.Skim })},
	{"polymer", append([]string{"floc aid"}, polymerWords...), "", []string{"mg/L"}, dosed(func(f *facts) *quantity.Known[quantity.Concentration] { return &f.Polymer })},
	{"coagulant", coagulantWords, "", []string{"mg/L"}, func(f *facts, text string, at note.Place) error {
		if d, err := quantity.ParseDose(text); err == nil {
			f.CoagulantAs = d.Basis
		}
		return dosed(func(f *facts) *quantity.Known[quantity.Concentration] { return &f.Coagulant })(f, text, at)
	}},
	{"temperature", []string{"temperature", "temp"}, "", []string{"C"}, amount(quantity.Parse[quantity.Temperature], func(f *facts) *quantity.Known[quantity.Temperature] { return &f.Temperature })},
	{"volume", []string{"volume", "vol", "volumen", "volum", "inhoud", "objetosc", "wasservolumen", "beckenvolumen", "tankvolumen", "volym", "tilavuus", "the tich"}, "sample", []string{"m3"}, doubted(quantity.Parse[quantity.Volume], func(f *facts) *quantity.Known[quantity.Volume] { return &f.Volume }, func(f *facts) *quantity.Fraction { return &f.VolumeUnsure })},
	{"flow", []string{"flow", "durchfluss", "caudal", "debit", "debiet", "vazao", "portata", "przeplyw", "stromning", "vannforing", "flode", "gennemstromning", "virtaama", "luu luong", "aliran"}, "", []string{"m3/h"}, doubted(quantity.Parse[quantity.Flow], func(f *facts) *quantity.Known[quantity.Flow] { return &f.Flow }, func(f *facts) *quantity.Fraction { return &f.FlowUnsure })},
	{"mixing", []string{"mixing", "mixed", "tank kind", "tank shape"}, "", nil, func(f *facts, text string, _ note.Place) error {
		t := words.TokensIn(text)
		f.Raceway = slices.ContainsFunc([]string{"raceway", "plug", "channel", "no"}, func(w string) bool { return slices.Contains(t, w) })
		return nil
	}},
	{"unit", []string{"unit"}, "", nil, func(f *facts, text string, _ note.Place) error {
		f.Off = unitIsOff(text)
		return nil
	}},
	{"name", []string{"run", "name", "lauf", "versuch"}, "date by", nil, func(f *facts, text string, _ note.Place) error { f.Name = text; return nil }},
	{"date", []string{"date", "day", "begun on", "datum", "fecha"}, "", nil, func(f *facts, text string, _ note.Place) error { f.Date = text; return nil }},
	{"trial", []string{"trial", "title"}, "", nil, func(f *facts, text string, _ note.Place) error { f.trial = text; return nil }},
	{"kept", []string{"done by", "meter", "expected", "begun at"}, "", nil, func(*facts, string, note.Place) error { return nil }},
	{"place", []string{"tank", "site"}, "", nil, func(*facts, string, note.Place) error { return nil }},
}

// weighs reports what is weighed of one run alone, whatever others have.
func (x *fact) weighs() bool { return x.key == "wet" || x.key == "dry" || x.key == "made" }

// factFor is the row that a label is of; nil for none.
func factFor(label string) *fact {
	said := words.TokensIn(label)
	has := func(set string) bool {
		return !slices.ContainsFunc(strings.Fields(set), func(w string) bool { return !slices.Contains(said, w) })
	}
	if len(said) == 0 || len(said) > 8 {
		return nil
	}
	for i, x := range factRows {
		against := slices.ContainsFunc(strings.Fields(x.not), func(w string) bool { return slices.Contains(said, w) })
		if !against && slices.ContainsFunc(x.words, has) {
			return &factRows[i]
		}
	}
	return nil
}

// isNumber reports a text that is a number and no more, perhaps with its doubt.
var isNumber = regexp.MustCompile(`^[-+]?\d+(?:[.,]\d+)?(?:\s*(?:±|\+/-)\s*\d+(?:[.,]\d+)?\s*%?)?$`)

// take puts a value under its label into the facts. A bare number takes the unit that the label has.
func (x *fact) take(f *facts, label, value string, at note.Place) error {
	value = strings.TrimSpace(value)
	if value == "" || value == "-" {
		return nil
	}
	if x.unit != nil && isNumber.MatchString(value) {
		if value != "0" || x.key != "polymer" && x.key != "coagulant" {
			unit := unitOf(label)
			if unit == "" {
				return note.Fault("fact-unit", "%s: %q has no unit", strings.TrimSpace(label), value).Do(`write it, such as "%s %s"`, value, x.unit[0])
			}
			if parts := plusMinus.Split(value, 2); len(parts) == 2 {
				value = parts[0] + " " + unit + " ± " + parts[1]
				if !strings.Contains(parts[1], "%") {
					value += " " + unit
				}
			} else {
				value += " " + unit
			}
		}
	}
	f.note(saying{x, value, at})
	return x.put(f, value, at)
}

var inBracket = regexp.MustCompile(`[(\[]([^()\[\]]*)[)\]]`)

// unitOf is the unit of a label as it is written.
func unitOf(label string) string {
	if b := inBracket.FindStringSubmatch(label); b != nil {
		return strings.TrimSpace(b[1])
	}
	us := words.Units(label)
	if len(us) == 0 {
		if strings.Contains(label, "%") {
			return "%"
		}
		return ""
	}
	u := us[len(us)-1]
	return label[u.From:u.To]
}

// polymerWords name the polymer, folded.
var polymerWords = strings.Fields("polymer polymere polimero polimer polymeer polymeeri flocculant flocculante floculante flokkulant flokkulans flockungsmittel pam")

// coagulantWords name the coagulant, folded.
var coagulantWords = strings.Fields("coagulant coagulante koagulant koagulans koagulantti fallmittel flockmittel alum alun pac pacl ferric")

// decimalComma is a number with a decimal comma, as in the name of a run: of one or two digits behind it, since three may be thousands.
var decimalComma = regexp.MustCompile(`\b(\d+),(\d{1,2})\b`)

// byName takes settings out of a run's name or a column's heading: "0.2 mg/L polymer", "without polymer", "8 m3/h", "unit off".
func (f *facts) byName(name string, at note.Place) {
	said := words.TokensIn(name)
	name = decimalComma.ReplaceAllString(name, "$1.$2")
	has := func(list ...string) bool {
		return slices.ContainsFunc(list, func(w string) bool { return slices.Contains(said, w) })
	}
	polymer := has(polymerWords...)
	for _, a := range words.Amounts(name) {
		text := a.Number + " " + name[a.From:a.To]
		switch {
		case a.Kind == words.Flow && !f.Flow.OK:
			if v, err := quantity.Parse[quantity.Flow](text); err == nil {
				f.Flow = quantity.Known[quantity.Flow]{V: v, OK: true, At: at}
			}
		case a.Kind == words.Conc && polymer && !f.Polymer.OK:
			if d, err := quantity.ParseDose(text); err == nil {
				f.Polymer = quantity.Known[quantity.Concentration]{V: d.Concentration, OK: true, At: at}
			}
		case a.Kind == words.Minutes && has(skimWords...) && !f.Skim.OK:
			if v, err := quantity.Parse[quantity.Time](text); err == nil {
				f.Skim = quantity.Known[quantity.Time]{V: v, OK: true, At: at}
			}
		}
	}
	if polymer && has(noneWords...) && !f.Polymer.OK {
		f.Polymer = quantity.Known[quantity.Concentration]{OK: true, At: at}
	}
	if !f.given("unit") && (has("blank", "bypassed", "bypass") || has("unit") && has("off", "stopped", "without") || strings.Contains(words.Fold(name), "by-passed")) {
		f.Off = true
	}
}
