package gitstore

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestRepositoriesThatCannotBeReadRightlyAreRefusedWithAWayOut(t *testing.T) {
	config := func(keys ...string) func(*bench) {
		return func(b *bench) {
			for i := 0; i < len(keys); i += 2 {
				b.git("config", keys[i], keys[i+1])
			}
		}
	}
	cases := []struct {
		name   string
		spoil  func(*bench)
		reason string
		remedy string
	}{
		{"objects named by SHA-256", func(b *bench) {
			if err := os.RemoveAll(filepath.Join(b.dir, ".git")); err != nil {
				b.Fatal(err)
			}
			b.git("init", "-q", "--object-format=sha256")
		}, "named by sha256", "--object-format=sha1"},
		{"branches in a reftable", config("core.repositoryformatversion", "1", "extensions.refStorage", "reftable"),
			"kept as reftable", "git refs migrate"},
		{"an index in two files", func(b *bench) { b.git("update-index", "--split-index") },
			"split over two files", "--no-split-index"},
		{"a sparse index", func(b *bench) {
			b.write("parts/x/y.json", "1")
			b.git("add", ".")
			b.git("commit", "-q", "-m", "more")
			b.git("sparse-checkout", "init", "--cone", "--sparse-index")
		}, "index is sparse", "--no-sparse-index"},
		{"a partial clone", config("core.repositoryformatversion", "1", "extensions.partialClone", "origin"),
			"partial clone", "without --filter"},
		{"a remote that promises objects", config("remote.origin.url", "x", "remote.origin.promisor", "true"),
			"partial clone", "without --filter"},
		{"an extension that nobody has heard of", config("core.repositoryformatversion", "1", "extensions.fancy", "yes"),
			"extension fancy", "without that extension"},
		{"a format of the future", config("core.repositoryformatversion", "2"), "format version 2", "convert it"},
		{"files that lie elsewhere", func(b *bench) { b.git("config", "core.worktree", b.TempDir()) },
			"its files lie in", "--unset core.worktree"},
		{"borrowed objects that are gone", func(b *bench) { b.write(".git/objects/info/alternates", "/nowhere/objects\n") },
			"borrows objects from /nowhere/objects", "git repack -a -d"},
		{"borrowed objects that are there", func(b *bench) {
			b.write(".git/objects/info/alternates", "# ours\n"+filepath.Join(newBench(b.TB).dir, ".git/objects")+"\n")
		}, "borrows objects from", "if you know that folder"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.commit("one", "a.json", "1\n", "parts/b.json", "1\n")
			c.spoil(b)
			_, err := Open(b.dir)
			var refused *RefusedError
			if !errors.As(err, &refused) {
				t.Fatalf("got %v", err)
			}
			if refused.Dir != b.dir || !strings.Contains(refused.Reason, c.reason) || !strings.Contains(refused.Remedy, c.remedy) {
				t.Errorf("got %+v", refused)
			}
		})
	}
}

func TestAFolderWithoutARepositoryIsNone(t *testing.T) {
	b := newBench(t)
	b.write("parts/a.json", "1")
	for _, dir := range []string{t.TempDir(), filepath.Join(b.dir, "parts"), filepath.Join(b.dir, "absent")} {
		if _, err := Open(dir); !errors.Is(err, ErrNotRepository) {
			t.Errorf("%s: %v", dir, err)
		}
	}
	var refused *RefusedError
	if _, err := Open(filepath.Join(b.dir, ".git")); !errors.As(err, &refused) {
		t.Errorf("the inside of a repository: %v", err)
	}
}

func TestInitChangesNothingInARepositoryAndCompletesAHalfMadeOne(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	if _, err := Init(b.dir); !errors.Is(err, fs.ErrExist) {
		t.Errorf("got %v", err)
	}
	b.sound()
	b.clean()
	half := filepath.Join(t.TempDir(), "half")
	if err := os.MkdirAll(filepath.Join(half, ".git", "objects"), 0o777); err != nil {
		t.Fatal(err)
	}
	if _, err := Init(half); err != nil {
		t.Fatal(err)
	}
	h := at(t, half)
	h.commit("one", "a.json", "1\n")
	h.sound()
	h.clean()
	if branch := h.git("branch", "--show-current"); branch != "main" {
		t.Errorf("on %s", branch)
	}
}

func TestTraitsThatAReaderShouldKnow(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	b.commit("two", "a.json", "2\n")
	if b.repo.Traits != (Traits{}) {
		t.Errorf("a plain repository has %+v", b.repo.Traits)
	}
	b.git("replace", "HEAD", "HEAD~1")
	r := at(t, b.dir).repo
	if !r.Traits.Replaced {
		t.Error("replaced objects go unnoticed")
	}
	head, err := r.Head()
	if err != nil {
		t.Fatal(err)
	}
	if c, err := r.ReadCommit(head.Commit); err != nil || c.Message != "two\n" {
		t.Errorf("the original commit is not shown: %v %v", c, err)
	}
}

func TestARepositoryOfAnotherUserIsReadAndNotWritten(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("not tested here: only root can give a file away")
	}
	b := newBench(t)
	first := b.commit("one", "a.json", "1\n")
	if err := os.Chown(b.dir, 4321, 4321); err != nil {
		t.Fatal(err)
	}
	r := at(t, b.dir).repo
	if !r.Traits.Foreign {
		t.Error("the owner goes unnoticed")
	}
	if _, err := r.FS(first.Commit); err != nil {
		t.Error(err)
	}
	if _, err := r.Commit(t.Context(), request("two", "a.json", "2\n")); !errors.Is(err, ErrForeignOwner) {
		t.Errorf("got %v", err)
	}
}

func TestNothingThatARepositoryConfiguresIsRun(t *testing.T) {
	b := newBench(t)
	b.commit("one", ".gitattributes", "*.json filter=evil diff=evil merge=evil\n", "a.json", "1\n")
	trap := "touch " + filepath.Join(b.dir, "sprung") + ";cat"
	for _, key := range []string{"filter.evil.clean", "filter.evil.smudge", "diff.evil.textconv", "diff.evil.command",
		"merge.evil.driver", "core.fsmonitor", "core.sshCommand", "core.editor", "core.pager", "gpg.program", "gpg.ssh.program"} {
		b.git("config", key, trap)
	}
	for _, hook := range []string{"pre-commit", "commit-msg", "post-commit", "reference-transaction", "post-index-change"} {
		b.write(".git/hooks/"+hook, "#!/bin/sh\n"+trap+"\n")
		if err := os.Chmod(filepath.Join(b.dir, ".git/hooks", hook), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	r := at(t, b.dir)
	r.commit("two", "a.json", "2\n")
	if _, err := r.repo.Status(); err != nil {
		t.Error(err)
	}
	if _, err := os.Lstat(filepath.Join(b.dir, "sprung")); err == nil {
		t.Error("something was run")
	}
}

func TestAnOpenRepositorySeesWhatGitRepacked(t *testing.T) {
	b := newBench(t)
	one := b.commit("one", "a.json", "1\n")
	two := b.commit("two", "a.json", "2\n")
	r := at(t, b.dir).repo
	if _, err := r.ReadCommit(two.Commit); err != nil {
		t.Fatal(err)
	}
	b.git("gc", "-q", "--prune=now")
	for range 2 {
		s, err := r.FS(one.Commit)
		if err != nil {
			t.Fatal(err)
		}
		if data, err := s.ReadFile("a.json"); err != nil || string(data) != "1\n" {
			t.Errorf("%q, %v", data, err)
		}
		b.commit("three", "a.json", "3\n")
		b.git("repack", "-a", "-d", "-q")
	}
	if head, err := r.Revision("HEAD~2"); err != nil || head != one.Commit {
		t.Errorf("%v, %v", head, err)
	}
}

func TestARepositoryThatBorrowsIsReadOnceItHoldsItsOwnObjects(t *testing.T) {
	b := newBench(t)
	one := b.commit("one", "a.json", "1\n")
	dir := filepath.Join(filepath.Dir(b.dir), "second")
	b.git("clone", "-q", "--shared", b.dir, dir)
	var refused *RefusedError
	if _, err := Open(dir); !errors.As(err, &refused) {
		t.Fatalf("it is opened: %v", err)
	}
	b.git("-C", dir, "repack", "-a", "-d", "-q")
	if err := os.Remove(filepath.Join(dir, ".git/objects/info/alternates")); err != nil {
		t.Fatal(err)
	}
	second := at(t, dir)
	if _, err := second.repo.ReadCommit(one.Commit); err != nil {
		t.Error(err)
	}
	second.commit("two", "a.json", "2\n")
	second.sound()
}

func TestARepositoryInPiecesIsAnErrorAndNotACrash(t *testing.T) {
	for name, content := range map[string]string{
		"HEAD":            "ref: ../../etc/passwd\n",
		"refs/heads/main": "not an id\n",
		"config":          "[core\n\x00",
		"index":           "DIRC\x00\x00\x00\x02\xff\xff\xff\xff",
		"shallow":         "half a line",
		"commondir":       "",
	} {
		b := newBench(t)
		b.commit("one", "a.json", "1\n")
		b.write(".git/"+name, content)
		if _, err := Open(b.dir); err == nil {
			t.Errorf("%s: opened", name)
		}
	}
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	b.write(".git/refs/heads/a", "ref: refs/heads/b\n")
	b.write(".git/refs/heads/b", "ref: refs/heads/a\n")
	if _, err := b.repo.Revision("a"); err == nil || !strings.Contains(err.Error(), "point to one another") {
		t.Errorf("got %v", err)
	}
}
