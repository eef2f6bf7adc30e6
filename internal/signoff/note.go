package signoff

import "boltback/internal/record"

// NoteKind names one thing that the walk noticed at a commit.
type NoteKind string

// What the walk notices.
const (
	KeyAdded        NoteKind = "key-added"         // Ref: an entry, by a commit that counted
	KeyNotTrusted   NoteKind = "key-not-trusted"   // Ref: an entry, by a commit that did not count
	KeyUnusable     NoteKind = "key-unusable"      // Ref, Detail: why it lets nobody in
	KeyAltered      NoteKind = "key-altered"       // Ref: an entry that was changed; the first form goes on counting
	KeyGone         NoteKind = "key-gone"          // Ref: an entry that was removed; it goes on counting
	KeyShared       NoteKind = "key-shared"        // Ref, Other: two people, one key
	KeyEnded        NoteKind = "key-ended"         // Ref: the revocation; Other: the entry it ends
	EndingNotSigned NoteKind = "ending-not-signed" // Ref: a revocation by a commit that did not count; it ends the key all the same
	EndingGone      NoteKind = "ending-gone"       // Ref: a revocation that was changed or removed; it goes on counting
	SignersDiffer   NoteKind = "signers-differ"    // allowed_signers is not what follows from the entries
	PolicyWeakened  NoteKind = "policy-weakened"   // Weakening
	PolicyBroken    NoteKind = "policy-broken"     // the ledger asked for a signed commit
	OtherAuthor     NoteKind = "other-author"      // Ref: whose key signed; Detail: the author it names
	DatesBackwards  NoteKind = "dates-backwards"   // Other commit: a parent with a later date
	SecondRoot      NoteKind = "second-root"       // a history that begins beside the first one
	CutOff          NoteKind = "cut-off"           // Commit: a parent that is not here
	OddObject       NoteKind = "odd-object"        // Detail: what no Git writes
	SignOffAltered  NoteKind = "sign-off-altered"  // Path: a file in signoffs/ that was changed after it was committed
	SignOffGone     NoteKind = "sign-off-gone"     // Path: a file in signoffs/ that was removed
)

// Note is one such thing. Which fields are filled depends on the kind.
type Note struct {
	Kind       NoteKind
	Ref, Other record.Ref
	Commit     string
	Path       string
	Detail     string
	Weakening  Weakening
}
