package grid

import (
	"bytes"
	"unicode"
)

// spaced reports a line whose commas all have a blank behind them, and any; tight one in which none has.
func spaced(line []byte) (all, tight bool) {
	all, tight = true, true
	n := 0
	for i := bytes.IndexByte(line, ','); i >= 0; i = commaAfter(line, i) {
		n++
		blank := i+1 < len(line) && line[i+1] == ' '
		all, tight = all && blank, tight && !blank
	}
	return all && n > 0, tight && n > 0
}

// tightlyParted reports a text whose rows are parted by commas without a blank behind them, so that
// commas with one stand between the words of a sentence.
func tightlyParted(data []byte) bool {
	var sentences, rows int
	for line := range bytes.Lines(data[:min(len(data), 1<<16)]) {
		all, tight := spaced(bytes.TrimRight(line, blanks+"\n"))
		switch {
		case all:
			sentences++
		case tight:
			rows++
		}
	}
	return rows > sentences
}

// prose reports a line that is a sentence with commas, not a row of cells, in a text whose rows are parted
// without blanks: the title, or one that names what it speaks of, "Raw: turbidity 46 NTU, pH 7.4". A row of
// headings has its numbers below it.
func (p *splitter) prose(line, after []byte) bool {
	if string(p.sep) != "," || p.t.sep != 0 && p.t.sep != ',' || !p.t.tight() {
		return false
	}
	if all, _ := spaced(line); !all {
		return false
	}
	fields := bytes.Split(line, []byte(","))
	title := p.line == p.t.first && !bytes.ContainsFunc(line, unicode.IsDigit) // facts are told apart by their cells
	if _, says, named := bytes.Cut(fields[0], []byte(":")); !title && !(named && len(bytes.TrimSpace(says)) > 0) {
		return false
	}
	for _, f := range fields {
		if !bytes.ContainsFunc(f, unicode.IsLetter) {
			return false
		}
	}
	next, _, _ := bytes.Cut(after, []byte("\n"))
	below := bytes.Split(bytes.TrimRight(next, blanks), []byte(","))
	if len(below) != len(fields) {
		return true
	}
	for _, f := range below {
		if f = bytes.TrimSpace(f); len(f) > 0 && !bytes.ContainsFunc(f, unicode.IsLetter) {
			return false
		}
	}
	return true
}
