package gitstore

import (
	"bytes"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"testing"
)

func TestStockGitAcceptsASignedTag(t *testing.T) {
	b := newBench(t)
	target := b.commit("one", "a.json", "1\n").Commit
	sign, allowed := signer(t)
	req := TagRequest{Name: "stamp/2026-03-01", Target: target, Tagger: mechanic(), Message: "Stamp\n\nsha256 abc", Signer: sign}
	id, err := b.repo.CreateTag(t.Context(), req)
	if err != nil {
		t.Fatal(err)
	}
	b.sound()
	b.swept()
	out := b.git("-c", "gpg.ssh.allowedSignersFile="+allowed, "verify-tag", "--raw", req.Name)
	if !strings.Contains(out, "Good \"git\" signature for odile@corvane.invalid") {
		t.Errorf("git verify-tag says %s", out)
	}
	got, err := b.repo.ReadTag(id)
	if err != nil {
		t.Fatal(err)
	}
	again, _ := sign(got.Payload)
	if got.Name != req.Name || got.Target != target || got.Kind != "commit" || got.Message != "Stamp\n\nsha256 abc\n" ||
		!got.Tagger.When.Equal(noon) || got.Signature != again {
		t.Errorf("got %+v", got)
	}
	if commit, err := b.repo.Revision(req.Name); err != nil || commit != target {
		t.Errorf("the tag stands for %s, %v", commit, err)
	}
	if _, err := b.repo.CreateTag(t.Context(), req); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a second tag of that name: %v", err)
	}
	b.git("pack-refs", "--all")
	if _, err := b.repo.CreateTag(t.Context(), req); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a second tag beside a packed one: %v", err)
	}
	b.git("tag", "light")
	b.git("tag", "-a", "-m", "of stock", "annotated")
	list, err := b.repo.Tags()
	if err != nil {
		t.Fatal(err)
	}
	want := []TagRef{{"annotated", parse(t, b.git("rev-parse", "annotated"))}, {"light", target}, {req.Name, id}}
	if !slices.Equal(list, want) {
		t.Errorf("tags %v, want %v", list, want)
	}
	stock, err := b.repo.ReadTag(want[0].ID)
	if err != nil || stock.Message != "of stock\n" || string(stock.Payload) != b.git("cat-file", "tag", "annotated")+"\n" {
		t.Errorf("%+v, %v", stock, err)
	}
}

func TestTagsThatWouldNotDoAreRefused(t *testing.T) {
	b := newBench(t)
	target := b.commit("one", "a.json", "1\n").Commit
	good := TagRequest{Name: "x", Target: target, Tagger: mechanic(), Message: "m"}
	for name, spoil := range map[string]func(*TagRequest){
		"a name that leads out":         func(q *TagRequest) { q.Name = "../heads/main" },
		"a name with a space":           func(q *TagRequest) { q.Name = "a b" },
		"a name like a lock":            func(q *TagRequest) { q.Name = "a.lock" },
		"no message":                    func(q *TagRequest) { q.Message = "\n" },
		"a target that is no commit":    func(q *TagRequest) { q.Target = BlobID([]byte("1\n")) },
		"a target that is not there":    func(q *TagRequest) { q.Target = Hash{9} },
		"no tagger":                     func(q *TagRequest) { q.Tagger = Person{} },
		"a message like a signature":    func(q *TagRequest) { q.Message = "m\n-----BEGIN SSH SIGNATURE-----\nx" },
		"a signer that returns nothing": func(q *TagRequest) { q.Signer = func([]byte) (string, error) { return "", nil } },
		"a signer that fails": func(q *TagRequest) {
			q.Signer = func([]byte) (string, error) { return "", errors.New("no") }
		},
	} {
		q := good
		spoil(&q)
		if id, err := b.repo.CreateTag(t.Context(), q); err == nil {
			t.Errorf("%s: made %s", name, id)
		}
	}
	if got := b.git("tag"); got != "" {
		t.Errorf("tags %s", got)
	}
	b.swept()
}

func FuzzTagKeepsItsSignedBytes(f *testing.F) {
	f.Add([]byte("object " + Hash{1}.String() + "\ntype commit\ntag x\ntagger A <a@b> 1 +0000\n\nm\n-----BEGIN SSH SIGNATURE-----\nx\n"))
	f.Add([]byte("object 1\n\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		tag, err := parseTag(data)
		if err == nil && !bytes.Equal(append(slices.Clone(tag.Payload), tag.Signature...), data) {
			t.Fatal("payload and signature are not the whole")
		}
	})
}
