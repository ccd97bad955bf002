package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// TestEncodings reads sheets in the encodings before Unicode, their headings typed as
// bytes.
func TestEncodings(t *testing.T) {
	for name, x := range map[string]struct{ head, says string }{
		"Polish":               {"Zlewka;Dawka PAC (mg/L);M\xeatno\x9c\xe6 (NTU)", "Windows-1250"},
		"Polish, ISO":          {"Zlewka;Dawka PAC (mg/L);M\xeatno\xb6\xe6 (NTU)", "ISO 8859-2"},
		"German":               {"Becherglas;Dosis PAC (mg/L);Tr\xfcbung (NTU)", "Windows-1252"},
		"Russian":              {"\xd1\xf2\xe0\xea\xe0\xed;\xc4\xee\xe7\xe0 PAC (\xec\xe3/\xeb);\xcc\xf3\xf2\xed\xee\xf1\xf2\xfc (NTU)", "Windows-1251"},
		"Russian, KOI8":        {"\xf3\xd4\xc1\xcb\xc1\xce;\xe4\xcf\xda\xc1 PAC (\xcd\xc7/\xcc);\xed\xd5\xd4\xce\xcf\xd3\xd4\xd8 (NTU)", "KOI8-U"},
		"Russian, 866":         {"\x91\xe2\xa0\xaa\xa0\xad;\x84\xae\xa7\xa0 PAC (\xac\xa3/\xab);\x8c\xe3\xe2\xad\xae\xe1\xe2\xec (NTU)", "code page 866"},
		"Greek":                {"\xd0\xef\xf4\xde\xf1\xe9;\xc4\xfc\xf3\xe7 PAC (mg/L);\xc8\xef\xeb\xfc\xf4\xe7\xf4\xe1 (NTU)", "Windows-1253"},
		"Turkish":              {"Beher;PAC dozu (mg/L);Bulan\xfdkl\xfdk (NTU)", "Windows-1254"},
		"Hebrew":               {"\xeb\xe5\xf1;\xee\xe9\xf0\xe5\xef PAC (mg/L);\xf2\xeb\xe9\xf8\xe5\xfa (NTU)", "Windows-1255"},
		"Arabic":               {"\xdf\xc3\xd3;\xcc\xd1\xda\xc9 PAC (mg/L);\xda\xdf\xc7\xd1\xc9 (NTU)", "Windows-1256"},
		"Thai":                 {"\xba\xd5\xa1\xe0\xa1\xcd\xc3\xec;\xbb\xc3\xd4\xc1\xd2\xb3 PAC (mg/L);\xa4\xc7\xd2\xc1\xa2\xd8\xe8\xb9 (NTU)", "Windows-874"},
		"Japanese":             {"\x83\x72\x81\x5b\x83\x4a\x81\x5b;\x92\x8d\x93\xfc\x97\xa6 PAC (mg/L);\x91\xf7\x93x (NTU)", "Shift JIS"},
		"Japanese, EUC":        {"\xa5\xd3\xa1\xbc\xa5\xab\xa1\xbc;\xc3\xed\xc6\xfe\xce\xa8 PAC (mg/L);\xc2\xf9\xc5\xd9 (NTU)", "EUC-JP"},
		"Korean":               {"\xba\xf1\xc4\xbf;\xc1\xd6\xc0\xd4\xb7\xae PAC (mg/L);\xc5\xb9\xb5\xb5 (NTU)", "EUC-KR"},
		"Chinese, simplified":  {"\xc9\xd5\xb1\xad;\xcd\xb6\xbc\xd3\xc1\xbf PAC (mg/L);\xd7\xc7\xb6\xc8 (NTU)", "GB 18030"},
		"Chinese, traditional": {"\xbfN\xaaM;\xa5[\xc3\xc4\xb6q PAC (mg/L);\xbf\x42\xab\xd7 (NTU)", "Big5"},
	} {
		t.Run(name, func(t *testing.T) {
			data := x.head + "\n1;10;31\n2;20;14,5\n3;30;5,25\n4;40;2,1\n"
			r, err := Read("bench.csv", strings.NewReader(data), Options{})
			if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != 4 {
				t.Fatalf("%v, %v\n%s", err, r.Notes, picture(r, err))
			}
			if j := r.Series[0].Jars[1]; float64(j.Doses[0].Concentration) != 20 || j.Readings.Of(jartest.Turbidity).Value != 14.5 {
				t.Errorf("jar 2: %+v", j)
			}
			said := ""
			for _, n := range r.Notes {
				if n.Code == "encoding" {
					said = n.Message
				}
			}
			if !strings.Contains(said, "read as "+x.says+",") || r.Notes.Worst() >= note.Caution {
				t.Errorf("said %q, want %s: %v", said, x.says, r.Notes)
			}
		})
	}
}

// Where no word tells the code pages apart, the letters are doubted and both are named.
func TestDoubtfulEncoding(t *testing.T) {
	r, err := Read("bench.csv", strings.NewReader("Jar;Alum (mg/L);NTU;Notes\n1;10;31;\xe6\xea\xf1\xe6\n2;20;14,5;\xf1\xea\xe6\n3;30;5,25;\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range r.Notes {
		if n.Code == "encoding" && n.Level == note.Caution && strings.Contains(n.Message, "could be") {
			return
		}
	}
	t.Errorf("no doubt: %v", r.Notes)
}
