package note

import "testing"

// What is to be done besides follows a remedy that was written as it stands.
func TestAlsoAfterAPlainRemedy(t *testing.T) {
	n := Note{Remedy: "name it"}
	if n = n.Also("; %d more", 2); n.Remedy != "name it; 2 more" {
		t.Errorf("%q", n.Remedy)
	}
}
