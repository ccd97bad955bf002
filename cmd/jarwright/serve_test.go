package main

import (
	"bufio"
	"context"
	"errors"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"jarwright/cmd/jarwright/serve"
	"jarwright/templates/desk"
)

// TestFolder lists the sheets of a folder and opens nothing that it does not list.
func TestFolder(t *testing.T) {
	t.Parallel()
	outside, dir := t.TempDir(), t.TempDir()
	write(t, filepath.Join(outside, "secret.csv"), "secret")
	for _, name := range []string{"bench.csv", "site.yaml", "notes.doc", ".hidden.csv"} {
		write(t, filepath.Join(dir, name), name)
	}
	if err := os.Mkdir(filepath.Join(dir, "folder.csv"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.Symlink(filepath.Join(outside, "secret.csv"), filepath.Join(dir, "link.csv")), os.Symlink(outside, filepath.Join(dir, "way"))); err != nil {
		t.Logf("without links: %v", err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	f := folder{root}
	names, err := f.Names()
	if want := []string{"bench.csv", "site.yaml"}; err != nil || !slices.Equal(names, want) {
		t.Errorf("it lists %v (%v), want %v", names, err, want)
	}
	if data, err := f.Read("bench.csv"); err != nil || string(data) != "bench.csv" {
		t.Errorf("a sheet reads %q (%v)", data, err)
	}
	for _, name := range []string{"", ".", "..", "../secret.csv", "way/secret.csv", "link.csv", "folder.csv", ".hidden.csv", "notes.doc", filepath.Join(outside, "secret.csv"),
		"bench.csv/../bench.csv", "./bench.csv", "bench.csv\x00", "BENCH.CSV"} {
		if data, err := f.Read(name); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%q reads %q (%v)", name, data, err)
		}
	}
}

// TestMemory: a command run for the page reaches no file but those on the desk, whatever a site names.
func TestMemory(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	secret := filepath.Join(dir, "secret.csv")
	write(t, secret, benchCSV)
	e := &env{}
	for _, name := range []string{secret, "../secret.csv", "/etc/passwd", "http://127.0.0.1/secret.csv", "-"} {
		a := e.inMemory(t.Context(), serve.Call{Args: []string{"read", name}, Files: []serve.File{{Name: "bench.csv", Data: []byte(benchCSV)}}})
		if a.Err == nil || a.Code == exitDone {
			t.Errorf("%s is read", name)
		}
	}
	a := e.inMemory(t.Context(), serve.Call{Args: []string{"fit", "bench.csv", "-o", secret}, Files: []serve.File{{Name: "bench.csv", Data: []byte(benchCSV)}}})
	if data, err := os.ReadFile(secret); err != nil || string(data) != benchCSV {
		t.Errorf("a file of the disk was written: %q (%v)", data, err)
	}
	if len(a.Wrote) > 1 {
		t.Errorf("%d files are kept", len(a.Wrote))
	}
}

// TestKinds tells what is dropped by what is in it.
func TestKinds(t *testing.T) {
	t.Parallel()
	e := &env{}
	files, err := e.demoFiles()
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 4 {
		t.Fatalf("the demo has %d files", len(files))
	}
	for _, f := range files {
		if f.Parts != nil {
			continue // a folder, see TestServePast
		}
		if got := kindOf(f.Name, f.Data); got != f.Kind {
			t.Errorf("%s is taken for %q, and is %q", f.Name, got, f.Kind)
		}
	}
	for data, want := range map[string]desk.Kind{benchCSV: desk.Bench, "time,flow m3/h\n2026-03-02 06:00,3.6\n2026-03-02 07:00,3.7\n2026-03-02 08:00,3.5\n": desk.Log, "a shopping list": ""} {
		if got := kindOf("x.csv", []byte(data)); got != want {
			t.Errorf("%.20q is taken for %q, want %q", data, got, want)
		}
	}
}

// TestServeSlow lets slow senders wait and everybody else in.
func TestServeSlow(t *testing.T) {
	t.Parallel()
	address := offered(t)
	host := strings.TrimPrefix(address, "http://")
	for i, begun := range []string{"", "GET / HT", "GET / HTTP/1.1\r\nHost: " + host + "\r\nX: ", "POST /files HTTP/1.1\r\nHost: " + host +
		"\r\nOrigin: " + address + "\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: 1000000\r\n\r\n--x\r\n"} {
		for range 20 {
			c, err := net.Dial("tcp", host)
			if err != nil {
				t.Fatal(err)
			}
			defer c.Close()
			if _, err := io.WriteString(c, begun); err != nil {
				t.Fatal(err)
			}
		}
		if page := fetched(t, http.MethodGet, address+"/", ""); !strings.Contains(page, "Drop a bench sheet here") {
			t.Errorf("with slow senders of kind %d it answers %s", i, page)
		}
	}
	for _, c := range []struct{ name, text string }{
		{"headers beyond measure", "GET / HTTP/1.1\r\nHost: " + host + "\r\nX: " + strings.Repeat("x", 64<<10) + "\r\n\r\n"},
		{"an address beyond measure", "GET /?" + strings.Repeat("x", 64<<10) + " HTTP/1.1\r\nHost: " + host + "\r\n\r\n"},
		{"two lengths", "POST /demo HTTP/1.1\r\nHost: " + host + "\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nxx"},
		{"two hosts", "GET / HTTP/1.1\r\nHost: " + host + "\r\nHost: evil.example\r\n\r\n"},
		{"no request at all", "\x00\x01\x02\r\n\r\n"},
	} {
		conn, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		_, _ = io.WriteString(conn, c.text) // which it may have stopped reading
		r, err := http.ReadResponse(bufio.NewReader(conn), nil)
		if err == nil && r.StatusCode < 400 {
			t.Errorf("%s is answered with %d", c.name, r.StatusCode)
		}
		_ = conn.Close()
		fetched(t, http.MethodGet, address+"/", "")
	}
}

// TestLingering ends a page that nobody asks for, and none that somebody does.
func TestLingering(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, end := context.WithCancel(t.Context())
		defer end()
		asked := lingering(time.Hour, end)
		for range 5 {
			time.Sleep(59 * time.Minute)
			asked()
		}
		synctest.Wait()
		if ctx.Err() != nil {
			t.Error("it ended though it was asked")
		}
		time.Sleep(61 * time.Minute)
		synctest.Wait()
		if ctx.Err() == nil {
			t.Error("it did not end though nobody asked")
		}
	})
}

// TestServeUsage says what cannot be offered, and what to do.
func TestServeUsage(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	_, port, _ := net.SplitHostPort(l.Addr().String())
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"serve", "--port", port}, exitFailed, "leave --port out for a free one"},
		{[]string{"serve", "--listen", "203.0.113.7"}, exitFailed, "an address of this machine"},
		{[]string{"serve", "--folder", filepath.Join(t.TempDir(), "none")}, exitFailed, "name a folder that exists"},
		{[]string{"serve", "--format", "json"}, exitUsage, "each page saves its answer"},
		{[]string{"serve", "site.xlsx"}, exitUsage, "site.xlsx"},
	} {
		if _, errs, code := program(t, c.args...); code != c.code || !strings.Contains(errs, c.says) {
			t.Errorf("%v ended with %d: %s", c.args, code, errs)
		}
	}
}

// TestServeListen offers the page at an address of this machine that is not loopback: nothing is shown and nothing changed before the
// key was typed that the program printed, which never stands in an address.
func TestServeListen(t *testing.T) {
	t.Parallel()
	own, err := net.InterfaceAddrs()
	if err != nil {
		t.Skip(err)
	}
	i := slices.IndexFunc(own, func(a net.Addr) bool {
		ip, is := a.(*net.IPNet)
		return is && ip.IP.To4() != nil && !ip.IP.IsLoopback() && !ip.IP.IsLinkLocalUnicast()
	})
	if i < 0 {
		t.Skip("this machine has no address but loopback")
	}
	out, errs := make(writes, 10), make(writes, 10)
	e := &env{streams: streams{Out: out, Err: errs}}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- e.serve(ctx, serveFlags{listen: own[i].(*net.IPNet).IP.String()}) }()
	address := strings.TrimSpace(<-out)
	_, key, _ := strings.Cut(strings.TrimSpace(<-errs), "key: ")
	if len(key) < 10 {
		t.Fatalf("the key is %q", key)
	}
	keeps, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		who    *http.Client
		form   url.Values
		path   string
		status int
		says   string
	}{
		{http.DefaultClient, nil, "", 401, "Type the key"}, {http.DefaultClient, nil, "dose", 401, "Type the key"}, {http.DefaultClient, url.Values{"key": {"0123456789"}}, "key", 401, "That key was not taken"},
		{http.DefaultClient, url.Values{}, "demo", 401, "Type the key"}, {&http.Client{Jar: keeps}, url.Values{"key": {key}}, "key", 200, "Drop a bench sheet here"}, {&http.Client{Jar: keeps}, url.Values{}, "demo", 200, "bench.xlsx"},
		{&http.Client{Jar: keeps}, url.Values{}, "end", 403, "Not from here"},
	} {
		time.Sleep(time.Duration(len(c.form.Get("key"))) * 150 * time.Millisecond) // who guessed has to wait
		r, err := http.NewRequest(http.MethodGet, address+c.path, nil)
		if c.form != nil {
			_, token, _ := strings.Cut(said(t, c.who, address), `name="token" value="`)
			token, _, _ = strings.Cut(token, `"`)
			c.form.Set("token", token)
			r, err = http.NewRequest(http.MethodPost, address+c.path, strings.NewReader(c.form.Encode()))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Origin", strings.TrimSuffix(address, "/"))
		}
		if err != nil {
			t.Fatal(err)
		}
		a, err := c.who.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		body, _ := io.ReadAll(a.Body)
		_ = a.Body.Close()
		if a.StatusCode != c.status || !strings.Contains(string(body), c.says) || strings.Contains(a.Request.URL.String(), key) {
			t.Errorf("%s %v is answered with %d at %s: %s", c.path, c.form, a.StatusCode, a.Request.URL, body)
		}
	}
	stop()
	if err := <-ended; err != nil {
		t.Errorf("it ended with %v", err)
	}
}

// said is what a page says to somebody.
func said(t *testing.T, who *http.Client, address string) string {
	t.Helper()
	r, err := who.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

// writes are what a program writes, a write each.
type writes chan string

// Write hands a line on.
func (l writes) Write(b []byte) (int, error) {
	l <- string(b)
	return len(b), nil
}

// TestOfferedAt: an address that stands for all of the machine's is printed as those at which others can ask.
func TestOfferedAt(t *testing.T) {
	t.Parallel()
	for _, at := range []net.IP{net.IPv4zero, net.IPv6zero} {
		all := offeredAt(&net.TCPAddr{IP: at, Port: 8140})
		if all[len(all)-1] != "http://127.0.0.1:8140/" || strings.Contains(strings.Join(all, " "), "[::]") || strings.Contains(strings.Join(all, " "), "0.0.0.0:") {
			t.Errorf("%v: %v", at, all)
		}
	}
	if all := offeredAt(&net.TCPAddr{IP: net.IPv4(192, 0, 2, 20), Port: 8140}); !slices.Equal(all, []string{"http://192.0.2.20:8140/"}) {
		t.Error(all)
	}
}

// TestPlainFlag: a number that is none is told without the names of functions.
func TestPlainFlag(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{{"serve", "--port", "abc"}, {"serve", "--port", "99999999999999999999"}} {
		_, errs, code := program(t, args...)
		if code != exitUsage || strings.Contains(errs, "strconv") || !strings.Contains(errs, "it is no whole number") {
			t.Errorf("%v: %d %s", args, code, errs)
		}
	}
}
