package figure

// Picture is a drawing with what it shows in words, for those who cannot see it.
// Nothing in it is told by colour.
type Picture struct {
	ID, Title, Alt string
	Drawing        *Drawing
}
