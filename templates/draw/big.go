package draw

// bigDigits are figures of three rows of half blocks, four columns each; marks are narrower.
var bigDigits = map[rune][3]string{
	'0': {"█▀▀█", "█  █", "█▄▄█"},
	'1': {" ▄█ ", "  █ ", " ▄█▄"},
	'2': {"▀▀▀█", "█▀▀▀", "█▄▄▄"},
	'3': {"▀▀▀█", " ▀▀█", "▄▄▄█"},
	'4': {"█  █", "▀▀▀█", "   █"},
	'5': {"█▀▀▀", "▀▀▀█", "▄▄▄█"},
	'6': {"█▀▀▀", "█▀▀█", "█▄▄█"},
	'7': {"▀▀▀█", "  ▄▀", "  █ "},
	'8': {"█▀▀█", "█▀▀█", "█▄▄█"},
	'9': {"█▀▀█", "▀▀▀█", "▄▄▄█"},
	'.': {" ", " ", "▄"},
	',': {"  ", "  ", "▄▘"},
	':': {" ", "▀", "▀"},
	'-': {"   ", "▀▀▀", "   "},
	'−': {"   ", "▀▀▀", "   "},
	' ': {" ", " ", " "},
}

// BigNumber sets a number in three rows of half blocks, for the answer in a terminal
// that writes UTF-8; false where it has a sign that is not among them.
func BigNumber(number string) (rows [3]string, ok bool) {
	for i, r := range []rune(number) {
		digit, known := bigDigits[r]
		if !known {
			return [3]string{}, false
		}
		for k := range rows {
			if i > 0 {
				rows[k] += " "
			}
			rows[k] += digit[k]
		}
	}
	return rows, number != ""
}
