package signoff

import (
	"boltback/internal/attest"
	"boltback/internal/edtf"
	"boltback/internal/history"
)

// Topic is one kind of thing that a verification reports apart.
type Topic string

// The topics, in the order in which they are reported.
const (
	NotSigned       Topic = "unsigned"
	BadOnes         Topic = "bad-signature"
	UnknownKeys     Topic = "unknown-key"
	NotForCommits   Topic = "not-for-commits"
	OutsideTime     Topic = "outside-validity"
	RevokedKeys     Topic = "revoked"
	ChangedLater    Topic = "altered-or-gone" // what was signed, or lets somebody sign, was changed or removed
	BackwardDates   Topic = "dates-backwards"
	KeysInDoubt     Topic = "keys"
	PolicyUnheeded  Topic = "policy"
	OddHistory      Topic = "history"
	ForInformation  Topic = "told" // no fault: a key came or was ended by a commit that counted
	topicOfUnjudged Topic = ""
)

// Topics lists the topics that are faults.
func Topics() []Topic {
	return []Topic{NotSigned, BadOnes, UnknownKeys, NotForCommits, OutsideTime, RevokedKeys, ChangedLater, BackwardDates, KeysInDoubt, PolicyUnheeded, OddHistory}
}

// Found is one thing found at a commit: that its signature does not count, or,
// where Note has a kind, what the walk noticed.
type Found struct {
	Topic Topic
	Step  *Step
	Note  Note
}

// Late is a record that was written down long after what it tells of.
type Late struct {
	Commit string
	Delay  history.Delay
}

// Kept is a commit that somebody kept the id of, and how the history holds it.
type Kept struct {
	ID      string // as it was given, or the whole id where the history has it
	Holding Holding
	// Since is how many commits the history has that do not lead up to it.
	Since int
	// From is the file, or the digest of a stamp, that the id was read from; "" where
	// it was given itself. Files says how many digests of files it held besides, and
	// Deviations which files of that commit are not as they say.
	From       string
	Files      int
	Deviations []Deviation
	// OtherLedger says that it names another ledger than this one's by the id of ledger.json.
	OtherLedger bool
}

// Compared is another copy of the ledger held against this one.
type Compared struct {
	Name string
	Split
}

// Diverged says that both copies have commits of their own, or that they do not
// begin alike: then one of them was made anew.
func (c Compared) Diverged() bool {
	return !c.SameFirst || len(c.Ours) > 0 && len(c.Theirs) > 0
}

// Condition is what is unusual about a repository.
type Condition struct {
	// Shallow says that the history was cut off when it was copied.
	Shallow bool
	// Replaced says that stock Git shows other objects or other parents in place of
	// some; here the original ones are read.
	Replaced bool
	// Linked says that the history lies in another folder, whose repository knows this
	// one as a work tree of its own. That is the reader's own doing, and no fault.
	Linked bool
	// Unsaved are files that are not as the last commit has them.
	Unsaved []string
}

// Report is all that a verification of one car found.
type Report struct {
	Car      string   // its handle
	Head     string   // the commit that was verified
	On       edtf.Day // the day on which stamps may be overdue to be covered by another; none where nobody asks
	Pins     Pins     // what the history was held against
	Ledger   string   // the id that ledger.json bears; "" where it has none
	Trust    *Trust
	SignOffs []Verdict
	Late     []Late
	// CameIn is the day of the commit with which a record of something that happened came in, by its path.
	CameIn    map[string]edtf.Day
	Condition Condition
	Kept      []Kept
	Stamps    []StampVerdict
	OddTags   []OddTag
	// Roots is how many authorities the reader trusts.
	Roots    int
	Compared *Compared // nil where no other copy was given
}

// Found lists what was found at the commits, in their order.
func (r *Report) Found() []Found {
	var list []Found
	for i := range r.Trust.Steps {
		s := &r.Trust.Steps[i]
		if topic := topicOfStanding(s.Standing); topic != topicOfUnjudged {
			list = append(list, Found{Topic: topic, Step: s})
		}
		for _, n := range s.Notes {
			list = append(list, Found{Topic: topicOfNote(n.Kind), Step: s, Note: n})
		}
	}
	return list
}

func topicOfStanding(s attest.Standing) Topic {
	switch s {
	case attest.Good:
		return topicOfUnjudged
	case attest.Bad:
		return BadOnes
	case attest.UnknownKey:
		return UnknownKeys
	case attest.NotForPurpose:
		return NotForCommits
	case attest.OutsideValidity:
		return OutsideTime
	case attest.Revoked:
		return RevokedKeys
	}
	return NotSigned
}

func topicOfNote(kind NoteKind) Topic {
	switch kind {
	case KeyAdded, KeyEnded:
		return ForInformation
	case SignOffAltered, SignOffGone, KeyAltered, KeyGone, EndingGone:
		return ChangedLater
	case DatesBackwards:
		return BackwardDates
	case PolicyWeakened, PolicyBroken:
		return PolicyUnheeded
	case SecondRoot, CutOff, OddObject:
		return OddHistory
	}
	return KeysInDoubt
}

// Sound says whether a sign-off is what it was on the day: its signature fits and
// counts, or it is ink and says so, and all that it covers stands as it did. One
// that was openly withdrawn or replaced is sound too.
func (v Verdict) Sound() bool {
	if v.Disputed || v.After || v.Wanted {
		return false
	}
	switch v.Status {
	case Void:
		return v.Why == TakenBack
	case Stale:
		return false
	case Transcribed:
		return len(v.Differences) == 0
	}
	return true
}

// Faults counts all that is not as it should be, apart from the origin. Late
// entries are told and are no fault: work may be written down later.
func (r *Report) Faults() int {
	n := len(r.Condition.Unsaved) + len(r.OddTags)
	for _, f := range r.Found() {
		if f.Topic != ForInformation {
			n++
		}
	}
	for _, v := range r.SignOffs {
		if !v.Sound() {
			n++
		}
	}
	for _, v := range r.Stamps {
		if v.Faulty() {
			n++
		}
	}
	for _, k := range r.Kept {
		if k.Holding == Missing || len(k.Deviations) > 0 || k.OtherLedger {
			n++
		}
	}
	for _, bad := range []bool{r.Condition.Shallow, r.Condition.Replaced, r.Compared != nil && r.Compared.Diverged()} {
		if bad {
			n++
		}
	}
	return n
}

// Clean says that nothing is wrong and that the origin is established.
func (r *Report) Clean() bool { return r.Faults() == 0 && r.Trust.Origin == Established }

// Keep looks for a commit that somebody kept the id of, whole or at least its
// first seven digits.
func (r *Report) Keep(id string) {
	k := Kept{ID: id}
	for i := range r.Trust.Steps {
		if whole := r.Trust.Steps[i].ID; len(id) >= 7 && len(id) <= len(whole) && whole[:len(id)] == id {
			k.ID = whole
		}
	}
	k.Holding = r.Trust.Holds(r.Head, k.ID)
	if k.Holding != Missing {
		k.Since = len(r.Trust.Steps) - r.Trust.upTo(k.ID)
	}
	r.Kept = append(r.Kept, k)
}

// upTo counts the commits that lead up to one, itself included.
func (t *Trust) upTo(id string) int {
	seen := map[string]bool{}
	for queue := []string{id}; len(queue) > 0; {
		next := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if s, here := t.Step(next); here && !seen[next] {
			seen[next] = true
			queue = append(queue, s.Parents...)
		}
	}
	return len(seen)
}

// Certain says whether the dates leave no doubt that it is late.
func (l Late) Certain() bool { return l.Delay.Late == edtf.Yes }

// String gives the origin in words.
func (o Origin) String() string {
	switch o {
	case Established:
		return "established"
	case Contradicted:
		return "contradicted"
	}
	return "not established"
}

// String gives the holding in words.
func (h Holding) String() string {
	switch h {
	case OnLine:
		return "contained"
	case Beside:
		return "contained, by a merge"
	}
	return "not contained"
}
