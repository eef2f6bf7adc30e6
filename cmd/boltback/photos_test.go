package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"boltback/internal/media"
)

// snapshot makes a picture as large as a preview, with as much to see in it as in a workshop.
func snapshot(t testing.TB, number int) []byte {
	t.Helper()
	picture := image.NewGray(image.Rect(0, 0, media.PreviewSide, media.PreviewSide*3/4))
	grain := rand.New(rand.NewPCG(1967, uint64(number)))
	for y := range picture.Rect.Dy() {
		for x := range picture.Rect.Dx() {
			picture.SetGray(x, y, color.Gray{Y: uint8((x/40*37+y/30*53+number*11)%160 + grain.IntN(24))})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture, &jpeg.Options{Quality: 72}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// addPhoto lays a photo's record and its preview into a car; without an ending the preview is not laid down.
func addPhoto(t testing.TB, car, name string, preview []byte, ending string) {
	t.Helper()
	digest := fmt.Sprintf("%x", sha256.Sum256(preview))
	write(t, filepath.Join(car, "papers", name+".json"), fmt.Sprintf(`{
  "kind": "paper",
  "class": "photo",
  "preview": {
    "digest": %q,
    "bytes": %d,
    "type": "image/jpeg"
  },
  "caption": "Bracket as found, %s",
  "by": "people/quayside/odile",
  "claimed": "2026-02-01",
  "received": "2026-02-02",
  "way": "card"
}
`, digest, len(preview), name))
	if ending != "" {
		write(t, filepath.Join(car, "previews", digest+ending), string(preview))
	}
}

// addPhotos adds so many photos to a car.
func addPhotos(t testing.TB, car string, photos int) {
	t.Helper()
	for i := range photos {
		addPhoto(t, car, fmt.Sprintf("photo-%03d", i), snapshot(t, i), ".jpg")
	}
}
