package templates

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"jarwright/dosing/site"
)

// withUnit is a number with a unit.
var withUnit = regexp.MustCompile(`^([0-9.]+)( .+)$`)

// asItIs are amounts that somebody sets in round steps: clock spans, knobs, whole days.
var asItIs = regexp.MustCompile(`hours|life|work|time|^age$|arrives|knob|stroke|speed|kept|shelf|every`)

// ragged gives every amount of a site more digits than any form shows. In a site of
// round numbers a form that showed a digit too many would look the same.
func ragged(v site.Values) {
	for sheet, rows := range v {
		for _, row := range rows {
			for field, text := range row {
				m := withUnit.FindStringSubmatch(text)
				if m == nil || asItIs.MatchString(field) || text == "100 %" || sheet == "Calendar" || sheet == "Prices" && strings.Contains(text, " d") {
					continue
				}
				n, err := strconv.ParseFloat(m[1], 64)
				if err != nil {
					continue
				}
				row[field] = fmt.Sprintf("%.7g%s", n*1.0123457, m[2])
			}
		}
	}
}

func both(changes ...func(site.Values)) func(site.Values) {
	return func(v site.Values) {
		for _, c := range changes {
			c(v)
		}
	}
}

const raggedJars = `sample,jar volume,jar,alum as alum 14-hydrate (mg/L),turbidity (NTU),pH
storm,1.0123 L,1,0,38.4321,7.41234
storm,1.0123 L,2,5.01234,24.1321,7.22234
storm,1.0123 L,3,8.01234,13.3321,7.13234
`
