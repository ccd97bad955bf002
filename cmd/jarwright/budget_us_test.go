package main

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/quantity"
)

// What one metric unit is in the US one: the gallon of 231 cubic inches and the
// international pound, both exact (NIST Handbook 44, appendix C).
const (
	inPounds  = 1 / 0.45359237               // of a kg
	inGallons = 1000 / 3.785411784           // of a m3
	perGallon = 0.003785411784               // of what is counted for a m3
	inGpm     = inGallons / 60               // of a m3/h
	inLbGal   = 3.785411784 * 1 / 0.45359237 // of a kg/L
	inOzGal   = inLbGal * 16 / 1000          // of a g/L
)

// usNames are the ends of the names of cells in the units of either workbook, the
// first that fits; a name with none of them stays, and so does its value.
var usNames = []struct {
	metric, us string
	factor     float64
}{
	{"Flow_m3_h", "Flow_gpm", inGpm}, {"Cost_per_1000_m3", "Cost_per_1000_gal", perGallon}, {"_m3", "_gal", inGallons}, {"_L_h", "_gal_h", inGallons / 1000},
	{"Cost_per_kg_removed", "Cost_per_lb_removed", 1 / inPounds}, {"Disposal_per_kg_dry", "Disposal_per_lb_dry", 1 / inPounds},
	{"_kg_L", "_lb_gal", inLbGal}, {"_mg_L", "_mg_L", 1}, {"_g_L", "_oz_gal", inOzGal}, {"_kg", "_lb", inPounds},
	{"Price_disposal", "Price_disposal", perGallon * 1000}, {"Price_water", "Price_water", perGallon * 1000}, {"Price_electricity", "Price_electricity", 1},
}

// namedValues are the numbers in the cells of a workbook that have a name.
func namedValues(t *testing.T, f *excelize.File) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for _, n := range f.GetDefinedName() {
		sheet, cell, ok := strings.Cut(strings.NewReplacer("'", "", "$", "").Replace(n.RefersTo), "!")
		if !ok || strings.Contains(cell, ":") || strings.HasPrefix(n.Name, "_") {
			continue
		}
		text, err := f.GetCellValue(sheet, cell, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			v = math.NaN() // empty, or words
		}
		out[n.Name] = v
	}
	return out
}

func sameFigure(a, b float64) bool {
	return math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) <= 1e-9*math.Max(1, math.Max(math.Abs(a), math.Abs(b)))
}

// TestBudgetInUSUnits: every cell with a name holds in the US workbook what it does
// in the metric one, money as it is and all else in the other unit.
func TestBudgetInUSUnits(t *testing.T) {
	t.Parallel()
	for plan, p := range livePlans() {
		was, us := namedValues(t, opened(t, keptBudget(t, plan, quantity.Metric))), namedValues(t, opened(t, keptBudget(t, plan, quantity.US)))
		if len(us) != len(was) || len(us) < 40 {
			t.Errorf("%s: %d names become %d", plan, len(was), len(us))
		}
		disposed := p.Disposal.Price.Per
		for name, v := range was {
			is, factor := name, 1.0
			for _, x := range usNames {
				if base, ends := strings.CutSuffix(name, x.metric); ends {
					is, factor = base+x.us, x.factor
					break
				}
			}
			switch {
			case name == "Price_disposal" && disposed == "":
				factor = 1 / inPounds // for a kg dry
			case strings.HasPrefix(name, "Price_") && is == name && factor == 1 && name != "Price_electricity":
				factor = 1 / inPounds
			}
			got, there := us[is]
			if !there || !sameFigure(got, v*factor) {
				t.Errorf("%s: %s is %g; %s is %g, want %g", plan, name, v, is, got, v*factor)
			}
		}
	}
}

// TestBudgetColumnsInUSUnits: so do the columns of masses, volumes and flows of all
// its sheets, which stand where those of the metric workbook do.
func TestBudgetColumnsInUSUnits(t *testing.T) {
	t.Parallel()
	was := cellsOf(t, opened(t, keptBudget(t, "hand", quantity.Metric)))
	us := cellsOf(t, opened(t, keptBudget(t, "hand", quantity.US)))
	units := map[string]struct {
		us     string
		factor float64
	}{"kg": {"lb", inPounds}, "m3": {"gal", inGallons}, "m3/h": {"gpm", inGpm}}
	column := regexp.MustCompile(`^(.*![A-Z]+)([0-9]+)$`)
	looked := 0
	for at, head := range was {
		i := strings.LastIndex(head, ", ")
		if i < 0 || strings.HasPrefix(at, "Summary!") { // where tables stand one under the other
			continue
		}
		u, known := units[head[i+2:]]
		if !known {
			continue
		}
		if us[at] != head[:i+2]+u.us {
			t.Errorf("%s: %q becomes %q", at, head, us[at])
		}
		place := column.FindStringSubmatch(at)
		first, _ := strconv.Atoi(place[2])
		for row := first + 1; row < first+46; row++ {
			cell := place[1] + strconv.Itoa(row)
			v, err := strconv.ParseFloat(was[cell], 64)
			if err != nil {
				continue
			}
			looked++
			if got, err := strconv.ParseFloat(us[cell], 64); err != nil || !sameFigure(got, v*u.factor) {
				t.Errorf("%s (%s) is %g, in US units %q, want %g", cell, head, v, us[cell], v*u.factor)
			}
		}
	}
	if looked < 1500 {
		t.Errorf("only %d cells were compared", looked)
	}
}

// metricName finds a metric unit that readers of US units have no use for.
var metricName = regexp.MustCompile(`(^|[^A-Za-z])(kg|g|m3|L|h_m3|m3_h|kPa|mm|m/h)($|[^A-Za-z0-9])`)

// metric reports that a text names one; doses stay in mg/L, and less than half an
// ounce is weighed in grams.
func metric(text string) bool {
	return metricName.MatchString(strings.NewReplacer("mg/L", "", "mg_L", "").Replace(text))
}

// TestNoMetricUnitInUSWorkbooks: nor does one stand in a cell, a rule for input or
// the name of a cell.
func TestNoMetricUnitInUSWorkbooks(t *testing.T) {
	t.Parallel()
	for plan := range livePlans() {
		noMetric(t, opened(t, keptBudget(t, plan, quantity.US)))
	}
}

func noMetric(t *testing.T, f *excelize.File) {
	t.Helper()
	for _, n := range f.GetDefinedName() {
		if metric(n.Name) {
			t.Errorf("a cell is called %s", n.Name)
		}
	}
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, text := range row {
				if metric(text) {
					t.Errorf("%s, row %d, column %d: %q", sheet, r+1, c+1, text)
				}
			}
		}
		rules, err := f.GetDataValidations(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range rules {
			if x.Prompt != nil && metric(*x.Prompt) {
				t.Errorf("%s: %q", sheet, *x.Prompt)
			}
		}
	}
}
