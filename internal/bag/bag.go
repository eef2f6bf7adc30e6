// Package bag reads and holds to account a BagIt bag (RFC 8493, "The BagIt File Packaging Format", versions 0.93 to 0.97
// and 1.0), wherever it lies: in a folder, a zip file or a gzipped tar file.
//
// A bag may come from a stranger. It is read as a stream: nothing is unpacked, no payload is held in memory, no link is
// followed and nothing is fetched. What is wrong with it is a finding with its file and line; an error means that it could
// not be read at all.
package bag

import (
	"fmt"
	"slices"

	"boltback/internal/finding"
)

// Field is one label and value of bag-info.txt, in the order of the file.
type Field struct {
	Label string `json:"label"`
	Value string `json:"value"`
}

// Report is what a whole reading of a bag found.
type Report struct {
	// Version is the version of BagIt that the bag declares, Encoding that of its tag files; "" where it declares none.
	Version  string
	Encoding string
	Info     []Field
	// Algorithms are those whose payload manifests were held against the files, by name.
	Algorithms []string
	// Files and Bytes count the payload as it lies there.
	Files int
	Bytes int64
	// Readmes are README.txt and README.html, those that lie beside the payload and have 1 MiB at most.
	Readmes map[string][]byte
	// Findings are sorted.
	Findings []finding.Finding
}

// Valid reports whether the bag is complete and its digests hold. Warnings do not count against it.
func (r *Report) Valid() bool {
	return !slices.ContainsFunc(r.Findings, func(f finding.Finding) bool { return f.Severity == finding.Error })
}

// mostFindings bounds a list that a stranger could make as long as they like.
const mostFindings = 200

// notes gathers findings, up to a bound.
type notes struct {
	list []finding.Finding
	more int
}

func (n *notes) add(severity finding.Severity, code, file string, line int, hint, format string, words ...any) {
	if len(n.list) >= mostFindings {
		n.more++
		return
	}
	n.list = append(n.list, finding.Finding{
		Severity: severity, Code: code, File: file, Line: line, Message: fmt.Sprintf(format, words...), Hint: hint,
	})
}

// sorted gives the findings in order, with a last word on those that were left out.
func (n *notes) sorted() []finding.Finding {
	if n.more > 0 {
		n.list = append(n.list, finding.Finding{Code: "bag-more", Message: fmt.Sprintf("%d more findings are not listed", n.more), Hint: "mend what is listed and check again"})
	}
	finding.Sort(n.list)
	return n.list
}
