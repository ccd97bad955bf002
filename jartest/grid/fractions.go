package grid

import (
	"bytes"
	"unicode"
)

// fractionsIn reports a text in which commas without a blank behind them part fractions alone:
// "Eau brute 38 NTU, pH 7,9". Each of them stands between two digits and in no row of figures, and
// at least one in a number that has words before it, for "0,37" may be two fields.
func fractionsIn(data []byte) bool {
	worded := false
	for line := range bytes.Lines(data[:min(len(data), 1<<16)]) {
		line = bytes.TrimRight(line, blanks+"\n")
		for i := bytes.IndexByte(line, ','); i >= 0; i = commaAfter(line, i) {
			if i+1 == len(line) || line[i+1] == ' ' {
				continue
			}
			from, to := i, i+1
			for from > 0 && isDigit(line[from-1]) {
				from--
			}
			for to < len(line) && isDigit(line[to]) {
				to++
			}
			if from == i || to == i+1 || from > 0 && line[from-1] == ',' || to+1 < len(line) && line[to] == ',' && line[to+1] != ' ' {
				return false
			}
			worded = worded || bytes.ContainsFunc(line[:from], unicode.IsLetter)
		}
	}
	return worded
}

// commaAfter gives where the comma after the one at i stands, below 0 for none.
func commaAfter(line []byte, i int) int {
	n := bytes.IndexByte(line[i+1:], ',')
	if n < 0 {
		return n
	}
	return i + 1 + n
}
