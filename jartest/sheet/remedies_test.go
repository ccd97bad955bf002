package sheet

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// flagInRemedy is a flag with its value as a remedy writes it.
var flagInRemedy = regexp.MustCompile(`--(column|chemical|stock|jar-volume|density) (?:"([^"]*)"|(NAME))`)

// applied gives the options that a remedy advises; "…" stands for what the user knows.
func applied(t *testing.T, remedy string) (opt Options, any bool) {
	t.Helper()
	for _, m := range flagInRemedy.FindAllStringSubmatch(remedy, -1) {
		var err error
		switch m[1] {
		case "column":
			head, meaning, _ := strings.Cut(m[2], "=")
			if strings.Contains(remedy[:strings.Index(remedy, m[0])], "--column") && strings.Contains(remedy, " or --column") {
				continue // the second of two ways
			}
			opt.Columns = append(opt.Columns, Override{Header: head, Meaning: strings.Replace(meaning, "…", "turbidity NTU", 1)})
		case "chemical":
			if opt.Chemical = m[2]; m[3] != "" {
				opt.Chemical = "alum"
			}
		case "stock":
			opt.Stock, err = ParseStock(strings.Replace(m[2], "…", "1 g/L", 1))
		case "jar-volume":
			opt.JarVolume, err = quantity.Parse[quantity.Volume](m[2])
		case "density":
			opt.Density, err = quantity.Parse[quantity.Density](m[2])
		}
		if err != nil {
			t.Fatal(remedy, err)
		}
		any = true
	}
	return opt, any
}

// A remedy that names a flag is one that helps: with the flag the message is gone.
func TestRemediesHelp(t *testing.T) {
	for sheet, code := range map[string]string{
		"Jar,Dose A,NTU\n1,0,58\n2,10,31\n3,20,14\n":                                       "dose-unit-missing",
		"Jar,Dose (mg/L),NTU\n1,0,58\n2,10,31\n3,20,14\n":                                  "chemical-not-named",
		"Jar,Dose (mg/L),Polymer (mg/L),NTU\n1,0,0,58\n2,10,0.1,31\n3,20,0.2,14\n":         "chemical-not-named",
		"Jar,Alum (mg/L),Result\n1,0,58\n2,10,31\n3,20,14\n":                               "reading-assumed",
		"Jar,Alum (mg/L),T\n1,0,58\n2,10,31\n3,20,14\n":                                    "",
		"Jar,Alum (lb/day),NTU\n1,0,58\n2,10,31\n3,20,14\n":                                "dose-unit",
		"Jar,Alum (mg/L),NTU,NTU\n1,0,58,90\n2,10,31,60\n3,20,14,40\n4,30,5,20\n":          "",
		"Jar,Alum (mg/L),NTU: 70\n1,0,58\n2,10,31\n3,20,14\n":                              "number-in-heading",
		"Jar,Alum (mg/L),NTU 58\n1,0,58\n2,10,31\n3,20,14\n":                               "number-in-heading",
		"Jar,Alum (mg/zork),NTU\n1,0,58\n2,10,31\n3,20,14\n":                               "unit-not-understood",
		"Jar,Alum (mg/L) wibble,NTU\n1,0,58\n2,10,31\n3,20,14\n":                           "heading-words",
		"Jar,PAC (mg/L),NTU\n1,0,58\n2,10,31\n3,20,14\n":                                   "",
		"Jar,Alum (mL),NTU\n1,0,58\n2,1,31\n3,2,14\n":                                      "",
		"Stock 10 g/L\n\nJar,Alum (mL),NTU\n1,0,58\n2,1,31\n3,2,14\n":                      "",
		"Jar,X,Alum (mg/L),NTU\n1,5,0,58\n2,7,10,31\n3,9,20,14\n":                          "",
		"Jar,Alum (mg/L),Dilution,NTU\n1,0,10,5.8\n2,10,10,3.1\n3,20,1,14\n":               "sample-diluted",
		"Jar,Alum x10 (mg/L),NTU\n1,0,58\n2,1,31\n3,2,14\n":                                "",
		"Jar,Product Z (mg/L),NTU\n1,0,58\n2,10,31\n3,20,14\n":                             "",
		"Jar,Coagulant A (mg/L),Coagulant B (mg/L),NTU\n1,0,5,58\n2,10,5,31\n3,20,10,14\n": "",
		"Jar,Alum (mg/L),Turbidity 30\n1,0,58\n2,10,31\n3,20,14\n":                         "number-in-heading",
		"Jar,Alum (mg/L),UV254\n1,0,25\n2,10,18\n3,20,12\n":                                "",
	} {
		r, err := Read("s.csv", strings.NewReader(sheet), Options{})
		if err != nil {
			t.Errorf("%s: %v", sheet, err)
			continue
		}
		met := code == ""
		for _, n := range r.Notes {
			met = met || n.Code == code
			opt, any := applied(t, n.Remedy)
			if !any {
				continue
			}
			after, err := Read("s.csv", strings.NewReader(sheet), opt)
			if err != nil {
				t.Errorf("%s: %s: %v", sheet, n.Remedy, err)
				continue
			}
			for _, x := range after.Notes {
				if x.Code == n.Code && x.Place == n.Place && x.Level >= note.Caution && x.Message == n.Message {
					t.Errorf("%s\n%s\nadvises %s, with which it is said again", sheet, n.Message, n.Remedy)
				}
			}
		}
		if !met {
			t.Errorf("%s\nis not spoken of as %s: %v", sheet, code, r.Notes)
		}
	}
}

// An override whose heading several columns have says so, and one that changes nothing speaks.
func TestOverridesSpeak(t *testing.T) {
	const two = "Jar,Alum (mg/L),NTU,NTU\n1,0,58,80\n2,10,31,45\n3,20,14,22\n4,30,6,9\n"
	for _, x := range []struct {
		opt  Options
		want string // in the messages and remedies, "" for silence
	}{
		{Options{Columns: []Override{{Header: "NTU", Meaning: "ignore"}}}, `--column "D=ignore"`},
		{Options{Columns: []Override{{Header: "D", Meaning: "ignore"}}}, ""},
		{Options{Columns: []Override{{Header: "D", Meaning: "ignore"}}, Chemical: "ferric chloride"}, "changed nothing"},
	} {
		r := mustReadAny(t, two, x.opt)
		said := ""
		for _, n := range r.Notes {
			if n.Level >= note.Caution {
				said += n.Message + " " + n.Remedy + "\n"
			}
		}
		if x.want == "" && said != "" || !strings.Contains(said, x.want) {
			t.Errorf("%v: %q, want %q", x.opt.Columns, said, x.want)
		}
	}
	carbon := Options{Chemical: "powdered activated carbon"}
	if r := mustReadAny(t, "Jar,PAC (mg/L),NTU\n1,0,58\n2,10,31\n3,20,14\n", carbon); r.Series[0].Chemicals[0].Name != carbon.Chemical {
		t.Errorf("PAC as told is %s", r.Series[0].Chemicals[0].Name)
	}
	named := Options{Columns: []Override{{Header: "PAC (mg/L)", Meaning: "powdered activated carbon mg/L"}}}
	if r := mustReadAny(t, "Jar,PAC (mg/L),NTU\n1,0,58\n2,10,31\n3,20,14\n", named); r.Series[0].Chemicals[0].Name != carbon.Chemical {
		t.Errorf("PAC by --column is %s", r.Series[0].Chemicals[0].Name)
	}
}

// mustReadAny reads a sheet whatever its notes say.
// TestStrangeUnitOfAnOverride: a unit that nobody knows is no silent default; the error names it. A chemical's own name, and
// words that headings have, are no units.
func TestStrangeUnitOfAnOverride(t *testing.T) {
	const jars = "Jar,Alum (mg/L as Al),Turb (NTU),Fed\n1,0,58,0\n2,1,31,10\n3,2,14,20\n4,3,6,30\n"
	for _, x := range []struct{ head, meaning, strange string }{
		{"C", "turbidity NTUU", "NTUU"}, {"C", "turbidity lumps", "lumps"}, {"C", "colour Hazenn", "Hazenn"}, {"C", "doc mgC/L", "mgC/L"},
		{"B", "dose mgg/L", "mgg/L"}, {"B", "dose alum mgg/L", "mgg/L"}, {"B", "dose alum spoonfuls", "spoonfuls"},
		{"C", "turbidity", ""}, {"C", "turbidity NTU", ""}, {"C", "turbidity after 30 min NTU", ""}, {"C", "tss mg/L", ""}, {"C", "turbidity nephelometric units", ""},
		{"B", "dose mg/L as Al", ""}, {"B", "dose Floxy 90 mg/L", ""}, {"B", "dose aluminium sulphate mg/L", ""},
		{"D", "dose furlongs", "furlongs"}, {"D", "stock thimbles", "thimbles"}, {"D", "dose", ""}, {"D", "stock mL", ""},
	} {
		r := mustReadAny(t, jars, Options{Columns: []Override{{Header: x.head, Meaning: x.meaning}}})
		said := ""
		for _, n := range r.Notes {
			if n.Level == note.Error && n.Code == "unit-not-understood" {
				said += n.Message
			}
		}
		if want := fmt.Sprintf(`%q in --column "%s=%s" is no unit that is known`, x.strange, x.head, x.meaning); x.strange == "" && said != "" || x.strange != "" && said != want {
			t.Errorf("%s=%s: %q", x.head, x.meaning, said)
		}
	}
}

// TestStrangeNameOfAnOverride: a name behind "dose" that nobody knows is said not to be taken; one that is known is no stranger.
func TestStrangeNameOfAnOverride(t *testing.T) {
	const jars = "Chemical,alum\n\nJar,Dose (mg/L),Turb (NTU)\n1,0,58\n2,10,31\n3,20,14\n4,30,6\n"
	for meaning, want := range map[string]string{"dose Greenfloc mg/L": "Greenfloc", "dose alum mg/L": "", "dose mg/L of alum": "", "dose mg/L as Al": "", "dose": ""} {
		said := ""
		for _, n := range mustReadAny(t, jars, Options{Columns: []Override{{Header: "B", Meaning: meaning}}}).Notes {
			if n.Code == "name-not-taken" {
				said += n.Message
			}
		}
		if full := fmt.Sprintf(`%q in --column "B=%s" is no chemical that is known, and was not taken`, want, meaning); (want == "") != (said == "") || want != "" && said != full {
			t.Errorf("%s: %q", meaning, said)
		}
	}
}

func mustReadAny(t *testing.T, text string, opt Options) Result {
	t.Helper()
	r, err := Read("s.csv", strings.NewReader(text), opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
