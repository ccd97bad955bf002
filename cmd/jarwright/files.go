package main

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
)

// files are where a command reads and writes: the disk, or what a page holds in memory.
type files interface {
	// Open is as [os.Open].
	Open(name string) (fs.File, error)
	// Write writes a file as render makes it, whole or not at all. It replaces one only
	// when told to, and never an input.
	Write(name string, replace bool, render func(io.Writer) error, inputs ...string) error
}

// disk is the machine's own files.
type disk struct{}

// Open opens a file to read it.
func (disk) Open(name string) (fs.File, error) { return os.Open(name) }

// writeFile writes a file as the flags allow.
func (e *env) writeFile(name string, render func(io.Writer) error, inputs ...string) error {
	return e.files().Write(name, e.flags.force, render, inputs...)
}

// files are the command's own, else the disk's.
func (e *env) files() files {
	if e.Files != nil {
		return e.Files
	}
	return disk{}
}

// exists reports that something has the name, readable or not.
func (e *env) exists(name string) bool {
	f, err := e.files().Open(name)
	if err == nil {
		_ = f.Close() // only looked at
	}
	return !errors.Is(err, fs.ErrNotExist)
}

// Write writes into a temporary file beside the name, then renames it.
func (disk) Write(name string, replace bool, render func(io.Writer) error, inputs ...string) error {
	fault := func(code, remedy, format string, args ...any) error {
		return note.Fault(code, format, args...).At(note.Place{File: name}).Do("%s", remedy)
	}
	for _, in := range inputs {
		if sameFile(name, in) {
			return fault("output-is-input", "choose another name with -o", "the output would replace the input")
		}
	}
	info, err := os.Stat(name)
	switch {
	case err == nil && info.IsDir():
		return fault("output-is-folder", "name a file in it", "is a folder")
	case err == nil && !replace:
		return fault("file-exists", "choose another name, or add --force to replace it", "exists already")
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fault("cannot-write", "choose another place", "cannot be written: %s", plain(err))
	}
	target, mode := name, fs.FileMode(0o644)
	if info != nil {
		mode = info.Mode().Perm()
		if real, err := filepath.EvalSymlinks(name); err == nil {
			target = real // a link goes on pointing at the file that is replaced
		}
	}
	err = atomicWrite(target, mode, render)
	if errors.As(err, new(*fs.PathError)) || errors.As(err, new(*os.LinkError)) {
		return fault("cannot-write", "check that the folder exists and can be written to, and that no other program holds the file open", "cannot be written: %s", plain(err))
	}
	return err
}

// whole writes what is there already.
func whole(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

func atomicWrite(name string, mode fs.FileMode, render func(io.Writer) error) (err error) {
	t, err := os.CreateTemp(filepath.Dir(name), ".jarwright-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil { // the first error is the one to tell
			_ = t.Close()
			_ = os.Remove(t.Name())
		}
	}()
	b := bufio.NewWriter(t)
	for _, step := range []func() error{
		func() error { return render(b) }, b.Flush,
		func() error { return t.Chmod(mode) },
		t.Sync, t.Close,
		func() error { return os.Rename(t.Name(), name) },
	} {
		if err = step(); err != nil {
			return err
		}
	}
	return nil
}

// sameFile tells whether two names lead to one file.
func sameFile(a, b string) bool {
	if ia, err := os.Stat(a); err == nil {
		if ib, err := os.Stat(b); err == nil {
			return os.SameFile(ia, ib)
		}
	}
	pa, errA := filepath.Abs(a)
	pb, errB := filepath.Abs(b)
	return errA == nil && errB == nil && pa == pb
}

// plain takes the operation and the path off a file error: "no such file or directory".
func plain(err error) string {
	if p := (*fs.PathError)(nil); errors.As(err, &p) {
		return p.Err.Error()
	}
	if l := (*os.LinkError)(nil); errors.As(err, &l) {
		return l.Err.Error()
	}
	return err.Error()
}

// readInput reads a whole input file, or standard input for "-".
func (e *env) readInput(name string) ([]byte, error) {
	fault := func(remedy, format string, args ...any) error {
		return note.Fault("cannot-read", format, args...).At(note.Place{File: name}).Do("%s", remedy)
	}
	r := e.In
	if name != "-" {
		f, err := e.files().Open(name)
		switch {
		case errors.Is(err, errNotHere):
			return nil, fault("drop it too", "is not open here")
		case err != nil:
			return nil, fault("check the name and the folder", "cannot be read: %s", plain(err))
		}
		defer func() { _ = f.Close() }() // only read from
		if info, err := f.Stat(); err == nil && info.IsDir() {
			return nil, fault("name a file in it", "is a folder")
		}
		r = f
	} else if e.InTerminal {
		return nil, badUsage("- reads the sheet from standard input, and that is the keyboard here: name a file, or pipe one in")
	}
	return grid.ReadAll(name, r)
}
