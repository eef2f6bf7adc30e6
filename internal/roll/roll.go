package roll

import (
	"time"

	"boltback/internal/code"
	"boltback/internal/media"
)

// Picture is one picture as it came in.
type Picture struct {
	// Name is what the person who took it knows it by.
	Name  string
	Facts media.Facts
	// Codes are the codes of ours that were read in it.
	Codes []code.Payload
	// Unread says that it shows a code that could not be made out.
	Unread bool
	// CopyOf is the place in the list of the fuller picture that this is a copy of, -1 for none.
	CopyOf int
}

// Tags gives the distinct numbers of one kind of label that a picture shows.
func (p Picture) Tags(kind code.Kind) []code.Tag {
	var tags []code.Tag
	for _, c := range p.Codes {
		if tag, ok := c.Tag(); ok && c.Kind == kind && !has(tags, tag) {
			tags = append(tags, tag)
		}
	}
	return tags
}

func has(tags []code.Tag, tag code.Tag) bool {
	for _, t := range tags {
		if t == tag {
			return true
		}
	}
	return false
}

// first gives the first code of a kind that a picture shows.
func (p Picture) first(kind code.Kind) (code.Payload, bool) {
	for _, c := range p.Codes {
		if c.Kind == kind {
			return c, true
		}
	}
	return code.Payload{}, false
}

// Twice says what one tag in two places of a day means.
type Twice string

// The meanings.
const (
	// NotSaid leaves the later pictures aside.
	NotSaid Twice = ""
	// Same is the same part, photographed again.
	Same Twice = "same"
	// Two are two parts that bear one number.
	Two Twice = "two"
)

// Answers are what a person said to the questions of an earlier sorting. Pictures
// are meant by their names.
type Answers struct {
	// Clocks are the moments that the clocks in pictures showed.
	Clocks map[string]time.Time
	// Tags are the numbers on tags that could not be read; "" is no tag at all.
	Tags map[string]code.Tag
	// Twice says what each tag in two places means.
	Twice map[code.Tag]Twice
	// Apart takes each camera for a bench of its own, whose tags head its own
	// pictures alone.
	Apart bool
}

// When is the moment of a picture.
type When struct {
	// Time is the true moment where it is proven, else what the camera's clock
	// showed, written as if in UTC; zero where the file says nothing.
	Time time.Time
	// Proof is the place in the list of the picture of a clock that set it right, -1 for none.
	Proof int
}

// Proven says that a picture of a clock set the moment right.
func (w When) Proven() bool { return w.Proof >= 0 }

// Line is one line of work: a tag and the pictures under it, in order.
type Line struct {
	Tag code.Tag
	// Suffix tells two parts with one number apart, a and b; "" for all others.
	Suffix string
	// Bags are the numbers of the fastener bags that were photographed with it.
	Bags     []code.Tag
	Pictures []int
}

// Cause says why a picture is under no part.
type Cause string

// The causes. Some belong to the session as a whole; the others are put aside
// until somebody says more, see [Cause.Settled].
const (
	BeforeTags  Cause = "before the first tag"
	OfSheet     Cause = "a sheet, and what follows it"
	OfClock     Cause = "the bench clock"
	OfCrate     Cause = "the label of a crate"
	SeveralTags Cause = "several tags in one picture"
	NoTime      Cause = "nothing in the file says when it was taken"
	UnreadClock Cause = "the bench clock, and nobody has said what it shows"
	UnreadTag   Cause = "under a tag that cannot be read"
	TagTwice    Cause = "under a tag that was photographed before"
	NoHead      Cause = "a bag or wire before the first tag"
)

// Settled says that a picture belongs to the session as it is.
func (c Cause) Settled() bool {
	return c == BeforeTags || c == OfSheet || c == OfClock || c == OfCrate || c == SeveralTags || c == NoTime
}

// Loose is a picture under no part.
type Loose struct {
	Picture int
	Cause   Cause
}

// Asked is the kind of a question.
type Asked string

// The kinds of question.
const (
	// WhichTime asks what the clock in a picture shows.
	WhichTime Asked = "time"
	// WhichTag asks for the number on a tag that cannot be read.
	WhichTag Asked = "tag"
	// WhichPart asks what one tag in two places means.
	WhichPart Asked = "part"
)

// Question is something that only a person can say.
type Question struct {
	Asked   Asked
	Picture int
	// Tag is the tag in two places.
	Tag code.Tag
	// Waiting is how many pictures wait for the answer.
	Waiting int
	// Likely are numbers that no picture shows and that lie between those which
	// were read before and after; nothing is taken from them.
	Likely []code.Tag
}

// Proposal is what the pictures tell.
type Proposal struct {
	Lines     []Line
	Loose     []Loose
	Questions []Question
	// Job is what the sheet in a picture is for, such as "strip-down", and Car whose it is; "" without one.
	Job, Car string
	// Cars are other cars whose sheets were photographed too.
	Cars []string
	// Missing are numbers between those read that no picture shows.
	Missing []code.Tag
	// Moments are when the pictures were taken, place by place.
	Moments []When
	// Unproven are cameras whose clock nothing proves, where that matters: their pictures go under their own tags alone.
	Unproven []string
	// Doubtful is how many pictures would go under another tag if each camera were a bench of its own.
	Doubtful int
	// Span are the first and the last picture that is under a part, -1 without any.
	First, Last int
}
