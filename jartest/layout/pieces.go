package layout

import (
	"strings"
	"unicode"

	"jarwright/jartest/words"
)

// Piece is one thing that a text says. Together the pieces of a text are the whole of
// it, so that who takes something from a text can tell what is left over.
type Piece struct {
	Text    string     // folded; a unit with its number
	Concept string     // what the vocabulary has for it, or one of those below; "" for a word that nobody knows
	Unit    words.Unit // of a unit
	Counted bool       // the unit has a number
	After   string     // the filler right before it: "per" in "per 10 L"
}

// What is said without the vocabulary.
const (
	SaysUnit   = "unit"
	SaysNumber = "number"
	SaysSign   = "sign"   // such as ?, %, or the x of "x 2"
	SaysFiller = "filler" // an article, a preposition
)

// Pieces takes a text apart. What it gives is shared and must not be changed.
func Pieces(text string) []Piece {
	return piecesOf.Of(text, func(t string) []Piece { return pieces(fractionFirst(t)) })
}

var piecesOf words.Memory[string, []Piece]

func pieces(text string) []Piece {
	var out []Piece
	from := 0
	for _, u := range words.Units(text) {
		if u.From < from {
			continue
		}
		number, counted := words.NumberBefore(text, u.From)
		at := u.From
		if i := strings.LastIndex(text[from:u.From], number); counted && i >= 0 {
			at = from + i
		}
		out = append(out, plainPieces(text[from:at])...)
		p := Piece{Text: words.Fold(text[at:u.To]), Concept: SaysUnit, Unit: u.Unit, Counted: counted}
		if n := len(out); n > 0 && out[n-1].Concept == SaysFiller {
			p.After = out[n-1].Text
		}
		out = append(out, p)
		from = u.To
	}
	return append(out, plainPieces(text[from:])...)
}

// plainPieces takes a text without units apart.
func plainPieces(text string) []Piece {
	s := words.Fold(text)
	if s == "/" { // between units it parts nothing: "mL of 2 % / 500 mL"
		return []Piece{{Text: "per", Concept: SaysFiller}}
	}
	if ps := words.Whole(s); len(ps) > 0 && len(words.Tokens(s)) == 0 && s != "?" { // signs such as #
		return []Piece{{Text: s, Concept: ps[0].Concept}}
	}
	var out []Piece
	hits, at := words.Find(s), 0
	add := func(p Piece) {
		if n := len(out); n > 0 && out[n-1].Concept == SaysFiller {
			p.After = out[n-1].Text
		}
		out = append(out, p)
	}
	for _, t := range wordsIn(s, hits) {
		if t.To <= at {
			continue
		}
		p, to := pieceAt(s, at, t, hits)
		if to == 0 {
			continue
		}
		for _, sign := range signs(s[min(at, t.From):t.From]) {
			add(sign)
		}
		at = to
		add(p)
	}
	return append(out, signs(s[min(at, len(s)):])...)
}

// wordsIn gives the words of a folded text, those of a script without blanks parted where a phrase of
// the vocabulary begins or ends.
func wordsIn(s string, hits []words.Hit) []words.Token {
	if !words.Foreign(s) {
		return words.Tokens(s)
	}
	used := make([]bool, len(s))
	for _, x := range hits {
		for i := x.From; i < x.To; i++ {
			used[i] = true
		}
	}
	var out []words.Token
	for _, t := range words.Tokens(s) {
		if !words.Spaceless(t.Text) {
			out = append(out, t)
			continue
		}
		from := t.From
		for _, run := range append(unheld(t, used), [2]int{t.To, t.To}) {
			for from < run[0] { // the phrases before it, the longest at each place
				x := longestFrom(hits, from, run[0])
				out = append(out, words.Token{Text: s[from:x], From: from, To: x})
				from = x
			}
			if run[0] < run[1] {
				out = append(out, words.Token{Text: s[run[0]:run[1]], From: run[0], To: run[1]})
				from = run[1]
			}
		}
	}
	return out
}

// longestFrom gives the end of the longest phrase that begins at a place, and end where none does.
func longestFrom(hits []words.Hit, from, end int) int {
	to := 0
	for _, x := range hits {
		if x.From == from && x.To <= end {
			to = max(to, x.To)
		}
	}
	if to == 0 {
		return end
	}
	return to
}

// pieceAt gives the piece that begins with a word of a folded text and where it ends; at
// is where the one before ended. The sign of a factor belongs to the number after it.
func pieceAt(s string, at int, t words.Token, hits []words.Hit) (p Piece, to int) {
	hit := longestAt(hits, t)
	switch {
	case hit.To > 0 && hit.Concept == "stop":
		return Piece{Text: t.Text, Concept: SaysFiller}, hit.To
	case hit.To > 0 && !(hit.To-hit.From == t.To-t.From && stopWords[t.Text]):
		return Piece{Text: s[hit.From:hit.To], Concept: hit.Concept}, hit.To
	case IsFigure(t.Text):
		return Piece{Text: factorSign(s[min(at, t.From):t.From]) + t.Text, Concept: SaysNumber}, t.To
	case t.Text == "x" && strings.IndexFunc(strings.TrimLeft(s[t.To:], " "), unicode.IsDigit) == 0:
		return Piece{}, 0
	case strings.HasPrefix(t.Text, "x") && IsFigure(t.Text[1:]): // "x2"
		return Piece{Text: "x " + t.Text[1:], Concept: SaysNumber}, t.To
	case stopWords[t.Text]:
		return Piece{Text: t.Text, Concept: SaysFiller}, t.To
	}
	return Piece{Text: t.Text}, t.To
}

// longestAt gives the longest phrase of the vocabulary that holds a word, one without an
// end where there is none.
func longestAt(hits []words.Hit, t words.Token) (longest words.Hit) {
	for _, x := range hits {
		if x.From <= t.From && t.To <= x.To && x.To-x.From > longest.To-longest.From {
			longest = x
		}
	}
	return longest
}

// factorSign gives the sign before a number that makes it a factor, if one does. (The
// sign of multiplication is folded to a point.)
func factorSign(before string) string {
	before = strings.TrimRight(before, " ")
	for _, sign := range [...]string{"/", "*", "^", " .", " x"} {
		if strings.HasSuffix(before, sign) {
			return strings.TrimSpace(sign) + " "
		}
	}
	return ""
}

// Factor reports a number that stands as a factor: "x 2", "/ 2".
func (p Piece) Factor() bool { return p.Concept == SaysNumber && strings.Contains(p.Text, " ") }

// quiet are the signs that only part or join words.
const quiet = " \t\n,.;:()[]{}-–—_'\"/\\#&|°·’‘“”„«»№º^~"

func signs(s string) []Piece {
	var out []Piece
	for _, r := range s {
		if !strings.ContainsRune(quiet, r) && !unicode.IsLetter(r) && !unicode.IsMark(r) {
			out = append(out, Piece{Text: string(r), Concept: SaysSign})
		}
	}
	return out
}
