package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"jarwright/cmd/jarwright/serve"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/templates"
	"jarwright/templates/desk"
)

// serveFlags say where the page is and what it may open.
type serveFlags struct {
	open           bool
	port           int
	folder, listen string
	idle           time.Duration
}

func newServe(e *env) *cobra.Command {
	var f serveFlags
	c := &cobra.Command{
		Use:   "serve",
		Short: "The whole job on a page of this machine",
		Long: `Opens a page in the browser that goes from a bench sheet to a pump setting: drop a
sheet, see what was read of it, the dose, the place, the day. It is the same program:
each page shows the command that gives the same answer, and what it saves is byte for
byte what that command writes.

Only this machine reaches it. Files stay where they are: what is dropped is held in
memory until it is put away or the program ends. With --folder, files of that one folder
can be opened by name too. With --listen other machines of the network reach it, a phone for instance,
with the key that is then printed. Ctrl-C ends it, and so does the button at the foot of
the page.

A double click on the program, or a start without arguments from the menu of a desktop,
does this too and opens the page; it then ends by itself when nobody has asked for
anything in twelve hours.`,
		Example: `  jarwright serve --open
  jarwright serve --folder tests --port 8140
  jarwright serve --listen 192.168.1.20`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return e.serve(c.Context(), f) },
	}
	c.Flags().BoolVar(&f.open, "open", false, "open the page in the browser")
	c.Flags().IntVar(&f.port, "port", 0, "the `PORT` to be asked at (a free one when absent)")
	c.Flags().StringVar(&f.folder, "folder", "", "let files of this `FOLDER` be opened by name")
	c.Flags().StringVar(&f.listen, "listen", "", "`ADDRESS` of this machine at which others of the network may ask, with a key")
	c.Flags().DurationVar(&f.idle, "idle", 0, "end when nobody has asked for anything in this `TIME`, such as 12h (never when absent)")
	return c
}

// served is how much memory the page takes before what is let go of is given back at once; what it may hold, files, answers and what
// was read of sheets, stays well below (see the bounds in package serve).
const served = 448 << 20

// serve runs the page until it is interrupted.
func (e *env) serve(ctx context.Context, f serveFlags) error {
	if e.flags.out != "" || e.flags.format != "" {
		return badUsage("serve takes neither -o nor --format: each page saves its answer")
	}
	o := serve.Options{Program: e.inMemory, Render: render, Kind: kindOf, Log: isPlantLog, Demo: e.demoFiles}
	if f.folder != "" {
		root, err := os.OpenRoot(f.folder)
		if err != nil {
			return note.Fault("cannot-read", "the folder cannot be opened: %s", plain(err)).At(note.Place{File: f.folder}).Do("name a folder that exists")
		}
		defer func() { _ = root.Close() }() // only read from
		o.Folder = folder{root}
	}
	if f.listen != "" {
		o.Key = serve.Secret(5)
	}
	l, err := net.Listen("tcp", net.JoinHostPort(cmp.Or(f.listen, "127.0.0.1"), strconv.Itoa(f.port)))
	if err != nil {
		return note.Fault("cannot-listen", "the page cannot be offered: %v", err).Do("leave --port out for a free one; --listen takes an address of this machine")
	}
	_, o.Port, _ = net.SplitHostPort(l.Addr().String())
	all := offeredAt(l.Addr())
	address := all[0]
	if _, err := fmt.Fprintln(e.Out, strings.Join(all, "\n")); err != nil {
		return err
	}
	if o.Key != "" {
		e.say("key: %s", o.Key)
	}
	if a, ok := l.Addr().(*net.TCPAddr); ok && a.IP.IsUnspecified() {
		e.say("every network that this machine is on can ask there; name one address of it to offer the page on one alone")
	}
	e.say("the page is open at %s until Ctrl-C", address)
	if f.open {
		if err := openBrowser(address); err != nil {
			e.say("no browser could be opened (%v): open the address yourself", err)
		}
	}
	ctx, end := context.WithCancel(ctx)
	defer end()
	if o.Key == "" {
		o.End = end
	}
	if f.idle > 0 {
		o.Asked = lingering(f.idle, end)
	}
	debug.SetGCPercent(100) // many answers, not one
	debug.SetMemoryLimit(served)
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGTERM)
	defer stop()
	e.serving.Store(true)
	return serveOn(ctx, l, serve.New(o))
}

// offeredAt are the addresses at which others ask, the machine's own last: an address that stands for all of the machine's is of no
// use on a phone.
func offeredAt(at net.Addr) (out []string) {
	tcp, ok := at.(*net.TCPAddr)
	if !ok || !tcp.IP.IsUnspecified() {
		return []string{"http://" + at.String() + "/"}
	}
	own, _ := net.InterfaceAddrs() // where they cannot be listed the loopback is left
	for _, a := range own {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && !n.IP.IsLoopback() && !n.IP.IsLinkLocalUnicast() {
			out = append(out, "http://"+net.JoinHostPort(n.IP.String(), strconv.Itoa(tcp.Port))+"/")
		}
	}
	return append(out, "http://"+net.JoinHostPort("127.0.0.1", strconv.Itoa(tcp.Port))+"/")
}

// lingering ends the program once its result was not called for so long.
func lingering(idle time.Duration, end func()) (asked func()) {
	t := time.AfterFunc(idle, end)
	return func() { t.Reset(idle) }
}

// serveOn answers until the context ends, then lets go of what is under way.
func serveOn(ctx context.Context, l net.Listener, s *serve.Server) error {
	h := &http.Server{Handler: s.Handler(), ReadHeaderTimeout: 5 * time.Second, ReadTimeout: time.Minute, WriteTimeout: 4 * time.Minute,
		IdleTimeout: time.Minute, MaxHeaderBytes: 32 << 10}
	done := make(chan error, 1)
	go func() { done <- h.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	s.Close()
	short, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	if err := h.Shutdown(short); err != nil {
		return h.Close()
	}
	return nil
}

// openBrowser opens an address with what the system opens addresses with.
func openBrowser(address string) error {
	command := map[string][]string{"windows": {"rundll32", "url.dll,FileProtocolHandler"}, "darwin": {"open"}}[runtime.GOOS]
	if command == nil {
		command = []string{"xdg-open"}
	}
	return exec.Command(command[0], append(command[1:], address)...).Start()
}

// folder is the one that files may be opened from; nothing outside of it can be named.
type folder struct{ root *os.Root }

// Title is the folder's own name.
func (f folder) Title() string {
	full, err := filepath.Abs(f.root.Name())
	if err != nil {
		return filepath.Base(f.root.Name())
	}
	return filepath.Base(full)
}

// Names lists the files that may be of use, by their endings.
func (f folder) Names() (names []string, err error) {
	const most = 500
	list, err := fs.ReadDir(f.root.FS(), ".")
	for _, x := range list {
		if slices.Contains(sheetEndings, strings.ToLower(filepath.Ext(x.Name()))) && x.Type().IsRegular() && !strings.HasPrefix(x.Name(), ".") && len(names) < most {
			names = append(names, x.Name())
		}
	}
	return names, err
}

var sheetEndings = []string{".xlsx", ".xlsm", ".csv", ".tsv", ".txt", ".yaml", ".yml"}

// Read reads a file that the folder lists.
func (f folder) Read(name string) ([]byte, error) {
	names, err := f.Names()
	if err != nil || !slices.Contains(names, name) {
		return nil, fs.ErrNotExist
	}
	file, err := f.root.Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = file.Close() }() // only read from
	return grid.ReadAll(name, file)
}

// kindOf tells what a file is.
func kindOf(name string, data []byte) desk.Kind {
	for _, k := range kindsOfFile {
		if k.is(name, data) {
			return map[*fileKind]desk.Kind{&siteFile: desk.Site, &trialFile: desk.Trial, &meterLog: desk.Log, &plantLog: desk.Plant, &benchFile: desk.Bench, &unitLog: desk.Trial}[k]
		}
	}
	return ""
}

// isPlantLog reports a plant's operating log; a site, whose table of drawdowns looks like one, is none.
func isPlantLog(name string, data []byte) bool {
	return isOperatingLog(name, data) && !isSite(name, data)
}

// demoFiles are the demo's workbooks.
func (e *env) demoFiles() (out []serve.File, err error) {
	held := &memory{}
	sub := &env{streams: streams{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard, Files: held, Clock: e.Clock}, shown: e.shown}
	if err := sub.demoInputs(func(name string) string { return name }); err != nil {
		return nil, err
	}
	kinds := map[string]desk.Kind{"bench.xlsx": desk.Bench, "site.xlsx": desk.Site, "trial.xlsx": desk.Trial}
	past := serve.File{Name: "past", Kind: desk.Past}
	for _, f := range held.wrote {
		if k, ok := kinds[f.Name]; ok {
			f.Kind = k
			out = append(out, f)
		} else if strings.HasPrefix(f.Name, past.Name+"/") {
			past.Parts = append(past.Parts, f)
		}
	}
	return append(out, past), nil
}

// inMemory runs a command on files that are held in memory.
func (e *env) inMemory(ctx context.Context, c serve.Call) (a serve.Answer) {
	held := &memory{files: c.Files}
	var errs bytes.Buffer
	sub := &env{status: exitDone, streams: streams{In: strings.NewReader(""), Out: io.Discard, Err: &errs, Width: 80, Files: held, Told: c.Told, Reads: c.Reads, Clock: e.Clock,
		Show: func(r templates.Report, o templates.Options) { a.Report, a.Options = r, o }}}
	a.Err = sub.execute(ctx, c.Args)
	if a.Report == nil {
		a.Options, _ = sub.options() // of wrong flags, the usual
	}
	a.Said = strings.FieldsFunc(errs.String(), func(r rune) bool { return r == '\n' })
	a.Code, a.Wrote = sub.end(a.Err), held.wrote
	return a
}

// memory are files that never touch the disk.
type memory struct{ files, wrote []serve.File }

// Open finds a file by its whole name.
func (m *memory) Open(name string) (fs.File, error) {
	name = filepath.ToSlash(name)
	within := name + "/"
	if name == "." {
		within = ""
	}
	inside := heldFolder{heldFile: heldFile{Reader: bytes.NewReader(nil), name: name}}
	for _, f := range slices.Concat(m.wrote, m.files) {
		if f.Name == name {
			return &heldFile{Reader: bytes.NewReader(f.Data), name: name}, nil
		}
		if x, ok := strings.CutPrefix(f.Name, within); ok {
			inside.list = append(inside.list, fs.FileInfoToDirEntry(heldInfo{of: &heldFile{Reader: bytes.NewReader(f.Data), name: x}}))
		}
	}
	if len(inside.list) > 0 {
		return &inside, nil
	}
	return nil, &fs.PathError{Op: "open", Path: name, Err: errNotHere}
}

// errNotHere is [fs.ErrNotExist] in the words of the page.
var errNotHere = notHere{errors.New("it is not open here: drop it too")}

type notHere struct{ error }

func (notHere) Is(target error) bool { return target == fs.ErrNotExist }

// Write keeps what is written.
func (m *memory) Write(name string, _ bool, render func(io.Writer) error, _ ...string) error {
	var b bytes.Buffer
	if err := render(&b); err != nil {
		return err
	}
	m.wrote = append(m.wrote, serve.File{Name: filepath.ToSlash(name), Data: b.Bytes()})
	return nil
}

// heldFile is a file of a memory.
type heldFile struct {
	*bytes.Reader
	name string
}

// Close does nothing.
func (*heldFile) Close() error { return nil }

// Stat tells the name and size.
func (f *heldFile) Stat() (fs.FileInfo, error) { return heldInfo{of: f}, nil }

// heldFolder is a folder of a memory.
type heldFolder struct {
	heldFile
	list []fs.DirEntry
}

// ReadDir lists it, always as a whole.
func (f *heldFolder) ReadDir(int) ([]fs.DirEntry, error) { return f.list, nil }

// Stat says that it is one.
func (f *heldFolder) Stat() (fs.FileInfo, error) { return heldInfo{&f.heldFile, true}, nil }

type heldInfo struct {
	of     *heldFile
	folder bool
}

func (i heldInfo) Name() string     { return i.of.name }
func (i heldInfo) Size() int64      { return i.of.Reader.Size() }
func (heldInfo) ModTime() time.Time { return time.Time{} }
func (i heldInfo) IsDir() bool      { return i.folder }

// Mode is of what can only be read.
func (i heldInfo) Mode() fs.FileMode {
	if i.folder {
		return fs.ModeDir | 0o555
	}
	return 0o444
}

func (heldInfo) Sys() any { return nil }
