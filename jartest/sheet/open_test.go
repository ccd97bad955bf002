package sheet

import "testing"

// A workbook is known by its content, whatever its name says; so is text.
func TestWrongNames(t *testing.T) {
	readBytes(t, "jars.xls", sixJars(t), 1)
	readBytes(t, "jars.csv", sixJars(t), 1)
	readBytes(t, "jars.xlsx", []byte("Jar;Alum (mg/L);NTU\n1;10;30\n2;20;12\n3;30;5,5\n"), 1)
}
