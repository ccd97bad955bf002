package serve

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
)

// TestOnce runs the same call only once, however many ask, and others beside it.
func TestOnce(t *testing.T) {
	t.Parallel()
	w := newWorks(1)
	defer w.close()
	var runs sync.Map
	let := make(chan struct{})
	call := func(key string) *job {
		j, err := w.do(key, "c", func(context.Context, func(func() string)) Answer {
			n, _ := runs.LoadOrStore(key, new(int))
			*n.(*int)++
			<-let
			return Answer{Said: []string{key}}
		})
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	a, b, c := call("a"), call("a"), call("b")
	if a != b || a == c {
		t.Error("the same call is run twice, or two calls once")
	}
	close(let)
	<-a.done
	<-c.done
	if again := call("a"); again != a {
		t.Error("an answer is not kept")
	}
	for _, key := range []string{"a", "b"} {
		if n, ok := runs.Load(key); !ok || *n.(*int) != 1 {
			t.Errorf("%s was not run once", key)
		}
	}
}

// TestBusy lets no client have more under way than its share, and all no more than the machine bears.
func TestBusy(t *testing.T) {
	t.Parallel()
	w := newWorks(1)
	defer w.close()
	let := make(chan struct{})
	wait := func(context.Context, func(func() string)) Answer { <-let; return Answer{} }
	var jobs []*job
	begin := func(client string, n int) (busy int) {
		for i := range n {
			j, err := w.do(fmt.Sprint(client, i), client, wait)
			if errors.Is(err, errBusy) {
				busy++
			} else if err != nil {
				t.Fatal(err)
			} else {
				jobs = append(jobs, j)
			}
		}
		return busy
	}
	if got := begin("a", w.each+3); got != 3 {
		t.Errorf("%d of one client are refused, want 3", got)
	}
	if got := begin("b", 1); got != 0 {
		t.Error("another client is refused for it")
	}
	for i := range w.waiting {
		begin(fmt.Sprint("c", i), 1)
	}
	if w.running != w.waiting {
		t.Errorf("%d are under way, of %d at most", w.running, w.waiting)
	}
	close(let)
	for _, j := range jobs {
		<-j.done
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if len(w.clients) != 0 || w.running != 0 {
		t.Errorf("afterwards %d clients and %d runs are counted", len(w.clients), w.running)
	}
}

// TestCrowded: what nobody has asked for by itself waits while others wait for a turn, unless it is begun.
func TestCrowded(t *testing.T) {
	t.Parallel()
	w := newWorks(1)
	defer w.close()
	let := make(chan struct{})
	var jobs []*job
	for i, crowded := range []bool{false, false, true} {
		if got := w.crowded("other"); got != crowded {
			t.Errorf("with %d under way it is crowded: %v", i, got)
		}
		j, err := w.do(fmt.Sprint(i), "c", func(context.Context, func(func() string)) Answer { <-let; return Answer{} })
		if err != nil {
			t.Fatal(err)
		}
		jobs = append(jobs, j)
	}
	if w.crowded("2") {
		t.Error("what is begun already is put off")
	}
	close(let)
	for _, j := range jobs {
		<-j.done
	}
	if w.crowded("other") {
		t.Error("it is crowded afterwards")
	}
}

// TestKeeps forgets the answers that were longest unused.
func TestKeeps(t *testing.T) {
	t.Parallel()
	w := newWorks(2)
	defer w.close()
	quick := func(context.Context, func(func() string)) Answer { return Answer{} }
	const most = 50 // answers that hold nothing weigh too
	w.weight = most * bareJob
	for i := range most + 10 {
		j, err := w.do(fmt.Sprint(i), fmt.Sprint(i), quick)
		if err != nil {
			t.Fatal(err)
		}
		<-j.done
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.order.Len() > most || len(w.jobs) != w.order.Len() {
		t.Errorf("%d and %d answers are kept, of %d at most", len(w.jobs), w.order.Len(), most)
	}
	if _, ok := w.jobs["0"]; ok {
		t.Error("the oldest is kept")
	}
}

// TestKeepsLight forgets the answers that were longest unused where those that are kept weigh too much, and never the last.
func TestKeepsLight(t *testing.T) {
	t.Parallel()
	w := newWorks(2)
	defer w.close()
	const kept = 10
	for i := range 3 * kept {
		j, err := w.do(fmt.Sprint(i), "c", func(context.Context, func(func() string)) Answer { return Answer{} })
		if err != nil {
			t.Fatal(err)
		}
		<-j.done
		j.weight.Store(w.weight / kept)
	}
	heavy, err := w.do("heavy", "c", func(context.Context, func(func() string)) Answer { return Answer{} })
	if err != nil {
		t.Fatal(err)
	}
	<-heavy.done
	heavy.weight.Store(2 * w.weight)
	next, err := w.do("next", "c", func(context.Context, func(func() string)) Answer { return Answer{} })
	if err != nil {
		t.Fatal(err)
	}
	<-next.done
	w.mu.Lock()
	defer w.mu.Unlock()
	if len(w.jobs) != 1 || w.jobs["next"] == nil {
		t.Errorf("%d answers are kept beside one that weighs twice the most", len(w.jobs))
	}
}

// TestStop shows a long run at work, stops it from the page, and lets it begin anew.
func TestStop(t *testing.T) {
	t.Parallel()
	ended := make(chan error, 2)
	a := ask(t, func(o *Options) {
		o.Program = func(ctx context.Context, c Call) Answer {
			c.Told(func() string { return "fitting 120 series, 34 done" })
			<-ctx.Done()
			ended <- ctx.Err()
			return Answer{Err: ctx.Err(), Code: 1}
		}
	})
	to := a.upload("", [2]string{"a.csv", "x"}).Header.Get("Location")
	page := text(t, a.get(to))
	for _, want := range []string{"Fitting 120 series, 34 done", `<noscript><meta http-equiv="refresh" content="1"></noscript>`, `data-again="1"`, `<h1 class="big words">Working</h1>`, `action="/stop"`} {
		if !strings.Contains(page, want) {
			t.Errorf("the page that waits lacks %q:\n%s", want, page)
		}
	}
	_, key, _ := strings.Cut(page, `name="key" value="`)
	key, _, _ = strings.Cut(key, `"`)
	r := a.post("/stop", url.Values{"key": {key}})
	if r.StatusCode != http.StatusSeeOther || !strings.Contains(text(t, a.get(r.Header.Get("Location"))), "Stopped") {
		t.Errorf("stopping is answered with %d", r.StatusCode)
	}
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Errorf("the run ended with %v", err)
	}
	if page := text(t, a.get(to)); !strings.Contains(page, "34 done") {
		t.Errorf("asked again it does not begin anew:\n%s", page)
	}
	a.s.Close()
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Errorf("the run ended with %v when the page was closed", err)
	}
}

// TestLater: calls that are likely to be asked for next run one at a time, while nothing else does; who asks for one that runs waits
// for it, and a newer list takes the place of what waited.
func TestLater(t *testing.T) {
	t.Parallel()
	w := newWorks(2)
	defer w.close()
	began := make(chan string, 10)
	let := map[string]chan struct{}{}
	made := func(key string) call {
		let[key] = make(chan struct{})
		ready := let[key]
		return call{key, nil, func(context.Context, func(func() string)) Answer {
			began <- key
			<-ready
			return Answer{Said: []string{key}}
		}, func(*job) {}}
	}
	busy := made("busy")
	j, err := w.do("busy", "c", busy.run)
	if err != nil {
		t.Fatal(err)
	}
	<-began
	w.later([]call{made("old")})
	w.later([]call{made("a"), made("b")})
	select {
	case key := <-began:
		t.Fatalf("%s runs beside what somebody waits for", key)
	default:
	}
	close(let["busy"])
	<-j.done
	if key := <-began; key != "a" {
		t.Errorf("%s runs first", key)
	}
	joined, err := w.do("a", "c", func(context.Context, func(func() string)) Answer { t.Error("it is run twice"); return Answer{} })
	if err != nil {
		t.Fatal(err)
	}
	close(let["a"])
	<-joined.done
	if key := <-began; key != "b" || joined.answer.Said[0] != "a" {
		t.Errorf("%s runs second, and who asked got %q", key, joined.answer.Said)
	}
	close(let["b"])
}

// TestAhead: the page of a dose has the other stops of its sliders worked out, the nearest first; one that is then asked for is there.
func TestAhead(t *testing.T) {
	t.Parallel()
	var mu sync.Mutex
	var ran []string
	a := ask(t, func(o *Options) {
		o.Program = func(_ context.Context, c Call) Answer {
			mu.Lock()
			defer mu.Unlock()
			ran = append(ran, strings.Join(c.Args, " "))
			return Answer{Report: told("x")}
		}
	})
	to := a.upload("", [2]string{"a.csv", "x"}).Header.Get("Location")
	_, query, _ := strings.Cut(to, "?")
	text(t, a.get("/dose?"+query))
	for {
		mu.Lock()
		n := 0
		for _, x := range ran {
			if strings.Contains(x, "--sure") {
				n++
			}
		}
		mu.Unlock()
		if n == len(sureStops)-1 {
			break
		}
		runtime.Gosched()
	}
	mu.Lock()
	defer mu.Unlock()
	first := slices.IndexFunc(ran, func(x string) bool { return strings.Contains(x, "--sure") })
	if near := ran[first]; near != "fit a.csv --sure 3 in 4" && near != "fit a.csv --sure 19 in 20" {
		t.Errorf("the first is %s", near)
	}
}
