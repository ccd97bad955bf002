package product

import (
	"regexp"
	"strconv"
	"strings"

	"jarwright/jartest/quantity"
)

// inPercent is a share that a name ends in or holds, such as that of "sodium hypochlorite 12 %".
var inPercent = regexp.MustCompile(`([0-9]+(?:[.,][0-9]+)?) ?%`)

// StrengthNamed is the strength that a name says; false where it says none, or more than one.
func StrengthNamed(name string) (quantity.Fraction, bool) {
	found := inPercent.FindAllStringSubmatch(name, -1)
	if len(found) != 1 {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.Replace(found[0][1], ",", ".", 1), 64)
	return quantity.Fraction(v / 100), err == nil && v <= 100
}

// MayHold reports that a share is a strength that a product is sold in, on its own basis.
func (p Product) MayHold(share quantity.Fraction) bool {
	return !p.Strength.OK || len(p.strengthSlips(share, p.Basis)) == 0
}
