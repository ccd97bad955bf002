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
		if h := ColumnHeading(text); h.Reading != key || h.Target || !h.Bounded || h.Amount || !h.Core() || h.Text != ReadHeading(text).Text {
			t.Errorf("%s: %+v", text, h)
		}
	}
	for text, of := range map[string]struct {
		key jartest.Key
		raw float64
	}{
		"Turbidity, NTU (raw 64)": {jartest.Turbidity, 64}, "Turbidity (NTU), raw = 64": {jartest.Turbidity, 64}, "Turbidity NTU [raw: 64]": {jartest.Turbidity, 64}, "Turbidity (start 64 NTU)": {jartest.Turbidity, 64},
		"Turbidity NTU - initial 64": {jartest.Turbidity, 64}, "Turbidity (64 NTU raw)": {jartest.Turbidity, 64}, "Turbidity NTU (64 in raw water)": {jartest.Turbidity, 64}, "pH (raw 7.8)": {jartest.PH, 7.8},
		"Alkalinity, mg/L CaCO3 (raw water 92)": {"alkalinity", 92}, "Trübung NTU (Rohwasser 64)": {jartest.Turbidity, 64}, "pH (Rohwasser: 7,8)": {jartest.PH, 7.8}, "Turbiedad NTU (cruda: 64)": {jartest.Turbidity, 64},
		"Turbidité NTU (eau brute 64)": {jartest.Turbidity, 64}, "Torbidità NTU (acqua grezza 64)": {jartest.Turbidity, 64}, "Turbidez NTU (bruta 64)": {jartest.Turbidity, 64}, "Мутность, ЕМФ (исходная 64)": {jartest.Turbidity, 64},
		"浊度 NTU (原水 64)": {jartest.Turbidity, 64}, "濁度 NTU（原水 64）": {jartest.Turbidity, 64}, "탁도 NTU (원수 64)": {jartest.Turbidity, 64}, "Bulanıklık NTU (ham su 64)": {jartest.Turbidity, 64}, "Kekeruhan NTU (air baku 64)": {jartest.Turbidity, 64},
	} {
		if h := ColumnHeading(text); h.Reading != of.key || !h.Untreated.OK || h.Untreated.V != of.raw || h.Raw || h.Stage != "" || h.Amount {
			t.Errorf("%s: %+v", text, h)
		}
	}
	for _, text := range []string{"NTU raw 1", "Turbidity raw 2 (NTU)", "Raw turbidity (NTU)", "Turbidity NTU (raw > 1000)", "Turbidity NTU (jar 64)", "Turbidity NTU (raw, 5 min)", "Turbidity NTU (raw zork 64)", "Turbidity NTU (limit 5)", "Alum (raw 64)"} {
		if h := ColumnHeading(text); h.Untreated.OK {
			t.Errorf("%s: %+v", text, h)
		}
	}
	for _, text := range []string{"Turbidity target (NTU)", "Target turbidity 5 NTU", "Turbidity target: 5 NTU", "Turbidity limit", "Alum (mg/L) limit 60", "Turbidity (NTU) 5", "NTU, mean of 5", "Turbidity (NTU) jar 5", "<5", "Turbidity (NTU) limit 5 zork"} {
		if h := ColumnHeading(text); h.Bounded {
			t.Errorf("%s: %+v", text, h)
		}
	}
}
