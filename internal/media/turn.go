package media

// Turn is how stored pixels become an upright picture: the values 1 to 8 of the
// Exif tag Orientation (Exif 2.32, 4.6.4 A).
type Turn int

// Upright is the turn of a picture that is stored as it is shown.
const Upright Turn = 1

// sideways says that width and height are swapped.
func (t Turn) sideways() bool { return t >= 5 && t <= 8 }

// from gives the stored place of a pixel of the upright picture, for a stored
// picture of w by h pixels.
func (t Turn) from(x, y, w, h int) (int, int) {
	switch t {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return y, h - 1 - x
	case 7:
		return w - 1 - y, h - 1 - x
	case 8:
		return w - 1 - y, x
	}
	return x, y
}
