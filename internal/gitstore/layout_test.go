package gitstore

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The ways in which stock Git lays out a repository, each read, committed to,
// and handed back to Git.

func TestEveryLayoutThatGitMakesIsReadAndWritten(t *testing.T) {
	clone := func(args ...string) func(*bench) string {
		return func(b *bench) string {
			dir := filepath.Join(b.TempDir(), "clone")
			b.git(append(append([]string{"clone", "-q"}, args...), "file://"+b.dir, dir)...)
			return dir
		}
	}
	here := func(cmds ...string) func(*bench) string {
		return func(b *bench) string {
			for _, c := range cmds {
				b.git(strings.Fields(c)...)
			}
			return b.dir
		}
	}
	cases := []struct {
		name string
		make func(*bench) string
	}{
		{"as we made it", here()},
		{"a branch in packed-refs only", here("pack-refs --all")},
		{"everything packed", here("gc -q --prune=now")},
		{"several packs and an index over them", here("repack -d", "multi-pack-index write")},
		{"a commit-graph", here("commit-graph write --reachable --changed-paths")},
		{"an index of version 4", here("update-index --index-version 4")},
		{"an index of version 3, with a file that is only intended", func(b *bench) string {
			b.write("intended.json", "x")
			b.git("add", "-N", "intended.json")
			return b.dir
		}},
		{"an index with caches in it", here("config core.untrackedCache true", "update-index --untracked-cache", "status")},
		{"an index that Git has just built anew", func(b *bench) string {
			if err := os.Remove(filepath.Join(b.dir, ".git/index")); err != nil {
				b.Fatal(err)
			}
			b.git("reset", "-q")
			return b.dir
		}},
		{"a configuration for each work tree", here("config extensions.worktreeConfig true", "config --worktree core.sparseCheckout false")},
		{"objects that are precious", here("config core.repositoryformatversion 1", "config extensions.preciousObjects true")},
		{"a linked work tree", func(b *bench) string {
			dir := filepath.Join(b.TempDir(), "linked")
			b.git("worktree", "add", "-q", "-b", "side", dir)
			return dir
		}},
		{"a detached HEAD", here("checkout -q --detach")},
		{"a branch with slashes", here("checkout -q -b work/rust/sills")},
		{"an empty folder where the branch's file goes", func(b *bench) string {
			b.git("branch", "deep/er")
			b.git("branch", "-D", "deep/er")
			b.git("checkout", "-q", "-b", "deep")
			b.git("pack-refs", "--all")
			if err := os.MkdirAll(filepath.Join(b.dir, ".git/refs/heads/deep"), 0o777); err != nil {
				b.Fatal(err)
			}
			return b.dir
		}},
		{"a clone", clone()},
		{"a shallow clone", clone("--depth=1")},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.commit("one", "a.json", "1\n")
			b.commit("two", "a.json", "2\n", "parts/b.json", "b\n")
			dir := c.make(b)
			in := at(t, dir)
			before := in.git("status", "--porcelain")
			branch := in.git("rev-parse", "--abbrev-ref", "HEAD")
			res := in.commit("three", "a.json", "3\n", "parts/c.json", "c\n")
			if got := in.git("rev-parse", "HEAD"); got != res.Commit.String() {
				t.Errorf("HEAD is %s, want %s", got, res.Commit)
			}
			if got := in.git("rev-parse", "--abbrev-ref", "HEAD"); got != branch {
				t.Errorf("on %s, was on %s", got, branch)
			}
			if got := in.git("status", "--porcelain"); got != before {
				t.Errorf("status was\n%s\nand is\n%s", before, got)
			}
			in.sound()
			in.swept()
			if got := in.git("show", "HEAD~1:a.json"); got != "2" {
				t.Errorf("before our commit a.json was %q", got)
			}
			if line := in.git("reflog", "-1", "--format=%gs"); line != "commit: three" {
				t.Errorf("HEAD's reflog says %q", line)
			}
			in.write("stock.json", "s")
			in.git("add", "stock.json")
			in.git("commit", "-q", "-m", "four")
			in.commit("five", "a.json", "5\n")
			in.sound()
			if s, err := in.repo.Revision("HEAD~2"); err != nil || s != res.Commit {
				t.Errorf("HEAD~2 is %s, %v", s, err)
			}
		})
	}
}

func TestABareRepositoryIsCommittedToWithoutFilesOrReflog(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	dir := filepath.Join(t.TempDir(), "bare.git")
	b.git("clone", "-q", "--bare", b.dir, dir)
	in := at(t, dir)
	if !in.repo.Traits.Bare {
		t.Error("not seen as bare")
	}
	in.commit("two", "a.json", "2\n")
	in.sound()
	if got := in.git("show", "main:a.json"); got != "2" {
		t.Errorf("a.json is %q", got)
	}
	for _, name := range []string{"logs", "index", "a.json"} {
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			t.Errorf("%s was made", name)
		}
	}
}

func TestTheFirstCommitGoesToTheUnbornBranch(t *testing.T) {
	b := newBench(t)
	b.git("symbolic-ref", "HEAD", "refs/heads/other/name")
	b.write("staged.json", "s")
	b.git("add", "staged.json")
	b.commit("one", "a.json", "1\n")
	b.sound()
	if got := b.git("status", "--porcelain"); got != "A  staged.json" {
		t.Errorf("status says %s", got)
	}
	if got := b.git("branch", "--show-current"); got != "other/name" {
		t.Errorf("on %s", got)
	}
}

func TestReflogsAreKeptWhereGitKeepsThem(t *testing.T) {
	for value, want := range map[string]string{"false": "", "true": "HEAD main", "always": "HEAD main"} {
		t.Run("core.logAllRefUpdates="+value, func(t *testing.T) {
			b := newBench(t)
			b.git("config", "core.logAllRefUpdates", value)
			at(t, b.dir).commit("one", "a.json", "1\n")
			var got []string
			for name, path := range map[string]string{"HEAD": "HEAD", "main": "refs/heads/main"} {
				if _, err := os.Lstat(filepath.Join(b.dir, ".git/logs", path)); err == nil {
					got = append(got, name)
				}
			}
			if len(got) != len(strings.Fields(want)) {
				t.Errorf("reflogs for %v, want %s", got, want)
			}
		})
	}
	t.Run("a line that was cut short goes", func(t *testing.T) {
		b := newBench(t)
		b.commit("one", "a.json", "1\n")
		log := b.read(".git/logs/HEAD")
		b.write(".git/logs/HEAD", log+"0123456789 half a li")
		b.commit("two", "a.json", "2\n")
		got := b.read(".git/logs/HEAD")
		if !strings.HasPrefix(got, log) || strings.Contains(got, "half") || strings.Count(got, "\n") != 2 {
			t.Errorf("the reflog is\n%s", got)
		}
	})
}

func TestIndexEntriesOfOthersKeepTheirFlags(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n", "assumed.json", "1\n", "skipped.json", "1\n", "z/exec", "1\n")
	b.git("update-index", "--assume-unchanged", "assumed.json")
	b.git("update-index", "--skip-worktree", "skipped.json")
	b.git("update-index", "--chmod=+x", "z/exec")
	b.write("intended.json", "x")
	b.git("add", "--intent-to-add", "intended.json")
	before := b.git("ls-files", "-v", "--stage", "--debug")
	b.commit("two", "a.json", "2\n")
	after := b.git("ls-files", "-v", "--stage", "--debug")
	rest := func(s string) string { return s[strings.Index(s, "assumed.json"):] }
	if rest(before) != rest(after) {
		t.Errorf("the index held\n%s\nand holds\n%s", before, after)
	}
	b.sound()
}
