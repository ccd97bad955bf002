package engine

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// priors are the levels that each model of two factors needs and the priors of its parameters, written out: centre ± spread,
// of the logarithm where the parameter is positive. They are part of the answer.
var priors = map[string]string{
	"pair, no effect of the second":                     "3x1; 1 ± 1, 1.2 ± 1",
	"pair, needed dose shifts":                          "3x2; 1 ± 1, 1.2 ± 1, 0.3 ± 1",
	"pair, needed dose shifts, less with more":          "3x3; 1 ± 1, 1.2 ± 1, 0.5 ± 1, -1.2 ± 1",
	"pair, floor shifts":                                "3x2; 1 ± 1, 1.2 ± 1, 0.5 ± 1",
	"pair, needed dose and floor shift":                 "3x3; 1 ± 1, 1.2 ± 1, 0.3 ± 1, 0.3 ± 1",
	"pair, charges add":                                 "3x2; 1 ± 1, 1.2 ± 1, -1 ± 1",
	"pair, charges add, over-dose by their sum":         "3x2; 1 ± 1, 1.2 ± 1, -1 ± 1, -1 ± 1",
	"pair, lag, needed dose shifts":                     "3x2; -4 ± 1.5, -1 ± 0.7, 1.1 ± 0.5, 0.3 ± 1",
	"pair, lag, charges add":                            "3x2; -4 ± 1.5, -1 ± 0.7, 1.1 ± 0.5, -1 ± 1",
	"pair, charges add, lag and over-dose by their sum": "3x3; 1 ± 1, -1 ± 0.7, 1.1 ± 0.5, 0.2 ± 0.7, -1 ± 1",
	"pair, broken stick, needed dose shifts":            "3x2; -3.5 ± 1.5, -0.5 ± 0.7, 0.3 ± 1",
	"pair, broken stick, charges add":                   "3x2; -3.5 ± 1.5, -0.5 ± 0.7, -1 ± 1",
	"pair, first-order, needed dose shifts":             "3x2; -4 ± 1.5, 1.5 ± 0.8, 0.3 ± 1",
	"pair, first-order, floor shifts":                   "3x2; -3 ± 1.5, 1.5 ± 0.8, 0.5 ± 1",
	"pair, acts on its own":                             "3x2; 1 ± 1, 1.2 ± 1, 0.3 ± 1",
	"pair, acts on its own up to a best dose":           "3x3; 1 ± 1, 1.2 ± 1, 0.5 ± 1, -1 ± 1",
	"pair, second-degree in both":                       "3x3; -3 ± 3, -0.5 ± 2, 1 ± 2, 0.3 ± 1, 0 ± 2",
	"pair, a plane":                                     "2x2; -1.5 ± 2, -0.3 ± 1",
	"ph, no effect of pH":                               "3x1; 1 ± 1, 1.2 ± 1",
	"ph, needed dose shifts with pH":                    "3x2; 1 ± 1, 1.2 ± 1, 0 ± 1",
	"ph, needed dose has a best pH":                     "3x3; 1 ± 1, 1.2 ± 1, 0.5 ± 0.4, 0 ± 1",
	"ph, floor has a best pH":                           "3x3; 1 ± 1, 1.2 ± 1, 0.5 ± 0.4, 0 ± 1",
	"ph, lag, needed dose shifts with pH":               "3x2; -4 ± 1.5, -1 ± 0.7, 1.1 ± 0.5, 0 ± 1",
	"ph, best dose shifts with pH":                      "3x3; 1 ± 1, 0.6 ± 0.4, 0 ± 1",
	"ph, needed dose and over-dose shift with pH":       "3x3; 1 ± 1, -1 ± 0.7, 1.1 ± 0.5, 0.2 ± 0.7, 0 ± 1",
	"ph, second-degree in both":                         "3x3; -2 ± 3, 0 ± 3, 1 ± 2, 0.5 ± 2, 0 ± 3",
	"ph, a plane":                                       "2x2; -1.5 ± 2, -0.3 ± 1",
	"straight, a plane":                                 "2x2; 0 ± 2, 0 ± 2",
	"straight, a plane bent along the first":            "3x2; 0 ± 2, 0 ± 2, 0 ± 2",
	"straight, a twisted plane":                         "2x2; 0 ± 2, 0 ± 2, 0 ± 2",
	"straight, second-degree in both":                   "3x3; 0 ± 2, 0 ± 2, 0 ± 2, 0 ± 2, 0 ± 2",
}

func TestPriorsOfTwoFactors(t *testing.T) {
	n := 0
	for family, models := range map[string][]Model{"pair": PairModels(), "ph": PHModels(), "straight": StraightModels()} {
		for _, m := range models {
			var out []string
			for _, q := range m.Params {
				c := q.Centre
				if q.Positive {
					c = math.Round(math.Log(c)*1e9) / 1e9
				}
				out = append(out, fmt.Sprintf("%g ± %g", c, q.Spread))
			}
			got := fmt.Sprintf("%dx%d; %s", m.Levels[0], m.Levels[1], strings.Join(out, ", "))
			if want := priors[family+", "+m.Name]; got != want {
				t.Errorf("%s, %s: %s, want %s", family, m.Name, got, want)
			}
			n++
		}
	}
	if n != len(priors) {
		t.Errorf("%d models, %d written out", n, len(priors))
	}
}
