package signoff

import (
	"crypto/sha1"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"boltback/internal/attest"
)

// folder is the files of one commit, held in memory.
type folder struct{ fstest.MapFS }

// Content names a file by its digest, a folder by those of all that is in it.
func (f folder) Content(name string) (string, error) {
	if file, ok := f.MapFS[name]; ok {
		sum := sha1.Sum(file.Data)
		return hex.EncodeToString(sum[:]), nil
	}
	hash := sha1.New()
	found := false
	for _, p := range slices.Sorted(maps.Keys(f.MapFS)) {
		if strings.HasPrefix(p, name+"/") {
			found = true
			fmt.Fprintf(hash, "%s\x00%x\x00", p, f.MapFS[p].Data)
		}
	}
	if !found {
		return "", nil
	}
	return hex.EncodeToString(hash.Sum(nil)), nil
}

// story is a history that a test tells commit by commit.
type story struct {
	t       testing.TB
	files   map[string]string // as they stand now
	commits []Commit
	kept    map[string]folder
	clock   time.Time
	head    string
}

// Those who appear in the stories. All but mallory work at one workshop.
const (
	ines    = "people/tallow-lane/ines-okafor"
	bram    = "people/tallow-lane/bram-ostler"
	edda    = "people/northmarsh/edda-thackwell" // from outside
	mallory = "people/tallow-lane/mallory"
)

func signerOf(person string) attest.Signer { return attest.DemoSigner("stories", person) }

func fingerprint(person string) string { return signerOf(person).Public().Fingerprint() }

func newStory(t testing.TB) *story {
	return &story{t: t, files: map[string]string{}, kept: map[string]folder{}, clock: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)}
}

// put writes a record, members in the order given as alternating names and values.
func (s *story) put(file string, members ...any) {
	var lines []string
	for i := 0; i < len(members); i += 2 {
		value, err := json.MarshalIndent(members[i+1], "  ", "  ")
		if err != nil {
			s.t.Fatal(err)
		}
		lines = append(lines, fmt.Sprintf("  %q: %s", members[i], value))
	}
	s.files[file] = "{\n" + strings.Join(lines, ",\n") + "\n}\n"
}

// key writes the entry of somebody's key; more are further members.
func (s *story) key(person, entry string, more ...any) {
	s.put(person+"/"+entry+".json", append([]any{"kind", "key", "public", signerOf(person).Public().String()}, more...)...)
}

// list brings allowed_signers up to date.
func (s *story) list() {
	set, err := ReadKeys(s.fs())
	if err != nil {
		s.t.Fatal(err)
	}
	s.files["allowed_signers"] = string(set.SignersFile())
}

func (s *story) fs() folder {
	m := fstest.MapFS{}
	for name, text := range s.files {
		m[name] = &fstest.MapFile{Data: []byte(text), Mode: 0o644}
	}
	return folder{m}
}

// treeID stands for the id of a tree: it depends on all files.
func (s *story) treeID() string {
	hash := sha1.New()
	for _, name := range slices.Sorted(maps.Keys(s.files)) {
		fmt.Fprintf(hash, "%s\x00%s\x00", name, s.files[name])
	}
	return hex.EncodeToString(hash.Sum(nil))
}

// options of a commit.
type how struct {
	by      string // whose key signs; "" leaves it unsigned
	author  string // "" is whoever signs
	parents []string
	when    time.Time
	ns      attest.Namespace
}

// commit adds a commit of the files as they stand, signed by somebody, an hour
// after the one before.
func (s *story) commit(by string) string { return s.commitAs(how{by: by}) }

func (s *story) commitAs(h how) string {
	s.t.Helper()
	s.clock = s.clock.Add(time.Hour)
	if h.when.IsZero() {
		h.when = s.clock
	}
	if h.author == "" {
		h.author = h.by
	}
	if h.author == "" {
		h.author = ines
	}
	if h.parents == nil && s.head != "" {
		h.parents = []string{s.head}
	}
	payload := "tree " + s.treeID() + "\n"
	for _, p := range h.parents {
		payload += "parent " + p + "\n"
	}
	who := fmt.Sprintf("%s <%s> %d +0100", path.Base(h.author), Principal(ref(h.author)), h.when.Unix())
	payload += "author " + who + "\ncommitter " + who + "\n\na change\n"
	c := Commit{Payload: []byte(payload)}
	if h.by != "" {
		if h.ns == "" {
			h.ns = attest.Commits
		}
		sig, err := attest.Sign(signerOf(h.by), h.ns, c.Payload)
		if err != nil {
			s.t.Fatal(err)
		}
		c.Signature = sig
	}
	return s.add(c)
}

// add puts a finished commit into the story, with the files as they stand.
func (s *story) add(c Commit) string {
	sum := sha1.Sum(append(slices.Clone(c.Payload), c.Signature...))
	c.ID = hex.EncodeToString(sum[:])
	s.commits = append(s.commits, c)
	s.kept[c.ID] = s.fs()
	s.head = c.ID
	return c.ID
}

func (s *story) open(id string) (Files, error) {
	f, ok := s.kept[id]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return f, nil
}

func (s *story) walk(pins Pins) *Trust {
	s.t.Helper()
	trust, err := Walk(s.commits, s.open, pins)
	if err != nil {
		s.t.Fatal(err)
	}
	return trust
}

// begin opens a ledger with ines and her key, signed by her.
func begin(t testing.TB) *story {
	s := newStory(t)
	s.put("ledger.json", "kind", "ledger", "edition", "1")
	s.put("car.json", "kind", "car", "make", "Tern", "numbers", []map[string]string{{"what": "chassis", "raw": "*TK 40317 R*"}})
	s.put(ines+"/person.json", "kind", "person", "name", "Ines Okafor")
	s.key(ines, "key-1", "from", "2026-01-01")
	s.list()
	s.commit(ines)
	return s
}

func digestOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}
