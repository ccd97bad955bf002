package serve

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/desk"
	"jarwright/templates/plain"
)

// typedFlags are the fields of a typed test that are flags of "new bench" as they stand; what
// the doses count is asked and never taken for granted.
var typedFlags = []desk.Field{
	{Name: "name", Label: "Name of the test", Hint: "Tuesday, after the rain"},
	{Name: "date", Label: "Day", Day: true},
	{Name: "chemical", Label: "Chemical", Hint: "alum", Needed: true},
	{Name: "basis", Label: "The doses count", Options: bases("choose"), Needed: true, Help: "As the recipe of the stock says: of a drum or bag as it was weighed out or measured, “as product”."},
	{Name: "stock", Label: "Strength of the stock", Units: []string{"g/L", "% w/v", "lb/gal", "oz/gal"}},
	{Name: "jar-volume", Label: "Water in a jar", Units: []string{"L", "mL", "gal", "fl oz"}},
	{Name: "target", Label: "Target", Hint: "turbidity at most 5 NTU"},
}

// typedWater are the readings of the raw water that are asked for.
var typedWater = []desk.Field{
	{Name: "turbidity", Label: "Turbidity", Unit: "NTU"},
	{Name: "ph", Label: "pH"},
	{Name: "alkalinity", Label: "Alkalinity", Unit: "mg/L CaCO3"},
	{Name: "temperature", Label: "Temperature", Units: []string{"°C", "°F"}},
}

// unitUS is which of the units of a field it is asked in where US units are; elsewhere it is the first.
var unitUS = map[string]string{"stock": "lb/gal", "jar-volume": "gal", "temperature": "°F"}

// unitIn is a field of typed jars in the unit that was chosen beside it, else in that of the system.
func unitIn(f desk.Field, name string, typed url.Values, system quantity.System) desk.Field {
	if len(f.Units) == 0 {
		return f
	}
	f.Unit = f.Units[0]
	if system == quantity.US {
		f.Unit = unitUS[f.Name]
	}
	if x := typed.Get(name + unitSuffix); slices.Contains(f.Units, x) && typed.Get(name) != "" {
		f.Unit = x
	}
	return f
}

// typedColumns are the columns of the grid.
var typedColumns = []desk.Field{{Name: "dose", Label: "dose"}, {Name: "first", Label: "reading 1"}, {Name: "second", Label: "reading 2"},
	{Name: "acid", Label: "pH"}, {Name: "left", Label: "residual"}, {Name: "remark", Label: "remark", Words: true}}

// cellName is the name of a field of the grid, in the i-th row from 0.
func cellName(column string, i int) string { return fmt.Sprintf("%s-%d", column, i+1) }

// Jars of a grid: how many at first, how many more at a time, and at most.
const jarsFirst, jarsMore, jarsMost = 6, 6, 24

// The keys of an address of typed jars: what was typed, how many rows there are, whether it is held against the program, whether it is to be given up.
const typedKey, rowsKey, anewKey, droppedKey = "typed", "rows", "anew", "dropped"

// jarsFile is what was typed of jars, as long as it is no workbook yet.
const jarsFile = "typed jars"

// askJars shows the grid, empty or with what was typed.
func (s *Server) askJars(w http.ResponseWriter, r *http.Request) {
	st, q := s.stateOf(r.URL.Query()), r.URL.Query()
	typed := url.Values{}
	if f, ok := s.shelf.get(q.Get(typedKey)); ok && f.Kind == desk.Answers {
		typed, _ = url.ParseQuery(string(f.Data)) // written by ourselves
	}
	if q.Has(droppedKey) {
		s.shelf.keep(q.Get(droppedKey))
	}
	rows := jarsFirst
	for rows < jarsMost && (typed.Has(cellName("dose", rows)) || typed.Get(rowsKey) > fmt.Sprintf("%02d", rows)) {
		rows++
	}
	if back := withQuery(st.at("/jars"), typedKey, q.Get(typedKey)); q.Has(anewKey) && len(typed) > 0 {
		s.sure(w, st, "/bench", desk.Sure{Title: "Begin anew?", Why: "What you typed of this test is not saved, and would be gone.",
			Yes: desk.Link{Title: "Begin anew", Address: withQuery(st.at("/jars"), droppedKey, q.Get(typedKey))}, Forget: "jars", No: desk.Link{Title: "Keep what I typed", Address: back}})
		return
	}
	if !q.Has(checkKey) {
		s.showJars(w, st, q.Get(typedKey), typed, rows, Answer{}, nil)
		return
	}
	args, jars, _ := typedArgs(typed, rows, st.system())
	j, err := s.run(state{}, args, client(r))
	if !s.waited(w, r, st, "/bench", j, err) {
		return
	}
	s.showJars(w, st, q.Get(typedKey), typed, rows, j.answer, jars)
}

// takeJars keeps what was typed and makes a bench workbook of it, or leads back to it, with what is wrong.
func (s *Server) takeJars(w http.ResponseWriter, r *http.Request) {
	fields, _, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	rows := jarsFirst
	for rows < jarsMost && fields.Has(cellName("dose", rows)) {
		rows++
	}
	do, empty := fields.Get("do"), true
	if aim := fields.Get(aimKey); aim != "" {
		fields.Set("target", aim)
	}
	for k, v := range fields {
		if strings.HasSuffix(k, unitSuffix) {
			continue // which stands beside an empty box too
		}
		if k = strings.TrimRight(k, "0123456789"); strings.HasSuffix(k, "-") || strings.HasPrefix(k, "raw-") || slices.ContainsFunc(typedFlags, func(f desk.Field) bool { return f.Name == k }) {
			empty = empty && strings.Join(v, "") == ""
		}
	}
	s.shelf.keep(fields.Get(typedKey)) // which this takes the place of
	system := fields.Get(systemKey)
	for _, k := range []string{"token", deskKey, "do", aimKey, typedKey, systemKey} {
		fields.Del(k)
	}
	if do == "more" {
		fields.Set(rowsKey, fmt.Sprintf("%02d", min(rows+jarsMore, jarsMost)))
	}
	draft := s.shelf.put(File{Name: jarsFile, Kind: desk.Answers, Made: !empty, Data: []byte(fields.Encode())})
	back := withQuery(st.at("/jars"), typedKey, draft.ID)
	switch {
	case do == "anew" && empty:
		http.Redirect(w, r, st.at("/jars"), http.StatusSeeOther)
		return
	case do == "anew":
		http.Redirect(w, r, withQuery(back, anewKey, "yes"), http.StatusSeeOther)
		return
	case system != "":
		to := st.set("units", strings.TrimSuffix(system, site.UnitsMetric))
		http.Redirect(w, r, withQuery(to.at("/jars"), typedKey, draft.ID), http.StatusSeeOther)
		return
	case do == "more":
		http.Redirect(w, r, back, http.StatusSeeOther)
		return
	case offered(fields).Value != "":
		http.Redirect(w, r, withQuery(back, checkKey, "yes"), http.StatusSeeOther)
		return
	}
	args, _, name := typedArgs(fields, rows, st.system())
	j, err := s.run(state{}, args, client(r))
	if !s.waited(w, r, st, "/bench", j, err) {
		return
	}
	if a := j.answer; a.Err != nil || len(a.Wrote) == 0 {
		http.Redirect(w, r, withQuery(back, checkKey, "yes"), http.StatusSeeOther)
		return
	}
	s.shelf.keep(draft.ID)
	f := s.shelf.put(File{Name: name, Data: j.answer.Wrote[0].Data, Kind: desk.Bench, Made: true})
	http.Redirect(w, r, st.with(f).at("/bench"), http.StatusSeeOther)
}

// aimKey takes the target that was offered for a bare number.
const aimKey = "aim"

// offered is the target that a number without a unit most likely means, of the reading that the jars have: it is asked and
// never taken for granted. Without a value there is nothing to ask.
func offered(typed url.Values) desk.Choice {
	m := bareGoal.FindStringSubmatch(pointed(strings.TrimSpace(typed.Get("target"))))
	kind := jartest.Key(cmp.Or(typed.Get("kind"), string(jartest.Turbidity)))
	if m == nil || !kind.Known() {
		return desk.Choice{}
	}
	target := goalOf(kind, m[1], m[2])
	return desk.Choice{Value: target, Title: plain.Paper(target)}
}

// typedArgs is the command that writes what was typed, the row of the grid of each of its jars,
// and the name of the file.
func typedArgs(fields url.Values, rows int, system quantity.System) (args []string, jars []int, name string) {
	get := func(k string) string { return pointed(strings.TrimSpace(fields.Get(k))) }
	name = cleanName(cmp.Or(get("name"), "jars")) + ".xlsx"
	kind, metal := cmp.Or(get("kind"), string(jartest.Turbidity)), get("metal")
	args = []string{"new", "bench", name}
	for _, f := range typedFlags {
		if v := get(f.Name); v != "" {
			if v = withUnit(unitIn(f, f.Name, fields, system), v); f.Name == "target" {
				v = asSaid(v)
			}
			args = append(args, "--"+f.Name, v)
		}
	}
	readings := kind + ",ph"
	if metal != "" {
		readings += "," + metal
	}
	args = append(args, "--readings", readings)
	for _, f := range typedWater {
		if v := get("raw-" + f.Name); v != "" {
			args = append(args, "--raw", f.Name+"="+withUnit(unitIn(f, "raw-"+f.Name, fields, system), v)) // one with a unit of its own keeps it
		}
	}
	for i := range rows {
		cells := make([]string, len(typedColumns))
		for k, c := range typedColumns {
			cells[k] = strings.ReplaceAll(strings.TrimSpace(fields.Get(cellName(c.Name, i))), ";", ",")
			if !c.Words {
				cells[k] = pointed(cells[k])
			}
		}
		if strings.Join(cells, "") == "" {
			continue
		}
		if bareNumber.MatchString(cells[0]) { // one with a unit of its own keeps it
			cells[0] += " " + cmp.Or(get("unit"), "mg/L")
		}
		if metal == "" {
			cells = slices.Delete(cells, 4, 5)
		}
		jars = append(jars, i)
		args = append(args, "--jar", strings.TrimRight(strings.Join(cells, "; "), "; "))
	}
	return append(args, "--jars", strconv.Itoa(cmp.Or(len(jars), rows))), jars, name // rows that were left empty are no jars
}

// jarAt finds the jar and the column that a fault names.
var jarAt = regexp.MustCompile(`^jar (\d+)(?:, (.*))?$`)

// columnOf is the column of the grid that a fault calls by the name of a reading.
func columnOf(name string) string {
	switch {
	case name == "dose", name == "remark":
		return name
	case strings.HasSuffix(name, " 1"):
		return "first"
	case strings.HasSuffix(name, " 2"):
		return "second"
	case name == jartest.PH.Info().Label:
		return "acid"
	}
	return "left"
}

// inGrid is what is said of typed jars: their fields stand on the same page.
func inGrid(says string) string {
	return strings.ReplaceAll(says, " under “Read it otherwise”", "")
}

// showJars shows the grid with what was typed and, beside each field, what is wrong with it.
func (s *Server) showJars(w http.ResponseWriter, st state, draft string, typed url.Values, rows int, a Answer, jars []int) {
	p := s.pageOf(st, "/bench")
	p.Title = "Type jars"
	wrong := faults(a)
	offer := offered(typed)
	if offer.Value != "" { // the question stands at the field instead
		wrong = slices.DeleteFunc(wrong, func(n note.Note) bool { return strings.Contains(n.Message, "--target") })
	}
	asked := offer.Value != "" && a.Code != 0
	g := desk.Jars{Page: p, Draft: draft, Kind: cmp.Or(typed.Get("kind"), string(jartest.Turbidity)), Unit: cmp.Or(typed.Get("unit"), "mg/L"),
		Units:  []desk.Choice{{Value: "mg/L", Title: "mg/L"}, {Value: "mL", Title: "mL of stock"}, {Value: "g/L", Title: "g/L"}},
		Left:   []desk.Choice{{Value: string(jartest.ResidualAl), Title: "aluminium, mg/L"}, {Value: string(jartest.ResidualFe), Title: "iron, mg/L"}, {Value: "", Title: "neither: not read"}},
		System: st.unitsAsked(), Fresh: len(typed) == 0, More: rows < jarsMost, Faults: len(wrong), Columns: slices.Clone(typedColumns)}
	for _, u := range unitChoices[1:] {
		g.Systems = append(g.Systems, desk.Option{Title: u.Says, Value: u.Value, Here: u.Value == g.System})
	}
	if g.Metal = string(jartest.ResidualAl); typed.Has("metal") {
		g.Metal = typed.Get("metal")
	}
	for _, i := range jartest.Keys() {
		if i.LowIsGood && i.Key != jartest.ResidualAl && i.Key != jartest.ResidualFe {
			g.Kinds = append(g.Kinds, desk.Choice{Value: string(i.Key), Title: strings.TrimSuffix(i.Label+", "+i.Unit, ", ")})
		}
	}
	cells := map[string]string{}
	for _, n := range wrong {
		says := inGrid(sentence(n.Message, n.Remedy))
		switch at := jarAt.FindStringSubmatch(n.Place.Cell); {
		case at != nil:
			no, _ := strconv.Atoi(at[1])
			if no < 1 || no > len(jars) {
				g.Wrong = append(g.Wrong, says)
				continue
			}
			cells[cellName(columnOf(at[2]), jars[no-1])] = says
		case strings.HasPrefix(n.Place.Cell, "raw "):
			cells[n.Place.Cell] = says
		case n.Code == "basis-missing":
			cells["basis"] = "Choose what the doses count: it stands on the label or in the recipe of the stock."
		case n.Code == "stock-missing":
			cells["stock"] = says
		default:
			g.Wrong = append(g.Wrong, says)
		}
	}
	told, _ := filledIn(typedFlags, typed, wrong)
	for _, f := range told {
		f = unitIn(f, f.Name, typed, st.system())
		if f.Error = inGrid(f.Error); f.Error == "" {
			f.Error = cells[f.Name]
		} else { // it stands at its field
			g.Wrong = slices.DeleteFunc(g.Wrong, func(says string) bool { return says == f.Error })
		}
		if f.Name == "target" && asked {
			f.Error, f.Offer = "A number alone does not say of what. Is this meant?", offer
			g.Faults = len(wrong) + 1
		}
		g.Told = append(g.Told, f)
	}
	for _, f := range typedWater {
		f = unitIn(f, "raw-"+f.Name, typed, st.system())
		f.Error, f.Value, f.Name = cells["raw "+jartest.Key(f.Name).Info().Label], typed.Get("raw-"+f.Name), "raw-"+f.Name
		g.Water = append(g.Water, f)
	}
	for i := range rows {
		jar := desk.Jar{No: i + 1}
		for _, c := range typedColumns {
			c.Error, c.Name = cells[cellName(c.Name, i)], cellName(c.Name, i)
			c.Value = typed.Get(c.Name)
			jar.Cells = append(jar.Cells, c)
		}
		g.Rows = append(g.Rows, jar)
	}
	body, err := g.Write()
	s.write(w, p, body, err, http.StatusOK)
}
