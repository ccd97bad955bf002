package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// record is a row of a report's CSV by its headings.
type record map[string]string

// number is a cell's, 0 where it has none.
func (r record) number(column string) float64 {
	v, _ := strconv.ParseFloat(r[column], 64)
	return v
}

// workedColumns are the columns of CSV whose numbers are no figures of the JSON, each with
// another way to them. A heading may begin with the name of a chemical.
var workedColumns = []struct {
	report, column string
	held           func(f *figureTable, column string, all []record)
}{
	{"budget", "treated_m3", (*figureTable).waterOfDays},
	{"budget", "used_kg", (*figureTable).useOfDays},
	{"budget", "stock_kg", (*figureTable).stockOfDays},
	{"budget", "short_kg", (*figureTable).stockOfDays},
	{"budget", "cost", (*figureTable).costOfDays}, {"budget", "delivery_cost", (*figureTable).costOfDays}, {"budget", "out_of_date_cost", (*figureTable).costOfDays},
	{"budget", "out_of_date_kg", (*figureTable).goneOfDays},
	{"clarify", "running_h", (*figureTable).runningOfCourse},
	{"clarify", "turnovers", (*figureTable).turnoversOfCourse},
	{"clarify", "waste_l", func(f *figureTable, column string, all []record) { f.rises(column, all, 1, "waste.volume") }},
	{"clarify", "alkalinity_mg_per_l_caco3", func(f *figureTable, column string, all []record) {
		f.rises(column, all, -1, "water.alkalinity")
	}},
	{"clarify", "_bound_mg_per_l", (*figureTable).boundOfCourse},
	{"clarify", "_worst_mg_per_l", func(f *figureTable, column string, all []record) {
		f.left(column, all, "_worst_mg_per_l", "worst_case")
	}},
	{"clarify", "_measured_mg_per_l", func(f *figureTable, column string, all []record) {
		f.left(column, all, "_measured_mg_per_l", "measured_capture")
	}},
	{"plan", "batches", (*figureTable).batchesOfFeeds},
	{"read", "jar", isLabel},
	{"next", "jar", isLabel},
}

// csvs holds every number of the CSV of each report: it is a figure of the JSON, to the last
// digit, or of a column that is worked out another way.
func (f *figureTable) csvs(reports []figureReport) {
	f.t.Helper()
	for _, r := range reports {
		rows, err := csv.NewReader(strings.NewReader(answer(f.t, append(slices.Clone(r.args), "--format", "csv", "--units", "metric")...))).ReadAll() // in the units of the figures
		if err != nil || len(rows) < 2 {
			f.t.Fatalf("%s: %d rows of CSV, %v", r.name, len(rows), err)
		}
		figures := map[string]bool{}
		for _, l := range f.reports[r.name] {
			figures[strconv.FormatFloat(l.value, 'g', -1, 64)] = true
		}
		var all []record
		for _, row := range rows[1:] {
			one := record{}
			for i, cell := range row {
				one[rows[0][i]] = cell
			}
			all = append(all, one)
		}
		for _, column := range rows[0] {
			strange := slices.IndexFunc(all, func(one record) bool {
				v, err := strconv.ParseFloat(one[column], 64)
				return err == nil && !figures[strconv.FormatFloat(v, 'g', -1, 64)] && !slices.Contains(f.told(r.name), one[column])
			})
			if strange < 0 {
				continue
			}
			i := slices.IndexFunc(workedColumns, func(w struct {
				report, column string
				held           func(*figureTable, string, []record)
			}) bool {
				return w.report == r.name && (w.column == column || w.column[0] == '_' && strings.HasSuffix(column, w.column))
			})
			if i < 0 {
				f.t.Errorf("%s, CSV: no figure behind %s of %s, row %d", r.name, all[strange][column], column, strange+2)
				continue
			}
			workedColumns[i].held(f, column, all)
		}
	}
}

// fig is a figure of a report's JSON; the row that holds it stands in the table.
func (f *figureTable) fig(report, key string) float64 {
	f.t.Helper()
	for _, l := range f.reports[report] {
		if parseKey(key).matches(l.steps) {
			return l.value
		}
	}
	f.t.Errorf("%s has no %s", report, key)
	return math.NaN()
}

// isLabel is for what looks like a number and is a name.
func isLabel(*figureTable, string, []record) {}

func (f *figureTable) near(what string, got, want float64) {
	f.t.Helper()
	if !(math.Abs(got-want) <= 1e-9*math.Max(1, math.Abs(want))) {
		f.t.Errorf("%s: %.12g, another way %.12g", what, got, want)
	}
}

// waterOfDays: the days of the month come to its water.
func (f *figureTable) waterOfDays(column string, all []record) {
	days := map[string]float64{}
	sum := 0.0
	for _, r := range all {
		if _, twice := days[r["date"]]; !twice {
			sum += r.number(column)
		} else if days[r["date"]] != r.number(column) {
			f.t.Errorf("two waters on %s", r["date"])
		}
		days[r["date"]] = r.number(column)
	}
	f.near("water of the days", sum, f.fig("budget", "months[0].treated"))
}

// useOfDays: the days of the month come to the use of each chemical.
func (f *figureTable) useOfDays(column string, all []record) {
	sums := map[string]float64{}
	for _, r := range all {
		sums[r["chemical"]] += r.number(column)
	}
	for chemical, sum := range sums {
		f.near(chemical+" of the days", sum, f.fig("budget", "months[0].use["+chemical+"].product"))
	}
}

// stockOfDays: what is in the store in the evening is what was in it the evening before, with
// what came and without what was used or thrown away; something is short only where it is empty.
func (f *figureTable) stockOfDays(_ string, all []record) {
	store := map[string]float64{}
	for _, r := range all {
		was, ok := store[r["chemical"]]
		if !ok {
			was = f.fig("budget", "months[0].use["+r["chemical"]+"].opening_stock")
		}
		now := was + r.number("arrived_kg") - r.number("out_of_date_kg") - r.number("used_kg")
		f.near(r["chemical"]+" in the store on "+r["date"], r.number("stock_kg"), now)
		if short := r.number("short_kg"); short < 0 || short > 0 && r.number("stock_kg") > 1e-9 {
			f.t.Errorf("%s: %g short with %s left", r["date"], short, r["stock_kg"])
		}
		store[r["chemical"]] = now
	}
}

// goneOfDays: what goes out of date on the days comes to that of the month.
func (f *figureTable) goneOfDays(column string, all []record) {
	sums := map[string]float64{}
	for _, r := range all {
		sums[r["chemical"]] += r.number(column)
	}
	for chemical, sum := range sums {
		if sum > 0 {
			f.near(chemical+" out of date on the days", sum, f.fig("budget", "months[0].use["+chemical+"].out_of_date"))
		}
	}
}

// runningOfCourse: the unit runs no longer than time passes, stands still or runs all the time between
// two rows but where it starts or stops, and in all as long as the run.
func (f *figureTable) runningOfCourse(column string, all []record) {
	broken := 0
	for i, r := range all[1:] {
		ran, passed := r.number(column)-all[i].number(column), r.number("time_h")-all[i].number("time_h")
		if ran < -1e-9 || ran > passed+1e-9 {
			f.t.Errorf("%s at %s h: %g of %g h", column, r["time_h"], ran, passed)
		}
		if ran > 1e-9 && ran < passed-1e-9 {
			broken++
		}
	}
	if broken > 2*int(all[len(all)-1].number("time_h")/24+1) {
		f.t.Errorf("%s: it starts or stops %d times", column, broken)
	}
	f.near(column+" at the end", all[len(all)-1].number(column), f.fig("clarify", "running"))
}

// costOfDays: the days of a chemical sum up to what the month pays for it, its share of the deliveries and what goes out of date.
func (f *figureTable) costOfDays(column string, all []record) {
	sums := map[string]float64{}
	for _, r := range all {
		sums[r["chemical"]] += r.number(column)
	}
	for name, sum := range sums {
		key := "months[0].use[" + name + "]." + column
		if sum == 0 && column != "cost" { // which the month leaves out
			continue
		}
		f.near(column+" of "+name, sum, f.fig("budget", key))
	}
}

// turnoversOfCourse: hours of the unit times its flow over the tank's volume.
func (f *figureTable) turnoversOfCourse(column string, all []record) {
	for _, r := range all {
		f.near(column+" at "+r["time_h"], r.number(column), r.number("running_h")*f.fig("clarify", "flow")/f.fig("clarify", "volume"))
	}
}

// rises holds a column that goes one way all through a run, to the figure at its end.
func (f *figureTable) rises(column string, all []record, way float64, end string) {
	for i, r := range all[1:] {
		if way*(r.number(column)-all[i].number(column)) < -1e-9 {
			f.t.Errorf("%s turns at %s h", column, r["time_h"])
		}
	}
	f.near(column+" at the end", all[len(all)-1].number(column), f.fig("clarify", end))
}

// boundOfCourse: what is dosed into a tank, none of it caught, is dose times turnovers; within a
// step the dose lies between those of its ends, as near as half a step of the knob (of 1 % at 17 %).
func (f *figureTable) boundOfCourse(column string, all []record) {
	name := strings.TrimSuffix(column, "_bound_mg_per_l")
	for i, r := range all[1:] {
		was := all[i]
		dose := (r.number(column) - was.number(column)) / (r.number("turnovers") - was.number("turnovers"))
		a, b := was.number(name+"_dose_mg_per_l"), r.number(name+"_dose_mg_per_l")
		if running := r.number("turnovers") > was.number("turnovers"); running && (dose < min(a, b)*0.97 || dose > max(a, b)*1.03) {
			f.t.Errorf("%s at %s h: %g mg/L were dosed, the doses are %g and %g", column, r["time_h"], dose, a, b)
		}
	}
	f.left(column, all, "_bound_mg_per_l", "bound")
}

// left holds what is left of a chemical at the end of a run, and that it is never more than all of it.
func (f *figureTable) left(column string, all []record, suffix, figure string) {
	name := strings.TrimSuffix(column, suffix)
	for _, r := range all {
		if v := r.number(column); v < 0 || v > r.number(name+"_bound_mg_per_l")+1e-9 {
			f.t.Errorf("%s at %s h: %g of %s dosed", column, r["time_h"], v, r[name+"_bound_mg_per_l"])
		}
	}
	for _, l := range f.reports["clarify"] {
		if k := l.key(); strings.HasPrefix(k, "residuals[") && strings.HasSuffix(k, "]."+figure) &&
			strings.ReplaceAll(strings.ToLower(k[len("residuals["):strings.IndexByte(k, ']')]), " ", "_") == name {
			holds := 1.0                                                         // what is left is told as its limits count it, the course as the dose is given
			if strings.HasSuffix(f.t.Name(), "/hatchery") && name == "polymer" { // a powder of 90 %
				holds = 0.9
			}
			f.near(column+" at the end", holds*all[len(all)-1].number(column), l.value)
			return
		}
	}
	f.t.Errorf("clarify has no %s of %s", figure, name)
}

// batchesOfFeeds counts the batches that the plan lists of each feed.
func (f *figureTable) batchesOfFeeds(column string, all []record) {
	for i, r := range all {
		listed := map[string]bool{}
		for _, l := range f.reports["plan"] {
			if parseKey(fmt.Sprintf("feeds[#%d].batches[*].volume", i)).matches(l.steps) {
				listed[l.key()] = true
			}
		}
		f.near(column+" of "+r["chemical"], r.number(column), float64(len(listed)))
	}
}

var (
	cardPart  = regexp.MustCompile(`(?s)<section class="card".*?</section>`)
	cardTitle = regexp.MustCompile(`<h2[^>]*>(Pump|Stock) card: (?:.*, )?(.*)</h2>`)
	stockOf   = regexp.MustCompile(`of (.*) product per (?:litre|gallon)`)
	handTitle = regexp.MustCompile(`<h2[^>]*>Feed card: (.*), by hand</h2>`)
	pondTitle = regexp.MustCompile(`<h2[^>]*>(?:(?:Pond|Watch|Holding) card: |Sludge card<)`)
	cardTable = regexp.MustCompile(`(?s)<table(?: class="pairs")?>.*?</table>`) // not what is to be written in
	cardRow   = regexp.MustCompile(`(?s)<tr[^>]*>.*?</tr>`)
	cardCell  = regexp.MustCompile(`(?s)<t[hd][^>]*>(.*?)</t[hd]>`)
	cardDose  = regexp.MustCompile(`([0-9.]+) mg/L`)
	cardRate  = regexp.MustCompile(`(?:^([0-9.]+) (?:%|rpm).* )?\(([0-9.]+) mL/min\)$`)
)

// cards holds every number of the tables on the cards to pin up, from the figures of the plan:
// what a pump feeds goes with dose and flow, what a batch takes with its volume.
func (f *figureTable) cards(reports []figureReport) {
	f.t.Helper()
	count := 0
	for _, r := range reports {
		if r.name != "plan" {
			continue
		}
		file := filepath.Join(f.t.TempDir(), "page.html")
		answer(f.t, append(slices.Clone(r.args), "-o", file)...)
		for _, card := range cardPart.FindAllString(string(contents(f.t, file)), -1) {
			title := cardTitle.FindStringSubmatch(card)
			if pondTitle.MatchString(card) {
				count += f.ofText("plan", card)
				continue
			}
			if hand := handTitle.FindStringSubmatch(card); hand != nil {
				count += f.handCard(hand[1], card)
				continue
			}
			if title == nil {
				f.t.Fatalf("a card of another kind: %s", card)
			}
			for _, table := range cardTable.FindAllString(card, -1) {
				var rows [][]string
				for _, row := range cardRow.FindAllString(table, -1) {
					var cells []string
					for _, c := range cardCell.FindAllStringSubmatch(row, -1) {
						cells = append(cells, strings.ReplaceAll(c[1], "\u00a0", " "))
					}
					rows = append(rows, cells)
				}
				count += len(rows) - 1
				if rows[0][0] == "Raw water" {
					f.rawCard(title[2], rows[1:])
				} else if title[1] == "Pump" {
					f.pumpCard(title[2], rows)
				} else {
					f.stockCard(stockOf.FindStringSubmatch(card)[1], rows)
				}
			}
		}
	}
	if len(f.reports["plan"]) > 0 && count < 5 {
		f.t.Errorf("%d rows on the cards of the plan", count)
	}
}

// rawCard holds the card by raw water: its classes, and the setting at the one flow.
func (f *figureTable) rawCard(chemical string, rows [][]string) {
	f.t.Helper()
	for i, row := range rows {
		class := fmt.Sprintf("feeds[%s].past_tests.by_raw_water[%d].", chemical, i)
		want := []string{fmt.Sprintf("%.0f to %.0f NTU", f.fig("plan", class+"from"), f.fig("plan", class+"to")), fmt.Sprintf("%.1f mg/L", f.fig("plan", class+"dose")),
			fmt.Sprintf("%.0f %%", f.fig("plan", class+"settings[0].setting"))}
		if !slices.Equal(row, want) {
			f.t.Errorf("the card of %s says %q, the table %q", chemical, row, want)
		}
	}
}

// ofText holds every number on a card that says again what the text says: it stands there too.
func (f *figureTable) ofText(report, card string) (looked int) {
	f.t.Helper()
	known := map[string]bool{}
	for _, n := range anyNumber.FindAllString(f.text[report], -1) {
		known[n] = true
	}
	for _, n := range anyNumber.FindAllString(tag.ReplaceAllString(cardMark.ReplaceAllString(card, " "), " "), -1) {
		if looked++; !known[n] {
			f.t.Errorf("%s stands on a card and not in the text", n)
		}
	}
	return looked
}

var (
	anyNumber = regexp.MustCompile(`\d+(?:\.\d+)?`)
	cardMark  = regexp.MustCompile(`(?s)<svg.*?</svg>`)
)

// handCard: at so much water a portion is that of the plan, times the flow over the plan's, by flows of two digits; the rest says
// again what the text says.
func (f *figureTable) handCard(chemical, card string) (rows int) {
	f.t.Helper()
	feed := "feeds[" + chemical + "]."
	for _, row := range cardRow.FindAllString(strings.Join(cardTable.FindAllString(card, -1), ""), -1)[1:] {
		cells := cardCell.FindAllStringSubmatch(row, -1)
		at, _ := strconv.ParseFloat(anyNumber.FindString(cells[0][1]), 64)
		grams, _ := strconv.ParseFloat(anyNumber.FindString(cells[1][1]), 64)
		if want := f.fig("plan", feed+"portion") * 1000 * at / f.fig("plan", feed+"flow"); math.Abs(grams/want-1) > 5e-3 {
			f.t.Errorf("at %g m3/h the card gives %g g, by the plan %g g", at, grams, want)
		}
		rows++
	}
	return rows
}

// pumpCard: at so much water the feed is that of the plan, times dose and flow over the plan's; the
// setting is the step of the knob that is nearest on the line through the drawdown.
func (f *figureTable) pumpCard(chemical string, rows [][]string) {
	f.t.Helper()
	feed := "feeds[" + chemical + "]."
	perDose := f.fig("plan", feed+"stock_rate") / f.fig("plan", feed+"dose") / f.fig("plan", feed+"flow")
	var settings, rates []float64
	for _, row := range rows[1:] {
		flow, err := quantity.Parse[quantity.Flow](row[0])
		if err != nil {
			f.t.Fatalf("%s: %v", chemical, err)
		}
		for i, cell := range row[1:] {
			dose, is := cardDose.FindStringSubmatch(rows[0][i+1]), cardRate.FindStringSubmatch(cell)
			if dose == nil || is == nil {
				f.t.Fatalf("%s: %q under %q", chemical, cell, rows[0][i+1])
			}
			d, rate := mustNumber(f.t, dose[1]), mustNumber(f.t, is[2])
			if want := perDose * d * float64(flow); math.Abs(rate/want-1) > 0.01 { // of three digits
				f.t.Errorf("%s at %s: %s, by dose and flow %.4g mL/min", chemical, row[0], cell, want)
			}
			if is[1] == "" && !strings.HasPrefix(cell, "OUT OF RANGE") {
				f.t.Errorf("%s at %s: no setting in %q", chemical, row[0], cell)
			}
			if is[1] != "" && !strings.Contains(cell, "stroke") {
				settings, rates = append(settings, mustNumber(f.t, is[1])), append(rates, rate)
			}
		}
	}
	step := 0.0
	for _, s := range settings {
		for step, s = s, step; s > 0; {
			step, s = s, math.Mod(step, s)
		}
	}
	for i, s := range settings {
		line := "pumps[" + f.pumpOf(chemical) + "].line."
		a, b := f.fig("pump", line+"intercept"), f.fig("pump", line+"slope")
		if off := math.Abs((rates[i]-a)/b - s); off > step/2+0.006*rates[i]/b {
			f.t.Errorf("%s: %g %% for %g mL/min, on the line %.4g %%, by steps of %g", chemical, s, rates[i], (rates[i]-a)/b, step)
		}
	}
}

// pumpOf is the pump of a chemical, by its place in the report on pumps.
func (f *figureTable) pumpOf(chemical string) string {
	i := 0
	for _, l := range f.reports["plan"] {
		if parseKey("feeds[" + chemical + "].stock_rate").matches(l.steps) {
			i = l.steps[1].index
		}
	}
	return fmt.Sprintf("#%d", i)
}

// stockCard: product, its volume and water go with the volume of the batch that the plan lists.
func (f *figureTable) stockCard(chemical string, rows [][]string) {
	f.t.Helper()
	feed := "feeds[" + chemical + "]."
	batch := feed + "batches[#0]."
	part := func(figure string, v float64) float64 {
		return f.fig("plan", batch+figure) * v / f.fig("plan", batch+"volume")
	}
	if _, err := f.figureNamed("plan", batch+"volume"); err != nil { // no tank, so no batch: by its strength, the product's density, and water for the rest
		part = func(figure string, v float64) float64 {
			kg := v * f.fig("plan", feed+"stock") / 1000
			litres := kg * f.fig("plan", feed+"product_volume") / f.fig("plan", feed+"product_use")
			return map[string]float64{"product": kg, "product_volume": litres, "water": v - litres}[figure]
		}
	}
	for _, row := range rows[1:] {
		v, err := quantity.Parse[quantity.Volume](row[0])
		if err != nil {
			f.t.Fatalf("%s: %v", chemical, err)
		}
		for i, figure := range []string{"product", "product_volume", "water"} {
			if row[i+1] == "–" {
				continue
			}
			got, ok := quantity.Converted(row[i+1], []string{"kg", "L", "L"}[i])
			want := part(figure, float64(v))
			if !ok || math.Abs(got/want-1) > 0.01 {
				f.t.Errorf("%s: %s of %s for %s, by the batch of the plan %.4g", chemical, row[i+1], figure, row[0], want)
			}
		}
	}
}

func mustNumber(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// silentSheets are sheets of workbooks whose numbers other tests hold: pictures; days, stores and
// draws of a month, and what a user may change with all that follows from it (TestFormulas…, the
// tests of templates); the course of a clean-up, whose table has it in CSV too.
var silentSheets = regexp.MustCompile(`^(Chart data|Data|Days|Range|Store .*|Inputs|Change it|Try .*)!|^clarify: Details!`)

// books holds the numeric cells of the other sheets of each report's workbook: each is a figure of
// the site's reports to the last digit, in a unit that a reader may be given it in.
func (f *figureTable) books(reports []figureReport) {
	f.t.Helper()
	var figures shownFigures
	for _, r := range reports {
		figures = append(figures, f.figuresFor(r.name, "text")...)
	}
	count := 0
	for _, r := range reports {
		file := filepath.Join(f.t.TempDir(), "book.xlsx")
		answer(f.t, append(slices.Clone(r.args), "-o", file)...)
		stored, formulas := values(f.t, file)
		for _, at := range sortedKeys(stored) {
			v, err := strconv.ParseFloat(stored[at], 64)
			if err != nil || formulas[at] != "" || silentSheets.MatchString(at) || silentSheets.MatchString(r.name+": "+at) {
				continue
			}
			if count++; !figures.have(v) {
				f.t.Errorf("%s, workbook: no figure behind %s in %s", r.name, stored[at], at)
			}
		}
	}
	if count < min(20, 10*len(reports)) {
		f.t.Errorf("%d numbers in the workbooks", count)
	}
	f.t.Logf("%d numbers of the workbooks looked at", count)
}

// have reports that a number is one of the figures, in a unit that a reader may be given it in.
func (s shownFigures) have(v float64) bool {
	return slices.ContainsFunc(s, func(x float64) bool {
		return slices.ContainsFunc(scales, func(k float64) bool { return math.Abs(x*k-v) <= 1e-9*math.Max(1, math.Abs(v)) })
	})
}
