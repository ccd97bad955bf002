package quantity

import (
	"regexp"
	"strconv"
	"strings"

	"jarwright/jartest/note"
)

// The least and the most of which a dose may be asked to be sure: below even chances it is
// likelier to fail than not, and beyond 99 % the tail of a few jars' curves tells nothing
// (common practice, no source).
const leastSure, mostSure = Fraction(0.5), Fraction(0.99)

// inSo is "9 in 10" and "9 times in 10".
var inSo = regexp.MustCompile(`^(\d{1,4}) (?:times )?in (\d{1,4})$`)

// ParseSure reads how sure a dose must be, from 50 to 99 %: "95 %" or "19 in 20".
func ParseSure(s string) (Fraction, error) {
	v, err := Fraction(0), error(nil)
	if m := inSo.FindStringSubmatch(strings.Join(strings.Fields(strings.ToLower(s)), " ")); m != nil {
		of, _ := strconv.ParseFloat(m[1], 64) // digits alone
		in, _ := strconv.ParseFloat(m[2], 64)
		v = Fraction(of / in)
	} else if v, err = Parse[Fraction](s); err != nil {
		return 0, note.Fault("bad-sureness", "%q does not say how sure a dose must be", s).Do(`write it like "95 %%" or "19 in 20"`)
	}
	if !(v >= leastSure && v <= mostSure) {
		return 0, note.Fault("bad-sureness", "%q is not from 50 to 99 %%", s).
			Do(`give "90 %%" or "9 in 10", for instance`)
	}
	return v, nil
}
