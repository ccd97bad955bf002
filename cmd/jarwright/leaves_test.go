package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// A leaf is one number or word of a document, with the way that leads to it.
type leaf struct {
	steps  []step
	number bool
	value  float64
	text   string
	unit   string // what the document says a number is in; empty where it says nothing
}

// A step leads from a value to one within it: a field by its name, or an
// element of a list by its place and, where it has one of its own, its name.
type step struct {
	field   string
	element bool
	index   int
}

// key writes the way as the tables do: feeds[alum].stock_rate, hours[3].flow.
// The last step of a quantity, "value", is left out.
func (l leaf) key() string {
	var b strings.Builder
	for _, s := range l.steps {
		switch {
		case s.element && s.field != "":
			fmt.Fprintf(&b, "[%s]", s.field)
		case s.element:
			fmt.Fprintf(&b, "[%d]", s.index)
		case b.Len() > 0:
			b.WriteString("." + s.field)
		default:
			b.WriteString(s.field)
		}
	}
	return b.String()
}

// nameFields are the fields that an element of a list may be named by, the first that it has.
var nameFields = []string{"name", "chemical", "item", "unknown", "figure", "process", "series", "reading", "for", "label", "what"}

// countFields are fields of a quantity that are not in its unit.
var countFields = []string{"confidence", "chance_next_jar", "jars", "jars_used", "n"}

// numbersOf gives every number of a JSON document, in the document's order of keys.
func numbersOf(t *testing.T, document string) []leaf {
	t.Helper()
	var root any
	if err := json.Unmarshal([]byte(document), &root); err != nil {
		t.Fatalf("not JSON: %v", err)
	}
	var all, numbers []leaf
	walk(root, nil, "", &all)
	for _, l := range all {
		if l.number {
			numbers = append(numbers, l)
		}
	}
	return numbers
}

func walk(v any, way []step, unit string, out *[]leaf) {
	way = way[:len(way):len(way)]
	switch v := v.(type) {
	case float64:
		if n := len(way); n > 1 && !way[n-1].element && way[n-1].field == "value" {
			way = way[:n-1]
		}
		*out = append(*out, leaf{steps: way, number: true, value: v, unit: unit})
	case string:
		*out = append(*out, leaf{steps: way, text: v})
	case map[string]any:
		own, _ := v["unit"].(string)
		for _, k := range slices.Sorted(maps.Keys(v)) {
			u := own
			if slices.Contains(countFields, k) {
				u = ""
			}
			if beside, ok := v[k+"_unit"].(string); ok {
				u = beside
			}
			walk(v[k], append(way, step{field: k}), u, out)
		}
	case []any:
		names := elementNames(v)
		for i, e := range v {
			if _, table := e.([]any); table {
				unit = "" // its columns may each have their own
			}
			walk(e, append(way, step{field: names[i], element: true, index: i}), unit, out)
		}
	}
}

// elementNames gives each element of a list the name that it alone has there, or none.
func elementNames(list []any) []string {
	names := make([]string, len(list))
	for _, field := range nameFields {
		seen := map[string]int{}
		for i, e := range list {
			object, _ := e.(map[string]any)
			name, _ := object[field].(string)
			names[i] = name
			seen[name]++
		}
		if len(seen) == len(list) && seen[""] == 0 {
			return names
		}
	}
	return make([]string, len(list))
}

// A keyPattern is a key in which a list's element may stand as its name, as its
// place (#3, or 3 where its name is no number), as a stretch of places 2:5 (the end
// left out), as * for each, or as name? for a name that begins so.
type keyPattern []string

// parseKey cuts a key into its steps, elements with their bracket before them.
func parseKey(key string) keyPattern {
	var p keyPattern
	for key != "" {
		if key[0] == '[' {
			end := strings.IndexByte(key, ']')
			if end < 0 {
				end = len(key)
			}
			p, key = append(p, key[:end]), strings.TrimPrefix(key[end:], "]")
			continue
		}
		key = strings.TrimPrefix(key, ".")
		end := strings.IndexAny(key, ".[")
		if end < 0 {
			end = len(key)
		}
		p, key = append(p, key[:end]), key[end:]
	}
	return p
}

// matches tells whether the pattern fits a leaf's way.
func (p keyPattern) matches(way []step) bool {
	if len(p) != len(way) {
		return len(p) > 0 && len(p) <= len(way) && p[len(p)-1] == "**" && p[:len(p)-1].matches(way[:len(p)-1])
	}
	for i, want := range p {
		if want == "**" && i == len(p)-1 {
			return true
		}
		if !fits(want, way[i]) {
			return false
		}
	}
	return true
}

func fits(want string, s step) bool {
	inside, element := strings.CutPrefix(want, "[")
	if element != s.element {
		return false
	}
	if !element {
		return want == "*" || want == s.field
	}
	place := "#" + strconv.Itoa(s.index)
	if inside == "*" || inside == place || s.field != "" && inside == s.field {
		return true
	}
	if _, err := strconv.Atoi(s.field); err != nil && "#"+inside == place {
		return true
	}
	if begin, cut := strings.CutSuffix(inside, "?"); cut && s.field != "" && strings.HasPrefix(s.field, begin) {
		return true
	}
	if from, to, stretch := strings.Cut(inside, ":"); stretch {
		a, errA := strconv.Atoi(from)
		b, errB := strconv.Atoi(to)
		return errA == nil && errB == nil && a <= s.index && s.index < b
	}
	return false
}

// TestKeyPatterns holds what a key stands for, on a document small enough to see through.
func TestKeyPatterns(t *testing.T) {
	all := numbersOf(t, `{"flow":{"value":3.6,"unit":"m3/h"},
		"feeds":[{"chemical":"alum","dose":{"value":12,"low":11,"unit":"mg/L"}},{"chemical":"polymer","dose":{"value":0.2,"unit":"mg/L"}}],
		"hours":[{"level":1},{"level":2},{"level":3}],"jars":[{"label":"2","dose":5},{"label":"1","dose":6}]}`)
	for key, want := range map[string]string{
		"flow": "3.6m3/h", "feeds[alum].dose": "12mg/L", "feeds[0].dose.low": "11mg/L", "feeds[*].dose": "12mg/L 0.2mg/L",
		"feeds[po?].dose":  "0.2mg/L",
		"hours[1:3].level": "2 3", "hours[*].level": "1 2 3", "feeds[alum].**": "11mg/L 12mg/L", "feeds.dose": "",
		"hours[4].level": "", "flow.value": "",
		"jars[1].dose": "6", "jars[#1].dose": "6", "jars[2].dose": "5", "jars[#2].dose": "", "jars[0:1].dose": "5",
	} {
		var got []string
		for _, l := range all {
			if parseKey(key).matches(l.steps) {
				got = append(got, fmt.Sprint(l.value)+l.unit)
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: %v, want %s", key, got, want)
		}
	}
}
