package sheet

import (
	"cmp"
	"math/rand"
	"slices"
	"strings"
	"testing"

	diff "github.com/google/go-cmp/cmp"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// ruleCases hold every rule for columns: a small sheet, its lines parted by "/", in
// which the rule decides the role of one column, and one in which it must not speak.
var ruleCases = []struct {
	step  int
	why   string
	yes   string
	at    int
	role  role
	no    string
	notAt int
}{
	{stepNames, "its heading says that it does not count", "Jar,Alum (mg/L),NTU,old NTU/1,0,30,31/2,9,5,6", 3, asIgnored, "Jar,Alum (mg/L),NTU,NTU B/1,0,30,31/2,9,5,6", 3},
	{stepNames, "it is empty", "Jar,Alum (mg/L),NTU,pH/1,0,30/2,9,5", 3, asIgnored, "Jar,Alum (mg/L),NTU,pH/1,0,30,7/2,9,5,", 3},
	{stepNames, "it names what was read on each line", "Jar,Parameter,Alum (mg/L),NTU/1,settled,0,30/2,settled,9,5", 1, asParameter, "Jar,Parameter,Alum (mg/L),NTU/1,4,0,30/2,5,9,5", 1},
	{stepNames, "it stands beside the names of the lines", "Parameter,Alum (mg/L),NTU/1,0,30/2,9,5", 0, asJar, "Jar,Parameter,Alum (mg/L),NTU/1,4,0,30/2,5,9,5", 1},
	{stepNames, "the corner over the labels names the units beside them", "Unit,1,2,3/Alum (mg/L),0,9,20/Turbidity (NTU),30,9,3/pH,7,7.1,7.2", 0, asJar, "Jar,1,2,3/Alum (mg/L),0,9,20/Turbidity (NTU),30,9,3", 0},
	{stepNames, "it gives units", "Jar,Dose,Unit,NTU/1,0,mg/L,30/2,9,mg/L,5", 2, asUnit, "Jar,Dose,Unit,NTU/1,0,1,30/2,9,1,5", 2},
	{stepNames, "it gives the water in each jar", "Jar,Water volume (mL),Alum (mg/L),NTU/1,500,0,30/2,500,9,5", 1, asVolume, "Jar,Stock volume (mL),Alum (mg/L),NTU/1,0,0,30/2,1,9,5", 1},
	{stepNames, "one strength of stock for all jars", "Jar,Stock (mg/L),Alum (mL),NTU/1,900,0,30/2,900,9,5", 1, asStrength, "Jar,Stock (mg/L),NTU/1,0,30/2,9,5", 1},
	{stepNames, "a strength that no jar has", "Jar,Strength (%),Alum (mL),NTU/1,5,0,30/2,6,9,5", 1, asStrength, "Jar,Strength (mg/L),Alum (mL),NTU/1,5,0,30/2,6,9,5", 1},
	{stepNames, "it says how far the sample was diluted", "Jar,Alum (mg/L),NTU,Dilution/1,0,30,10/2,9,5,1", 3, asDilution, "Jar,Alum (mg/L),NTU,Dilution NTU/1,0,30,10/2,9,5,1", 3},
	{stepNames, "strengths of stock beside their volumes", "Jar,Stock (g/L),Added (mL),NTU/1,10,0,30/2,20,9,5", 1, asStrength, "Jar,Stock (g/L),NTU/1,10,30/2,20,5", 1},
	{stepNames, "what is left in the water is no dose", "Jar,Alum (mg/L),NTU,Residual (mg/L)/1,0,30,2/2,9,5,1", 3, asReading, "Jar,Residual,Alum (mg/L),NTU/1,2,0,30/2,1,9,5", 1},
	{stepNames, "it says what shall be reached", "Jar,Alum (mg/L),NTU,Target NTU/1,0,30,5/2,9,5,5", 3, asTarget, "Jar,Target alum (mg/L),NTU/1,0,30/2,9,5", 1},
	{stepNames, "it names a reading", "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 2, asReading, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 1},
	{stepNames, "it names a removal", "Jar,Alum (mg/L),NTU,Removal (%)/1,0,30,0/2,9,5,80", 3, asReading, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 2},
	{stepNames, "it names a dose by weight", "Jar,Alum (mg/L),Alkalinity dose (mg/L),NTU/1,0,5,30/2,9,5,5", 2, asReading, "Jar,Alum (mg/L),Alkalinity after dose (mg/L),NTU/1,0,5,30/2,9,5,5", 2},
	{stepNames, "it tells the beakers or the papers apart", "Jar,Alum (mg/L),NTU,Tape colour/1,0,30,red/2,9,5,blue", 3, asNote, "Jar,Alum (mg/L),NTU,Colour/1,0,30,30/2,9,5,5", 3},
	{stepNames, "it holds the signs of limits", "Jar,Alum (mg/L),Qualifier,NTU/1,0,,30/2,9,<,5", 2, asQualifier, "Jar,Alum (mg/L),Note,NTU/1,0,,30/2,9,<,5", 2},
	{stepNames, "it numbers the repeats", "Jar,Rep,Alum (mg/L),NTU/1,1,0,30/1,2,0,31/2,1,9,5", 1, asReplicate, "Jar,Rep dose,NTU/1,0,30/2,9,5", 1},
	{stepNames, "it names a dose", "Jar,Dose,NTU/1,0,30/2,9,5", 1, asDose, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 1},
	{stepNames, "it names a stock", "Jar,Stock (mL),NTU/1,0,30/2,9,5", 1, asStock, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 1},
	{stepNames, "it names a chemical and a unit", "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 1, asDose, "Jar,Dose (mg/L),NTU/1,0,30/2,9,5", 1},
	{stepNames, "it names a chemical", "Jar,Alum,NTU/1,0,30/2,9,5", 1, asDose, "Jar,Dose,NTU/1,0,30/2,9,5", 1},
	{stepMasses, "a weight that differs between jars whose named dose does not", "Jar,mg/L,NTU,Lime (mg/L)/1,0,30,5/2,9,5,5/3,18,3,5", 1, asDose, "Jar,mg/L,NTU,Lime (mg/L)/1,0,30,5/2,9,5,6/3,18,3,7", 1},
	{stepMasses, "a volume that differs between jars whose named dose does not", "Jar,mL,NTU,Lime (mg/L)/1,0,30,5/2,9,5,5/3,18,3,5", 1, asStock, "Jar,mL,NTU,Lime (mg/L)/1,0,30,5/2,9,5,6/3,18,3,7", 1},
	{stepNames, "it names the jars", "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 0, asJar, "Jar,Sample volume (mL),Alum (mg/L),NTU/1,5,0,30/2,5,9,5", 1},
	{stepNames, "it counts the jars, in a unit that labels have no use for", "Jar mL,Alum (mg/L),NTU/1,0,30/2,9,5/3,18,3", 0, asJar, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5/3,18,3", 0},
	{stepNames, "it counts the jars, whatever unit its heading has", "Jar NTU,Alum (mg/L),TSS (mg/L)/1,0,30/2,9,5/3,18,3", 0, asJar, "Jar turbidity NTU,Alum (mg/L),TSS (mg/L)/1,0,30/2,9,5/3,18,3", 0},
	{stepNames, "it names a jar, in a unit of doses", "Jar (mg/L),NTU/0,30/10,9/20,5", 0, asJar, "Jar (mg/L),Dose (mg/L),NTU/0,0,30/10,10,9", 0},
	{stepNames, "labels beside those of the jars, some more than once", "Sample,Jar,Alum (mg/L),NTU/A,1,0,30/A,2,9,5/B,3,0,31/B,4,9,6", 0, asTest, "Sample,Jar,Alum (mg/L),NTU/A,1,0,30/B,2,9,5", 0},
	{stepNames, "labels beside those of the jars", "Jar,Sample,Alum (mg/L),NTU/1,A,0,30/2,B,9,5", 1, asNote, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 0},
	{stepNames, "it names the chemical of each jar", "Jar,Chemical,Dose (mg/L),NTU/1,alum,0,30/2,alum,9,5", 1, asChemical, "Jar,Chemical,NTU/1,0,30/2,9,5", 1},
	{stepNames, "it names the chemical of each dose", "Jar,Dose chemical,Dose (mg/L),NTU/1,alum,0,30/2,alum,9,5", 1, asChemical, "Jar,Dose,NTU/1,0,30/2,9,5", 1},
	{stepNames, "figures under a word for chemicals", "Jar,Coagulant,NTU/1,0,30/2,9,5", 1, asDose, "Jar,Coagulant,Dose (mg/L),NTU/1,alum,0,30/2,alum,9,5", 1},
	{stepNames, "it names the test", "Test,Jar,Alum (mg/L),NTU/1,1,0,30/1,2,9,5", 0, asTest, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 0},
	{stepNames, "an observation in figures keeps its own name", "Jar,Alum (mg/L),NTU,Remarks/1,0,30,3/2,9,5,4", 3, asReading, "Jar,Alum (mg/L),NTU,Remarks/1,0,30,pin/2,9,5,big", 3},
	{stepNames, "it holds remarks", "Jar,Alum (mg/L),NTU,Remarks/1,0,30,pin/2,9,5,big", 3, asNote, "Jar,Alum (mg/L),NTU,Wiggle/1,0,30,pin/2,9,5,big", 3},
	{stepNames, "it sums up readings", "Jar,Alum (mg/L),Mean/1,0,30/2,9,5", 2, asReading, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 2},
	{stepNames, "it holds results", "Jar,Alum (mg/L),Result/1,0,30/2,9,5", 2, asReading, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 2},
	{stepNames, "it is text for the most part", "Jar,Alum (mg/L),NTU,Wiggle/1,0,30,pin/2,9,5,big", 3, asNote, "Jar,Alum (mg/L),NTU,Wiggle/1,0,30,3/2,9,5,4", 3},
	{stepNames, "nothing else is known of it", "Jar,Alum (mg/L),NTU,Wiggle/1,0,30,3/2,9,5,4", 3, asReading, "", 0},

	{stepNames, "what a chemical costs or where it came from is no dose", "Jar,Alum (mg/L),Alum price,NTU/1,0,3,30/2,9,3,5", 2, asReading, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 1},
	{stepNames, "it says what is done to other numbers", "Jar,Alum (mg/L),NTU,Factor/1,0,30,2/2,9,5,2", 3, asNote, "Jar,Alum (mg/L),NTU,Wiggle/1,0,30,2/2,9,5,2", 3},

	{stepLabels, "a name for every row names no test", "Jar,Test,Alum (mg/L),NTU/1,X,0,30/2,Y,9,5/3,Z,20,3", 1, asNote, "Jar,Test,Alum (mg/L),NTU/1,X,0,30/2,X,9,5/3,X,20,3", 1},
	{stepLabels, "the first column needs no heading to hold labels", ",Alum (mg/L),NTU/x,0,30/y,9,5", 0, asJar, "Jar,Alum (mg/L),NTU/x,0,30/y,9,5", 0},
	{stepLabels, "texts in the first column, under a word that is not known", "Wiggle,Alum (mg/L),NTU/x,0,30/y,9,5", 0, asJar, "Remarks,Alum (mg/L),NTU/x,0,30/y,9,5", 0},
	{stepLabels, "the first column counts the rows", "Wiggle,Alum (mg/L),NTU/1,0,30/2,9,5/3,20,3", 0, asJar, "Wiggle,Alum (mg/L),NTU/1,0,30/3,9,5/4,20,3", 0},
	{stepLabels, "the first column has another name for every row", "Test,Alum (mg/L),NTU/x,0,30/y,9,5", 0, asJar, "Test,Alum (mg/L),NTU/x,0,30/x,9,5", 0},
	{stepLabels, "it has another name for every row", "Alum (mg/L),Test,NTU/0,x,30/9,y,5", 1, asJar, "Alum (mg/L),Test,NTU/0,x,30/9,x,5", 1},
	{stepLabels, "buckets have letters, and the dose stands in another column", "Bucket,Alum (mg/L),NTU/A,0,30/B,9,5/C,20,2", 0, asJar, "Bucket,Alum (mg/L),NTU/A,0,30/B,9,5/B,20,2", 0},
	{stepLabels, "buckets are numbered, and the dose stands in another column", "Bucket,Alum (mg/L),NTU/1,0,30/2,9,5/3,20,2", 0, asJar, "Bucket,Alum (mg/L),NTU/2,0,30/4,9,5/3,20,2", 0},

	{stepDoses, "it holds no figures", "Jar,Stock,Alum (mg/L),NTU/1,old,0,30/2,new,9,5", 1, asNote, "Jar,Alum (mg/L),NTU/1,x,30/2,y,5", 1},
	{stepDoses, "the doses stand in another column", "Jar,Alum dose,Dose (mg/L),NTU/1,low,0,30/2,high,9,5", 1, asNote, "Jar,Alum dose,NTU/1,low,30/2,high,5", 1},
	{stepDoses, "it is in millilitres, not in mg/L", "Jar,Alum (mL),NTU/1,0,30/2,9,5", 1, asStock, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 1},
	{stepDoses, "it names a stock without a unit", "Jar,Alum stock dose,NTU/1,0,30/2,9,5", 1, asDose, "Jar,Alum stock dose (mg/L),NTU/1,0,30/2,9,5", 1},

	{stepMasses, "a weight and nothing else, and the sheet names a chemical that no column doses", "Chemical,Alum//Jar,mg/L,NTU,Lime (mg/L)/1,0,30,5/2,9,5,5", 1, asDose, "Chemical,Lime//Jar,mg/L,NTU,Lime (mg/L)/1,0,30,5/2,9,5,5", 1},
	{stepMasses, "the dose has a column of its own, so the metal is what is left of it", "Jar,Alum (mg/L),NTU,Al (mg/L)/1,0,30,1/2,9,5,2", 3, asReading, "Jar,Al (mg/L),NTU/1,0,30/2,9,5", 1},
	{stepMasses, "a metal by weight before the readings", "Jar,Al (mg/L),NTU/1,0,30/2,9,5", 1, asDose, "Jar,NTU,Al (mg/L)/1,30,0/2,5,9", 2},
	{stepMasses, "a weight and nothing else", "Jar,mg/L,NTU/1,0,30/2,9,5", 1, asDose, "Jar,Alum (mg/L),mg/L,NTU/1,0,0,30/2,9,1,5", 2},
	{stepMasses, "a weight and nothing else, like the column beside it", "Jar,mg/L,mg/L,NTU/1,0,0,30/2,9,1,5", 2, asReading, "Jar,mg/L,NTU,mg/L/1,0,30,0/2,9,5,1", 3},
	{stepMasses, "a volume and nothing else", "Jar,mL,NTU/1,0,30/2,9,5", 1, asStock, "Jar,Alum (mg/L),mL,NTU/1,0,0,30/2,9,1,5", 2},
	{stepMasses, "a volume for each volume of water and nothing else", "Jar,ppmv,NTU/1,0,30/2,9,5", 1, asStock, "Jar,Alum (mg/L),ppmv,NTU/1,0,0,30/2,9,1,5", 2},
	{stepMasses, "spoons, scoops, buckets", "Jar,scoops,NTU/1,0,30/2,2,5", 1, asDose, "Bucket,mg/L,NTU/1,0,30/2,9,5", 0},
	{stepMasses, "drops", "Jar,drops,NTU/1,0,30/2,9,5", 1, asStock, "Jar,mL,NTU/1,0,30/2,9,5", 1},
	{stepMasses, "a weight of something unknown, before the readings", "Jar,Wiggle (mg/L),NTU/1,0,30/2,9,5", 1, asDose, "Jar,Alum (mg/L),NTU,Wiggle (mg/L)/1,0,30,0/2,9,5,1", 3},
	{stepMasses, "a volume of something unknown, before the readings", "Jar,Alum (mg/L),Wiggle (mL),NTU/1,0,0,30/2,9,1,5", 2, asStock, "Jar,Alum (mg/L),NTU,Wiggle (mL)/1,0,30,0/2,9,5,1", 3},

	{stepStats, "its single readings stand beside it", "Jar,Alum (mg/L),NTU 1,NTU 2,Mean NTU/1,0,30,31,30.5/2,9,5,6,5.5", 4, asMean, "Jar,Alum (mg/L),Mean NTU/1,0,30/2,9,5", 2},
	{stepStats, "the deviation of the reading beside it", "Jar,Alum (mg/L),NTU,SD/1,0,30,1/2,9,5,1", 3, asSD, "Jar,Alum (mg/L),SD/1,0,30/2,9,5", 2},
	{stepStats, "the number of readings beside it", "Jar,Alum (mg/L),Mean NTU,n/1,0,30,3/2,9,5,3", 3, asN, "Jar,n,Alum (mg/L),Mean NTU/1,3,0,30/2,3,9,5", 1},
	{stepStats, "a number of what, nobody can say", "Jar,Alum (mg/L),NTU,n/1,0,30,3/2,9,5,8", 3, asIgnored, "Jar,Alum (mg/L),NTU,number of readings/1,0,30,3/2,9,5,8", 3},
	{stepStats, "a deviation of nothing", "Jar,SD,Alum (mg/L),NTU/1,1,0,30/2,1,9,5", 1, asIgnored, "Jar,Alum (mg/L),NTU,SD/1,0,30,1/2,9,5,1", 3},
	{stepStats, "a number of nothing", "Jar,n,Alum (mg/L),Mean NTU/1,3,0,30/2,3,9,5", 1, asIgnored, "Jar,Alum (mg/L),Mean NTU,n/1,0,30,3/2,9,5,3", 3},
	{stepStats, "it is worked out of the readings", "Jar,Alum (mg/L),NTU,Max NTU/1,0,30,31/2,9,5,6", 3, asIgnored, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 2},
	{stepStats, "a sum of nothing that is read", "Jar,Alum (mg/L),NTU,Sum/1,0,30,31/2,9,5,6", 3, asIgnored, "Jar,Alum (mg/L),NTU/1,0,30/2,9,5", 2},

	{stepStats, "it is a statistic of the repeats in every jar", "Jar,Alum (mg/L),NTU 1,NTU 2,Zork/1,0,30,32,31/2,9,5,7,6/3,20,2,3,2.5/4,30,1,2,1.5", 4, asIgnored, "Jar,Alum (mg/L),NTU 1,NTU 2,Zork/1,0,30,32,31/2,9,5,7,9/3,20,2,3,2.5/4,30,1,2,1.5", 4},
	{stepSettings, "a pH that was set", "Jar,pH set,Alum (mg/L),NTU/1,6,0,30/2,7,9,5", 1, asSetting, "Jar,pH,Alum (mg/L),NTU/1,6,0,30/2,7,9,5", 1},
	{stepSettings, "a pH to be reached", "Jar,Target pH,Alum (mg/L),NTU/1,6,0,30/2,7,9,5", 1, asSetting, "Jar,pH,Alum (mg/L),NTU/1,6,0,30/2,7,9,5", 1},

	{stepNames, "it names the jars and says what each holds", "Jar (1 L),Alum (mg/L),NTU/1,0,30/2,9,5", 0, asJar, "Jar (L),Alum (mg/L),NTU/1,0,30/2,9,5", 0},
	{stepNames, "what the laboratory weighed or drew is no dose", "Jar,Alum (mg/L),Filter tare (g),NTU/1,0,1.2,30/2,9,1.3,5", 2, asReading, "Jar,Alum (mg/L),Lime (g),NTU/1,0,1.2,30/2,9,1.3,5", 2},
	{stepBefore, "it is the water before treatment", "Jar,Alum (mg/L),Initial NTU,NTU/1,0,31,30/2,9,31,5", 2, asBefore, "Jar,Alum (mg/L),Final NTU/1,0,31/2,9,31", 2},
	{stepBefore, "it differs between the jars as their readings do", "Jar,Alum (mg/L),Initial NTU/1,0,31/2,9,9/3,20,2", 2, asReading, "Jar,Alum (mg/L),Initial NTU/1,0,31/2,9,30/3,20,31", 2},
}

// columnIn gives a column of the first table of a small sheet.
func columnIn(t *testing.T, small string, at int) field {
	t.Helper()
	b := benchOf(t, "small.csv", []byte(unfolded.Replace(small)), Options{})
	if b == nil || len(b.tables) == 0 || at >= len(b.byTable[b.tables[0]]) {
		t.Fatalf("no column %d in a table: %s", at, small)
	}
	return b.byTable[b.tables[0]][at]
}

// unfolded parts the lines of a small sheet; a slash in a unit stays.
var unfolded = strings.NewReplacer("mg/L", "mg/L", "g/L", "g/L", "/", "\n")

func TestColumnRules(t *testing.T) {
	spoken := func(f field, why string) bool {
		return slices.ContainsFunc(f.votes, func(v layout.Vote[role, *evidence]) bool { return v.Why == why })
	}
	proved := map[string]bool{}
	for _, c := range ruleCases {
		f := columnIn(t, c.yes, c.at)
		if f.role != c.role || !spoken(f, c.why) {
			t.Errorf("%s, column %d: %s, want %s; votes %+v, none for %q", c.yes, c.at, f.role, c.role, whys(f), c.why)
		}
		if c.no != "" && spoken(columnIn(t, c.no, c.notAt), c.why) {
			t.Errorf("%s, column %d: the rule %q speaks", c.no, c.notAt, c.why)
		}
		proved[c.why] = true
	}
	for _, rs := range columnRows {
		for _, r := range rs {
			if !proved[r.Why] && !strings.HasPrefix(r.Why, "it is hidden") {
				t.Errorf("no sheet shows the rule %q", r.Why)
			}
		}
	}
}

func whys(f field) (out []string) {
	for _, v := range f.votes {
		out = append(out, v.Role.String()+": "+v.Why)
	}
	return out
}

// TestNearTies reads sheets in which one column can be two things: the reader asks, and
// what it asks for settles the matter.
func TestNearTies(t *testing.T) {
	for small, want := range map[string]struct {
		settle Override
		role   role
	}{
		"Jar,Alum stock dose,NTU/1,0,30/2,9,5/3,20,2":             {Override{Header: "Alum stock dose", Meaning: "stock mL"}, asStock},
		"Jar (mg/L),NTU/0,30/10,9/20,5":                           {Override{Header: "Jar (mg/L)", Meaning: "dose mg/L"}, asDose},
		"Jar,Alum (mg/L),Initial NTU/1,0,31/2,9,9/3,20,2":         {Override{Header: "Initial NTU", Meaning: "turbidity"}, asReading},
		"Jar,Alkalinity dose (mg/L),NTU/1,0,30/2,9,5/3,20,2":      {Override{Header: "Alkalinity dose (mg/L)", Meaning: "dose mg/L"}, asDose},
		"Jar,mg/L,mg/L B,NTU/1,0,0,30/2,9,1,5":                    {Override{Header: "mg/L B", Meaning: "ignore"}, asIgnored},
		"Jar,Alum (mg/L),Initial NTU,NTU/1,0,31,30/2,9,9,5/3,2,2": {},
	} {
		data := []byte(unfolded.Replace(small))
		asks := func(opt Options) bool {
			b := benchOf(t, "small.csv", data, opt)
			return slices.ContainsFunc(b.notes, func(n note.Note) bool { return n.Code == "role-unclear" && n.Level == note.Error })
		}
		if got := asks(Options{}); got != (want.settle != Override{}) {
			t.Errorf("%s: asks %v", small, got)
		}
		if want.settle == (Override{}) {
			continue
		}
		opt := Options{Columns: []Override{want.settle}}
		if asks(opt) {
			t.Errorf("%s: asks although told", small)
		}
		b, found := benchOf(t, "small.csv", data, opt), false
		for _, f := range b.byTable[b.tables[0]] {
			found = found || f.Head.Text == want.settle.Header && f.role == want.role
		}
		if !found {
			t.Errorf("%s: told %v, it is no %s", small, want.settle, want.role)
		}
	}
}

// shuffled mixes the rows of a table of rules.
func shuffled[R cmp.Ordered, E any](rng *rand.Rand, rs layout.Rules[R, E]) layout.Rules[R, E] {
	mixed := slices.Clone(rs)
	rng.Shuffle(len(mixed), func(a, b int) { mixed[a], mixed[b] = mixed[b], mixed[a] })
	return mixed
}

// TestRuleOrder shuffles the rows of every table of rules: nothing that is read from any
// layout may change.
func TestRuleOrder(t *testing.T) {
	want := layoutRoles(t)
	columns, rows, parts := slices.Clone(columnSteps), rowRuled, partRuled
	defer func() {
		copy(columnSteps, columns)
		rowRuled, partRuled = rows, parts
	}()
	rng := rand.New(rand.NewSource(13))
	for i, rs := range columns {
		columnSteps[i] = shuffled(rng, rs)
	}
	rowRuled, partRuled = shuffled(rng, rows), shuffled(rng, parts)
	if d := diff.Diff(strings.Split(want, "\n"), strings.Split(layoutRoles(t), "\n")); d != "" {
		t.Errorf("the order of the rules tells: %s", d)
	}
}
