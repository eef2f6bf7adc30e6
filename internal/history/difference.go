// Package history says what became of a car's records: the differences between
// two states of a ledger in the words of the trade, and the story of one record
// commit by commit.
//
// Records are compared by what they say, not by their bytes. 35 lbf.ft and
// 47.5 N.m are the same within rounding; a line that was inserted does not
// change the lines behind it; the order of members never matters, nor does the
// order of a list that has none. What is left when nothing of that differs is
// "only the layout".
//
// The package reads no repository. Snapshots, or the bytes of the files that a
// commit touched, come in as values.
package history

import (
	"cmp"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// What says what became of a record or of a value in it.
type What string

// What may become of a record or a value. Moved is said of lines of a session
// and other elements whose order counts, the last five of a record's standing.
const (
	Added       What = "added"
	Removed     What = "removed" // gone from the tree; a record that is taken back is Withdrawn
	Renamed     What = "renamed"
	Changed     What = "changed"
	Layout      What = "layout" // other bytes, the same values
	Moved       What = "moved"
	Corrected   What = "corrected"
	Withdrawn   What = "withdrawn"
	Disputed    What = "disputed"
	NotApplied  What = "not applied"  // it claims to correct what another record claims too
	StandsAgain What = "stands again" // nothing stands over it or disputes it any more
)

// Change is one thing that differs between two states of a ledger. A record
// whose file changed and that was corrected as well has two.
type Change struct {
	What What
	// Record is the name it has now, or had if it is gone; empty for a file that
	// is no record. Path is its file.
	Record record.Ref
	Path   string
	Kind   record.Kind
	// Title is what people call the record, or its path.
	Title string
	// Was is the former name of a renamed record.
	Was record.Ref
	// Alike says how many of a renamed record's values stayed, Values how many there are.
	Alike, Values int
	// By is the record that corrects or withdraws this one, or did so before.
	// Over is the record that this one stands over or claims to. Reason is what
	// the record that stands over the other gives as its reason.
	By, Over record.Ref
	Reason   string
	// Remark says what else there is to know, such as why a file cannot be read.
	Remark string
	// Fields are the values that differ: between the two states of a changed or
	// renamed record, between a corrected record and the one in its place.
	Fields []Field
	// Old and New are the record in the two states, nil where it is not there or
	// cannot be read. Of what was corrected Old is the record and New the one in its
	// place; of what was withdrawn New is the one that withdraws it.
	Old, New *record.Record

	before, after *file
}

// Diff lists what differs from a to b: by kind of record in their fixed order,
// then by name; files that are no records come last. Records with one digest on
// both sides are not looked at. Previews are compared by name and size, for their
// name is their digest and the check holds one against the other.
func Diff(a, b *ledger.Snapshot) ([]Change, error) {
	pairs, err := pairsOf(a, b)
	if err != nil {
		return nil, err
	}
	return compare(pairs, whole{a}, whole{b}), nil
}

// Pair is one file in two states; nil means that it is not there.
type Pair struct {
	Path     string
	Old, New []byte
}

// DiffFiles lists what differs in the files given, which is all that a commit
// touched. read gives the bytes of another file as it stands after it, or nil;
// it is asked only for records that one of the files corrects or withdraws, and
// may be nil itself. A dispute with a record of an earlier commit is not seen here.
func DiffFiles(files []Pair, read func(path string) []byte) []Change {
	before, after := newLoose(read), newLoose(read)
	var pairs []pair
	for _, f := range files {
		p := pair{before.take(f.Path, f.Old), after.take(f.Path, f.New)}
		if !p.same() {
			pairs = append(pairs, p)
		}
	}
	return compare(pairs, before, after)
}

// compare turns files that differ into changes.
func compare(pairs []pair, before, after side) []Change {
	pairs, renamed := findRenamed(pairs)
	var changes []Change
	for _, p := range pairs {
		changes = append(changes, p.change(renamed))
	}
	changes = append(changes, standings(pairs, before, after)...)
	slices.SortFunc(changes, byRecord)
	return changes
}

// byRecord is the order of changes.
func byRecord(a, b Change) int {
	return cmp.Or(
		cmp.Compare(kindRank(a.Kind), kindRank(b.Kind)),
		cmp.Compare(a.Record, b.Record),
		cmp.Compare(a.Path, b.Path),
		cmp.Compare(a.What, b.What),
		cmp.Compare(a.By, b.By),
	)
}

// kindRank puts what is no record last.
func kindRank(k record.Kind) int {
	rank := slices.Index(record.Kinds(), k)
	if rank < 0 {
		return len(record.Kinds())
	}
	return rank
}
