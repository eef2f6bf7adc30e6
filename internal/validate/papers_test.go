package validate

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/canon"
	"boltback/internal/ledger"
)

func TestADeepCheckFindsAPreviewThatSaysWhatACameraWrote(t *testing.T) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 8, 8)), nil); err != nil {
		t.Fatal(err)
	}
	speaking := append([]byte("\xff\xd8\xff\xfe\x00\x0bby Odile"), b.Bytes()[2:]...)
	for name, c := range map[string]struct {
		preview []byte
		want    int
	}{"bare": {b.Bytes(), 0}, "speaking": {speaking, 1}} {
		car := sound(t)
		digest := canon.Digest(c.preview)
		car["previews/"+digest+".jpg"] = &fstest.MapFile{Data: c.preview}
		car["papers/bay.json"] = &fstest.MapFile{Data: fmt.Appendf(nil,
			"{\n  \"kind\": \"paper\",\n  \"class\": \"photo\",\n  \"original\": {\n    \"digest\": %q\n  },\n  \"preview\": {\n    \"digest\": %q,\n    \"type\": \"image/jpeg\"\n  }\n}\n", strings.Repeat("a1", 32), digest)}
		s, err := ledger.Load(car)
		if err != nil {
			t.Fatal(err)
		}
		found, err := shared.Check(s, Options{On: theDay, Deep: true})
		if err != nil || len(found) != c.want || c.want > 0 && found[0].Code != "preview-speaks" {
			t.Errorf("%s: %v, %v", name, found, err)
		}
	}
}
