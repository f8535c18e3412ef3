package score

// Shares of a note's written value that sound, by its marks. Staccato is the
// half that handbooks give (a measured piano value is 0.40: Bresin and Battel,
// JNMR 29, 2000); the others are handbook defaults from memory.
const (
	staccatissimoShare = 0.25
	staccatoShare      = 0.5
	portatoShare       = 0.75
	plainShare         = 0.85
	fullShare          = 1.0
)

// SoundedShare is the share of its written value for which a note is expected
// to sound, 0 to 1.
func (n *Note) SoundedShare() float64 {
	switch {
	case n.Marks.Has(Staccato) && n.SlurTo:
		return portatoShare // dots under a slur (common practice)
	case n.SlurTo || n.GlissTo || n.Grace:
		return fullShare
	case n.Marks.Has(Staccatissimo):
		return staccatissimoShare
	case n.Marks.Has(Staccato | Tenuto):
		return portatoShare
	case n.Marks.Has(Staccato):
		return staccatoShare
	case n.Marks.Any(Tenuto | Fermata):
		return fullShare
	}
	return plainShare
}
