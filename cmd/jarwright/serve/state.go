package serve

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"jarwright/templates/desk"
)

// state is what a page stands on: the files on the desk and the flags chosen. All of it
// is in the address, so that two windows do not disturb each other and Back goes back.
type state struct {
	Files []File
	Flags url.Values
	gone  bool // a file of the address is held no more
}

// fileKey is the key of a file in an address; all other keys are flags of commands.
const fileKey = "file"

// stateOf reads a state from a query. Flags that no step takes are dropped.
func (s *Server) stateOf(q url.Values) state {
	st := state{Flags: url.Values{}}
	for key, values := range q {
		switch {
		case key == fileKey:
			for _, id := range values {
				if f, ok := s.shelf.get(id); ok {
					st.Files = append(st.Files, f)
				} else {
					st.gone = true
				}
			}
		case known(key):
			for _, v := range values {
				if v = strings.TrimSpace(v); v != "" && len(v) <= mostFlag && len(st.Flags[key]) < mostFlags {
					st.Flags.Add(key, v)
				}
			}
		}
	}
	st.strays()
	return st
}

// strays makes files that cannot be opened, beside bench sheets that can, what no command is given: those sheets have an answer all
// the same. Alone such a file is left to the reader, which says why it is none.
func (st state) strays() {
	if !slices.ContainsFunc(st.Files, func(f File) bool { return f.Kind == desk.Bench && f.Shut == "" }) {
		return
	}
	for i, f := range st.Files {
		if f.Shut != "" {
			st.Files[i].Kind = desk.Stray
		}
	}
}

// mostFlag bounds the bytes of a flag, mostFlags how often it may be given.
const mostFlag, mostFlags = 300, 60

// query writes the state for an address.
func (st state) query() string {
	q := url.Values{}
	for key, values := range st.Flags {
		q[key] = slices.Clone(values)
	}
	for _, f := range st.Files {
		q.Add(fileKey, f.ID)
	}
	return q.Encode()
}

// at is the address of a step on this state.
func (st state) at(path string) string {
	if q := st.query(); q != "" {
		return path + "?" + q
	}
	return path
}

// of are the names of the files of a kind.
func (st state) of(k desk.Kind) (names []string) {
	for _, f := range st.Files {
		if f.Kind == k {
			names = append(names, f.Name)
		}
	}
	return names
}

// holds reports a file of a kind, be it one of a folder.
func (st state) holds(k desk.Kind) bool {
	is := func(f File) bool { return f.Kind == k }
	return slices.ContainsFunc(st.Files, func(f File) bool { return is(f) || slices.ContainsFunc(f.Parts, is) })
}

// with is the state with a file more; one of the same name, in whatever case, gives way, and so does another site.
func (st state) with(f File) state {
	files := slices.DeleteFunc(slices.Clone(st.Files), func(x File) bool {
		return strings.EqualFold(x.Name, f.Name) || f.Kind == desk.Site && (x.Kind == desk.Site || x.Kind == desk.Answers)
	})
	st.Files = append(files, f)
	if f.Kind == desk.Site { // whose chemicals another's choice of sheets says nothing of
		st = st.set(benchKey, "")
	}
	return st
}

// heldAs is how a file on the desk is shown on a page: as what it is, and where it goes if not there.
func (st state) heldAs(f File, at string) desk.Held {
	h := desk.Held{ID: f.ID, Name: f.Name, Kind: f.Kind, Save: f.savedAt()}
	if f.Parts != nil {
		h.Kind = desk.Kind(fmt.Sprintf("%d %s", len(f.Parts), f.Kind))
	}
	switch {
	case f.Kind == desk.Stray:
		h.Stray = "is left out: " + strings.TrimSuffix(f.Shut, ".")
	case f.Guessed:
		h.Kind = "taken for a " + f.Kind
		if st.sheets() > 1 {
			h.Stray = "was only taken for a bench sheet; where it is none"
		}
	}
	for _, x := range f.Parts {
		if at == "/past" {
			h.Parts = append(h.Parts, desk.Part{ID: x.ID, Name: strings.TrimPrefix(x.Name, f.Name+"/")})
		}
	}
	for _, p := range steps {
		if p.also && p.path != at && (p.of == f.Kind && f.Kind == desk.Trial || p.logs == f.Kind) {
			h.Goes = desk.Link{Title: p.title, Address: st.at(p.path)}
		}
	}
	return h
}

// read are the files that commands read: what was typed into a form is none, and a folder is its parts.
func (st state) read() (out []File) {
	for _, f := range st.Files {
		switch {
		case f.Kind == desk.Answers:
		case len(f.Parts) > 0:
			out = append(out, f.Parts...)
		default:
			out = append(out, f)
		}
	}
	return out
}

// sheets counts the bench sheets, past ones too.
func (st state) sheets() (n int) {
	for _, f := range st.Files {
		switch f.Kind {
		case desk.Bench:
			n++
		case desk.Past:
			n += len(f.Parts)
		}
	}
	return n
}

// contents tell the files that commands read from all others.
func (st state) contents() (sums []string) {
	for _, f := range st.Files {
		if f.Kind != desk.Answers {
			sums = append(sums, f.content())
		}
	}
	return sums
}

// keyOf is one key of all of them.
func keyOf(st state) string { return "\x00" + strings.Join(st.contents(), "\x00") }

// draft is what was typed into the form of a site, kept or still to be put right.
func (st state) draft() url.Values {
	for _, f := range st.Files {
		if f.Kind == desk.Answers {
			typed, _ := url.ParseQuery(string(f.Data)) // written by ourselves
			return typed
		}
	}
	return url.Values{}
}

// without is the state without a file, and without what belongs to it: the answers that a site was made of, and how the
// last bench sheet was to be read and what was asked of it.
func (st state) without(id string) state {
	site := slices.ContainsFunc(st.Files, func(x File) bool { return x.ID == id && x.Kind == desk.Site })
	st.Files = slices.DeleteFunc(slices.Clone(st.Files), func(x File) bool { return x.ID == id || site && x.Kind == desk.Answers })
	if kept := slices.DeleteFunc(slices.Clone(st.Flags[benchKey]), func(b string) bool {
		_, file, named := strings.Cut(b, "=")
		return site || !slices.ContainsFunc(st.Files, func(f File) bool { return f.Name == b || named && f.Name == file })
	}); len(kept) < len(st.Flags[benchKey]) { // a sheet that was put away gives no dose
		st = st.clone()
		if st.Flags[benchKey] = kept; len(kept) == 0 {
			st.Flags.Del(benchKey)
		}
	}
	if st.sheets() == 0 {
		st = st.clone()
		for _, flag := range toFit {
			st.Flags.Del(flag)
		}
	}
	return st
}

// holding says of a desk with several bench sheets what was said of the reading or asked, which holds for all of them; free is the
// page without that.
func (st state) holding(at string) (said []string, free string) {
	if st.sheets() < 2 {
		return nil, ""
	}
	without := st.clone()
	for _, flag := range toFit {
		for _, v := range st.Flags[flag] {
			head, meaning, _ := strings.Cut(v, "=")
			words, _ := control(flag)
			switch {
			case flag == "column":
				said = append(said, "“"+head+"” is "+meaning)
			case flag == "target":
				said = append(said, "the target is "+v)
			default:
				said = append(said, words+": "+v)
			}
		}
		without.Flags.Del(flag)
	}
	return said, without.at(at)
}

// flags are those of the state that a command takes, in the order of its list.
func (st state) flags(names []string) (args []string) {
	for _, n := range names {
		for _, v := range st.Flags[n] {
			if yesNo[n] {
				args = append(args, "--"+n)
				break
			}
			args = append(args, "--"+n, v)
		}
	}
	return args
}
