package main

import (
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest/quantity"
)

// Units behind a figure of the command line, and which of them are those of the US or of no other reader. What both
// write alike, such as mg/L, h or %, tells nothing.
var (
	behind      = regexp.MustCompile(`\d\s*([A-Za-z][A-Za-z0-9/.\- ]*)`)
	word        = regexp.MustCompile(`[A-Za-z]+[23]?`)
	alike       = regexp.MustCompile(`(?i)\b(?:[mun]?g/l|g/kg|mg/m3)\b`)
	usUnits     = strings.Fields("gal gallon gallons gpm gph gpd mgd kgal mgal lb lbs pound pounds oz ounce ounces ft ft2 ft3 feet foot inch inches acre acres ac f psi cfs yd")
	metricUnits = strings.Fields("m m2 m3 cm mm km km2 ha rai l ml hl g kg t tonne c bar kpa")
	imperial    = strings.Fields("imp imperial uk")
)

// ofWater are the flags that tell how much water there is: the units of the answer are theirs, whatever a label counts in.
var ofWater = []string{"--flow", "--volume", "--pond"}

// water picks what the line says of its water, all of the line where it says nothing.
func water(line []string) (out []string) {
	for i, text := range line {
		flag, value, joined := strings.Cut(text, "=")
		if !slices.Contains(ofWater, flag) {
			continue
		}
		if !joined && i+1 < len(line) {
			value = line[i+1]
		}
		out = append(out, value)
	}
	if len(out) == 0 {
		return line
	}
	return out
}

// usOnly reports a line whose water, or where it tells of none whose figures, are some of them in units of the US and none in any other.
func usOnly(line []string) (us bool) {
	for _, text := range water(line) {
		for _, m := range behind.FindAllStringSubmatch(alike.ReplaceAllString(text, ""), -1) {
			for _, w := range word.FindAllString(strings.ToLower(m[1]), -1) {
				if slices.Contains(metricUnits, w) || slices.Contains(imperial, w) {
					return false
				}
				us = us || slices.Contains(usUnits, w)
			}
		}
	}
	return us
}

// ownUnits shows what the command line alone describes in the units in which it was written.
func (e *env) ownUnits(files []string) {
	if e.flags.units == "" && len(files) == 0 && usOnly(e.line) {
		e.shown.Units = quantity.US
	}
}
