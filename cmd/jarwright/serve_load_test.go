package main

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"jarwright/cmd/jarwright/serve"
)

// TestServeLoad lets 50 clients ask for half a minute and tells how long they waited; a page that is still working is asked for
// again, as its refresh does. It runs where JARWRIGHT_LOAD is set. What it asserts is that none met an error or was sent away, and
// that what is held afterwards is bounded: the times are for the reader.
func TestServeLoad(t *testing.T) {
	if os.Getenv("JARWRIGHT_LOAD") == "" {
		t.Skip("takes a minute of the whole machine: set JARWRIGHT_LOAD=1")
	}
	const clients, long = 50, 30 * time.Second
	address := offered(t)
	start := fetched(t, http.MethodGet, address+"/", "")
	_, token, _ := strings.Cut(start, `name="token" value="`)
	token, _, _ = strings.Cut(token, `"`)
	dose := address + linkTo(fetched(t, http.MethodPost, address+"/demo", "token="+token), "/dose")
	for _, c := range []struct {
		name string
		ask  func(client, n int) string
	}{
		{"all the demo's dose", func(int, int) string { return dose }},
		{"each a target of its own", func(client, n int) string {
			return fmt.Sprintf("%s&target=turbidity+%%3C%%3D+%d.%02d+NTU", dose, 4+n%12, client)
		}},
	} {
		var mu sync.Mutex
		var took []time.Duration
		waits := 0
		codes := map[int]int{}
		before := held()
		end := time.Now().Add(long)
		var all sync.WaitGroup
		for client := range clients {
			all.Go(func() {
				for n := 0; time.Now().Before(end); n++ {
					begun, to := time.Now(), c.ask(client, n)
					code, working, err := looked(to)
					again := 0
					for ; err == nil && working; again++ {
						time.Sleep(time.Second)
						code, working, err = looked(to)
					}
					mu.Lock()
					took = append(took, time.Since(begun))
					codes[code]++
					waits += again
					if err != nil {
						t.Error(err)
					}
					mu.Unlock()
				}
			})
		}
		all.Wait()
		slices.Sort(took)
		after := held()
		t.Logf("%s: %d answers %v after %d looks at a page that works, half within %v, 99 of 100 within %v, the longest %v; held %d MB before, %d MB after",
			c.name, len(took), codes, waits, took[len(took)/2], took[len(took)*99/100], took[len(took)-1], before>>20, after>>20)
		if after > before+128<<20 {
			t.Errorf("%s: %d MB are held", c.name, after>>20)
		}
		for code := range codes {
			if code != http.StatusOK {
				t.Errorf("%s: %d answers with %d", c.name, codes[code], code)
			}
		}
		fetched(t, http.MethodGet, dose, "") // and it is alive
	}
}

// looked asks for a page once, and tells whether it still works.
func looked(address string) (code int, working bool, err error) {
	r, err := http.Get(address)
	if err != nil {
		return 0, false, err
	}
	b, err := io.ReadAll(r.Body)
	_ = r.Body.Close()
	return r.StatusCode, bytes.Contains(b, []byte(`http-equiv="refresh"`)), err
}

// held is the memory in use once what is not needed is collected.
func held() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// slider is the page with the demo, on which it moves the slider of the target.
func slider(b *testing.B) (move func(target string)) {
	e := &env{streams: streams{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard}}
	s := serve.New(serve.Options{Program: e.inMemory, Kind: kindOf, Log: isPlantLog, Demo: e.demoFiles, Port: "8149"})
	b.Cleanup(s.Close)
	h := s.Handler()
	ask := func(method, address, form string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, address, strings.NewReader(form))
		r.Host = "127.0.0.1:8149"
		r.Header.Set("Origin", "http://"+r.Host)
		r.Header.Set("Jarwright-Moves", "1")
		if method == http.MethodPost {
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	_, token, _ := strings.Cut(ask(http.MethodGet, "/", "").Body.String(), `name="token" value="`)
	token, _, _ = strings.Cut(token, `"`)
	_, desk, _ := strings.Cut(ask(http.MethodPost, "/demo", "token="+token).Header().Get("Location"), "?")
	return func(target string) {
		to := ask(http.MethodGet, "/dose?"+url.Values{"desk": {desk}, "goal": {target}}.Encode(), "").Header().Get("Location")
		for strings.Contains(ask(http.MethodGet, to, "").Body.String(), `http-equiv="refresh"`) {
			continue // it is still worked out
		}
	}
}

// BenchmarkServeTarget is an answer to a target that nobody asked for before: the dose read off anew, drawn and written.
func BenchmarkServeTarget(b *testing.B) {
	move := slider(b)
	move("turbidity <= 5 NTU") // the sheet is read
	for i := 0; b.Loop(); i++ {
		move(fmt.Sprintf("turbidity <= %d.%04d NTU", 4+i%12, i))
	}
}

// BenchmarkServeSlider is a move of the slider to a stop beside the one that is shown, with the other stops worked out before as the
// page does it while nobody asks: what stays is to be found and shown.
func BenchmarkServeSlider(b *testing.B) {
	move := slider(b)
	stops := []string{"turbidity <= 4 NTU", "turbidity <= 5 NTU", "turbidity <= 6 NTU", "turbidity <= 8 NTU"}
	for _, x := range stops {
		move(x)
	}
	for i := 0; b.Loop(); i++ {
		move(stops[i%len(stops)])
	}
}
