package score

import "testing"

// TestFadesAreNoTempos: words that change the tempo gradually set none, and words that
// only look like them do not (common practice, any dictionary of terms).
func TestFadesAreNoTempos(t *testing.T) {
	for text, want := range map[string]bool{
		"Allegro": true, "Allegro ritmico": true, "Andante (strings)": true,
		"rit. Adagio": false, "Adagio, ritard.": false, "riten. al Lento": false, "Allegro string.": false,
		"allargando Largo": false, "slentando Adagio": false, "Largo smorzando": false, "accel. al Presto": false,
	} {
		if got := IsTempoWord(text); got != want {
			t.Errorf("%q names a tempo: %v, want %v", text, got, want)
		}
	}
}
