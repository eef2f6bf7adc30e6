package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html"
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
)

// givenAs is the label under which bag-info.txt says to whom a bag was given.
func givenAs(aCopy bool) string {
	if aCopy {
		return "Copied-For"
	}
	return "Handed-Over-To"
}

// readme is a page that tells how to check a bag, as it came and as this program writes it for the same history.
type readme struct {
	name       string
	came, ours []byte
	steps      func([]byte) []string
}

// sameReadme holds the pages that tell how to check the bag against those that this program writes for this history: people
// type what they say, so that a page of anybody else's is refused. Of a bag by another version of the program the steps have
// to be ones of ours, and that the words around them differ is a doubt.
func (in *arrival) sameReadme(ctx context.Context, repo Repository, committed fs.FS) (doubts []string, err error) {
	agent := fieldOf(in.report, "Bag-Software-Agent")
	pages, err := in.readmes(ctx, repo, committed, agent)
	if err != nil {
		return nil, err
	}
	for _, page := range pages {
		if bytes.Equal(page.came, page.ours) {
			continue
		}
		line, text := firstOther(page.came, page.ours)
		if agent == in.env.Program || len(page.came) == 0 {
			return nil, &Doubtful{fmt.Errorf("%s:%d is not as %s writes it for this car: %q; do not type what that page says", page.name, line, in.env.Program, text)}
		}
		known := page.steps(page.ours)
		for _, step := range page.steps(page.came) {
			if !slices.Contains(known, step) {
				return nil, &Doubtful{fmt.Errorf("%s, by %q, has a step that %s does not write for this car: %q; do not type it. "+
					"Receive the bag with that version, or clone data/history.bundle with stock git", page.name, agent, in.env.Program, clipped(step))}
			}
		}
		doubts = append(doubts, fmt.Sprintf("%s has the steps that this program writes, and other words around them; it says that %q wrote it", page.name, agent))
	}
	return doubts, nil
}

// readmes makes the pages anew, for the day and the person that the bag names.
func (in *arrival) readmes(ctx context.Context, repo Repository, committed fs.FS, agent string) ([]readme, error) {
	s, err := ledger.Load(committed)
	if err != nil {
		return nil, fmt.Errorf("the records in the bag: %w", err)
	}
	day, err := edtf.ParseDay(fieldOf(in.report, "Bagging-Date"))
	if err != nil {
		return nil, &Doubtful{fmt.Errorf("bag-info.txt: Bagging-Date: %w", err)}
	}
	r := HandoverRequest{To: fieldOf(in.report, givenAs(false)), On: day}
	if r.To == "" {
		r.To, r.Copy = fieldOf(in.report, givenAs(true)), true
	}
	h, err := in.env.handing(repo, s, "", r)
	if err != nil {
		return nil, err
	}
	h.Program = agent
	d := dossier.HandoverReadme(h)
	var text, page bytes.Buffer
	press := in.request.Press
	if err := errors.Join(press.Text(ctx, &text, d), press.Plain(ctx, &page, d)); err != nil {
		return nil, err
	}
	came := in.report.Readmes
	return []readme{
		{"README.txt", came["README.txt"], text.Bytes(), stepsOfText},
		{"README.html", came["README.html"], page.Bytes(), stepsOfPage},
	}, nil
}

// firstOther gives the first line that is another, with its number; beyond the end it is "".
func firstOther(came, ours []byte) (int, string) {
	want := strings.Split(string(ours), "\n")
	for i, line := range strings.Split(string(came), "\n") {
		if i >= len(want) || line != want[i] {
			return i + 1, clipped(line)
		}
	}
	return strings.Count(string(came), "\n") + 1, ""
}

// clipped keeps a quotation short.
func clipped(text string) string {
	if runes := []rune(text); len(runes) > 100 {
		return string(runes[:100]) + "..."
	}
	return text
}

// stepsOfText gives what a text page has people type: its lines that are set in, by as much as a paragraph of a step or more.
func stepsOfText(text []byte) (steps []string) {
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "    ") {
			steps = append(steps, strings.TrimSpace(line))
		}
	}
	return steps
}

var (
	typedIn = regexp.MustCompile(`(?is)<pre[^>]*>(.*?)</pre>`)
	acting  = regexp.MustCompile(`(?is)<(script|form|iframe|object|embed|link|base|meta http-equiv="?refresh)\b[^>]*>`)
)

// stepsOfPage gives what a web page has people type, and what in it acts by itself.
func stepsOfPage(page []byte) (steps []string) {
	for _, found := range typedIn.FindAllSubmatch(page, -1) {
		for line := range strings.Lines(html.UnescapeString(string(found[1]))) {
			steps = append(steps, strings.TrimSpace(line))
		}
	}
	for _, found := range acting.FindAll(page, -1) {
		steps = append(steps, doc.CleanLine(string(found), 0))
	}
	return steps
}
