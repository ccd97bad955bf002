package logbook

import (
	_ "embed" // the words are part of the program
	"slices"
	"strings"
	"sync"

	"jarwright/dosing/table"
	"jarwright/jartest/words"
)

//go:embed vocabulary.txt
var vocabularyTable string

// vocabulary are the words of each kind, of all languages together.
var vocabulary = sync.OnceValue(func() map[string]list {
	out := map[string]list{}
	for _, f := range table.Rows(vocabularyTable) {
		out[f[0]] = append(out[f[0]], strings.Fields(f[2])...)
	}
	return out
})

// list are words, of which one that ends in "*" begins a word.
type list []string

// has reports a folded word of the list.
func (l list) has(word string) bool {
	return slices.ContainsFunc(l, func(w string) bool {
		if stem, begins := strings.CutSuffix(w, "*"); begins {
			return strings.HasPrefix(word, stem)
		}
		return w == word
	})
}

// in reports a text that holds a word of the list.
func (l list) in(text string) bool { return slices.ContainsFunc(words.TokensIn(text), l.has) }

// of are the words of a kind.
func of(kind string) list { return vocabulary()[kind] }
