package serve

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/templates"
	"jarwright/templates/desk"
)

// unitChoices are the units that answers are shown in.
var unitChoices = []desk.Stop{{Value: "", Says: "as the site says"}, {Value: "metric", Says: "metric"}, {Value: "us", Says: "US"}}

// besideDay are the day and its units, its cards to print, and what else the site answers.
func (s *Server) besideDay(_ *http.Request, st state, j *job) desk.Side {
	return desk.Side{Action: "/day", Kept: st.kept("date", "units", "raw"), Send: "Show the day with these", Print: printed(st, "/day", j),
		Asks: []desk.Ask{st.askDay(j), st.askRaw(),
			{Name: "units", Label: "Units", Value: st.Flags.Get("units"), Choices: unitChoices}},
		More: append(st.risks(j), st.others("/day", st.changeSite())...)}
}

// stopOf is the rule of a stop that somebody may take the risk of.
func stopOf(code string) (caution.Rule, bool) {
	all := caution.Rules()
	i := slices.IndexFunc(all, func(r caution.Rule) bool { return r.ID == code && r.Accepter != "" })
	if i < 0 {
		return caution.Rule{}, false
	}
	return all[i], true
}

// risks lead from each stop of a plan to the form of its site, where somebody can take the risk of it by name.
func (st state) risks(j *job) (out []desk.Link) {
	if !st.formed() {
		return nil
	}
	var doc struct {
		Notes []struct{ Level, Code string }
	}
	j.document(&doc)
	seen := map[string]bool{}
	for _, n := range doc.Notes {
		if stop, ok := stopOf(n.Code); ok && n.Level == "stop" && !seen[n.Code] {
			seen[n.Code] = true
			out = append(out, desk.Link{Title: "Somebody takes the risk: " + stop.When, Address: withQuery(withQuery(st.at("/site"), changeKey, "yes"), takesKey, n.Code)})
		}
	}
	return out
}

// askDay is the question of which day it is; where nothing answers it the question says so.
func (st state) askDay(j *job) desk.Ask {
	a := desk.Ask{Name: "date", Label: "Day", Type: "date", Value: st.Flags.Get("date")}
	if j.answer.Report != nil && !templates.Dated(j.answer.Report, j.answer.Options) {
		a.Hint = undated
	}
	return a
}

// askRaw is the question for today's raw water, which goes before what the site says of it.
func (st state) askRaw() desk.Ask {
	first := waterAsks[0]
	a := desk.Ask{Name: first.flag, Label: first.label, Value: st.Flags.Get(first.flag), Unit: first.unit(st.system()), Hint: "Empty: as the site says."}
	if number, ok := strings.CutSuffix(a.Value, " "+a.Unit); ok {
		a.Value = number
	} else if a.Value != "" {
		a.Unit = "" // it was typed with one of its own
	}
	return a
}

// undated says that neither the site nor this page gives the day.
const undated = "No date given: cards and plan name no day."

// besideTank is what a clean-up can be printed as, and where else to go.
func (s *Server) besideTank(_ *http.Request, st state, j *job) desk.Side {
	return desk.Side{Action: "/tank", Kept: st.kept("date", "units"), Send: "Show", Print: printed(st, "/tank", j),
		Asks: []desk.Ask{st.askDay(j),
			{Name: "units", Label: "Units", Value: st.Flags.Get("units"), Choices: unitChoices}},
		More: st.others("/tank", st.changeSite())}
}

// besideMonth is which month, and how many after it.
func (s *Server) besideMonth(_ *http.Request, st state, j *job) desk.Side {
	month := st.Flags.Get("date")
	return desk.Side{Action: "/month", Kept: st.kept("date", "months", "units"), Send: "Show", Print: printed(st, "/month", j),
		Asks: []desk.Ask{{Name: "date", Label: "Month", Type: "month", Value: month[:min(len(month), len("2006-01"))]},
			{Name: "months", Label: "Months from there", Value: cmp.Or(st.Flags.Get("months"), "1"), Choices: []desk.Stop{{Value: "1", Says: "1"}, {Value: "3", Says: "3"}, {Value: "6", Says: "6"}, {Value: "12", Says: "12"}}},
			{Name: "units", Label: "Units", Value: st.Flags.Get("units"), Choices: unitChoices}},
		More: st.others("/month", st.changeSite())}
}

// changeSite leads to the site: to its form, or, of a workbook that was dropped, to the page that says how that is changed.
func (st state) changeSite() desk.Link {
	if st.formed() {
		return desk.Link{Title: "Change the site", Address: st.at("/site")}
	}
	return desk.Link{Title: "Change a figure of the site", Address: st.at(figuresPath)}
}

// others are links to the other steps that a site answers, with one more.
func (st state) others(here string, more desk.Link) (out []desk.Link) {
	for _, p := range steps {
		if p.of == desk.Site && p.command != nil && p.path != here && p.ready(st) {
			title := p.title
			if p.path == "/day" {
				title = "The day"
			}
			out = append(out, desk.Link{Title: title, Address: st.at(p.path)})
		}
	}
	return append(out, more)
}

// priceKey begins the questions of a form for prices; the chemical's name follows.
const priceKey, currencyKey = "price-", "currency"

// lacksPrice begins what an option of compare lacks where it is a price.
const lacksPrice = "the price of "

// besideCompare are the prices that are missing, and those that were given here.
func (s *Server) besideCompare(_ *http.Request, st state, j *job) desk.Side {
	side := desk.Side{Action: "/compare", Kept: st.kept(), Send: "Compare", More: []desk.Link{{Title: "The dose", Address: st.at("/dose")}}}
	var doc struct {
		Options []struct{ Lacks []string }
	}
	j.document(&doc)
	asked := map[string]string{}
	var names []string
	ask := func(name, value string) {
		if _, ok := asked[name]; !ok {
			names = append(names, name)
			asked[name] = value
		}
	}
	currency := "EUR"
	for _, p := range st.Flags["price"] {
		name, price, _ := strings.Cut(p, "=")
		amount, unit, _ := strings.Cut(price, " ")
		if money, per, ok := strings.Cut(unit, "/"); ok && per == "kg" {
			currency, price = money, amount
		}
		ask(name, price)
	}
	for _, o := range doc.Options {
		for _, l := range o.Lacks {
			if name, ok := strings.CutPrefix(l, lacksPrice); ok {
				ask(name, "")
			}
		}
	}
	slices.Sort(names)
	for _, n := range names {
		side.Asks = append(side.Asks, desk.Ask{Name: priceKey + n, Label: "Price of " + n + ", as product", Value: asked[n], Unit: "a kg"})
	}
	if len(names) > 0 {
		side.Asks = append(side.Asks, desk.Ask{Name: currencyKey, Label: "Currency", Value: currency,
			Hint: "A price in full, such as 0.50 EUR/L, is taken as it stands."})
	}
	return side
}

// takePrices takes the prices that were typed into the flags.
func takePrices(st state, q url.Values) {
	currency := cmp.Or(strings.TrimSpace(q.Get(currencyKey)), "EUR")
	for _, k := range keys(q) {
		name, ok := strings.CutPrefix(k, priceKey)
		text := pointed(strings.TrimSpace(q.Get(k)))
		if !ok || name == "" || len(name)+len(text)+len(currency) > mostFlag/2 {
			continue
		}
		st.Flags["price"] = slices.DeleteFunc(st.Flags["price"], func(p string) bool { return strings.HasPrefix(p, name+"=") })
		if text != "" && !strings.ContainsAny(text, " /") {
			text += " " + currency + "/kg"
		}
		if text != "" && len(st.Flags["price"]) < mostFlags {
			st.Flags.Add("price", name+"="+text)
		}
	}
	if len(st.Flags["price"]) == 0 {
		delete(st.Flags, "price")
	}
}
