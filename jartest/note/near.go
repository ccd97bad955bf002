package note

import "strings"

// Near gives the candidate that is closest to word, for "did you mean": at most
// two slips (a letter wrong, missing, added, or two neighbours swapped) away,
// case ignored, and never more than a third of the word. It gives "" when none is.
func Near(word string, candidates []string) string {
	best, dist := "", 3
	w := []rune(strings.ToLower(word))
	for _, c := range candidates {
		r := []rune(strings.ToLower(c))
		d := Slips(w, r)
		if d < dist && d*3 <= max(len(w), len(r)) {
			best, dist = c, d
		}
	}
	return best
}

// DidYouMean gives `; did you mean "x"?` or "" when nothing is near.
func DidYouMean(word string, candidates []string) string {
	if n := Near(word, candidates); n != "" {
		return `; did you mean "` + n + `"?`
	}
	return ""
}

// Slips counts the letters wrong, missing, added, or swapped with a neighbour
// between two words: the optimal string alignment distance.
func Slips(a, b []rune) int {
	prev2, prev, cur := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cur[j] = min(cur[j], prev2[j-2]+1)
			}
		}
		prev2, prev, cur = prev, cur, prev2
	}
	return prev[len(b)]
}
