package gitstore

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestNothingIsReadOutsideTheRepository moves a part of a repository out of it, where a stranger could have anything lie, and
// leaves a link, or the like of it.
func TestNothingIsReadOutsideTheRepository(t *testing.T) {
	moved := func(name string) func(*bench, string) {
		return func(b *bench, outside string) {
			b.moveOut(name, filepath.Join(outside, "moved"))
		}
	}
	for _, c := range []struct {
		name  string
		leave func(b *bench, outside string)
		want  string
	}{
		{"the whole of .git", moved(".git"), "its .git is a link"},
		{"the objects", moved(".git/objects"), "objects is a link"},
		{"the packs", moved(".git/objects/pack"), "escapes"},
		{"one pack", moved(".git/objects/pack/*.pack"), "escapes"},
		{"the index of a pack", moved(".git/objects/pack/*.idx"), "escapes"},
		{"the references", moved(".git/refs"), "refs is a link"},
		{"the branches", moved(".git/refs/heads"), "escapes"},
		{"the head", moved(".git/HEAD"), "symlink"},
		{"the packed references", moved(".git/packed-refs"), "escapes"},
		{"the configuration", moved(".git/config"), "escapes"},
		{"the index", moved(".git/index"), "escapes"},
		{"a .git file that points to a repository of its own", func(b *bench, outside string) {
			b.git("init", "-q", "--separate-git-dir", filepath.Join(outside, "apart"))
		}, "its .git points to"},
		{"a .git file that points to a work tree's entry of another", func(b *bench, outside string) {
			other := newBench(b.TB)
			other.commit("one", "a.json", "1\n")
			other.git("worktree", "add", "-q", "-b", "side", filepath.Join(outside, "tree"))
			b.moveAway(".git")
			b.write(".git", "gitdir: "+filepath.Join(other.dir, ".git/worktrees/tree")+"\n")
		}, "where this folder is not known"},
		{"a .git file that points to the network", func(b *bench, _ string) {
			b.moveAway(".git")
			b.write(".git", "gitdir: //host.invalid/share/.git/worktrees/x\n")
		}, "its .git is the file"},
		{"a commondir", func(b *bench, outside string) { b.write(".git/commondir", outside+"\n") }, "commondir"},
		{"an entry whose repository lies elsewhere", func(b *bench, outside string) {
			b.moveAway(".git")
			entry := filepath.Join(outside, "worktrees", "x")
			for name, text := range map[string]string{"HEAD": "ref: refs/heads/main\n", "gitdir": filepath.Join(b.dir, ".git") + "\n", "commondir": "/etc\n"} {
				put(b, filepath.Join(entry, name), text)
			}
			b.write(".git", "gitdir: "+entry+"\n")
		}, "which is no work tree's"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.commit("one", "a.json", "1\n")
			b.git("repack", "-a", "-d", "-q")
			b.git("pack-refs", "--all")
			b.git("branch", "loose")
			c.leave(b, t.TempDir())
			r, err := Open(b.dir)
			if err == nil {
				defer r.Close()
				_, err = r.Revision("loose")
			}
			if err == nil {
				_, err = r.FS(parse(t, b.git("rev-parse", "HEAD")))
			}
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func put(b *bench, path, text string) {
	b.Helper()
	if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o777), os.WriteFile(path, []byte(text), 0o600)); err != nil {
		b.Fatal(err)
	}
}

// moveOut moves a file or folder away and leaves a link to it.
func (b *bench) moveOut(name, to string) {
	b.Helper()
	found, err := filepath.Glob(filepath.Join(b.dir, name))
	if err != nil || len(found) != 1 {
		b.Fatalf("%s: %v %v", name, found, err)
	}
	if err := errors.Join(os.Rename(found[0], to), os.Symlink(to, found[0])); err != nil {
		b.Fatal(err)
	}
}

func (b *bench) moveAway(name string) {
	b.Helper()
	if err := os.Rename(filepath.Join(b.dir, name), filepath.Join(b.TempDir(), "away")); err != nil {
		b.Fatal(err)
	}
}

func TestAWorkTreeThatItsRepositoryKnowsIsFollowed(t *testing.T) {
	b := newBench(t)
	one := b.commit("one", "a.json", "1\n")
	dir := filepath.Join(t.TempDir(), "linked")
	b.git("worktree", "add", "-q", "-b", "side", dir)
	r := at1(t, dir)
	if head, err := r.Head(); err != nil || head.Commit != one.Commit || !r.Traits.Linked {
		t.Errorf("head %v, %v, linked %v", head, err, r.Traits.Linked)
	}
	b.git("worktree", "move", dir, dir+"-moved")
	if r := at1(t, dir+"-moved"); !r.Traits.Linked {
		t.Error("moved, it is another")
	}
}
