package serve

import (
	"crypto/sha256"
	"encoding/hex"
	"path"
	"slices"
	"strings"
	"sync"
	"unicode"

	"jarwright/templates/desk"
)

// File is what is held of a file: its name, its bytes, and what it is.
type File struct {
	ID, Name string
	Data     []byte
	Kind     desk.Kind
	// Made is true of a file that was made on the page, and is nowhere else before it is saved.
	Made bool
}

// savedAt is where a file that was made on the page can be saved, empty for others.
func (f File) savedAt() string {
	if !f.Made || f.Kind == desk.Answers {
		return ""
	}
	return "/held/" + f.ID
}

// shelf holds files in memory, each under a name that its content gives, so that an
// address always leads to the same bytes. The file that was longest unused goes first.
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

// put holds a file and gives it its ID.
func (s *shelf) put(f File) File {
	sum := sha256.Sum256(append([]byte(f.Name+"\x00"), f.Data...))
	f.ID = hex.EncodeToString(sum[:16])
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, ok := s.held[f.ID]; !ok {
		s.held[f.ID] = f
		s.size += len(f.Data)
	}
	s.touch(f.ID)
	for s.size > s.most && len(s.order) > 1 {
		old := s.order[0]
		s.order = s.order[1:]
		s.size -= len(s.held[old].Data)
		delete(s.held, old)
		delete(s.safe, old)
	}
	return f
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
