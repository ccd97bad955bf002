package serve

import (
	"bytes"
	"context"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/templates"
	"jarwright/templates/desk"
)

// benchKey is the flag of the bench sheet that a site's dose is taken from in place of what the site says.
const benchKey = "bench"

// dosed is a chemical of a site, and the bench sheet that it names; stated is true of one whose dose the site says itself.
type dosed struct {
	chemical, bench string
	stated          bool
}

// dosesOf are the chemicals of a site whose doses come from a bench sheet; where none does, all that it doses.
func dosesOf(f File) (out []dosed) {
	s, _ := site.Read(f.Name, bytes.NewReader(f.Data)) // what is wrong with it the answer itself says
	for _, c := range s.Chemicals {
		out = append(out, dosed{c.Name.V, c.Bench.V, !c.Bench.OK || c.Dose.OK || c.Fed.OK || c.Hand.OK})
	}
	if takes := slices.DeleteFunc(slices.Clone(out), func(d dosed) bool { return d.stated }); len(takes) > 0 {
		return takes
	}
	return out
}

// source leads to a site's answer by another bench sheet; the empty file is what the site itself says.
type source struct {
	file string
	desk.Link
}

// rests is what the sources are, for the page.
func (st state) rests(path string) (r desk.Rests) {
	says, list, other := st.sources(path)
	r.Says, r.Other = says, other
	for _, x := range list {
		r.Offers = append(r.Offers, x.Link)
	}
	return r
}

// sources says which sheet the dose of the site on the desk rests on, where a bench sheet lies on the desk, and offers each other one:
// a plan is never made on another test than the one that somebody has just looked at without saying so. Other tells that one lies
// there which is not used.
func (st state) sources(path string) (rests string, list []source, other bool) {
	sheets := st.of(desk.Bench)
	i := slices.IndexFunc(st.Files, func(f File) bool { return f.Kind == desk.Site })
	if i < 0 || len(sheets) == 0 {
		return "", nil, false
	}
	doses := st.Files[i].doses
	var says []string
	var groups []dosed // what takes another sheet together
	for _, d := range doses {
		k := slices.IndexFunc(groups, func(g dosed) bool { return g.bench == d.bench && !g.stated && !d.stated })
		if k < 0 {
			groups = append(groups, d)
		} else {
			groups[k].chemical += " and " + d.chemical
		}
	}
	for _, g := range groups {
		said, now := "", g.bench
		for _, b := range st.Flags[benchKey] {
			if name, file, named := strings.Cut(b, "="); !named {
				said = b
			} else if name == g.chemical {
				said = file
			}
		}
		own := "The dose of " + g.chemical + " is from " + g.bench + ", which the site names."
		switch {
		case g.stated:
			now, own = "", "The dose of "+g.chemical+" is the one that the site states, from no bench sheet."
		case !slices.ContainsFunc(st.Files, func(f File) bool { return strings.EqualFold(f.Name, g.bench) }):
			own = "The site takes the dose of " + g.chemical + " from " + g.bench + ", which is not open here."
		}
		if said != "" {
			now, own = said, "The dose of "+g.chemical+" is from "+said+", "+instead(g)+"."
			back := "Use " + g.bench + " again, as the site says"
			if g.stated {
				back = "Use the dose that the site states"
			}
			list = append(list, source{"", desk.Link{Title: back, Address: st.onBench(g, "", len(groups)).at(path)}})
		}
		says = append(says, own)
		for _, f := range sheets {
			if strings.EqualFold(f, now) || strings.EqualFold(f, g.bench) && !g.stated {
				continue
			}
			title := "Use " + f + " for this site"
			if len(groups) > 1 {
				title = fmt.Sprintf("Use %s for %s of this site", f, g.chemical)
			}
			list = append(list, source{f, desk.Link{Title: title, Address: st.onBench(g, f, len(groups)).at(path)}})
			other = other || said == ""
		}
	}
	return strings.Join(says, " "), list, other
}

// ownReading are the flags by which a sheet is read otherwise than it stands and that no site can say, so that its commands would
// read the sheet without them.
var ownReading = []string{"sheet", "range", "hidden", "stock", "density", "jar-volume", "column", "sheet-decimal"}

// readOtherwise says why a command for a site has no answer: its dose is of a sheet that was corrected under Bench, and the command would
// read the sheet as it stands, which is another dose.
func (st state) readOtherwise(command string) (why note.Note, is bool) {
	if !slices.ContainsFunc(steps, func(p step) bool { return p.of == desk.Site && len(p.command) > 0 && p.command[0] == command }) {
		return why, false
	}
	var how []string
	for _, flag := range ownReading {
		label := "column"
		if i := slices.IndexFunc(readingFields, func(f desk.Field) bool { return f.Name == flag }); i >= 0 {
			label = readingFields[i].Label
		}
		for _, v := range st.Flags[flag] {
			how = append(how, label+": "+v)
		}
	}
	i := slices.IndexFunc(st.Files, func(f File) bool { return f.Kind == desk.Site })
	if len(how) == 0 || i < 0 {
		return why, false
	}
	takes := func(sheet string) bool {
		return slices.ContainsFunc(st.Files[i].doses, func(d dosed) bool { return !d.stated && strings.EqualFold(d.bench, sheet) }) ||
			slices.ContainsFunc(st.Flags[benchKey], func(b string) bool { return strings.EqualFold(b[strings.LastIndex(b, "=")+1:], sheet) })
	}
	for _, sheet := range st.of(desk.Bench) {
		if takes(sheet) {
			return note.Fault("read-otherwise", "Under “Bench” %s is read otherwise than it stands (%s). A site takes its dose from the sheet as it stands, and that is another dose", sheet, strings.Join(how, "; ")).
				Do("write it into the sheet itself and drop the sheet again, or take back what was changed under “Bench”"), true
		}
	}
	return why, false
}

// readsAlike reports that the bench sheets say the same with what was changed under Bench and without it, as where a heading was confirmed.
func (s *Server) readsAlike(ctx context.Context, st state) bool {
	plain := st.clone()
	for _, flag := range ownReading {
		plain.Flags.Del(flag)
	}
	var said [2][]jartest.Series
	for i, x := range []state{st, plain} {
		read, ok := s.Program(ctx, Call{Args: stepArgs("/bench", x), Files: x.read(), Reads: s.reads}).Report.(templates.ReadCells)
		if !ok {
			return false
		}
		for _, one := range read.Series {
			one.Notes, one.Meta, one.Jars = nil, nil, slices.Clone(one.Jars)
			for k := range one.Jars {
				one.Jars[k].Said = nil
			}
			said[i] = append(said[i], one)
		}
	}
	return reflect.DeepEqual(said[0], said[1])
}

// usable leads to the day of the site on the desk by each sheet that gives a dose and that the site is not planned on.
func (st state) usable(given map[string]bool) (out []desk.Link) {
	if _, list, other := st.sources("/day"); other {
		for _, x := range list {
			if given[x.file] {
				out = append(out, x.Link)
			}
		}
	}
	return out
}

// instead is what a sheet that was asked for takes the place of.
func instead(g dosed) string {
	if g.stated {
		return "in place of the dose that the site states"
	}
	return "in place of " + g.bench + ", which the site names"
}

// onBench is the state in which what doses together takes its dose from a file, or, without one, from where the site says.
func (st state) onBench(g dosed, file string, groups int) state {
	st = st.clone()
	of := g.chemical + "="
	if groups == 1 {
		of = ""
	}
	st.Flags[benchKey] = slices.DeleteFunc(st.Flags[benchKey], func(b string) bool { return groups == 1 || strings.HasPrefix(b, of) })
	if file != "" {
		st.Flags[benchKey] = append(st.Flags[benchKey], of+file)
	}
	if len(st.Flags[benchKey]) == 0 {
		st.Flags.Del(benchKey)
	}
	return st
}
