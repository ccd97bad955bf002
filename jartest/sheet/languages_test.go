package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// tongue is what a bench sheet says in one language: the words as technicians write
// them (from memory of the languages).
type tongue struct {
	name                          string
	jar, dose, turbidity, ph, sig string // the heading row; dose with its unit, sig the remarks
	remark                        string
	control, raw, mean, sd        string
}

var tongues = []tongue{
	{"English", "Jar", "Alum dose (mg/L)", "Turbidity (NTU)", "pH", "Remarks", "clear", "Control", "Raw water", "Average", "SD"},
	{"Spanish", "Jarra", "Dosis de sulfato de aluminio (mg/L)", "Turbidez (NTU)", "pH", "Observaciones", "clara", "Testigo", "Agua cruda", "Promedio", "Desv. est."},
	{"Portuguese", "Jarro", "Dose de sulfato de alumínio (mg/L)", "Turbidez (uT)", "pH", "Observações", "límpida", "Branco", "Água bruta", "Média", "Desvio padrão"},
	{"French", "Bécher", "Dose de sulfate d'aluminium (mg/L)", "Turbidité (NTU)", "pH", "Remarques", "claire", "Témoin", "Eau brute", "Moyenne", "Écart-type"},
	{"German", "Becherglas", "Dosis Aluminiumsulfat (mg/L)", "Trübung (NTU)", "pH-Wert", "Bemerkung", "klar", "Blindprobe", "Rohwasser", "Mittelwert", "Standardabw."},
	{"Italian", "Bicchiere", "Dose solfato di alluminio (mg/L)", "Torbidità (NTU)", "pH", "Note", "limpida", "Bianco", "Acqua grezza", "Media", "Dev. standard"},
	{"Dutch", "Bekerglas", "Dosering aluminiumsulfaat (mg/L)", "Troebelheid (NTU)", "pH", "Opmerkingen", "helder", "Blanco", "Ruw water", "Gemiddelde", "St. afw."},
	{"Swedish", "Bägare", "Dos aluminiumsulfat (mg/L)", "Turbiditet (NTU)", "pH", "Anmärkning", "klar", "Nollprov", "Råvatten", "Medelvärde", "Std.avv."},
	{"Norwegian", "Begerglass", "Dose aluminiumsulfat (mg/L)", "Turbiditet (NTU)", "pH", "Merknad", "klar", "Kontroll", "Råvann", "Snitt", "Std.avvik"},
	{"Danish", "Bægerglas", "Dosis aluminiumsulfat (mg/L)", "Turbiditet (NTU)", "pH", "Bemærkninger", "klar", "Nulprøve", "Råvand", "Gennemsnit", "Std. afv."},
	{"Finnish", "Astia", "Alumiinisulfaatin annos (mg/L)", "Sameus (NTU)", "pH", "Huomautuksia", "kirkas", "Nollanäyte", "Raakavesi", "Keskiarvo", "Keskihajonta"},
	{"Polish", "Zlewka", "Dawka siarczanu glinu (mg/L)", "Mętność (NTU)", "pH", "Uwagi", "klarowna", "Próba kontrolna", "Woda surowa", "Średnia", "Odch. std."},
	{"Czech", "Kádinka", "Dávka síranu hlinitého (mg/L)", "Zákal (NTU)", "pH", "Poznámka", "čirá", "Slepý vzorek", "Surová voda", "Průměr", "Směr. odch."},
	{"Slovak", "Kadička", "Dávka síranu hlinitého (mg/L)", "Zákal (NTU)", "pH", "Poznámky", "číra", "Slepá vzorka", "Surová voda", "Priemer", "Smer. odch."},
	{"Hungarian", "Főzőpohár", "Alumínium-szulfát adag (mg/L)", "Zavarosság (NTU)", "pH", "Megjegyzés", "tiszta", "Vakpróba", "Nyersvíz", "Átlag", "Szórás"},
	{"Romanian", "Pahar", "Doză sulfat de aluminiu (mg/L)", "Turbiditate (NTU)", "pH", "Observații", "limpede", "Martor", "Apă brută", "Medie", "Abatere standard"},
	{"Bulgarian", "Чаша", "Доза алуминиев сулфат (mg/L)", "Мътност (NTU)", "pH", "Забележка", "бистра", "Контрола", "Сурова вода", "Средно", "Ст. отклонение"},
	{"Croatian", "Čaša", "Doza aluminijevog sulfata (mg/L)", "Mutnoća (NTU)", "pH", "Napomena", "bistra", "Kontrola", "Sirova voda", "Prosjek", "St. dev."},
	{"Serbian", "Чаша", "Доза алуминијум-сулфата (mg/L)", "Мутноћа (NTU)", "pH", "Напомена", "бистра", "Контрола", "Сирова вода", "Просек", "Стандардна девијација"},
	{"Greek", "Ποτήρι", "Δόση θειικού αργιλίου (mg/L)", "Θολότητα (NTU)", "pH", "Παρατηρήσεις", "διαυγές", "Μάρτυρας", "Ακατέργαστο νερό", "Μέσος όρος", "Τυπική απόκλιση"},
	{"Turkish", "Beher", "Alüminyum sülfat dozu (mg/L)", "Bulanıklık (NTU)", "pH", "Açıklama", "berrak", "Kör", "Ham su", "Ort.", "Std sapma"},
	{"Russian", "Стакан", "Доза сульфата алюминия (мг/л)", "Мутность (ЕМФ)", "рН", "Примечание", "прозрачная", "Контроль", "Исходная вода", "Среднее", "Ст. откл."},
	{"Ukrainian", "Склянка", "Доза сульфату алюмінію (мг/л)", "Каламутність (НОК)", "рН", "Примітка", "прозора", "Контроль", "Вихідна вода", "Середнє", "Ст. відх."},
	{"Arabic", "رقم الكأس", "جرعة الشبة (ملغم/لتر)", "العكارة (NTU)", "الرقم الهيدروجيني", "ملاحظات", "صافية", "شاهد", "ماء خام", "المتوسط", "الانحراف المعياري"},
	{"Persian", "بشر", "دوز سولفات آلومینیوم (میلی\u200cگرم بر لیتر)", "کدورت (NTU)", "pH", "توضیحات", "شفاف", "شاهد", "آب خام", "میانگین", "انحراف معیار"},
	{"Hebrew", "כוס", "מינון אלום (מ\"ג/ל')", "עכירות (NTU)", "pH", "הערות", "צלול", "ביקורת", "מים גולמיים", "ממוצע", "סטיית תקן"},
	{"Hindi", "जार", "फिटकरी की मात्रा (मिग्रा/ली)", "गंदलापन (NTU)", "पीएच", "टिप्पणी", "साफ", "ब्लैंक", "कच्चा पानी", "औसत", "मानक विचलन"},
	{"Bengali", "জার", "ফিটকিরির মাত্রা (মিগ্রা/লি)", "ঘোলাত্ব (NTU)", "পিএইচ", "মন্তব্য", "স্বচ্ছ", "কন্ট্রোল", "কাঁচা পানি", "গড়", "আদর্শ বিচ্যুতি"},
	{"Tamil", "ஜாடி", "படிகார அளவு (mg/L)", "கலங்கல் (NTU)", "pH", "குறிப்பு", "தெளிவு", "கட்டுப்பாடு", "மூல நீர்", "சராசரி", "திட்ட விலக்கம்"},
	{"Indonesian", "Gelas", "Dosis tawas (mg/L)", "Kekeruhan (NTU)", "pH", "Keterangan", "jernih", "Kontrol", "Air baku", "Rata-rata", "Simpangan baku"},
	{"Malay", "Bikar", "Dos alum (mg/L)", "Kekeruhan (NTU)", "pH", "Catatan", "jernih", "Kawalan", "Air mentah", "Purata", "Sisihan piawai"},
	{"Tagalog", "Garapon", "Dosis ng tawas (mg/L)", "Labo (NTU)", "pH", "Puna", "malinaw", "Kontrol", "Hilaw na tubig", "Karaniwan", "Pamantayang paglihis"},
	{"Vietnamese", "Cốc", "Liều phèn nhôm (mg/L)", "Độ đục (NTU)", "pH", "Ghi chú", "trong", "Đối chứng", "Nước thô", "Trung bình", "Độ lệch chuẩn"},
	{"Thai", "บีกเกอร์", "ปริมาณสารส้ม (มก./ล.)", "ความขุ่น (NTU)", "พีเอช", "หมายเหตุ", "ใส", "ชุดควบคุม", "น้ำดิบ", "ค่าเฉลี่ย", "ส่วนเบี่ยงเบนมาตรฐาน"},
	{"Khmer", "កែវ", "កម្រិតសាច់ជូរ (mg/L)", "ភាពល្អក់ (NTU)", "pH", "កំណត់សម្គាល់", "ថ្លា", "ត្រួតពិនិត្យ", "ទឹកឆៅ", "មធ្យម", "គម្លាតស្តង់ដារ"},
	{"Burmese", "ခွက်", "ကျောက်ချဉ် ပမာဏ (mg/L)", "နောက်ကျိမှု (NTU)", "pH", "မှတ်ချက်", "ကြည်", "ထိန်းချုပ်", "ရေကြမ်း", "ပျမ်းမျှ", "စံသွေဖည်မှု"},
	{"Chinese, simplified", "烧杯编号", "硫酸铝投加量(mg/L)", "浊度(NTU)", "pH值", "备注", "清", "空白对照", "原水", "平均值", "标准差"},
	{"Chinese, traditional", "燒杯編號", "硫酸鋁加藥量(mg/L)", "濁度(NTU)", "pH值", "備註", "清", "對照組", "原水", "平均值", "標準差"},
	{"Japanese", "ビーカー番号", "硫酸アルミニウム注入率(mg/L)", "濁度(度)", "pH値", "備考", "透明", "ブランク", "原水", "平均", "標準偏差"},
	{"Korean", "비커번호", "황산알루미늄 주입량(mg/L)", "탁도(NTU)", "pH", "비고", "맑음", "무주입", "원수", "평균", "표준편차"},
}

// TestLanguages reads one test in the words of many languages: the raw water stands
// above the table and as a row in it, a control, five jars, and a mean and a standard
// deviation below them.
func TestLanguages(t *testing.T) {
	dose := []float64{0, 10, 20, 30, 40, 50}
	turbidity := []float64{82, 31, 14.5, 5.25, 2.1, 3.4}
	passed := 0
	for _, w := range tongues {
		ok := t.Run(w.name, func(t *testing.T) {
			var b strings.Builder
			line := func(cells ...any) {
				for i, c := range cells {
					if i > 0 {
						b.WriteByte('\t')
					}
					fmt.Fprint(&b, c)
				}
				b.WriteByte('\n')
			}
			line(w.raw+" (NTU)", 85.5)
			line()
			line(w.jar, w.dose, w.turbidity, w.ph, w.sig)
			line(w.control, 0, 82, 7.5, "")
			for i := range 5 {
				line(i+1, dose[i+1], turbidity[i+1], 7.4-0.1*float64(i), w.remark)
			}
			line(w.mean, "", 23.04, 7.25, "")
			line(w.sd, "", 30.7, 0.18, "")
			r, err := Read("bench.tsv", strings.NewReader(b.String()), Options{})
			if err != nil {
				t.Fatalf("%v\n%s", err, b.String())
			}
			if len(r.Series) != 1 || len(r.Series[0].Jars) != 6 {
				t.Fatalf("%d series: %v\n%s%s", len(r.Series), r.Notes, b.String(), picture(r, nil))
			}
			s := r.Series[0]
			for i, j := range s.Jars {
				if len(j.Doses) != 1 || float64(j.Doses[0].Concentration) != dose[i] || j.Readings.Of(jartest.Turbidity).Value != turbidity[i] || j.Control != (i == 0) {
					t.Errorf("jar %d: %+v", i, j)
				}
				if want := 7.4 - 0.1*float64(max(i-1, 0)); i > 0 && math.Abs(j.Readings.Of(jartest.PH).Value-want) > 1e-9 {
					t.Errorf("jar %d: pH %v, want %v", i, j.Readings.Of(jartest.PH).Value, want)
				}
			}
			if got := s.Raw[jartest.Turbidity].Value; got != 85.5 {
				t.Errorf("raw turbidity %v", got)
			}
			if r.Notes.Worst() >= note.Caution {
				t.Errorf("%v\n%s", r.Notes, b.String())
			}
		})
		if ok {
			passed++
		}
	}
	t.Logf("%d of %d languages", passed, len(tongues))
}
