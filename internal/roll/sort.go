package roll

import (
	"cmp"
	"slices"

	"boltback/internal/code"
)

// sorter is a sorting under way.
type sorter struct {
	pictures []Picture
	answers  Answers
	p        Proposal
	// runs are the pictures under each tag, run by run, bench after bench.
	runs []run
}

// run is a tag and what follows it up to the next.
type run struct {
	tag      code.Tag // "" under a tag that cannot be read
	bags     []code.Tag
	pictures []int
}

// Sort sorts pictures into lines, as far as they and the answers tell. It may be
// asked again with more answers.
func Sort(pictures []Picture, answers Answers) Proposal {
	s := &sorter{pictures: pictures, answers: answers}
	s.p.First, s.p.Last = -1, -1
	s.moments()
	for _, bench := range s.benches() {
		s.walk(bench)
	}
	s.lines()
	s.missing()
	s.doubtful()
	for i := range s.p.Questions {
		s.likely(&s.p.Questions[i])
	}
	slices.SortStableFunc(s.p.Loose, func(a, b Loose) int { return s.byTime(a.Picture, b.Picture) })
	return s.p
}

func (s *sorter) ask(q Question)             { s.p.Questions = append(s.p.Questions, q) }
func (s *sorter) loose(picture int, c Cause) { s.p.Loose = append(s.p.Loose, Loose{picture, c}) }

// walk goes through the pictures of one bench in order. Cause is why a picture
// that no tag heads is under none.
func (s *sorter) walk(bench []int) {
	var head *run
	cause := BeforeTags
	open := func(tag code.Tag, first int) {
		s.runs = append(s.runs, run{tag: tag, pictures: []int{first}})
		head = &s.runs[len(s.runs)-1]
	}
	for _, i := range bench {
		p := s.pictures[i]
		tags, answered := s.tagsOn(p)
		_, isClock := p.first(code.ClockKind)
		sheet, isSheet := p.first(code.SheetKind)
		switch {
		case isClock && s.p.Moments[i].Proof == i:
			s.loose(i, OfClock)
		case isClock:
			s.loose(i, UnreadClock)
		case isSheet:
			s.sheet(sheet)
			s.loose(i, OfSheet)
			head, cause = nil, OfSheet
		case len(tags) > 1:
			s.loose(i, SeveralTags)
		case len(tags) == 1 && head != nil && head.tag == tags[0]:
			head.pictures = append(head.pictures, i)
		case len(tags) == 1:
			open(tags[0], i)
		case p.Unread && !answered && !s.labelled(p):
			open("", i)
		case len(p.Tags(code.CrateKind)) > 0:
			s.loose(i, OfCrate)
		case head == nil && s.labelled(p):
			s.loose(i, NoHead)
		case head == nil:
			s.loose(i, cause)
		default:
			head.pictures = append(head.pictures, i)
			head.bags = append(head.bags, p.Tags(code.BagKind)...)
		}
	}
}

// labelled says that a picture shows the label of a bag, a wire or a crate.
func (s *sorter) labelled(p Picture) bool {
	return len(p.Tags(code.BagKind))+len(p.Tags(code.WireKind))+len(p.Tags(code.CrateKind)) > 0
}

// tagsOn gives the tags of parts on a picture: those that were read, or the one
// that a person read.
func (s *sorter) tagsOn(p Picture) (tags []code.Tag, answered bool) {
	if tags = p.Tags(code.TagKind); len(tags) > 0 {
		return tags, false
	}
	tag, answered := s.answers.Tags[p.Name]
	if answered && tag != "" {
		tags = []code.Tag{tag}
	}
	return tags, answered
}

// sheet takes job and car from a sheet; the names of its code are job, car,
// session and page.
func (s *sorter) sheet(c code.Payload) {
	if s.p.Job == "" {
		s.p.Job = c.Names[0]
	}
	if len(c.Names) < 2 || c.Names[1] == s.p.Car {
		return
	}
	if s.p.Car == "" {
		s.p.Car = c.Names[1]
	} else if !slices.Contains(s.p.Cars, c.Names[1]) {
		s.p.Cars = append(s.p.Cars, c.Names[1])
	}
}

// lines makes one line of each tag, in the order of the first picture under it.
// What stands under no readable tag, or under one that had its run before, is put
// aside and asked about.
func (s *sorter) lines() {
	slices.SortStableFunc(s.runs, func(a, b run) int { return s.byTime(a.pictures[0], b.pictures[0]) })
	at := map[code.Tag]int{}
	for _, r := range s.runs {
		n, before := at[r.tag]
		switch {
		case r.tag == "":
			s.aside(r, UnreadTag, Question{Asked: WhichTag, Picture: r.pictures[0], Waiting: len(r.pictures)})
		case !before:
			at[r.tag] = len(s.p.Lines)
			s.p.Lines = append(s.p.Lines, Line{Tag: r.tag, Bags: r.bags, Pictures: r.pictures})
		case s.answers.Twice[r.tag] == Same:
			s.p.Lines[n].Pictures = append(s.p.Lines[n].Pictures, r.pictures...)
			s.p.Lines[n].Bags = append(s.p.Lines[n].Bags, r.bags...)
		case s.answers.Twice[r.tag] == Two:
			s.second(r, n)
		default:
			s.aside(r, TagTwice, Question{Asked: WhichPart, Picture: r.pictures[0], Tag: r.tag, Waiting: len(r.pictures)})
		}
	}
	for _, l := range s.p.Lines {
		for _, i := range l.Pictures {
			if s.p.First < 0 || s.byTime(i, s.p.First) < 0 {
				s.p.First = i
			}
			if s.p.Last < 0 || s.byTime(i, s.p.Last) > 0 {
				s.p.Last = i
			}
		}
	}
}

// second makes a line of its own for another part with the same number, and
// tells the two apart by letters.
func (s *sorter) second(r run, first int) {
	letter := byte('b')
	for _, l := range s.p.Lines {
		if l.Tag == r.tag && l.Suffix >= string(letter) {
			letter = l.Suffix[0] + 1
		}
	}
	s.p.Lines[first].Suffix = "a"
	s.p.Lines = append(s.p.Lines, Line{Tag: r.tag, Suffix: string(letter), Bags: r.bags, Pictures: r.pictures})
}

func (s *sorter) aside(r run, c Cause, q Question) {
	for _, i := range r.pictures {
		s.loose(i, c)
	}
	s.ask(q)
}

// missing lists the numbers between the smallest and the largest tag that no
// picture shows: labels are printed in a row, so most of them hang on something.
func (s *sorter) missing() {
	numbers := map[int]bool{}
	least, most := code.MaxNumber, -1
	for _, l := range s.p.Lines {
		n := number(l.Tag)
		numbers[n] = true
		least, most = min(least, n), max(most, n)
	}
	if most-least > 2*len(numbers) {
		return // several rolls of labels: what lies between them says nothing
	}
	for n := least; n <= most; n++ {
		if tag, err := code.NewTag(n); err == nil && !numbers[n] {
			s.p.Missing = append(s.p.Missing, tag)
		}
	}
}

func number(t code.Tag) int {
	n := 0
	for _, d := range t.Digits() {
		n = n*10 + int(d-'0')
	}
	return n
}

// likely names the missing numbers around the tags that were read before and
// after a question's picture.
func (s *sorter) likely(q *Question) {
	if q.Asked != WhichTag {
		return
	}
	const most = 5
	before, after := -1, code.MaxNumber
	for _, l := range s.p.Lines {
		if s.byTime(l.Pictures[0], q.Picture) < 0 {
			before = number(l.Tag)
		} else {
			after = min(after, number(l.Tag))
		}
	}
	for _, tag := range s.p.Missing {
		if n := number(tag); n > before && n < after && len(q.Likely) < most {
			q.Likely = append(q.Likely, tag)
		}
	}
}

// doubtful counts the pictures that stand under another tag than the last one
// that their own camera photographed: with two people at two parts they would be
// wrong, with two cameras at one part they are right.
func (s *sorter) doubtful() {
	order := make([]int, 0, len(s.pictures))
	under := map[int]code.Tag{}
	for _, l := range s.p.Lines {
		for _, i := range l.Pictures {
			under[i] = l.Tag
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, s.byTime)
	own := map[string]code.Tag{}
	for _, i := range order {
		p := s.pictures[i]
		if tags, _ := s.tagsOn(p); len(tags) == 1 {
			own[p.Facts.Camera] = tags[0]
		}
		if last := own[p.Facts.Camera]; last != "" && cmp.Compare(last, under[i]) != 0 {
			s.p.Doubtful++
		}
	}
}
