package code

import (
	"cmp"
	"math"
	"slices"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode/detector"
)

// Bounds of what is looked at in one picture. A wallpaper of corner marks has
// thousands, and every three of them could be a code.
const (
	mostMarks = 96 // a sheet of 24 labels shows 72
	mostTries = 96
)

// mark is the middle of what looks like the corner mark of a QR code.
type mark = *detector.FinderPattern

// corners are three marks that lie like those of one code.
type corners struct{ lowerLeft, upperLeft, upperRight mark }

// confirmed is on how many lines of pixels a mark was crossed before it is
// believed; texts and grilles make the pattern once by chance.
const confirmed = 2

// findMarks looks along the lines of a picture for dark and light in the
// proportion 1:1:3:1:1 (ISO/IEC 18004, 12 a), and gives the marks that were
// crossed most often.
func findMarks(dark *gozxing.BitMatrix) []mark {
	f := detector.NewFinderPatternFinder(dark, nil)
	for y := 1; y < dark.GetHeight() && len(f.GetPossibleCenters()) < 4*mostMarks; y += 2 {
		alongLine(f, dark, y)
	}
	var marks []mark
	for _, m := range f.GetPossibleCenters() {
		if m.GetCount() >= confirmed {
			marks = append(marks, m)
		}
	}
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(b.GetCount(), a.GetCount()) })
	return marks[:min(len(marks), mostMarks)]
}

// alongLine hands every five runs of dark and light that end in light to the
// finder, which looks at them across and aslant too.
func alongLine(f *detector.FinderPatternFinder, dark *gozxing.BitMatrix, y int) {
	runs := make([]int, 5)
	at := 0
	consider := func(x int) bool {
		return at == 4 && detector.FinderPatternFinder_foundPatternCross(runs) && f.HandlePossibleCenter(runs, y, x)
	}
	for x := range dark.GetWidth() {
		if dark.Get(x, y) == (at%2 == 0) {
			runs[at]++
			continue
		}
		switch {
		case at < 4 && !(at == 0 && runs[0] == 0):
			at++
			runs[at]++
		case at == 0: // light in front of the first dark
		case consider(x):
			clear(runs)
			at = 0
		default:
			copy(runs, runs[2:])
			runs[3], runs[4] = 1, 0
			at = 3
		}
	}
	consider(dark.GetWidth())
}

// codesOf puts marks together by three: like in size, and lying as the corners
// of a square do when one looks at it from not too far aside.
func codesOf(marks []mark) []corners {
	const sizes, sides, diagonal = 1.45, 1.35, 1.25
	marks = slices.Clone(marks)
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.GetEstimatedModuleSize(), b.GetEstimatedModuleSize()) })
	var all []corners
	for i, a := range marks {
		for j := i + 1; j < len(marks) && marks[j].GetEstimatedModuleSize() <= sizes*a.GetEstimatedModuleSize(); j++ {
			for k := j + 1; k < len(marks) && marks[k].GetEstimatedModuleSize() <= sizes*a.GetEstimatedModuleSize(); k++ {
				if c := ordered(a, marks[j], marks[k]); c.skew() < sides && c.bend() < diagonal && c.size() {
					all = append(all, c)
				}
			}
		}
	}
	slices.SortStableFunc(all, func(a, b corners) int { return cmp.Compare(a.skew()*a.bend(), b.skew()*b.bend()) })
	return all[:min(len(all), mostTries)]
}

func ordered(a, b, c mark) corners {
	lowerLeft, upperLeft, upperRight := gozxing.ResultPoint_OrderBestPatterns(a, b, c)
	return corners{lowerLeft.(mark), upperLeft.(mark), upperRight.(mark)}
}

func between(a, b mark) float64 { return math.Hypot(a.GetX()-b.GetX(), a.GetY()-b.GetY()) }

// skew is how unlike the two sides are; 1 is a square.
func (c corners) skew() float64 {
	a, b := between(c.upperLeft, c.lowerLeft), between(c.upperLeft, c.upperRight)
	return max(a, b) / max(min(a, b), 1)
}

// bend is how far the angle between the sides is from a right one, by the diagonal; 1 is right.
func (c corners) bend() float64 {
	right := math.Hypot(between(c.upperLeft, c.lowerLeft), between(c.upperLeft, c.upperRight))
	is := between(c.lowerLeft, c.upperRight)
	return max(right, is) / max(min(right, is), 1)
}

// size says that the marks lie as many modules apart as those of a code of ours
// may: from version 1 to 10.
func (c corners) size() bool {
	const least, most = 21 - 7, 57 - 7
	module := (c.upperLeft.GetEstimatedModuleSize() + c.lowerLeft.GetEstimatedModuleSize() + c.upperRight.GetEstimatedModuleSize()) / 3
	modules := (between(c.upperLeft, c.lowerLeft) + between(c.upperLeft, c.upperRight)) / 2 / max(module, 0.1)
	return modules > least*0.75 && modules < most*1.3
}

// pairOf says that two marks among these may be two corners of one code whose
// third cannot be seen.
func pairOf(dark *gozxing.BitMatrix, marks []mark) bool {
	const sure, alike, least, most = 3, 1.25, 13.0, 60.0
	marks = slices.DeleteFunc(slices.Clone(marks), func(m mark) bool { return m.GetCount() < sure || !cornered(dark, m) })
	for i, a := range marks {
		for _, b := range marks[i+1:] {
			small, large := min(a.GetEstimatedModuleSize(), b.GetEstimatedModuleSize()), max(a.GetEstimatedModuleSize(), b.GetEstimatedModuleSize())
			modules := between(a, b) / max((small+large)/2, 0.1)
			if large <= alike*small && modules > least && modules < most {
				return true
			}
		}
	}
	return false
}

// cornered says that a mark reaches further towards some sides than towards
// others, as a square does and a bolt in a washer does not.
func cornered(dark *gozxing.BitMatrix, m mark) bool {
	const directions, least = 16, 1.13
	var reach []float64
	for i := range directions {
		sin, cos := math.Sincos(float64(i) * 2 * math.Pi / directions)
		reach = append(reach, reachOf(dark, m, cos, sin))
	}
	slices.Sort(reach)
	return reach[directions-3] >= least*reach[2] && reach[2] > 0
}

// reachOf walks from the middle of a mark through dark, light and dark to where
// its rim ends; 0 if the picture ends first.
func reachOf(dark *gozxing.BitMatrix, m mark, cos, sin float64) float64 {
	const step = 0.5
	want, changes := true, 0
	for r := 0.0; r < 8*m.GetEstimatedModuleSize(); r += step {
		x, y := int(m.GetX()+r*cos), int(m.GetY()+r*sin)
		if x < 0 || y < 0 || x >= dark.GetWidth() || y >= dark.GetHeight() {
			return 0
		}
		if dark.Get(x, y) != want {
			want = !want
			if changes++; changes == 3 {
				return r
			}
		}
	}
	return 0
}
