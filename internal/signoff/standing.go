package signoff

import (
	"boltback/internal/history"
	"boltback/internal/record"
)

// Status is what a sign-off is worth today.
type Status int

// The statuses, the worst first. The zero value is Void, so that what was never
// judged does not count.
const (
	Void        Status = iota // it binds nobody: Why says why
	Transcribed               // ink on paper, copied by the workshop; nothing was verified
	Superseded                // another sign-off stands in its place
	Stale                     // signed, and what it was over has changed since
	Current                   // signed, and all of it stands as it was
)

// String gives the word a reader sees.
func (s Status) String() string {
	switch s {
	case Transcribed:
		return "transcribed by the workshop"
	case Superseded:
		return "superseded"
	case Stale:
		return "stale"
	case Current:
		return "current"
	}
	return "void"
}

// Why says why a sign-off is void.
type Why string

// The reasons.
const (
	Unfinished     Why = "unfinished"      // it lacks what its form needs; Detail names it
	NoSignature    Why = "no-signature"    // no file .sig stands beside it
	BadSignature   Why = "bad-signature"   // the signature does not fit; Detail says how
	UnknownKey     Why = "unknown-key"     // the key did not count when the sign-off came in
	KeyNotAllowed  Why = "key-not-allowed" // the key is not for sign-offs
	KeyNotValid    Why = "key-not-valid"   // the key was outside its validity on the day stated
	KeyRevoked     Why = "key-revoked"     // the key had been revoked by the day stated
	OtherSigner    Why = "other-signer"    // the key is another one, or somebody else's, than the sign-off names
	OtherPath      Why = "other-path"      // it was made for another place in a ledger
	OtherLedger    Why = "other-ledger"    // it was made for another car's ledger
	OtherCar       Why = "other-car"       // the car bears none of the numbers that were signed
	NotInHistory   Why = "not-in-history"  // the state that it was made over is not in this history
	NeverLikeThat  Why = "never-like-that" // a record that it covers did not read so in that state; Detail names it
	TakenBack      Why = "taken-back"      // it was withdrawn; By and Detail say by which record and why
	UnreadableDate Why = "unreadable-date" // the day stated cannot be read
)

// What says what became of something that a sign-off covers.
type What string

// What can become of it.
const (
	Altered    What = "altered"    // its bytes are others; Changes say in which values
	Gone       What = "gone"       // it is not here any more
	Corrected  What = "corrected"  // By stands in its place
	Withdrawn  What = "withdrawn"  // By withdraws it
	InDispute  What = "in-dispute" // several records claim to correct or withdraw it
	NumberGone What = "number"     // Number: a number of the car that reads otherwise now
)

// Difference is one thing that a sign-off covers and that stands otherwise now.
type Difference struct {
	What    What
	Record  record.Ref
	By      record.Ref
	Reason  string // that By gives
	Number  string
	Changes []history.Change
}

// Touch is work after a sign-off on a facet that it vouches for.
type Touch struct {
	Facet   string
	By      record.Ref // the session
	Pointer string     // of the line in it
	On      record.Date
	Remark  string
}

// Counter is a sign-off over another one.
type Counter struct {
	Record, By record.Ref
	On         record.Date
	Entered    *Step // the commit with which it came in; nil where it is not committed
	// Outsider says that the two signers belong to different workshops.
	Outsider bool
}

// Verdict is the judgement of one sign-off, with all that its sentence needs.
// Name, time and meaning are always shown together.
type Verdict struct {
	Record  record.Ref
	By      record.Ref
	On      record.Date
	Meaning string
	Form    string
	Facets  []string
	// SeenBy and Scan are, for ink on paper, who saw it and where its scan is.
	SeenBy, Scan record.Ref

	Status Status
	Why    Why
	Detail string
	// Other is the record that supersedes or withdraws it.
	Other record.Ref
	// Key is the entry whose key signed, as it was first committed; empty for paper.
	Key KeyEntry
	// Entered is the commit with which it came in: "by its own date" it may be
	// older. Nil where it is not committed.
	Entered *Step
	// After says that the day stated lies after the day on which it came in.
	After bool

	Differences []Difference
	Touches     []Touch
	// FacetsUnknown says that nobody looked whether later work touched its facets.
	FacetsUnknown bool
	// Newer are records of the kinds that it covers that came in after it was made:
	// not covered.
	Newer []record.Ref
	// Unbound are entries that it rests on and does not cover, so that they could be
	// changed without it being seen here.
	Unbound []record.Ref
	// Disputed says that several records claim to stand in its place.
	Disputed bool
	// Counters are the valid counter-signatures. Wanted says that the ledger asks for
	// one by somebody else, or did so when this came in, and that there is none.
	Counters []Counter
	Wanted   bool
}

// Valid says whether its signature was verified and binds: it is current, stale
// or superseded.
func (v Verdict) Valid() bool { return v.Status >= Superseded }
