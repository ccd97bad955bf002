package serve

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
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

// TestKeeps forgets the answers that were longest unused.
func TestKeeps(t *testing.T) {
	t.Parallel()
	w := newWorks(2)
	defer w.close()
	quick := func(context.Context, func(func() string)) Answer { return Answer{} }
	for i := range w.keep + 10 {
		j, err := w.do(fmt.Sprint(i), fmt.Sprint(i), quick)
		if err != nil {
			t.Fatal(err)
		}
		<-j.done
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.order.Len() > w.keep || len(w.jobs) != w.order.Len() {
		t.Errorf("%d and %d answers are kept, of %d at most", len(w.jobs), w.order.Len(), w.keep)
	}
	if _, ok := w.jobs["0"]; ok {
		t.Error("the oldest is kept")
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
	for _, want := range []string{"fitting 120 series, 34 done", `http-equiv="refresh" content="1"`, `action="/stop"`} {
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
