package site

import (
	_ "embed" // the table is part of the program
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
)

//go:embed fields.txt
var fieldTable string

// Sheets gives the field table. Workbook and site.yaml, the writer, the reader
// and the list of fields in the documentation all rest on it.
func Sheets() []Sheet { return sheets() }

var sheets = sync.OnceValue(func() []Sheet {
	known := readers()
	var out []Sheet
	for _, r := range table.Rows(fieldTable) {
		if r[0] == "sheet" {
			out = append(out, Sheet{Name: r[1], Thing: r[2], List: r[2] != "", Meaning: r[3], Seldom: len(r) > 4 && r[4] == "seldom", names: map[string]int{}})
			continue
		}
		read, ok := known[r[7]]
		if !ok {
			panic(fmt.Sprintf("site: fields.txt: nothing reads %q", r[7]))
		}
		s := &out[len(out)-1]
		s.Fields = append(s.Fields, hourly(Field{member: r[0], Name: r[1], Also: table.List(r[2]), Unit: r[3], Meaning: unbraced.Replace(r[4]), told: r[4],
			Example: r[5], Need: Need(r[6]), Choices: read.choices, Numeric: read.numeric, into: read.into, zero: strings.HasSuffix(r[7], " from 0"),
			span: plausibles().spans[[2]string{s.Name, r[1]}], feeds: slices.Contains(fedBy, s.Name)})...)
	}
	for _, s := range out {
		for i := len(s.Fields) - 1; i >= 0; i-- { // the first of a name has it
			for _, n := range append([]string{s.Fields[i].Name}, s.Fields[i].Also...) {
				s.names[fold(n)] = i
			}
		}
	}
	return out
})

// fedBy are the sheets on whose figures it rests what is fed.
var fedBy = []string{"Flow", "Chemicals", "Stocks", "Pumps"}

// unbraced takes the marks off the figures of a meaning.
var unbraced = strings.NewReplacer("{", "", "}", "")

// hourly gives a field, or one for each hour of the day where its name has the
// place for it.
func hourly(f Field) []Field {
	if !strings.Contains(f.Name, "HH") {
		return []Field{f}
	}
	out := make([]Field, 24)
	for h := range out {
		in := func(s string) string { return strings.ReplaceAll(s, "HH", pad(h)) }
		out[h] = f
		out[h].hour, out[h].Name, out[h].Meaning, out[h].told, out[h].Also = h, in(f.Name), in(f.Meaning), in(f.told), nil
		for _, a := range f.Also {
			out[h].Also = append(out[h].Also, in(a))
		}
	}
	return out
}

// record gives the sheet's only record, or that of a row of a list; where the
// list is shorter it is nil, or made with grow.
func (s Sheet) record(site *Site, row int, grow bool) any {
	v := reflect.ValueOf(site).Elem().FieldByName(s.Name)
	if !s.List {
		return v.Addr().Interface()
	}
	for grow && v.Len() <= row {
		v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
	}
	if row >= v.Len() {
		return nil
	}
	return v.Index(row).Addr().Interface()
}

// place tells a record of a list its row.
func (s Sheet) place(record any, at note.Place) {
	if s.List {
		reflect.ValueOf(record).Elem().FieldByName("At").Set(reflect.ValueOf(at))
	}
}

// put gives an entry to the field's member of a record.
func (f Field) put(record any, e entry) error {
	switch r := record.(type) {
	case *Stock:
		if f.member == "Product" && undiluted(e.text) {
			e.text, r.Undiluted = "", fold(e.text) == asFarmsSay // empty is what says it
		}
	case *Place:
		if f.member == "Passes" {
			r.Stream = fold(e.text) == "stream"
		}
	}
	if told, err := f.toldByHand(record, e); told {
		return err
	}
	return f.into(f.home(record).Addr().Interface(), e, f)
}

// home is the field's member of a record.
func (f Field) home(record any) reflect.Value {
	v := reflect.ValueOf(record).Elem().FieldByName(f.member)
	if v.Kind() == reflect.Array {
		v = v.Index(f.hour)
	}
	return v
}

// What the choices are, used by those who read the site.
const (
	ForAnimals       = "animals"
	ForDrinking      = "drinking water"
	ForWastewater    = "wastewater"
	ForOther         = "other"
	UnitsMetric      = "metric"
	UnitsUS          = "us"
	OnceThrough      = "once through"
	Recirculating    = "recirculating"
	Batch            = "batch"
	Standing         = "standing"
	KnobSpeed        = "speed"
	KnobStroke       = "stroke"
	KnobBoth         = "speed and stroke"
	TankStock        = "stock"
	TankMakeUp       = "make-up"
	TankStore        = "product store"
	TankBin          = "bin"
	TankAnimals      = "animals"
	TankOther        = "other"
	ReachedAlways    = "always"
	ReachedMixed     = "mixed"
	ReachedNever     = "never"
	RulesUS          = "US" // drinking-water rules
	UnitFlotation    = "flotation"
	UnitSettler      = "settler"
	FloatByScraper   = "scraper"
	FloatByFlooding  = "flooding"
	BubblesSaturator = "saturator"
	BubblesPump      = "air-sucking pump"
	BubblesVenturi   = "venturi"
	BubblesStirrer   = "stirrer"
	ChargeCationic   = "cationic"
	ChargeAnionic    = "anionic"
	ChargeNonIonic   = "non-ionic"
	UsualWater       = "usual"
	ClearWater       = "clear"
	StormWater       = "storm"
	// Rows of Prices that are no chemical.
	PriceDisposal    = "disposal of solids"
	PriceWater       = "make-up water"
	PriceElectricity = "electricity"
)

var otherPrices = []string{PriceDisposal, PriceWater, PriceElectricity}

// saidFor are other words for a choice, as people say them who work there.
var saidFor = map[string]string{"stream": OnceThrough, "flow through": OnceThrough}

// choices are the ways to read a field that has a few values only.
var choices = map[string][]string{
	"display units": {UnitsMetric, UnitsUS},
	"purpose":       {ForAnimals, ForDrinking, ForWastewater, ForOther},
	"water rules":   {RulesUS, "EU", "WHO"},
	"passes":        {OnceThrough, Recirculating, Batch, Standing},
	"knobs":         {KnobSpeed, KnobStroke, KnobBoth},
	"tank use":      {TankStock, TankMakeUp, TankStore, TankBin, TankAnimals, TankOther},
	"reached":       {ReachedAlways, ReachedMixed, ReachedNever},
	"unit":          {UnitFlotation, UnitSettler},
	"float by":      {FloatByScraper, FloatByFlooding},
	"bubbles":       {BubblesSaturator, BubblesPump, BubblesVenturi, BubblesStirrer},
	"charge":        {ChargeCationic, ChargeAnionic, ChargeNonIonic},
	"raw water":     {UsualWater, ClearWater, StormWater},
	"weekday":       {"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"},
}
