package words

import "sync"

// Memory keeps what was found out about texts, because sheets repeat them. It is
// bounded: when it is full it begins again. What it gives is shared and must not be
// changed.
type Memory[K comparable, V any] struct {
	mu   sync.Mutex
	seen map[K]V
}

// remembered is how many entries a memory holds.
const remembered = 20_000

// Of gives what is remembered of a key, or finds it out.
func (m *Memory[K, V]) Of(key K, find func(K) V) V {
	m.mu.Lock()
	v, ok := m.seen[key]
	m.mu.Unlock()
	if ok {
		return v
	}
	v = find(key)
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.seen == nil || len(m.seen) >= remembered {
		m.seen = map[K]V{}
	}
	m.seen[key] = v
	return v
}
