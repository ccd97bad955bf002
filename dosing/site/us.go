package site

import (
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
	"m3":     {"gal", "MG", 1e6},
	"L":      {"gal", "MG", 1e6},
	"kg":     {"lb", "", 0},
	"kg/d":   {"lb/d", "", 0},
	"kg/L":   {"lb/gal", "", 0},
	"C":      {"F", "", 0},
	"m":      {"ft", "", 0},
	"mm":     {"in", "", 0},
	"m2":     {"ft2", "", 0},
	"kPa":    {"psi", "", 0},
	"EUR":    {"USD", "", 0},
	"EUR/kg": {"USD/lb", "", 0},
}

// In gives the field with the unit and the example that its reader uses.
func (f Field) In(sys quantity.System) Field {
	if sys != quantity.US {
		return f
	}
	if named, ok := usUnits[f.Example]; ok { // a field that holds a unit's name
		f.Example = named.unit
	}
	u, ok := usUnits[f.Unit]
	if !ok {
		return f
	}
	if f.Example != "" {
		text, unit := cutUnit(usual(example(f), f.Unit))
		f.Example, f.Unit = text, unit
		return f
	}
	f.Unit = u.unit
	return f
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
				case ok && f.Name == "other heads":
					own[name] = eachPart(text, "; ", func(s string) string { return usual(s, "L/h") })
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
