package site

import (
	"jarwright/dosing/flow"
	"jarwright/dosing/gauge"
	"jarwright/dosing/mixing"
	"jarwright/dosing/pond"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// reader is one way to read a field's text, as the table names it.
type reader struct {
	numeric bool     // a number belongs in the cell
	choices []string // the only values, where there is a list
	into    binder
}

func number[T any](parse func(string) (T, error)) reader {
	return reader{numeric: true, into: bind(parse)}
}

// readers are the ways to read a field.
func readers() map[string]reader {
	m := map[string]reader{
		"text":                  {into: bind(func(s string) (string, error) { return s, nil })},
		"clock":                 {into: bind(parseClock)},
		"date":                  {into: bind(parseDate)},
		"hours":                 {into: bind(flow.ParseHours)},
		"month":                 {into: bind(parseMonth), choices: months()},
		"sludge dose":           number(parseSludgeDose),
		"tube":                  {into: bind(gauge.ParseTube)},
		"cone":                  {into: bind(gauge.ParseCone)},
		"stirrer":               {into: bind(mixing.ParseStirrer)},
		"pond size":             {into: bind(pond.ParseSize)},
		"basis":                 {into: bind(quantity.ParseBasis), choices: basisChoices()},
		"yes or no":             {into: bind(parseYesNo), choices: []string{"yes", "no"}},
		"count":                 number(parseCount),
		"number":                number(parseNumber),
		"number of either sign": number(parseSigned),
		"ratio":                 number(parseRatio),
		"turndown":              number(parseTurndown),
		"pH":                    number(quantity.ParsePH),
		"density":               number(quantity.Parse[quantity.Density]),
		"dose":                  number(parseDose),
		"money":                 number(parseMoney),
		"price":                 number(quantity.ParsePrice),
		"knob":                  number(parseKnob),
		"knob above 0":          number(above0(parseKnob, func(k Knob) float64 { return k.V })),
		"knob scale":            number(parseScale),
		"sureness":              number(quantity.ParseSure),
		"stock strength":        number(above0(parseStrength, func(c quantity.Concentration) float64 { return float64(c) })),
		"reading":               number(ParseReading),
		"reading above 0":       number(above0(ParseReading, func(r Reading) float64 { return r.V })),
		"rise":                  number(parseRise),
		"hours a day": number(refuse(quantity.Parse[quantity.Time], func(t quantity.Time) bool { return t <= 0 || t > 24 },
			"bad-hours", "%q a day is not above 0 and up to 24 h", "give the hours run in one day")),
	}
	for name, list := range choices {
		m[name] = reader{into: bind(choice(list)), choices: list}
	}
	amount(m, "alkalinity", quantity.Parse[quantity.Alkalinity])
	amount(m, "area", quantity.Parse[quantity.Area])
	amount(m, "concentration", quantity.Parse[quantity.Concentration])
	amount(m, "conductivity", quantity.Parse[quantity.Conductance])
	amount(m, "feed rate", quantity.Parse[quantity.FeedRate])
	amount(m, "flow", quantity.Parse[quantity.Flow])
	amount(m, "length", quantity.Parse[quantity.Length])
	amount(m, "mass", quantity.Parse[quantity.Mass])
	amount(m, "mass rate", quantity.Parse[quantity.MassRate])
	amount(m, "power", quantity.Parse[quantity.Power])
	amount(m, "pressure", quantity.Parse[quantity.Pressure])
	amount(m, "rotation", quantity.Parse[quantity.Rotation])
	amount(m, "salinity", quantity.Parse[quantity.Salinity])
	amount(m, "setting", quantity.Parse[quantity.Setting])
	amount(m, "share", quantity.Parse[quantity.Fraction])
	amount(m, "renewal", func(s string) (quantity.Fraction, error) {
		share, err := quantity.Parse[quantity.Renewal](s)
		return quantity.Fraction(share), err
	})
	amount(m, "temperature", quantity.Parse[quantity.Temperature])
	amount(m, "time", quantity.Parse[quantity.Time])
	amount(m, "turbidity", quantity.Parse[quantity.Cloudiness])
	amount(m, "volume", asked(pond.Full, quantity.Parse[quantity.Volume]))
	return m
}

// amount adds the three ways to read an amount: any, above 0, and from 0 on.
func amount[T ~float64](m map[string]reader, name string, parse func(string) (T, error)) {
	m[name] = number(parse)
	m[name+" above 0"] = number(above0(parse, func(v T) float64 { return float64(v) }))
	m[name+" from 0"] = number(refuse(parse, func(v T) bool { return v < 0 }, "negative", "%q is negative", "give zero or more"))
}

// asked is a parser that is asked about a text first.
func asked[T any](about func(string) error, parse func(string) (T, error)) func(string) (T, error) {
	return func(text string) (v T, err error) {
		if err = about(text); err != nil {
			return v, err
		}
		return parse(text)
	}
}

func above0[T any](parse func(string) (T, error), size func(T) float64) func(string) (T, error) {
	return refuse(parse, func(v T) bool { return size(v) <= 0 }, "not-positive", "%q is not above zero",
		"give a value above zero, or leave it out")
}

// refuse is a parser that does not take all values; text has a place for what was written.
func refuse[T any](parse func(string) (T, error), bad func(T) bool, code, text, do string) func(string) (T, error) {
	return func(s string) (T, error) {
		v, err := parse(s)
		if err == nil && bad(v) {
			err = note.Fault(code, text, s).Do("%s", do)
		}
		return v, err
	}
}

func basisChoices() []string {
	var out []string
	for _, b := range quantity.Bases() {
		out = append(out, string(b))
	}
	return out
}

// parseDose reads a concentration that may not be negative.
func parseDose(s string) (quantity.Concentration, error) {
	d, err := quantity.ParseDose(s)
	if err != nil {
		if _, rate := quantity.Parse[quantity.MassRate](s); rate == nil {
			err = note.Fault("dose-by-day", "%q is a mass a day, no dose", s).Do(`put it under "fed a day", or give mass per volume, such as "12.5 mg/L"`)
		}
	}
	return d.Concentration, err
}
