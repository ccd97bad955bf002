package words

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"
)

// A salt of aluminium or iron is told by the stems of its two parts, which differ
// little from language to language. The stems are those of the usual names (IUPAC
// names and the words of the languages; from memory).
var (
	metals = []named{
		{"al", stems{
			"alumin|aliumin|aluminij|alumini|glin|hlinit|hlinik|alumiini",
			"алюмин|алюмін|алумин|αργιλ|铝|鋁|アルミニウム|알루미늄|এলুমি|অ্যালুমি|अल्युमि|एल्युमि|एल्यूमि|الومني|المني|الوميني|אלומיני|อะลูมิเนียม",
		}},
		{"fe", stems{
			"ferr|ferik|feric|eisen|ijzer|jarn|jern|hierro|fier|zelaz|zelez|demir|rauta|rauda|iron|gvozd|vaskl|vassz",
			"желез|заліз|σιδηρ|铁|鐵|鉄|철|الحديد|เฟอร์ริก|เหล็ก|حديد|فريك|פריק|ברזל|гвожђ|फेरिक|ফেরিক|பெரிக்",
		}},
	}
	acids = []named{
		{"sulfate", stems{
			"sulf|sulph|solfat|siarcz|siran|szulfat|sulfaat",
			"сульфат|сулфат|сірч|θειικ|硫酸|황산|সালফেট|सल्फेट|ซัลเฟต|كبريتات|سولفات|سلفات|סולפט|גופר|сернокисл",
		}},
		{"chloride", stems{
			"chlor|klor|clor|hlorid",
			"chlór|хлор|χλωρι|塩化|氯化|염화|ক্লোরাইড|क्लोराइड|คลอไรด์|كلوريد|كلرايد|كلريد|كلرور|כלור|குளோரைடு",
		}},
	}
	manyStems = stems{
		"poli|poly",
		"polí|поли|полі|πολυ|聚|ポリ|폴리|โพลี|พอลิ|โพลิ|بولي|پلي|פולי|पॉली|পলি|பாலி",
	}
	halfStems = stems{
		"ferros|ferreux|ferroso|zelaznat|zeleznat|(ii)| ii |ferrous|feros",
		"закис|亚铁|제1철|第一鉄|купорос|الحديدوز|เฟอร์รัส|황산제1|第1鉄",
	}
)

// named is a part of a salt with the stems of its names.
type named struct {
	name string
	stems
}

// symbolBefore finds the symbol of a metal right before the acid's part: "Al-sulfat", "Fe(III)-klorid".
var symbolBefore = NewPattern(`\b(?:al|fe)(?: ?\(?i{2,3}\)?)?[- ](?:sulf|sulph|solfat|szulfat|siarcz|chlorid|klorid|chlorur|clorur)`)

// noAcid are words that begin like an acid's part and are none.
var noAcid = map[string]bool{"chlorine": true, "chlor": true, "chlore": true, "cloro": true, "klor": true, "chloro": true, "chlorination": true, "chlorophyll": true, "sulfur": true}

// Salt names the coagulant whose metal and acid stand in folded text, in whatever
// language; "" for none.
func Salt(folded string) string {
	if !acids[0].stems.in(folded) && !acids[1].stems.in(folded) {
		return ""
	}
	metal, acid, many := "", "", false
	for _, t := range Tokens(folded) {
		metal, acid = cmp.Or(metal, metalOf(t.Text)), cmp.Or(acid, acidOf(t.Text))
		many = many || manyStems.in(t.Text)
	}
	if metal == "" {
		metal = symbolBefore.FindString(folded)
		metal = metal[:min(2, len(metal))]
	}
	half := halfStems.in(folded)
	for _, n := range saltNames {
		if n.metal == metal && n.acid == acid && (!n.many || many) && (!n.half || half) {
			return n.name
		}
	}
	return ""
}

// ofSalt reports a word that is a part of the name of a salt, with the part for its acid right before or after
// it: "sulfate of alumina" is no alumina.
func ofSalt(folded string, from, to int) bool {
	ts := Tokens(folded)
	at := slices.IndexFunc(ts, func(t Token) bool { return t.From <= from && from < t.To })
	if at < 0 {
		return false
	}
	before, after := at-1, at+1
	for before > 0 && saltLinks[ts[before].Text] {
		before--
	}
	for after < len(ts) && ts[after].From < to {
		after++
	}
	return before >= 0 && acidOf(ts[before].Text) != "" || after < len(ts) && acidOf(ts[after].Text) != ""
}

// aluminaOfSalt reports a folded text whose alumina is part of the name of a salt.
func aluminaOfSalt(folded string) bool {
	at := strings.Index(folded, "alumina")
	return at >= 0 && ofSalt(folded, at, at+len("alumina"))
}

// saltLinks stand between the acid and what it is a salt of.
var saltLinks = map[string]bool{"of": true, "d": true, "de": true, "da": true, "di": true, "del": true, "dell": true, "do": true, "van": true, "av": true, "af": true, "der": true, "des": true}

// metalOf names the metal in a word. In scripts of letters it begins the word, or
// follows "poly".
func metalOf(word string) string {
	anywhere := manyStems.begin(word) || word[0] >= utf8.RuneSelf
	for _, m := range metals {
		if m.stems.begin(word) || anywhere && m.stems.in(word) {
			return m.name
		}
	}
	return ""
}

// acidOf names the acid in a word.
func acidOf(word string) string {
	for _, a := range acids {
		if !noAcid[word] && a.stems.in(word) {
			return a.name
		}
	}
	return ""
}

// saltNames are the names of the salts, the more exact first.
var saltNames = []struct {
	name, metal, acid string
	many, half        bool
}{
	{"PACl", "al", "chloride", true, false}, {"aluminium chloride", "al", "chloride", false, false}, {"alum", "al", "sulfate", false, false},
	{"ferrous sulfate", "fe", "sulfate", false, true}, {"ferric sulfate", "fe", "sulfate", false, false}, {"ferric chloride", "fe", "chloride", false, false},
}

// SaltWord reports that a word is one of the parts of a salt's name.
func SaltWord(word string) bool {
	return acids[0].stems.in(word) || acids[1].stems.in(word) || metals[0].stems.begin(word) || metals[1].stems.begin(word) || manyStems.begin(word)
}

// stems are beginnings of words, parted by "|": those in letters of Latin, and others.
type stems struct{ latin, others string }

func (s stems) in(text string) bool { return s.any(text, strings.Contains) }

func (s stems) begin(word string) bool { return s.any(word, strings.HasPrefix) }

func (s stems) any(text string, holds func(text, stem string) bool) bool {
	lists := []string{s.latin, s.others}
	if ascii(text) {
		lists = lists[:1]
	}
	for _, list := range lists {
		for stem := range strings.SplitSeq(list, "|") {
			if stem != "" && holds(text, stem) {
				return true
			}
		}
	}
	return false
}
