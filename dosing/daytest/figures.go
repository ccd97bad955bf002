package daytest

import (
	"fmt"
	"math"
	"reflect"
	"sort"

	"jarwright/dosing/day"
)

// Figures lists every number of an account under its name, such as "Dry.Low" or
// "Uses[0].Product".
func Figures(a day.Account) map[string]float64 {
	out := map[string]float64{}
	walk("", reflect.ValueOf(a), out)
	return out
}

func walk(name string, v reflect.Value, out map[string]float64) {
	switch v.Kind() {
	case reflect.Float64:
		out[name] = v.Float()
	case reflect.Struct:
		for i := range v.NumField() {
			walk(name+"."+v.Type().Field(i).Name, v.Field(i), out)
		}
	case reflect.Slice:
		for i := range v.Len() {
			walk(fmt.Sprintf("%s[%d]", name, i), v.Index(i), out)
		}
	}
}

// Differ lists what is not the same in two sets of figures, to nine digits.
func Differ(got, want map[string]float64) (out []string) {
	for name, w := range want {
		g, ok := got[name]
		if !ok || math.Abs(g-w) > 1e-9*math.Max(math.Abs(w), 1e-6) || math.IsNaN(g) {
			out = append(out, fmt.Sprintf("%s is %.15g, want %.15g", name, g, w))
		}
	}
	for name := range got {
		if _, ok := want[name]; !ok {
			out = append(out, name+" is one too many")
		}
	}
	sort.Strings(out)
	return out
}
