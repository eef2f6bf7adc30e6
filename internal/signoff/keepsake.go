package signoff

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"boltback/internal/record"
)

// Keepsake is what an outsider kept of a ledger: a dossier, the records out of
// one, or a stamp. It names a commit, and mostly the digests of files in it.
type Keepsake struct {
	What   string // in words: "a dossier", "a stamp"
	Commit string // forty digits
	Ledger string // the id that ledger.json bore, "" where the thing kept does not say
	Files  []FileDigest
	// Stamp is the stamp itself, where it is one.
	Stamp *Stamped
}

var (
	errNoKeepsake = errors.New("it is no dossier, no records out of one and no stamp")
	printedCommit = regexp.MustCompile(`Records as of commit(?:</?[a-z]+[^>]*>|\s)+([0-9a-f]{40})\b`)
	changesBeside = "with changes not committed"
)

// ReadKeepsake reads a dossier as a page, the records that travel inside one on
// paper, or a stamp as "git cat-file tag" prints it. Each may come from anybody:
// what it says is held against a history and believed for nothing else.
func ReadKeepsake(data []byte) (Keepsake, error) {
	switch trimmed := bytes.TrimSpace(data); {
	case bytes.HasPrefix(data, []byte("object ")):
		return keptTag(data)
	case bytes.HasPrefix(data, []byte(manifestTitle)):
		m, answer, err := parseMessage(data)
		return Keepsake{What: "a manifest", Commit: m.Commit, Files: m.Files, Stamp: &Stamped{Manifest: m, Answer: answer}}, err
	case bytes.HasPrefix(trimmed, []byte("{")):
		return keptRecords(trimmed)
	case bytes.HasPrefix(trimmed, []byte("<")):
		found := printedCommit.FindSubmatch(bytes.ReplaceAll(data, []byte("<wbr>"), nil))
		if found == nil {
			return Keepsake{}, errors.New("the page names no commit in full")
		}
		return Keepsake{What: "a dossier", Commit: string(found[1])}, nil
	}
	return Keepsake{}, errNoKeepsake
}

const signatureBegins = "\n-----BEGIN SSH SIGNATURE-----"

func keptTag(data []byte) (Keepsake, error) {
	payload, signature := data, []byte(nil)
	if i := bytes.LastIndex(data, []byte(signatureBegins)); i >= 0 {
		payload, signature = data[:i+1], data[i+1:]
	}
	head, _, _ := bytes.Cut(payload, []byte("\n\n"))
	name := ""
	for line := range strings.Lines(string(head)) {
		if n, ok := strings.CutPrefix(line, "tag "); ok {
			name = strings.TrimSuffix(n, "\n")
		}
	}
	s, err := ReadTag(Tag{Name: name, Payload: payload, Signature: signature})
	if err != nil {
		return Keepsake{}, err
	}
	return Keepsake{What: "a stamp", Commit: s.Manifest.Commit, Files: s.Manifest.Files, Stamp: &s}, nil
}

// keptRecords reads the records out of a dossier.
func keptRecords(data []byte) (Keepsake, error) {
	var kept struct {
		Edition string
		Ledger  string
		Commit  string
		Records []struct {
			Path   string
			Digest record.Digest
		}
	}
	if err := json.Unmarshal(data, &kept); err != nil || kept.Edition != "1" || kept.Commit == "" {
		return Keepsake{}, errNoKeepsake
	}
	k := Keepsake{What: "the records of a dossier", Ledger: kept.Ledger}
	var changed bool
	k.Commit, _, changed = strings.Cut(kept.Commit, " ")
	if !isID(k.Commit) || len(kept.Records) > mostFiles {
		return Keepsake{}, fmt.Errorf("%q is no id of a commit", kept.Commit)
	}
	if changed { // the folder was not as the commit: its files bind nobody
		if !strings.HasSuffix(kept.Commit, changesBeside) {
			return Keepsake{}, fmt.Errorf("%q is no id of a commit", kept.Commit)
		}
		return k, nil
	}
	for _, r := range kept.Records {
		if !plainName(r.Path) || !isDigest(r.Digest) {
			return Keepsake{}, errors.New("a record in it has no path or no digest")
		}
		k.Files = append(k.Files, FileDigest{r.Path, r.Digest})
	}
	return k, nil
}

// HoldKeepsake looks for the commit of something kept, and holds the files of it
// that it names against those of the history.
func (r *Report) HoldKeepsake(from string, k Keepsake, files func(id string) (Files, error)) error {
	r.Keep(k.Commit)
	last := &r.Kept[len(r.Kept)-1]
	last.From, last.Files = from, len(k.Files)
	last.OtherLedger = k.Ledger != "" && k.Ledger != r.Ledger
	if last.Holding == Missing || len(k.Files) == 0 {
		return nil
	}
	f, err := files(last.ID)
	if err != nil {
		return err
	}
	for _, file := range k.Files {
		now, err := digestFile(f, file.Path)
		if err != nil {
			now = ""
		}
		if now != file.Digest {
			last.Deviations = append(last.Deviations, Deviation{file.Path, file.Digest, now})
		}
	}
	slices.SortFunc(last.Deviations, func(a, b Deviation) int { return strings.Compare(a.Path, b.Path) })
	return nil
}
