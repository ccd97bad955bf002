package caution

import (
	"slices"
	"strings"

	"jarwright/dosing/product"
	"jarwright/jartest/note"
)

// Buying says of chemicals what counts where they are bought, delivered and
// stored: what must never meet, the delivery, the store, and what comes first of all.
func Buying(list []product.Product, also []string) note.List {
	return some(Review(Situation{OnSite: list, Also: also}).Handling, "mix-", "delivery", "handle-store", "handle-freeze", "handle-caustic-cold", "handle-label")
}

// Choosing says of chemicals that are weighed against each other what they do to
// people, and what comes first of all.
func Choosing(list []product.Product) note.List {
	return some(Review(Situation{OnSite: list}).Handling, "handle-wear", "handle-first-aid", "handle-label")
}

// Spills says of a chemical what to do when it hurts somebody and when it is spilt.
func Spills(p product.Product) note.List {
	return some(Review(Situation{OnSite: []product.Product{p}}).Handling, "handle-first-aid", "handle-spill", "handle-quicklime", "handle-slip", "handle-emulsion")
}

// some gives the notes whose code begins with one of the words.
func some(l note.List, words ...string) note.List {
	var out note.List
	for _, n := range l {
		if slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(n.Code, w) }) {
			out.Add(n)
		}
	}
	return out
}
