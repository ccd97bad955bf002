package words

import "strings"

// A salt of aluminium or iron is told by the stems of its two parts, which differ
// little from language to language. The stems are those of the usual names (IUPAC
// names and the words of the languages; from memory).
var (
	metalStems = []struct{ metal, stems string }{
		{"al", "alumin|aluminij|alumini|glin|hlinit|hlinik|алюмин|алюмін|алумин|αργιλ|alumiini|铝|鋁|アルミニウム|알루미늄|এলুমি|অ্যালুমি|अल्युमि|एल्युमि|एल्यूमि|الومني|المني|الوميني|אלומיני|อะลูมิเนียม"},
		{"fe", "ferr|ferik|feric|eisen|ijzer|jarn|jern|hierro|fier|zelaz|zelez|желез|заліз|σιδηρ|demir|rauta|rauda|iron|铁|鐵|鉄|철|الحديد|เฟอร์ริก|เหล็ก|حديد|فريك|פריק|ברזל|гвожђ|gvozd|फेरिक|ফেরিক|பெரிக்|vaskl|vassz"},
	}
	acidStems = []struct{ acid, stems string }{
		{"sulfate", "sulf|sulph|solfat|siarcz|siran|сульфат|сулфат|сірч|θειικ|szulfat|sulfaat|硫酸|황산|সালফেট|सल्फेट|ซัลเฟต|كبريتات|سولفات|سلفات|סולפט|גופר|сернокисл"},
		{"chloride", "chlor|klor|clor|chlór|хлор|χλωρι|塩化|氯化|염화|ক্লোরাইড|क्लोराइड|คลอไรด์|كلوريد|كلرايد|كلريد|كلرور|כלור|hlorid|குளோரைடு"},
	}
	manyStems = "poli|poly|polí|поли|полі|πολυ|聚|ポリ|폴리|โพลี|พอลิ|โพลิ|بولي|پلي|פולי|पॉली|পলি|பாலி"
	halfStems = "ferros|ferreux|ferroso|zelaznat|zeleznat|(ii)| ii |закис|亚铁|제1철|第一鉄|ferrous|feros|купорос|الحديدوز|เฟอร์รัส|황산제1|第1鉄"
)

// noAcid are words that begin like an acid's part and are none.
var noAcid = map[string]bool{"chlorine": true, "chlor": true, "chlore": true, "cloro": true, "klor": true, "chloro": true, "chlorination": true, "chlorophyll": true, "sulfur": true}

// Salt names the coagulant whose metal and acid stand in folded text, in whatever
// language; "" for none. In scripts of letters the metal begins a word, or follows
// "poly".
func Salt(folded string) string {
	metal, acid, many := "", "", false
	half := contains(folded, halfStems)
	for _, t := range Tokens(folded) {
		many = many || contains(t.Text, manyStems)
		for _, m := range metalStems {
			if metal == "" && (begins(t.Text, m.stems) || begins(t.Text, manyStems) && contains(t.Text, m.stems) || t.Text[0] >= 0x80 && contains(t.Text, m.stems)) {
				metal = m.metal
			}
		}
		for _, a := range acidStems {
			if acid == "" && !noAcid[t.Text] && contains(t.Text, a.stems) {
				acid = a.acid
			}
		}
	}
	for _, n := range saltNames {
		if n.metal == metal && n.acid == acid && (!n.many || many) && (!n.half || half) {
			return n.name
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

func contains(text, stems string) bool {
	for s := range strings.SplitSeq(stems, "|") {
		if strings.Contains(text, s) {
			return true
		}
	}
	return false
}

func begins(text, stems string) bool {
	for s := range strings.SplitSeq(stems, "|") {
		if strings.HasPrefix(text, s) {
			return true
		}
	}
	return false
}

// SaltWord reports that a word is one of the parts of a salt's name.
func SaltWord(word string) bool {
	return contains(word, acidStems[0].stems) || contains(word, acidStems[1].stems) || begins(word, metalStems[0].stems) || begins(word, metalStems[1].stems) || begins(word, manyStems)
}
