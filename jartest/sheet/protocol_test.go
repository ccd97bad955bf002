package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// shownProtocol writes a protocol in short: "200 rpm 1 min | 40 rpm 8 min | after 15 min at 10 cm".
func shownProtocol(p jartest.Protocol) string {
	stir := func(s jartest.Stir) string {
		var out []string
		if s.Speed.OK {
			out = append(out, fmt.Sprintf("%g rpm", float64(s.Speed.V)))
		}
		if s.Time.OK {
			out = append(out, fmt.Sprintf("%.4g min", s.Time.V.In("min")))
		}
		return strings.Join(out, " ")
	}
	out := stir(p.Rapid)
	for _, s := range p.Slow {
		out += " | " + stir(s)
	}
	if p.Settle.OK {
		out += fmt.Sprintf(" after %.4g min", p.Settle.V.In("min"))
	}
	if p.Depth.OK {
		out += fmt.Sprintf(" at %.4g cm", p.Depth.V.In("cm"))
	}
	return strings.TrimSpace(out)
}

const stirredJars = "\nJar,Alum (mg/L as product),Turbidity (NTU)\n1,0,62\n2,10,31\n3,20,12\n4,30,5.4\n5,40,3.8\n6,50,4.9\n"

// TestProtocol: what lines beside the jars say of stirring and sampling is read, and nothing is where they leave
// open of what stage it is.
func TestProtocol(t *testing.T) {
	for _, c := range [][2]string{
		{"Mixing,\"200 rpm 1 min, 40 rpm 8 min\"", "200 rpm 1 min | 40 rpm 8 min"},
		{"\"200 rpm 1 min, 40 rpm 8 min\"", "200 rpm 1 min | 40 rpm 8 min"},
		{"1 min at 200 rpm then 8 min at 40 rpm", "200 rpm 1 min | 40 rpm 8 min"},
		{"\"200 rpm 1 min, 60 rpm 5 min, 30 rpm 10 min\"", "200 rpm 1 min | 60 rpm 5 min | 30 rpm 10 min"},
		{"Rapid mix,200,rpm\nRapid mix time,60,s\nSlow mix,40,rpm\nSlow mix time,8,min", "200 rpm 1 min | 40 rpm 8 min"},
		{"Rapid mix (rpm),200\nSlow mix (rpm),40", "200 rpm | 40 rpm"},
		{"\"Rapid mix 200 rpm, 60 s; slow 35 rpm, 20 min; settle 30 min\"", "200 rpm 1 min | 35 rpm 20 min after 30 min"},
		{"\"flash mix 100 rpm for 1 min, gentle 30 rpm for 15 min\"", "100 rpm 1 min | 30 rpm 15 min"},
		{"Settling time,15,min", "after 15 min"},
		{"Sampled 10 cm below the surface", "at 10 cm"},
		{"Sampling depth,10 cm", "at 10 cm"},
		{"Sampling depth (cm),5", "at 5 cm"},
		{"Sampled after 15 min 5 cm below the surface", "after 15 min at 5 cm"},
		{"\"Schnell 200 rpm 1 min, langsam 40 rpm 8 min\"", "200 rpm 1 min | 40 rpm 8 min"},
		// these tell no stage
		{"Stirring,100 rpm", ""},
		{"\"40 rpm 8 min, 200 rpm 1 min\"", ""},
		{"Stirrer shaft 30 cm", ""},
		{"Pond 2 m deep", ""},
		{"Stirred well", ""},
	} {
		res, err := Read("t.csv", strings.NewReader(c[0]+"\n"+stirredJars), Options{})
		if err != nil || len(res.Series) != 1 {
			t.Fatalf("%s: %v %d series", c[0], err, len(res.Series))
		}
		if got := shownProtocol(res.Series[0].Protocol); got != c[1] {
			t.Errorf("%s: read as %q, want %q", c[0], got, c[1])
		}
	}
	// A decimal comma parts nothing.
	p, _, ok := protocolOf("schnell 200 rpm 1,5 min, langsam 40 rpm 8 min", layout.DecimalComma, note.Place{})
	if got := shownProtocol(p); !ok || got != "200 rpm 1.5 min | 40 rpm 8 min" {
		t.Errorf("with a comma: %q", got)
	}
	// Two lines of one test that contradict each other speak.
	res, _ := Read("t.csv", strings.NewReader("Rapid mix,200,rpm\nFlash mix,150,rpm\n"+stirredJars), Options{})
	if !slices.ContainsFunc(res.Notes, func(n note.Note) bool { return n.Code == "stirring-differs" && n.Place.Cell == "A2" }) {
		t.Errorf("says %v", res.Notes)
	}
}
