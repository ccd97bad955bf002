package site

import (
	"regexp"
	"strings"

	"jarwright/jartest/quantity"
)

// usUnit is what a US workbook offers in place of a unit of the field table: the unit,
// and another one from a size on that makes it unhandy.
type usUnit struct {
	unit, large string
	from        float64 // of unit
}

// usUnits are by the unit of the table. What is not here is the same in the US: doses and stocks
// in mg/L and g/L, drawdown columns in mL, power in W.
var usUnits = map[string]usUnit{
	"m3/h":   {"gpm", "MGD", 700}, // about 1 MGD
	"L/h":    {"gph", "", 0},
	"L/min":  {"cfm", "", 0}, // of air: what is water stands in m3/h
	"m3":     {"gal", "MG", 1e6},
	"L":      {"gal", "MG", 1e6},
	"g":      {"oz", "", 0},
	"kg":     {"lb", "", 0},
	"kg/d":   {"lb/d", "", 0},
	"kg/L":   {"lb/gal", "", 0},
	"C":      {"F", "", 0},
	"m":      {"ft", "", 0},
	"cm":     {"in", "", 0},
	"mm":     {"in", "", 0},
	"m2":     {"ft2", "", 0},
	"m/h":    {"gpm/ft2", "", 0},
	"kPa":    {"psi", "", 0},
	"EUR":    {"USD", "", 0},
	"EUR/kg": {"USD/lb", "", 0},
}

// In gives the field with the unit, the example and the figures of its meaning that its reader uses.
func (f Field) In(sys quantity.System) Field {
	if sys != quantity.US {
		return f
	}
	f.Meaning = figuresTold.ReplaceAllStringFunc(f.told, func(s string) string { return usFigure(s[1 : len(s)-1]) })
	if u, ok := usUnits[f.Example]; ok { // a field that holds a unit's name
		f.Example = u.unit
	}
	u, ok := usUnits[f.Unit]
	switch {
	case f.Example != "" && ok:
		f.Example, f.Unit = cutUnit(usual(example(f), f.Unit))
	case ok:
		f.Unit = u.unit
	case !f.Numeric:
		f.Example = usList(f.Example)
	}
	return f
}

// figuresTold are the figures of a meaning, and the units that stand alone in it.
var figuresTold = regexp.MustCompile(`\{[^{}]*\}`)

// usFigure writes a figure of a sentence, or a unit alone, for US readers, with three digits.
func usFigure(text string) string {
	_, unit := cutUnit(text)
	switch u, named := usUnits[text]; {
	case named:
		return u.unit
	case unit == "":
		return text
	}
	v, to := cutUnit(usual(text, unit))
	x, _, err := quantity.Split(v)
	if err != nil {
		return text
	}
	if exact, ok := quantity.Converted(text, to); ok { // not rounded twice
		x = exact
	}
	return quantity.Brief(x, 3) + " " + to
}

// usList writes the amounts of a list, parted by semicolons, in US units; what is no amount stays.
func usList(text string) string {
	return eachPart(text, "; ", func(s string) string {
		_, unit := cutUnit(s)
		return usual(s, unit)
	})
}

// In gives the values as a reader of US units writes them, with five significant
// digits; money of the example is taken over as it stands.
func (v Values) In(sys quantity.System) Values {
	if sys != quantity.US {
		return v
	}
	out := Values{}
	for _, sh := range Sheets() {
		for _, row := range v[sh.Name] {
			own := map[string]string{}
			for name, text := range row {
				own[name] = text
				switch f, ok := sh.Field(name); {
				case ok && f.Numeric && f.Unit != "":
					own[name] = usual(text, f.Unit)
				case ok && f.Name == "currency":
					own[name] = "USD"
				case ok && !f.Numeric:
					own[name] = usList(text)
				}
			}
			out[sh.Name] = append(out[sh.Name], own)
		}
	}
	return out.shownInUS()
}

// shownInUS gives the values of a site whose answers are shown in US units.
func (v Values) shownInUS() Values {
	if len(v["Place"]) == 0 {
		v["Place"] = []map[string]string{{}}
	}
	v["Place"][0]["units"] = UnitsUS
	return v
}

// system is the units that values ask to be shown in.
func (v Values) system() quantity.System {
	if len(v["Place"]) > 0 && v["Place"][0]["units"] == UnitsUS {
		return quantity.US
	}
	return quantity.Metric
}

func eachPart(text, sep string, change func(string) string) string {
	parts := strings.Split(text, sep)
	for i, p := range parts {
		parts[i] = change(p)
	}
	return strings.Join(parts, sep)
}

func cutUnit(text string) (number, unit string) {
	number, unit, _ = strings.Cut(text, " ")
	return number, unit
}

// usual writes a value of a field of that unit in the unit of US readers; what it
// cannot read stays as it is.
func usual(text, unit string) string {
	u, ok := usUnits[unit]
	if !ok {
		return text
	}
	if strings.HasPrefix(unit, "EUR") {
		return usMoney(text)
	}
	to := func(name string) (float64, bool) { return quantity.Converted(text, name) }
	v, ok := to(u.unit)
	if !ok {
		return text
	}
	if u.large != "" && v >= u.from {
		v, _ = to(u.large)
		return quantity.Brief(v, 5) + " " + u.large
	}
	return quantity.Brief(v, 5) + " " + u.unit
}

// usMoney turns euros into dollars, one for one, and what they are per into US units.
func usMoney(text string) string {
	if p, err := quantity.ParsePrice(text); err == nil {
		v, unit := p.Show(quantity.US)
		return quantity.Brief(v, 5) + " " + strings.Replace(unit, "EUR", "USD", 1)
	}
	return strings.Replace(text, "EUR", "USD", 1)
}
