package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/spf13/cobra"

	"jarwright/dosing/history"
	"jarwright/dosing/logbook"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/templates"
)

// trackFlags are how past tests are read, and what is known of today's water.
type trackFlags struct {
	fit         fitFlags
	turbidity   quantity.Cloudiness
	fnu         bool // it was given in FNU
	temperature quantity.Known[quantity.Temperature]
	alkalinity  quantity.Known[quantity.Alkalinity]
	uv254       quantity.Known[float64]
	site        string // whose plan an operating log is held against
}

// newTrack makes the command that reads past tests together.
func newTrack(e *env) *cobra.Command {
	var f trackFlags
	c := &cobra.Command{
		Use:   "track FILE|FOLDER…",
		Short: "What past jar tests say of today's water",
		Long: `Reads every bench sheet of some files and folders, fits each as "fit" does, and lists
one line a test: day, raw water, lowest effective dose with its interval. From five
tests of one chemical on it finds the law by which the dose follows the raw water's
turbidity, and with --raw says what today's water needs: the dose, the range in which
nine waters in ten like it lie, and a planning dose on the safe side of it.

The law is a + b·√NTU or c·NTU^n, with temperature, alkalinity and UV254 beside it
where the tests tell them and they help. Each test counts by its own interval. The law
is the one that misses least when each test is left out in turn. Chemicals, bases,
targets and what was dosed beside are kept apart. No dose is given for water outside
that of the tests. It also says which class of raw water has no test yet.

A site's chemical takes its dose from past tests where its "bench sheet" names their
folder: "plan", "pump", "clarify" and "budget" then go by the turbidity of the site's
water, for which --raw gives another.

The plant's operating log may stand among the files: a row a day with raw and treated
turbidity, pump setting, tank level or stock used, a timed drawdown, flow (with the hours
run where it does not run all day) or water treated, and remarks, in your own
spreadsheet. It then says what dose was really fed,
what was removed, and whether pump, dose or water has moved off, since which day, and
what to do: check the pump, test again, or make fresh stock. With --site it is held
against the site's dose, stock and pump, else against the log's own first weeks. The
age of the stock is told by remarks ("new stock 3 May"), a column "Stock made", or a
line above the table ("Stock made 3 May, keeps 7 days"). Headings may be in English,
German, French, Spanish, Portuguese, Italian, Dutch or a northern language; a log in
gallons is answered in gallons.

In a folder, files that are no bench sheets are left alone, and a sheet that cannot be
read is named and skipped (exit code 0 while one test is left). The same jars saved
again under another name count once. Exit code 3: --raw was asked and no dose comes.`,
		Example: `  jarwright track tests/
  jarwright track tests/ --raw "85 NTU"
  jarwright track tests/ --raw "85 NTU" --temperature "6 C" --target "turbidity <= 5 NTU"
  jarwright track tests/ --format csv -o tests.csv
  jarwright track log.xlsx tests/ --site site.xlsx`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, names []string) error { return e.track(f, names) },
	}
	addBenchFlags(c, &f.fit.bench)
	p := c.Flags()
	p.VarP(all(&f.fit.targets, "TARGET", jartest.ParseTargets), "target", "t", `what the water must meet, such as "turbidity <= 5 NTU" (may repeat; each sheet's own when absent)`)
	p.StringVar(&f.fit.scatter, "scatter", "", `how much jars of one dose differ on this bench, such as "8 %", from your own repeats (8 % when absent, loosely held)`)
	p.Float64Var(&f.fit.worth, "scatter-jars", 8, "how many repeat jars that figure comes from")
	parsed(c, &f.fit.sure, "sure", "CHANCE", `how sure a dose to plan with must be, from 50 to 99 %, such as "95 %" or "19 in 20" (90 % when absent)`, quantity.ParseSure)
	parsed(c, &f.turbidity, "raw", "TURBIDITY", `turbidity of today's raw water, such as "85 NTU"`, func(s string) (quantity.Cloudiness, error) {
		f.fnu = strings.Contains(strings.ToUpper(s), "FNU")
		return parseRaw(s)
	})
	parsed(c, &f.temperature, "temperature", "TEMPERATURE", `of today's raw water, such as "8 C"`, some(quantity.Parse[quantity.Temperature]))
	parsed(c, &f.alkalinity, "alkalinity", "ALKALINITY", `of today's raw water, such as "64 mg/L CaCO3"`, some(quantity.Parse[quantity.Alkalinity]))
	p.StringVar(&f.site, "site", "", "`SITE` whose dose, stock and pump an operating log is held against, and whose chemical comes first")
	parsed(c, &f.uv254, "uv254", "ABSORBANCE", `of today's raw water, such as "0.12 1/cm"`, some(parseAbsorbance))
	return c
}

// rawFlag is where a turbidity of today is from.
const rawFlag = "--raw"

// addRaw adds the flag that tells a site's raw water of today.
func (e *env) addRaw(c *cobra.Command) {
	parsed(c, &e.raw, "raw", "TURBIDITY", `turbidity of the site's raw water today, such as "85 NTU", in place of that under Water`, parseRaw)
}

func parseRaw(s string) (quantity.Cloudiness, error) {
	v, err := quantity.Parse[quantity.Cloudiness](s)
	if err == nil && v <= 0 {
		err = note.Fault("bad-turbidity", "a raw turbidity must be above zero")
	}
	return v, err
}

// some reads a value that may be left out.
func some[T any](parse func(string) (T, error)) func(string) (quantity.Known[T], error) {
	return func(s string) (quantity.Known[T], error) {
		v, err := parse(s)
		return quantity.Known[T]{V: v, OK: err == nil}, err
	}
}

// parseAbsorbance reads UV254 in 1/cm or 1/m.
func parseAbsorbance(s string) (float64, error) {
	v, unit, err := quantity.Split(s)
	per, known := map[string]float64{"1/cm": 1, "/cm": 1, "cm-1": 1, "1/m": 0.01, "/m": 0.01, "m-1": 0.01}[strings.ReplaceAll(unit, " ", "")]
	if err != nil || !known || v < 0 {
		return 0, note.Fault("bad-absorbance", "%q is no absorbance", s).Do(`write it like "0.12 1/cm" or "12 1/m"`)
	}
	return v * per, nil
}

// water is what the flags say of today's water.
func (f trackFlags) water() history.Water {
	w := history.Water{}
	if f.turbidity > 0 {
		w[jartest.Turbidity] = float64(f.turbidity)
	}
	if f.temperature.OK {
		w[jartest.TemperatureKey] = float64(f.temperature.V)
	}
	if f.alkalinity.OK {
		w[jartest.AlkalinityKey] = float64(f.alkalinity.V)
	}
	if f.uv254.OK {
		w[jartest.UV254] = f.uv254.V
	}
	return w
}

// track reads past tests and shows what they say together.
func (e *env) track(f trackFlags, names []string) error {
	w := f.water()
	if _, ok := w[jartest.Turbidity]; !ok && len(w) > 0 {
		return badUsage(`say how turbid today's water is too: --raw "85 NTU"`)
	}
	r, logs, files, err := e.pastTests(f.fit, names)
	if err != nil {
		return err
	}
	r.Water = w
	more, err := e.upkeep(&r, logs, f.site)
	if err != nil {
		return err
	}
	files = append(files, more...)
	if r.Sure = f.fit.sure; r.Sure == 0 {
		r.Sure = history.Confidence
	}
	if f.fnu {
		r.Notes.Add(note.New(note.Info, "fnu", "FNU counts as NTU").At(note.Place{Cell: "--raw"}))
	}
	r.Predict()
	for i := range r.Predictions {
		r.Predictions[i].Age(month.DateOf(e.today()))
	}
	if err := e.emit(r, files...); err != nil {
		return err
	}
	if len(r.Skipped) > 0 {
		complain(e.Err, r.Skipped, e.shown)
		e.say("jarwright: %d of %d files skipped, each with its reason above", len(r.Skipped), r.Files)
	}
	if len(w) > 0 && !r.Planned() {
		e.noAnswer()
	}
	return nil
}

// pastTests reads every bench sheet of files and folders. Nothing of a sheet is kept but the lines of its tests, so that
// thousands need little memory; each processor reads a file at a time, and the answer does not hang on their order.
// Operating logs among them are given beside the report.
func (e *env) pastTests(f fitFlags, names []string) (r templates.TrackReport, logs []logbook.Log, files []string, err error) {
	opt, err := f.options()
	if err != nil {
		return r, nil, nil, err
	}
	opt.OnlyTarget = true // other readings change no dose
	files, r.Others, err = e.sheetsIn(names)
	if err != nil {
		return r, nil, nil, err
	}
	read := make([]oneFile, len(files))
	var next, done atomic.Int64
	defer e.telling(func() string { return readingFiles(len(files), done.Load()) })()
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(files)) {
		wg.Go(func() {
			for i := next.Add(1) - 1; int(i) < len(files) && e.stopped() == nil; i = next.Add(1) - 1 {
				read[i] = e.readPast(files[i], f, opt)
				done.Add(1)
			}
		})
	}
	wg.Wait()
	if err := e.stopped(); err != nil {
		return r, nil, nil, err
	}
	r.Files = len(files)
	looked := len(files) + len(r.Others)
	var tests []history.Test
	cautions := map[string][]note.Note{}
	var codes []string
	for _, x := range read {
		if usage := (usageError{}); errors.As(x.err, &usage) {
			return r, nil, nil, x.err
		}
		tests = append(tests, x.tests...)
		logs = append(logs, x.log...)
		r.Skipped.Add(x.skipped...)
		r.Others = append(r.Others, x.other...)
		for _, n := range x.cautions {
			if len(cautions[n.Code]) == 0 {
				codes = append(codes, n.Code)
			}
			cautions[n.Code] = append(cautions[n.Code], n)
		}
	}
	if len(tests)+len(logs) == 0 {
		if len(r.Skipped) > 0 {
			return r, nil, nil, saidOnce(r.Skipped)
		}
		return r, nil, nil, note.Fault("no-series", "no jar test and no operating log was found in %s", either(looked == 1, "it", fmt.Sprintf("%d files", looked))).At(note.Place{File: names[0]}).
			Do("name the files or the folder of your bench sheets")
	}
	slices.Sort(r.Others)
	slices.Sort(codes)
	for _, code := range codes {
		l := cautions[code]
		n := l[0]
		if len(l) > 1 {
			n = n.Also("%sthe same is said of %d more file%s", either(n.Remedy == "", "", "; "), len(l)-1, either(len(l) == 2, "", "s"))
		}
		r.Notes.Add(n)
	}
	r.History = history.Gather(tests, product.Default())
	return r, logs, files, nil
}

// saidOnce tells what is said of several files by the first of them.
func saidOnce(l note.List) (out note.List) {
	said := func(n note.Note) string { return n.Code + n.Message }
	of := map[string]int{}
	for _, n := range l {
		if of[said(n)]++; of[said(n)] == 1 {
			out.Add(n)
		}
	}
	for i, n := range out {
		if more := of[said(n)] - 1; more > 0 {
			out[i] = n.Also("%sthe same is said of %d more file%s", either(n.Remedy == "", "", "; "), more, either(more == 1, "", "s"))
		}
	}
	return out
}

// oneFile is what a file of past tests gave.
type oneFile struct {
	tests    []history.Test
	cautions note.List // the first of each code
	skipped  note.List // why the file is left out
	other    []string  // the name of a file that is something else
	log      []logbook.Log
	err      error
}

// noTest are faults of files that hold no test and need none: sites, logs and results, and sheets still to be filled in.
var noTest = []string{"wrong-file", "results-file", "no-numbers"}

// readingFiles tells how far the reading of so many files is.
func readingFiles(all int, done int64) string {
	if all == 1 {
		return fmt.Sprintf("reading 1 file, %d done", done)
	}
	return fmt.Sprintf("reading %d files, %d done", all, done)
}

// readPast reads one file and fits its series, the very way that fit does.
func (e *env) readPast(name string, f fitFlags, opt curve.Options) (out oneFile) {
	data, err := e.readInput(name)
	if err != nil {
		out.err, out.skipped = err, note.Of(err, "cannot-read")
		return out
	}
	b := f.bench
	b.Columns = slices.Clone(b.Columns)
	r, err := sheet.Read(name, bytes.NewReader(data), b)
	if err == nil {
		err = r.Notes.Err()
	}
	if err == nil && len(r.Series) == 0 {
		err = note.Fault("no-series", "no jar test was found").At(note.Place{File: name}).Do("look at what was understood with: jarwright read %s", name)
	}
	if err != nil {
		var nearly note.List
		if !isSite(name, data) { // whose table of drawdowns looks like a log
			l, bad := logbook.Read(name, bytes.NewReader(data))
			if bad == nil {
				out.log = []logbook.Log{l}
				return out
			}
			switch n := note.Of(bad, "cannot-read"); {
			case n[0].Code == logbook.NearlyLog && len(r.Series) == 0:
				nearly = n[:1]
			case n[0].Code != logbook.NoLog && n[0].Code != logbook.NearlyLog && len(l.File) > 0:
				out.skipped = n.Only(note.Error)[:1]
				return out
			}
		}
		l := note.Of(unlike(err, &benchFile, name, data), "cannot-read").Only(note.Error)
		if !slices.ContainsFunc(l, func(n note.Note) bool { return !slices.Contains(noTest, n.Code) }) {
			out.other = []string{name}
			return out
		}
		if strings.EqualFold(filepath.Ext(name), ".txt") && !slices.ContainsFunc(l, func(n note.Note) bool { return n.Code != "no-jars" }) { // notes somebody keeps beside the sheets
			out.other = []string{name}
			return out
		}
		if len(nearly) > 0 {
			out.skipped = nearly
			return out
		}
		if len(l) > 1 {
			l[0] = l[0].Also("%s%d more problem(s) in this file", either(l[0].Remedy == "", "", "; "), len(l)-1)
		}
		out.skipped = l[:min(1, len(l))]
		return out
	}
	for _, n := range r.Notes {
		if n.Level == note.Caution && !slices.ContainsFunc(out.cautions, func(m note.Note) bool { return m.Code == n.Code }) {
			out.cautions.Add(n)
		}
	}
	single, surfaces, err := f.pairs.split(e.stopped, r.Series, f.targets, opt)
	if err != nil {
		out.err, out.skipped = err, note.Of(err, "cannot-fit")
		return out
	}
	for i, x := range curve.AnalyseAll(single, f.targets, opt) {
		if bad := x.Notes.Only(note.Error); len(bad) > 0 {
			out.skipped.Add(bad[0])
			continue
		}
		out.tests = append(out.tests, history.Of(single[i], x))
	}
	for _, x := range surfaces {
		s := jartest.Series{Name: x.Series, Place: x.Place}
		if i := slices.IndexFunc(r.Series, func(s jartest.Series) bool { return s.Place == x.Place }); i >= 0 {
			s = r.Series[i]
		}
		out.tests = append(out.tests, history.OfPair(s, x))
	}
	return out
}

// benchEndings are the files of a folder that are looked into.
var benchEndings = []string{".xlsx", ".xlsm", ".csv", ".tsv", ".txt"}

// sheetsIn are the files named and those in folders named, each once and in the order of their names; others are files
// in folders that are no sheets by their ending.
func (e *env) sheetsIn(names []string) (files, others []string, err error) {
	var in func(name string, named bool) error
	in = func(name string, named bool) error {
		list, folder, err := e.folder(name)
		switch base := filepath.Base(name); {
		case err != nil && named:
			return err
		case folder:
			for _, x := range list {
				if err := in(filepath.Join(name, x), false); err != nil {
					return err
				}
			}
		case named:
			files = append(files, filepath.Clean(name))
		case strings.HasPrefix(base, ".") || strings.HasPrefix(base, "~$"): // of the system, or of a program that has the file open
		case slices.Contains(benchEndings, strings.ToLower(filepath.Ext(base))):
			files = append(files, filepath.Clean(name))
		default:
			others = append(others, name)
		}
		return nil
	}
	for _, n := range names {
		if err := in(n, true); err != nil {
			return nil, nil, err
		}
	}
	slices.Sort(files)
	slices.Sort(others)
	return slices.Compact(files), slices.Compact(others), nil
}

// folder lists what is in a folder; false for what is none. Links to folders are not followed, so that none leads round in a ring.
func (e *env) folder(name string) (list []string, folder bool, err error) {
	if name == "-" {
		return nil, false, nil
	}
	f, err := e.files().Open(name)
	if err != nil {
		return nil, false, note.Fault("cannot-read", "cannot be read: %s", plain(err)).At(note.Place{File: name}).Do("check the name and the folder")
	}
	defer func() { _ = f.Close() }() // only read from
	d, ok := f.(fs.ReadDirFile)
	if info, err := f.Stat(); err != nil || !info.IsDir() || !ok {
		return nil, false, nil
	}
	entries, err := d.ReadDir(-1)
	if err != nil {
		return nil, true, note.Fault("cannot-read", "cannot be listed: %s", plain(err)).At(note.Place{File: name})
	}
	for _, x := range entries {
		if !strings.HasPrefix(x.Name(), ".") && !(x.Type()&fs.ModeSymlink != 0 && e.isFolder(filepath.Join(name, x.Name()))) {
			list = append(list, x.Name())
		}
	}
	slices.Sort(list)
	return list, true, nil
}

// isFolder reports that a name leads to a folder.
func (e *env) isFolder(name string) bool {
	f, err := e.files().Open(name)
	if err != nil {
		return false
	}
	defer func() { _ = f.Close() }() // only looked at
	info, err := f.Stat()
	return err == nil && info.IsDir()
}
