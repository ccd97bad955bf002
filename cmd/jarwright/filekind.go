package main

import (
	"bytes"
	"path/filepath"
	"slices"
	"strings"

	"jarwright/dosing/bioassay"
	"jarwright/dosing/clearing"
	"jarwright/dosing/flow"
	"jarwright/dosing/site"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/sheet"
)

// fileKind is a kind of file that commands take, and how it is told from the others.
type fileKind struct {
	what, remedy string
	is           func(name string, data []byte) bool
}

var (
	siteFile  = fileKind{"a site workbook", "give it to plan, clarify, pump or budget", isSite}
	benchFile = fileKind{"a bench sheet", `give it to read, fit, next or compare; a site names it as "bench sheet" under Chemicals`, isBench}
	trialFile = fileKind{"a trial on animals", "give it to trial", isTrial}
	unitLog   = fileKind{"the log of a clearing tank", "give it to trial", isUnitLog}
	plantLog  = fileKind{"a plant's operating log", "give it to track", isOperatingLog}
	meterLog  = fileKind{"a meter log", `name it as "meter log" of a site, under Flow, and give the site to plan`, isLog}
)

// kindsOfFile are looked for in this order: a site holds tables that look like others.
var kindsOfFile = []*fileKind{&siteFile, &trialFile, &plantLog, &meterLog, &benchFile, &unitLog}

// unlike says of a file that could not be read as the wanted kind what kind it looks like; with
// nothing to say it gives the error as it is.
func unlike(err error, wanted *fileKind, name string, data []byte) error {
	if err == nil {
		return nil
	}
	for _, k := range kindsOfFile {
		if k != wanted && k.is(name, data) {
			return note.Fault("wrong-file", "looks like %s, not like %s", k.what, wanted.what).At(note.Place{File: name}).Do("%s", k.remedy)
		}
	}
	return err
}

// isSite reports a file with two sheets or more that are a site's, filled in or not.
func isSite(name string, data []byte) bool {
	var tabs []string
	switch strings.ToLower(filepath.Ext(name)) {
	case ".yaml", ".yml":
		for line := range strings.Lines(string(data)) {
			if title, _, heads := strings.Cut(line, ":"); heads {
				tabs = append(tabs, title)
			}
		}
	default:
		f, err := grid.Open(name, data, grid.Words{})
		if err != nil {
			return false
		}
		for _, s := range f.Sheets {
			tabs = append(tabs, s.Name)
		}
	}
	n := 0
	for _, s := range site.Sheets() {
		if slices.ContainsFunc(tabs, func(tab string) bool { return strings.EqualFold(tab, s.Name) }) {
			n++
		}
	}
	return n > 1
}

// isBench reports a file with jars in it.
func isBench(name string, data []byte) bool {
	r, err := sheet.Read(name, bytes.NewReader(data), sheet.Options{})
	return err == nil && len(r.Series) > 0
}

// isTrial reports a file with animals and their dead in it.
func isTrial(name string, data []byte) bool {
	t, err := bioassay.Read(name, bytes.NewReader(data))
	return err == nil && len(t) > 0
}

// isUnitLog reports a file with readings of a tank by their time.
func isUnitLog(name string, data []byte) bool {
	t, err := clearing.Read(name, bytes.NewReader(data))
	return err == nil && len(t.Runs) > 0
}

// isLog reports a file with flows by their time.
func isLog(name string, data []byte) bool {
	_, err := flow.Read(name, bytes.NewReader(data), flow.Options{})
	return err == nil
}
