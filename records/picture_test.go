package records

import (
	"bytes"
	"flag"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"testing"

	"boltback/internal/canon"
	"boltback/internal/record"
)

var update = flag.Bool("update", false, "draw the pictures of the sample anew and write their digests into the records")

// records of the car, so that what a picture shows is what the records say.
type shown map[record.Ref]*record.Record

// scene draws one picture.
type scene func(c canvas, from shown)

// scenes are the pictures of the sample by the car and the paper that holds them.
var scenes = map[string]map[record.Ref]scene{car: scenesOfTheTern, boxed: {
	"papers/chassis-stamping": sestaStamping,
	"papers/two-photos":       twoPrints,
	"papers/shell-blasted":    bareShell,
	"papers/weigh-slip":       shellSlip,
	"papers/drawing-adapter":  drawingAdapter,
}, troubled: {
	"papers/frame-stamping":    courserStamping,
	"papers/drilled-bracket":   drilledBracket,
	"papers/fitting-sheet":     fittingSheet,
	"papers/brake-certificate": brakeCertificate,
	"papers/axle-pads-slip":    padsSlip,
}}

var scenesOfTheTern = map[record.Ref]scene{
	"papers/chassis-stamping":       chassisStamping,
	"papers/maker-plate":            makerPlate,
	"papers/engine-number":          engineNumber,
	"papers/engine-bay-before":      engineBayBefore,
	"papers/engine-bay-after":       engineBayAfter,
	"papers/boot-floor-before":      bootFloorBefore,
	"papers/boot-floor-after":       bootFloorAfter,
	"papers/tank-in-crate":          tankInCrate,
	"papers/engine-in-crate":        engineOnPallet,
	"papers/loom-ends":              loomEnds,
	"papers/mount-on-tower":         mountOnTower,
	"papers/rear-box-fitted":        rearBoxFitted,
	"papers/torque-marks":           torqueMarks,
	"papers/dead-test-meter":        deadTestMeter,
	"papers/weighing-before":        padsBefore,
	"papers/weighing-after":         padsAfter,
	"papers/archive-certificate":    archiveCertificate,
	"papers/weighbridge-ticket":     weighbridgeTicket,
	"papers/lane-weigh-ticket":      laneWeighTicket,
	"papers/brake-sheet":            brakeSheet,
	"papers/inspection-certificate": inspectionCertificate,
	"papers/drawing-front-cradle":   drawingFrontCradle,
	"papers/drawing-rear-cradle":    drawingRearCradle,
}

// draw makes a picture and its preview as files.
func draw(s scene, from shown) (original, preview []byte) {
	c := newCanvas()
	s(c, from)
	c.fill(box{16, 918, 232, 28, 6}, glass(0xFFFFFF, 175))
	c.write(28, 938, 17, plain, color.NRGBA{40, 40, 40, 255}, "demonstration picture")
	return encode(c, 74), encode(smaller(c.RGBA, 480, 360), 78)
}

func encode(m image.Image, quality int) []byte {
	var out bytes.Buffer
	if err := jpeg.Encode(&out, m, &jpeg.Options{Quality: quality}); err != nil {
		panic(err) // a buffer does not fail and the size is fixed
	}
	return out.Bytes()
}

// smaller takes the mean of the pixels that each pixel of the preview covers, in whole numbers.
func smaller(m *image.RGBA, w, h int) *image.RGBA {
	small := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		y0, y1 := y*high/h, ((y+1)*high+h-1)/h
		for x := range w {
			x0, x1 := x*wide/w, ((x+1)*wide+w-1)/w
			small.SetRGBA(x, y, mean(m, x0, y0, x1, y1))
		}
	}
	return small
}

func mean(m *image.RGBA, x0, y0, x1, y1 int) color.RGBA {
	var sum [3]int
	for y := y0; y < y1; y++ {
		for x := x0; x < x1; x++ {
			i := m.PixOffset(x, y)
			for k := range sum {
				sum[k] += int(m.Pix[i+k])
			}
		}
	}
	n := (y1 - y0) * (x1 - x0)
	return color.RGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), 255}
}

func TestEveryPictureIsDrawnAsItsPaperSays(t *testing.T) {
	if *update {
		updatePictures(t)
		return
	}
	if runtime.GOARCH != "amd64" {
		t.Skip("the letters of the fonts are drawn by code that has been tried on amd64 only")
	}
	for root, gallery := range scenes {
		all := recordsUnder(t, root)
		for id, s := range gallery {
			t.Run(path.Base(root)+"/"+path.Base(string(id)), func(t *testing.T) {
				t.Parallel()
				drawnAsSaid(t, all, id, s)
			})
		}
	}
}

func drawnAsSaid(t *testing.T, all shown, id record.Ref, s scene) {
	paper, ok := all[id].Body.(*record.Paper)
	if !ok {
		t.Fatalf("no paper %s", id)
	}
	original, preview := draw(s, all)
	if got := contentOf(original); *paper.Original != got {
		t.Errorf("the original is drawn as %v, the record says %v", got, *paper.Original)
	}
	if paper.Preview == nil {
		t.Fatal("no preview in the record")
	}
	if got := contentOf(preview); *paper.Preview != got {
		t.Errorf("the preview is drawn as %v, the record says %v", got, *paper.Preview)
	}
}

func contentOf(b []byte) record.Content {
	return record.Content{Digest: record.Digest(canon.Digest(b)), Bytes: int64(len(b)), Type: "image/jpeg"}
}

// updatePictures writes every picture, drops those no paper names any more, and mends the papers and what is signed
// over them.
func updatePictures(t *testing.T) {
	t.Helper()
	if err := os.RemoveAll("sample/originals"); err != nil {
		t.Fatal(err)
	}
	for root, gallery := range scenes {
		if err := os.RemoveAll("sample/" + root + "/previews"); err != nil {
			t.Fatal(err)
		}
		all := shown(recordsUnder(t, root))
		for id, s := range gallery {
			original, preview := draw(s, all)
			o, p := contentOf(original), contentOf(preview)
			put(t, "sample/originals/"+string(o.Digest)+".jpg", original)
			put(t, "sample/"+root+"/previews/"+string(p.Digest)+".jpg", preview)
			paper := all[id].Body.(*record.Paper)
			paper.Original, paper.Preview = &o, &p
			putRecord(t, root, id, paper)
		}
		signAnew(t, root, all)
	}
}

// signAnew writes the digests of what each sign-off covers.
func signAnew(t *testing.T, root string, all shown) {
	t.Helper()
	for id, s := range of[record.SignOff](all) {
		for i, covered := range s.Covers {
			src, err := os.ReadFile("sample/" + root + "/" + record.PathOf(covered.Record))
			if err != nil {
				t.Fatal(err)
			}
			s.Covers[i].Digest = record.Digest(canon.Digest(src))
		}
		putRecord(t, root, id, s)
	}
}

func putRecord(t *testing.T, root string, id record.Ref, body record.Body) {
	t.Helper()
	src, err := record.Encode(body)
	if err != nil {
		t.Fatal(err)
	}
	put(t, "sample/"+root+"/"+record.PathOf(id), src)
}

func put(t *testing.T, path string, b []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b, 0o644); err != nil {
		t.Fatal(err)
	}
}
