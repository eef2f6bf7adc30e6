package gitstore

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// bundled writes the bench's repository as a bundle into a file outside it.
func (b *bench) bundled() string {
	b.Helper()
	var file bytes.Buffer
	if err := b.repo.WriteBundle(context.Background(), &file); err != nil {
		b.Fatal(err)
	}
	path := filepath.Join(b.TempDir(), "history.bundle")
	if err := os.WriteFile(path, file.Bytes(), 0o644); err != nil {
		b.Fatal(err)
	}
	return path
}

func TestStockGitClonesABundleWithTheSameCommitsTagsAndSignatures(t *testing.T) {
	b := newBench(t)
	sign, _ := signer(t)
	req := request("first", "car.json", "{}\n", "parts/tank.json", strings.Repeat("tank\n", 5000))
	req.Signer = sign
	if _, err := b.repo.Commit(context.Background(), req); err != nil {
		t.Fatal(err)
	}
	head, err := b.repo.Head()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.repo.CreateTag(context.Background(), TagRequest{Name: "stamps/1", Target: head.Commit, Tagger: mechanic(), Message: "a stamp", Signer: sign}); err != nil {
		t.Fatal(err)
	}
	b.git("checkout", "-q", "-b", "side")
	b.commit("aside", "parts/seat.json", "")
	b.git("checkout", "-q", "main")
	b.commit("second", "parts/tank.json", "other\n")
	b.git("merge", "-q", "--no-edit", "side")
	b.git("tag", "light")
	b.git("gc", "-q") // packed objects and packed references are read too

	clone := filepath.Join(t.TempDir(), "clone")
	if out, err := gitIn(".", "clone", "-q", "--mirror", b.bundled(), clone); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if out, err := gitIn(clone, "fsck", "--strict", "--full"); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	refs, err := gitIn(clone, "for-each-ref", "--format=%(objectname) %(refname)")
	if err != nil {
		t.Fatal(err)
	}
	if want := b.git("for-each-ref", "--format=%(objectname) %(refname)"); refs != want {
		t.Errorf("the clone has\n%s\nwant\n%s", refs, want)
	}
	objects, err := gitIn(clone, "cat-file", "--batch-all-objects", "--batch-check=%(objectname) %(objectsize)")
	if err != nil {
		t.Fatal(err)
	}
	if want := b.git("cat-file", "--batch-all-objects", "--batch-check=%(objectname) %(objectsize)"); objects != want {
		t.Errorf("the clone has\n%s\nwant\n%s", objects, want)
	}
}

func TestABundleHoldsNothingThatNoReferenceLeadsTo(t *testing.T) {
	b := newBench(t)
	b.commit("first", "car.json", "{}\n")
	b.write("secret", "nobody committed this\n")
	stray := strings.TrimSpace(b.git("hash-object", "-w", "secret"))
	clone := filepath.Join(t.TempDir(), "clone")
	if out, err := gitIn(".", "clone", "-q", "--mirror", b.bundled(), clone); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if _, err := gitIn(clone, "cat-file", "-e", stray); err == nil {
		t.Error("an object that no reference leads to went along")
	}
}

func TestABundleIsTheSameBytesTwice(t *testing.T) {
	b := newBench(t)
	b.commit("first", "car.json", "{}\n", "parts/tank.json", "{}\n")
	one, err := os.ReadFile(b.bundled())
	if err != nil {
		t.Fatal(err)
	}
	two, err := os.ReadFile(b.bundled())
	if err != nil || !bytes.Equal(one, two) {
		t.Errorf("two bundles differ (%v)", err)
	}
}

func TestWhatCannotBeBundledWholeIsAnError(t *testing.T) {
	b := newBench(t)
	ctx := context.Background()
	if err := b.repo.WriteBundle(ctx, &bytes.Buffer{}); !errors.Is(err, ErrNoCommits) {
		t.Errorf("nothing committed: %v", err)
	}
	b.commit("first", "car.json", "{}\n")
	b.commit("second", "car.json", "{ }\n")
	cancelled, cancel := context.WithCancel(ctx)
	cancel()
	if err := b.repo.WriteBundle(cancelled, &bytes.Buffer{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	shallow := filepath.Join(t.TempDir(), "shallow")
	if out, err := gitIn(".", "clone", "-q", "--depth=1", "file://"+b.dir, shallow); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	var refused *RefusedError
	if err := at(t, shallow).repo.WriteBundle(ctx, &bytes.Buffer{}); !errors.As(err, &refused) {
		t.Errorf("a history that was cut off: %v", err)
	}
	gone := strings.TrimSpace(b.git("rev-parse", "HEAD~1:car.json"))
	if err := os.Remove(filepath.Join(b.dir, ".git", "objects", gone[:2], gone[2:])); err != nil {
		t.Fatal(err)
	}
	var missing *MissingError
	if err := b.repo.WriteBundle(ctx, &bytes.Buffer{}); !errors.As(err, &missing) || missing.ID.String() != gone {
		t.Errorf("an object of the first commit is gone: %v", err)
	}
}
