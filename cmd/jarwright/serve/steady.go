package serve

import (
	"io"
	"net/http"
	"time"
)

// A body has to bring so much in each stretch of time, and to be whole within the last: one that comes by drops would keep others from
// sending theirs.
const (
	steadyBytes   = 16 << 10
	steadyStretch = 10 * time.Second
	steadyWhole   = time.Minute
)

// steady is a body that is cut off where it comes too slowly.
type steady struct {
	io.ReadCloser
	control *http.ResponseController
	begun   time.Time
	stretch time.Duration
	got     int
}

func newSteady(w http.ResponseWriter, body io.ReadCloser, stretch time.Duration) *steady {
	s := &steady{ReadCloser: body, control: http.NewResponseController(w), begun: time.Now(), stretch: stretch}
	s.extend()
	return s
}

// extend gives the sender another stretch.
func (s *steady) extend() {
	until := time.Now().Add(s.stretch)
	if whole := s.begun.Add(steadyWhole); until.After(whole) {
		until = whole
	}
	_ = s.control.SetReadDeadline(until) // what is no connection, as in a test, has none
}

// Read implements [io.Reader].
func (s *steady) Read(b []byte) (int, error) {
	n, err := s.ReadCloser.Read(b)
	if s.got += n; s.got >= steadyBytes {
		s.got = 0
		s.extend()
	}
	return n, err
}
