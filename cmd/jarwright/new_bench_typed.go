package main

import (
	"cmp"
	"errors"
	"fmt"
	"strings"
	"time"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// typedTest is a test that was read already, as the command line has it.
type typedTest struct {
	jars, raw []string
	counts    bool // --basis says what the doses count
}

func asTyped(s string) (string, error) { return s, nil }

// fillIn puts a test that was read already into a bench sheet. All that is wrong is told at
// once, each fault at its jar and column.
func (e *env) fillIn(x *book.Bench, typed typedTest) error {
	if len(typed.jars) == 0 {
		if len(typed.raw) > 0 {
			return badUsage("--raw is of jars that were read: give them with --jar")
		}
		return nil
	}
	var wrong note.List
	if len(x.Doses) > 0 {
		return badUsage("--jar and --doses both name the doses: give one of them")
	}
	if !typed.counts {
		wrong.Add(note.Fault("basis-missing", "nothing says what the doses count").
			Do(`give --basis, such as "as product" or "as Al"; what it is stands on the stock's label or in its recipe`))
	}
	done := &book.Done{Raw: map[jartest.Key]float64{}}
	if e.onDay() {
		done.Date = e.shown.Date.Format(time.DateOnly)
	}
	for _, s := range typed.raw {
		k, v, err := rawReading(s)
		wrong.Add(note.Of(err, "bad-reading")...)
		done.Raw[k] = v
	}
	columns := x.ReadColumns()
	byVolume := 0
	for i, s := range typed.jars {
		at := fmt.Sprintf("jar %d, ", i+1)
		items := strings.Split(s, ";")
		dose, added, err := typedDose(items[0])
		for _, n := range note.Of(err, "bad-dose") {
			wrong.Add(n.At(note.Place{Cell: at + "dose"}))
		}
		if x.Doses = append(x.Doses, dose); added.OK {
			byVolume++
		}
		done.Added = append(done.Added, added.V)
		if len(items)-1 > len(columns)+1 {
			wrong.Add(note.Fault("too-many-readings", "%d readings and remarks are more than %d columns and a remark", len(items)-1, len(columns)).
				Do("the columns are: %s", strings.Join(columns, ", ")).At(note.Place{Cell: strings.TrimSuffix(at, ", ")}))
			continue
		}
		var read []any
		remark := ""
		for k, item := range items[1:] {
			if k == len(columns) {
				remark = strings.TrimSpace(item)
				continue
			}
			v, err := typedReading(item)
			if number, is := v.(float64); is {
				err = possible(columns[k], number)
			}
			for _, n := range note.Of(err, "bad-reading") {
				wrong.Add(n.At(note.Place{Cell: at + columns[k]}))
			}
			read = append(read, v)
		}
		done.Jars, done.Remarks = append(done.Jars, read), append(done.Remarks, remark)
	}
	switch {
	case byVolume == 0:
		done.Added = nil
	case byVolume < len(typed.jars):
		wrong.Add(note.Fault("doses-mixed", "%d of %d jars have millilitres of stock and the others a dose", byVolume, len(typed.jars)).Do("give all in one unit"))
	case x.Stock <= 0 || x.JarVolume <= 0:
		wrong.Add(note.Fault("stock-missing", "the jars have millilitres of stock, of which nothing says what dose they give").Do("give --stock and --jar-volume"))
	default:
		x.Doses = nil
	}
	x.Done = done
	if err := wrong.Err(); err != nil {
		return usageError{err}
	}
	return nil
}

// typedDose reads "5 mg/L", or "0.5 mL" of stock.
func typedDose(s string) (quantity.Concentration, quantity.Known[quantity.Volume], error) {
	if v, err := quantity.Parse[quantity.Volume](s); err == nil {
		if v < 0 {
			return 0, quantity.Some(v), note.Fault("negative-dose", "a volume of %q is below zero", strings.TrimSpace(s)).Do("a dose is zero or more")
		}
		return 0, quantity.Some(v), nil
	}
	if strings.TrimSpace(s) == "" {
		return 0, quantity.Known[quantity.Volume]{}, note.Fault("bad-dose", "the jar has no dose").Do(`write it with its unit, of a control "0 mg/L"`)
	}
	d, err := quantity.ParseDose(strings.TrimSpace(s))
	if err == nil && d.Basis != quantity.NotStated {
		err = note.Fault("bad-dose", "dose %q says what it counts", strings.TrimSpace(s)).Do("say it once for all jars, with --basis")
	}
	return d.Concentration, quantity.Known[quantity.Volume]{}, err
}

// typedReading reads what stands for one reading: a number, or what a meter says instead.
func typedReading(s string) (any, error) {
	s = strings.TrimSpace(s)
	v := layout.ParseValue(grid.Cell{Kind: grid.Textual, Text: s}, layout.DecimalsUnknown)
	plain := v.SD == 0 && v.N == 0 && len(v.List) == 0 && !v.Approx && !v.Unit.Known()
	switch {
	case s == "":
		return nil, nil
	case v.OK() && v.Doubt == "" && plain:
		return v.Num, nil
	case (v.State == layout.Below || v.State == layout.Above || v.State == layout.Missing) && v.Doubt == "":
		return s, nil
	}
	return nil, note.Fault("bad-reading", "%q %s", s, cmp.Or(v.Doubt, "is not one plain number")).
		Do(`write a number without its unit, or what the meter says, such as "<0.5" or "over range"`)
}

// possible refuses a number that the reading of a column cannot have, as the reader of the sheet would.
func possible(column string, v float64) error {
	for _, i := range jartest.Keys() {
		if name := strings.TrimRight(column, " 0123456789"); (i.Label == name || i.Label == column) && (v < i.Least || v > i.Most) {
			return note.Fault("impossible-value", "%s of %v cannot be: it lies between %v and %v", i.Label, v, i.Least, i.Most).Do("correct it, or leave it empty")
		}
	}
	return nil
}

// rawReading reads "turbidity=46 NTU".
func rawReading(s string) (jartest.Key, float64, error) {
	name, text, _ := strings.Cut(s, "=")
	keys, err := parseReadings(name)
	if err == nil && len(keys) != 1 {
		err = errors.New(`write it like "turbidity=46 NTU"`)
	}
	if err != nil {
		return "", 0, note.Fault("bad-reading", "--raw %q: %s", s, strings.TrimSpace(err.Error()))
	}
	at := note.Place{Cell: "raw " + keys[0].Info().Label}
	v, unit, err := quantity.Split(text)
	if err != nil {
		return keys[0], 0, note.Fault("bad-reading", "%q %s", strings.TrimSpace(text), err.Error()).Do(`write it like "turbidity=46 NTU"`).At(at)
	}
	f, want, ok := jartest.UnitFactor(keys[0], unit)
	if warm, is := quantity.Parse[quantity.Temperature](text); is == nil && keys[0] == jartest.TemperatureKey { // whose units do not begin at one zero
		v, f, ok = warm.In(want), 1, true
	}
	if i := keys[0].Info(); !ok || unit == "" && want != "" {
		return keys[0], 0, note.Fault("wrong-unit", "%q is not in %s", strings.TrimSpace(text), cmp.Or(want, "pH")).Do("%s", either(unit == "" || want == "", "write it with its unit", "write it in "+want)+either(keys[0] == jartest.TemperatureKey, " or F", "")).At(at)
	} else if v *= f; v < i.Least || v > i.Most {
		return keys[0], 0, note.Fault("impossible-value", "%q cannot be", strings.TrimSpace(text)).Do("look at it once more").At(at)
	}
	return keys[0], v, nil
}
