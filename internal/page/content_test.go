package page

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/figure"
)

// content is what a page says, without the units it begins with.
func content(p *Page) string {
	p.endMark()
	_, rest, _ := strings.Cut(p.content.String(), "cm\n")
	return rest
}

func TestOutlinesBecomeTheOperatorsOfThePage(t *testing.T) {
	line := figure.Polyline(false, figure.Point{X: 1, Y: 2}, figure.Point{X: 3.5, Y: 4})
	box := figure.Box(0, 0, 2, 1)
	for name, c := range map[string]struct {
		path  figure.Path
		paint figure.Paint
		want  string
	}{
		"a line":           {line, figure.Paint{Width: 0.25, Edge: figure.Black}, "0.25 w\n1 2 m\n3.5 4 l\nS\n"},
		"a grey line":      {line, figure.Paint{Width: 1, Edge: 0.5}, "0.5 G\n1 2 m\n3.5 4 l\nS\n"},
		"a dashed line":    {line, figure.Paint{Width: 1, Edge: 1, Dash: []float64{2, 1}}, "[2 1] 0 d\n1 2 m\n3.5 4 l\nS\n"},
		"an area":          {box, figure.Paint{Filled: true, Fill: figure.Black}, "0 0 m\n2 0 l\n2 1 l\n0 1 l\nh\nf*\n"},
		"an area and edge": {box, figure.Paint{Filled: true, Fill: figure.White, Width: 1, Edge: 1}, "1 g\n0 0 m\n2 0 l\n2 1 l\n0 1 l\nh\nB*\n"},
		"a curve":          {figure.Path{}.MoveTo(0, 0).CurveTo(figure.Point{X: 1}, figure.Point{X: 2, Y: 1}, figure.Point{X: 2, Y: 2}), figure.Paint{Width: 1, Edge: 1}, "0 0 m\n1 0 2 1 2 2 c\nS\n"},
		"nothing":          {nil, figure.Paint{Width: 1}, ""},
		"without any ink":  {box, figure.Paint{}, ""},
	} {
		p := New(Info{}, A4).Page()
		p.Path(c.path, c.paint)
		want := c.want
		if want != "" {
			want = "/Artifact BMC\n" + want + "EMC\n"
		}
		if got := content(p); got != want {
			t.Errorf("%s:\n%s\nwant\n%s", name, got, want)
		}
	}
}

func TestWhatDoesNotChangeIsNotSaidAgain(t *testing.T) {
	p := New(Info{}, A4).Page()
	for range 3 {
		p.Path(figure.Box(0, 0, 1, 1), figure.Paint{Filled: true, Fill: figure.Pale, Width: 0.3, Edge: figure.Grey, Dash: []float64{1}})
	}
	got := content(p)
	for _, once := range []string{" g\n", " G\n", " w\n", " d\n"} {
		if strings.Count(got, once) != 1 {
			t.Errorf("%q is said %d times in\n%s", once, strings.Count(got, once), got)
		}
	}
}

func TestTextStandsUprightOrRunsUpwards(t *testing.T) {
	p := New(Info{}, A4).Page()
	p.Label(10, 20, figure.Label{Text: "A", Size: 4, Shade: figure.Black})
	p.Label(10, 20, figure.Label{Text: "A", Size: 4, Shade: figure.Black, Turned: true})
	p.Label(10, 20, figure.Label{Size: 4})
	for _, want := range []string{"BT /R 1 Tf 4 0 0 -4 10 20 Tm <", "BT /R 1 Tf 0 -4 -4 0 10 20 Tm <"} {
		if strings.Count(content(p), want) != 1 {
			t.Errorf("%q is not once in\n%s", want, content(p))
		}
	}
	if strings.Count(content(p), "BT") != 2 {
		t.Error("an empty text is printed")
	}
}

func TestUnitsAreMillimetresFromTheUpperLeftCorner(t *testing.T) {
	for paper, want := range map[Paper]string{A4: "2.8346 0 0 -2.8346 0 841.8898 cm\n", Letter: "2.8346 0 0 -2.8346 0 792 cm\n"} {
		if got := New(Info{}, paper).Page().content.String(); got != want {
			t.Errorf("%v begins with %q, want %q", paper, got, want)
		}
	}
}

// paintTree paints at random, in elements nested at random, over pages.
func paintTree(t *rapid.T, b *Book, depth int, painted *int) {
	for range rapid.IntRange(0, 4).Draw(t, "things") {
		switch rapid.IntRange(0, 4).Draw(t, "what") {
		case 0:
			b.Page()
		case 1:
			if depth < 5 {
				role := rapid.SampledFrom([]Role{Paragraph, Table, Row, Cell, HeaderCell, Figure, List}).Draw(t, "role")
				b.Tag(Element{Role: role, Alt: "x"}, func() { paintTree(t, b, depth+1, painted) })
			}
		case 2:
			b.Decoration(func() { lastPage(b).Path(figure.Box(0, 0, 1, 1), figure.Paint{Width: 1}) })
		default:
			*painted++
			lastPage(b).Label(1, 1, figure.Label{Text: fmt.Sprint(*painted), Size: 3})
		}
	}
}

func lastPage(b *Book) *Page { return b.Pages()[len(b.Pages())-1] }

var opensOrCloses = regexp.MustCompile(`(?m)^(/\S+ (?:<</MCID (\d+)>> BDC|BMC)|EMC)$`)

func TestContentIsAlwaysMarkedOnceAndBelongsToOneElement(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := New(Info{Language: "en"}, A4)
		b.Page()
		painted := 0
		paintTree(t, b, 0, &painted)
		var file bytes.Buffer
		if err := b.Write(&file); err != nil {
			t.Fatal(err)
		}
		for _, p := range b.Pages() {
			open, next := 0, 0
			for _, m := range opensOrCloses.FindAllStringSubmatch(p.content.String(), -1) {
				if m[1] == "EMC" {
					open--
				} else {
					open++
				}
				if open < 0 || open > 1 {
					t.Fatalf("marks are not balanced:\n%s", p.content.String())
				}
				if m[2] != "" {
					if m[2] != fmt.Sprint(next) {
						t.Fatalf("mark %s where %d is next", m[2], next)
					}
					next++
				}
			}
			if open != 0 || next != len(p.marks) {
				t.Fatalf("%d open, %d marks of %d", open, next, len(p.marks))
			}
		}
		claimed := map[[2]int]int{}
		claim(b.root, claimed)
		for _, p := range b.Pages() {
			for i := range p.marks {
				if claimed[[2]int{p.number, i}] != 1 {
					t.Fatalf("mark %d of page %d belongs to %d elements", i, p.number, claimed[[2]int{p.number, i}])
				}
			}
		}
	})
}

// claim counts by which elements the marks of each page are claimed.
func claim(e *element, claimed map[[2]int]int) {
	for _, c := range e.inner {
		if c.element != nil {
			claim(c.element, claimed)
		} else if c.link == nil {
			claimed[[2]int{c.page, c.mark}]++
		}
	}
}

func TestContentAfterAnInnerElementBelongsToTheOuterOneAgain(t *testing.T) {
	b := New(Info{}, A4)
	p := b.Page()
	say := func(s string) { p.Label(0, 0, figure.Label{Text: s, Size: 3}) }
	b.Tag(Element{Role: Paragraph}, func() {
		say("a")
		b.Tag(Element{Role: LinkText}, func() { say("b") })
		say("c")
	})
	got := regexp.MustCompile(`/(\w+) <</MCID (\d)>> BDC`).FindAllString(content(p), -1)
	if strings.Join(got, " ") != "/P <</MCID 0>> BDC /Link <</MCID 1>> BDC /P <</MCID 2>> BDC" {
		t.Error(got)
	}
}

func TestHeadingsBelowTheFourthLevelStayThere(t *testing.T) {
	for depth, want := range map[int]Role{-1: Heading1, 1: Heading1, 2: Heading2, 4: Heading4, 9: Heading4} {
		if got := HeadingOf(depth); got != want {
			t.Errorf("HeadingOf(%d) = %s", depth, got)
		}
	}
}
