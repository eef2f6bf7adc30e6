package figure_test

import (
	"regexp"
	"strconv"
	"testing"

	"boltback/internal/figure"
)

func TestPictogramsAreToldApartByShapeAndByWord(t *testing.T) {
	shapes, words := map[string]bool{}, map[string]bool{}
	for _, p := range figure.Pictograms() {
		d := figure.New(10, 10)
		d.Pictogram(5, 5, 8, p)
		svg := d.SVG()
		if shapes[svg] || words[p.Meaning()] || p.Meaning() == "" {
			t.Errorf("%q looks or is called like another", p.Meaning())
		}
		shapes[svg], words[p.Meaning()] = true, true
	}
	if len(shapes) != 7 {
		t.Errorf("there are %d pictograms", len(shapes))
	}
}

func TestAPictogramStaysInItsSquare(t *testing.T) {
	numbers := regexp.MustCompile(`-?\d+(\.\d+)?`)
	for _, p := range figure.Pictograms() {
		d := figure.New(10, 10)
		d.Pictogram(5, 5, 8, p)
		for _, path := range regexp.MustCompile(` d="([^"]*)"`).FindAllStringSubmatch(d.SVG(), -1) {
			for _, n := range numbers.FindAllString(path[1], -1) {
				if v, err := strconv.ParseFloat(n, 64); err != nil || v < 0.9 || v > 9.1 {
					t.Errorf("%q reaches %s in %q", p.Meaning(), n, path[1])
				}
			}
		}
	}
}
