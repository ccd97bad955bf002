package words

import "testing"

// A memory asks once for each key, and forgets when it is full.
func TestMemory(t *testing.T) {
	var m Memory[int, int]
	asked := 0
	double := func(k int) int { asked++; return 2 * k }
	for range 3 {
		if got := m.Of(7, double); got != 14 {
			t.Fatalf("7 gives %d", got)
		}
	}
	if asked != 1 {
		t.Fatalf("asked %d times for one key", asked)
	}
	for k := range 3 * remembered {
		m.Of(k, double)
	}
	if len(m.seen) > remembered {
		t.Fatalf("%d entries are kept, more than %d", len(m.seen), remembered)
	}
}
