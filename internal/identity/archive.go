package identity

import "fmt"

// ArchiveLine is one line of an archive certificate beside what was found on
// the car. An empty text is not stated.
type ArchiveLine struct {
	Item        string // engine number, colour, tyres
	Certificate string
	Car         string
	Number      bool // compare as numbers, not as words
}

// LineOutcome is how one line of a certificate compares.
type LineOutcome string

// The outcomes of a line.
const (
	LineAgree     LineOutcome = "agree"
	LineDiffer    LineOutcome = "differ"
	LineNotStated LineOutcome = "not stated"
)

// ArchiveResult is one line with its outcome.
type ArchiveResult struct {
	Line     ArchiveLine
	Outcome  LineOutcome
	Sentence string
}

// CompareArchive goes through an archive certificate line by line. A difference
// is a note and no failure: cars were repainted and refitted.
func CompareArchive(lines []ArchiveLine) []ArchiveResult {
	out := make([]ArchiveResult, len(lines))
	for i, l := range lines {
		out[i] = ArchiveResult{Line: l}
		out[i].Outcome, out[i].Sentence = l.compare()
	}
	return out
}

func (l ArchiveLine) compare() (LineOutcome, string) {
	certificate, car := fold(l.Certificate), fold(l.Car)
	switch {
	case certificate == "" && car == "":
		return LineNotStated, l.Item + ": stated neither in the certificate nor for the car"
	case certificate == "":
		return LineNotStated, l.Item + ": not stated in the certificate"
	case car == "":
		return LineNotStated, l.Item + ": not stated for the car"
	case l.Number:
		return l.compareNumbers()
	case certificate == car:
		return LineAgree, fmt.Sprintf("%s: agrees, %s", l.Item, quote(l.Car))
	}
	return LineDiffer, fmt.Sprintf("%s: %s in the certificate, %s on the car; a note, no failure", l.Item, quote(l.Certificate), quote(l.Car))
}

// compareNumbers takes only full agreement for agreement; a number that is no
// evidence states nothing.
func (l ArchiveLine) compareNumbers() (LineOutcome, string) {
	g := Compare(Plain(l.Certificate), Plain(l.Car))
	sentence := l.Item + ": " + g.Sentence()
	switch g.Verdict {
	case Agree:
		return LineAgree, sentence
	case NotCompared:
		return LineNotStated, sentence
	}
	return LineDiffer, sentence + "; a note, no failure"
}

// ArchiveStatements turns the lines that differ into notes.
func ArchiveStatements(record string, results []ArchiveResult) []Statement {
	var out []Statement
	for _, r := range results {
		if r.Outcome == LineDiffer {
			out = append(out, Statement{Code: "archive-line-differs", Severity: Note, Records: paths(record),
				Sentence: "archive certificate, " + r.Sentence})
		}
	}
	return out
}
