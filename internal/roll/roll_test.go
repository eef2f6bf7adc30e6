package roll

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"boltback/internal/code"
	"boltback/internal/media"
)

// day is a day at the bench: pictures are added minute by minute.
type day struct {
	t        testing.TB
	start    time.Time
	pictures []Picture
	// slow is how far each camera's clock is behind.
	slow map[string]time.Duration
}

func newDay(t testing.TB) *day {
	return &day{t: t, start: time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC), slow: map[string]time.Duration{}}
}

// shoot adds a picture taken so many seconds after the start: of "0101" (a tag), "bag 0201", "wire 0301", "crate 0401",
// "sheet strip-down tern", "clock", "smear" (a code that cannot be read) or anything else.
func (d *day) shoot(camera string, second int, of string) string {
	name := fmt.Sprintf("%s-%04d.jpg", camera, len(d.pictures))
	p := Picture{Name: name, CopyOf: -1}
	p.Facts = media.Facts{Camera: camera, Taken: media.Moment{Clock: d.start.Add(time.Duration(second)*time.Second - d.slow[camera])}}
	words := strings.Fields(of)
	kinds := map[string]code.Kind{"bag": code.BagKind, "wire": code.WireKind, "crate": code.CrateKind}
	switch {
	case of == "smear":
		p.Unread = true
	case of == "clock":
		p.Codes = []code.Payload{{Kind: code.ClockKind, Names: []string{"2026-03-02"}}}
	case words[0] == "sheet":
		p.Codes = []code.Payload{{Kind: code.SheetKind, Names: words[1:]}}
	case kinds[words[0]] != "":
		p.Codes = []code.Payload{code.LabelPayload(kinds[words[0]], tag(d.t, words[1]))}
	case strings.Trim(words[0], "0123456789") == "":
		for _, w := range words {
			p.Codes = append(p.Codes, code.TagPayload(tag(d.t, w)))
		}
	}
	d.pictures = append(d.pictures, p)
	return name
}

func tag(t testing.TB, digits string) code.Tag {
	t.Helper()
	var n int
	if _, err := fmt.Sscan(strings.TrimLeft(digits, "0"), &n); err != nil {
		t.Fatal(err)
	}
	made, err := code.NewTag(n)
	if err != nil {
		t.Fatal(err)
	}
	return made
}

// told writes a proposal down: "0101: 1 2 3 | 0102: 4" and what is loose.
func told(p Proposal) string {
	var lines []string
	for _, l := range p.Lines {
		lines = append(lines, strings.TrimSuffix(fmt.Sprintf("%s%s: %v", l.Tag.Digits(), l.Suffix, l.Pictures), ""))
	}
	for _, l := range p.Loose {
		lines = append(lines, fmt.Sprintf("%d %s", l.Picture, l.Cause))
	}
	return strings.Join(lines, "; ")
}

func expect(t *testing.T, p Proposal, want string) {
	t.Helper()
	if got := told(p); got != want {
		t.Errorf("told %s\nwant %s", got, want)
	}
}

func TestATagHeadsAllUpToTheNext(t *testing.T) {
	d := newDay(t)
	for i, of := range []string{"the car", "0101", "a bolt", "its place", "0102", "0102", "a hose"} {
		d.shoot("a", i*20, of)
	}
	expect(t, Sort(d.pictures, Answers{}), "0101: [1 2 3]; 0102: [4 5 6]; 0 before the first tag")
}

func TestASheetNamesTheJobAndEndsWhatATagHeads(t *testing.T) {
	d := newDay(t)
	for i, of := range []string{"sheet strip-down tern-1500 x 1", "the bay", "0101", "a bolt", "sheet strip-down tern-1500 x 2", "the floor", "0102"} {
		d.shoot("a", i*20, of)
	}
	p := Sort(d.pictures, Answers{})
	expect(t, p, "0101: [2 3]; 0102: [6]; 0 a sheet, and what follows it; 1 a sheet, and what follows it; 4 a sheet, and what follows it; 5 a sheet, and what follows it")
	if p.Job != "strip-down" || p.Car != "tern-1500" || len(p.Cars) > 0 {
		t.Errorf("%+v", p)
	}
	d.shoot("a", 999, "sheet strip-down courser")
	if p := Sort(d.pictures, Answers{}); !slices.Equal(p.Cars, []string{"courser"}) {
		t.Errorf("%+v", p.Cars)
	}
}

func TestBagsAndWiresBelongToTheTagBeforeThem(t *testing.T) {
	d := newDay(t)
	for i, of := range []string{"bag 0200", "0101", "bag 0201", "wire 0301", "bag 0202", "crate 0401", "0102 0103", "a bolt"} {
		d.shoot("a", i*20, of)
	}
	p := Sort(d.pictures, Answers{})
	expect(t, p, "0101: [1 2 3 4 7]; 0 a bag or wire before the first tag; 5 the label of a crate; 6 several tags in one picture")
	if bags := p.Lines[0].Bags; len(bags) != 2 || bags[0].Digits() != "0201" {
		t.Errorf("%v", bags)
	}
}

func TestTwoCamerasAreOneBenchOnceTheClockInTheirPicturesIsRead(t *testing.T) {
	d := newDay(t)
	d.slow["b"] = 13 * time.Minute
	clockA, clockB := d.shoot("a", 0, "clock"), d.shoot("b", 5, "clock")
	d.shoot("a", 60, "0101")
	d.shoot("b", 70, "its back")
	d.shoot("b", 120, "0102")
	d.shoot("a", 130, "its back")
	unread := Sort(d.pictures, Answers{})
	if len(unread.Questions) != 2 || unread.Questions[0].Asked != WhichTime || unread.Questions[0].Waiting != 3 || len(unread.Unproven) != 2 {
		t.Errorf("%+v, %v", unread.Questions, unread.Unproven)
	}
	expect(t, unread, "0102: [4]; 0101: [2 5]; 1 the bench clock, and nobody has said what it shows; 3 before the first tag; 0 the bench clock, and nobody has said what it shows") // each by itself, and by its own clock
	east := time.FixedZone("", 3600)
	p := Sort(d.pictures, Answers{Clocks: map[string]time.Time{
		clockA: time.Date(2026, 3, 2, 9, 0, 0, 0, east), clockB: time.Date(2026, 3, 2, 9, 0, 5, 0, east)}})
	expect(t, p, "0101: [2 3]; 0102: [4 5]; 0 the bench clock; 1 the bench clock")
	if len(p.Questions) > 0 || len(p.Unproven) > 0 || p.Doubtful != 1 {
		t.Errorf("%+v", p)
	}
	if w := p.Moments[3]; !w.Proven() || w.Proof != 1 || !w.Time.Equal(time.Date(2026, 3, 2, 8, 1, 10, 0, time.UTC)) {
		t.Errorf("%+v", w)
	}
}

func TestOneCameraNeedsNoClock(t *testing.T) {
	d := newDay(t)
	d.shoot("a", 0, "0101")
	if p := Sort(d.pictures, Answers{}); len(p.Questions)+len(p.Unproven) > 0 || p.Moments[0].Proven() {
		t.Errorf("%+v", p)
	}
}

func TestC46AClockFromAnotherDayProvesNothing(t *testing.T) {
	d := newDay(t)
	name := d.shoot("a", 0, "clock")
	d.shoot("a", 23*3600, "0101")
	d.shoot("a", 25*3600, "0102")
	p := Sort(d.pictures, Answers{Clocks: map[string]time.Time{name: d.start}})
	if !p.Moments[1].Proven() || p.Moments[2].Proven() {
		t.Errorf("%+v", p.Moments)
	}
}

func TestEachCameraIsABenchOfItsOwnWhereThatIsSaid(t *testing.T) {
	d := newDay(t)
	clockA, clockB := d.shoot("a", 0, "clock"), d.shoot("b", 5, "clock")
	d.shoot("a", 60, "0101")
	d.shoot("b", 70, "0202")
	d.shoot("a", 80, "of 0101")
	d.shoot("b", 90, "of 0202")
	answers := Answers{Clocks: map[string]time.Time{clockA: d.start, clockB: d.start.Add(5 * time.Second)}}
	if p := Sort(d.pictures, answers); p.Doubtful != 1 {
		t.Errorf("%s: %d doubtful", told(p), p.Doubtful)
	}
	answers.Apart = true
	p := Sort(d.pictures, answers)
	expect(t, p, "0101: [2 4]; 0202: [3 5]; 0 the bench clock; 1 the bench clock")
	if p.Doubtful > 0 || len(p.Unproven) > 0 {
		t.Errorf("%+v", p)
	}
}

func TestATagThatCannotBeReadKeepsItsPicturesFromTheOneBefore(t *testing.T) {
	d := newDay(t)
	var smear string
	for i, of := range []string{"0101", "a bolt", "smear", "a hose", "0103", "smear"} {
		if name := d.shoot("a", i*20, of); of == "smear" && smear == "" {
			smear = name
		}
	}
	p := Sort(d.pictures, Answers{})
	expect(t, p, "0101: [0 1]; 0103: [4]; 2 under a tag that cannot be read; 3 under a tag that cannot be read; 5 under a tag that cannot be read")
	if q := p.Questions[0]; len(p.Questions) != 2 || q.Waiting != 2 || len(q.Likely) != 1 || q.Likely[0].Digits() != "0102" {
		t.Errorf("%+v", p.Questions)
	}
	expect(t, Sort(d.pictures, Answers{Tags: map[string]code.Tag{smear: tag(t, "0102")}}), "0101: [0 1]; 0102: [2 3]; 0103: [4]; 5 under a tag that cannot be read")
	expect(t, Sort(d.pictures, Answers{Tags: map[string]code.Tag{smear: ""}}), "0101: [0 1 2 3]; 0103: [4]; 5 under a tag that cannot be read")
}

func TestC50OneTagInTwoPlacesIsAskedAboutAndTwoPartsStayTwo(t *testing.T) {
	d := newDay(t)
	for i, of := range []string{"0147", "a starter", "0148", "0147", "an alternator", "0147"} {
		d.shoot("a", i*20, of)
	}
	p := Sort(d.pictures, Answers{})
	expect(t, p, "0147: [0 1]; 0148: [2]; 3 under a tag that was photographed before; 4 under a tag that was photographed before; 5 under a tag that was photographed before")
	if q := p.Questions[0]; len(p.Questions) != 1 || q.Asked != WhichPart || q.Tag.Digits() != "0147" || q.Waiting != 3 {
		t.Errorf("%+v", p.Questions)
	}
	number := tag(t, "0147")
	expect(t, Sort(d.pictures, Answers{Twice: map[code.Tag]Twice{number: Same}}), "0147: [0 1 3 4 5]; 0148: [2]")
	expect(t, Sort(d.pictures, Answers{Twice: map[code.Tag]Twice{number: Two}}), "0147a: [0 1]; 0148: [2]; 0147b: [3 4 5]")
}

func TestPicturesWithoutATimeStayUnderNoPart(t *testing.T) {
	d := newDay(t)
	d.shoot("a", 0, "0101")
	d.pictures = append(d.pictures, Picture{Name: "sent.jpg", CopyOf: 0})
	expect(t, Sort(d.pictures, Answers{}), "0101: [0]; 1 nothing in the file says when it was taken")
	if p := Sort(nil, Answers{}); len(p.Lines) > 0 || p.First != -1 || p.Last != -1 {
		t.Errorf("%+v", p)
	}
}

func TestC49ClocksOfWhichOnlyOneTellsItsZoneProveNothingOfEachOther(t *testing.T) {
	d := newDay(t)
	name := d.shoot("a", 0, "clock")
	d.shoot("a", 60, "0101")
	d.pictures[1].Facts.Taken.Zoned = true
	p := Sort(d.pictures, Answers{Clocks: map[string]time.Time{name: d.start}})
	if p.Moments[1].Proven() {
		t.Errorf("%+v", p.Moments)
	}
}

// TestEveryPictureIsInOnePlaceWhateverTheOrder shuffles any day: each picture is under one line or loose, and the order in
// which files are listed changes nothing.
func TestEveryPictureIsInOnePlaceWhateverTheOrder(t *testing.T) {
	things := []string{"a bolt", "a hose", "0101", "0102", "0103", "0104", "bag 0201", "wire 0301", "crate 0401", "smear", "clock", "sheet strip-down x", "0101 0102"}
	rapid.Check(t, func(rt *rapid.T) {
		d := newDay(t)
		answers := Answers{Apart: rapid.Bool().Draw(rt, "apart"), Clocks: map[string]time.Time{}, Tags: map[string]code.Tag{}, Twice: map[code.Tag]Twice{}}
		for i := range rapid.IntRange(0, 40).Draw(rt, "pictures") {
			of := rapid.SampledFrom(things).Draw(rt, "of")
			name := d.shoot(rapid.SampledFrom([]string{"a", "b", "c"}).Draw(rt, "camera"), i*7, of)
			switch {
			case of == "clock" && rapid.Bool().Draw(rt, "read"):
				answers.Clocks[name] = d.start.Add(time.Duration(i*7) * time.Second)
			case of == "smear" && rapid.Bool().Draw(rt, "known"):
				answers.Tags[name] = tag(t, "0105")
			}
		}
		answers.Twice[tag(t, "0101")] = rapid.SampledFrom([]Twice{NotSaid, Same, Two}).Draw(rt, "twice")
		p := Sort(d.pictures, answers)
		seen := map[string]int{}
		for _, l := range p.Lines {
			for _, i := range l.Pictures {
				seen[d.pictures[i].Name]++
			}
		}
		for _, l := range p.Loose {
			seen[d.pictures[l.Picture].Name]++
		}
		for _, picture := range d.pictures {
			if seen[picture.Name] != 1 {
				rt.Fatalf("%s is in %d places: %s", picture.Name, seen[picture.Name], told(p))
			}
		}
		shuffled := slices.Clone(d.pictures)
		rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		if got, want := named(Sort(shuffled, answers), shuffled), named(p, d.pictures); got != want {
			rt.Fatalf("shuffled %s\nin order %s", got, want)
		}
	})
}

// named writes lines down by the names of their pictures.
func named(p Proposal, pictures []Picture) string {
	var b strings.Builder
	for _, l := range p.Lines {
		fmt.Fprintf(&b, "%s%s", l.Tag, l.Suffix)
		for _, i := range l.Pictures {
			b.WriteString(" " + pictures[i].Name)
		}
		b.WriteString("\n")
	}
	return b.String()
}
