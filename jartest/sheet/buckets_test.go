package sheet

import (
	"math"
	"testing"
)

// Tests in buckets: the mass in each is divided by the water that a bucket holds, 0.5 g in 20 L being
// 25 mg/L. A bucket of stock, or jars of another size, are not what was dosed.
func TestMassPerBucket(t *testing.T) {
	for _, c := range []struct {
		line, head string
		want       float64
	}{
		{"Bucket volume,20 L", "Alum (g per bucket)", 25}, {"Six 20 L buckets", "Alum (g per bucket)", 25}, {"20 L buckets", "Alum (g/bucket)", 25}, {"Test pails 10 L", "Alum (g per pail)", 50},
		{"Jar volume,20 L", "Alum (g per bucket)", 25}, {"Bucket volume,2 L", "Alum (g per bucket)", 250}, {"Bechervolumen,20 L", "Alum (g je Eimer)", 25}, {"Volume,20 L", "Alum (g par seau)", 25},
		{"Volumen,20 L", "Alum (g por balde)", 25}, {"Volume,20 L", "Alum (g per emmer)", 25},
		{"Jars 1 L", "Alum (g per bucket)", 0}, {"Stock bucket,20 L", "Alum (g per bucket)", 0}, {"Bucket volume,20 L", "Alum (g per scoop)", 0}, {"Test in the yard", "Alum (g per bucket)", 0},
	} {
		r := mustRead(t, "s.csv", c.line+"\n\nBucket,"+c.head+",NTU\n1,0,50\n2,0.5,12\n3,1,5\n", Options{})
		got := 0.0
		if len(r.Series) == 1 && len(r.Series[0].Jars) == 3 {
			got = float64(r.Series[0].Jars[1].Doses[0].Concentration)
		}
		if math.Abs(got-c.want) > 1e-9 || c.want == 0 && len(loud(r)) == 0 {
			t.Errorf("%s, %s: %g mg/L, not %g; says %v", c.line, c.head, got, c.want, r.Notes)
		}
	}
}
