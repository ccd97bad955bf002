package serve

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path"
	"slices"
	"strings"
	"sync"
	"unicode"

	"jarwright/templates/desk"
)

// File is what is held of a file: its name, its bytes, and what it is. Each that is put on a desk has an ID of its own, so that
// one which is put away takes no other with it that holds the same.
type File struct {
	ID, Name string
	Data     []byte
	Kind     desk.Kind
	// Made is true of a file that was made on the page, and is nowhere else before it is saved.
	Made bool
	// Guessed is true of a file of which nothing tells what it is.
	Guessed bool
	// Shut says why a file of a kind that nothing tells cannot be opened; empty of one that can.
	Shut string
	// Parts are the files of a folder that is held as one, each named by its path.
	Parts []File
	// Own is the name that the file has where it lies, where the page had to give it another.
	Own string
	// doses are what a site says of where its doses come from.
	doses []dosed
	sum   string // of what it holds, where that was worked out
}

// size is the bytes of a file and its parts.
func (f File) size() int {
	n := len(f.Data)
	for _, p := range f.Parts {
		n += len(p.Data)
	}
	return n
}

// content tells what a file holds from all else: files of one name that hold the same have the same answers.
func (f File) content() string {
	if f.sum != "" {
		return f.sum
	}
	h := sha256.New()
	for _, x := range append([]File{f}, f.Parts...) {
		_, _ = fmt.Fprintf(h, "%s\x00%d\x00", x.Name, len(x.Data)) // a hash never fails
		_, _ = h.Write(x.Data)
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}

// savedAt is where a file that was made on the page can be saved, empty for others.
func (f File) savedAt() string {
	if !f.Made || f.Kind == desk.Answers {
		return ""
	}
	return "/held/" + f.ID
}

// shelf holds files in memory, each under an ID of its own, so that an address always leads to the same bytes or, once they were
// put away, to none. The file that was longest unused goes first.
type shelf struct {
	mu    sync.Mutex
	most  int // bytes in all
	held  map[string]File
	order []string // of use, the latest last
	size  int
	safe  map[string]bool // made here, and saved since
}

func newShelf(most int) *shelf {
	return &shelf{most: most, held: map[string]File{}, safe: map[string]bool{}}
}

// put holds a file and gives it an ID, and its parts theirs; a part that another folder holds too keeps its own.
func (s *shelf) put(f File) File {
	f.sum = f.content()
	if f.Kind == desk.Site {
		f.doses = dosesOf(f)
	}
	f.ID = Secret(16)
	f.Parts = slices.Clone(f.Parts)
	for i := range f.Parts {
		f.Parts[i].ID = cmp.Or(f.Parts[i].ID, Secret(16))
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.held[f.ID] = f
	s.size += f.size()
	s.touch(f.ID)
	for s.size > s.most && len(s.order) > 1 {
		s.drop(s.order[0])
	}
	return f
}

func (s *shelf) drop(id string) {
	s.size -= s.held[id].size()
	s.order = slices.DeleteFunc(s.order, func(x string) bool { return x == id })
	delete(s.held, id)
	delete(s.safe, id)
}

// forget lets go of files and of parts of folders, a folder without parts included. It gives what nobody holds any more.
func (s *shelf) forget(ids ...string) (contents []string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for id, f := range s.held {
		left := slices.DeleteFunc(slices.Clone(f.Parts), func(p File) bool { return slices.Contains(ids, p.ID) })
		switch {
		case slices.Contains(ids, id), len(left) == 0 && len(f.Parts) > 0:
			s.drop(id)
		case len(left) < len(f.Parts):
			s.size -= f.size()
			with := f
			with.Parts, with.sum = left, ""
			with.sum = with.content()
			s.size += with.size()
			s.held[id] = with
		default:
			continue
		}
		contents = append(contents, f.sum)
	}
	return slices.DeleteFunc(contents, func(sum string) bool {
		for _, f := range s.held {
			if f.sum == sum {
				return true
			}
		}
		return false
	})
}

// alone reports a file that was made here and is nowhere else yet.
func (s *shelf) alone(id string) bool {
	return slices.ContainsFunc(s.loose(), func(f File) bool { return f.ID == id })
}

// keep says that a file is not here alone any more, or was made into another.
func (s *shelf) keep(id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, ok := s.held[id]; ok {
		s.safe[id] = true
	}
}

// loose are the files that would be lost if the program ended now.
func (s *shelf) loose() (out []File) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, id := range s.order {
		if f := s.held[id]; f.Made && !s.safe[id] {
			out = append(out, f)
		}
	}
	return out
}

// get gives a held file.
func (s *shelf) get(id string) (File, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	f, ok := s.held[id]
	if ok {
		s.touch(id)
	}
	return f, ok
}

func (s *shelf) touch(id string) {
	s.order = append(slices.DeleteFunc(s.order, func(x string) bool { return x == id }), id)
}

// named is a file as a client sent it, under a name that a page and a command can bear.
func named(name string, data []byte) File {
	f := File{Name: cleanName(name), Data: data}
	if own := path.Base(strings.ToValidUTF8(name, "_")); own != f.Name {
		f.Own = own
	}
	return f
}

// cleanName is a client's name of a file without a path and without anything that a
// command line or a terminal would take for more than a name.
func cleanName(name string) string {
	if name = path.Base(strings.ReplaceAll(name, `\`, "/")); name == "/" {
		name = ""
	}
	name = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || strings.ContainsRune(`/:*?"<>|$`+"`", r) {
			return '_'
		}
		return r
	}, strings.ToValidUTF8(name, "_"))
	name = strings.TrimLeft(name, "-. ")
	if r := []rune(name); len(r) > mostName {
		name = string(r[len(r)-mostName:]) // the ending says what it is
	}
	if name == "" {
		return "sheet"
	}
	return name
}

// mostName bounds the runes of a file's name.
const mostName = 80
