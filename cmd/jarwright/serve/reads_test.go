package serve

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
)

// TestWeigh: what something holds is counted in bytes, each thing once, however it is reached, and rings end.
func TestWeigh(t *testing.T) {
	t.Parallel()
	type ring struct {
		next *ring
		data []byte
	}
	r := &ring{data: make([]byte, 1000)}
	r.next = r
	shared := make([]float64, 500)
	for _, c := range []struct {
		name        string
		of          any
		least, most int64
	}{
		{"nothing", nil, 0, 0},
		{"bytes", make([]byte, 10, 1000), 1000, 1100},
		{"numbers", make([]float64, 1000), 8000, 8100},
		{"a text behind an interface", any(strings.Repeat("x", 1000)), 1000, 1100},
		{"a ring", r, 1000, 1100},
		{"numbers held twice", [][]float64{shared, shared}, 4000, 4200},
		{"texts by their names", map[string]string{"a": strings.Repeat("y", 1000), "b": strings.Repeat("z", 1000)}, 2000, 2300},
		{"what nobody else sees", struct{ in any }{&ring{data: make([]byte, 3000)}}, 3000, 3200},
	} {
		if got := weigh(c.of); got < c.least || got > c.most {
			t.Errorf("%s weighs %d, not %d to %d", c.name, got, c.least, c.most)
		}
	}
}

// TestReads: a file is read once for each way in which it is asked for, however many ask, what was longest unused goes, and so does
// what was read of a file that is forgotten.
func TestReads(t *testing.T) {
	t.Parallel()
	r := newReads(10_000)
	made := map[string]int{}
	of := func(name, asked string) any {
		return r.Once(File{Name: name}, asked, func() any {
			made[name+asked]++
			return make([]byte, 3000)
		})
	}
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() { of("a", "") })
	}
	all.Wait()
	of("a", "in US units")
	if made["a"] != 1 || made["ain US units"] != 1 {
		t.Errorf("it was read %v times", made)
	}
	of("b", "")
	of("a", "")
	of("c", "") // beyond what is kept: the longest unused goes
	if of("a", ""); made["a"] != 1 {
		t.Error("what was just used is gone")
	}
	if of("a", "in US units"); made["ain US units"] != 2 {
		t.Error("what was longest unused is kept")
	}
	if r.weight > r.most || r.order.Len() != len(r.of) {
		t.Errorf("%d bytes are kept of %d at most", r.weight, r.most)
	}
	r.let([]string{File{Name: "a"}.content()})
	if of("a", ""); made["a"] != 2 {
		t.Error("what was forgotten is still there")
	}
}

// TestAnswersWeigh: answers are kept by what they hold, also those that no page shows, and what is made of one later counts too.
func TestAnswersWeigh(t *testing.T) {
	t.Parallel()
	w := newWorks(2)
	defer w.close()
	held := func() (n int, weight int64) {
		w.mu.Lock()
		defer w.mu.Unlock()
		for e := w.order.Front(); e != nil; e = e.Next() {
			n++
			weight += e.Value.(*job).weight.Load()
		}
		return n, weight
	}
	var last *job
	for i := range 40 {
		j, err := w.do(fmt.Sprint(i), "c", func(context.Context, func(func() string)) Answer {
			return Answer{Wrote: []File{{Data: bytes.Repeat([]byte{1}, int(w.weight/10))}}}
		})
		if err != nil {
			t.Fatal(err)
		}
		<-j.done
		last = j
	}
	if n, weight := held(); n < 8 || n > 10 || weight > w.weight {
		t.Errorf("%d answers of %d bytes are kept", n, weight)
	}
	last.grew(int(w.weight / 2))
	if n, weight := held(); n > 5 || weight > w.weight {
		t.Errorf("%d answers of %d bytes are kept beside one that has grown", n, weight)
	}
}
