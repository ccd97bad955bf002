package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

var (
	leadingNumber = regexp.MustCompile(`^([-+]?[0-9.,]*(?:[eE][-+]?[0-9]+)?)\s*((?s:.*))$`)
	numberSigns   = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "−", "-")
)

// Split takes "12.5 mg/L" apart into the number and the text after it. A comma
// in the number is refused, because "1,234" has two meanings on a command line.
// The error says what is wrong with the text, to be put after it.
func Split(text string) (value float64, rest string, err error) {
	s := strings.TrimSpace(numberSigns.Replace(text))
	if s == "" {
		return 0, "", fmt.Errorf("is empty")
	}
	part := leadingNumber.FindStringSubmatch(s)
	if strings.Contains(part[1], ",") {
		return 0, "", fmt.Errorf("the comma in %q can mean thousands or decimals", part[1])
	}
	v, err := strconv.ParseFloat(part[1], 64)
	if err != nil {
		return 0, "", fmt.Errorf("does not start with a number")
	}
	return v, part[2], nil
}

// Sig writes v with that many significant digits, as a plain decimal number
// without exponent and without trailing zeros beyond the digits asked for.
func Sig(v float64, digits int) string {
	_, power, ok := strings.Cut(strconv.FormatFloat(v, 'e', digits-1, 64), "e")
	if v == 0 || !ok { // NaN and infinity have no power of ten
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	p, _ := strconv.Atoi(power)
	return strconv.FormatFloat(RoundSig(v, digits), 'f', max(digits-1-p, 0), 64)
}

// Brief writes v with at most that many significant digits and no idle zeros: 20,
// not 20.00.
func Brief(v float64, digits int) string {
	s := Sig(v, digits)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// RoundSig rounds to that many significant digits, halves by the binary value. What cannot be
// rounded (infinity, or a number that would become it) stays.
func RoundSig(v float64, digits int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// TimesOff asks whether one of two numbers is ten, a hundred … times off, where
// they lie so far apart; else it is empty. It goes at the end of a sentence.
func TimesOff(a, b float64) string {
	apart := math.Round(math.Abs(math.Log10(a / b)))
	if !(apart >= 1 && apart <= 6) {
		return ""
	}
	return "; is one of them " + Brief(math.Pow(10, apart), 7) + " times off?"
}
