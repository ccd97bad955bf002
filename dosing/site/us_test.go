package site

import (
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// ofMetric finds a metric unit in what US readers are told. Doses, stocks, drawdown columns and what a
// tube gives a turn are in mg, g/L and mL in the US too, motors in W, energy in kWh, salinity in g/kg.
var ofMetric = regexp.MustCompile(`(?:^|[^\pL\d/])(m3/h|m3|L/h|L/min|L|kg/d|kg/L|kg|g|C|m|mm|cm|m2|m/h|kPa|EUR)(?:$|[^\pL\d/])`)

// notMetric takes out hours and minutes, and the temperature to which every meter of conductivity goes back.
var notMetric = strings.NewReplacer("hh:mm", "", "at 25 C", "")

// TestEveryFieldSpeaksUS: unit, meaning and example of every field of the table are those of US readers,
// and each example, and one of each unit, reads back to what the metric one says, to the five digits it is written with.
func TestEveryFieldSpeaksUS(t *testing.T) {
	for _, sh := range Sheets() {
		for _, f := range sh.Fields {
			us := f.In(quantity.US)
			for _, said := range []string{us.Unit, us.Meaning, us.Example, string(us.Need)} {
				if m := ofMetric.FindStringSubmatch(notMetric.Replace(said)); m != nil {
					t.Errorf("%s, %s: %q is metric in %q", sh.Name, f.Name, m[1], said)
				}
				if strings.ContainsAny(said, "{}") {
					t.Errorf("%s, %s: %q", sh.Name, f.Name, said)
				}
			}
			if strings.ContainsAny(f.Meaning, "{}") {
				t.Errorf("%s, %s: %q", sh.Name, f.Name, f.Meaning)
			}
			read := func(text, unit string) reflect.Value {
				record := sh.record(&Site{}, 0, true)
				if err := f.put(record, entry{text: text, unit: unit}); err != nil && note.Of(err, "bad-value")[0].Level == note.Error {
					t.Errorf("%s, %s: %q %q: %v", sh.Name, f.Name, text, unit, err)
				}
				return f.home(record).FieldByName("V")
			}
			switch {
			case f.Example != "" && f.Name != "log unit" && f.Name != "currency":
				sameInUS(t, sh.Name+", "+f.Name, read(f.Example, f.Unit), read(us.Example, us.Unit))
			case f.Unit != us.Unit: // the unit's own worth is the business of the quantity
				read(usualOf(f), us.Unit)
			}
		}
	}
}

// usualOf is an everyday value of a field in US units.
func usualOf(f Field) string {
	switch f.Unit {
	case "kg/L":
		return "9"
	case "C":
		return "50"
	}
	return "1"
}

// sameInUS holds a value that was read against that of the US form; lists part by part, money one for one.
func sameInUS(t *testing.T, what string, metric, us reflect.Value) {
	t.Helper()
	near := func(a, b float64) bool { return math.Abs(a-b) <= 6e-5*math.Max(math.Abs(a), math.Abs(b)) }
	switch {
	case metric.CanFloat():
		if !near(metric.Float(), us.Float()) {
			t.Errorf("%s: %v, in US units %v", what, metric, us)
		}
	case metric.Type() == reflect.TypeFor[quantity.Price]():
		a, b := metric.Interface().(quantity.Price), us.Interface().(quantity.Price)
		m, _ := b.Holds()
		if b.Currency != "USD" || !near(a.Amount, b.Amount/float64(m)) {
			t.Errorf("%s: %v, in US units %v", what, a, b)
		}
	case metric.Kind() == reflect.String:
		parts := strings.Split(us.String(), "; ")
		for i, p := range strings.Split(metric.String(), "; ") {
			_, unit := cutUnit(p)
			if _, ok := usUnits[unit]; !ok {
				if p != parts[i] {
					t.Errorf("%s: %q, in US units %q", what, p, parts[i])
				}
				continue
			}
			a, _ := quantity.Converted(p, unit)
			if b, ok := quantity.Converted(parts[i], unit); !ok || !near(a, b) {
				t.Errorf("%s: %q, in US units %q", what, p, parts[i])
			}
		}
	default:
		if a, b := strings.ReplaceAll(fmt.Sprintf("%+v", metric), "EUR", "USD"), fmt.Sprintf("%+v", us); a != b {
			t.Errorf("%s: %s, in US units %s", what, a, b)
		}
	}
}
