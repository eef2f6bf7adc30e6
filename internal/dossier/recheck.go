package dossier

import (
	"fmt"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/record"
)

// recheck tells how to hold this document against the records without this program.
func (b *book) recheck() *doc.Section {
	s := doc.NewSection("checking", "How to check this document",
		doc.Para("The records are plain JSON files in a Git repository. Nothing but git and sha256sum is needed to see that they are the ones this page was made from; "+
			"what they say has to be judged by a person who looks at the car."),
		doc.Steps(
			doc.Point("Get a copy of the car's repository, and look at the revision: {}.", doc.Literal(b.provenance().Commit)).
				With(&doc.Verbatim{Text: "git log -1\ngit status --short"}),
			doc.Point("Open any file named behind a statement, at the line named.").
				With(&doc.Verbatim{Text: fmt.Sprintf("git show %s:%s", b.revision(), b.examplePath())}),
			doc.Point("See when each line of a file came in, and under whose name.").
				With(&doc.Verbatim{Text: fmt.Sprintf("git log --follow -- %s\ngit blame -- %s", b.examplePath(), b.examplePath())}),
			b.sumOfRecords(),
			doc.Point("Hold an original photo or paper against the digest in its record, and a preview against its file's name.").
				With(&doc.Verbatim{Text: "sha256sum previews/*.jpg"}),
		),
		doc.Para("That the digests agree says that these bytes are the ones read for this page. It does not say who wrote them, when, or whether they are true."))
	return s
}

// revision is the commit as a command takes it: its first word where that is a
// commit's name, or what is checked out.
func (b *book) revision() string {
	name, _, _ := strings.Cut(b.in.Commit, " ")
	if len(name) < 7 || strings.Trim(name, "0123456789abcdef") != "" {
		return "HEAD"
	}
	return name
}

// examplePath is a record to try the commands on.
func (b *book) examplePath() string {
	if len(b.log.sessions) > 0 {
		return b.log.sessions[0].Path
	}
	return "ledger.json"
}

// sumOfRecords gives one digest over all records, with the command that gives
// the same one.
func (b *book) sumOfRecords() doc.Item {
	if unread := b.s.AllUnread(); len(unread) > 0 {
		return doc.Point("Hold the records against their digest: not possible here, since {} could not be read.", count(len(unread), "file"))
	}
	item := doc.Point("Hold the records ({} files) against one digest, in a clean working copy: it has to print {}.",
		len(b.s.Records()), doc.Literal(b.recordsDigest()))
	return item.With(&doc.Verbatim{Text: "find " + strings.Join(record.TopNames(), " ") + " -name '*.json' 2>/dev/null |\n  LC_ALL=C sort | xargs sha256sum | sha256sum"})
}

// recordsDigest is the SHA-256 of what sha256sum prints for all records, by path.
func (b *book) recordsDigest() string {
	lines := map[string]string{}
	for _, r := range b.s.Records() {
		lines[r.Path] = string(r.Digest)
	}
	var list strings.Builder
	for _, f := range b.s.Files() {
		if digest := lines[f.Path]; digest != "" {
			fmt.Fprintf(&list, "%s  %s\n", digest, f.Path)
		}
	}
	return canon.Digest([]byte(list.String()))
}
