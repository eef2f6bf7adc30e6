package validate

import (
	"bytes"
	"slices"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// neverChanged are the kinds that say what was so on a day: what changes afterwards is a new entry.
var neverChanged = []record.Kind{record.KindKey, record.KindLicence, record.KindCalibration, record.KindRevocation}

// NeverChanges reports whether records of a kind never change once they are committed.
func NeverChanges(kind record.Kind) bool { return slices.Contains(neverChanged, kind) }

// EntriesKept lists the files of a car that are never to change once they are committed.
func EntriesKept(s *ledger.Snapshot) []string {
	var paths []string
	for _, f := range s.Files() {
		kinds := record.KindsAt(f.Path)
		if len(kinds) > 0 && !slices.ContainsFunc(kinds, func(k record.Kind) bool { return !NeverChanges(k) }) {
			paths = append(paths, f.Path)
		}
	}
	return paths
}

// SinceHandedOver names what came into a copy of the records after its mark that they were handed over.
func SinceHandedOver(mark *record.HandedOver, commit string, paths []string) []finding.Finding {
	var found []finding.Finding
	for _, path := range paths {
		found = append(found, finding.Finding{Code: "handed-over", File: path,
			Message: "the records were handed over on " + string(mark.On) + ", in " + commit[:min(len(commit), 12)] + ", and this came in after that: it is in this copy alone",
			Hint:    "send it to whoever keeps the records now; if the handover came to nothing, take handed-over out of ledger.json, and boltback commit"})
	}
	return rated(found)
}

// EntryChanged holds such a file against what its first commit made it; nil where it is the same. The place is where the two
// part.
func EntryChanged(path string, first, now []byte, commit string) []finding.Finding {
	if bytes.Equal(first, now) {
		return nil
	}
	f := finding.Finding{Code: "entry-changed", File: path, Line: 1, Column: 1,
		Message: "this is not as it was first committed, in " + commit[:min(len(commit), 12)],
		Hint:    "git checkout " + commit + " -- " + path + "; what is so now is a new entry"}
	same := 0
	for same < min(len(first), len(now)) && first[same] == now[same] {
		same++
	}
	if doc, err := canon.Parse(now, canon.DefaultLimits()); err == nil {
		at := doc.Position(min(same, len(now)-1))
		f.Line, f.Column = at.Line, at.Column
	}
	return rated([]finding.Finding{f})
}

// MergeOpen names the files of which Git keeps two versions until somebody chooses. What lies in the folder is one of them,
// whole and without a mark.
func MergeOpen(paths []string) []finding.Finding {
	var found []finding.Finding
	for _, path := range paths {
		found = append(found, finding.Finding{Code: "merge-open", File: path, Line: 1, Column: 1,
			Message: "this was changed at two benches, and Git keeps both versions until somebody chooses; the folder has only one",
			Hint:    "git show :2:" + path + " and git show :3:" + path + " are the two; write what both say, then git add it and git commit"})
	}
	return rated(found)
}

// Submodules names the places at which Git keeps a commit of another repository.
func Submodules(paths []string) []finding.Finding {
	var found []finding.Finding
	for _, path := range paths {
		found = append(found, finding.Finding{Code: "submodule", File: path,
			Message: "Git keeps another repository's commit here: whoever gets a copy of this one gets none of it",
			Hint:    "git rm --cached " + path + ", then git commit"})
	}
	return rated(found)
}

// rated gives findings the gravity that the rule book has for them.
func rated(found []finding.Finding) []finding.Finding {
	for i := range found {
		found[i].Severity, _ = severity(found[i].Code)
	}
	return found
}
