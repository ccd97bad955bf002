// Package note carries what the program has to say beside its numbers: notes,
// cautions, stops and errors, each with the place in the user's file that it is
// about. Domain packages return notes as values; only the outer layers print.
package note

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Level says how much a note matters. The zero value is Info.
type Level int

const (
	// Info tells what was inferred or assumed; nothing to do.
	Info Level = iota
	// Caution asks the reader to check something before relying on the answer.
	Caution
	// Stop withholds the answer until somebody accepts the risk in writing.
	Stop
	// Error means that something could not be done.
	Error
)

// String gives the word used in JSON and text: note, caution, stop or error.
func (l Level) String() string { return [...]string{"note", "caution", "stop", "error"}[l] }

// MarshalText makes a level appear as its word in JSON.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// Place is a spot in a user's file. Empty parts are unknown. For delimited text
// Sheet is empty and Cell is still an A1 address (column letter, line number).
type Place struct {
	File  string `json:"file,omitempty"`
	Sheet string `json:"sheet,omitempty"`
	Cell  string `json:"cell,omitempty"`
}

// String gives "file: sheet!cell" without the parts that are unknown.
func (p Place) String() string {
	return filled(": ", p.File, filled("!", p.Sheet, p.Cell))
}

// filled joins the parts that are not empty.
func filled(sep string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), sep)
}

// Note is one thing to say. Code is a stable kebab-case name for scripts;
// Message is a sentence for people without a full stop; Remedy, if any, says
// what to do; Source names where a figure in it comes from.
type Note struct {
	Level   Level  `json:"level"`
	Code    string `json:"code"`
	Message string `json:"message"`
	Remedy  string `json:"remedy,omitempty"`
	Source  string `json:"source,omitempty"`
	Place
	// said and done are what Message and Remedy were written from, so that a
	// reader of other units can be shown the same in those.
	said, done Phrase
	// tenfold is true of a figure that may be wrong by ten times or more and that what is fed rests on.
	tenfold bool
	// about is the chemical that it is about, empty where it is about none or several.
	about string
}

// Concerning gives the note of a chemical, by the name that its site gives it.
func (n Note) Concerning(chemical string) Note { n.about = chemical; return n }

// Concerns is the chemical that a note is about; empty where nobody said.
func (n Note) Concerns() string { return n.about }

// Phrase is a sentence, or a piece of one, before its quantities were written. An
// argument may be a phrase itself.
type Phrase struct {
	Format string
	Args   []any
}

// Say makes a phrase.
func Say(format string, args ...any) Phrase { return Phrase{format, args} }

// And gives the phrase with more words after it.
func (p Phrase) And(format string, args ...any) Phrase {
	return Phrase{"%s" + format, append([]any{p}, args...)}
}

// If gives the phrase with more words after it where they hold.
func (p Phrase) If(holds bool, format string, args ...any) Phrase {
	if !holds {
		return p
	}
	return p.And(format, args...)
}

// AnyOf joins phrases: "a, b, or c".
func AnyOf(list []Phrase) Phrase {
	var out Phrase
	for i, p := range list {
		switch {
		case i == 0:
		case i == len(list)-1:
			out.Format += ", or "
		default:
			out.Format += ", "
		}
		out.Format += "%s"
		out.Args = append(out.Args, p)
	}
	return out
}

// String writes the phrase as documents have it, in metric units.
func (p Phrase) String() string { return fmt.Sprintf(p.Format, p.Args...) }

// MarshalText makes a phrase words in documents.
func (p Phrase) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// shown writes the sentence anew in a text that holds it as first written.
func (p Phrase) shown(text string, show func(any) any) string {
	if p.Format == "" {
		return text
	}
	args := make([]any, len(p.Args))
	for i, a := range p.Args {
		args[i] = show(a)
	}
	return strings.Replace(text, p.String(), fmt.Sprintf(p.Format, args...), 1)
}

// Shown gives the note with each thing that its sentences were written from shown
// by that function, which gives back what it has no other words for.
func (n Note) Shown(show func(any) any) Note {
	n.Message, n.Remedy = n.said.shown(n.Message, show), n.done.shown(n.Remedy, show)
	return n
}

// Joined gives the list with notes of one code and place told once, as far as the code
// is one of those: where their sentences differ, what each says stands side by side.
func (l List) Joined(codes ...string) (out List) {
	for _, n := range l {
		i := slices.IndexFunc(out, func(m Note) bool {
			return m.Code == n.Code && m.Place == n.Place && m.Level == n.Level && m.Remedy == n.Remedy && m.said.Format == n.said.Format
		})
		if i < 0 || !slices.Contains(codes, n.Code) {
			out = append(out, n)
			continue
		}
		m := &out[i]
		m.said.Args = slices.Clone(m.said.Args)
		for k, a := range n.said.Args {
			if both, ok := m.said.Args[k].(Phrase); fmt.Sprint(a) != fmt.Sprint(m.said.Args[k]) && !(ok && slices.Contains(both.Args, a)) {
				m.said.Args[k] = Say("%s and %s", m.said.Args[k], a)
			}
		}
		m.Message = m.said.String()
	}
	return out
}

// Equal reports that two notes say the same of the same place.
func (n Note) Equal(m Note) bool {
	return n.Level == m.Level && n.Code == m.Code && n.Message == m.Message && n.Remedy == m.Remedy && n.Source == m.Source && n.Place == m.Place
}

// New makes a note without a place.
func New(l Level, code, format string, args ...any) Note {
	return Note{Level: l, Code: code, Message: fmt.Sprintf(format, args...), said: Phrase{format, args}}
}

// At gives the same note with a place.
func (n Note) At(p Place) Note { n.Place = p; return n }

// Do gives the same note with a remedy.
func (n Note) Do(format string, args ...any) Note {
	n.Remedy, n.done = fmt.Sprintf(format, args...), Phrase{format, args}
	return n
}

// After gives the same note with words before its message, written right before it.
func (n Note) After(format string, args ...any) Note {
	n.said = Phrase{format + "%s", append(args, n.said)}
	n.Message = fmt.Sprintf(format, args...) + n.Message
	return n
}

// Also gives the same note with more to do, written right after what there was.
func (n Note) Also(format string, args ...any) Note {
	before := any(n.done)
	if n.done.String() == "" { // a remedy that was written as it stands
		before = n.Remedy
	}
	return n.Do("%s"+format, append([]any{before}, args...)...)
}

// With gives the same note with what another says and does after its own; what both would have done is said once.
func (n Note) With(m Note) Note {
	if m.Remedy != n.Remedy {
		n = n.Also("; %s", m.done)
	}
	n.said = Phrase{"%s; %s", []any{n.said, m.said}}
	n.Message = n.said.String()
	return n
}

// From gives the same note with its source.
func (n Note) From(source string) Note { n.Source = source; return n }

// Error makes a note usable as an error: "file: sheet!cell: what is wrong: what to do".
func (n Note) Error() string {
	return filled(": ", n.Place.String(), n.Message, n.Remedy)
}

// Fault makes an error-level note; it is the usual way to report bad input.
func Fault(code, format string, args ...any) Note { return New(Error, code, format, args...) }

// List is several notes. As an error it joins its members with line breaks.
type List []Note

// Error gives every member's Error on a line of its own.
func (l List) Error() string {
	lines := make([]string, len(l))
	for i, n := range l {
		lines[i] = n.Error()
	}
	return strings.Join(lines, "\n")
}

// Add appends a note.
func (l *List) Add(n ...Note) { *l = append(*l, n...) }

// Worst is the highest level in the list; Info for an empty one.
func (l List) Worst() Level {
	w := Info
	for _, n := range l {
		w = max(w, n.Level)
	}
	return w
}

// Only gives the members of exactly that level.
func (l List) Only(level Level) List {
	return slices.DeleteFunc(slices.Clone(l), func(n Note) bool { return n.Level != level })
}

// Err is nil when the list holds no error, else the errors in it, as an error.
func (l List) Err() error {
	if e := l.Only(Error); len(e) > 0 {
		return e
	}
	return nil
}

// asking are the codes of notes that ask whether a figure is a slip of the pen, or for one that an answer hangs on.
var asking = map[string]bool{"value-unusual": true, "values-disagree": true, "strength-slip": true, "strength-odd": true, "density-slip": true, "density-odd": true,
	"dose-unusual": true, "figures-apart": true, "new-water-unread": true}

// Asks reports a caution that asks whether a figure is a slip of the pen, or for one that is not given.
func (n Note) Asks() bool { return asking[n.Code] && n.Level == Caution }

// ByTen gives the same note as of a figure that may be wrong by ten times or more and that what is fed rests on, where that holds.
func (n Note) ByTen(holds bool) Note {
	n.tenfold = n.tenfold || holds
	return n
}

// Doubts reports a caution that asks about a figure by which ten times too much or too little may be fed: until it is answered there is
// no answer.
func (n Note) Doubts() bool { return n.tenfold && n.Asks() }

// Sorted gives the list with what asks whether a figure is a slip first, as all others may follow from that, then the gravest, then
// in the order of adding.
func (l List) Sorted() List {
	turn := func(n Note) int {
		if n.Asks() {
			return -1
		}
		return 0
	}
	return slices.SortedStableFunc(slices.Values(l), func(a, b Note) int { return cmp.Or(cmp.Compare(turn(a), turn(b)), cmp.Compare(b.Level, a.Level)) })
}

// Of turns any error into notes: a Note or List as it is, another error as one
// error note with the given code.
func Of(err error, code string) List {
	if err == nil {
		return nil
	}
	var l List
	if errors.As(err, &l) {
		return l
	}
	var n Note
	if errors.As(err, &n) {
		return List{n}
	}
	return List{Fault(code, "%s", err.Error())}
}
