package templates

import "jarwright/jartest/note"

// Notes makes a list ready for a document: gravest first, each once, and never null.
func Notes(l note.List) note.List {
	type said struct {
		level                         note.Level
		code, message, remedy, source string
		at                            note.Place
	}
	out, seen := note.List{}, map[said]bool{}
	for _, n := range l.Sorted() {
		key := said{n.Level, n.Code, n.Message, n.Remedy, n.Source, n.Place}
		if !seen[key] {
			seen[key] = true
			out.Add(n)
		}
	}
	return out
}
