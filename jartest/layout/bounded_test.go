package layout

import (
	"testing"

	"jarwright/jartest"
)

// A limit or a target that a heading states of its reading leaves it the heading of that reading;
// what is the name of a target stays one.
func TestLimitsInHeadings(t *testing.T) {
	for text, key := range map[string]jartest.Key{
		"Settled turbidity (NTU), limit 5": jartest.Turbidity, "Turbidity (NTU) target 5": jartest.Turbidity, "Turbidity (limit: 5 NTU)": jartest.Turbidity, "Turbidity NTU (≤5)": jartest.Turbidity,
		"Turbidity (NTU) < 5": jartest.Turbidity, "NTU (goal < 2)": jartest.Turbidity, "Residual Al (mg/L), limit 0.2": "residual_al", "Trübung (NTU), Grenzwert 1": jartest.Turbidity,
		"Turbidité (NTU) objectif 5": jartest.Turbidity, "Turbiedad (UNT), límite 5": jartest.Turbidity, "Turbidez (uT), limite 5": jartest.Turbidity, "pH, target 7": jartest.PH, "浊度 (NTU) 目标 1": jartest.Turbidity,
	} {
		if h := columnHeading(text); h.Reading != key || h.Target || !h.Bounded || h.Amount || !h.Core() || h.Text != ReadHeading(text).Text {
			t.Errorf("%s: %+v", text, h)
		}
	}
	for _, text := range []string{"Turbidity target (NTU)", "Target turbidity 5 NTU", "Turbidity target: 5 NTU", "Turbidity limit", "Alum (mg/L) limit 60", "Turbidity (NTU) 5", "NTU, mean of 5", "Turbidity (NTU) jar 5", "<5", "Turbidity (NTU) limit 5 zork"} {
		if h := columnHeading(text); h.Bounded {
			t.Errorf("%s: %+v", text, h)
		}
	}
}
