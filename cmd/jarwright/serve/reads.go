package serve

import (
	"container/list"
	"slices"
	"sync"
)

// Reads keep what was read of files, so that a sheet which is asked for another dose is not read again. What was longest unused goes
// first. What is kept is shared and must not be changed.
type Reads struct {
	mu     sync.Mutex
	most   int64 // bytes in all
	weight int64
	of     map[string]*list.Element // of *reading
	order  *list.List               // of use, the latest in front
}

// reading is one of them.
type reading struct {
	key, content string
	value        func() any
	weight       int64
}

func newReads(most int64) *Reads {
	return &Reads{most: most, of: map[string]*list.Element{}, order: list.New()}
}

// Once is what read makes of a file, read as it was asked for; it is made once, however many ask for it.
func (r *Reads) Once(f File, asked string, read func() any) any {
	content := f.content()
	key := hash(content + "\x00" + asked)
	r.mu.Lock()
	e, ok := r.of[key]
	if !ok {
		x := &reading{key: key, content: content}
		x.value = sync.OnceValue(func() any {
			v := read()
			r.settle(x, weigh(v))
			return v
		})
		e = r.order.PushFront(x)
		r.of[key] = e
	}
	r.order.MoveToFront(e)
	x := e.Value.(*reading)
	r.mu.Unlock()
	return x.value()
}

// settle counts a reading that is there now, and lets go of those that are too much with it.
func (r *Reads) settle(x *reading, weight int64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if e := r.of[x.key]; e == nil || e.Value != x {
		return // it was let go of meanwhile
	}
	x.weight = weight
	r.weight += weight
	for r.weight > r.most && r.order.Len() > 0 {
		r.drop(r.order.Back())
	}
}

func (r *Reads) drop(e *list.Element) {
	x := e.Value.(*reading)
	r.weight -= x.weight
	delete(r.of, x.key)
	r.order.Remove(e)
}

// let forgets what was read of files of these contents.
func (r *Reads) let(contents []string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, e := range r.of {
		if slices.Contains(contents, e.Value.(*reading).content) {
			r.drop(e)
		}
	}
}
